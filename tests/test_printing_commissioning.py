"""Sheets of commissioning: each figure under its own heading."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from rich.console import RenderableType
from rich.table import Table

from optimiser.auditing import audit
from optimiser.commissioning import CLEAR, Moment, commissioned, expected
from optimiser.printing.commissioning import blank_sheet, expectation_sheet, report_sheet
from tests.commission_help import NOON, bench, checks, filled, fit, fitted, world

_NAMED = ("reading", "part", "check")  # columns that name a row


def _row(parts: Iterable[RenderableType], first: str, *heads: str) -> list[str]:
    """Cells under these headings of the one row that begins so, among the tables that have them all."""
    found = []
    for table in (part for part in parts if isinstance(part, Table)):
        columns = {str(column.header): list(column.cells) for column in table.columns}
        if set(heads) <= set(columns):
            names = [str(cell) for cell in columns[next(name for name in columns if name in _NAMED)]]
            found += [[str(columns[head][k]) for head in heads] for k, name in enumerate(names) if name == first]
    (one,) = found
    return one


def test_what_is_expected_stands_between_its_lowest_and_highest() -> None:
    """48 V less 0.3 %/K at 74.456 C: 40.88 V; ratings 3 % and 2.4 % for 8 K of cells, as squares 3.84 %."""
    row = _row(expectation_sheet(fit(), bench(fit())), "a.1.voc_v", "expected", "low", "high")

    assert row == ["40.88", "39.31", "42.45"]


def test_parts_of_a_band_that_is_wider_below_say_so() -> None:
    """Haze takes up to 10 % of a clear sky's light and adds 5 % at most: common practice, no source."""
    found = expected(fit(), Moment(at=NOON, sky=CLEAR, running=()))

    assert _row(expectation_sheet(fit(), found), "clear sky, haze", "below", "above") == ["10.0 %", "5.0 %"]


def test_the_heading_says_the_moments_air_and_voltage() -> None:
    lines = [part for part in expectation_sheet(fit(), bench(fit(), air_c=31.5)) if isinstance(part, str)]

    assert "Light in the panels' plane: roof 1000 W/m2; air 31.5 C; bank 13.00 V" in lines


def test_a_blank_sheet_has_design_and_bounds_under_their_headings() -> None:
    """Two panels of 24 V, 5 %."""
    row = _row(blank_sheet(fit(), checks(world())), "string.a.1.voc_v", "design", "low", "high", "measured")

    assert row == ["48", "45.6", "50.4", "______"]


def test_a_reading_stands_beside_design_and_bounds(tmp_path: Path) -> None:
    made, path = world(), tmp_path / "filled.csv"
    path.write_text(filled(checks(made), {"string.a.1.voc_v": {"measured": "44", "cell_c": "25"}}), encoding="utf-8")
    found = commissioned(fitted(made), audit(made.case, made.catalogue, made.build), path)
    row = _row(report_sheet(fitted(made), found), "string.a.1.voc_v", "measured", "design", "low", "high")

    assert row == ["44", "48", "45.6", "50.4"]
