"""Lengths: every run is cut to reach by the bodies that it goes by, as these stand.

A core goes from body to body along the faces of their bay, and from the last one in a bay to the hole by which the
bay is left; each end of a piece takes something too. Each core is cut to its own length.
"""

from collections.abc import Iterator, Sequence

from optimiser.basis import money
from optimiser.connections import ROWS, slot_of
from optimiser.model.along_faces import AlongFaces
from optimiser.model.at_least import AtLeast
from optimiser.model.context import FitOut
from optimiser.model.cores import cores_of, ends_mm
from optimiser.model.decisions import Bool, Expr, Literal, Route, RunChoice, total

Chain = tuple[str, ...]  # bodies on the way of a core, from the start of its run to its end; "" for a point outside
Figure = tuple[Expr, list[Literal]]  # with what goes with it


def require(ctx: FitOut, along: AlongFaces | AtLeast) -> None:
    """Steps of cable for what each run goes by; `cables` has the least, wherever they stand."""
    for run in ctx.d.runs.values():
        ways_mm = total(route.ways_mm * route.var for route in run.routes)
        legs: dict[Chain, Expr] = {}  # both cores may go the same way
        for core in cores_of(ctx, run.name):
            if core.by not in legs:
                legs[core.by] = total(leg for k in range(core.pieces) for leg in _legs(ctx, along, run, core.by, k))
            cut_mm = money.STEP_MM * run.cores[core.pole]
            ctx.define(cut_mm >= ways_mm + legs[core.by] + ends_mm(ctx, core.pieces) * run.on, core.when)


def _legs(ctx: FitOut, along: AlongFaces | AtLeast, run: RunChoice, chain: Chain, k: int) -> Iterator[Expr]:
    """What a core goes from a body of its chain to the next; 0 where there is no such run.

    In one bay from body to body. In two, from each to the hole by which its bay is left.
    """
    name = f"{run.name}:{'-'.join(chain)}:{k}"
    if chain[k] and chain[k + 1]:
        between = along.between(chain[k], chain[k + 1])
        if isinstance(between, int):
            yield between * run.on
        elif isinstance(run.on, int):
            yield between
        else:
            yield _at_least(ctx, along, name, [(between, [route.var]) for route in run.routes])
    for one, other in ((k, k + 1), (k + 1, k)):
        if holes := list(_to_holes(ctx, along, run, chain, one, other)):
            yield _at_least(ctx, along, f"{name}:{one}", holes)


def _at_least(ctx: FitOut, along: AlongFaces | AtLeast, name: str, figures: Sequence[Figure]) -> Expr:
    """No less than any of these where what it goes with holds."""
    leg = ctx.number(0, 3 * along.most_mm, name)
    for figure, when in figures:
        ctx.define(leg >= figure, when)
    return leg


def _to_holes(
    ctx: FitOut, along: AlongFaces | AtLeast, run: RunChoice, chain: Chain, one: int, other: int
) -> Iterator[Figure]:
    """From one of two bodies to the hole by which its bay is left, where the other is not in it."""
    for route in run.routes:
        if not route.path.ways:
            continue
        way = {route.path.end: route.path.ways[-1].name, route.path.start: route.path.ways[0].name}
        elsewhere = list(_bays_of(ctx, route, chain, other))
        for bay, here in _bays_of(ctx, route, chain, one):
            to_hole = along.to_hole(chain[one], bay, way[bay]) if bay else 0
            if not isinstance(to_hole, int):
                yield from ((to_hole, [route.var, *here, *there]) for at, there in elsewhere if at != bay)


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
