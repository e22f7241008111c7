"""Heat in the bays, and the air that carries it away."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.basis import air, loads, volts
from optimiser.basis.vents import EDGE_MM, high_enough, opening_mm, wall_mm
from optimiser.case import Bay
from optimiser.fitted.fit import WORKS, Content, Fit
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import AlternatorCharger, Body, Charger, Holder, Inverter, Regulator, Shunt, Vent
from optimiser.physics import heat


def check_air(fit: Fit) -> Iterator[Finding]:
    """Heat, vents and hydrogen of each bay."""
    for bay in fit.case.bays:
        given_w = max(heat_w(fit, bay, driving=True), heat_w(fit, bay, driving=False))
        if given_w > 0 or _in_use(fit, bay):
            yield checked("bay.heat", bay.name, limit=carried_w(fit, bay), actual=given_w)
        vents = _vents(fit, bay)
        if vents:
            cut_out = sum(vent.cut_out_cm2 * count for vent, count in vents)
            yield checked("bay.vents", bay.name, limit=bay.cut_out_max_cm2, actual=cut_out)
        yield from _hydrogen(fit, bay)


def _in_use(fit: Fit, bay: Bay) -> bool:
    """Whether something stands there or a cable passes: all of it is rated in air no warmer than the limit."""
    through = {end for run in routed_runs(fit).values() for way in run.ways for end in (way.start, way.end)}
    return bay.name in through or any(fit.bay(fitted.slot) is bay for fitted in fit.build.fitted)


def heat_w(fit: Fit, bay: Bay, *, driving: bool) -> float:
    """What everything in a bay gives off while driving, or else on hook-up [W]."""
    fixtures = sum(k.heat_w for k in fit.case.existing if k.kind != "part" and _bay_name(fit, k.board) == bay.name)
    return fixtures + sum(_content_w(fit, content, driving) for content in fit.contents if content.bay is bay)


def air_limit_c(fit: Fit, bay: Bay) -> float:
    """The warmest a bay's air may be: where the bank stands, no warmer than it can be charged in [C]."""
    limit_c = fit.case.limits.bay_air_max_c
    return min(limit_c, fit.module.charge_max_c) if fit.bay("bank") is bay else limit_c


def carried_w(fit: Fit, bay: Bay) -> float:
    """What walls, vents and fans carry out of a bay at the warmest its air may be [W]."""
    air_c, intake_c = air_limit_c(fit, bay), air.intake_c(fit.case, bay)
    a_kelvin = heat.wall_loss_w_per_k(
        length_mm=bay.length_mm, width_mm=bay.width_mm, height_mm=bay.height_mm, u_w_m2k=bay.u_w_m2k
    )
    walls = a_kelvin * (air_c - air.hottest_c(fit.case) - bay.rise_k)  # below 0 they let heat in
    if air_c <= intake_c:
        return walls  # the air drawn in would bring heat
    stack = heat.stack_heat_w(
        free_area_cm2=_free_area_cm2(fit, bay),
        stack_mm=bay.stack_mm,
        air_c=air_c,
        outside_c=intake_c,
        discharge=fit.case.rules["fan_discharge"],
    )
    flow = sum(vent.flow_m3_h * count for vent, count in _vents(fit, bay))
    return walls + stack + heat.fan_heat_w(flow_m3_h=flow, rise_k=air_c - intake_c)


def _content_w(fit: Fit, content: Content, driving: bool) -> float:
    part = content.part
    if isinstance(part, Inverter):
        loss = heat.converter_loss_w(
            load_w=loads.hottest_inverter_w(fit.case), efficiency_pct=part.efficiency_pct, idle_w=part.idle_w
        )
        if not part.transfers or driving:
            return loss
        return max(loss, part.heat_w, volts.conversion_loss_w(part.charge_a, part.system_v, part.efficiency_pct))
    if isinstance(part, Regulator):
        return max(part.heat_w, volts.conversion_loss_w(part.out_a, fit.system_v, part.efficiency_pct))
    if isinstance(part, AlternatorCharger):  # warm by all it converts, from the engine or from its own panels
        if not driving and not fit.solar_on_alternator:
            return 0.0
        return max(part.heat_w, volts.conversion_loss_w(fit.alternator_a, fit.system_v, part.efficiency_pct))
    if isinstance(part, Charger):
        lost_w = volts.conversion_loss_w(part.charge_a, part.system_v, part.efficiency_pct)
        return max(part.heat_w, lost_w) if ("driving" if driving else "hook_up") in WORKS[content.slot] else 0.0
    # Fuses and shunts run warm only at full current, which they see for minutes: they are left out.
    works = not isinstance(part, Holder | Shunt)
    return part.heat_w * content.count if isinstance(part, Body) and works else 0.0


def _bay_name(fit: Fit, board: str) -> str:
    return fit.case.board_of[board].bay


def _vents(fit: Fit, bay: Bay) -> list[tuple[Vent, int]]:
    return [(fit.part(v.vent, Vent), v.count) for v in fit.build.vents if v.bay == bay.name]


def _free_area_cm2(fit: Fit, bay: Bay) -> float:
    """Of each of the two openings, low and high; a fan's opening is the fan's [cm2]."""
    cut = sum(vent.free_area_cm2 * count for vent, count in _vents(fit, bay) if vent.kind == "grille")
    return bay.vent_cm2 + cut


def _hydrogen(fit: Fit, bay: Bay) -> Iterator[Finding]:
    old = [k for k in fit.case.existing if k.kind == "lead_acid" and _bay_name(fit, k.board) == bay.name]
    if old:
        gas = fit.case.rules["hydrogen_gas_ma_per_ah"]
        wanted = sum(heat.hydrogen_vent_cm2(cells=k.cells, capacity_ah=k.capacity_ah, gas_ma_per_ah=gas) for k in old)
        free = 0.0 if air.breathes_cabin(bay) else _free_area_cm2(fit, bay)  # gas let into the room is not let out
        yield checked("bay.hydrogen", bay.name, limit=wanted, actual=free)


# --- whether the vents cut in a bay have a place on its walls -----------------------------------------


def check_vent_places(fit: Fit) -> Iterator[Finding]:
    """Pairs of openings side by side on one wall, off its boards and the holes of ways; no wall is high enough where
    one of them is too high for the bay."""
    for bay in fit.case.bays:
        cut = [(fit.part(v.vent, Vent), v.count) for v in fit.build.vents if v.bay == bay.name and v.count]
        if cut:
            wanted = EDGE_MM + sum((opening_mm(bay, vent)[0] + EDGE_MM) * count for vent, count in cut)
            free = wall_mm(fit.case, bay) if all(high_enough(bay, vent) for vent, _ in cut) else 0
            yield checked("bay.vent_place", bay.name, limit=wanted, actual=free)
