"""The test sheet of a build: every check, with its design value from the audit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from optimiser.audit.energy import idle_w
from optimiser.audit.finding import Finding
from optimiser.audit.fitted import Fit
from optimiser.audit.wiring import laid_runs, wanted_runs
from optimiser.basis import volts
from optimiser.case import Trailer
from optimiser.commissioning.check import DERATES_ABOVE, Check
from optimiser.commissioning.sheet_mains import mains_checks
from optimiser.commissioning.sheet_solar import solar_checks
from optimiser.commissioning.spread import COMMON

_CHARGE = 0.05  # a charger within so much of its design
_JOINTS_MV_A = 4 * 0.15  # four joints of a run, each 10 to 15 mV at 100 A
_FEED_V = 0.1  # beyond its design at the input of the alternator charger
_ALTERNATOR_C = 100.0  # of 100 to 110, the lower
_HOLD_V = 0.5  # above the inverter's cut-off while the largest load starts
_IDLE = 0.2
_LUG_K = 30.0
_ZERO_A = 0.1
_KG, _KG_SHARE = 5.0, 0.03

Found = dict[str, Finding]  # by full name


def test_sheet(fit: Fit, findings: Iterable[Finding]) -> tuple[Check, ...]:
    """Every check of a build, in the order it is worked through. ``findings`` are the audit's on the same build."""
    found = {finding.requirement: finding for finding in findings}
    return (
        *_seen(fit),
        *mains_checks(fit),
        *solar_checks(fit),
        *_drops(fit, found),
        *_charging(fit, found),
        *_inverter(fit, found),
        *_own_draw(fit),
        *_heat(fit, found),
        *_settings(fit),
        *_weighed(fit, found),
        *_roof(fit),
    )


def _seen(fit: Fit) -> Iterator[Check]:
    group = "Seen and felt"
    yield Check(group=group, id="seen.torque", what="every terminal torqued and marked",
                how="torque list of the makers, a witness mark on each", rule="done", source=COMMON)  # fmt: skip
    yield Check(group=group, id="seen.crimps", what="every crimp sound", how="pull each by hand; none moves",
                rule="done", source=COMMON)  # fmt: skip
    yield Check(group=group, id="seen.polarity", what="polarity right everywhere on the low voltage side",
                how="meter at each outlet, the fuse row, the inverter, before its fuse goes in", rule="done",
                source=COMMON)  # fmt: skip


# --- drops -------------------------------------------------------------------------------------------


def _drops(fit: Fit, found: Found) -> Iterator[Check]:
    wanted = wanted_runs(fit)
    for name in laid_runs(fit):
        finding, run = found.get(f"run.drop[{name}]"), wanted.get(name)
        if finding is None or run is None or run.kind != "dc":
            continue
        amps = run.amps if run.drop_a is None else run.drop_a
        if amps <= 0:
            continue
        design_mv, limit_mv = 1000 * finding.actual, 1000 * finding.limit
        yield Check(
            group="Drop under load",
            id=f"drop.{name}",
            what=f"{name}, both conductors, from end to end",
            how=f"note the current: {design_mv / amps:.3g} mV/A with warm conductors, {amps:.3g} A in the design",
            unit="mV",
            design=design_mv,
            high=min(design_mv + _JOINTS_MV_A * amps, limit_mv),
            rule="drop",
            basis=finding.requirement,
            source=f"{_JOINTS_MV_A:g} mV/A more for joints, but no more than its limit ({COMMON})",
            at=amps,
        )


# --- charging ----------------------------------------------------------------------------------------


def _charging(fit: Fit, found: Found) -> Iterator[Check]:
    brief, inverter = fit.case.brief, fit.inverter
    how = f"clamp against display for 10 minutes, bank below 80 %, {DERATES_ABOVE}"
    if fit.alternator_charger and brief.alternator:
        amps = fit.alternator_charger.charge_a
        yield _charge("charge.alternator_charger", "alternator charger into the bank, engine at 2000 rpm", how, amps)
        yield _charge("charge.alternator_charger_idle", "the same, engine idling", how, amps)
        feed = found.get("run.drop[alternator_feed]")
        if feed:
            yield Check(
                group="Charging", id="charge.feed_v", what="starter battery less input of the alternator charger",
                how="after 20 to 30 minutes at full output; note the input voltage", unit="V", design=feed.actual,
                high=feed.actual + _FEED_V, basis=feed.requirement, source=COMMON,
            )  # fmt: skip
        yield Check(
            group="Charging", id="charge.alternator_c", what="case of the engine's alternator", high=_ALTERNATOR_C,
            how="after 20 to 30 minutes at full output", unit="C", source=COMMON,
        )  # fmt: skip
    if fit.mains_charger and brief.inlet:
        yield _charge("charge.mains_charger", "mains charger into the bank", how, fit.mains_charger.charge_a)
    if inverter and inverter.transfers and brief.inlet:
        yield _charge("charge.inverter", "inverter-charger into the bank", how, inverter.charge_a)


def _charge(id: str, what: str, how: str, amps: float) -> Check:
    return Check(
        group="Charging", id=id, what=what, how=how, unit="A", design=amps, low=(1 - _CHARGE) * amps,
        high=(1 + _CHARGE) * amps, basis="rated output", source=COMMON,
    )  # fmt: skip


