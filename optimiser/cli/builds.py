"""`build` and `audit`: one fit-out, found and proven, or checked against every requirement."""

from __future__ import annotations

from pathlib import Path
from typing import Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, build_argument, case_argument, searching, showing
from optimiser.cli.telling import settled, show, told


@click.command(cls=Command)
@case_argument
@click.option(
    "--want",
    type=click.Choice(["cheapest", "lightest"]),
    default="cheapest",
    show_default=True,
    help="What to prove; the other breaks ties.",
)
@click.option("--out", type=PATH, metavar="BUILD.json", help="Write the build there, all of it or nothing.")
@searching("Time limit; making the model counts. At the limit an undecided case is don't know, never impossible.")
def build(
    case: str,
    want: library.Want,
    out: Path | None,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Find the best fit-out of CASE, prove it, audit it.

    Ctrl-C ends the search and keeps the best build so far.
    """
    with told():
        inputs = library.read(case, catalogues)
        with printing.progress_of(inputs, want, limits["seconds"], quiet) as line:
            found = library.build(inputs, want, out=out, progress=line.watch, **limits)
        if found.written:
            settled()
            printing.note(f"{out} written")
        show(found, as_json)


@click.command(cls=Command)
@case_argument
@build_argument
@showing
def audit(case: str, build_file: Path, as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Check a build file against every requirement of CASE, without the solver."""
    with told():
        show(library.audit(library.read(case, catalogues), build_file), as_json)
