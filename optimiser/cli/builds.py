"""`build` and `audit`: one fit-out, found and proven, or checked against every requirement."""

from pathlib import Path
from typing import Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, case_argument, cases_argument, place_of, searching, showing
from optimiser.cli.reporting import reporting, settled, show_each


@click.command(cls=Command)
@cases_argument
@click.option(
    "--want",
    type=click.Choice(["cheapest", "lightest"]),
    default="cheapest",
    show_default=True,
    help="What to prove; the other breaks ties.",
)
@click.option(
    "--out",
    type=PATH,
    metavar="BUILD.json",
    help="Write the build there, all of it or nothing; of several CASEs a folder, for a file each.",
)
@searching("Time limit; making the model counts. At the limit an undecided case is don't know, never impossible.")
def build(
    cases: tuple[str, ...],
    want: library.Want,
    out: Path | None,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Find the best fit-out of each CASE, prove it, audit it.

    Ctrl-C ends the search and keeps the best build so far.
    """

    def one(case: str) -> library.Result:
        target, inputs = place_of(out, case, cases, ".json"), library.read(case, catalogues)
        with printing.progress_of(inputs, want, limits["seconds"], quiet) as line:
            found = library.build(inputs, want, out=target, progress=line.watch, **limits)
        if found.written:
            settled()
            printing.note(f"{target} written")
        return found

    show_each(cases, as_json, one)


@click.command(cls=Command)
@case_argument
@click.argument("build_files", metavar="BUILD.json...", nargs=-1, required=True)
@showing
def audit(case: str, build_files: tuple[str, ...], as_json: bool, catalogues: tuple[str, ...]) -> None:
    """Check each build file against every requirement of CASE, without the solver."""
    with reporting():
        inputs = library.read(case, catalogues)
    show_each(build_files, as_json, lambda file: library.audit(inputs, file))
