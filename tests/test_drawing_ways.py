"""Ways on the vehicle's views: two channels of a divided way are told apart, and one that is not divided says so."""

from dataclasses import replace

import pytest

from optimiser.drawing.vehicle.views import vehicle_views
from optimiser.drawing.vehicle.ways import marked_ways
from optimiser.fitted import Fit, fit_of
from tests import handmade
from tests.labels_help import sample
from tests.packing_help import SOLVED, WANTS, shipped, vehicle

DIVIDED = "way, divided: mains in one channel, low voltage in the other"  # of the legend
CHANNELS = "divided (mains in one channel, low voltage and data in the other)"


def _shared(fit: Fit) -> list[str]:
    """Ways that mains and low voltage lie in."""
    mixed = [{run.cable.kind == "mains" for run in marked.runs} == {True, False} for marked in marked_ways(fit)]
    return [marked.way.name for marked, both in zip(marked_ways(fit), mixed, strict=True) if both]


@pytest.mark.parametrize(("name", "want"), [(name, want) for name in SOLVED for want in WANTS])
def test_a_way_with_mains_and_low_voltage_says_that_it_is_divided(name: str, want: str) -> None:
    fit = shipped(name, want)
    shared = _shared(fit)
    assert shared

    for marked in marked_ways(fit):
        both = marked.way.name in shared
        assert (f"bore {marked.way.bore_mm} mm, {CHANNELS}: " in marked.line) is both
        assert (f"{marked.mark} divided: " in marked.label) is both
    for sheet in vehicle(name, want):
        words = [placed.text for placed in sheet.texts()]
        assert DIVIDED in words
        assert "way, both" not in words
        assert any("One bore is surveyed for both channels" in note for note in sheet.notes)


def test_where_mains_and_low_voltage_share_no_way_none_is_shown_divided() -> None:
    """The van without its mains charger's feed, the only mains that lies where low voltage does."""
    old = shipped("grey-month-van")
    runs = tuple(run for run in old.build.runs if run.name != "mains_feed")
    fit = fit_of(old.case, old.catalogue, replace(old.build, runs=runs))

    assert _shared(old) == ["floor_left", "floor_rear"] and not _shared(fit)
    assert not any(CHANNELS in marked.line or " divided: " in marked.label for marked in marked_ways(fit))
    for sheet in vehicle_views(fit):
        assert DIVIDED not in [placed.text for placed in sheet.texts()]


def test_a_way_that_both_share_undivided_is_called_so() -> None:
    fit = shipped("tiny-trailer")
    ways = tuple(way.model_copy(update={"divided": False}) for way in fit.case.ways)
    undivided = replace(fit, case=replace(fit.case, ways=ways))

    wall = next(marked for marked in marked_ways(undivided) if marked.way.name == "side_wall")
    assert "bore 50 mm, NOT DIVIDED (mains and low voltage in one bore: do not build): " in wall.line
    assert wall.label.startswith(f"{wall.mark} NOT DIVIDED: ")
    for sheet in vehicle_views(undivided):
        assert "way, NOT divided, with mains and low voltage" in [placed.text for placed in sheet.texts()]
        assert sheet.clashes() == []


def test_lines_of_the_legend_are_those_of_the_ways() -> None:
    world = handmade.world()
    plan, _ = vehicle("tiny-trailer")

    said = {
        "low voltage or data": "solid",
        "divided: mains in one channel, low voltage in the other": "chain",
        "empty": "dotted",
    }  # no way with mains alone
    for words, dash in said.items():
        assert sample(plan, f"way, {words}").dash == dash
    assert sample(vehicle_views(fit_of(world.case, world.catalogue, world.build))[0], "way, mains").dash == "dashed"
