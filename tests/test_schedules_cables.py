"""Cables and their ends by hand: sections, outsides and fuses under their own headings."""

from __future__ import annotations

import pytest

from optimiser.schedules.cables import cable_ends, cables
from tests.handmade import world
from tests.schedules_help import fit_made, only_row


@pytest.mark.parametrize(
    ("run", "cable", "section", "outside"),
    [("main", "dc-50", 50, 14), ("mains_inlet", "mains-2.5", 2.5, 10.5), ("display", "data", None, 5)],
)
def test_section_and_outside_of_a_cable(run: str, cable: str, section: float | None, outside: float) -> None:
    row = only_row(cables(fit_made(world())), "run", run)

    assert (row["cable"], row["section"], row["outside"]) == (cable, section, outside)


def test_ends_say_which_fuse_their_run_has() -> None:
    ends = cable_ends(fit_made(world()))

    assert only_row(ends, "run", "main")["fuse"] == "200 A bolt-in"
    assert only_row(ends, "run", "dc_loads")["fuse"] == "10 A bolt-in"
    assert only_row(ends, "run", "solar_a")["fuse"] == "none"


def test_lugs_are_for_the_section_of_the_cable() -> None:
    """Of their holes the parts decide, which are told at each end."""
    rows = {run: only_row(cable_ends(fit_made(world())), "run", run) for run in ("alternator", "dc_loads", "display")}

    assert [row["lug for"] for row in rows.values()] == [16, 6, None]
    assert [row["ends to make"] for row in rows.values()] == [4, 4, 2]
