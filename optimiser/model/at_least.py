"""The least that a cable goes in bays whatever the places of bodies on their boards: implied by `along_faces`.

`lengths` takes either: what it makes of this one is in the model before places are, which then comes nearer to what
cables take.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from optimiser.basis import faces
from optimiser.case import Board
from optimiser.connections import slot_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Expr, total
from optimiser.model.slots import clear_mm
from optimiser.physics.surfaces import Patch, between_patches_mm


@dataclass
class AtLeast:
    """Lengths in bays, from where bodies stand on boards alone."""

    ctx: FitOut
    _to_holes: dict[tuple[str, str, str], Expr] = field(default_factory=dict)

    def between(self, one: str, other: str) -> Expr:
        """From edge to edge of two bodies always in one bay: what they keep clear, or from board to board."""
        if not (_by_busbars(one) and _by_busbars(other)):
            return 0
        places = [self._places(body) for body in (one, other)]
        board_of, clear = self.ctx.case.board_of, max(clear_mm(self.ctx, one), clear_mm(self.ctx, other))
        pairs = [(board_of[p], board_of[q]) for p in places[0] for q in places[1]]
        return min((self._apart_mm(p, q, clear) for p, q in pairs if p.bay == q.bay), default=0)

    def to_hole(self, body: str, bay: str, way: str) -> Expr:
        """From the edge of a body that stands in a bay to the hole of a way, where both are surveyed."""
        key = body, bay, way
        if key not in self._to_holes:
            self._to_holes[key] = self._of(*key)
        return self._to_holes[key]

    @cached_property
    def most_mm(self) -> int:
        """Along one axis, there and back."""
        return 2 * max(max(bay.inside) for bay in self.ctx.case.bays)

    def _places(self, body: str) -> Iterable[str]:
        d = self.ctx.d
        return d.rows[body].on if body in d.rows else d.slots[body].on if body in d.slots else ()

    def _apart_mm(self, one: Board, other: Board, clear: int) -> int:
        if one is other:
            return clear
        both = [faces.patch(self.ctx.case, b.place, (0, b.length_mm), (0, b.width_mm)) for b in (one, other)]
        if not all(both):
            return self.ctx.case.bay_of[one.bay].cable_allowance_mm
        (p, q), size = both, self.ctx.case.bay_of[one.bay].inside
        return int(between_patches_mm(size=size, one=p, other=q)) if p and q else 0

    def _of(self, body: str, bay: str, way: str) -> Expr:
        hole = faces.hole(self.ctx.case, bay, way)
        if hole is None:
            return 0
        if body in self.ctx.d.rows:
            on = self.ctx.d.rows[body].on
            boards = [(self.ctx.case.board_of[place], var) for place, var in on.items()]
            return total(self._mm(board, (0, 0), hole) * var for board, var in boards if board.bay == bay)
        slot = self.ctx.d.slots.get(body)
        if slot is None or slot.existing:
            return 0
        clear = self.ctx.is_active("bay.clearance", body)
        ours = [stand for stand in slot.stands if stand.board.bay == bay and not stand.rides]
        free = [(s.size.clear_x_mm, s.size.clear_y_mm) if clear else (0, 0) for s in ours]
        return total(self._mm(s.board, gap, hole) * s.var for s, gap in zip(ours, free, strict=True))

    def _mm(self, board: Board, free: tuple[int, int], hole: Patch) -> int:
        """From what a body may take of a board, which keeps so much free at its edges."""
        x, y = (
            (min(f, mm // 2), max(mm - f, mm // 2))
            for f, mm in zip(free, (board.length_mm, board.width_mm), strict=True)
        )
        there = faces.patch(self.ctx.case, board.place, x, y)
        if there is None:
            return 0
        return int(between_patches_mm(size=self.ctx.case.bay_of[board.bay].inside, one=there, other=hole))


def _by_busbars(body: str) -> bool:
    return body == "busbar" or slot_of(body).at_busbar
