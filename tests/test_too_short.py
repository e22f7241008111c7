"""Runs that the survey's holes and boards ask to be longer than they are cut: told, held to nothing yet.

The wall of the locker by hand (1000 x 600 x 800) is put on its left side: along it x forward, z up.
"""

from dataclasses import replace

import pytest

from optimiser.basis import faces
from optimiser.case import CableOpening
from optimiser.fitted.drawn import by_holes_mm, too_short
from optimiser.fitted.wiring import routed_runs
from optimiser.packing.page.work import order_of_work
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue
from optimiser.schedules.cables import cables
from tests.asking import world
from tests.handmade import World
from tests.packing_help import shipped
from tests.schedules_help import fit_made, remark_of


def surveyed(way: str, face: str, left_mm: int, bottom_mm: int) -> World:
    at = world()
    hole = CableOpening(way=way, bay="locker", face=face, left_mm=left_mm, bottom_mm=bottom_mm)  # type: ignore[arg-type]
    on_left = {"face": "left", "left_mm": 0, "bottom_mm": 0}
    boards = tuple(b.model_copy(update=on_left) if b.bay == "locker" else b for b in at.case.boards)
    return World(replace(at.case, boards=boards, cable_openings=(hole,)), at.catalogue, at.build)


def least_mm(at: World, run: str) -> int:
    fit = fit_made(at)
    return by_holes_mm(fit, routed_runs(fit)[run])


@pytest.mark.parametrize(("bottom_mm", "short"), [(600, False), (601, True)])
def test_just_as_long_as_it_is_cut_and_a_millimetre_more(bottom_mm: int, short: bool) -> None:
    """Ways of 2000, cut to 2300; shunt row (250..450, 350..450) to regulator 100 + 50, the hole 150 or 151 above it."""
    at = surveyed("roof_way", "left", 350, bottom_mm)

    assert least_mm(at, "solar_a") == 2000 + 150 + bottom_mm - 450
    assert ("solar_a" in too_short(fit_made(at))) is short
    assert ("too short: the survey asks 2301 mm at least; the drop holds up to" in remark_of(at, "solar_a")) is short


def test_round_the_corner_to_a_hole_in_the_rear_wall() -> None:
    """At 200, 100 of the rear: 250 + 400 + 250 from the shunt row, which is 100 + 200 from the busbar; ways of 1500."""
    at = surveyed("loads_way", "rear", 200, 100)

    assert least_mm(at, "dc_loads") == 1500 + 300 + 900
    assert "too short: the survey asks 2700 mm at least; the drop no longer holds" in remark_of(at, "dc_loads")


def test_what_is_not_surveyed_asks_nothing() -> None:
    assert too_short(fit_made(world())) == {}
    assert not any("too short" in note for note in cables(fit_made(world())).notes)


def test_a_bay_on_the_way_is_gone_through_from_hole_to_hole() -> None:
    """The trailer's side locker: from 540, 60 of its floor to 60, 60 of its rear wall."""
    case, _ = read_inputs(shipped_cases() / "tiny-trailer", shipped_catalogue())
    way = {way.name: way for way in case.ways}

    assert faces.ways_mm(case, [way["under_floor"], way["side_wall"]]) == 1500 + 1200 + 540 + 60


@pytest.mark.parametrize(
    ("name", "want", "short"),
    [
        ("tiny-trailer", "cheapest", 6),
        ("tiny-trailer", "lightest", 6),
        ("grey-month-van", "cheapest", 9),
        ("grey-month-van", "lightest", 9),
        ("travelling-clinic", "cheapest", 10),
        ("travelling-clinic", "lightest", 12),
    ],
)
def test_of_shipped_cases_the_cutting_list_says_how_many(name: str, want: str, short: int) -> None:
    fit = shipped(name, want)
    (warning,) = [note for note in cables(fit).notes if note.startswith("WARNING")]

    assert warning.startswith(f"WARNING: {short} of {len(fit.build.runs)} runs are cut too short")
    assert sum("too short: " in str(row[-1]) for row in cables(fit).rows) == short


def test_from_board_to_board_along_the_faces() -> None:
    """The regulator, at 50 to 150 and 200 to 300 of a wall of its own on the rear: x 0, y 50 to 150, z 200 to 300; the
    fuse row (50..200, 350..410) is on the left wall, y 600: 50 + 450 + 50; from there 200 to the busbar."""
    at = surveyed("roof_way", "left", 350, 600)
    other = at.case.board_of["locker.wall"].model_copy(update={"name": "back", "face": "rear", "length_mm": 600})
    fitted = tuple(replace(f, board="locker.back") if f.slot == "regulator_1" else f for f in at.build.fitted)
    moved = World(replace(at.case, boards=(*at.case.boards, other)), at.catalogue, replace(at.build, fitted=fitted))

    assert least_mm(moved, "regulator_1") == 50 + 450 + 50 + 200
    assert remark_of(moved, "regulator_1").startswith("too short: the survey asks 750 mm at least")


def test_what_stands_on_one_board_counts_wherever_that_is() -> None:
    """Bay not surveyed, ways of 1500: busbar to fuse row 200, or to shunt row 100 + 200."""
    assert least_mm(world(), "dc_loads") == 1500 + 300


def test_the_order_of_work_stops_before_such_a_cable_is_cut() -> None:
    fit = fit_made(surveyed("roof_way", "left", 350, 601))
    (told,) = [line for line in order_of_work(fit) if "before any cable is cut" in line]

    assert f"survey {len(too_short(fit))} runs need more than the cutting list has them cut to" in told
    assert not any("before any cable is cut" in line for line in order_of_work(fit_made(world())))
