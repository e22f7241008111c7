"""Energy: the bank's charge hour by hour in every scenario, days without sun, and recharging on hook-up.

Kept as what is missing from a full bank: bounded from below by what was drawn and not made good, it is best
as small as it may be, so the inequalities are exact. A step bounds it twice, by the charging and by the
discharging efficiency: the greater is the right one on either side of zero.

What every hour asks for (the bank, the idle draw) has a variable of its own, which keeps the rows of the hours
short.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from optimiser.basis import bank as banks
from optimiser.basis import loads, volts
from optimiser.case import Case, Scenario
from optimiser.model.context import Figure, FitOut, Supply
from optimiser.model.currents import bank_figures, bank_parallel, bank_series, of_bank
from optimiser.model.decisions import Bool, Expr, Option, Stand, Strings, total
from optimiser.model.uses import step_downs
from optimiser.parts import AlternatorCharger, Inverter, Module
from optimiser.units import MILLI, at_least, at_most

PER_MILLE = 1000
_FLOOR = "limits.soc_floor_pct"
_DEBT = 100  # times the largest bank: more than any scenario draws
_MOST_IDLE_MW = 10_000_000  # no fit-out idles at 10 kW


def require(ctx: FitOut) -> None:
    """Never below the floor, back where it began where asked; autonomy; recharge time."""
    bank, idle = _bank(ctx), _idle_mw(ctx)
    ctx.d.idle_mw = idle
    for scenario in ctx.case.scenarios:
        _scenario(ctx, scenario, bank, idle)
    _autonomy(ctx)
    _recharge(ctx)


def _idle_mw(ctx: FitOut) -> Expr:
    """What is drawn by everything fitted, all day."""
    drawn: Expr = 0
    for slot in ctx.d.slots.values():
        drawn = drawn + slot.picked(lambda o: at_least(getattr(o.body, "idle_w", 0.0) * o.count, MILLI))
    shunts, vents = ctx.catalogue.of("shunts"), ctx.catalogue.of("vents")
    drawn = drawn + total(at_least(shunts[name].idle_w, MILLI) * count for name, count in ctx.d.shunts.items())
    drawn = drawn + total(at_least(vents[name].watt_w, MILLI) * count for (_, name), count in ctx.d.vents.items())
    idle = ctx.number(0, _MOST_IDLE_MW, "idle")
    ctx.define(idle == drawn)
    return idle


@dataclass(frozen=True)
class _Bank:
    """The chosen bank."""

    most_mwh: int  # of any bank
    holds_mwh: Bool
    takes_mw: Bool


def _bank(ctx: FitOut) -> _Bank:
    holds = ctx.tables.bank_mwh
    share = partial(volts.sharing, ctx.case)

    def chosen(name: str, weigh: Callable[[Module, int, int], int]) -> Bool:
        var = ctx.number(0, max((figure for figure, _ in bank_figures(ctx, weigh)), default=0), f"bank:{name}")
        ctx.define(var == of_bank(ctx, weigh))
        return var

    return _Bank(
        most_mwh=max((figure for figure, _ in bank_figures(ctx, holds)), default=0),
        holds_mwh=chosen("holds", holds),
        takes_mw=chosen("takes", lambda m, s, p: at_most(m.charge_a * p * share(p) * m.nominal_v * s, MILLI)),
    )


def dc_factor(ctx: FitOut, mw: int) -> Expr:
    """A draw of the 12 V loads, seen from the bank."""
    slot = ctx.d.slots.get("step_down")
    direct = mw * ctx.d.voltage[12] if 12 in ctx.d.voltage else 0
    return direct + (slot.picked(lambda o: at_least(volts.dc_loads_w(mw, o.body))) if slot else 0)


def _scenario(ctx: FitOut, scenario: Scenario, bank: _Bank, idle: Expr) -> None:
    name, hours = scenario.name, ctx.tables.hours[scenario.name]
    gain, loss = (int(volts.CHARGE_EFFICIENCY * PER_MILLE), int(volts.DISCHARGE_EFFICIENCY * PER_MILLE))
    arrays = {name: _solar(ctx, scenario, strings) for name, strings in ctx.d.strings.items()}
    harvest = [total(given[t] for given in arrays.values()) for t in range(scenario.hours)]
    if own_sun := arrays.get("alternator_charger"):
        _one_output(ctx, own_sun, hours.driving)
    floor = ctx.is_active("energy.floor", name)
    missing: Expr = ctx.number(0, bank.most_mwh, f"{name}:start")
    started = [
        (10_000 - at_most(s.start_pct, 100), when)
        for case, when in ctx.rungs(f"scenario.{name}.start_pct")
        for s in case.scenarios
        if s.name == name
    ]
    for lacks, when in started:
        ctx.define(10_000 * missing >= lacks * bank.holds_mwh, when)
    takes, heater, usable = _takes(ctx, scenario, bank), heater_mw(ctx, scenario), _usable_mwh(ctx, scenario)
    begun, charged, short = missing, list[Expr](), list[tuple[Expr, int]]()
    for span in _spans(ctx, scenario, harvest, takes):
        t, length = span[0], len(span)
        charged.append(length * _charging(ctx, {slot: shares[t] for slot, shares in hours.gives.items()}))
        source = harvest[t] + charged[-1]
        net = source - dc_factor(ctx, sum(hours.dc_mw[k] for k in span)) - length * (idle + heater)
        net = net - _inverter(ctx, [hours.inverter_w[k] for k in span], hours.hooked_up[t])
        after = ctx.number(0, bank.most_mwh * (1 if floor else _DEBT), f"{name}:{t}")  # without a floor it runs a debt
        ctx.define(loss * (missing - after) <= PER_MILLE * net)
        if not isinstance(source, int):
            ctx.define(PER_MILLE * (missing - after) <= gain * net)
            ctx.define(PER_MILLE * (missing - after) <= length * gain * takes[t])
        ctx.require("energy.floor", after <= usable, name)
        missing = after
        short.append((after - usable, 1))
    if scenario.returns:
        for lacks, when in started:
            ctx.require("energy.returns", 10_000 * missing <= lacks * bank.holds_mwh, name, when)
            short.append((10_000 * missing - lacks * bank.holds_mwh, 10_000))
    ctx.supplies[name] = Supply(total(harvest), total(charged), (loss * (usable - begun), PER_MILLE), tuple(short))


def _one_output(ctx: FitOut, own_sun: Sequence[Expr], driving: Sequence[bool]) -> None:
    """While driving, what an alternator charger's own panels give is what the engine leaves of its output."""
    t = ctx.tables

    def left(charger: AlternatorCharger) -> int:
        output_a = volts.alternator_output_a(charger, with_solar=True)
        return t.charge_mw(output_a, charger.system_v) - t.charge_mw(charger.charge_a, charger.system_v)

    room = ctx.d.slots["alternator_charger"].picked(lambda o: left(o.body))
    for given, on in zip(own_sun, driving, strict=True):
        if on and not isinstance(given, int):
            ctx.define(given <= room)


