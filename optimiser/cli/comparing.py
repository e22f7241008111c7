"""`compare`: all fit-outs worth showing."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from optimiser import pipeline, printing
from optimiser.cli.options import (
    Command,
    case_argument,
    catalogue_option,
    json_flag,
    quiet_flag,
    seconds_option,
    seed_option,
    two_measures,
    workers_option,
)
from optimiser.cli.telling import settled, told
from optimiser.measures import MEASURES
from optimiser.solve import Measures, Stop


@click.command(cls=Command)
@case_argument
@click.option(
    "--measures",
    callback=two_measures,
    default="cost,mass",
    show_default=True,
    metavar="FIRST,SECOND",
    help=f"Two of {', '.join(MEASURES)}: from the best in the first to the best in the second.",
)
@click.option(
    "--points",
    type=click.IntRange(min=2),
    metavar="N",
    help="So many, evenly apart in the second measure, both ends proven; all if left out.",
)
@click.option(
    "--fresh",
    is_flag=True,
    help="Leave aside builds that an earlier run kept. They are taken up without proof, audited, and proven anew.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    metavar="DIR",
    help="Write the build of each point there, numbered as in the table; a new or an empty folder.",
)
@json_flag
@seconds_option(300, "Time limit of each question to the solver; a point takes one or a few.")
@quiet_flag
@seed_option
@workers_option
@catalogue_option
def compare(
    case: str,
    measures: Measures,
    points: int | None,
    fresh: bool,
    out: Path | None,
    as_json: bool,
    seconds: float,
    quiet: bool,
    seed: int,
    workers: int,
    catalogues: tuple[str, ...],
) -> None:
    """Find all fit-outs of CASE worth showing: from the cheapest to the lightest, none better in both.

    Each point is told on stderr as it is found. Ctrl-C keeps them, and a later run goes on from there.
    """
    with told():
        inputs = pipeline.read(case, catalogues)
        if out is not None:
            pipeline.check_folder(out)
        currency, stop = inputs.case.brief.currency, Stop(seconds, seed, workers)
        with printing.progress_line("point 1", measures[0], currency=currency, limit_s=seconds, quiet=quiet) as line:

            def tell(choice: pipeline.Choice) -> None:
                line.say(f"{line.label}: {printing.choice_line(inputs, choice, measures)}")
                line.begin(f"point {int(line.label.removeprefix('point ')) + 1}")

            found = pipeline.compare(inputs, measures, points, stop, line.watch, tell, fresh=fresh)
        written = pipeline.save_choices(out, found) if out is not None else ()
        if written:
            settled()
        if as_json:
            printing.write(printing.comparison_json(found))
        else:
            printing.show(*printing.comparison_sheet(inputs, found))
        for choice in found.choices:
            printing.note(*printing.fault_lines(choice.findings))
        if written:
            printing.note(f"{len(written)} builds written in {out}")
        sys.exit(pipeline.STATE_CODES[found.state])
