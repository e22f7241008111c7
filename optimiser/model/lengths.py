"""Lengths: every run is cut to reach by the bodies that it goes by, as these stand.

A core goes from body to body in a line: along the sides of their board where two stand on one, by the bay's allowance
where they stand on two. From a body to the hole where the bay is left it is the allowance, too. By the fuse row or by
the shunt row: whichever is further says how long both cores are.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from optimiser.basis import money
from optimiser.connections import connection_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Expr, Literal, RunChoice, Shape, total

Chain = list[tuple[str, str]]  # neighbours on the way of a core


def require(ctx: FitOut) -> None:
    """Steps of cable for what each run goes by; `cables` has those of its ways and allowances."""
    legs = _Legs(ctx, {shape.name: shape for shape in ctx.d.shapes})
    for run in ctx.d.runs.values():
        cut_mm = money.STEP_MM * total(steps for _, _, steps in run.cables.values())
        ways_mm = total(route.path.ways_mm * route.var for route in run.routes)
        for chain, when in _chains(ctx, run):
            inside = [leg for pair in chain if (leg := legs.between(*pair)) is not None]
            if inside:
                ctx.define(cut_mm >= ways_mm + total(inside), [*when, *_there(ctx, run)])


def _there(ctx: FitOut, run: RunChoice) -> list[Literal]:
    if isinstance(run.on, int):
        return []
    return [ctx.is_sum((chosen for _, chosen, _ in run.cables.values()), f"{run.name}:there")]


def _chains(ctx: FitOut, run: RunChoice) -> Iterator[tuple[Chain, list[Literal]]]:
    """What the cores of a run go by, and when."""
    connection = connection_of(run.name)
    if run.name == "main":  # a fuse on the bank's terminal takes no board: then the bank is before the isolator
        yield [("bank", "main_fuse"), ("main_fuse", "isolator"), ("bank", "isolator"), ("isolator", "busbar")], []
        return
    start, end = connection.start, connection.end
    if run.name == "dc_loads":
        at_12_v = ctx.d.voltage.get(12)
        if at_12_v is not None:
            yield [("busbar", "fuse_row")], [at_12_v]
            yield [("busbar", "shunt_row")], [at_12_v]
        yield [("step_down", "shunt_row")], [] if at_12_v is None else [~at_12_v]
        return
    for strings in ctx.d.strings.values():
        if strings.run == run.name:
            end = strings.regulator
    rows = [
        row
        for row, passed in (("fuse_row", connection.guard == "fuse_row"), ("shunt_row", connection.measured))
        if passed
    ]
    for row in rows:
        yield [(start, row), (row, end)], []
    if not rows:
        yield [(start, end)], []


@dataclass
class _Legs:
    """What lies between two bodies, each pair once."""

    ctx: FitOut
    shapes: dict[str, Shape]
    made: dict[frozenset[str], Expr | None] = field(default_factory=dict)

    def between(self, one: str, other: str) -> Expr | None:
        """From edge to edge, wherever both stand in one bay; None if they never do, or one is no body."""
        pair = frozenset((one, other))
        if pair not in self.made:
            both = [self.shapes[name] for name in (one, other) if name in self.shapes]
            self.made[pair] = self._leg(*both) if len(both) == 2 else None
        return self.made[pair]

    def _leg(self, one: Shape, other: Shape) -> Expr | None:
        ctx, board_of = self.ctx, self.ctx.case.board_of
        pairs = [(p, q) for p in one.on for q in other.on if board_of[p].bay == board_of[q].bay]
        if not pairs:
            return None
        always = self._only_if(one, other)
        if always is None:
            return None
        most = max(max(b.length_mm + b.width_mm, ctx.case.bay_of[b.bay].cable_allowance_mm) for b in ctx.case.boards)
        along, across, off = (ctx.number(0, most, f"{one.name}-{other.name}:{axis}") for axis in "xyz")
        gap = max(self._clear_mm(one.name), self._clear_mm(other.name))
        for p, q in pairs:
            when: list[Literal] = [on for on in (one.on[p], other.on[q]) if isinstance(on, cp_model.IntVar)]
            if p != q:
                ctx.define(off >= ctx.case.bay_of[board_of[p].bay].cable_allowance_mm, [*when, *always])
                continue
            for a, b in ((one, other), (other, one)):
                ctx.define(along >= a.x - b.x - b.reach_x, [*when, *always])
                ctx.define(across >= a.y - b.y - b.reach_y, [*when, *always])
            if gap and not always:  # implied where bodies keep apart, and it holds where they need not
                ctx.define(along + across >= gap * (1 - len(when) + sum(when)))
        return along + across + off

    def _only_if(self, one: Shape, other: Shape) -> list[Literal] | None:
        """A core goes straight from bank to isolator only where the main fuse is on the bank's terminal."""
        if {one.name, other.name} != {"bank", "isolator"}:
            return []
        rides = [stand.var for stand in self.ctx.d.slots["main_fuse"].stands if stand.rides]
        return [self.ctx.is_sum(rides, "main_fuse:on_terminal")] if rides else None

    def _clear_mm(self, name: str) -> int:
        """What a body keeps clear whatever it is and however it stands; of rows nothing is known before."""
        slot = self.ctx.d.slots.get(name)
        if slot is None or slot.existing or not self.ctx.is_active("bay.clearance", name):
            return 0
        return min((min(s.size.clear_x_mm, s.size.clear_y_mm) for s in slot.stands if not s.rides), default=0)
