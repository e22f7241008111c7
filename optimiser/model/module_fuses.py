"""A fuse for each string of parallel modules, on its terminal.

Where the rule set asks for none they may still be worth their price: they lower the fault that each has to break, and
let the main fuse stand off the bank, on another board or under less headroom.
"""

from optimiser.basis import volts
from optimiser.model.context import FitOut
from optimiser.model.currents import bank_parallel, bank_series, system_v_of
from optimiser.model.decisions import Bool, Expr, Option, Value, total
from optimiser.model.uses import carried
from optimiser.parts import Fuse
from optimiser.tables import NANO
from optimiser.units import MILLI, at_least, at_most


def decide(ctx: FitOut) -> None:
    """For each number of strings that some bank has: one kind of fuse, or none. One string has the main fuse."""
    for parallel in sorted({bank_parallel(o) for o in ctx.d.slots["bank"].options.values()} - {1}):
        for fuse in ctx.catalogue.of("fuses").values():
            holder = ctx.tables.holder_of(fuse)
            if holder.on_terminal:  # another one would need a place
                chosen = ctx.flag(f"module_fuses:{parallel}:{fuse.name}")
                ctx.d.module_fuses[fuse.name, parallel] = (fuse, chosen)
                worths = [ctx.tables.cost_and_mass(part).times(parallel) for part in (fuse, holder)]
                ctx.cost.append(sum(w.cents for w in worths) * chosen)
                ctx.d.module_fuse_grams = ctx.d.module_fuse_grams + sum(w.grams for w in worths) * chosen
        ctx.define(_fused(ctx, parallel) <= total(flag for _, flag in _banks(ctx, parallel)))


def require(ctx: FitOut) -> None:
    """There where asked for, above its share of the current, below the main fuse, able to break, and with headroom."""
    for parallel in dict.fromkeys(parallel for _, parallel in ctx.d.module_fuses):
        fused = _fused(ctx, parallel)
        asked = total(flag for option, flag in _banks(ctx, parallel) if _asked(ctx, option))
        ctx.require("battery.module_fuse", fused >= asked)
        _over_load(ctx, parallel)
        _breaking(ctx, parallel)
    ratings = [(at_least(fuse.rating_a, MILLI), chosen) for fuse, chosen in ctx.d.module_fuses.values()]
    main = [(at_most(fuse.rating_a, MILLI), chosen) for fuse, chosen in ctx.d.runs["main"].fuses.values()]
    ctx.cover("battery.module_under_main", ratings, main)
    _headroom(ctx)


def _asked(ctx: FitOut, option: Option) -> bool:
    parallel = bank_parallel(option)
    from_ah = ctx.case.rules["module_fuse_from_ah"]
    return parallel > 1 and bool(option.body.capacity_ah * parallel > from_ah)


def _banks(ctx: FitOut, parallel: int) -> list[tuple[Option, Bool]]:
    """The banks of so many strings."""
    slot = ctx.d.slots["bank"]
    options = [(slot.options[key], flag) for key, flag in slot.pick.items()]
    return [(o, flag) for o, flag in options if bank_parallel(o) == parallel]


def _of(ctx: FitOut, parallel: int) -> list[tuple[Fuse, Bool]]:
    return [both for (_, strings), both in ctx.d.module_fuses.items() if strings == parallel]


def _fused(ctx: FitOut, parallel: int) -> Expr:
    return total(chosen for _, chosen in _of(ctx, parallel))


def _over_load(ctx: FitOut, parallel: int) -> None:
    percent, fused = at_least(ctx.case.rules["fuse_over_load"], 100), ctx.flag(f"module_fuses:{parallel}")
    ctx.define(_fused(ctx, parallel) == fused)
    rating = total(100 * parallel * at_most(fuse.rating_a, MILLI) * chosen for fuse, chosen in _of(ctx, parallel))
    for amps, when in carried(ctx)["main"].demands:
        ctx.require("battery.module_over_load", rating >= percent * amps, "", [fused, *when])


def _breaking(ctx: FitOut, parallel: int) -> None:
    """What the other strings drive back through it, or its own drives out: bank by bank against the fuse."""
    for system_v in ctx.d.voltage:
        full_v = volts.full_v(system_v)
        faults = [
            (at_least(max(1, parallel - 1) * full_v / _string_ohm(ctx, option), MILLI), flag)
            for option, flag in _banks(ctx, parallel)
            if system_v_of(option) == system_v
        ]
        breaks: list[tuple[int, Expr]] = [
            (at_most(fuse.breaking_a(system_v), MILLI) if fuse.volt_max_v >= full_v else 0, chosen)
            for fuse, chosen in _of(ctx, parallel)
        ]
        worst = max((figure for figure, _ in faults), default=0)
        ctx.cover("battery.module_breaking", faults, [*breaks, (worst, 1 - _fused(ctx, parallel))])


def _string_ohm(ctx: FitOut, option: Option) -> float:
    return ctx.tables.bank_nohm(option.body, bank_series(option), 1) / NANO


def _headroom(ctx: FitOut) -> None:
    """They stand on the bank, as a main fuse on its terminal does."""
    if not ctx.is_active("bay.depth", "bank"):
        return
    for under in ctx.d.slots["bank"].stands:
        room_mm = under.board.depth_mm - under.size.depth_mm
        high = [
            chosen for fuse, chosen in ctx.d.module_fuses.values() if ctx.tables.holder_of(fuse).height_mm > room_mm
        ]
        if high:
            ctx.define(under.var + total(high) <= 1)


def read(ctx: FitOut, value: Value) -> str:
    """The fuse of each string, or none."""
    return next((fuse.name for fuse, chosen in ctx.d.module_fuses.values() if value(chosen)), "")
