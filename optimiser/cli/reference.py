"""`reference`, `parts` and `rules`: what every file, column and key means, and what the catalogue holds."""

import click

from optimiser import library
from optimiser.cli.options import Command, json_flag, showing
from optimiser.cli.reporting import reporting, show


@click.command(cls=Command)
@click.argument("name", required=False)
@json_flag
def reference(name: str | None, as_json: bool) -> None:
    """Print a page or a table of the reference by its NAME; all names if left out.

    Tables are of the files of a case and a catalogue, of requirements, of the build file and of what --json prints. A
    name that ends with .schema.json is a JSON Schema.
    """
    with reporting():
        show(library.look_up(name), as_json)


@click.command(cls=Command)
@click.argument("kind", metavar="CLASS", required=False)
@click.option("--where", "wanted", multiple=True, metavar="TEST", help="Only rows that pass: watt_w>=200, kind=rigid.")
@click.option("--columns", "shown", metavar="NAME,...", help="Only these columns; all if left out.")
@showing
def parts(
    kind: str | None, wanted: tuple[str, ...], shown: str | None, as_json: bool, catalogues: tuple[str, ...]
) -> None:
    """List the parts of a CLASS of the catalogue, with what its columns mean; the classes if left out."""
    with reporting():
        show(library.list_parts(kind, wanted, shown, catalogues), as_json)


@click.command(cls=Command)
@click.argument("name", metavar="RULE_SET", required=False)
@click.option("--differs", is_flag=True, help="Only figures that differ from the default's, in value or in source.")
@showing
def rules(name: str | None, differs: bool, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Show the figures of a RULE_SET, each with its source; all rule sets side by side if left out.

    They help to check; local codes and a licensed electrician decide.
    """
    with reporting():
        show(library.list_rules(name, differs, catalogues), as_json)
