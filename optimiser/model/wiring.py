"""Wiring: what every run and way must hold. Ampacity, drop, terminals, fuses, ducts and distances."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from optimiser.basis import money, volts
from optimiser.case import Way
from optimiser.model.context import FitOut
from optimiser.model.currents import charging_ma, dc_loads_ma, of_bank, solar_run
from optimiser.model.decisions import ArrayOption, Bool, Expr, RunChoice, total
from optimiser.parts import Body
from optimiser.tables import NANO
from optimiser.units import MILLI, at_least, at_most

_MUCH = 10**9  # beyond any current in mA

Demand = tuple[Expr, tuple[Bool, ...]]  # mA, where all of these hold
Loop = tuple[Expr, tuple[Bool, ...]]  # nano-ohm allowed out and back, where all of these hold

BUSBAR_COMPANY = ("isolator", "step_down")  # stand in the busbars' bay, with the two rows


def require(ctx: FitOut) -> None:
    """Post what the runs, the ways and the parts between them must hold."""
    d = ctx.d
    demands, loops, ends = dict(_demands(ctx)), dict(_loops(ctx)), dict(_ends(ctx))
    grouped = _grouping(ctx)
    for name, run in d.runs.items():
        _carries(ctx, run, demands.get(name, ()), grouped)
        for loop, when in loops.get(name, ()):
            hot = 2 * run.of_steps(lambda c: ctx.tables.step_nohm(c, ctx.case.rules["conductor_c"]))
            ctx.require("run.drop", hot <= loop, name, when)
        _terminals(ctx, run, ends.get(name, ()))
    _fault(ctx)
    _main_path(ctx, demands["main"])
    for way in ctx.case.ways:
        _fill(ctx, way)
        _apart(ctx, way)


# --- currents and drops ------------------------------------------------------------------------------


def _demands(ctx: FitOut) -> Iterator[tuple[str, list[Demand]]]:
    """What each run must carry; of several figures, each."""
    t, slots, brief = ctx.tables, ctx.d.slots, ctx.case.brief
    mains_v, peaks = brief.place.mains_v, ctx.tables.peaks
    inverter = slots["inverter"]
    at_rating = inverter.picked(lambda o: t.inverter_ma(o.body))
    yield "main", [(at_rating + dc_loads_ma(ctx), ()), *((amps, ()) for amps in charging_ma(ctx).values())]
    yield "inverter", [(at_rating, ())]
    for name, strings in ctx.d.strings.items():
        if name.startswith("regulator_"):
            yield name, [(slots[name].picked(lambda o: at_least(o.body.out_a, MILLI)), ())]
        solar = total(t.solar_ma(o.panel, o.parallel) * v for o, v in strings.options.items())
        yield solar_run(ctx, name), [(solar, ())]
    charger = slots["alternator_charger"]
    alone: list[Demand] = [(charger.picked(lambda o: at_least(o.body.charge_a, MILLI)), ())]
    if "alternator_charger" in ctx.d.strings:
        both = charger.picked(lambda o: at_least(o.body.charge_a + o.body.solar_out_a, MILLI))
        alone.append((both, (ctx.d.strings["alternator_charger"].used,)))
    yield "alternator", alone
    yield "alternator_feed", [(charger.picked(lambda o: t.feed_ma(o.body)), ())]
    mains = slots["mains_charger"]
    yield "mains_charger", [(mains.picked(lambda o: at_least(o.body.charge_a, MILLI)), ())]
    yield "mains_feed", [(mains.picked(lambda o: t.mains_input_ma(o.body)), ())]
    dc: list[Demand] = [(at_least(peaks.dc_w / 12, MILLI), ())]
    if "step_down" in slots:
        yield "step_down", [(slots["step_down"].picked(lambda o: t.dc_loads_ma(o.body.system_v, o.body)), ())]
        dc.append((slots["step_down"].picked(lambda o: at_least(o.body.out_a, MILLI)), ()))
    yield "dc_loads", dc
    yield "inverter_out", [(inverter.picked(lambda o: at_least(o.body.watt_25c_w / mains_v, MILLI)), ())]
    if brief.inlet:
        inlet = at_least(brief.inlet.rating_a, MILLI)
        yield "mains_inlet", [(inlet, ())]
        yield "inverter_in", [(inverter.picked(lambda o: inlet if o.body.transfers else 0), ())]
    for outside in brief.pass_throughs:
        yield f"pass_{outside.name}", [(at_least(outside.current_a, MILLI), ())]


def _loop(share: float, volt: float, amps: float) -> int:
    """Loop resistance at which ``amps`` lose that share of ``volt`` [nano-ohm]; a loop nobody has for no current."""
    return at_most(share * volt / amps, NANO) if amps > 0 else 100 * NANO


def _loops(ctx: FitOut) -> Iterator[tuple[str, list[Loop]]]:
    """What each run may have of loop resistance, by the part that sets its current."""
    t, slots, rules, brief = ctx.tables, ctx.d.slots, ctx.case.rules, ctx.case.brief
    mains_v, peaks = brief.place.mains_v, ctx.tables.peaks
    heavy, plain, solar, mains = (
        rules[f"drop_share{k}"] for k in ("_inverter", "", "_solar", "_mains")
    )
    yield "main", list(_main_loops(ctx, heavy))
    yield "inverter", [
        (slots["inverter"].picked(lambda o: _loop(heavy, o.body.system_v, t.inverter_ma(o.body) / MILLI)), ())
    ]
    charger = slots["alternator_charger"]
    for name, strings in ctx.d.strings.items():
        if name.startswith("regulator_"):
            yield name, [
                (slots[name].picked(lambda o, v=v: _loop(plain, v, o.body.out_a)), (chosen,))
                for v, chosen in ctx.d.voltage.items()
            ]
        allowed = total(_solar_loop(ctx, o, solar) * v for o, v in strings.options.items())
        yield solar_run(ctx, name), [(allowed, ())]
    by_alternator: list[Loop] = [
        (charger.picked(lambda o: _loop(plain, o.body.system_v, o.body.charge_a)), ())
    ]
    if "alternator_charger" in ctx.d.strings:
        both = charger.picked(lambda o: _loop(plain, o.body.system_v, o.body.charge_a + o.body.solar_out_a))
        by_alternator.append((both, (ctx.d.strings["alternator_charger"].used,)))
    yield "alternator", by_alternator
    feed = charger.picked(lambda o: _loop(rules["drop_share_feed"], o.body.input_v, t.feed_ma(o.body) / MILLI))
    yield "alternator_feed", [(feed, ())]
    charging = slots["mains_charger"]
    yield "mains_charger", [(charging.picked(lambda o: _loop(plain, o.body.system_v, o.body.charge_a)), ())]
    feeding = charging.picked(lambda o: _loop(mains, mains_v, t.mains_input_ma(o.body) / MILLI))
    yield "mains_feed", [(feeding, ())]
    yield "dc_loads", [(_loop(plain, 12, peaks.dc_w / 12), ())]
    if "step_down" in slots:
        down = slots["step_down"]
        drawn = down.picked(
            lambda o: _loop(plain, o.body.system_v, t.dc_loads_ma(o.body.system_v, o.body) / MILLI)
        )
        yield "step_down", [(drawn, ())]
    inverter = slots["inverter"]
    yield "inverter_out", [(inverter.picked(lambda o: _loop(mains, mains_v, o.body.watt_25c_w / mains_v)), ())]
    if brief.inlet:
        inlet = _loop(mains, mains_v, brief.inlet.rating_a)
        yield "mains_inlet", [(inlet, ())]
        yield "inverter_in", [(inverter.picked(lambda o: inlet if o.body.transfers else 0), ())]
    for outside in brief.pass_throughs:
        if outside.carries == "power":
            yield f"pass_{outside.name}", [(_loop(plain, 12, outside.current_a), ())]


def _main_loops(ctx: FitOut, share: float) -> Iterator[Loop]:
    """Of the run from the bank, while the inverter and the 12 V loads draw."""
    t, inverter = ctx.tables, ctx.d.slots["inverter"]
    for system_v, chosen in ctx.d.voltage.items():
        downs = [p for p in ctx.catalogue.of("step_downs").values() if p.system_v == system_v] or [None]
        for down in downs:
            dc = t.dc_loads_ma(system_v, down) / MILLI
            allowed = inverter.picked(lambda o, v=system_v, a=dc: _loop(share, v, t.inverter_ma(o.body) / MILLI + a))
            alone = _loop(share, system_v, dc)
            when = [chosen]
            if down is not None:
                when.append(ctx.d.slots["step_down"].pick.get(down.name, chosen))
            yield allowed + alone - alone * inverter.present, tuple(when)


def _solar_loop(ctx: FitOut, option: ArrayOption, share: float) -> int:
    volt = option.series * ctx.tables.hot_vmp_mv(option.panel) / MILLI
    return _loop(share, volt, ctx.tables.solar_ma(option.panel, option.parallel) / MILLI)


# --- cables, fuses, terminals --------------------------------------------------------------------------


def _grouping(ctx: FitOut) -> dict[str, Bool]:
    """Long ways that more than one circuit may share: whether they do."""
    shared = {}
    for way in ctx.case.ways:
        if way.length_mm <= ctx.case.rules["bundle_from_mm"]:
            continue
        circuits = [r.var for run in _power(ctx) for r in run.routes if way in r.path.ways]
        flag = ctx.flag(f"shared:{way.name}")
        ctx.define(total(circuits) <= 1 + len(circuits) * flag)
        shared[way.name] = flag
    return shared


def _power(ctx: FitOut) -> list[RunChoice]:
    return [run for run in ctx.d.runs.values() if all(c.kind != "data" for c, _, _ in run.cables.values())]


def _carries(ctx: FitOut, run: RunChoice, demands: Iterable[Demand], shared: dict[str, Bool]) -> None:
    """Cable and fuse against the current, for the warmest air along the path and the company it keeps."""
    rules = ctx.case.rules
    fuse = run.of_fuse(lambda f: at_most(f.rating_a, MILLI))
    wanted = list(demands)
    percent = at_least(rules["fuse_over_load"], 100)
    if run.fuses:
        unfused = 1 - total(chosen for _, chosen in run.fuses.values())  # on a run that is there: no fuse needed
        for amps, when in wanted:
            slack = 0 if run.name != "dc_loads" else _MUCH * unfused
            ctx.require("run.fuse_over_load", 100 * fuse + slack >= percent * amps, run.name, when)
    bundled = ctx.flag(f"{run.name}:grouped")
    for route in run.routes:
        for way in route.path.ways:
            if way.name in shared:
                ctx.define(bundled >= route.var + shared[way.name] - 1)
    for air in sorted({r.air_c for r in run.routes}):
        here = ctx.is_sum((r.var for r in run.routes if r.air_c == air), f"{run.name}:{air}")
        for grouped, when in ((False, [here]), (True, [here, bundled])):
            carried = run.of_cable(lambda c, t=air, g=grouped: ctx.tables.ampacity_ma(c, air_c=t, grouped=g))
            for amps, also in wanted:
                ctx.require("run.ampacity", amps <= carried, run.name, [*when, *also])
            if run.fuses:
                share = rules["fuse_of_ampacity"]
                protected = run.of_cable(
                    lambda c, t=air, g=grouped: int(share * ctx.tables.ampacity_ma(c, air_c=t, grouped=g))
                )
                ctx.require("run.fuse_under_cable", fuse <= protected, run.name, when)


def _ends(ctx: FitOut) -> Iterator[tuple[str, list[str]]]:
    """The slots whose terminals each run ends on."""
    yield "main", ["bank", "main_fuse", "isolator", "busbar"]
    yield "inverter", ["busbar", "inverter"]
    for name in ctx.d.strings:
        if name.startswith("regulator_"):
            yield name, [name, "busbar"]
        yield solar_run(ctx, name), [name]
    yield "alternator", ["alternator_charger", "busbar"]
    yield "alternator_feed", ["alternator_charger"]
    yield "mains_charger", ["mains_charger", "busbar"]
    yield "dc_loads", ["busbar", "step_down"] if "step_down" in ctx.d.slots else ["busbar"]
    yield "step_down", ["busbar", "step_down"]
    yield "mains_inlet", ["mains_box"]
    yield "mains_feed", ["mains_box", "mains_charger"]
    yield "inverter_in", ["mains_box", "inverter"]
    yield "inverter_out", ["inverter", "mains_box"]


def _terminals(ctx: FitOut, run: RunChoice, ends: Iterable[str]) -> None:
    """No conductor thicker than the terminals at its ends; terminals of 0 take none of the power runs."""
    section = run.of_cable(lambda c: round(c.section_mm2 * 100))
    thickest = max((round(c.section_mm2 * 100) for c, _, _ in run.cables.values()), default=0)

    def takes(body: Body) -> int:
        return round(body.terminal_mm2 * 100) if body.terminal_mm2 else thickest

    for name in ends:
        slot = ctx.d.slots[name]
        if all(takes(o.body) >= thickest for o in slot.options.values()):
            continue
        free = thickest - thickest * slot.present
        ctx.require("run.terminal", section <= slot.picked(lambda o: takes(o.body)) + free, run.name)
    if run.fuses and run.name != "main":
        by_fuse = run.of_fuse(lambda f: takes(ctx.tables.holder_of(f)))
        unfused = thickest - thickest * total(v for _, v in run.fuses.values())
        ctx.require("run.terminal", section <= by_fuse + unfused, run.name)


def _fault(ctx: FitOut) -> None:
    """Every fuse breaks what the bank can drive through it, and stands the bank's voltage."""
    bank = of_bank(ctx, lambda m, s, p: at_most(ctx.tables.bank_nohm(m, s, p)))
    joints = at_most(volts.JOINTS_MOHM / 1000, NANO)
    behind_main = 2 * ctx.d.runs["main"].of_steps(ctx.tables.step_nohm_cold)
    for run in ctx.d.runs.values():
        if not run.fuses:
            continue
        if run.name == "alternator_feed":
            assert ctx.case.brief.alternator is not None
            for fuse, chosen in run.fuses.values():
                if fuse.breaking_a < ctx.case.brief.alternator.fault_a:
                    ctx.require("run.fuse_breaking", chosen == 0, run.name)
                if fuse.volt_max_v < volts.full_v(ctx.case.brief.alternator.system_v):
                    ctx.require("run.fuse_voltage", chosen == 0, run.name)
            continue
        path = bank + joints + (0 if run.name == "main" else behind_main)
        for system_v, at_v in ctx.d.voltage.items():
            full = volts.full_v(system_v)
            needed = run.of_fuse(lambda f, v=full: at_least(v / f.breaking_a, NANO))
            ctx.require("run.fuse_breaking", path >= needed, run.name, [at_v])
            for fuse, chosen in run.fuses.values():
                if fuse.volt_max_v < full:
                    ctx.require("run.fuse_voltage", chosen + at_v <= 1, run.name)


