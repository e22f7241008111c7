"""Converters: inverter or inverter-charger, alternator charger, mains charger, step-down, mains box."""

from __future__ import annotations

from optimiser.model.context import FitOut
from optimiser.model.decisions import Expr, Slot
from optimiser.model.slots import add_slot, kept_slot, options_of, suits
from optimiser.units import MILLI, at_least, at_most

CLASSES = {
    "inverter": ("inverters", "inverter_chargers"),
    "alternator_charger": ("alternator_chargers",),
    "mains_charger": ("mains_chargers",),
    "mains_box": ("mains_boxes",),
}


def decide(ctx: FitOut) -> None:
    """The slots; a part that is kept fills its slot."""
    for name, keys in CLASSES.items():
        parts = {p.name: p for key in keys for p in ctx.catalogue.of(key).values()}
        kept = next((k for k in ctx.case.keep if k.kind == "part" and k.part in parts), None)
        ctx.d.slots[name] = kept_slot(ctx, name, kept, parts[kept.part]) if kept else _slot(ctx, name)
    if any(v != 12 for v in ctx.d.voltage):
        present = 1 - ctx.d.voltage[12] if 12 in ctx.d.voltage else 1
        ctx.d.slots["step_down"] = add_slot(ctx, "step_down", options_of(ctx, "step_downs"), present=present)


def _slot(ctx: FitOut, name: str) -> Slot:
    brief = ctx.case.brief
    present: int | None = None
    if name == "mains_box":
        present = int(bool(brief.circuits or brief.inlet))
    elif name == "inverter" and ctx.tables.peaks.inverter_w == 0:
        present = 0
    elif name == "alternator_charger" and (brief.alternator is None or _refused(ctx, name)):
        present = 0
    elif name == "mains_charger" and (brief.inlet is None or _refused(ctx, name)):
        present = 0
    options = options_of(ctx, *CLASSES[name]) if present != 0 else []
    if name == "alternator_charger" and brief.alternator:
        options = [o for o in options if o.body.input_v == brief.alternator.system_v]
    if name == "inverter" and (brief.inlet is None or _refused(ctx, "mains_charger")):
        options = [o for o in options if not o.body.transfers]
    return add_slot(ctx, name, options, present=present)


def _refused(ctx: FitOut, name: str) -> bool:
    return getattr(ctx.case.brief, name) == "no" and ctx.wants("charge.wanted", name)


def require(ctx: FitOut) -> None:
    """Voltage, power, surge, and what the vehicle and hook-up can feed."""
    for name, slot in ctx.d.slots.items():
        for key, var in slot.pick.items():
            for system_v, chosen in ctx.d.voltage.items():
                if not suits(slot.options[key].body, system_v):
                    ctx.define(var + chosen <= 1)
    _inverter(ctx)
    _sources(ctx)
    if "step_down" in ctx.d.slots:
        slot = ctx.d.slots["step_down"]
        gives = slot.picked(lambda o: at_most(o.body.out_a, MILLI))
        ctx.require("charge.step_down", gives >= at_least(ctx.tables.peaks.dc_w / 12, MILLI) * slot.present)
    box = ctx.d.slots["mains_box"]
    if ctx.case.brief.inlet:
        gives = box.picked(lambda o: at_most(o.body.inlet_a, MILLI))
        ctx.require("protect.inlet_breaker", gives >= at_least(ctx.case.brief.inlet.rating_a, MILLI))
    if ctx.case.brief.circuits:
        ctx.require("protect.mains_box", box.picked(lambda o: o.body.circuits) >= len(ctx.case.brief.circuits))


def _inverter(ctx: FitOut) -> None:
    tables, peaks, slot = ctx.tables, ctx.tables.peaks, ctx.d.slots["inverter"]
    if peaks.inverter_w == 0:
        return
    ctx.require("inverter.present", slot.present >= 1)
    there: Expr = slot.present
    hot = slot.picked(lambda o: tables.inverter_hot_w(o.body))
    ctx.require("inverter.power", hot >= at_least(peaks.inverter_w) * there)
    surge = slot.picked(lambda o: at_most(o.body.surge_w))
    ctx.require("inverter.surge", surge >= at_least(peaks.inverter_surge_w) * there)
    if ctx.case.brief.inlet:
        through = at_least(peaks.inverter_w / ctx.case.brief.place.mains_v, MILLI)
        for key, var in slot.pick.items():
            inverter = slot.options[key].body
            if inverter.transfers and through > at_most(inverter.transfer_a, MILLI):
                ctx.require("inverter.transfer", var == 0)


def _sources(ctx: FitOut) -> None:
    tables, brief, slots = ctx.tables, ctx.case.brief, ctx.d.slots
    inverter, mains, alternator = (slots[n] for n in ("inverter", "mains_charger", "alternator_charger"))
    if brief.alternator:
        allowed = at_most(ctx.case.rules["alternator_share"] * brief.alternator.rating_a, MILLI)
        ctx.require("charge.alternator", alternator.picked(lambda o: tables.feed_ma(o.body)) <= allowed)
    if brief.inlet:
        transferred = at_least(tables.peaks.inverter_w / brief.place.mains_v, MILLI)
        drawn = mains.picked(lambda o: tables.mains_input_ma(o.body)) + inverter.picked(
            lambda o: tables.mains_input_ma(o.body) + transferred if o.body.transfers else 0
        )
        loads = at_least(tables.peaks.hook_up_w / brief.place.mains_v, MILLI)
        ctx.require("charge.inlet", drawn + loads <= at_most(brief.inlet.rating_a, MILLI))
    chargers = mains.present + inverter.picked(lambda o: int(o.body.transfers))
    for name, fitted in (("mains_charger", chargers), ("alternator_charger", alternator.present)):
        if getattr(brief, name) == "must":
            ctx.require("charge.wanted", fitted >= 1, name)
