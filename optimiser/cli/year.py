"""`year`: a year of weather through a build. Nothing is solved."""

from pathlib import Path
from typing import Any

import click

from optimiser import library, printing
from optimiser.cli.options import PATH, Command, Finite, build_argument, case_argument, showing
from optimiser.cli.reporting import reporting, settled, show


@click.command(cls=Command)
@case_argument
@build_argument
@click.option(
    "--weather",
    type=PATH,
    metavar="FILE",
    help="A typical year as EPW or TMY3, or hourly years of PVGIS (level plane, with components). Left out, weather is "
    "made of the monthly means in climate.csv.",
)
@click.option("--years", type=click.IntRange(1, 100), help="Of weather made of monthly means; 10 if left out.")
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="Of that weather.")
@click.option("--driving", type=click.IntRange(0, 24), default=0, show_default=True, help="Hours a day, from ten.")
@click.option(
    "--hook-up", type=click.IntRange(0, 24), default=0, show_default=True, help="Hours a day, from eighteen o'clock."
)
@click.option(
    "--capacity",
    type=Finite(1, 100),
    metavar="PERCENT",
    help="Of the bank's nominal, as it is at some age; left out, limits.capacity_kept_pct.",
)
@click.option("--hours", type=PATH, metavar="FILE.csv", help="Write every hour as a row.")
@click.option("--picture", type=PATH, metavar="FILE.svg", help="Draw charge by month and hour of the day.")
@showing
def year(case: str, build_file: Path, as_json: bool, catalogues: tuple[str, ...], **asked: Any) -> None:
    """Run a vehicle fitted out as BUILD.json says through years of weather, hour by hour.

    Month by month: on how many days nothing is short, what is missing and what makes up for it, and how many nights a
    stay lasts with a full bank at its beginning.
    """
    with reporting():
        found = library.year(library.read(case, catalogues), build_file, **asked)
        settled()
        for path in found.written:
            printing.note(f"{path} written")
        show(found, as_json)