def _main_path(ctx: FitOut, demands: Iterable[Demand]) -> None:
    """Isolator, busbars and main fuse: rating, studs, company and distance; and the sag of the whole path."""
    slots = ctx.d.slots
    busbar = slots["busbar"]
    for amps, when in demands:
        for name in ("isolator", "busbar"):
            ctx.require(f"protect.{name}", slots[name].picked(lambda o: at_most(o.body.rating_a, MILLI)) >= amps, "", when)
    studs = total(
        run.on for name, run in ctx.d.runs.items() if name in ("inverter", "alternator", "mains_charger")
        or name.startswith("regulator_")
    ) + 1  # and the 12 V loads, or their step-down
    ctx.require("protect.studs", busbar.picked(lambda o: o.body.studs) >= studs)
    for bay in ctx.case.bays:
        here = busbar.at.get(bay.name, 0)
        for company in BUSBAR_COMPANY:
            if (slot := slots.get(company)) is not None:
                ctx.define(slot.at.get(bay.name, 0) <= here)
        for row in ctx.d.rows.values():
            ctx.define(row.at.get(bay.name, 0) == here)
    _fuse_distance(ctx)
    _sag(ctx)


def _fuse_distance(ctx: FitOut) -> None:
    """The main fuse sits on the bank's terminal, or near it on the same board."""
    limit = int(ctx.case.rules["fuse_distance_mm"])
    fuse, bank = ctx.d.slots["main_fuse"], ctx.d.slots["bank"]
    for stand in fuse.stands:
        if stand.rides:
            ctx.define(stand.var <= bank.on.get(stand.board.place, 0))
            if ctx.wants("bay.depth", "bank"):
                for under in bank.stands:
                    if under.board is stand.board and under.size.depth_mm + stand.size.depth_mm > under.board.depth_mm:
                        ctx.define(under.var + stand.var <= 1)
    if not ctx.wants("run.fuse_distance", "main"):
        return
    (fx, fy), (bx, by) = ctx.d.place["main_fuse"], ctx.d.place["bank"]
    solid = [s for s in fuse.stands if not s.rides]
    away_x, away_y = ctx.number(0, limit, "main_fuse:away_x"), ctx.number(0, limit, "main_fuse:away_y")
    ctx.define(away_x + away_y <= limit)
    for place, var in fuse.on.items():
        on_board = bank.on.get(place, 0)
        bay = ctx.case.bay_of[ctx.case.board_of[place].bay]
        if bay.lead_mm <= limit:
            ctx.define(var <= bank.at.get(bay.name, 0))
            continue
        ctx.define(var <= on_board)
        for away, low, high, side in (
            (away_x, fx, bx, lambda s: s.size.length_mm),
            (away_y, fy, by, lambda s: s.size.width_mm),
        ):
            ctx.define(away >= low - high - total(side(s) * s.var for s in bank.stands), [var])
            ctx.define(away >= high - low - total(side(s) * s.var for s in solid), [var])


