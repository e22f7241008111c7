"""`compare`: the fit-outs worth choosing between."""

from pathlib import Path
from typing import Unpack

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, case_argument, how_far_apart, one_extent, searching, two_measures
from optimiser.cli.reporting import reporting, settled, show


@click.command(cls=Command)
@case_argument
@click.option(
    "--measures",
    callback=two_measures,
    default="cost,mass",
    show_default=True,
    metavar="FIRST,SECOND",
    help=f"Two of {', '.join(library.MEASURES)}: from the best in the first to the best in the second.",
)
@how_far_apart
@click.option(
    "--fresh",
    is_flag=True,
    help="Leave aside builds that an earlier run kept. They are taken up without proof, audited, and proven anew.",
)
@click.option(
    "--out",
    type=PATH,
    metavar="DIR",
    help="Write the build of each point there, numbered as in the table; a new or an empty folder.",
)
@searching("Time limit of each question to the solver; a point takes one or a few.")
def compare(
    case: str,
    measures: library.Measures,
    apart: tuple[float, float] | None,
    points: int | None,
    whole: bool,
    fresh: bool,
    out: Path | None,
    as_json: bool,
    quiet: bool,
    catalogues: tuple[str, ...],
    **limits: Unpack[library.Limits],
) -> None:
    """Find the fit-outs of CASE worth choosing between, from the cheapest to the lightest.

    None is better than one of them in both, and whatever else can be built, one of them is nearly as good in each.

    Each point is printed on stderr as it is found. Ctrl-C keeps them, and a later run goes on from there.
    """
    one_extent(points, apart, whole)
    with reporting():
        inputs = library.read(case, catalogues)
        with printing.progress_of(inputs, "point 1", limits["seconds"], quiet, measures[0]) as line:
            found = library.compare(
                inputs, measures, points=points, apart=apart, whole=whole, fresh=fresh, out=out, progress=line.watch,
                found=lambda choice: line.count_on(printing.choice_line(inputs, choice, measures)), **limits,
            )  # fmt: skip
        if found.written:
            settled()
            printing.note(f"{len(found.written)} builds written in {out}")
        show(found, as_json)
