"""The nodes' table on the vehicle's views: the survey's coordinates, and no figure where there is none."""

from dataclasses import replace

import pytest

from optimiser.drawing.sheet import Sheet
from optimiser.drawing.vehicle.node_table import node_rows
from optimiser.drawing.vehicle.nodes import places
from optimiser.drawing.vehicle.views import vehicle_views
from tests.packing_help import SOLVED, shipped, vehicle


def _cells(sheet: Sheet, node: str) -> list[tuple[str, ...]]:
    """Rows of text of the table, from the left, that begin with a node: five cells at one height."""
    found = []
    for placed in sheet.texts():
        if placed.text == node:
            row = [t for t in sheet.texts() if abs(t.box.y0 - placed.box.y0) < 1e-6 and t.box.x0 >= placed.box.x0]
            found.append(tuple(t.text for t in sorted(row, key=lambda t: t.box.x0))[:5])
    return found


@pytest.mark.parametrize("name", SOLVED)
def test_every_spot_stands_in_the_table_with_its_coordinates(name: str) -> None:
    case = shipped(name).case
    for sheet in vehicle(name):
        for spot in case.node_positions:
            wanted = (spot.node, f"{spot.x_mm}", f"{spot.y_mm}", f"{spot.z_mm}", "surveyed")
            assert wanted in _cells(sheet, spot.node)
        assert {row[0] for row in node_rows(case, {})} == {
            spot.node for spot in case.node_positions
        }  # bays are dimensioned


def test_what_is_not_surveyed_has_no_figure() -> None:
    case = shipped("travelling-clinic").case
    ways = (*case.ways, case.ways[0].model_copy(update={"name": "lost", "start": "here", "end": "there"}))
    lacking = replace(case, ways=ways, node_positions=tuple(s for s in case.node_positions if s.node != "chassis"))
    rows = node_rows(lacking, places(lacking, floor_mm=500))

    assert ("chassis", "-", "-", "-", "not surveyed") in rows
    assert ("here", "-", "-", "-", "not surveyed") in rows  # also what is not drawn
    assert ("inlet", "3200", "-1140", "800", "surveyed") in rows
    assert len({row[0] for row in rows}) == len(rows)


def test_without_any_spot_there_is_no_table() -> None:
    case = replace(shipped("travelling-clinic").case, node_positions=())
    assert node_rows(case, places(case, floor_mm=500)) == []


def test_a_height_that_is_not_surveyed_is_not_said() -> None:
    fit = shipped("travelling-clinic")
    bays = tuple(b.model_copy(update={"z_mm": None}) for b in fit.case.bays)
    _, side = vehicle_views(replace(fit, case=replace(fit.case, node_positions=(), bays=bays)))

    words = [placed.text for placed in side.texts()]
    assert {"chassis", "desk_base"} <= set(words)
    assert not any(" z " in word and not word.startswith("Nodes") for word in words if "datum" not in word)
