"""Places in a bay from the survey, and lengths along its faces: worked out by hand, and held to the plain geometry."""

from dataclasses import replace
from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.basis.faces import meet, opening_point, patch, solid
from optimiser.case import CableOpening, Case
from optimiser.physics.surfaces import Patch
from tests import handmade

# A bay 600 long, 400 wide and 500 high, with a board on each face but the ceiling, 20 mm from its left edge, 30 up.
SIZE = (600, 400, 500)
CORNER = {
    "floor": (20, 30, 0),
    "left": (20, 400, 30),
    "right": (580, 0, 30),
    "front": (600, 380, 30),
    "rear": (0, 20, 30),
}
ACROSS = {  # 100 along the board and 200 up it
    "floor": (120, 230, 0),
    "left": (120, 400, 230),
    "right": (480, 0, 230),
    "front": (600, 280, 230),
    "rear": (0, 120, 230),
}


def surveyed(**openings: tuple[str, int, int]) -> Case:
    """The bay in place of the handmade trailer's, with a way to it for each opening, and one without."""
    made = handmade.case()
    bay = made.bays[0].model_copy(update=dict(zip(("length_mm", "width_mm", "height_mm"), SIZE, strict=True)))
    given: dict[str, Any] = {"bay": bay.name, "length_mm": 200, "width_mm": 300, "depth_mm": 100}
    boards = [
        made.boards[0].model_copy(
            update=given
            | {"name": face, "kind": "floor" if face == "floor" else "wall", "face": face}
            | {"left_mm": 20, "bottom_mm": 30}
        )
        for face in CORNER
    ]
    loose = boards[1].model_copy(update={"name": "loose", "face": None, "left_mm": None, "bottom_mm": None})
    far = boards[0].model_copy(update={"name": "far", "bay": made.bays[1].name})
    ways = tuple(made.ways[0].model_copy(update={"name": name, "start": bay.name}) for name in (*openings, "unknown"))
    holes = tuple(
        CableOpening(way=way, bay=bay.name, face=face, left_mm=left, bottom_mm=bottom)  # type: ignore[arg-type]
        for way, (face, left, bottom) in openings.items()
    )
    bays = (bay, *made.bays[1:])
    return replace(made, bays=bays, boards=(*boards, loose, far), ways=ways, cable_openings=holes)


CASE = surveyed(duct=("ceiling", 500, 100), hole=("front", 50, 40))
BAY = CASE.bays[0].name


@pytest.mark.parametrize("face", CORNER)
def test_a_point_of_a_board_is_where_one_sees_it_from_inside(face: str) -> None:
    for at, point in ((0, 0), CORNER[face]), ((100, 200), ACROSS[face]):
        x, y = at
        assert patch(CASE, f"{BAY}.{face}", (x, x), (y, y)) == Patch(face, point, point)


def test_a_hole_is_where_one_sees_it_from_inside() -> None:
    assert opening_point(CASE, BAY, "duct") == (500, 100, 500)
    assert opening_point(CASE, BAY, "hole") == (600, 350, 40)  # the front's left is the vehicle's left


def test_what_is_not_surveyed_is_nowhere() -> None:
    assert patch(CASE, f"{BAY}.loose", (0, 0), (0, 0)) is None
    assert opening_point(CASE, BAY, "unknown") is None
    assert opening_point(CASE, CASE.bays[1].name, "duct") is None


SOLIDS = {  # 100 by 200, 50 off the board: the face's corner of ACROSS, and away from the face
    "floor": ((20, 30, 0), (120, 230, 50)),
    "left": ((20, 350, 30), (120, 400, 230)),
    "right": ((480, 0, 30), (580, 50, 230)),
    "front": ((550, 280, 30), (600, 380, 230)),
    "rear": ((0, 20, 30), (50, 120, 230)),
}


@pytest.mark.parametrize("face", SOLIDS)
def test_a_body_reaches_from_its_face_into_the_bay(face: str) -> None:
    assert solid(CASE, f"{BAY}.{face}", x=(0, 100), y=(0, 200), off_mm=50) == SOLIDS[face]


def test_a_body_of_a_loose_board_is_nowhere() -> None:
    assert solid(CASE, f"{BAY}.loose", x=(0, 100), y=(0, 200), off_mm=50) is None


@pytest.mark.parametrize(("off", "together"), [(100, False), (101, True)])
def test_bodies_meet_where_they_take_the_same_room(off: int, together: bool) -> None:
    """On the rear wall 30 up, 100 along; on the floor from 20 forward, 30 to the left: 120 off the floor is 90 over."""
    floor = solid(CASE, f"{BAY}.floor", x=(80, 180), y=(0, 200), off_mm=120)
    rear = solid(CASE, f"{BAY}.rear", x=(0, 100), y=(0, 200), off_mm=off)
    assert floor and rear and floor[0] == (100, 30, 0) and rear[1][0] == off
    assert meet(floor, rear) is meet(rear, floor) is together


BOX = st.tuples(*[st.tuples(st.integers(0, 5), st.integers(1, 4))] * 3)


@given(one=BOX, other=BOX)
def test_they_meet_if_some_cube_of_a_millimetre_is_in_both(
    one: tuple[tuple[int, int], ...], other: tuple[tuple[int, int], ...]
) -> None:
    def cubes(box: tuple[tuple[int, int], ...]) -> set[tuple[int, ...]]:
        return set(product(*(range(at, at + size) for at, size in box)))

    solids = [(tuple(at for at, _ in box), tuple(at + size for at, size in box)) for box in (one, other)]
    assert meet(*solids) is bool(cubes(one) & cubes(other))  # type: ignore[arg-type]
