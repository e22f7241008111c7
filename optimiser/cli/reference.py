"""`reference` and `parts`: what every file, column and key means, and what the catalogue holds."""

from __future__ import annotations

import json

import click
from rich.console import RenderableType

from optimiser import pipeline, printing
from optimiser.cli.options import Command, catalogue_option, json_flag
from optimiser.cli.telling import told
from optimiser.printing.wording import table
from optimiser.reading.wording import among
from optimiser.reference import PAGES, Columns, all_tables, page, schemas


def option_tables(main: click.Group) -> dict[str, Columns]:
    """``options of COMMAND`` -> its arguments and options, from the commands themselves."""
    found = {}
    for name, command in main.commands.items():
        context = click.Context(command, info_name=name)
        rows = [record for option in command.params if (record := option.get_help_record(context)) and record[1]]
        found[f"options of {name}"] = Columns(("option", "meaning"), tuple(rows))
    return found


@click.command(cls=Command)
@click.argument("name", required=False)
@json_flag
def reference(name: str | None, as_json: bool) -> None:
    """Print a page or a table of the reference by its NAME; all names if left out.

    Tables are of the files of a case and a catalogue, of requirements, of the build file and of what --json prints. A
    name that ends with .schema.json is a JSON Schema.
    """
    with told():
        pages = sorted(path.stem for path in PAGES.glob("*.md"))
        tables, made = all_tables(), schemas()
        if name is None:
            names = {"pages": pages, "tables": list(tables), "schemas": list(made)}
            if as_json:
                printing.write(json.dumps(names) + "\n")
            else:
                printing.show(*(f"{kind}: {', '.join(of)}" for kind, of in names.items()))
        elif name in pages and not as_json:
            printing.write(page(name))
        elif name in made:
            printing.write(json.dumps(made[name], indent=1) + "\n")
        elif name in tables:
            rows = [dict(zip(tables[name].heads, row, strict=True)) for row in tables[name].rows]
            if as_json:
                printing.write(json.dumps(rows, ensure_ascii=False) + "\n")
            else:
                printing.show(_shown(name, tables[name]))
        else:
            raise pipeline.Unusable(f"{name}: no such page or table; expected {among(name, [*pages, *tables, *made])}")


def _shown(title: str, columns: Columns) -> RenderableType:
    made = table(title, *columns.heads)
    for row in columns.rows:
        made.add_row(*row)
    return made


@click.command(cls=Command)
@click.argument("kind", metavar="CLASS", required=False)
@click.option("--where", "wanted", multiple=True, metavar="TEST", help="Only rows that pass: watt_w>=200, kind=rigid.")
@click.option("--columns", "shown", metavar="NAME,...", help="Only these columns; all if left out.")
@json_flag
@catalogue_option
def parts(
    kind: str | None, wanted: tuple[str, ...], shown: str | None, as_json: bool, catalogues: tuple[str, ...]
) -> None:
    """List the parts of a CLASS of the catalogue, with what its columns mean; the classes if left out."""
    with told():
        catalogue = pipeline.read_parts(catalogues)
        if kind is None:
            counts = {key: len(rows) for key, rows in catalogue.tables.items()}
            if as_json:
                printing.write(json.dumps(counts) + "\n")
            else:
                printing.show(*(f"{key}: {count}" for key, count in counts.items()))
            return
        listed = pipeline.list_parts(catalogue, kind, wanted, shown)
        if as_json:
            printing.write(json.dumps([dict(zip(listed.columns, row, strict=True)) for row in listed.rows]) + "\n")
            return
        means = {row[0]: row[3] for row in (*all_tables()["every part"].rows, *all_tables()["every body"].rows)}
        means |= {row[0]: row[3] for row in all_tables()[kind].rows}
        printing.show(
            _shown(kind, Columns(listed.columns, tuple(tuple(map(str, row)) for row in listed.rows))),
            *(f"{column}: {means[column]}" for column in listed.columns),
        )
