"""Converters: inverter or inverter-charger, alternator charger, mains charger, step-down, mains box."""

from dataclasses import replace

from optimiser.basis import loads
from optimiser.case import Case
from optimiser.connections import CHARGERS, slot_of
from optimiser.model.context import FitOut
from optimiser.model.currents import inlet_ma
from optimiser.model.decisions import Option, Slot, total
from optimiser.model.slots import add_slot, existing_slot, options_of, suits
from optimiser.parts import AlternatorCharger, Body, ChangedOver, Inverter, MainsBox, StepDown
from optimiser.units import MILLI, at_least, at_most


def decide(ctx: FitOut) -> None:
    """The slots; an existing part fills its slot."""
    for name in ("inverter", *CHARGERS, "mains_box"):
        rows = [ctx.catalogue.of(key) for key in slot_of(name).files]
        parts = {p.name: p for row in rows for p in row.values() if isinstance(p, Body)}
        existing = next((k for k in ctx.case.existing if k.kind == "part" and k.part in parts), None)
        ctx.d.slots[name] = existing_slot(ctx, name, existing, parts[existing.part]) if existing else _slot(ctx, name)
    if any(v != 12 for v in ctx.d.voltage):
        present = 1 - ctx.d.voltage[12] if 12 in ctx.d.voltage else 1
        downs = [o for o in options_of(ctx, "step_downs") if _suffices(ctx, "step_down", o, ctx.case)]
        ctx.d.slots["step_down"] = add_slot(ctx, "step_down", downs, present=present)


def _slot(ctx: FitOut, name: str) -> Slot:
    brief = ctx.case.brief
    present: int | None = None
    idle = ctx.tables.peaks.inverter_w == 0 and not ctx.case.limits.inverter_w
    no_charger = _refused(ctx, "mains_charger")  # one that transfers is a charger, too
    if name == "mains_box":
        present = int(bool(brief.circuits or brief.inlet))
    elif (name == "inverter" and idle and (brief.inlet is None or no_charger)) or (
        name in CHARGERS and (getattr(brief, slot_of(name).source) is None or _refused(ctx, name))
    ):
        present = 0
    options = options_of(ctx, *slot_of(name).files) if present != 0 else []
    if name == "alternator_charger" and brief.alternator:
        options = [o for o in options if o.body.input_v == brief.alternator.system_v]
    if name == "mains_box":  # one to be filled, or one with breakers of its own
        options = [o for o in options if bool(o.body.modules) == brief.fills_mains_box]
    if name == "inverter":
        options = [*options, *changed_over(ctx, options)]
    if name == "inverter" and no_charger:
        options = [o for o in options if not o.body.transfers]
    elif name == "inverter" and idle:
        options = [o for o in options if o.body.transfers]
    cases = [case for case, _ in ctx.rungs(*_leave_out(ctx, name))]
    enough = [o for o in options if any([_suffices(ctx, name, o, case) for case in cases])]
    return add_slot(ctx, name, enough, present=present)


def changed_over(ctx: FitOut, options: list[Option]) -> list[Option]:
    """Inverters without a transfer switch with a changeover of their circuits each; it is counted with the breakers."""
    brief = ctx.case.brief
    if brief.changeover == "no" or not brief.fills_mains_box or brief.inlet is None:
        return []
    return [
        replace(
            option, key=f"{option.key}+{device.name}", body=ChangedOver(**option.body.model_dump(), changeover=device)
        )
        for option in options
        if not option.body.transfers
        for device in ctx.catalogue.of("breakers").values()
        if device.kind.endswith("_changeover")
    ]


def _leave_out(ctx: FitOut, name: str) -> tuple[str, ...]:
    """Addresses of values that leave parts out of a slot, and may be eased."""
    if name == "inverter":
        return tuple(f"load.{load.name}.watt_w" for load in ctx.case.loads)
    return ("alternator.rating_a", "alternator.plug_a") if name == "alternator_charger" else ()


