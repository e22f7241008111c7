"""Links between the modules of the bank: of the main run's cable, as long as the block that is chosen makes them.

What they take is split over the cables that the main run may have, as its length is: only the chosen one gets any.
"""

from collections.abc import Callable

from optimiser.basis import links
from optimiser.basis.links import Links
from optimiser.model.context import FitOut
from optimiser.model.currents import bank_parallel, bank_series
from optimiser.model.decisions import Bool, RunChoice, Stand, total
from optimiser.units import at_least


def decide(ctx: FitOut) -> None:
    """What they cost, weigh and lose. The main run and the bank are there by now."""
    main, stands = ctx.d.runs["main"], ctx.d.slots["bank"].stands
    found = [(_of(ctx, stand), stand.var) for stand in stands]
    if not any(laid.count for laid, _ in found):
        return
    steps, ends, main.links_mm = (
        _split(ctx, main, what, [(weigh(laid), var) for laid, var in found]) for what, weigh in _weighed(ctx)
    )
    for name, (cable, _, _) in main.cables.items():
        core, an_end = ctx.tables.core_step(cable), ctx.tables.cable_end(cable)
        ctx.cost += [core.cents * steps[name], an_end.cents * ends[name]]
        ctx.d.link_grams = ctx.d.link_grams + core.grams * steps[name] + an_end.grams * ends[name]


def _of(ctx: FitOut, stand: Stand) -> Links:
    option, case = stand.option, ctx.case
    size = {"series": bank_series(option), "parallel": bank_parallel(option), "rows": option.rows}
    return links.of_bank(case, option.body, columns=option.columns, orientation=stand.orientation, **size)


def _weighed(ctx: FitOut) -> tuple[tuple[str, Callable[[Links], int]], ...]:
    return (
        ("steps", lambda laid: laid.steps),
        ("ends", lambda laid: laid.ends),
        ("mm", lambda laid: at_least(laid.carrying_mm(ctx.case))),
    )


def _split(ctx: FitOut, main: RunChoice, what: str, of_stands: list[tuple[int, Bool]]) -> dict[str, Bool]:
    """Cable -> as much of it as the chosen bank takes, if it is the main run's."""
    most = max(figure for figure, _ in of_stands)
    found = {name: ctx.number(0, most, f"links:{name}:{what}") for name in main.cables}
    for name, (_, chosen, _) in main.cables.items():
        ctx.define(found[name] <= most * chosen)
    ctx.define(total(found.values()) == total(figure * var for figure, var in of_stands if figure))
    return found
