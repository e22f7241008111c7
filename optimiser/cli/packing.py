"""`pack`: everything the customer, the workshop and the person commissioning need, from one audited build."""

from pathlib import Path
from typing import Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, build_argument, case_argument, searching
from optimiser.cli.reporting import reporting, settled, show


@click.command(cls=Command)
@case_argument
@build_argument
@click.option("--out", type=PATH, metavar="DIR", required=True, help="A new or an empty folder.")
@click.option("--alone", is_flag=True, help="Only this build: look for no other options.")
@click.option(
    "--points",
    type=click.IntRange(min=2),
    metavar="N",
    help="So many options, evenly apart in mass; the whole front if left out.",
)
@click.option(
    "--explain",
    "explained",
    is_flag=True,
    help="Find out what decides each option: a minute or more each. Else the limits with the least room are listed.",
)
@click.option(
    "--readings",
    type=PATH,
    metavar="READINGS.csv",
    help="Check a filled test sheet or a log against the design, as commission does, and add the report.",
)
@searching("Time limit of each question to the solver, and of explaining each option.")
def pack(
    case: str,
    build_file: Path,
    out: Path,
    alone: bool,
    points: int | None,
    explained: bool,
    readings: Path | None,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Write the job pack of a build: page, drawings, schedules, quotation and test sheet.

    The build is audited first; one with a breach gets no pack. Options beside it come from the front, as compare finds
    it; points of an earlier run are taken over.
    """
    if alone and (points or explained):
        raise click.UsageError("--alone looks for no options; expected it without --points and --explain")
    with reporting():
        inputs = library.read(case, catalogues)
        with printing.progress_of(inputs, "option 1", limits["seconds"], quiet) as line:
            packed = library.pack(
                inputs, build_file, out, options=not alone, points=points, explained=explained, readings=readings,
                found=lambda choice: line.count_on(printing.choice_line(inputs, choice, ("cost", "mass"))),
                begun=line.begin, step=line.turn, progress=line.watch, **limits,
            )  # fmt: skip
        settled()
        show(packed, as_json)
