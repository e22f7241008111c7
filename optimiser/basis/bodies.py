"""Bodies on boards: what a part takes of a board as it stands there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from optimiser.case import Board, Existing
from optimiser.parts import Body, Holder, Orientation, Shunt


@dataclass(frozen=True)
class Footprint:
    """Size on the board and clearance wanted each side, along the board's length (x) and width (y) [mm]."""

    length_mm: int
    width_mm: int
    depth_mm: int  # body and the clearance in front of it
    clear_x_mm: int
    clear_y_mm: int
    clear_z_mm: int = 0  # the clearance in ``depth_mm``

    def quarter_turn(self) -> Footprint:
        """The same body rotated in the plane of the board."""
        rotated = self.width_mm, self.length_mm, self.depth_mm
        return Footprint(*rotated, self.clear_y_mm, self.clear_x_mm, self.clear_z_mm)


def _standing(body: Body, orientation: Orientation) -> Footprint:
    size = {"l": body.length_mm, "w": body.width_mm, "h": body.height_mm}
    clear = {"l": body.clear_length_mm, "w": body.clear_width_mm, "h": body.clear_height_mm}
    along, across, away = {"flat": ("l", "w", "h"), "side": ("l", "h", "w"), "end": ("w", "h", "l")}[orientation]
    deep = size[away] + clear[away]
    return Footprint(size[along], size[across], deep, clear[along], clear[across], clear[away])


def footprint(body: Body, *, orientation: Orientation, rotated: bool, board: Board) -> Footprint:
    """Unrotated, a body lies along a floor and stands upright (its length up) on a wall."""
    print_ = _standing(body, orientation)
    return print_.quarter_turn() if rotated != (board.kind == "wall") else print_


def staying(body: Body, existing: Existing) -> Footprint:
    """A part that stays, as measured where it stands. How it was rotated is not surveyed: its greatest clearance
    counts on every side."""
    clear = max(body.clear_length_mm, body.clear_width_mm, body.clear_height_mm)
    return Footprint(existing.length_mm, existing.width_mm, existing.depth_mm, clear, clear)


def block(module: Body, *, orientation: Orientation, rotated: bool, rows: int, columns: int) -> Footprint:
    """A bank on a floor: equal rows of modules, each with its own clearance to the next."""
    one = _standing(module, orientation)
    whole = Footprint(
        columns * one.length_mm + (columns - 1) * one.clear_x_mm,
        rows * one.width_mm + (rows - 1) * one.clear_y_mm,
        one.depth_mm,
        one.clear_x_mm,
        one.clear_y_mm,
        one.clear_z_mm,
    )
    return whole.quarter_turn() if rotated else whole


def may_stand(body: Body, *, orientation: Orientation, rotated: bool, board: Board) -> bool:
    """Whether the maker allows it to stand so on such a board."""
    if orientation not in body.orientations or body.mounts not in (board.kind, "either"):
        return False
    return not rotated or body.rotatable or board.kind == "floor"


def row(members: Iterable[Holder | Shunt]) -> Footprint:
    """Holders or shunts side by side along x; may be rotated; the widest clearance of any holds for all."""
    bodies = list(members)
    if not bodies:
        return Footprint(0, 0, 0, 0, 0)
    deep = max(b.height_mm + b.clear_height_mm for b in bodies)
    return Footprint(
        sum(b.width_mm for b in bodies),
        max(b.length_mm for b in bodies),
        deep,
        max(b.clear_width_mm for b in bodies),
        max(b.clear_length_mm for b in bodies),
        deep - max(b.height_mm for b in bodies),
    )


def passes(body: Body, *, opening_length_mm: int, opening_width_mm: int) -> bool:
    """Whether it goes through an opening, smallest face first."""
    small, middle, _ = sorted((body.length_mm, body.width_mm, body.height_mm))
    return small <= min(opening_length_mm, opening_width_mm) and middle <= max(opening_length_mm, opening_width_mm)
