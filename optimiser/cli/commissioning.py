"""`expect` and `commission`: what meters should show, and what they showed. Nothing is solved."""

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
    "--at",
    required=True,
    metavar="TIME",
    help="As 2027-01-14T09:30, on the clock of the case; one with an offset of its own is moved to it.",
)
@click.option("--sky", metavar="SKY", help="clear, overcast, or the share of a clear sky's light, 0 to 1.")
@click.option(
    "--irradiance",
    type=Finite(0, 1400),
    metavar="W/m2",
    help="In place of a sky: light metered in the panels' plane, which narrows the bands.",
)
@click.option(
    "--air",
    type=Finite(-50, 60),
    metavar="C",
    help="Air outside; left out, that of the nearest scenario in the calendar at that hour.",
)
@click.option(
    "--volt",
    type=Finite(1, 100),
    metavar="V",
    help="Of the bank, as metered; left out, what a lithium bank has taking charge or under load.",
)
@click.option(
    "--soc",
    type=Finite(0, 100),
    metavar="PERCENT",
    help="Charge of the bank: from 95 up it may turn current away; left out, it is taken not to.",
)
@click.option(
    "--running",
    metavar="LOAD,...",
    help="Loads that are on, or none; left out, those of the nearest scenario, each for its share of the time.",
)
@click.option("--driving", is_flag=True, help="The engine runs.")
@click.option("--hook-up", is_flag=True, help="Mains is there.")
@click.option("--portable", is_flag=True, help="The portable panel is out.")
@showing
def expect(case: str, build_file: Path, as_json: bool, catalogues: tuple[str, ...], **asked: Any) -> None:
    """Say what meters should show in a vehicle fitted out as BUILD.json says."""
    with reporting():
        show(library.expect(library.read(case, catalogues), build_file, **asked), as_json)


@click.command(cls=Command)
@case_argument
@build_argument
@click.argument("readings", metavar="READINGS.csv", required=False, type=PATH)
@click.option("--blank", type=PATH, metavar="SHEET.csv", help="Write the test sheet to fill in.")
@showing
def commission(
    case: str,
    build_file: Path,
    readings: Path | None,
    blank: Path | None,
    as_json: bool,
    catalogues: tuple[str, ...],
) -> None:
    """Check a filled test sheet or a monitor's log against the design, or write the sheet to fill in."""
    with reporting():
        found = library.commission(library.read(case, catalogues), build_file, readings, blank=blank)
        if found.checks:
            settled()
            printing.note(f"{blank} written")
        show(found, as_json)
