"""Protection: what faults and loads ask of fuses, isolator and busbars, where these stand, and the sag of the path."""

from collections.abc import Iterable

from ortools.sat.python import cp_model

from optimiser.basis import volts
from optimiser.case import Trailer
from optimiser.connections import connection_of, slot_of
from optimiser.model.along_faces import AlongFaces
from optimiser.model.context import FitOut
from optimiser.model.cores import ends_mm
from optimiser.model.currents import bank_parallel, bank_series, circuits_on_busbars, of_bank, system_v_of
from optimiser.model.decisions import Bool, Carried, Literal, RunChoice, Shape, Slot, total
from optimiser.model.uses import carried, step_downs
from optimiser.parts import Voltage
from optimiser.tables import NANO
from optimiser.units import MILLI, at_least, at_most


def require(ctx: FitOut, along: AlongFaces) -> None:
    """Post what fuses, isolator and busbars must hold."""
    _faults(ctx)
    _main_path(ctx, carried(ctx)["main"])
    _fuse_distance(ctx, along)
    _tail_distance(ctx, along)
    _sag(ctx)


def _faults(ctx: FitOut) -> None:
    """Every fuse breaks what cells and copper upstream of it let flow, stands the voltage and fits its holder."""
    own_starter = not isinstance(ctx.case.brief.vehicle, Trailer)
    for run in ctx.d.runs.values():
        guard = connection_of(run.name).guard
        at_terminal = guard == "main_fuse" or (guard == "feed" and own_starter)
        in_panel = guard == "panel" and bool(ctx.d.dc_panels)  # whose ways hold it
        for fuse, chosen in () if in_panel else run.fuses.values():
            holder = ctx.tables.holder_of(fuse)
            if fuse.rating_a > holder.rating_max_a or (holder.on_terminal and not at_terminal):
                ctx.require("run.fuse_holder", chosen == 0, run.name)
        if guard == "feed":
            _fault_of_starter(ctx, run)
        elif run.fuses:
            panel = guard == "panel"
            for system_v, at_v in ctx.d.voltage.items():
                if panel and system_v != 12:
                    _fault_of_step_down(ctx, run)
                else:
                    _fault_of_bank(ctx, run, system_v, at_v, ("main", "dc_loads") if panel else ("main",))


def _fault_of_starter(ctx: FitOut, run: RunChoice) -> None:
    alternator = ctx.case.brief.alternator
    assert alternator is not None
    for fuse, chosen in run.fuses.values():
        if fuse.breaking_a(alternator.system_v) < volts.starter_fault_a(alternator):
            ctx.require("run.fuse_breaking", chosen == 0, run.name)
        if fuse.volt_max_v < volts.full_v(alternator.system_v):
            ctx.require("run.fuse_voltage", chosen == 0, run.name)


def _fault_of_step_down(ctx: FitOut, run: RunChoice) -> None:
    """The 12 V panel behind a converter: no more flows than that drives into a fault."""
    slot = ctx.d.slots["step_down"]
    gives = [
        (at_least(volts.step_down_fault_a(slot.options[key].body), MILLI), chosen) for key, chosen in slot.pick.items()
    ]
    breaks = [(at_most(fuse.breaking_a(12), MILLI), chosen) for fuse, chosen in run.fuses.values()]
    ctx.cover("run.fuse_breaking", gives, breaks, run.name)
    for fuse, chosen in run.fuses.values():
        if fuse.volt_max_v < volts.full_v(12):
            ctx.require("run.fuse_voltage", chosen == 0, run.name)


def _fault_of_bank(ctx: FitOut, run: RunChoice, system_v: Voltage, at_v: Bool, behind: Iterable[str]) -> None:
    """At one system voltage; on the bank's terminal a bank against a fuse, else with the copper it is ``behind``."""
    full_v = volts.full_v(system_v)
    breaks = [(fuse.breaking_a(system_v), chosen) for fuse, chosen in run.fuses.values()]
    if connection_of(run.name).guard == "main_fuse":
        bank = ctx.d.slots["bank"]
        banks = [
            (at_least(full_v / (ctx.tables.bank_nohm(o.body, bank_series(o), bank_parallel(o)) / NANO), MILLI), flag)
            for key, flag in bank.pick.items()
            for o in [bank.options[key]]
            if system_v_of(o) == system_v
        ]
        ctx.cover("run.fuse_breaking", banks, [(at_most(amps, MILLI), chosen) for amps, chosen in breaks], run.name)
    else:
        upstream = of_bank(ctx, lambda m, s, p: at_most(ctx.tables.bank_nohm(m, s, p)))
        upstream = upstream + total(ctx.d.runs[name].of_least(ctx.tables.step_nohm_cold) for name in behind)
        needed = total(at_least(full_v / amps, NANO) * chosen for amps, chosen in breaks if amps > 0)
        ctx.require("run.fuse_breaking", upstream >= needed, run.name, [at_v])
        unfit = total(chosen for amps, chosen in breaks if amps == 0)
        ctx.require("run.fuse_breaking", unfit + at_v <= 1, run.name)
    weak = total(chosen for fuse, chosen in run.fuses.values() if fuse.volt_max_v < full_v)
    if not isinstance(weak, int):
        ctx.require("run.fuse_voltage", weak + at_v <= 1, run.name)


