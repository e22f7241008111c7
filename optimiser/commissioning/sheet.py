"""The test sheet of a build: every check, with its design value from the audit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from optimiser.audit.energy import idle_w
from optimiser.audit.finding import Finding
from optimiser.audit.fitted import Fit
from optimiser.audit.wiring import laid_runs, wanted_runs
from optimiser.basis import volts
from optimiser.case import Trailer
from optimiser.commissioning.check import Check
from optimiser.commissioning.sheet_charging import TOWING, charging_checks, from_plug
from optimiser.commissioning.sheet_mains import mains_checks
from optimiser.commissioning.sheet_settings import settings_checks
from optimiser.commissioning.sheet_solar import solar_checks
from optimiser.commissioning.spread import COMMON
from optimiser.parts import Isolator

_JOINT_AT_A, _JOINT_MV, _JOINT_FAIR_MV = 100.0, 15.0, 10.0  # a joint; from the lower on it is looked into
_JOINTS_MV_A = 4 * _JOINT_MV / _JOINT_AT_A  # the crimps of a run, as four joints
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
        *_seen(fit, found),
        *mains_checks(fit),
        *solar_checks(fit),
        *_drops(fit, found),
        *charging_checks(fit, found),
        *_inverter(fit, found),
        *_own_draw(fit),
        *_heat(fit, found),
        *settings_checks(fit),
        *_weighed(fit, found),
        *_roof(fit),
    )


def _seen(fit: Fit, found: Found) -> Iterator[Check]:
    group = "Seen and felt"
    yield Check(group=group, id="seen.torque", what="every terminal torqued and marked",
                how="torque list of the makers, a witness mark on each", rule="done", source=COMMON)  # fmt: skip
    yield Check(group=group, id="seen.crimps", what="every crimp sound", how="pull each by hand; none moves",
                rule="done", source=COMMON)  # fmt: skip
    yield Check(group=group, id="seen.polarity", what="polarity right everywhere on the low voltage side",
                how="meter at each outlet, the fuse row, the inverter, before its fuse goes in", rule="done",
                source=COMMON)  # fmt: skip
    distance = found.get("run.fuse_distance")
    if distance:
        figure, holder = fit.case.rules.figures["fuse_distance_mm"], fit.main_holder
        on_it = holder is not None and holder.on_terminal
        drawn = f"the audit's {distance.actual:.0f} mm are from body to body only"
        yield Check(group=group, id="seen.fuse_distance", what="conductor from the bank's terminal to the main fuse",
                    how=f"tape along it, bends too; {'0: its holder sits on the terminal itself' if on_it else drawn}",
                    unit="mm", high=figure.value, basis="rules.fuse_distance_mm",
                    source=f"{figure.source} ({figure.state})")  # fmt: skip


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
        plug = name == "alternator_feed" and from_plug(fit)
        yield Check(
            group="Drop under load",
            id=f"drop.{name}",
            what=f"{name}{', from the tow plug on' if plug else ''}, both conductors, along the cable",
            how="lug to lug of each piece, added up; fuse, isolator, shunt and studs left out (see joints.worst_mv); "
            f"note the current: {design_mv / amps:.3g} mV/A of warm cable, {amps:.3g} A in the design"
            f"{f'; {TOWING}' if plug else ''}",
            unit="mV",
            design=design_mv,
            high=min(design_mv + _JOINTS_MV_A * amps, limit_mv),
            rule="drop",
            basis=f"{finding.requirement}, the cable alone",
            source=f"{_JOINTS_MV_A:g} mV/A more for crimps, but no more than its limit ({COMMON})",
            at=amps,
        )
    apart = "fuses and shunts by their sheets"
    isolator = fit.at("isolator", Isolator)
    if isolator and isolator.resistance_mohm:
        apart = f"{apart}, the isolator {isolator.resistance_mohm:g} mV/A by its own"
    yield Check(
        group="Drop under load", id="joints.worst_mv", what="worst joint, each by itself",
        how=f"lug to stud; note the current; above {_JOINT_FAIR_MV:g} mV at {_JOINT_AT_A:g} A look into it; {apart}",
        unit="mV", high=_JOINT_MV, rule="drop", source=COMMON, at=_JOINT_AT_A,
    )  # fmt: skip


# --- inverter, own draw, heat ------------------------------------------------------------------------


def _inverter(fit: Fit, found: Found) -> Iterator[Check]:
    sag = found.get("inverter.sag")
    if sag:
        yield Check(
            group="Inverter", id="inverter.hold_v", what="lowest voltage at the inverter while the largest load starts",
            how="meter that holds its lowest, other loads on as they would be; the bank must not trip", unit="V",
            design=sag.actual, low=min(sag.actual, sag.limit + _HOLD_V), basis=sag.requirement, source=COMMON,
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
        group="Own draw", id="shunt.zero_a", what="channel of the display with nothing flowing, the one furthest off",
        how="each with its own circuit dead: its fuse out or its unit off, panels covered; after zeroing", unit="A",
        design=0.0, low=-_ZERO_A, high=_ZERO_A, source=COMMON,
    )  # fmt: skip


def _heat(fit: Fit, found: Found) -> Iterator[Check]:
    hottest, how = fit.case.limits.bay_air_max_c, "after 30 to 45 minutes at 70 % of full load, doors shut"
    for bay in fit.case.bays:
        if f"bay.heat[{bay.name}]" in found:
            yield Check(
                group="Heat", id=f"heat.{bay.name}", what=f"air in {bay.name}, against its limit",
                how=f"{how}; note the air outside: design is the limit, no forecast: {hottest:g} C at {fit.hot_c:g} C "
                f"outside, lower by as much on a cooler day",
                unit="C", design=hottest, high=hottest, rule="rise", basis="limits.bay_air_max_c", source=COMMON,
                at=fit.hot_c,
            )  # fmt: skip
    yield Check(group="Heat", id="heat.lugs_k", what="warmest lug, fuse or terminal above the air around it", how=how,
                unit="K", high=_LUG_K, source=COMMON)  # fmt: skip


# --- mass, roof ---------------------------------------------------------------------------------------


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