def _suffices(ctx: FitOut, name: str, option: Option, case: Case) -> bool:
    """Whether a part by itself meets the active requirements that concern no other choice."""
    tables, brief, body = ctx.tables, case.brief, option.body
    peaks = tables.peaks if case is ctx.case else loads.peaks(case)
    checks: list[tuple[str, bool]] = []
    if isinstance(body, Inverter):
        checks = [
            ("inverter.power", tables.inverter_hot_w(body) >= at_least(peaks.inverter_w)),
            ("inverter.surge", at_most(body.surge_w) >= at_least(peaks.inverter_surge_w)),
        ]
        if body.transfers and brief.inlet:
            passed = at_least(brief.inlet.rating_a, MILLI)
            checks.append(("inverter.transfer", passed <= at_most(body.transfer_a, MILLI)))
    elif isinstance(body, AlternatorCharger) and brief.alternator:
        allowed = at_most(ctx.case.rules["alternator_share"] * brief.alternator.rating_a, MILLI)
        checks = [("charge.alternator", tables.feed_ma(body) <= allowed)]
        if brief.alternator.plug_a is not None:
            checks.append(("charge.plug", tables.feed_ma(body) <= at_most(brief.alternator.plug_a, MILLI)))
    elif isinstance(body, StepDown):
        checks = [("charge.step_down", at_most(body.out_a, MILLI) >= at_least(peaks.dc_w / 12, MILLI))]
    elif isinstance(body, MainsBox):
        checks = [("protect.mains_box", body.circuits >= max(1, len(brief.circuits)))]
        if brief.inlet:
            checks.append(("protect.inlet_breaker", body.inlet_a >= brief.inlet.rating_a))
    return all(
        [enough or not ctx.is_active(requirement) for requirement, enough in checks]
    )  # ask each: asking posts it


def _refused(ctx: FitOut, name: str) -> bool:
    return getattr(ctx.case.brief, name) == "no" and ctx.is_active("charge.asked_for", name)


def require(ctx: FitOut) -> None:
    """Voltage, power, surge, and what the vehicle and hook-up can feed."""
    for slot in ctx.d.slots.values():
        for key, var in slot.pick.items():
            for system_v, chosen in ctx.d.voltage.items():
                if not suits(slot.options[key].body, system_v):
                    ctx.define(var + chosen <= 1)
    if ctx.tables.peaks.inverter_w:
        ctx.require("inverter.present", ctx.d.slots["inverter"].present >= 1)
    if ctx.case.brief.changeover == "must":
        ctx.require("mains.changeover", ctx.d.slots["inverter"].picked(lambda o: int(o.body.reached)) >= 1)
    _sources(ctx)
    for name in ("inverter", "alternator_charger"):
        _left_out(ctx, name)
    for name, slot in ctx.d.slots.items():
        if slot.existing:
            _held_alike(ctx, name, next(iter(slot.options.values())))


def _left_out(ctx: FitOut, name: str) -> None:
    """Parts that are enough only for values eased further than they are."""
    for case, chosen in ctx.rungs(*_leave_out(ctx, name)):
        for key, option in ctx.d.slots[name].options.items():
            if chosen and not _suffices(ctx, name, option, case):
                ctx.define(total([ctx.d.slots[name].pick[key], *chosen]) <= len(chosen))


def _held_alike(ctx: FitOut, name: str, option: Option) -> None:
    """A part that stays is held to what leaves new ones out of the choice."""
    ctx.define(_suffices(ctx, name, option, ctx.case))
    if isinstance(option.body, MainsBox):
        ctx.define(bool(option.body.modules) == ctx.case.brief.fills_mains_box)
    if name in CHARGERS:
        source = getattr(ctx.case.brief, slot_of(name).source)
        ctx.define(source is not None)
        if isinstance(option.body, AlternatorCharger) and source:
            ctx.define(option.body.input_v == source.system_v)
    charger = "mains_charger" if isinstance(option.body, Inverter) and option.body.transfers else name
    if charger in CHARGERS:
        ctx.require("charge.asked_for", getattr(ctx.case.brief, charger) != "no", charger)


def _sources(ctx: FitOut) -> None:
    tables, brief, slots = ctx.tables, ctx.case.brief, ctx.d.slots
    inverter = slots["inverter"]
    ctx.note("inverter.power", inverter.picked(lambda o: tables.inverter_hot_w(o.body)), 1)
    ctx.note("inverter.surge", inverter.picked(lambda o: at_most(o.body.surge_w)), 1)
    if brief.alternator:
        fed = slots["alternator_charger"].picked(lambda o: tables.feed_ma(o.body))
        ctx.note("charge.alternator", fed, MILLI)
        ctx.note("charge.plug", fed, MILLI)
    if brief.inlet:
        drawn = inlet_ma(ctx)
        ctx.require("charge.inlet", drawn <= at_most(brief.inlet.rating_a, MILLI))
        ctx.note("charge.inlet", drawn, MILLI)
        if brief.generator:
            volt = brief.place.mains_v
            ran = inlet_ma(ctx, tables.peaks.generator_w)
            ctx.require("charge.generator", ran <= at_most(brief.generator.watt_w / volt, MILLI))
            ctx.note("charge.generator", ran, MILLI / volt)
    through = inverter.picked(lambda o: int(o.body.transfers))
    for name in CHARGERS:
        if getattr(brief, name) == "must":
            fitted = slots[name].present + (through if name == "mains_charger" else 0)
            asked = ctx.limit(f"case.{name}", 1, lambda choice: int(choice == 1))  # eased, it is "may"
            ctx.require("charge.asked_for", fitted >= asked, name)