def _takes(ctx: FitOut, scenario: Scenario, bank: _Bank) -> list[Bool]:
    """What the bank takes in each hour, by the temperature of its bay [mW]; hours alike share a variable."""
    stands = ctx.d.slots["bank"].stands
    each = [banks.charge_a(s.option.body, scenario, ctx.case.bay_of[s.board.bay]) for s in stands]

    def figure(stand: Stand, amps: float) -> int:
        p = bank_parallel(stand.option)
        together = p * volts.sharing(ctx.case, p) * stand.option.body.nominal_v * bank_series(stand.option)
        return at_most(amps * together, MILLI)

    known = {tuple(stand.option.body.charge_a for stand in stands): bank.takes_mw}
    takes = []
    for hour in range(scenario.hours):
        amps = tuple(float(a[hour]) for a in each)
        if amps not in known:
            figures = [figure(stand, a) for stand, a in zip(stands, amps, strict=True)]
            known[amps] = ctx.number(0, max(figures, default=0), f"{scenario.name}:{hour}:takes")
            ctx.define(known[amps] == total(f * s.var for f, s in zip(figures, stands, strict=True)))
        takes.append(known[amps])
    return takes


def _usable_mwh(ctx: FitOut, scenario: Scenario) -> Bool:
    """What may be missing from the bank where it stands."""
    stands = ctx.d.slots["bank"].stands
    floors = [
        ([_above_floor_mwh(ctx, s.option, scenario, s.board.bay, case) for s in stands], when)
        for case, when in ctx.rungs(_FLOOR)
    ]
    most = max((figure for figures, _ in floors for figure in figures), default=0)
    usable = ctx.number(0, most, f"{scenario.name}:usable")
    for figures, when in floors:
        ctx.define(usable == total(figure * s.var for figure, s in zip(figures, stands, strict=True)), when)
    return usable