def _main_path(ctx: FitOut, what: Carried) -> None:
    """Isolator, busbars and main fuse: rating, studs and company."""
    slots = ctx.d.slots
    busbar = slots["busbar"]
    for name in ("isolator", "busbar"):
        ratings = [(at_most(o.body.rating_a, MILLI), slots[name].pick[k]) for k, o in slots[name].options.items()]
        for amps, when in what.demands:
            ctx.require(f"protect.{name}", total(r * flag for r, flag in ratings) >= amps, "", when)
        ctx.cover(f"protect.{name}", [(u.amps_ma, u.flag) for u in what.uses], ratings)
        fuses = ctx.d.runs["main"].fuses.values()
        ctx.cover(f"protect.{name}", [(at_least(f.rating_a, MILLI), chosen) for f, chosen in fuses], ratings)
    ctx.require("protect.studs", busbar.picked(lambda o: o.body.studs) >= circuits_on_busbars(ctx))
    for bay in ctx.case.bays:
        here = busbar.at.get(bay.name, 0)
        for name, slot in slots.items():
            if slot_of(name).at_busbar:
                ctx.define(slot.at.get(bay.name, 0) <= here)
        for row in ctx.d.rows.values():
            ctx.define(row.at.get(bay.name, 0) == here)


def _shape(ctx: FitOut, name: str) -> Shape:
    return next(shape for shape in ctx.d.shapes if shape.name == name)


def _keep_near(
    ctx: FitOut, name: str, limit_mm: int, one: Shape, other: Shape, together: Iterable[Iterable[Literal]]
) -> None:
    """No further apart than that around the corner, wherever all of some group of flags hold."""
    away_x, away_y = ctx.number(0, limit_mm, f"{name}:away_x"), ctx.number(0, limit_mm, f"{name}:away_y")
    ctx.define(away_x + away_y <= limit_mm)
    for flags in map(list, together):
        for a, b in ((one, other), (other, one)):
            ctx.define(away_x >= a.x - b.x - b.reach_x, flags)
            ctx.define(away_y >= a.y - b.y - b.reach_y, flags)


def _near_on_two(ctx: FitOut, along: AlongFaces, limit_mm: int, one: Shape, other: Shape) -> None:
    """No further apart than that on two boards of a bay, along its faces; where these are not surveyed, by the bay's
    allowance."""
    for p, q in ((p, q) for p in one.on for q in other.on if p != q):
        boards = ctx.case.board_of[p], ctx.case.board_of[q]
        if boards[0].bay != boards[1].bay:
            continue
        if all(board.corner for board in boards):
            both = [on for on in (one.on[p], other.on[q]) if isinstance(on, cp_model.IntVar)]
            ctx.define(along.between(one.name, other.name) <= limit_mm, both)
        elif ctx.case.bay_of[boards[0].bay].cable_allowance_mm > limit_mm:
            ctx.define(one.on[p] + other.on[q] <= 1)


def _fuse_distance(ctx: FitOut, along: AlongFaces) -> None:
    """On the bank's terminal; where strings have fuses of their own there, near it; else no far corner may be far."""
    limit = int(ctx.case.rules["fuse_distance_mm"])
    fuse, bank, fused = ctx.d.slots["main_fuse"], ctx.d.slots["bank"], ctx.flag("strings_fused")
    ctx.define(total(chosen for _, chosen in ctx.d.module_fuses.values()) == fused)
    for stand in fuse.stands:
        if stand.rides:
            ctx.define(stand.var + fused <= 1)  # two holders do not share a terminal
            ctx.define(stand.var <= bank.on.get(stand.board.place, 0))
            if ctx.is_active("bay.depth", "bank"):
                for under in bank.stands:
                    if (
                        under.board is stand.board
                        and under.size.depth_mm + stand.option.body.height_mm > under.board.depth_mm
                    ):
                        ctx.define(under.var + stand.var <= 1)
    if not ctx.is_active("run.fuse_distance"):
        return
    for place, var in fuse.on.items():
        ctx.define(var <= bank.at.get(ctx.case.board_of[place].bay, 0))
        # on another board of the bay nobody knows how far terminals are
        ctx.define(var <= total(_small_enough(fuse, bank, place, limit)) + fused)
    together = {place: (var, bank.on[place]) for place, var in fuse.on.items() if place in bank.on}
    _keep_near(ctx, "main_fuse", limit, _shape(ctx, "main_fuse"), _shape(ctx, "bank"), together.values())
    _near_on_two(ctx, along, limit, _shape(ctx, "main_fuse"), _shape(ctx, "bank"))
    unfused = [(*flags, ~fused) for place, flags in together.items() if _small_enough(fuse, bank, place, limit)]
    if unfused:
        _keep_whole_near(ctx, limit, fuse, bank, unfused)


