"""Where the terminals of a body come to be on its board: by hand, and against a body rotated in space."""

from itertools import product
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser import case as c
from optimiser import parts as p
from optimiser.basis import bodies, terminals
from optimiser.basis.bodies import Footprint
from optimiser.basis.terminals import LUG_MM, MAINS_ROOM_MM, Terminals, anywhere_on
from tests import handmade

ORIENTATIONS: tuple[p.Orientation, ...] = ("flat", "side", "end")
SIDES: tuple[p.Side, ...] = ("left", "right", "bottom", "top", "front")
CATALOGUE = handmade.catalogue()


def board(kind: Literal["floor", "wall"]) -> c.Board:
    return c.Board(
        bay="locker", name="own", kind=kind, length_mm=600, width_mm=600, depth_mm=400, reach=True, sight=True
    )


def inverter(**columns: Any) -> p.Inverter:
    """200 x 120, 60 high, its outermost terminal 20 from the middle of a side, with 45 for lug and bend."""
    size = {"length_mm": 200, "width_mm": 120, "height_mm": 60, "orientations": ORIENTATIONS}
    clear = {"clear_length_mm": 40, "clear_width_mm": 25, "clear_height_mm": 15}
    known = {"terminal_offset_mm": 20, "lug_room_mm": 45}
    return CATALOGUE.of("inverters")["inverter-1500"].model_copy(update=size | clear | known | columns)


def of(
    body: p.Body, kind: Any = "dc", orientation: p.Orientation = "flat", rotated: bool = False, on: Any = "floor"
) -> Terminals:
    stands: Any = {"orientation": orientation, "rotated": rotated, "board": board(on)}
    return terminals.of_body(body, kind, bodies.footprint(body, **stands), **stands)


# Side, orientation, whether with a quarter turn: on a floor where it is rotated, on a wall where it is not. Flat it is
# 200 x 120 and 60 off the board, so terminals of a side are at most 30 off it; on its side 200 x 60 and 120 off, on its
# end 120 x 60 and 200 off. Worked out by hand.
BY_HAND: dict[tuple[p.Side, p.Orientation, bool], Terminals] = {
    ("left", "flat", False): Terminals(-45, -45, 40, 80, 45 + 30),
    ("left", "flat", True): Terminals(40, 80, -45, -45, 45 + 30),  # below
    ("left", "side", False): Terminals(-45, -45, 30, 60, 45 + 80),  # its back is above, its lower half up there
    ("left", "side", True): Terminals(0, 30, -45, -45, 45 + 80),
    ("left", "end", False): Terminals(0, 120, 0, 60, 200 + LUG_MM),  # faces the board: anywhere
    ("left", "end", True): Terminals(0, 60, 0, 120, 200 + LUG_MM),
    ("right", "flat", False): Terminals(245, 245, 40, 80, 45 + 30),
    ("right", "flat", True): Terminals(40, 80, 245, 245, 45 + 30),  # above
    ("right", "side", False): Terminals(245, 245, 30, 60, 45 + 80),
    ("right", "side", True): Terminals(0, 30, 245, 245, 45 + 80),
    ("right", "end", False): Terminals(40, 80, 30, 60, 45 + 45 + 200),  # faces away: out, and back down
    ("right", "end", True): Terminals(0, 30, 40, 80, 45 + 45 + 200),
    ("bottom", "flat", False): Terminals(80, 120, -45, -45, 45 + 30),
    ("bottom", "flat", True): Terminals(165, 165, 80, 120, 45 + 30),  # to the right
    ("bottom", "side", False): Terminals(0, 200, 0, 60, 120 + LUG_MM),  # faces the board
    ("bottom", "side", True): Terminals(0, 60, 0, 200, 120 + LUG_MM),
    ("bottom", "end", False): Terminals(165, 165, 30, 60, 45 + 120),  # to the right, up to 120 off
    ("bottom", "end", True): Terminals(0, 30, 165, 165, 45 + 120),
    ("top", "flat", False): Terminals(80, 120, 165, 165, 45 + 30),
    ("top", "flat", True): Terminals(-45, -45, 80, 120, 45 + 30),  # to the left
    ("top", "side", False): Terminals(80, 120, 30, 60, 45 + 45 + 120),  # faces away
    ("top", "side", True): Terminals(0, 30, 80, 120, 45 + 45 + 120),
    ("top", "end", False): Terminals(-45, -45, 30, 60, 45 + 120),
    ("top", "end", True): Terminals(0, 30, -45, -45, 45 + 120),
    ("front", "flat", False): Terminals(80, 120, 0, 120, 45 + 45 + 60),  # anywhere across it
    ("front", "flat", True): Terminals(0, 120, 80, 120, 45 + 45 + 60),
    ("front", "side", False): Terminals(80, 120, -45, -45, 45 + 120),  # along the lower edge
    ("front", "side", True): Terminals(105, 105, 80, 120, 45 + 120),  # and then to the right
    ("front", "end", False): Terminals(0, 120, -45, -45, 45 + 120),
    ("front", "end", True): Terminals(105, 105, 0, 120, 45 + 120),
}  # fmt: skip