def _above_floor_mwh(ctx: FitOut, option: Option, scenario: Scenario, bay: str, case: Case) -> int:
    """What a full bank gives down to the case's floor, or as far as the cold lets it there."""
    gives = banks.drawable_share(option.body, scenario.temp_min_c, ctx.case.bay_of[bay])
    share = min(at_most(gives, 10_000), 10_000 - at_least(case.limits.soc_floor_pct, 100))
    return share * ctx.tables.bank_mwh(option.body, bank_series(option), bank_parallel(option)) // 10_000


def heater_mw(ctx: FitOut, scenario: Scenario) -> Expr:
    """What the heaters of the bank draw where it stands."""
    heats = [
        (at_least(s.option.count * banks.heater_w(s.option.body, scenario, ctx.case.bay_of[s.board.bay]), MILLI), s.var)
        for s in ctx.d.slots["bank"].stands
    ]
    return total(milliwatt * var for milliwatt, var in heats if milliwatt)


def _spans(ctx: FitOut, scenario: Scenario, harvest: list[Expr], takes: list[Bool]) -> list[list[int]]:
    """Hours taken in one step: those without any source, and those without sun that are all alike.

    In either the stored energy runs one way only, so its least and its last value are at the end.
    """
    hours = ctx.tables.hours[scenario.name]
    spans: list[list[int]] = []
    for t in range(scenario.hours):
        if spans and all(isinstance(harvest[k], int) for k in (t, t - 1)):
            sources, before = ([share[k] for share in hours.gives.values()] for k in (t, t - 1))
            alike = sources == before and takes[t] is takes[t - 1]
            same = (hours.dc_mw[t], hours.inverter_w[t]) == (hours.dc_mw[t - 1], hours.inverter_w[t - 1])
            if alike and (same or not any(sources)):
                spans[-1].append(t)
                continue
        spans.append([t])
    return spans


def _inverter(ctx: FitOut, watts: Sequence[float], hooked_up: bool) -> Expr:
    """Bank power for the sockets, a figure an hour; on hook-up an inverter-charger passes them through."""

    def drawn(inverter: Inverter) -> int:
        passed = hooked_up and inverter.passed
        return 0 if passed else sum(ctx.tables.inverter_loads_mw(inverter, watt) for watt in watts)

    return ctx.d.slots["inverter"].picked(lambda o: drawn(o.body)) if any(watts) else 0


def _charging(ctx: FitOut, gives: Mapping[str, float]) -> Expr:
    """Each charger at a share of its output; an inverter-charger as a mains charger."""
    power: Expr = 0
    for name, share in gives.items():
        for slot in (name, "inverter") if name == "mains_charger" else (name,):
            power = power + (ctx.d.slots[slot].picked(_charge_mw(ctx, share)) if share else 0)
    return power


def _charge_mw(ctx: FitOut, share: float) -> Callable[[Option], int]:
    return lambda option: ctx.tables.charge_mw(share * option.body.charge_a, option.body.system_v)


def _solar(ctx: FitOut, scenario: Scenario, strings: Strings) -> list[Expr]:
    """What one array gives the bank in each hour: its panels less the regulator's loss, up to its output."""
    t, slot = ctx.tables, ctx.d.slots[strings.regulator]
    label = f"{scenario.name}:{strings.regulator}"
    groups: dict[tuple[str, str], list[tuple[int, Expr]]] = {}
    for option, var in strings.options.items():
        groups.setdefault((option.roof_plane, option.panel.name), []).append((option.panels, var))
    counts, counts_most, powers = {}, {}, {}
    panels = ctx.catalogue.of("panels")
    for (plane, name), terms in groups.items():
        count = ctx.number(0, max(n for n, _ in terms), f"{label}:{plane}:{name}")
        ctx.define(count == total(n * var for n, var in terms))
        counts[plane, name], counts_most[plane, name] = count, max(n for n, _ in terms)
        zone = ctx.case.roof_planes[plane][0] if plane else None
        powers[plane, name] = t.panel_mw(scenario, zone, panels[name])
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


