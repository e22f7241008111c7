"""Bodies on two boards of a bay: none takes another's room, nor the free space that another needs before it.

The locker is 1000 long, 600 wide and 800 high. Its wall is the left one; the switch stands on its floor before the
mains box, which is on the wall from x 650 to 750 and from 50 to 150 above the floor. Each is 100 by 100, 60 high, and
needs 20 mm before it.
"""

from dataclasses import replace
from itertools import product

import pytest

from optimiser import case as c
from optimiser.basis.faces import meet
from optimiser.fitted import fit_of
from tests.asking import Changes, broken, finding, long_enough, reaching, taken, world
from tests.boxes_help import boxes_of
from tests.edges_places import BEFORE_THE_BOX
from tests.packing_help import SOLVED, WANTS, shipped


def before_the_box(*changes: tuple[str, object]) -> Changes:
    return (*BEFORE_THE_BOX, *changes)


@pytest.mark.parametrize(
    ("knob", "inside", "outside"),
    [
        ("fitted.switch.y_mm", 420, 421),  # 600 less 60 of the box and 20 before it, less 100 of the switch
        ("parts.mains-box-2.clear_height_mm", 20, 21),
        ("parts.mains-box-2.height_mm", 60, 61),
        ("boards.floor_of_locker.bottom_mm", 0, 1),
    ],
)
def test_along_one_axis_there_is_room_or_they_meet(knob: str, inside: int, outside: int) -> None:
    for value, holds in ((inside, True), (outside, False)):
        at = reaching(*before_the_box(("fitted.switch.y_mm", 420), (knob, value)))

        assert finding(at, "bay.space[switch]").actual == (0 if holds else -1)
        assert finding(at, "bay.space[mains_box]").actual == (0 if holds else -1)
        assert broken(at) == (set() if holds else {"bay.space[switch]", "bay.space[mains_box]"})
        assert taken(at) is holds


@pytest.mark.parametrize(
    ("changes", "room_mm"),
    [
        ((("fitted.switch.x_mm", 540),), 10),  # beside it: the switch ends at 640
        ((("fitted.switch.x_mm", 550),), 0),
        ((("fitted.mains_box.y_mm", 80),), 0),  # above it: 60 and 20 before the switch
        ((("fitted.mains_box.y_mm", 79),), -1),
        ((("parts.switch.clear_height_mm", 25), ("fitted.mains_box.y_mm", 85)), 0),
    ],
)
def test_beside_it_or_above_it_is_as_good(changes: Changes, room_mm: int) -> None:
    at = world(*before_the_box(("fitted.switch.y_mm", 450), *changes))

    assert finding(at, "bay.space[switch]").actual == room_mm
    assert taken(at) is (room_mm >= 0)


def test_a_fixture_on_another_board_is_not_in_the_way_either() -> None:
    pump = c.Existing(
        name="pump",
        kind="fixture",
        board="locker.floor_of_locker",
        x_mm=650,
        y_mm=220,
        length_mm=100,
        width_mm=100,
        depth_mm=60,
    )
    for y_mm, holds in ((420, True), (421, False)):  # it needs nothing before it, the box its 20 mm
        there = pump.model_copy(update={"y_mm": y_mm})
        at = world(*before_the_box(("fitted.switch.x_mm", 50), ("fitted.switch.y_mm", 50)))
        at = long_enough(replace(at, case=replace(at.case, existing=(*at.case.existing, there))))

        assert ("bay.space[mains_box]" not in broken(at)) is holds
        assert taken(at) is holds


def test_a_body_that_sticks_out_of_its_bay_is_measured_all_the_same() -> None:
    """It is said to stick out; no body of another board is beyond the bay."""
    at = world(*before_the_box(("fitted.switch.y_mm", 5000)))

    assert "bay.board[switch]" in broken(at)
    assert finding(at, "bay.space[switch]").actual == 5000 - 600


def test_where_a_board_is_not_surveyed_nothing_is_known_of_its_bodies() -> None:
    at = world(*before_the_box(("fitted.switch.y_mm", 450), ("boards.floor_of_locker.face", None)))

    assert not [name for name in broken(at) if name.startswith("bay.space")]
    assert taken(at)


@pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))
def test_no_two_bodies_of_a_best_build_take_the_same_room(name: str, want: str) -> None:
    """By their boxes, whatever the finding says."""
    fit = shipped(name, want)
    fit = fit_of(fit.case, fit.catalogue, fit.build)
    boxes = [(s.board.bay, box) for s, box in boxes_of(fit)]

    assert len(boxes) > 8
    assert not [
        1 for k, (bay, box) in enumerate(boxes) for there, other in boxes[:k] if bay == there and meet(box, other)
    ]
