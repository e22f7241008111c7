"""`expect` and `commission`: what meters should show, and what they showed. Nothing is solved."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from optimiser import pipeline, printing
from optimiser.auditing import Finding, breaches
from optimiser.cli.options import Command, Finite, case_argument, catalogue_option, json_flag
from optimiser.cli.telling import OUT_OF_BAND, settled, told
from optimiser.commissioning import expected, test_sheet
from optimiser.fitted import Fit
from optimiser.pipeline import commissioning as readings
from optimiser.printing import commissioning as sheets
from optimiser.printing import commissioning_json as objects

BREACH = pipeline.EXIT_CODES["breach"]

_build_file = click.argument("build_file", metavar="BUILD.json", type=click.Path(path_type=Path))


@click.command(cls=Command)
@case_argument
@_build_file
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
@json_flag
@catalogue_option
def expect(
    case: str,
    build_file: Path,
    at: str,
    sky: str | None,
    irradiance: float | None,
    air: float | None,
    volt: float | None,
    soc: float | None,
    running: str | None,
    driving: bool,
    hook_up: bool,
    portable: bool,
    as_json: bool,
    catalogues: tuple[str, ...],
) -> None:
    """Say what meters should show in a vehicle fitted out as BUILD.json says."""
    with told():
        fit, findings = _audited(case, build_file, catalogues)
        moment = readings.moment_of(
            fit, at=at, sky=sky, irradiance=irradiance, air_c=air, bank_v=volt, soc_pct=soc, running=running,
            driving=driving, hook_up=hook_up, portable=portable,
        )  # fmt: skip
        if breaches(findings):
            _refuse(findings, objects.expectation_json(None, findings) if as_json else "")
        found = expected(fit, moment)
        if as_json:
            printing.write(objects.expectation_json(found))
        else:
            printing.show(*sheets.expectation_sheet(fit, found))


@click.command(cls=Command)
@case_argument
@_build_file
@click.argument("readings_file", metavar="READINGS.csv", required=False, type=click.Path(path_type=Path))
@click.option("--blank", type=click.Path(path_type=Path), metavar="SHEET.csv", help="Write the test sheet to fill in.")
@json_flag
@catalogue_option
def commission(
    case: str,
    build_file: Path,
    readings_file: Path | None,
    blank: Path | None,
    as_json: bool,
    catalogues: tuple[str, ...],
) -> None:
    """Hold a filled test sheet or a monitor's log against the design, or write the sheet to fill in."""
    with told():
        if (readings_file is None) == (blank is None):
            raise pipeline.Unusable("READINGS.csv, --blank: expected one of the two")
        fit, findings = _audited(case, build_file, catalogues)
        if breaches(findings):
            _refuse(findings, objects.report_json(None, findings) if as_json else "")
        if blank is not None:
            _blank(fit, findings, blank, as_json)
        elif readings_file is not None:
            report = readings.hold(fit, findings, readings_file)
            if as_json:
                printing.write(objects.report_json(report))
            else:
                printing.show(*sheets.report_sheet(fit, report))
            sys.exit(OUT_OF_BAND if report.status == "out of band" else 0)


def _blank(fit: Fit, findings: tuple[Finding, ...], path: Path, as_json: bool) -> None:
    checks = test_sheet(fit, findings)
    readings.save_blank(path, fit, checks)
    settled()
    if as_json:
        printing.write(objects.report_json(None, checks=checks))
    else:
        printing.show(*sheets.blank_sheet(fit, checks))
    printing.note(f"{path} written")


def _audited(case: str, build_file: Path, catalogues: tuple[str, ...]) -> tuple[Fit, tuple[Finding, ...]]:
    inputs = pipeline.read(case, catalogues)
    fit, findings = readings.audited(inputs, build_file)
    printing.note(*(f"{build_file}: {doubt}" for doubt in pipeline.doubts(inputs, fit.build)))
    return fit, findings


def _refuse(findings: tuple[Finding, ...], text: str) -> None:
    """Tell the breaches, and end."""
    if text:
        printing.write(text)
    printing.note(*sheets.refused_lines(findings))
    sys.exit(BREACH)