def _autonomy(ctx: FitOut) -> None:
    """Days the usable bank carries the loads with no sun, no driving and no hook-up."""
    if not ctx.case.limits.autonomy_days:
        return
    for case, when in ctx.rungs("limits.autonomy_days", _FLOOR):
        usable, drawn = without_sun(ctx, case)
        days = case.limits.autonomy_days
        ctx.require("energy.autonomy", 100 * usable >= at_least(24 * days, 100) * drawn, when=when)
        short = at_least(24 * days, 100) * drawn - 100 * usable
        ctx.supplies[""] = Supply(0, 0, (usable, 1), ((10 * short, int(volts.DISCHARGE_EFFICIENCY * PER_MILLE)),))
    _autonomy_at_best(ctx)


def without_sun(ctx: FitOut, case: Case | None = None) -> tuple[Expr, Expr]:
    """What a full bank gives down to the floor [mWh], and what is drawn of it on days without sun [mW]."""
    dc_w, inverter_w = loads.autonomy_day(ctx.case)
    drawn = dc_factor(ctx, at_least(dc_w, MILLI)) + _inverter(ctx, [inverter_w], hooked_up=False) + ctx.d.idle_mw
    drawn = drawn + heater_mw(ctx, loads.autonomy_scenario(ctx.case))
    case = case or ctx.case
    return total(_carries_mwh(ctx, s.option, s.board.bay, case) * s.var for s in ctx.d.slots["bank"].stands), drawn


def _carries_mwh(ctx: FitOut, option: Option, bay: str, case: Case) -> int:
    """What a full bank gives the loads down to the case's floor where it stands."""
    above = _above_floor_mwh(ctx, option, loads.autonomy_scenario(ctx.case), bay, case)
    return at_most(above * volts.DISCHARGE_EFFICIENCY)


def _autonomy_at_best(ctx: FitOut) -> None:
    """Implied: the same bank by bank against inverter by inverter, with all else drawing its least.

    Where days may be fewer: against the inverter that needs least, for so many days.
    """
    dc_w, inverter_w = loads.autonomy_day(ctx.case)
    inverter = ctx.d.slots["inverter"]

    def needs(part: Inverter | None, days: float) -> int:
        made_for = ctx.d.voltage if part is None else (part.system_v,)
        downs = [down for system_v in made_for for down in step_downs(ctx, system_v)]
        drawn = min(volts.dc_loads_w(dc_w, down) for down in downs)
        if part is not None:
            drawn += inverter_w / (part.efficiency_pct / 100) + part.idle_w
        return at_most(days * 24 * drawn, MILLI)

    with_each: list[tuple[Inverter | None, Expr]] = [(None, 1 - inverter.present)]
    with_each += [(option.body, inverter.pick[key]) for key, option in inverter.options.items()]
    wants: list[Figure] = []
    for case, when in ctx.rungs("limits.autonomy_days"):
        each = [(needs(part, case.limits.autonomy_days), flag) for part, flag in with_each]
        wants += [(min(need for need, _ in each), when[0])] if when else each
    lowest, _ = min(ctx.rungs(_FLOOR), key=lambda rung: rung[0].limits.soc_floor_pct)
    best: dict[str, int] = {}  # where a bank carries most
    for s in ctx.d.slots["bank"].stands:
        best[s.option.key] = max(best.get(s.option.key, 0), _carries_mwh(ctx, s.option, s.board.bay, lowest))
    bank = ctx.d.slots["bank"]
    ctx.cover("energy.autonomy", wants, [(best[key], bank.pick[key]) for key in bank.options])


def _recharge(ctx: FitOut) -> None:
    """From floor to full on hook-up within the hours asked for."""
    if ctx.case.limits.recharge_h is None:
        return
    power = _charging(ctx, {"mains_charger": 1.0})
    for case, when in ctx.rungs("limits.recharge_h", _FLOOR):
        hours, above_floor = case.limits.recharge_h, 1 - case.limits.soc_floor_pct / 100
        assert hours is not None
        empty = of_bank(ctx, partial(_to_fill_mwh, ctx, above_floor))
        gives = at_most(hours * volts.CHARGE_EFFICIENCY * PER_MILLE) * power
        ctx.require("charge.recharge", PER_MILLE * empty <= gives, when=when)


def _to_fill_mwh(ctx: FitOut, share: float, module: Module, series: int, parallel: int) -> int:
    return at_least(ctx.tables.bank_mwh(module, series, parallel) * share + 1)
