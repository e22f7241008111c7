"""Lengths: every run is cut to reach by the bodies that it goes by, as these stand.

A core goes from body to body along the faces of their bay, and from the last one in a bay to the hole by which the
bay is left. By the fuse row or by the shunt row: whichever is further says how long both cores are.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from optimiser.basis import money
from optimiser.connections import ROWS, connection_of, slot_of
from optimiser.model.along_faces import AlongFaces
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool, Expr, Literal, Route, RunChoice, total

Chain = tuple[str, ...]  # bodies on the way of a core, from the start of its run to its end; "" for a point outside
Where = tuple[str, ...]  # the bays that these are in; "" for elsewhere


def require(ctx: FitOut, along: AlongFaces) -> None:
    """Steps of cable for what each run goes by; `cables` has the least, wherever they stand."""
    for run in ctx.d.runs.values():
        cut_mm = money.STEP_MM * total(steps for _, _, steps in run.cables.values())
        for chain, when in _chains(ctx, run):
            between = total(along.between(*pair) for pair in pairwise(chain) if all(pair))
            for route in run.routes:
                for where, there in _places(ctx, route, chain):
                    inside = between + total(_to_holes(along, route, chain, where))
                    if not isinstance(inside, int):
                        ctx.define(cut_mm >= route.ways_mm + inside, [route.var, *when, *there])


def _to_holes(along: AlongFaces, route: Route, chain: Chain, where: Where) -> Iterator[Expr]:
    """Where neighbours are in two bays: from each to the hole by which its bay is left."""
    if not route.path.ways:
        return
    way = {route.path.end: route.path.ways[-1].name, route.path.start: route.path.ways[0].name}
    for bodies, bays in zip(pairwise(chain), pairwise(where), strict=True):
        if bays[0] != bays[1]:
            yield from (along.to_hole(body, bay, way[bay]) for body, bay in zip(bodies, bays, strict=True) if bay)


def _places(ctx: FitOut, route: Route, chain: Chain) -> Iterator[tuple[Where, list[Literal]]]:
    """Bays that the bodies may be in, if a run takes this route, and when they are."""
    for each in product(*(list(_bays_of(ctx, route, chain, k)) for k in range(len(chain)))):
        yield tuple(bay for bay, _ in each), [flag for _, flags in each for flag in flags]


def _bays_of(ctx: FitOut, route: Route, chain: Chain, k: int) -> Iterator[tuple[str, list[Literal]]]:
    """The same of one body: at one end of the route, at the other or elsewhere."""
    body, start, end = chain[k], route.path.start, route.path.end
    at = _at(ctx, body)
    if not body:
        yield "", []
        return
    by_busbar = "busbar" if body in ROWS or slot_of(body).at_busbar else body
    for there, bay in ((chain[0], start), (chain[-1], end)):
        if there == by_busbar or (there and by_busbar == "busbar" and slot_of(there).at_busbar):
            yield bay, []
            return
    ends = [bay for bay in dict.fromkeys((start, end)) if bay in at]
    for bay in ends:
        yield bay, [at[bay]]
    if len(ends) < len(at):
        yield "", [~at[bay] for bay in ends]


def _at(ctx: FitOut, body: str) -> dict[str, Bool]:
    """Bay -> whether a body stands on a board of it."""
    if not body:
        return {}
    return ctx.d.rows[body].at if body in ctx.d.rows else ctx.d.slots[body].at


def _chains(ctx: FitOut, run: RunChoice) -> Iterator[tuple[Chain, list[Literal]]]:
    """What the cores of a run go by, and when."""
    connection = connection_of(run.name)
    if connection.guard == "panel":  # from the 12 V panel to the entry in a board, whose place nobody chooses
        return
    if run.name == "main":  # a fuse on the bank's terminal takes no board
        rides = [stand.var for stand in ctx.d.slots["main_fuse"].stands if stand.rides]
        on_terminal = ctx.is_sum(rides, "main_fuse:on_terminal") if rides else None
        yield ("bank", "main_fuse", "isolator", "busbar"), [] if on_terminal is None else [~on_terminal]
        if on_terminal is not None:
            yield ("bank", "isolator", "busbar"), [on_terminal]
        return
    if run.name == "dc_loads":
        at_12_v = ctx.d.voltage.get(12)
        if at_12_v is not None:
            yield ("busbar", "fuse_row", ""), [at_12_v]
            yield ("busbar", "shunt_row", ""), [at_12_v]
        if "step_down" in ctx.d.slots:
            yield ("step_down", "shunt_row", ""), [] if at_12_v is None else [~at_12_v]
        return
    start, end = _ends(ctx, run)
    rows = [row for row, on in (("fuse_row", connection.guard == "fuse_row"), ("shunt_row", connection.measured)) if on]
    for row in rows:
        yield (start, row, end), []
    if not rows:
        yield (start, end), []


def _ends(ctx: FitOut, run: RunChoice) -> Sequence[str]:
    """Slots at both ends of a run; "" for a point."""
    connection = connection_of(run.name)
    regulators = (strings.regulator for strings in ctx.d.strings.values() if strings.run == run.name)
    ends = connection.start, next(regulators, connection.end)
    return [end if end in ctx.d.slots or end in ctx.d.rows else "" for end in ends]
