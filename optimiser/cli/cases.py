"""`new` and `check`: a case before anything is chosen."""

import sys
from pathlib import Path
from typing import Any

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, cases_argument, json_flag, place_of, showing
from optimiser.cli.reporting import reporting, show, show_each


@click.command(cls=Command)
@click.argument("folder", metavar="DIR", type=PATH)
@click.option("--kind", type=click.Choice([*library.SIZES]), help="Of vehicle.  [default: van]")
@click.option("--length", "length_mm", type=int, metavar="MM", help="Of its body; the usual one if left out.")
@click.option("--width", "width_mm", type=int, metavar="MM", help="Likewise.")
@click.option("--voltage", type=int, metavar="V", help="Of the bank: 12, 24 or 48.  [default: 12]")
@click.option("--loads", metavar="NAME,...", help=f"What must run, of {', '.join(library.STARTER_LOADS)}.")
@click.option("--like", metavar="CASE", help="A copy of that case instead.")
@json_flag
def new(folder: Path, like: str | None, as_json: bool, **asked: Any) -> None:
    """Write a starter case to change into one's own.

    On a terminal it asks for kind, length, width, voltage and loads, unless one of them is given. Roof, bays, ways and
    axles are scaled to that size, to be measured in place of it.
    """
    given = {name: value for name, value in asked.items() if value is not None}
    if like and given:
        raise click.UsageError("--like copies a case as it is; expected it without size, voltage and loads")
    if not (given or like or as_json) and _on_a_terminal():
        given = _asked()
    if "loads" in given:
        given["loads"] = [name.strip() for name in given["loads"].split(",") if name.strip()]
    with reporting():
        show(library.new(folder, like=like, **given), as_json)


def _on_a_terminal() -> bool:
    return sys.stdin is not None and sys.stdin.isatty()


def _asked() -> dict[str, Any]:
    """The answers; Enter takes what is usual."""
    kind = click.prompt("Kind", type=click.Choice([*library.SIZES]), default="van", err=True)
    (_, length, _), (_, width, _) = library.SIZES[kind]
    return {
        "kind": kind,
        "length_mm": click.prompt("Length of its body, mm", type=int, default=length, err=True),
        "width_mm": click.prompt("Width, mm", type=int, default=width, err=True),
        "voltage": click.prompt("Volts of the bank: 12, 24 or 48", type=int, default=12, err=True),
        "loads": click.prompt(
            f"Loads, of {', '.join(library.STARTER_LOADS)}\n", default=",".join(library.USUAL_LOADS), err=True
        ),
    }


@click.command(cls=Command)
@cases_argument
@click.option(
    "--draw",
    type=PATH,
    metavar="DIR",
    help="Draw the survey there, faults and all; of several CASEs in a folder each, by its name.",
)
@showing
def check(cases: tuple[str, ...], draw: Path | None, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Read each CASE, and print a summary or all that is wrong."""

    def one(case: str) -> library.Result:
        if folder := place_of(draw, case, cases):
            printing.note(f"survey drawn: {library.draw(case, folder, catalogues)}")
        return library.check(library.read(case, catalogues))

    show_each(cases, as_json, one)
