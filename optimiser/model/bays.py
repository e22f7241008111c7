"""Bays: where on its board each body stands, and which vents are cut.

Two bodies on a board keep apart along its length or its width by the greater of their clearances; each
keeps its own clearance to the board's edges.
"""

from itertools import combinations, product

from optimiser.builds import FittedVent
from optimiser.case import Existing
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool, Expr, Literal, Row, Shape, Slot, Value, total

MOST_VENTS = 4  # of one type in one bay
_NEAR = ({"bank", "main_fuse"}, {"busbar", "fuse_row"})  # what fuse and tail distance hold near each other


def decide(ctx: FitOut) -> None:
    """Vents to be cut."""
    for bay in ctx.case.bays:
        for vent in ctx.catalogue.of("vents").values():
            allowed_cm2 = max(
                c.bay_of[bay.name].cut_out_max_cm2 for c, _ in ctx.rungs(f"bay.{bay.name}.cut_out_max_cm2")
            )
            most = min(MOST_VENTS, int(allowed_cm2 // vent.cut_out_cm2))
            if not ctx.is_active("bay.vents", bay.name):
                most = MOST_VENTS
            if most > 0:
                count = ctx.number(0, most, f"vents:{bay.name}:{vent.name}")
                ctx.d.vents[bay.name, vent.name] = count
                ctx.count(ctx.tables.cost_and_mass(vent), count, x_mm=bay.x_mm, y_mm=bay.y_mm)


def require(ctx: FitOut) -> None:
    """Each body on its board. That they keep apart is posted by itself, see `keep_apart`, but for what must be near."""
    ctx.d.shapes = [_slot_shape(ctx, slot) for slot in ctx.d.slots.values()]
    ctx.d.shapes += [_row_shape(ctx, row) for row in ctx.d.rows.values()]
    for one, other in combinations(ctx.d.shapes, 2):
        if {one.name, other.name} in _NEAR:
            _keep_apart(ctx, one, other)
    _areas(ctx)


def keep_apart(ctx: FitOut) -> None:
    """No two bodies of a board over each other, nor nearer than either wants, what is existing among them.

    It changes neither cost nor mass, and is most of the work: `solve.standing` leaves it out at first.
    """
    filling = [slot.existing for slot in ctx.d.slots.values() if slot.existing]  # the others only take space
    fixed = [_existing_shape(row) for row in ctx.case.existing if row not in filling]
    for one, other in (*combinations(ctx.d.shapes, 2), *product(ctx.d.shapes, fixed)):
        if {one.name, other.name} not in _NEAR:
            _keep_apart(ctx, one, other)


def read(ctx: FitOut, value: Value) -> tuple[FittedVent, ...]:
    """The vents of the build."""
    return tuple(FittedVent(bay, vent, n) for (bay, vent), var in ctx.d.vents.items() if (n := value(var)))


# --- geometry --------------------------------------------------------------------------------------


def _longest(ctx: FitOut) -> int:
    return max(max(b.length_mm, b.width_mm) for b in ctx.case.boards)


def _slot_shape(ctx: FitOut, slot: Slot) -> Shape:
    solid = [s for s in slot.stands if not s.rides]
    dx, dy = total(s.size.length_mm * s.var for s in solid), total(s.size.width_mm * s.var for s in solid)
    clear = ctx.is_active("bay.clearance", slot.name)
    cx = total(s.size.clear_x_mm * s.var for s in solid) if clear else 0
    cy = total(s.size.clear_y_mm * s.var for s in solid) if clear else 0
    if slot.existing:
        return Shape(slot.name, slot.existing.x_mm, slot.existing.y_mm, dx, dy, cx, cy, slot.on, dx, dy)
    x, y = (ctx.number(0, _longest(ctx), f"{slot.name}:{axis}") for axis in "xy")
    ctx.d.place[slot.name] = (x, y)
    ctx.define(x >= cx)
    ctx.define(y >= cy)
    if ctx.is_active("bay.board", slot.name):
        room = 1 if clear else 0
        ctx.define(x <= total((s.board.length_mm - s.size.length_mm - room * s.size.clear_x_mm) * s.var for s in solid))
        ctx.define(y <= total((s.board.width_mm - s.size.width_mm - room * s.size.clear_y_mm) * s.var for s in solid))
    return Shape(slot.name, x, y, dx, dy, cx, cy, slot.on, dx, dy)


def _row_shape(ctx: FitOut, row: Row) -> Shape:
    most = _longest(ctx)
    x, y, dx, dy, cx, cy = (ctx.number(0, most, f"{row.name}:{what}") for what in ("x", "y", "dx", "dy", "cx", "cy"))
    ctx.d.place[row.name] = (x, y)
    assert row.cross is not None and row.clear_along is not None and row.clear_cross is not None
    ways: tuple[tuple[Literal, tuple[Bool, Bool, Bool, Bool]], ...] = (
        (~row.rotated, (dx, dy, cx, cy)),
        (row.rotated, (dy, dx, cy, cx)),
    )
    for rotated, (long_side, short_side, long_gap, short_gap) in ways:
        ctx.define(long_side == row.along, [rotated])
        ctx.define(short_side >= row.cross, [rotated])
        ctx.define(long_gap >= row.clear_along, [rotated])
        ctx.define(short_gap >= row.clear_cross, [rotated])
    clear = ctx.is_active("bay.clearance", row.name)
    free_x: Expr = cx if clear else 0
    free_y: Expr = cy if clear else 0
    ctx.define(x >= free_x)
    ctx.define(y >= free_y)
    if ctx.is_active("bay.board", row.name):
        boards = [(ctx.case.board_of[place], var) for place, var in row.on.items()]
        ctx.define(x + dx + free_x <= total(board.length_mm * var for board, var in boards))
        ctx.define(y + dy + free_y <= total(board.width_mm * var for board, var in boards))
    return Shape(row.name, x, y, dx, dy, free_x, free_y, row.on, *_reach(ctx, row))


def _reach(ctx: FitOut, row: Row) -> tuple[Expr, Expr]:
    """Across it reaches as far as some body in it is long: room that is kept for none brings nothing nearer."""
    witness = {length: ctx.flag(f"{row.name}:reaches:{length}") for length in row.lengths}
    for length, used in row.lengths.items():
        ctx.define(witness[length] <= total(used))
    ctx.define(total(witness.values()) <= 1)
    across = total(length * flag for length, flag in witness.items())
    x, y = (ctx.number(0, _longest(ctx), f"{row.name}:reach_{axis}") for axis in "xy")
    for rotated, long_side, short_side in ((~row.rotated, x, y), (row.rotated, y, x)):
        ctx.define(long_side <= row.along, [rotated])
        ctx.define(short_side <= across, [rotated])
    return x, y


def _existing_shape(row: Existing) -> Shape:
    size = row.length_mm, row.width_mm
    return Shape(row.name, row.x_mm, row.y_mm, *size, 0, 0, {row.board: 1}, *size)


def _keep_apart(ctx: FitOut, one: Shape, other: Shape) -> None:
    """Left, right, below or above: one of the four wherever both stand on the same board."""
    shared = [place for place in one.on if place in other.on]
    if not shared or (isinstance(one.x, int) and isinstance(other.x, int)):
        return
    sides = [ctx.flag(f"{one.name}|{other.name}:{side}") for side in ("left", "right", "below", "above")]
    for place in shared:
        both = [on for on in (one.on[place], other.on[place]) if not isinstance(on, int)]
        ctx.m.add_bool_or(sides).only_enforce_if(both)
    for side, (a, b) in zip(sides, ((one, other), (other, one), (one, other), (other, one)), strict=True):
        along = side in sides[:2]
        low, size, high = (a.x, a.dx, b.x) if along else (a.y, a.dy, b.y)
        for gap in (a.cx, b.cx) if along else (a.cy, b.cy):
            ctx.define(low + size + gap <= high, [side])


def _areas(ctx: FitOut) -> None:
    """Implied: bodies with half their clearance all round do not overlap, so their areas add up."""
    for board in ctx.case.boards:
        terms = [
            (s.size.length_mm + (s.size.clear_x_mm if clear else 0))
            * (s.size.width_mm + (s.size.clear_y_mm if clear else 0))
            * s.var
            for slot in ctx.d.slots.values()
            for clear in [ctx.is_active("bay.clearance", slot.name) and not slot.existing]
            if ctx.is_active("bay.board", slot.name)
            for s in slot.stands
            if s.board is board and not s.rides
        ]
        ctx.define(total(terms) <= board.length_mm * board.width_mm)