# --- inverter, own draw, heat ------------------------------------------------------------------------


def _inverter(fit: Fit, found: Found) -> Iterator[Check]:
    sag = found.get("inverter.sag")
    if sag:
        yield Check(
            group="Inverter", id="inverter.hold_v", what="lowest voltage at the inverter while the largest load starts",
            how="meter that holds its lowest, other loads on as they would be; the bank must not trip", unit="V",
            design=sag.actual, low=sag.limit + _HOLD_V, basis=sag.requirement, source=COMMON,
        )  # fmt: skip


def _own_draw(fit: Fit) -> Iterator[Check]:
    volt = volts.nominal_v(fit.system_v)
    amps = idle_w(fit) / volt
    yield Check(
        group="Own draw", id="idle.current_a", what="all loads off, everything fitted standing by",
        how=f"clamp with several turns; the audit's {idle_w(fit):.3g} W at {volt:g} V", unit="A", design=amps,
        high=(1 + _IDLE) * amps, basis="own draw of the parts", source=COMMON,
    )  # fmt: skip
    yield Check(
        group="Own draw", id="shunt.zero_a", what="shunt with nothing flowing",
        how="battery isolator open, after zeroing", unit="A", design=0.0, low=-_ZERO_A, high=_ZERO_A, source=COMMON,
    )  # fmt: skip


def _heat(fit: Fit, found: Found) -> Iterator[Check]:
    hottest, how = fit.case.limits.bay_air_max_c, "after 30 to 45 minutes at 70 % of full load, doors shut"
    for bay in fit.case.bays:
        if f"bay.heat[{bay.name}]" in found:
            yield Check(
                group="Heat", id=f"heat.{bay.name}", what=f"air in {bay.name}",
                how=f"{how}; note the air outside: {hottest:g} C at {fit.hot_c:g} C outside, a cooler day lowers both",
                unit="C", design=hottest, high=hottest, rule="rise", basis="limits.bay_air_max_c", source=COMMON,
                at=fit.hot_c,
            )  # fmt: skip
    yield Check(group="Heat", id="heat.lugs_k", what="warmest lug, fuse or terminal above the air around it", how=how,
                unit="K", high=_LUG_K, source=COMMON)  # fmt: skip


# --- settings, mass, roof ----------------------------------------------------------------------------


def _settings(fit: Fit) -> Iterator[Check]:
    how = "charge voltage, current, lowest voltage, battery type"
    for slot in [*fit.regulators, "alternator_charger", "mains_charger", "inverter"]:
        if fit.build.slot(slot):
            what = f"{slot} set as designed, and written down"
            yield Check(group="Settings", id=f"settings.{slot}", what=what, how=how, rule="done", source=COMMON)
    how = "simulated, or read from the settings"
    if fit.inverter:
        what = f"inverter stops at {fit.inverter.cut_off_v:g} V"
        yield Check(group="Settings", id="settings.low_voltage", what=what, how=how, rule="done",
                    basis="inverter's sheet", source=COMMON)  # fmt: skip
    yield Check(group="Settings", id="settings.low_temperature",
                what=f"charging stops below {fit.module.charge_min_c:g} C", how=how, rule="done",
                basis="module's sheet", source=COMMON)  # fmt: skip
    ah = fit.module.capacity_ah * fit.build.bank.parallel
    how = f"{ah:g} Ah; charged until the current falls below 2 to 4 % of that"
    yield Check(group="Settings", id="settings.bank", what="monitor set to the bank, brought to full and set to 100 %",
                how=how, rule="done", basis="module's sheet", source=COMMON)  # fmt: skip


def _weighed(fit: Fit, found: Found) -> Iterator[Check]:
    vehicle = fit.case.brief.vehicle
    if isinstance(vehicle, Trailer):
        places = [("axle", vehicle.base_axle_kg, found.get("mass.axle[axle]")),
                  ("hitch", vehicle.base_hitch_kg, found.get("mass.hitch_high"))]  # fmt: skip
    else:
        places = [("front_axle", vehicle.base_front_kg, found.get("mass.axle[front axle]")),
                  ("rear_axle", vehicle.base_rear_kg, found.get("mass.axle[rear axle]"))]  # fmt: skip
    low = found.get("mass.hitch_low")
    for name, before, after in places:
        yield _mass(f"mass.{name}_before", f"{name} before the fit-out", before, "survey", None, None)
        if after:
            least = low.limit if low and name == "hitch" else None
            yield _mass(f"mass.{name}_after", f"{name} after it", after.actual, after.requirement, least, after.limit)


def _mass(id: str, what: str, design: float, basis: str, least: float | None, most: float | None) -> Check:
    width = max(_KG, _KG_SHARE * design)
    low, high = max(design - width, least or 0.0), design + width
    return Check(
        group="Mass", id=id, what=what, how="weighed, loaded as in the survey, on level ground", unit="kg",
        design=design, low=low, high=high if most is None else min(high, most), basis=basis, source=COMMON,
    )  # fmt: skip


def _roof(fit: Fit) -> Iterator[Check]:
    if fit.build.panels or fit.build.entries:
        yield Check(group="Roof", id="roof.leaks", what="roof and entries dry inside",
                    how="hose for 10 minutes, the day after", rule="done", source=COMMON)  # fmt: skip
