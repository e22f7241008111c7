"""The test sheet of a build: every check, with its design value from the audit."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from optimiser.auditing.cables import own_drop_v
from optimiser.auditing.finding import Finding
from optimiser.basis import volts
from optimiser.commissioning.check import Check
from optimiser.commissioning.filling import figure
from optimiser.commissioning.sheet_mains import dead_mains_checks, live_mains_checks
from optimiser.commissioning.sheet_seen import full_checks, handover_checks, live_checks, seen_checks, settings_checks
from optimiser.commissioning.sheet_sources import TOWING, charging_checks, power_checks, string_checks
from optimiser.commissioning.spread import COMMON
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import idle_w
from optimiser.fitted.links import as_one_way_m, links_of
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs
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
    """Every check of a build, in the order it is worked through: weights, dead tests, live ones.

    ``findings`` are the audit's on the same build.
    """
    found = {finding.requirement: finding for finding in findings}
    before, after = _weighed(fit, found)
    return (
        *before,
        *seen_checks(fit, found),
        *dead_mains_checks(fit),
        *string_checks(fit),
        *live_checks(fit),
        *settings_checks(fit),
        *live_mains_checks(fit),
        *power_checks(fit),
        *_drops(fit, found),
        *full_checks(fit),
        *charging_checks(fit, found),
        *_inverter(found),
        *_own_draw(fit),
        *_heat(fit, found),
        *after,
        *_roof(fit),
        *handover_checks(fit),
    )


# --- drops -------------------------------------------------------------------------------------------


def _drops(fit: Fit, found: Found) -> Iterator[Check]:
    wanted = required_runs(fit)
    for name, laid in routed_runs(fit).items():
        finding, run = found.get(f"run.drop[{name}]"), wanted.get(name)
        if finding is None or run is None or not laid.cable.paired:
            continue
        amps = run.amps if run.drop_a is None else run.drop_a
        if amps <= 0:
            continue
        design_mv = 1000 * own_drop_v(fit, run, laid.cable, laid.one_way_m)
        limit_mv = design_mv + _room_mv(found, wanted, name, amps)
        plug = name == "alternator_feed" and fit.case.towed
        yield Check(
            group="Drop under load",
            id=f"drop.{name}",
            what=f"{numbered(fit, name)}{', from the tow plug on' if plug else ''}, both conductors, along the cable",
            how="lug to lug of each piece, added up; fuse, isolator, shunt and studs left out (see joints.worst_mv)"
            f"{', links of the bank too (see links.worst_mv)' if name == 'main' and links_of(fit) else ''}; "
            f"note the current: {design_mv / amps:.3g} mV/A of warm cable, {amps:.3g} A in the design"
            f"; {_longer(laid, limit_mv)}{f'; {TOWING}' if plug else ''}",
            unit="mV",
            design=design_mv,
            high=min(design_mv + _JOINTS_MV_A * amps, limit_mv),
            rule="drop",
            basis=f"{finding.requirement}, the cable alone",
            source=f"{_JOINTS_MV_A:g} mV/A more for crimps, but no more than its limit ({COMMON})",
            at=amps,
        )
    yield from _links(fit, found, wanted)
    apart = "fuses and shunts by their sheets"
    isolator = fit.at("isolator", Isolator)
    if isolator and isolator.resistance_mohm:
        apart = f"{apart}, the isolator {isolator.resistance_mohm:g} mV/A by its own"
    yield Check(
        group="Drop under load", id="joints.worst_mv", what="worst joint, each by itself",
        how=f"lug to stud; note the current; above {_JOINT_FAIR_MV:g} mV at {_JOINT_AT_A:g} A look into it; {apart}",
        unit="mV", high=_JOINT_MV, rule="drop", source=COMMON, at=_JOINT_AT_A,
    )  # fmt: skip


def _links(fit: Fit, found: Found, wanted: Mapping[str, RequiredRun]) -> Iterator[Check]:
    """What the bank's links lose of the main run's drop, in which the audit has them: by the string that loses most."""
    links, laid, run = links_of(fit), routed_runs(fit).get("main"), wanted.get("main")
    if links is None or laid is None or run is None or "run.drop[main]" not in found:
        return
    amps = run.amps if run.drop_a is None else run.drop_a
    if amps <= 0:
        return
    design_mv = 1000 * own_drop_v(fit, run, laid.cable, as_one_way_m(fit))
    whole = replace(links, in_string_mm=1, rail_mm=1, ends_mm=0).carrying_mm(fit.case)  # links the whole current passes
    joints_mv_a = 2 * _JOINT_MV / _JOINT_AT_A * whole
    marks = "B1" if links.count == 1 else f"B1 to B{links.count}"
    yield Check(
        group="Drop under load",
        id="links.worst_mv",
        what=f"links of the bank ({marks}), on the way of the string that loses most",
        how="of each string, lug to lug of each link between its modules and between it and where + and - are taken "
        "off, added up, modules and their fuses left out; the largest sum counts; note the main run's current: "
        f"{design_mv / amps:.3g} mV/A of warm cable, {amps:.3g} A in the design",
        unit="mV",
        design=design_mv,
        high=design_mv + min(joints_mv_a * amps, _room_mv(found, wanted, "main", amps)),
        rule="drop",
        basis="run.drop[main], the links alone",
        source=f"{joints_mv_a:.3g} mV/A more for crimps, but no more than is left to the limit of main, all else as "
        f"designed ({COMMON})",
        at=amps,
    )


def _room_mv(found: Found, wanted: Mapping[str, RequiredRun], name: str, amps: float) -> float:
    """What a run may drop more, at its current, until it or a run fed through it is at its limit [mV]."""
    rooms = [1000 * found[f"run.drop[{name}]"].margin]
    for other, run in wanted.items():
        finding = found.get(f"run.drop[{other}]")
        through_a = dict(run.behind).get(name, 0.0)  # of this run's current, as the other's drop is calculated with
        if finding and through_a > 0:
            rooms.append(1000 * finding.margin * amps / through_a)
    return min(rooms)


def _longer(laid: RoutedRun, limit_mv: float) -> str:
    """What to do where more cable lies than the design is calculated with."""
    return (
        f"laid longer than {2 * laid.one_way_m:g} m of both cores together, calculate design anew in proportion and "
        f"high by as much more, to {figure(limit_mv, up=False)} mV at most, the other runs as designed; a design above "
        "that: the next section, if terminals and ways take it"
    )


# --- inverter, own draw, heat ------------------------------------------------------------------------


def _inverter(found: Found) -> Iterator[Check]:
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
    covered = ", panels covered" if fit.build.arrays else ""
    yield Check(
        group="Own draw", id="idle.current_a", what="all loads off, everything fitted standing by",
        how=f"clamp with several turns; the audit's {idle_w(fit):.3g} W at {volt:g} V", unit="A", design=amps,
        high=(1 + _IDLE) * amps, basis="own draw of the parts", source=COMMON,
    )  # fmt: skip
    yield Check(
        group="Own draw", id="shunt.zero_a", what="channel of the display with nothing flowing, the one furthest off",
        how=f"each with its own circuit dead: its fuse out or its unit off{covered}; after zeroing", unit="A",
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


def _weighed(fit: Fit, found: Found) -> tuple[list[Check], list[Check]]:
    """Before the fit-out and after it."""
    low = found.get("mass.hitch_low")
    before, after = [], []
    for support in fit.case.brief.vehicle.supports:
        name, hitch = support.name.replace(" ", "_"), support.name == "hitch"
        its = found.get("mass.hitch_high" if hitch else f"mass.axle[{support.name}]")
        before.append(_mass("before", name, f"{name} before the fit-out", support.base_kg, "survey", None, None))
        if its:
            least = low.limit if low and hitch else None
            after.append(_mass("after", name, f"{name} after it", its.actual, its.requirement, least, its.limit))
    return before, after


def _mass(when: str, name: str, what: str, design: float, basis: str, least: float | None, most: float | None) -> Check:
    width = max(_KG, _KG_SHARE * design)
    low, high = max(design - width, least or 0.0), design + width
    return Check(
        group=f"Mass, {when} the fit-out", id=f"mass.{name}_{when}", what=what, unit="kg",
        how="weighed, loaded as in the survey, on level ground", design=design, low=low,
        high=high if most is None else min(high, most), basis=basis, source=COMMON,
    )  # fmt: skip


def _roof(fit: Fit) -> Iterator[Check]:
    if fit.build.panels or fit.build.entries:
        yield Check(group="Roof", id="roof.leaks", what="roof and entries dry inside",
                    how="hose for 10 minutes, the day after", rule="done", source=COMMON)  # fmt: skip
