"""Energy: the bank's charge hour by hour in every scenario, days without sun, and recharging on hook-up.

The stored energy is bounded from above by what came in; the best course is always to store all that may
be stored, so the inequalities are exact. A step bounds it twice, by the charging and by the discharging
efficiency: the smaller is the right one on either side of zero.
"""

from __future__ import annotations

from optimiser.basis import loads, volts
from optimiser.case import Scenario
from optimiser.model.context import FitOut
from optimiser.model.currents import bank_parallel, bank_series, of_bank
from optimiser.model.decisions import Expr, Strings, total
from optimiser.parts import Inverter
from optimiser.units import MILLI, at_least, at_most

PER_MILLE = 1000
_DEBT = 100  # times the largest bank: more than any scenario draws


def require(ctx: FitOut) -> None:
    """Never below the floor, back where it began where asked; autonomy; recharge time."""
    idle = _idle_mw(ctx)
    for scenario in ctx.case.scenarios:
        _scenario(ctx, scenario, idle)
    _autonomy(ctx, idle)
    _recharge(ctx)


def _idle_mw(ctx: FitOut) -> Expr:
    """What is drawn by everything fitted, all day."""
    idle: Expr = 0
    for slot in ctx.d.slots.values():
        idle = idle + slot.picked(lambda o: at_least(getattr(o.body, "idle_w", 0.0) * o.count, MILLI))
    shunts = ctx.catalogue.of("shunts")
    return idle + total(at_least(shunts[name].idle_w, MILLI) * count for name, count in ctx.d.shunts.items())


def _dc_factor(ctx: FitOut, mw: int) -> Expr:
    """A draw of the 12 V loads, seen from the bank."""
    slot = ctx.d.slots.get("step_down")
    direct = mw * ctx.d.voltage[12] if 12 in ctx.d.voltage else 0
    return direct + (slot.picked(lambda o: at_least(volts.dc_loads_w(mw, o.body))) if slot else 0)


def _scenario(ctx: FitOut, scenario: Scenario, idle: Expr) -> None:
    name, hours = scenario.name, ctx.tables.hours[scenario.name]
    capacity = of_bank(ctx, ctx.tables.bank_mwh)
    # Kept as what is missing, so that the least value of every variable is the best one.
    banks = ctx.d.slots["bank"].options.values()
    most = max((ctx.tables.bank_mwh(o.body, bank_series(o), bank_parallel(o)) for o in banks), default=0)
    missing_most = most if ctx.wants("energy.floor", name) else _DEBT * most  # with no floor it may run a debt
    takes = of_bank(ctx, lambda m, s, p: at_most(m.charge_a * p * m.nominal_v * s, MILLI))
    floor, start = at_least(ctx.case.limits.soc_floor_pct, 100), at_most(scenario.start_pct, 100)
    stored = most - ctx.number(0, most, f"{name}:start")
    ctx.define(10_000 * stored <= start * capacity)
    gain, loss = (int(volts.CHARGE_EFFICIENCY * PER_MILLE), int(volts.DISCHARGE_EFFICIENCY * PER_MILLE))
    solar = [_solar(ctx, scenario, strings) for strings in ctx.d.strings.values()]
    for span in _spans(ctx, scenario, solar):
        t, length = span[0], len(span)
        net = total(powers[t] for powers in solar) + length * _charging(ctx, hours.driving[t], hours.hooked_up[t])
        net = net - _dc_factor(ctx, sum(hours.dc_mw[k] for k in span)) - length * idle
        net = net - total(_inverter(ctx, hours.inverter_w[k], hours.hooked_up[k]) for k in span)
        after = most - ctx.number(0, missing_most, f"{name}:{t}")
        ctx.define(PER_MILLE * (after - stored) <= gain * net)
        ctx.define(loss * (after - stored) <= PER_MILLE * net)
        if not isinstance(net, int):
            ctx.define(PER_MILLE * (after - stored) <= length * gain * takes)
        ctx.define(after <= capacity)
        ctx.require("energy.floor", 10_000 * after >= floor * capacity, name)
        stored = after
    if scenario.returns:
        ctx.require("energy.returns", 10_000 * stored >= start * capacity, name)


def _spans(ctx: FitOut, scenario: Scenario, solar: list[list[Expr]]) -> list[list[int]]:
    """Hours taken in one step: those without any source, and those without sun that are all alike.

    In either the stored energy runs one way only, so its least and its last value are at the end.
    """
    hours = ctx.tables.hours[scenario.name]
    spans: list[list[int]] = []
    for t in range(scenario.hours):
        if spans and all(isinstance(powers[k], int) for powers in solar for k in (t, t - 1)):
            sources = (hours.driving[t], hours.hooked_up[t])
            alike = sources == (hours.driving[t - 1], hours.hooked_up[t - 1])
            same = (hours.dc_mw[t], hours.inverter_w[t]) == (hours.dc_mw[t - 1], hours.inverter_w[t - 1])
            if alike and (same or not any(sources)):
                spans[-1].append(t)
                continue
        spans.append([t])
    return spans