def _sag(ctx: FitOut) -> None:
    """The largest start leaves the inverter above its cut-off."""
    t, inverter = ctx.tables, ctx.d.slots["inverter"]
    if t.peaks.inverter_w == 0:
        return
    hot = ctx.case.rules["conductor_c"]
    path = of_bank(ctx, lambda m, s, p: at_least(t.bank_nohm(m, s, p))) + at_least(volts.JOINTS_MOHM / 1000, NANO)
    path = path + ctx.d.slots["isolator"].picked(lambda o: at_least(o.body.resistance_mohm / 1000, NANO))
    for name in ("main", "inverter"):
        path = path + 2 * ctx.d.runs[name].of_steps(lambda c: t.step_nohm(c, hot))
    for key, chosen in inverter.pick.items():
        body = inverter.options[key].body
        downs = [p for p in ctx.catalogue.of("step_downs").values() if p.system_v == body.system_v] or [None]
        for down in downs:
            dc = volts.dc_loads_w(t.peaks.dc_w, down)
            amps = volts.surge_current_a(t.peaks.inverter_surge_w, dc, body)
            allowed = at_most((volts.nominal_v(body.system_v) - body.cut_off_v) / amps, NANO)
            when = [chosen]
            if down is not None:
                when.append(ctx.d.slots["step_down"].pick.get(down.name, chosen))
            ctx.require("inverter.sag", path <= allowed, "", when)


