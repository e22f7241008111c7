"""What is measured and shown, and the weatherproof entries."""

from collections.abc import Iterator, Mapping

from optimiser.auditing.finding import Finding, checked
from optimiser.basis import money
from optimiser.builds import FittedEntry
from optimiser.fitted.channels import most_measured, section_mm2, takes_mm2, through_a
from optimiser.fitted.currents import currents
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import RoutedRun, routed_runs
from optimiser.parts import Display, Entry

ROOF_IP = 65  # driving rain at speed (common practice, no source)


def check(fit: Fit) -> Iterator[Finding]:
    """Currents, display, switch; then entries."""
    runs = routed_runs(fit)
    yield from _channels(fit)
    display = fit.at("display", Display)
    yield checked("measure.display", limit=len(currents(fit)), actual=display.channels if display else 0)
    if fit.inverter:
        yield checked("measure.switch", limit=1, actual=1 if fit.build.slot("switch") else 0)
    yield from _glands(fit, runs)
    yield from _pass_throughs(fit, runs)


def _channels(fit: Fit) -> Iterator[Finding]:
    """A channel for each current: by what fuses let through, and of those that have one by rating, by their cables."""
    found = currents(fit)
    for amps in sorted({through_a(fit, current) for current in found}):
        wanted = sum(through_a(fit, current) >= amps for current in found)
        yield checked("measure.channels", f"{amps:.3g} A", limit=wanted, actual=_of(fit, amps))
    lacking = 0  # for thicker cables: told once
    for section in sorted({section_mm2(fit, current) for current in found} - {0.0}, reverse=True):
        thick = [current for current in found if section_mm2(fit, current) >= section]
        given = most_measured(fit, thick)
        without = most_measured(fit, thick, terminals=False) - given
        wanted, lacking = given + max(0, without - lacking), max(without, lacking)
        if given == len(thick):  # and more, if there are
            given = _of(fit, min(through_a(fit, current) for current in thick), section)
        yield checked("measure.channels", f"{section:g} mm2", limit=wanted, actual=given)


def _of(fit: Fit, amps: float, section: float = 0.0) -> int:
    """Channels that stand so much and whose terminals take such a cable."""
    fitting = ((s, n) for s, n in fit.shunts if s.rating_a >= amps and takes_mm2(s) >= section)
    return sum(shunt.channels * count for shunt, count in fitting)


def _entries(fit: Fit, purpose: str) -> list[tuple[FittedEntry, Entry]]:
    return [(e, fit.part(e.entry, Entry)) for e in fit.build.entries if e.purpose == purpose]


def _glands(fit: Fit, runs: Mapping[str, RoutedRun]) -> Iterator[Finding]:
    for plane in fit.case.roof_planes:
        arrays = [array for array in fit.build.arrays if array.roof_plane == plane]
        if not arrays:
            continue
        ours = [runs[f"solar_{a.name}"] for a in arrays if f"solar_{a.name}" in runs]
        outside_mm = max((run.cable.outside_mm for run in ours), default=0.0)
        fitted = _entries(fit, plane)
        room = sum(
            e.count * entry.cables
            for e, entry in fitted
            if entry.kind == "gland" and entry.outside_max_mm >= outside_mm
        )
        yield checked("entry.cables", plane, limit=2 * len(arrays), actual=room)
        if fitted:
            yield checked("entry.sealing", plane, limit=ROOF_IP, actual=min(entry.ip_class for _, entry in fitted))


def _pass_throughs(fit: Fit, runs: Mapping[str, RoutedRun]) -> Iterator[Finding]:
    for wanted in fit.case.brief.pass_throughs:
        run, fitted = runs.get(f"pass_{wanted.name}"), _entries(fit, wanted.name)
        outside_mm = run.cable.outside_mm if run else 0.0
        needed = money.cores(run.cable) if run else 1
        room = sum(
            e.count * entry.cables
            for e, entry in fitted
            if entry.kind == "pass_through"
            and entry.carries in (wanted.carries, "any")
            and entry.outside_max_mm >= outside_mm
        )
        yield checked("entry.cables", wanted.name, limit=needed, actual=room)
        if fitted:
            sealed = min(entry.ip_class for _, entry in fitted)
            yield checked("entry.sealing", wanted.name, limit=wanted.ip_class, actual=sealed)
            boards = [fit.case.board_of.get(e.board) for e, _ in fitted]
            outside = [bool(b and b.outside_wall and b.kind == "wall") for b in boards]
            yield checked("entry.outside_wall", wanted.name, limit=0, actual=outside.count(False))
