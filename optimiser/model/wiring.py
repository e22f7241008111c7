"""Wiring: what every run and way must hold. Ampacity, drop, terminals, ducts."""

from collections.abc import Iterable

from optimiser.basis import loads, money
from optimiser.case import Way
from optimiser.connections import connection_of
from optimiser.model.context import Figure, FitOut
from optimiser.model.decisions import Bool, Carried, Expr, Literal, RunChoice, total
from optimiser.model.uses import NO_LOSS, carried, draws
from optimiser.parts import Body
from optimiser.tables import NANO
from optimiser.units import MILLI, at_least, at_most

_MUCH = 10**9  # beyond any current in mA
_SIEMENS = 10**15


def require(ctx: FitOut) -> None:
    """Post what the runs, the ways and the parts between them must hold."""
    by_run = carried(ctx)
    grouped = _grouping(ctx)
    for name, run in ctx.d.runs.items():
        if what := by_run.get(name):
            _carries(ctx, run, what, grouped)
            _drops(ctx, run, what)
        _terminals(ctx, run)
    _drops_from_bank(ctx)
    _drops_from_box(ctx)
    for way in ctx.case.ways:
        _fill(ctx, way)
        _apart(ctx, way)


# --- cables, fuses, terminals --------------------------------------------------------------------------


def _grouping(ctx: FitOut) -> dict[str, Bool]:
    """Ways that more than one circuit may share: whether they do."""
    shared = {}
    for way in ctx.case.ways:
        by_run = [[r.var for r in run.routes if way in r.path.ways] for run in _power(ctx)]
        if sum(map(bool, by_run)) > 1:
            flag = ctx.flag(f"shared:{way.name}")
            circuits = [var for here in by_run for var in here]
            ctx.define(total(circuits) <= 1 + len(circuits) * flag)
            shared[way.name] = flag
    return shared


def _power(ctx: FitOut) -> list[RunChoice]:
    return [run for run in ctx.d.runs.values() if all(c.kind != "data" for c, _, _ in run.cables.values())]


def _bundled(ctx: FitOut, run: RunChoice, shared: dict[str, Bool]) -> Bool:
    """Whether a run lies with others for longer than does not count, over all ways of its path."""
    bundled, short_mm = ctx.flag(f"{run.name}:grouped"), at_most(ctx.case.rules["bundle_from_mm"])
    for route in run.routes:
        beside = [(way.length_mm, shared[way.name]) for way in route.path.ways if way.name in shared]
        longest_mm = sum(mm for mm, _ in beside)
        if longest_mm <= short_mm:
            continue
        together_mm = total(mm * flag for mm, flag in beside)
        ctx.define(together_mm <= short_mm + (longest_mm - short_mm) * bundled, [route.var])
        for mm, flag in beside:
            if mm > short_mm:  # the same, tighter, where one way is enough
                ctx.define(bundled >= route.var + flag - 1)
    return bundled


def _carries(ctx: FitOut, run: RunChoice, what: Carried, shared: dict[str, Bool]) -> None:
    """Cable and fuse against the current, for the worst place along the path and the company it keeps."""
    rules = ctx.case.rules
    fuse = run.of_fuse(lambda f: at_most(f.rating_a, MILLI))
    percent, share = at_least(rules["fuse_over_load"], 100), rules["fuse_of_ampacity"]
    if run.fuses:
        unfused = 1 - total(chosen for _, chosen in run.fuses.values())
        slack = _MUCH * unfused if run.name == "dc_loads" else 0  # behind a step-down it has none
        for amps, when in what.demands:
            ctx.require("run.fuse_over_load", 100 * fuse + slack >= percent * amps, run.name, when)
    bundled = _bundled(ctx, run, shared)
    for around in sorted({r.around for r in run.routes}, key=sorted):
        here = ctx.is_sum((r.var for r in run.routes if r.around == around), f"{run.name}:{sorted(around)}")
        for grouped, company in ((False, [here]), (True, [here, bundled])):
            stands = [
                (ctx.tables.ampacity_ma(cable, around=around, grouped=grouped), chosen)
                for cable, chosen, _ in run.cables.values()
            ]
            carried_ma = total(ma * chosen for ma, chosen in stands)
            for amps, also in what.demands:
                ctx.require("run.ampacity", amps <= carried_ma, run.name, [*company, *also])
            if devices := ctx.d.breakers.get(run.name):
                rating = total(at_most(device.rating_a, MILLI) * chosen for device, chosen in devices.values())
                ctx.require("breaker.under_cable", rating <= carried_ma, run.name, company)
            if run.fuses:
                protected = total(int(share * ma) * chosen for ma, chosen in stands)
                ctx.require("run.fuse_under_cable", fuse <= protected, run.name, company)
                ctx.require("run.copper", fuse <= carried_ma, run.name, company)
    _carries_at_best(ctx, run, what, percent, share)
    _terminal_heat(ctx, run, what)