def test_every_side_stands_every_way() -> None:
    assert list(BY_HAND) == list(product(SIDES, ORIENTATIONS, (False, True)))


@pytest.mark.parametrize(("side", "orientation", "turned"), BY_HAND)
def test_a_side_comes_to_be_where_it_does_by_hand(side: p.Side, orientation: p.Orientation, turned: bool) -> None:
    body = inverter(terminal_sides=(side,))

    for kind in ("dc", "solar"):
        assert of(body, kind, orientation, turned, "floor") == BY_HAND[side, orientation, turned]
        assert of(body, kind, orientation, not turned, "wall") == BY_HAND[side, orientation, turned]


def test_half_millimetres_go_to_the_longer_side() -> None:
    # The middle of 121 is 60.5; half way up 61 is 30.5.
    odd = inverter(terminal_sides=("left",), width_mm=121, height_mm=61)
    assert of(odd) == Terminals(-45, -45, 40, 81, 45 + 31)


def test_several_sides_are_in_one_rectangle() -> None:
    assert of(inverter(terminal_sides=("left", "right"))) == Terminals(-45, 245, 40, 80, 45 + 30)
    assert of(inverter(terminal_sides=("left", "front"))) == Terminals(-45, 120, 0, 120, 45 + 45 + 60)
    one_faces_the_board = inverter(terminal_sides=("bottom", "right"))
    assert of(one_faces_the_board, "dc", "side") == Terminals(0, 200, 0, 60, 120 + LUG_MM)


def test_mains_cables_are_anywhere_on_their_side() -> None:
    body = inverter(terminal_sides=("left",), mains_side="right")
    box = CATALOGUE.of("mains_boxes")["mains-box-2"].model_copy(update={"mains_side": "left"})  # 100 x 100, 60 high
    charger = CATALOGUE.of("mains_chargers")["mains-charger-30"].model_copy(update={"mains_side": "top"})

    assert of(body, "mains") == Terminals(200 + MAINS_ROOM_MM, 200 + MAINS_ROOM_MM, 0, 120, MAINS_ROOM_MM + 60)
    assert of(box, "mains", on="wall") == Terminals(0, 100, -MAINS_ROOM_MM, -MAINS_ROOM_MM, MAINS_ROOM_MM + 60)
    assert of(charger, "mains") == Terminals(0, 100, 100 + MAINS_ROOM_MM, 100 + MAINS_ROOM_MM, MAINS_ROOM_MM + 60)


