"""Space: bodies on two boards of a bay do not meet, nor a body cables that come in, where these are surveyed."""

from itertools import combinations, permutations
from math import ceil, floor
from typing import NamedTuple

from ortools.sat.python import cp_model

from optimiser.basis.faces import INWARDS, before_hole
from optimiser.case import Board
from optimiser.model.context import FitOut
from optimiser.model.decisions import Expr, Row, Shape, Slot, total
from optimiser.physics.surfaces import directions_of

Span = tuple[Expr, Expr]


class _Solid(NamedTuple):
    """A body in its bay: from where to where along each axis, and with the free space that it needs before it."""

    body: tuple[Span, ...]
    front: tuple[Span, ...]


def require(ctx: FitOut) -> None:
    """Of each two bodies one is beside, before or above the other, and no body is in the free space before another.

    It changes neither cost nor mass, as what keeps bodies of one board apart.
    """
    deep = {shape.name: _depths(ctx, shape.name) for shape in ctx.d.shapes}
    fixed = [
        (Shape(row.name, row.x_mm, row.y_mm, row.length_mm, row.width_mm, 0, 0, {row.board: 1}, 0, 0), row.depth_mm)
        for row in ctx.case.existing
        if not any(slot.existing is row for slot in ctx.d.slots.values())
    ]
    everything = [*((shape, deep[shape.name]) for shape in ctx.d.shapes), *((s, (mm, mm)) for s, mm in fixed)]
    for (one, of_one), (other, of_other) in combinations(everything, 2):
        if isinstance(one.x, int) and isinstance(other.x, int):
            continue
        for p, q in ((p, q) for p in one.on for q in other.on if p != q):
            boards = ctx.case.board_of[p], ctx.case.board_of[q]
            if _may_meet(ctx, *boards):
                solids = _solid(ctx, boards[0], one, of_one), _solid(ctx, boards[1], other, of_other)
                _apart(ctx, f"{one.name}|{other.name}@{p}|{q}", solids, [one.on[p], other.on[q]])

    _off_holes(ctx, [(shape, deep[shape.name]) for shape in ctx.d.shapes])


def _off_holes(ctx: FitOut, bodies: list[tuple[Shape, tuple[Expr, Expr]]]) -> None:
    """No body is over the hole of a way, nor nearer before it than it is wide: cables turn there."""
    for opening in ctx.case.cable_openings:
        room = before_hole(ctx.case, opening)
        if room is None:
            continue
        spans = tuple((floor(low), ceil(high)) for low, high in zip(*room, strict=True))
        for shape, (deep, _) in bodies:
            for place in shape.on:
                board = ctx.case.board_of[place]
                if board.bay != opening.bay or board.corner is None or isinstance(shape.x, int):
                    continue
                whole = _whole(ctx, board)
                if all(a[0] < b[1] and b[0] < a[1] for a, b in zip(whole, spans, strict=True)):
                    hole, body = _Solid(spans, spans), _solid(ctx, board, shape, (deep, deep))
                    _apart(ctx, f"{shape.name}@{place}|{opening.place}", (body, hole), [shape.on[place]])


def _apart(ctx: FitOut, name: str, solids: tuple[_Solid, _Solid], on: list[Expr]) -> None:
    sides = list[cp_model.IntVar]()
    for axis in range(3):
        for a, b in permutations(solids):
            side = ctx.flag(f"{name}:{axis}{len(sides)}")
            ctx.define(a.front[axis][1] <= b.body[axis][0], [side])
            ctx.define(a.body[axis][1] <= b.front[axis][0], [side])
            sides.append(side)
    ctx.m.add_bool_or(sides).only_enforce_if([flag for flag in on if isinstance(flag, cp_model.IntVar)])


def _may_meet(ctx: FitOut, one: Board, other: Board) -> bool:
    """Whether bodies as deep as their boards allow could be in one another's way."""
    if one.bay != other.bay or one.corner is None or other.corner is None:
        return False
    return all(a[0] < b[1] and b[0] < a[1] for a, b in zip(_whole(ctx, one), _whole(ctx, other), strict=True))


def _whole(ctx: FitOut, board: Board) -> tuple[Span, ...]:
    """What bodies on a board may take of its bay."""
    all_of_it = Shape("", 0, 0, board.length_mm, board.width_mm, 0, 0, {}, 0, 0)
    return _solid(ctx, board, all_of_it, (board.depth_mm,) * 2).body


def _solid(ctx: FitOut, board: Board, shape: Shape, depths: tuple[Expr, Expr]) -> _Solid:
    """Its spans in the bay; depths are those of the body and with the free space before it."""
    assert board.corner is not None
    face, left, bottom = board.corner
    size = ctx.case.bay_of[board.bay].inside
    along, back, up = directions_of(face)
    across, inwards = INWARDS[face]
    low = left + shape.x
    spans: dict[int, Span] = {
        along: (size[along] - low - shape.dx, size[along] - low) if back else (low, low + shape.dx),
        up: (bottom + shape.y, bottom + shape.y + shape.dy),
    }
    made = []
    for deep in depths:
        off: Span = (0, deep) if inwards else (size[across] - deep, size[across])
        made.append(tuple({**spans, across: off}[axis] for axis in range(3)))
    return _Solid(*made)


def _depths(ctx: FitOut, name: str) -> tuple[Expr, Expr]:
    """How far a body reaches off its board, and with the free space before it."""
    if name in ctx.d.rows:
        return _of_row(ctx, ctx.d.rows[name])
    slot = ctx.d.slots[name]
    solid = [stand for stand in slot.stands if not stand.rides]
    on_top = _on_terminals(ctx) if name == "bank" else 0
    body = total((s.size.depth_mm - s.size.clear_z_mm) * s.var for s in solid)
    return body + on_top, total(s.size.depth_mm * s.var for s in solid) + on_top


def _on_terminals(ctx: FitOut) -> Expr:
    """Holders on the bank's terminals: of the main fuse, or of those of its strings."""
    main: Slot = ctx.d.slots["main_fuse"]
    riding = total(s.option.body.height_mm * s.var for s in main.stands if s.rides)
    holders = ((ctx.tables.holder_of(fuse), chosen) for fuse, chosen in ctx.d.module_fuses.values())
    return riding + total(holder.height_mm * chosen for holder, chosen in holders)


def _of_row(ctx: FitOut, row: Row) -> tuple[Expr, Expr]:
    most = max(board.depth_mm for board in ctx.case.boards)
    body, front = (ctx.number(0, most, f"{row.name}:{what}") for what in ("depth", "front"))
    for part, used in row.members:
        ctx.define(body >= part.height_mm, [used])
        ctx.define(front >= part.height_mm + part.clear_height_mm, [used])
    return body, front
