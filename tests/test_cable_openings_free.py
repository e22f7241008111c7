"""No body is over a hole that cables come in by, nor nearer before it than the hole is wide.

The locker is 1000 long, 600 wide and 800 high, with the wall that all stand on as its left one. On it the busbar is
from x 50 to 150 and from 50 to 150 above the floor, 60 high: its face is 540 from the right wall.
"""

from dataclasses import replace
from itertools import product

import pytest

from optimiser.basis.faces import before_hole, meet
from optimiser.case import CableOpening, Existing, Face
from tests.asking import broken, finding, long_enough, taken, world
from tests.boxes_help import boxes_of
from tests.edges_places import MUCH_DROP, WALL_ON_THE_LEFT
from tests.handmade import World
from tests.packing_help import SOLVED, WANTS, shipped

NAME = "bay.cable_opening[busbar]"


def with_hole(face: Face, left_mm: int, bottom_mm: int, bore_mm: int) -> World:
    """A hole of the roof's way in the locker; every cable reaches."""
    made = CableOpening(way="roof_way", bay="locker", face=face, left_mm=left_mm, bottom_mm=bottom_mm, bore_mm=bore_mm)
    return long_enough(world(*WALL_ON_THE_LEFT, ("cable_openings", (made,)), *MUCH_DROP))


@pytest.mark.parametrize(
    ("face", "bore_mm", "inside", "outside"),
    [
        ("left", 20, (160, 100), (159, 100)),  # beside it on its wall
        ("left", 25, (163, 100), (162, 100)),  # to 149.5
        ("left", 20, (100, 160), (100, 159)),  # above it
        ("floor", 60, (100, 510), (100, 511)),  # up to 60 above the floor, and to 540 or 541 from the right wall
        ("floor", 50, (100, 520), None),  # under it: up to 50
        ("rear", 60, (510, 100), (511, 100)),  # from the right wall; 60 forward, the busbar begins at 50
        ("rear", 50, (560, 100), None),
    ],
)
def test_before_a_hole_there_is_room_or_a_body_stands_in_it(
    face: Face, bore_mm: int, inside: tuple[int, int], outside: tuple[int, int] | None
) -> None:
    at = with_hole(face, *inside, bore_mm)
    assert finding(at, NAME).ok
    assert broken(at) == set()
    assert taken(at)

    if outside:
        at = with_hole(face, *outside, bore_mm)
        assert finding(at, NAME).actual < 0
        assert broken(at) == {NAME}
        assert not taken(at)


def test_a_hole_may_be_as_wide_as_its_way() -> None:
    """The way of the roof has a bore of 25, as the second of the rows above."""
    bores = {way.name: way.bore_mm for way in world().case.ways}
    for left_mm in (162, 163):
        made = CableOpening(way="roof_way", bay="locker", face="left", left_mm=left_mm, bottom_mm=100)
        at = world(*WALL_ON_THE_LEFT, ("cable_openings", (made,)))
        assert finding(at, NAME).actual == left_mm - bores["roof_way"] / 2 - 150


def test_what_stays_where_it_was_found_may_be_over_a_hole() -> None:
    at = with_hole("left", 700, 100, 20)  # in the middle of the mains box
    box = next(f for f in at.build.fitted if f.slot == "mains_box")
    assert broken(at) == {"bay.cable_opening[mains_box]"}

    old = Existing(
        name="old", kind="part", part=box.part, board=box.board, x_mm=box.x_mm, y_mm=box.y_mm, length_mm=100,
        width_mm=100, depth_mm=60,
    )  # fmt: skip
    fitted = tuple(replace(f, existing=True) if f is box else f for f in at.build.fitted)
    stays = World(replace(at.case, existing=(old,)), at.catalogue, replace(at.build, fitted=fitted))
    assert broken(stays) == set()
    assert taken(stays)


def test_where_a_board_is_not_surveyed_nothing_is_known() -> None:
    made = CableOpening(way="roof_way", bay="locker", face="left", left_mm=100, bottom_mm=100, bore_mm=20)
    at = long_enough(world(("cable_openings", (made,))))

    assert not [name for name in broken(at) if name.startswith("bay.cable_opening")]
    assert taken(at)


@pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))
def test_no_body_of_a_best_build_is_before_a_hole(name: str, want: str) -> None:
    """By their boxes, whatever the finding says."""
    fit = shipped(name, want)
    holes = [(o.bay, room) for o in fit.case.cable_openings if (room := before_hole(fit.case, o))]
    boxes = [(s.board.bay, box) for s, box in boxes_of(fit) if not s.existing]

    assert len(holes) > 4 and len(boxes) > 8
    assert not [1 for (bay, box), (there, room) in product(boxes, holes) if bay == there and meet(box, room)]
