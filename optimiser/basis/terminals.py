"""Where on its board the cables of a body end, and what of them that takes.

Bodies stand as `bodies.py` has it. How they get there: on its side a body stands on its bottom, on its end on its left
end, and its front is then along the lower edge of the board (its left end to the left, or its bottom to the right). A
quarter turn goes counter-clockwise, as seen from in front of the board: what was left is below then, what was below to
the right.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from optimiser.basis.bodies import Footprint
from optimiser.case import Board
from optimiser.connections import Kind
from optimiser.parts import Body, Holder, Inverter, MainsBox, MainsCharger, Module, Orientation, Shunt, Side, Wired

LUG_MM = 30
"""Of cable in a lug and straight before it (common practice, no source). [mm]"""

MAINS_ROOM_MM = 80
"""Straight out of a body, what a sheathed cable of 3 x 4 mm2 and 12.3 mm takes to turn: six times its outside (common
practice, no source). [mm]"""

_Span = tuple[float, float]

# Orientation -> along x, y and away from the board: axis of the flat body (0 length, 1 width, 2 height), if reversed.
_POSES: dict[Orientation, tuple[tuple[int, bool], ...]] = {
    "flat": ((0, False), (1, False), (2, False)),
    "side": ((0, False), (2, True), (1, False)),
    "end": ((1, True), (2, True), (0, False)),
}
_AWAY = 2
_OUT: dict[Side, tuple[int, bool]] = {
    "left": (0, False), "right": (0, True), "bottom": (1, False), "top": (1, True), "front": (2, True),
}  # fmt: skip
"""Side -> the axis of the flat body across it, whether it is at the far end of that."""


@dataclass(frozen=True)
class Terminals:
    """A rectangle in which a body's cables have left lug and bend, from the lower left corner of its footprint and
    perhaps beyond its edges, and what a cable takes from there to the terminal. [mm]"""

    x0_mm: int
    x1_mm: int
    y0_mm: int
    y1_mm: int
    tail_mm: int

    def quarter_turn(self, foot: Footprint) -> Terminals:
        """The same counter-clockwise, for a footprint that has been turned already."""
        return Terminals(foot.length_mm - self.y1_mm, foot.length_mm - self.y0_mm, self.x0_mm, self.x1_mm, self.tail_mm)

    def joined(self, other: Terminals) -> Terminals:
        """What holds both."""
        return Terminals(
            min(self.x0_mm, other.x0_mm),
            max(self.x1_mm, other.x1_mm),
            min(self.y0_mm, other.y0_mm),
            max(self.y1_mm, other.y1_mm),
            max(self.tail_mm, other.tail_mm),
        )

    def moved(self, x_mm: int, y_mm: int) -> Terminals:
        """The same elsewhere."""
        return Terminals(self.x0_mm + x_mm, self.x1_mm + x_mm, self.y0_mm + y_mm, self.y1_mm + y_mm, self.tail_mm)


def anywhere_on(foot: Footprint) -> Terminals:
    """Of a body whose terminals nobody measured: far enough for any place on it, up to its top."""
    return Terminals(0, foot.length_mm, 0, foot.width_mm, foot.depth_mm - foot.clear_z_mm + LUG_MM)


def of_body(
    body: Body, kind: Kind, foot: Footprint, *, orientation: Orientation, rotated: bool, board: Board
) -> Terminals:
    """Of a body on a board, for a cable of a kind; anywhere on it for data, and where its side is not known or faces
    the board. Not for a part that stays: how it stands is not surveyed."""
    found = _lying(body, kind, foot, orientation)
    if found is None:
        return anywhere_on(foot)
    return found.quarter_turn(foot) if rotated != (board.kind == "wall") else found


def of_block(
    module: Module, foot: Footprint, *, orientation: Orientation, rotated: bool, rows: int, columns: int
) -> Terminals:
    """Of all modules of a bank together. Where they face the next module with less room than lug and bend take, a cable
    goes up and over that."""
    one = _lying(module, "dc", foot, orientation)
    if one is None:
        return anywhere_on(foot)
    wide, high = (foot.width_mm, foot.length_mm) if rotated else (foot.length_mm, foot.width_mm)
    gap_x, gap_y = (foot.clear_y_mm, foot.clear_x_mm) if rotated else (foot.clear_x_mm, foot.clear_y_mm)
    pitch_x, pitch_y = (wide + gap_x) // columns, (high + gap_y) // rows
    sticks_x = max(-one.x0_mm, one.x1_mm - (pitch_x - gap_x))
    sticks_y = max(-one.y0_mm, one.y1_mm - (pitch_y - gap_y))
    if (columns > 1 and sticks_x > gap_x) or (rows > 1 and sticks_y > gap_y):
        one = replace(one, tail_mm=one.tail_mm + 2 * _depth(foot))
    found = one.joined(one.moved((columns - 1) * pitch_x, (rows - 1) * pitch_y))
    return found.quarter_turn(foot) if rotated else found


def of_row(members: Iterable[Holder | Shunt], foot: Footprint, *, rotated: bool) -> Terminals:
    """Of holders or shunts side by side along x, all of them together, whatever their order and whichever of their ends
    are in line; anywhere on the row where one's side is not known or faces its neighbour."""
    across = foot.length_mm if rotated else foot.width_mm
    along = foot.width_mm if rotated else foot.length_mm
    found: Terminals | None = None
    for member in members:
        # Its length goes up the row: upright, as a body on a wall.
        own = Footprint(member.width_mm, member.length_mm, member.height_mm, 0, 0)
        one = _lying(member, "dc", own, "flat")
        if one is None or not {"left", "right", "front"}.issuperset(member.terminal_sides):
            return anywhere_on(foot)
        low = replace(one.quarter_turn(own), x0_mm=0, x1_mm=along)
        both = low.joined(low.moved(0, across - member.length_mm))
        found = found.joined(both) if found else both
    if found is None:
        return anywhere_on(foot)
    return found.quarter_turn(foot) if rotated else found