def _inverter(ctx: FitOut, watt: float, hooked_up: bool) -> Expr:
    """Bank power for the sockets; on hook-up an inverter-charger passes them through."""

    def drawn(inverter: Inverter) -> int:
        return 0 if hooked_up and inverter.transfers else ctx.tables.inverter_loads_mw(inverter, watt)

    return ctx.d.slots["inverter"].picked(lambda o: drawn(o.body)) if watt else 0


def _charging(ctx: FitOut, driving: bool, hooked_up: bool) -> Expr:
    """Alternator charger while driving, mains charger or inverter-charger while hooked up."""
    t = ctx.tables
    power: Expr = 0
    if driving:
        slot = ctx.d.slots["alternator_charger"]
        power = power + slot.picked(lambda o: t.charge_mw(o.body.charge_a, o.body.system_v))
    if hooked_up:
        for name in ("mains_charger", "inverter"):
            slot = ctx.d.slots[name]
            power = power + slot.picked(lambda o: t.charge_mw(o.body.charge_a, o.body.system_v))
    return power


def _solar(ctx: FitOut, scenario: Scenario, strings: Strings) -> list[Expr]:
    """What one array gives the bank in each hour: its panels less the regulator's loss, up to its output."""
    t, slot = ctx.tables, ctx.d.slots[strings.regulator]
    label = f"{scenario.name}:{strings.regulator}"
    groups: dict[tuple[str, str], list[tuple[int, Expr]]] = {}
    for option, var in strings.options.items():
        groups.setdefault((option.light, option.panel.name), []).append((option.panels, var))
    counts, counts_most, powers = {}, {}, {}
    panels = ctx.catalogue.of("panels")
    for (light, name), terms in groups.items():
        count = ctx.number(0, max(n for n, _ in terms), f"{label}:{light}:{name}")
        ctx.define(count == total(n * var for n, var in terms))
        counts[light, name], counts_most[light, name] = count, max(n for n, _ in terms)
        zone = ctx.case.lights[light][0] if light else None
        powers[light, name] = t.panel_mw(scenario, zone, panels[name])
    out = t.hours[scenario.name].portable
    efficiencies = sorted({o.body.efficiency_pct for o in slot.options.values()}, reverse=True)
    parts = {key: option.body for key, option in slot.options.items()}
    clip = total(t.charge_mw(t.solar_out(parts[k]), v) * x for (k, v), x in strings.by_voltage.items())
    result: list[Expr] = []
    for hour in range(scenario.hours):
        raw = total(
            powers[key][hour] * count for key, count in counts.items() if powers[key][hour] and (key[0] or out[hour])
        )
        if isinstance(raw, int):
            result.append(0)
            continue
        most = max(powers[key][hour] * counts_most[key] for key in counts)
        lost = ctx.number(0, most, f"{label}:{hour}")
        given = most - lost
        for k, percent in enumerate(efficiencies):
            ours = [slot.pick[key] for key, o in slot.options.items() if o.body.efficiency_pct == percent]
            ctx.define(
                PER_MILLE * given <= at_most(percent, 10) * raw,
                [] if k == 0 else [ctx.is_sum(ours, f"{label}:{hour}:{percent}")],
            )
        ctx.define(given <= clip)
        result.append(given)
    return result


def _autonomy(ctx: FitOut, idle: Expr) -> None:
    """Days the usable bank carries the loads with no sun, no driving and no hook-up."""
    days = ctx.case.limits.autonomy_days
    if not days:
        return
    dc_w, inverter_w = loads.autonomy_day(ctx.case)
    drawn = _dc_factor(ctx, at_least(dc_w, MILLI)) + _inverter(ctx, inverter_w, hooked_up=False) + idle
    usable = of_bank(
        ctx,
        lambda m, s, p: at_most(
            ctx.tables.bank_mwh(m, s, p) * (1 - ctx.case.limits.soc_floor_pct / 100) * volts.DISCHARGE_EFFICIENCY
        ),
    )
    ctx.require("energy.autonomy", 100 * usable >= at_least(24 * days, 100) * drawn)


def _recharge(ctx: FitOut) -> None:
    """From floor to full on hook-up within the hours asked for."""
    hours = ctx.case.limits.recharge_h
    if hours is None:
        return
    empty = of_bank(
        ctx,
        lambda m, s, p: at_least(ctx.tables.bank_mwh(m, s, p) * (1 - ctx.case.limits.soc_floor_pct / 100) + 1),
    )
    power = _charging(ctx, driving=False, hooked_up=True)
    ctx.require("charge.recharge", PER_MILLE * empty <= at_most(hours * volts.CHARGE_EFFICIENCY * PER_MILLE) * power)
