"""Protection: what faults and loads ask of fuses, isolator and busbars, where these stand, and the sag of the path."""

from __future__ import annotations

from optimiser.basis import volts
from optimiser.model.context import FitOut
from optimiser.model.currents import of_bank
from optimiser.model.decisions import Carried, total
from optimiser.model.uses import carried, step_downs
from optimiser.tables import NANO
from optimiser.units import MILLI, at_least, at_most

BUSBAR_COMPANY = ("isolator", "step_down")  # stand in the busbars' bay, with the two rows


def require(ctx: FitOut) -> None:
    """Post what fuses, isolator and busbars must hold."""
    _fault(ctx)
    _main_path(ctx, carried(ctx)["main"])


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
            needed = total(at_least(full / f.breaking_a, NANO) * chosen for f, chosen in run.fuses.values())
            ctx.require("run.fuse_breaking", path >= needed, run.name, [at_v])
            for fuse, chosen in run.fuses.values():
                if fuse.volt_max_v < full:
                    ctx.require("run.fuse_voltage", chosen + at_v <= 1, run.name)


def _main_path(ctx: FitOut, what: Carried) -> None:
    """Isolator, busbars and main fuse: rating, studs, company and distance; and the sag of the whole path."""
    slots = ctx.d.slots
    busbar = slots["busbar"]
    for name in ("isolator", "busbar"):
        ratings = [(at_most(o.body.rating_a, MILLI), slots[name].pick[k]) for k, o in slots[name].options.items()]
        for amps, when in what.demands:
            ctx.require(f"protect.{name}", total(r * flag for r, flag in ratings) >= amps, "", when)
        ctx.cover(f"protect.{name}", [(u.amps_ma, u.flag) for u in what.uses], ratings)
    studs = (
        total(
            run.on
            for name, run in ctx.d.runs.items()
            if name in ("inverter", "alternator", "mains_charger") or name.startswith("regulator_")
        )
        + 1
    )  # and the 12 V loads, or their step-down
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
                    if (
                        under.board is stand.board
                        and under.size.depth_mm + stand.option.body.height_mm > under.board.depth_mm
                    ):
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
        # on another board of the bay it is as far as the bay's lead
        ctx.define(var <= (bank.at.get(bay.name, 0) if bay.lead_mm <= limit else on_board))
        if isinstance(on_board, int):
            continue
        for away, low, high, axis in ((away_x, fx, bx, 0), (away_y, fy, by, 1)):
            bank_mm, fuse_mm = (
                total((s.size.length_mm, s.size.width_mm)[axis] * s.var for s in stands)
                for stands in (bank.stands, solid)
            )
            ctx.define(away >= low - high - bank_mm, [var, on_board])
            ctx.define(away >= high - low - fuse_mm, [var, on_board])


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
        for down in step_downs(ctx, body.system_v):
            dc = volts.dc_loads_w(t.peaks.dc_w, down)
            amps = volts.surge_current_a(t.peaks.inverter_surge_w, dc, body)
            allowed = at_most((volts.nominal_v(body.system_v) - body.cut_off_v) / amps, NANO)
            when = [chosen] if down is None else [chosen, ctx.d.slots["step_down"].pick[down.name]]
            ctx.require("inverter.sag", path <= allowed, "", when)