def _lying(body: Body, kind: Kind, foot: Footprint, orientation: Orientation) -> Terminals | None:
    """Before any quarter turn; None where the side is not known or faces the board."""
    sides, offset_mm, room_mm = _sides(body, kind)
    spots = [_spot(body, side, offset_mm, room_mm, foot, orientation) for side in sides]
    if not spots or None in spots:
        return None
    first, *others = (spot for spot in spots if spot)
    for spot in others:
        first = first.joined(spot)
    return first


def _sides(body: Body, kind: Kind) -> tuple[Sequence[Side], int | None, int]:
    """Sides for cables of a kind, how far terminals are from their middle (None: anywhere there), room for the lug."""
    if kind == "mains" and isinstance(body, Inverter | MainsCharger | MainsBox):
        return (body.mains_side,) if body.mains_side else (), None, MAINS_ROOM_MM
    if kind in ("dc", "solar") and isinstance(body, Wired) and body.lug_room_mm is not None:
        return body.terminal_sides, body.terminal_offset_mm, body.lug_room_mm
    return (), None, 0


def _spot(
    body: Body, side: Side, offset_mm: int | None, room_mm: int, foot: Footprint, orientation: Orientation
) -> Terminals | None:
    size, pose = (body.length_mm, body.width_mm, body.height_mm), _POSES[orientation]
    flat, (across, far) = _on_flat(size, side, offset_mm), _OUT[side]
    spans: list[_Span] = []
    for axis, against in pose:
        low, high = flat[axis]
        spans.append((size[axis] - high, size[axis] - low) if against else (low, high))
    out = next(k for k, (axis, _) in enumerate(pose) if axis == across)
    outwards = far != pose[out][1]
    x, y, (_, off_mm) = spans
    on_top_mm = _depth(foot) - size[pose[_AWAY][0]]  # what stands on a module
    there = Terminals(floor(x[0]), ceil(x[1]), floor(y[0]), ceil(y[1]), room_mm + ceil(off_mm) + on_top_mm)
    if out == _AWAY:  # out, and back down
        return replace(there, tail_mm=there.tail_mm + room_mm) if outwards else None
    step_mm = room_mm if outwards else -room_mm
    return there.moved(step_mm, 0) if out == 0 else there.moved(0, step_mm)


def _on_flat(size: tuple[int, int, int], side: Side, offset_mm: int | None) -> list[_Span]:
    """What terminals on a side may take of a flat body: anywhere across its front, up to half way from its back on the
    other sides; all of a side where no offset is given."""
    across, far = _OUT[side]
    spans: list[_Span] = [(0, mm) for mm in size]
    spans[across] = (size[across], size[across]) if far else (0, 0)
    if offset_mm is not None:
        along = 1 if across == 0 else 0
        spans[along] = (size[along] / 2 - offset_mm, size[along] / 2 + offset_mm)
        if across != _AWAY:
            spans[_AWAY] = (0, size[_AWAY] / 2)
    return spans


def _depth(foot: Footprint) -> int:
    return foot.depth_mm - foot.clear_z_mm