# --- ways ----------------------------------------------------------------------------------------------


def _fill(ctx: FitOut, way: Way) -> None:
    """Cables fill no more of a bore than the rule set allows for their number."""
    t, rules = ctx.tables, ctx.case.rules
    few, many = (t.bore_mm2(way.bore_mm, rules[f"fill_{k}"]) for k in ("few", "many"))
    filled: Expr = 0
    cables: Expr = 0
    worst = 0
    for run in ctx.d.runs.values():
        here = [r.var for r in run.routes if way in r.path.ways]
        if not here:
            continue
        thickest = max(t.area_mm2(c) for c, _, _ in run.cables.values())
        worst += thickest
        taken = ctx.number(0, thickest, f"fill:{way.name}:{run.name}")
        ctx.define(taken >= run.of_cable(t.area_mm2) - thickest + thickest * total(here))
        filled = filled + taken
        cables = cables + _cores(run) * total(here)
    if worst <= few:
        ctx.wants("way.fill", way.name)
        return
    crowd = ctx.flag(f"crowd:{way.name}")
    ctx.define(cables >= 3, [crowd])
    ctx.require("way.fill", filled <= few + (many - few) * crowd, way.name)


def _cores(run: RunChoice) -> int:
    return max((money.cores(c) for c, _, _ in run.cables.values()), default=0)


def _apart(ctx: FitOut, way: Way) -> None:
    """Mains and low voltage share a way only where it is divided."""
    if way.divided:
        return
    kinds = {"mains": ctx.flag(f"mains:{way.name}"), "low": ctx.flag(f"low:{way.name}")}
    for run in ctx.d.runs.values():
        kind = "mains" if any(c.kind == "mains" for c, _, _ in run.cables.values()) else "low"
        for route in run.routes:
            if way in route.path.ways:
                ctx.define(route.var <= kinds[kind])
    ctx.require("way.apart", kinds["mains"] + kinds["low"] <= 1, way.name)
