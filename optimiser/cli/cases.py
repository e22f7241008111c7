"""`new` and `check`: a case before anything is chosen."""

from __future__ import annotations

from pathlib import Path

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, case_argument, json_flag, showing
from optimiser.cli.telling import show, told


@click.command(cls=Command)
@click.argument("folder", metavar="DIR", type=PATH)
@click.option("--like", metavar="CASE", help="Begin with a copy of that case.")
@json_flag
def new(folder: Path, like: str | None, as_json: bool) -> None:
    """Write a starter case to change into one's own."""
    with told():
        show(library.new(folder, like=like), as_json)


@click.command(cls=Command)
@case_argument
@click.option("--draw", type=PATH, metavar="DIR", help="Draw the survey there, faults and all.")
@showing
def check(case: str, draw: Path | None, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Read CASE, and say what it amounts to or all that is wrong."""
    with told():
        if draw is not None:
            printing.note(f"survey drawn: {library.draw(case, draw, catalogues)}")
        show(library.check(library.read(case, catalogues)), as_json)