def test_what_is_not_known_is_anywhere() -> None:
    known = inverter(terminal_sides=("left",), mains_side="left")
    display = CATALOGUE.of("displays")["display-8"]
    anywhere = Terminals(0, 200, 0, 120, 60 + LUG_MM)

    assert of(known, "data") == anywhere
    assert of(inverter(), "dc") == of(inverter(), "mains") == anywhere
    assert of(display, "dc") == of(display, "data") == Terminals(0, 100, 0, 100, 60 + LUG_MM)


# --- against a box rotated in space -------------------------------------------------------------------

# x, y, z of the body as it stands, by rows, from its length, width and height as it lies flat.
ROTATIONS: dict[p.Orientation, tuple[tuple[int, int, int], ...]] = {
    "flat": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "side": ((1, 0, 0), (0, 0, -1), (0, 1, 0)),  # up on its bottom: what was up lies away, the front comes down
    "end": ((0, -1, 0), (0, 0, -1), (1, 0, 0)),
}
QUARTER = ((0, -1, 0), (1, 0, 0), (0, 0, 1))
NORMALS = {"left": (-1, 0, 0), "right": (1, 0, 0), "bottom": (0, -1, 0), "top": (0, 1, 0), "front": (0, 0, 1)}


def rotated_by(matrix: Any, vector: Any) -> tuple[float, ...]:
    return tuple(sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)


def in_space(body: p.Wired, side: p.Side, orientation: p.Orientation, turned: bool) -> tuple[Any, Any]:
    """Ends of the side's line of terminals where lug and bend are over, from the body's lower left corner at the board,
    and the side's way out."""
    half = (body.length_mm / 2, body.width_mm / 2, body.height_mm / 2)
    normal = NORMALS[side]
    along = (0, 1, 0) if side in ("left", "right") else (1, 0, 0)
    offset, room = body.terminal_offset_mm or 0, body.lug_room_mm or 0
    found = []
    for sign in (-1, 1):
        point = tuple(n * (h + room) + sign * offset * a for n, h, a in zip(normal, half, along, strict=True))
        found.append(_posed(point, orientation, turned))
    sizes = [abs(s) for s in _posed(half, orientation, turned)]
    return [tuple(v + s for v, s in zip(end, sizes, strict=True)) for end in found], _posed(normal, orientation, turned)


def _posed(vector: Any, orientation: p.Orientation, turned: bool) -> tuple[float, ...]:
    there = rotated_by(ROTATIONS[orientation], vector)
    return rotated_by(QUARTER, there) if turned else there


@pytest.mark.parametrize("matrix", [*ROTATIONS.values(), QUARTER])
def test_no_way_to_stand_is_a_mirror_image(matrix: Any) -> None:
    (a, b, c_), (d, e, f), (g, h, i) = matrix
    assert a * (e * i - f * h) - b * (d * i - f * g) + c_ * (d * h - e * g) == 1


