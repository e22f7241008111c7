"""A body of three different sides in every orientation, on wall and floor, rotated or not: audit and model agree.

All bodies of `handmade.py` are squares with one clearance, so that lengths taken for widths would show nowhere there.
"""

from dataclasses import dataclass
from typing import Any, Literal

import pytest

from optimiser import case as c
from tests import handmade
from tests.asking import Changes, broken, taken, world

OBLONG: Changes = (  # 200 x 120, 60 high; 40 free along its length, 25 across and 15 above
    *((f"parts.inverter-1500.{key}_mm", mm) for key, mm in (("length", 200), ("width", 120), ("height", 60))),
    *((f"parts.inverter-1500.clear_{key}_mm", mm) for key, mm in (("length", 40), ("width", 25), ("height", 15))),
    ("parts.inverter-1500.orientations", ("flat", "side", "end")),
)
SWITCH_MM, SWITCH_CLEAR_MM = 100, 20  # square, and the same on every side


@dataclass(frozen=True)
class Standing:
    """How the oblong body stands, and by hand what it takes: its size and what is to be free beside it [mm]."""

    kind: Literal["wall", "floor"]
    orientation: Literal["flat", "side", "end"]
    rotated: bool
    along: tuple[int, int]
    across: tuple[int, int]
    deep: int  # its own size off the board, and what is to be free before it


LENGTH, WIDTH, HEIGHT = (200, 40), (120, 25), (60, 15)
STANDING = [  # upright on a wall unless rotated; along a floor unless rotated
    Standing("wall", "flat", False, WIDTH, LENGTH, 60 + 15),
    Standing("wall", "flat", True, LENGTH, WIDTH, 60 + 15),
    Standing("floor", "flat", False, LENGTH, WIDTH, 60 + 15),
    Standing("floor", "flat", True, WIDTH, LENGTH, 60 + 15),
    Standing("wall", "side", False, HEIGHT, LENGTH, 120 + 25),
    Standing("wall", "side", True, LENGTH, HEIGHT, 120 + 25),
    Standing("floor", "side", False, LENGTH, HEIGHT, 120 + 25),
    Standing("floor", "side", True, HEIGHT, LENGTH, 120 + 25),
    Standing("wall", "end", False, HEIGHT, WIDTH, 200 + 40),
    Standing("wall", "end", True, WIDTH, HEIGHT, 200 + 40),
    Standing("floor", "end", False, WIDTH, HEIGHT, 200 + 40),
    Standing("floor", "end", True, HEIGHT, WIDTH, 200 + 40),
]
every_way = pytest.mark.parametrize(
    "standing", STANDING, ids=[f"{s.kind} {s.orientation}{' rotated' * s.rotated}" for s in STANDING]
)


def alone(standing: Standing, **shorter: int) -> Changes:
    """The body on a board of its own that is just large enough, or shorter by so much."""
    (length, beside), (width, above) = standing.along, standing.across
    size = {"length_mm": length + 2 * beside, "width_mm": width + 2 * above, "depth_mm": standing.deep}
    return _on_its_board(standing, beside, above, {key: mm - shorter.get(key, 0) for key, mm in size.items()})


def beside(standing: Standing, axis: Literal["x", "y"], nearer: int = 0) -> Changes:
    """The body with the switch behind it along x or y, as near as the greater clearance of the two, or nearer."""
    (length, at_x), (width, at_y) = standing.along, standing.across
    gap = max(at_x if axis == "x" else at_y, SWITCH_CLEAR_MM) - nearer
    x, y = (at_x + length + gap, max(at_y, 20)) if axis == "x" else (max(at_x, 20), at_y + width + gap)
    board = {"length_mm": 600, "width_mm": 600, "depth_mm": 250}
    moved: Changes = tuple(
        (f"fitted.switch.{key}", to) for key, to in (("board", "locker.own"), ("x_mm", x), ("y_mm", y))
    )
    return (*_on_its_board(standing, at_x, at_y, board), *moved)


def _on_its_board(standing: Standing, x_mm: int, y_mm: int, size: dict[str, Any]) -> Changes:
    board = c.Board(bay="locker", name="own", kind=standing.kind, reach=True, sight=True, **size)
    stands: dict[str, Any] = {"board": "locker.own", "x_mm": x_mm, "y_mm": y_mm}
    stands |= {"orientation": standing.orientation, "rotated": standing.rotated}
    return (
        *OBLONG,
        ("boards", (*handmade.case().boards, board)),
        *((f"fitted.inverter.{key}", value) for key, value in stands.items()),
    )


@every_way
def test_a_board_just_large_enough_is_and_a_millimetre_less_is_not(standing: Standing) -> None:
    assert broken(world(*alone(standing))) == set() and taken(world(*alone(standing)))
    for side, requirement in (("length_mm", "clearance"), ("width_mm", "clearance"), ("depth_mm", "depth")):
        short = alone(standing, **{side: 1})
        assert broken(world(*short)) == {f"bay.{requirement}[inverter]"}, side
        assert not taken(world(*short)), side


@every_way
@pytest.mark.parametrize("axis", ["x", "y"])
def test_the_greater_clearance_of_two_counts_between_them(standing: Standing, axis: Literal["x", "y"]) -> None:
    assert broken(world(*beside(standing, axis))) == set() and taken(world(*beside(standing, axis)))
    near = beside(standing, axis, nearer=1)
    assert broken(world(*near)) & {"bay.clearance[inverter]", "bay.clearance[switch]"} == broken(world(*near)) != set()
    assert not taken(world(*near))


@pytest.mark.parametrize(("stands", "turns", "standing", "holds"), [
    (("flat", "side"), True, STANDING[8], False),
    (("flat", "end"), True, STANDING[8], True),
    (("flat",), False, STANDING[1], False),  # its maker has it upright on a wall
    (("flat",), False, STANDING[3], True),  # which on a floor it is either way
])  # fmt: skip
def test_a_body_stands_as_its_maker_has_it(stands: Any, turns: bool, standing: Standing, holds: bool) -> None:
    changes = (*alone(standing), ("parts.inverter-1500.orientations", stands), ("parts.inverter-1500.rotatable", turns))

    assert broken(world(*changes)) == (set() if holds else {"bay.orientation[inverter]"})
    assert taken(world(*changes)) is holds
