"""Inverter and chargers."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked, judged
from optimiser.basis import volts
from optimiser.fitted import links
from optimiser.fitted.fit import WORKS, Fit
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Inverter, Isolator
from optimiser.physics import cable, heat


def check(fit: Fit) -> Iterator[Finding]:
    """Inverter, then chargers."""
    if fit.peaks.inverter_w > 0:
        yield checked("inverter.present", limit=1, actual=1 if fit.inverter else 0)
    if fit.inverter:
        yield from _inverter(fit, fit.inverter)
    if fit.case.brief.changeover == "must":
        reached = fit.inverter is not None and fit.inverter.reached
        yield checked("mains.changeover", limit=1, actual=int(reached))
    yield from _feeds(fit)
    yield from _recharge(fit)
    through = fit.inverter is not None and fit.inverter.transfers
    for slot in WORKS:
        yield from _wanted(fit, slot, (slot in fit.chargers) + (slot == "mains_charger" and through))
    if fit.system_v != 12:
        out_a = fit.step_down.out_a if fit.step_down else 0.0
        yield checked("charge.step_down", limit=fit.peaks.dc_w / 12, actual=out_a)


def _inverter(fit: Fit, inverter: Inverter) -> Iterator[Finding]:
    brief, peaks = fit.case.brief, fit.peaks
    power = heat.derated_w(
        watt_25c=inverter.watt_25c_w, watt_40c=inverter.watt_40c_w, air_c=fit.case.limits.bay_air_max_c
    )
    yield checked("inverter.power", limit=peaks.inverter_w, actual=power)
    yield checked("inverter.surge", limit=peaks.inverter_surge_w, actual=inverter.surge_w)
    runs = routed_runs(fit)
    isolator = fit.at("isolator", Isolator)
    if isolator and "main" in runs and "inverter" in runs:  # otherwise what is missing is the finding
        path_ohm = bank_ohm(fit) + (volts.JOINTS_MOHM + isolator.resistance_mohm) / 1000
        path_ohm += sum(runs[name].loop_ohm(fit.case.rules["conductor_c"]) for name in ("main", "inverter"))
        path_ohm += links.path_ohm(fit, fit.case.rules["conductor_c"])
        dc_w = volts.dc_loads_w(peaks.dc_w, fit.step_down)
        surge_a = volts.surge_current_a(peaks.inverter_surge_w, dc_w, inverter)
        left_v = cable.surge_sag_v(volt=volts.nominal_v(fit.system_v), surge_a=surge_a, resistance_ohm=path_ohm)
        yield checked("inverter.sag", limit=inverter.cut_off_v, actual=left_v)
    if inverter.transfers and brief.inlet:
        yield checked("inverter.transfer", limit=inverter.transfer_a, actual=brief.inlet.rating_a)


def bank_ohm(fit: Fit) -> float:
    """Resistance of the modules alone [ohm]."""
    bank = fit.build.bank
    return volts.bank_resistance_ohm(fit.module, series=bank.series, parallel=bank.parallel)


def _feeds(fit: Fit) -> Iterator[Finding]:
    brief = fit.case.brief
    if fit.alternator_charger and brief.alternator:
        allowed = fit.case.rules["alternator_share"] * brief.alternator.rating_a
        drawn_a = volts.feed_current_a(fit.alternator_charger)
        yield checked("charge.alternator", limit=allowed, actual=drawn_a)
        if brief.alternator.plug_a is not None:
            yield checked("charge.plug", limit=brief.alternator.plug_a, actual=drawn_a)
    if brief.inlet:
        most_w = by_inlet_w(fit, fit.peaks.hook_up_w)
        yield checked("charge.inlet", limit=brief.inlet.rating_a, actual=most_w / brief.place.mains_v)
        if brief.generator:
            ran_w = by_inlet_w(fit, fit.peaks.generator_w)
            yield checked("charge.generator", limit=brief.generator.watt_w, actual=ran_w)


def by_inlet_w(fit: Fit, beside_w: float) -> float:
    """The most that comes in by the inlet beside loads that it feeds: what is passed on, and all chargers [W]."""
    inverter = fit.inverter
    chargers = [fit.mains_charger, inverter if inverter and inverter.transfers else None]
    passed_w = fit.peaks.inverter_w if inverter and inverter.reached else 0.0
    return beside_w + passed_w + sum(volts.mains_input_w(charger) for charger in chargers if charger)


def _recharge(fit: Fit) -> Iterator[Finding]:
    limits = fit.case.limits
    if limits.recharge_h is None:
        return
    capacity = volts.bank_capacity_wh(
        fit.case, fit.module, series=fit.build.bank.series, parallel=fit.build.bank.parallel
    )
    stored_w = fit.hook_up_a * volts.nominal_v(fit.system_v) * volts.CHARGE_EFFICIENCY
    hours = capacity * (1 - limits.soc_floor_pct / 100) / stored_w if stored_w > 0 else float("inf")
    yield checked("charge.recharge", limit=limits.recharge_h, actual=hours)


def _wanted(fit: Fit, charger: str, fitted: int) -> Iterator[Finding]:
    choice = getattr(fit.case.brief, charger)
    if choice == "must":
        yield checked("charge.asked_for", charger, limit=1, actual=fitted)
    elif choice == "no":
        yield judged("charge.asked_for", charger, limit=0, actual=fitted, ok=fitted == 0)