@st.composite
def bodies_known(draw: st.DrawFn, room: st.SearchStrategy[int]) -> p.Inverter:
    length, width, height = (draw(st.integers(1, 700)) for _ in range(3))
    side: p.Side = draw(st.sampled_from(SIDES))
    offset = draw(st.integers(0, (width if side in ("left", "right") else length) // 2))
    size = {"length_mm": length, "width_mm": width, "height_mm": height}
    return inverter(terminal_sides=(side,), terminal_offset_mm=offset, lug_room_mm=draw(room), **size)


BOARDS = st.sampled_from(("floor", "wall"))
ways = given(orientation=st.sampled_from(ORIENTATIONS), rotated=st.booleans(), on=BOARDS, data=st.data())


def foot_of(body: p.Body, orientation: p.Orientation, rotated: bool, on: Any) -> Footprint:
    return bodies.footprint(body, orientation=orientation, rotated=rotated, board=board(on))


@ways
def test_a_body_rotated_in_space_has_its_terminals_there(
    orientation: p.Orientation, rotated: bool, on: Any, data: st.DataObject
) -> None:
    body = data.draw(bodies_known(st.integers(0, 200)))
    found, foot = of(body, "dc", orientation, rotated, on), foot_of(body, orientation, rotated, on)
    ends, out = in_space(body, body.terminal_sides[0], orientation, rotated != (on == "wall"))

    if out == (0, 0, -1):
        assert found == anywhere_on(foot)
        return
    for x, y, z in ends:
        assert found.x0_mm <= x <= found.x1_mm
        assert found.y0_mm <= y <= found.y1_mm
        assert found.tail_mm >= (body.lug_room_mm or 0) + z


@ways
def test_lug_and_bend_are_beyond_one_edge_of_the_footprint(
    orientation: p.Orientation, rotated: bool, on: Any, data: st.DataObject
) -> None:
    body = data.draw(bodies_known(st.integers(1, 200)))
    found, foot = of(body, "dc", orientation, rotated, on), foot_of(body, orientation, rotated, on)
    _, (out_x, out_y, _) = in_space(body, body.terminal_sides[0], orientation, rotated != (on == "wall"))

    beyond = {
        (-1, 0): -found.x1_mm,
        (1, 0): found.x0_mm - foot.length_mm,
        (0, -1): -found.y1_mm,
        (0, 1): found.y0_mm - foot.width_mm,
    }  # fmt: skip
    assert {way for way, mm in beyond.items() if mm > 0} == {(out_x, out_y)} - {(0, 0)}
    assert beyond.get((out_x, out_y), body.lug_room_mm) == body.lug_room_mm
    if out_x == 0:
        assert found.x0_mm >= 0 and found.x1_mm <= foot.length_mm
    if out_y == 0:
        assert found.y0_mm >= 0 and found.y1_mm <= foot.width_mm


def furthest(on: Terminals, x: int, y: int) -> int:
    """From the furthest place of the rectangle to a place of the board, along x and then along y, and the tail."""
    return max(abs(x - on.x0_mm), abs(x - on.x1_mm)) + max(abs(y - on.y0_mm), abs(y - on.y1_mm)) + on.tail_mm


@ways
def test_anywhere_is_never_nearer_than_where_they_are(
    orientation: p.Orientation, rotated: bool, on: Any, data: st.DataObject
) -> None:
    body = data.draw(bodies_known(st.just(0)))
    found, foot = of(body, "dc", orientation, rotated, on), foot_of(body, orientation, rotated, on)
    x, y = data.draw(st.tuples(st.integers(-900, 900), st.integers(-900, 900)))

    assert furthest(anywhere_on(foot), x, y) >= furthest(found, x, y)


# --- banks and rows -----------------------------------------------------------------------------------


def module(**columns: Any) -> p.Module:
    """300 x 170, 210 high; 20 between modules, along and across."""
    known = {"terminal_sides": ("front",), "terminal_offset_mm": 120, "lug_room_mm": 25}
    return CATALOGUE.of("modules")["module-100"].model_copy(update=known | columns)


def block(one: p.Module, on_top: int = 0, **stands: Any) -> Terminals:
    way: Any = {"orientation": "flat", "rotated": False} | stands
    foot = bodies.block(one, **way)
    raised = Footprint(
        foot.length_mm, foot.width_mm, foot.depth_mm + on_top, foot.clear_x_mm, foot.clear_y_mm, foot.clear_z_mm
    )
    return terminals.of_block(one, raised, **way)


def test_a_bank_has_the_terminals_of_all_its_modules() -> None:
    # The third module begins at 640; 2 x 170 and 20 between are 360 across. 60 stand on the terminals.
    assert block(module(), rows=2, columns=3) == Terminals(30, 640 + 270, 0, 360, 25 + 25 + 210)
    assert block(module(), rows=2, columns=3, rotated=True) == Terminals(0, 360, 30, 640 + 270, 25 + 25 + 210)
    assert block(module(), rows=1, columns=1, on_top=60) == Terminals(30, 270, 0, 170, 25 + 25 + 210 + 60)
    assert block(module(terminal_sides=()), rows=1, columns=1) == Terminals(0, 300, 0, 170, 210 + LUG_MM)
    upright = module(terminal_sides=("left",), terminal_offset_mm=0)
    assert block(upright, rows=1, columns=1, orientation="end") == Terminals(0, 170, 0, 210, 300 + LUG_MM)


@pytest.mark.parametrize(("room", "over"), [(20, 0), (21, 2 * 170)])
def test_between_modules_a_cable_goes_over_the_next_unless_it_has_room(room: int, over: int) -> None:
    """On their sides with the fronts along the lower edge, 170 off the floor, 230 from row to row."""
    one = module(lug_room_mm=room)

    found = block(one, rows=2, columns=1, orientation="side")
    assert found == Terminals(30, 270, -room, 230 - room, room + 170 + over)
    assert block(one, rows=1, columns=2, orientation="side").tail_mm == room + 170  # nothing before the fronts
    turned = block(one, rows=2, columns=1, orientation="side", rotated=True)
    assert turned == Terminals(440 - 230 + room, 440 + room, 30, 270, room + 170 + over)
    ends = module(terminal_sides=("left",), terminal_offset_mm=0, lug_room_mm=room)
    assert block(ends, rows=1, columns=2).tail_mm == room + 105 + (2 * 210 if over else 0)
    assert block(ends, rows=2, columns=1).tail_mm == room + 105


def holder(**columns: Any) -> p.Holder:
    """60 x 30, 40 high: 30 of the row, 60 across it."""
    known = {"terminal_sides": ("left", "right"), "terminal_offset_mm": 0, "lug_room_mm": 45}
    return CATALOGUE.of("holders")["holder-row"].model_copy(update=known | columns)


def test_a_row_has_the_terminals_of_all_its_members() -> None:
    small, large = holder(), holder(length_mm=100, width_mm=40, height_mm=50, lug_room_mm=65)
    foot = bodies.row([small, large, small])
    assert (foot.length_mm, foot.width_mm) == (100, 100)

    assert terminals.of_row([small, large, small], foot, rotated=False) == Terminals(0, 100, -65, 165, 65 + 25)
    foot = bodies.row([small, large])
    across = terminals.of_row([small, large], foot.quarter_turn(), rotated=True)
    assert across == Terminals(-65, 165, 0, 70, 65 + 25)


def test_members_of_a_row_may_be_in_line_at_either_end() -> None:
    long, below = holder(length_mm=100, terminal_sides=("front",)), holder(terminal_sides=("left",))
    foot = bodies.row([long, below])
    alone = bodies.row([below])

    # The left end is below. A holder of 60 in a row 100 across may begin at 0 or at 40.
    assert terminals.of_row([below], alone, rotated=False) == Terminals(0, 30, -45, -45, 45 + 20)
    assert terminals.of_row([below], alone.quarter_turn(), rotated=True) == Terminals(105, 105, 0, 30, 45 + 20)
    assert terminals.of_row([long, below], foot, rotated=False) == Terminals(0, 60, -45, 50, 45 + 45 + 40)
    foot = bodies.row([holder(length_mm=100), below])
    assert terminals.of_row([below], foot, rotated=False) == Terminals(0, 60, -45, -5, 45 + 20)


def test_a_row_that_is_not_known_has_them_anywhere() -> None:
    foot = bodies.row([holder(), holder()])
    anywhere = Terminals(0, 60, 0, 60, 40 + LUG_MM)

    assert terminals.of_row([holder(), holder(terminal_sides=())], foot, rotated=False) == anywhere
    assert terminals.of_row([holder(), holder(terminal_sides=("left", "top"))], foot, rotated=False) == anywhere
    assert terminals.of_row([], bodies.row([]), rotated=False) == Terminals(0, 0, 0, 0, LUG_MM)
