"""What the brief asks for by size. Each is posted on what other families decide."""

from collections.abc import Sequence

from optimiser.model.context import Figure, FitOut
from optimiser.model.currents import bank_parallel, system_v_of
from optimiser.model.decisions import Expr, Option, total
from optimiser.units import MILLI, at_least, at_most


def require(ctx: FitOut) -> None:
    """Post each size that the brief names."""
    asked = ctx.case.limits
    if asked.mains_charge_a:
        _summed(ctx, "size.mains_charge", "mains_charge_a", _hook_up_ma(ctx))
    if asked.solar_w:
        panels = ctx.catalogue.of("panels")
        watts = [at_most(panels[name].watt_w, MILLI) * count for (_, name), count in ctx.d.panels.items()]
        _summed(ctx, "size.solar", "solar_w", total(watts))
    if asked.bank_ah:
        bank = ctx.d.slots["bank"]
        _chosen(ctx, "size.bank", "bank_ah", [(_at_12_v_mah(o), bank.pick[key]) for key, o in bank.options.items()])
    if asked.inverter_w:
        inverter = ctx.d.slots["inverter"]
        rated = [(at_most(o.body.watt_25c_w, MILLI), inverter.pick[key]) for key, o in inverter.options.items()]
        _chosen(ctx, "size.inverter", "inverter_w", rated)


def _summed(ctx: FitOut, name: str, column: str, fitted: Expr) -> None:
    """Of what several choices give together."""
    asked = ctx.limit(f"limits.{column}", getattr(ctx.case.limits, column), lambda least: at_least(least, MILLI))
    ctx.require(name, fitted >= asked)
    ctx.note(name, fitted, MILLI)


def _chosen(ctx: FitOut, name: str, column: str, fitted: Sequence[Figure]) -> None:
    """Of one choice, of which all that are too small are out."""
    asked = [
        (at_least(getattr(case.limits, column), MILLI), chosen[0] if chosen else 1)
        for case, chosen in ctx.rungs(f"limits.{column}")
    ]
    ctx.cover(name, asked, fitted)
    ctx.note(name, total(figure * flag for figure, flag in fitted), MILLI)


def _hook_up_ma(ctx: FitOut) -> Expr:
    """What hook-up gives the bank by mains charger and inverter-charger, derated."""
    if ctx.case.brief.inlet is None:
        return 0
    slots = (ctx.d.slots["mains_charger"], ctx.d.slots["inverter"])
    return total(slot.picked(lambda o: at_most(ctx.tables.derate * o.body.charge_a, MILLI)) for slot in slots)


def _at_12_v_mah(option: Option) -> int:
    """Nominal capacity of a bank, of which those of a higher voltage count as often as that is 12 V."""
    return at_most(option.body.capacity_ah * bank_parallel(option) * system_v_of(option) / 12, MILLI)