def _carries_at_best(ctx: FitOut, run: RunChoice, what: Carried, percent: int, share: float) -> None:
    """Implied: the same choice by choice, along the best path and alone. It keeps the relaxation from mixing."""
    arounds = {r.around for r in run.routes}
    ampacity = [
        (max((ctx.tables.ampacity_ma(c, around=a, grouped=False) for a in arounds), default=0), chosen)
        for c, chosen, _ in run.cables.values()
    ]
    currents = [(u.amps_ma, u.flag) for u in what.uses]
    ctx.cover("run.ampacity", currents, ampacity, run.name)
    if not run.fuses:
        return
    ratings = _ratings(run)
    if run.name != "dc_loads":
        wanted = [(-(-percent * amps // 100), flag) for amps, flag in currents]
        ctx.cover("run.fuse_over_load", wanted, ratings, run.name)
    ctx.cover("run.fuse_under_cable", ratings, [(int(share * a), chosen) for a, chosen in ampacity], run.name)
    ctx.cover("run.copper", ratings, ampacity, run.name)


def _ratings(run: RunChoice) -> list[Figure]:
    return [(at_most(f.rating_a, MILLI), chosen) for f, chosen in run.fuses.values()]


def _terminal_heat(ctx: FitOut, run: RunChoice, what: Carried) -> None:
    """Current and fuse against what the cable carries before its terminals are too hot, wherever it lies."""
    stands = [(ctx.tables.at_terminals_ma(c), chosen) for c, chosen, _ in run.cables.values()]
    carried_ma = total(ma * chosen for ma, chosen in stands)
    for amps, when in what.demands:
        ctx.require("run.terminal_heat", amps <= carried_ma, run.name, when)
    ctx.cover("run.terminal_heat", [(u.amps_ma, u.flag) for u in what.uses], stands, run.name)
    ctx.cover("run.terminal_heat", _ratings(run), stands, run.name)


def _drops(ctx: FitOut, run: RunChoice, what: Carried) -> None:
    """Resistance out and back within what the drop allows; and, implied, cable by cable on the shortest path."""
    hot_c = ctx.case.rules["conductor_c"]
    loop = run.of_loop(lambda c: ctx.tables.step_nohm(c, hot_c))
    loop = loop + run.of_links(lambda c: ctx.tables.core_nohm(c, hot_c))
    for allowed, when in what.loops:
        ctx.require("run.drop", loop <= allowed, run.name, when)
    shortest = min((r.steps for r in run.routes), default=1) * (2 if len(run.cores) == 1 else 1)
    if not shortest:  # both ends in a bay, with nothing for ends or allowances
        return
    # as conductances, so that more is better; rounded to the lenient side, since this is implied
    gives = [
        (-(-_SIEMENS // (shortest * ctx.tables.step_nohm(c, hot_c))), chosen) for c, chosen, _ in run.cables.values()
    ]
    wanted = [(_SIEMENS // u.loop_nohm if 0 < u.loop_nohm < NO_LOSS else 0, u.flag) for u in what.uses]
    ctx.cover("run.drop", wanted, gives, run.name)


def _drops_from_bank(ctx: FitOut) -> None:
    """The drop of all runs between the bank and what draws, together, while all draw: with `_drops` as lower bounds."""
    rules, panel_ma = ctx.case.rules, at_least(ctx.tables.peaks.dc_w / 12, MILLI)
    panel = ("dc_loads", panel_ma)
    outside = ((f"pass_{o.name}", o.current_a) for o in ctx.case.brief.pass_throughs if o.carries == "power")
    circuits = ((f"circuit_{c.name}", loads.circuit_w(ctx.case, c.name) / 12) for c in ctx.case.brief.dc_circuits)
    behind_panel = [(name, at_least(amps, MILLI)) for name, amps in (*outside, *circuits)]
    for draw in draws(ctx):
        main = ("main", draw.inverter_ma + draw.dc_ma)
        if draw.inverter_ma:
            limit_v = rules["drop_share_inverter"] * draw.system_v
            _drop_within(ctx, [main, ("inverter", draw.inverter_ma)], limit_v, draw.when)
        if draw.system_v == 12:
            _drop_within(ctx, [main, panel], rules["drop_share"] * 12, draw.when)
        else:
            _drop_within(ctx, [main, ("step_down", draw.dc_ma)], rules["drop_share"] * draw.system_v, draw.when)
        before = [main, panel] if draw.system_v == 12 else [panel]
        for own in behind_panel:
            _drop_within(ctx, [*before, own], rules["drop_share"] * 12, draw.when)


def _drops_from_box(ctx: FitOut) -> None:
    """The drop of mains circuits with the runs that feed the box: inlet, or inverter, or both where that passes it."""
    brief, inverter, by_run = ctx.case.brief, ctx.d.slots["inverter"], carried(ctx)
    limit_v = ctx.case.rules["drop_share_mains"] * brief.place.mains_v
    inlet = at_least(brief.inlet.rating_a, MILLI) if brief.inlet else 0
    for circuit in brief.circuits:
        name = f"outlet_{circuit.name}"
        if name not in ctx.d.runs:
            continue
        own = (name, by_run[name].uses[0].amps_ma)
        if circuit.source == "hook_up":
            _drop_within(ctx, [("mains_inlet", inlet), own], limit_v, [])
        uses = by_run["inverter_out"].uses if circuit.source == "inverter" else []
        for use, (key, chosen) in zip(uses, inverter.pick.items() if uses else (), strict=True):
            body = inverter.options[key].body
            passed = [("mains_inlet", inlet), ("inverter_in", inlet)] if inlet and body.transfers else []
            if body.reached and not body.transfers:  # by a changeover, past the inverter
                _drop_within(ctx, [("mains_inlet", inlet), own], limit_v, [chosen])
            _drop_within(ctx, [*passed, ("inverter_out", use.amps_ma), own], limit_v, [chosen])


def _drop_within(ctx: FitOut, legs: list[tuple[str, int]], limit_v: float, when: Iterable[Literal]) -> None:
    """Runs one behind the other, with what each carries: their drop is held where the last of them is."""
    last = legs[-1][0]
    if all(name in ctx.d.runs for name, _ in legs):
        drop_nv = total(_drop_nv(ctx, ctx.d.runs[name], amps) for name, amps in legs)
        ctx.require("run.drop", drop_nv <= at_most(limit_v, NANO), last, when)


def _drop_nv(ctx: FitOut, run: RunChoice, amps_ma: int) -> Expr:
    """Of a run, the main one with the links of the bank."""
    along = run.of_loop(lambda cable: ctx.tables.step_drop_nv(cable, amps_ma))
    return along + run.of_links(lambda cable: ctx.tables.core_drop_nv(cable, amps_ma))


def _terminals(ctx: FitOut, run: RunChoice) -> None:
    """No conductor thicker than the terminals at its ends; terminals of 0 take none of the power runs."""
    sections = [(round(c.section_mm2 * 100), chosen) for c, chosen, _ in run.cables.values()]
    thickest = max((figure for figure, _ in sections), default=0)

    def takes(body: Body) -> int:
        return round(body.terminal_mm2 * 100) if body.terminal_mm2 else thickest

    arrays = {strings.run: (strings.regulator,) for strings in ctx.d.strings.values()}
    for name in arrays.get(run.name, connection_of(run.name).slots):
        if (slot := ctx.d.slots.get(name)) is None:  # a step-down, of a bank of 12 V
            continue
        gives = [(takes(slot.options[key].body), var) for key, var in slot.pick.items()]
        elsewhere = 1 - ctx.d.voltage.get(12, 0) if (run.name, name) == ("dc_loads", "busbar") else 0
        ctx.cover("run.terminal", sections, [*gives, (thickest, 1 - slot.present + elsewhere)], run.name)
    in_panel = connection_of(run.name).guard == "panel" and run.fuses
    if ctx.d.dc_panels and (in_panel or run.name == "dc_loads"):
        panels = ctx.d.dc_panels.values()
        sizes = [(p.terminal_mm2 if in_panel else p.feed_mm2, chosen) for p, chosen in panels]
        takes_mm2 = [(round(size * 100) if size else thickest, chosen) for size, chosen in sizes]
        ctx.cover("run.terminal", sections, takes_mm2, run.name)
    if run.fuses and run.name != "main" and not (in_panel and ctx.d.dc_panels):
        held = [(takes(ctx.tables.holder_of(f)), var) for f, var in run.fuses.values()]
        unfused = 1 - total(var for _, var in run.fuses.values())
        ctx.cover("run.terminal", sections, [*held, (thickest, unfused)], run.name)
    if run.name == "main":  # on the holders of the strings' fuses too, as links of the bank are
        held = [(takes(ctx.tables.holder_of(f)), var) for f, var in ctx.d.module_fuses.values()]
        ctx.cover("run.terminal", sections, [*held, (thickest, 1 - total(var for _, var in held))], run.name)


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
        if not here or not run.cables:
            continue
        thickest = max(t.area_mm2(c) for c, _, _ in run.cables.values())
        worst += thickest
        taken = ctx.number(0, thickest, f"fill:{way.name}:{run.name}")
        ctx.define(taken >= run.of_cable(t.area_mm2) - thickest + thickest * total(here))
        filled = filled + taken
        cables = cables + _cores(run) * total(here)
    if worst <= few:
        ctx.is_active("way.fill", way.name)
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
