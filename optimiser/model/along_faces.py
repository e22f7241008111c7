"""How far a cable goes along the faces of a bay: from body to body, and from a body to the hole of a way.

All are lower bounds, 0 where the bodies are elsewhere or nothing is surveyed; what a run needs is in `lengths`.
Along each axis two bodies, or a body and a hole, are so far apart: the sum of that is the way on one face, or on two
that share an edge. Between opposite faces it goes by one of the four walls between them, which the model chooses.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil
from typing import NamedTuple

from ortools.sat.python import cp_model

from optimiser.basis import faces
from optimiser.case import Board
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool, Expr, Literal, Shape, total
from optimiser.model.slots import clear_mm
from optimiser.physics.surfaces import Patch, Point, between_patches_mm, directions_of, on_face_mm, opposite

Span = tuple[Expr, Expr]


class _Flat(NamedTuple):
    """A body, a board or a hole on a face: from where to where along each axis of the bay."""

    face: str
    spans: tuple[Span, Span, Span]


@dataclass
class AlongFaces:
    """Lengths in bays, each made once."""

    ctx: FitOut  # with its shapes
    _legs: dict[frozenset[str], Expr] = field(default_factory=dict)
    _to_holes: dict[tuple[str, str, str], Expr] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.shapes = {shape.name: shape for shape in self.ctx.d.shapes}

    def between(self, one: str, other: str) -> Expr:
        """From edge to edge of two bodies, where both stand in one bay."""
        pair = frozenset((one, other))
        if pair not in self._legs:
            both = [self.shapes[name] for name in (one, other) if name in self.shapes]
            self._legs[pair] = self._leg(*both) if len(both) == 2 else 0
        return self._legs[pair]

    def to_hole(self, body: str, bay: str, way: str) -> Expr:
        """From the edge of a body that stands in a bay to the hole of a way, where both are surveyed."""
        key = body, bay, way
        if key not in self._to_holes:
            self._to_holes[key] = self._to_the_hole(self.shapes[body], bay, way) if body in self.shapes else 0
        return self._to_holes[key]

    # --- from body to body ---------------------------------------------------------------------------

    def _leg(self, one: Shape, other: Shape) -> Expr:
        board_of = self.ctx.case.board_of
        pairs = [(p, q) for p in one.on for q in other.on if board_of[p].bay == board_of[q].bay]
        if not pairs:
            return 0
        axes, walls = self._axes(f"{one.name}-{other.name}"), list[Bool]()
        for p, q in pairs:
            boards, when = (board_of[p], board_of[q]), _literals(one.on[p], other.on[q])
            known = [self._flat(board, shape) for board, shape in zip(boards, (one, other), strict=True)]
            if p == q:
                self._apart(axes, _own(one), _own(other), when)
            elif (a := known[0]) is None or (b := known[1]) is None:
                allowance_mm = self.ctx.case.bay_of[boards[0].bay].cable_allowance_mm
                self.ctx.define(axes[0] >= allowance_mm, when)
            else:
                self._apart(axes, a.spans, b.spans, when)
                if opposite(a.face, b.face):
                    walls = walls or [self.ctx.flag(f"{one.name}-{other.name}:wall{k}") for k in range(4)]
                    self._by_a_wall(axes, boards[0].bay, (a, b), walls, when)
        self._keep_clear(axes, one, other)
        return total(axes)

    def _keep_clear(self, axes: Sequence[Bool], one: Shape, other: Shape) -> None:
        """Implied on one board, where bodies keep apart, as one sum."""
        gap, apart = max(clear_mm(self.ctx, one.name), clear_mm(self.ctx, other.name)), cp_model.LinearExpr.sum(axes)
        for place in one.on:
            if gap and place in other.on:
                when = _literals(one.on[place], other.on[place])
                self.ctx.define(apart >= gap * (1 - len(when)) + gap * cp_model.LinearExpr.sum(when))

    # --- from a body to a hole -----------------------------------------------------------------------

    def _to_the_hole(self, shape: Shape, bay: str, way: str) -> Expr:
        case, hole = self.ctx.case, faces.hole(self.ctx.case, bay, way)
        boards = [case.board_of[place] for place in shape.on if case.board_of[place].bay == bay]
        if hole is None or all(board.corner is None for board in boards):
            return 0
        axes, walls = self._axes(f"{shape.name}-{bay}:{way}"), list[Bool]()
        point = _Flat(hole.face, _span_of(hole.low))
        least: Expr = 0
        for board in boards:
            flat, on = self._flat(board, shape), shape.on[board.place]
            if flat is None:
                continue
            self._apart(axes, flat.spans, point.spans, _literals(on))
            if opposite(flat.face, hole.face):
                walls = walls or [self.ctx.flag(f"{shape.name}-{bay}:{way}:wall{k}") for k in range(4)]
                self._by_a_wall(axes, bay, (flat, point), walls, _literals(on))
            least = least + self._least_mm(board, hole) * on
        self.ctx.define(total(axes) >= least)
        return total(axes)

    def _least_mm(self, board: Board, hole: Patch) -> int:
        """Implied: from any place of a board, as one sum, which the relaxation feels."""
        whole = faces.patch(self.ctx.case, board.place, (0, board.length_mm), (0, board.width_mm))
        if whole is None:
            return 0
        return ceil(between_patches_mm(size=self.ctx.case.bay_of[board.bay].inside, one=whole, other=hole))

    # --- geometry ------------------------------------------------------------------------------------

    @cached_property
    def most_mm(self) -> int:
        """Along one axis, there and back."""
        bays, boards = self.ctx.case.bays, self.ctx.case.boards
        most = max(max(bay.inside) + bay.cable_allowance_mm for bay in bays)
        return 2 * max(most, *(max(board.length_mm, board.width_mm) for board in boards))

    def _axes(self, name: str) -> list[Bool]:
        return [self.ctx.number(0, self.most_mm, f"{name}:{axis}") for axis in "xyz"]

    def _apart(self, axes: Sequence[Bool], one: Sequence[Span], other: Sequence[Span], when: list[Literal]) -> None:
        for axis, (low, high), (start, end) in zip(axes, one, other, strict=False):
            for apart in (start - high, low - end):
                if not isinstance(apart, int) or apart > 0:
                    self.ctx.define(axis >= apart, when)

    def _by_a_wall(
        self, axes: Sequence[Bool], bay: str, both: tuple[_Flat, _Flat], walls: Sequence[Bool], when: list[Literal]
    ) -> None:
        """Between opposite faces: out to a wall of another axis and back."""
        size = self.ctx.case.bay_of[bay].inside
        along, _, up = directions_of(both[0].face)
        self.ctx.m.add_bool_or(walls).only_enforce_if(when)
        for axis, pair in zip((along, up), (walls[:2], walls[2:]), strict=True):
            (p, q), ends = (flat.spans[axis] for flat in both), 2 * size[axis]
            self.ctx.define(axes[axis] >= p[0] + q[0], [pair[0], *when])
            self.ctx.define(axes[axis] >= ends - p[1] - q[1], [pair[1], *when])

    def _flat(self, board: Board, shape: Shape) -> _Flat | None:
        """A body on a board, in its bay; None where the board is not surveyed."""
        if board.corner is None:
            return None
        face, left, bottom = board.corner
        size = self.ctx.case.bay_of[board.bay].inside
        along, back, up = directions_of(face)
        low, high = left + shape.x, left + shape.x + shape.reach_x
        plane = on_face_mm(size=size, face=face, left_mm=0, bottom_mm=0)
        spans: dict[int, Span] = {
            along: (size[along] - high, size[along] - low) if back else (low, high),
            up: (bottom + shape.y, bottom + shape.y + shape.reach_y),
        }
        x, y, z = (spans.get(axis, (round(plane[axis]),) * 2) for axis in range(3))
        return _Flat(face, (x, y, z))


def _own(shape: Shape) -> tuple[Span, Span]:
    return (shape.x, shape.x + shape.reach_x), (shape.y, shape.y + shape.reach_y)


def _span_of(point: Point) -> tuple[Span, Span, Span]:
    x, y, z = (round(at) for at in point)
    return (x, x), (y, y), (z, z)


def _literals(*flags: Expr) -> list[Literal]:
    return [flag for flag in flags if isinstance(flag, cp_model.IntVar)]