def _small_enough(fuse: Slot, bank: Slot, place: str, limit_mm: int) -> list[Bool]:
    """Ways that a bank may stand there with far corners within the limit: that is half of both sizes, or more."""
    beside = [s.size for s in fuse.stands if s.board.place == place and not s.rides]
    length, width, depth = map(min, zip(*((b.length_mm, b.width_mm, b.depth_mm) for b in beside), strict=True))
    return [
        s.var
        for s in bank.stands
        if s.board.place == place
        and (s.size.length_mm + length + s.size.width_mm + width) / 2 + max(s.size.depth_mm, depth) <= limit_mm
    ]


def _keep_whole_near(ctx: FitOut, limit_mm: int, fuse: Slot, bank: Slot, together: Iterable[Iterable[Literal]]) -> None:
    """No point of the one further from any of the other than that: along, across and off the board."""
    away = [ctx.number(0, limit_mm, f"main_fuse:far_{axis}") for axis in "xyz"]
    ctx.define(total(away) <= limit_mm)
    for flags in map(list, together):
        for a, b in ((fuse, bank), (bank, fuse)):
            one, other = _shape(ctx, a.name), _shape(ctx, b.name)
            ctx.define(away[0] >= one.x + one.dx - other.x, flags)
            ctx.define(away[1] >= one.y + one.dy - other.y, flags)
            ctx.define(away[2] >= total(s.size.depth_mm * s.var for s in a.stands if not s.rides), flags)


def _tail_distance(ctx: FitOut, along: AlongFaces) -> None:
    """The row of fuses is near the busbars, since the main fuse alone guards what joins them."""
    if not ctx.is_active("run.tail_distance"):
        return
    limit = int(ctx.case.rules["tail_distance_mm"]) - ends_mm(ctx, 1)  # along the conductor
    row, busbar = ctx.d.rows["fuse_row"], ctx.d.slots["busbar"]
    _near_on_two(ctx, along, limit, _shape(ctx, "fuse_row"), _shape(ctx, "busbar"))
    on_board = all(ctx.is_active("bay.board", name) for name in ("fuse_row", "busbar"))
    boards = {board.place: board for board in ctx.case.boards}
    together = [
        (var, busbar.on[place])
        for place, var in row.on.items()
        if place in busbar.on and not (on_board and boards[place].length_mm + boards[place].width_mm <= limit)
    ]
    if together:
        _keep_near(ctx, "fuse_row", limit, _shape(ctx, "fuse_row"), _shape(ctx, "busbar"), together)


def _sag(ctx: FitOut) -> None:
    """The largest start leaves the inverter above its cut-off."""
    t, inverter = ctx.tables, ctx.d.slots["inverter"]
    if not inverter.pick:
        return
    hot = ctx.case.rules["conductor_c"]
    path = of_bank(ctx, lambda m, s, p: at_least(t.bank_nohm(m, s, p))) + at_least(volts.JOINTS_MOHM / 1000, NANO)
    path = path + ctx.d.slots["isolator"].picked(lambda o: at_least(o.body.resistance_mohm / 1000, NANO))
    for name in ("main", "inverter"):
        path = path + ctx.d.runs[name].of_loop(lambda c: t.step_nohm(c, hot))
        path = path + ctx.d.runs[name].of_links(lambda c: t.core_nohm(c, hot))
    for key, chosen in inverter.pick.items():
        body = inverter.options[key].body
        for down in step_downs(ctx, body.system_v):
            dc = volts.dc_loads_w(t.peaks.dc_w, down)
            amps = volts.surge_current_a(t.peaks.inverter_surge_w, dc, body)
            if amps == 0:
                continue
            allowed = at_most((volts.nominal_v(body.system_v) - body.cut_off_v) / amps, NANO)
            when = [chosen] if down is None else [chosen, ctx.d.slots["step_down"].pick[down.name]]
            ctx.require("inverter.sag", path <= allowed, "", when)
