"""`pack`: everything the customer, the workshop and the person commissioning need, from one audited build."""

from pathlib import Path
from typing import Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, build_argument, case_argument, how_far_apart, one_extent, searching
from optimiser.cli.reporting import reporting, settled, show


@click.command(cls=Command)
@case_argument
@build_argument
@click.option("--out", type=PATH, metavar="DIR", required=True, help="A new or an empty folder.")
@click.option("--alone", is_flag=True, help="Only this build: look for no other options.")
@how_far_apart
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
    apart: tuple[float, float] | None,
    points: int | None,
    whole: bool,
    explained: bool,
    readings: Path | None,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Write the job pack of a build: page, drawings, schedules, quotation and test sheet.

    The build is audited first; one with a breach gets no pack. Options beside it come from the front, as compare finds
    it; builds of an earlier run are taken up, and proven anew.
    """
    if alone and (points or apart or whole or explained):
        raise click.UsageError("--alone looks for no options; expected it without --apart, --points, --all, --explain")
    one_extent(points, apart, whole)
    with reporting():
        inputs = library.read(case, catalogues)
        with printing.progress_of(inputs, "option 1", limits["seconds"], quiet) as line:
            packed = library.pack(
                inputs, build_file, out, options=not alone, points=points, apart=apart, whole=whole,
                explained=explained, readings=readings,
                found=lambda choice: line.count_on(printing.choice_line(inputs, choice, ("cost", "mass"))),
                begun=line.begin, step=line.turn, progress=line.watch, **limits,
            )  # fmt: skip
        settled()
        show(packed, as_json)
