"""Runs that the survey's holes and boards ask to be longer than they are cut: told, held to nothing yet.

The wall of the locker by hand (1000 x 600 x 800) is put on its left side: along it x forward, z up.
"""

from dataclasses import replace

import pytest

from optimiser.basis import faces
from optimiser.case import CableOpening
from optimiser.fitted.drawn import by_holes_mm, too_short
from optimiser.fitted.wiring import routed_runs
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
    assert ("too short: by its holes 2301 mm at least; the drop holds up to" in remark_of(at, "solar_a")) is short


def test_round_the_corner_to_a_hole_in_the_rear_wall() -> None:
    """At 200, 100 of the rear: 250 + 400 + 250 from the shunt row, which is 100 + 200 from the busbar; ways of 1500."""
    at = surveyed("loads_way", "rear", 200, 100)

    assert least_mm(at, "dc_loads") == 1500 + 300 + 900
    assert "too short: by its holes 2700 mm at least; the drop no longer holds" in remark_of(at, "dc_loads")


def test_what_is_not_surveyed_asks_nothing() -> None:
    assert too_short(fit_made(world())) == []
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
