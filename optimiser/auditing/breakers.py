"""The mains box where the build fills it: breakers, residual-current devices, and the bond of neutral and earth."""

from collections.abc import Iterable, Iterator
from math import inf

from optimiser.auditing.converters import by_inlet_w
from optimiser.auditing.finding import Finding, checked, judged
from optimiser.auditing.surroundings import stands_a
from optimiser.basis.mains import RESIDUAL_MA, SEES, WIRED_MODULES
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import required_runs, routed_runs
from optimiser.parts import Breaker, Inverter, MainsBox

SIDES = {"residual_hook_up": ("mains_inlet", "hook_up"), "residual_inverter": ("inverter_out", "inverter")}
"""Place of a device of a whole side -> the run that brings its current, and what feeds its circuits."""
CHANGES = "changeover"  # the place of what changes the inverter's circuits over to hook-up: before their side's device


def check(fit: Fit) -> Iterator[Finding]:
    """Every device that is there, what each circuit is guarded by, room for all of it, and the bonds."""
    brief, box = fit.case.brief, fit.at("mains_box", MainsBox)
    if not brief.fills_mains_box:
        return
    yield from _ratings(fit)
    for name in _guarded(fit):
        trips_ma = max(_trips_ma(ways) for ways in _before(fit, name))
        yield checked("breaker.residual", name, limit=RESIDUAL_MA, actual=trips_ma)
    if box:
        taken = sum(device.modules for device in fit.breakers.values())
        taken += WIRED_MODULES * sum(circuit.wired for circuit in brief.circuits)
        yield checked("breaker.modules", limit=box.modules, actual=taken)
    if fit.inverter:
        yield from _bonds(fit, fit.inverter)


def _ratings(fit: Fit) -> Iterator[Finding]:
    """Each device against what flows through it, its cable, and a fault on hook-up."""
    wanted, laid, inlet = required_runs(fit), routed_runs(fit), fit.case.brief.inlet
    asked_a = {f"outlet_{circuit.name}": circuit.rating_a for circuit in fit.case.brief.circuits}
    on_way = {way.name: [r for r in laid.values() if way in r.ways] for way in fit.case.ways}
    for place, device in fit.breakers.items():
        run = {side: run for side, (run, _) in SIDES.items()}.get(place, "inverter_out" if place == CHANGES else place)
        if run not in wanted:
            continue  # reported as there for nothing
        flows_a = max(wanted[run].amps, asked_a.get(place, 0.0))
        if place == "mains_inlet":
            flows_a = by_inlet_w(fit, fit.peaks.hook_up_w) / fit.case.brief.place.mains_v
        if inlet and fit.inverter and fit.inverter.reached and place in (CHANGES, "residual_inverter"):
            flows_a = max(flows_a, inlet.rating_a)  # on hook-up
        yield checked("breaker.over_load", place, limit=flows_a, actual=device.rating_a)
        if place in laid:
            stands = stands_a(fit, laid[place], on_way)
            if place == "mains_inlet" and inlet:
                stands = min(stands, inlet.rating_a)  # what is upstream of it is for no more
            yield checked("breaker.under_cable", place, limit=stands, actual=device.rating_a)
        if inlet:
            yield checked("breaker.breaking", place, limit=inlet.fault_a, actual=device.breaking_mains_a)


def _guarded(fit: Fit) -> list[str]:
    """Runs that a residual-current device must be before."""
    return [run for run in required_runs(fit) if run.startswith("outlet_") or run in ("mains_feed", "inverter_in")]


def _before(fit: Fit, run: str) -> Iterator[list[Breaker]]:
    """Devices that a run's current comes through, its own too; of each of the sources that may feed it."""
    source = {f"outlet_{circuit.name}": circuit.source for circuit in fit.case.brief.circuits}.get(run, "hook_up")
    (side,) = (place for place, (_, feeds) in SIDES.items() if feeds == source)
    ways: list[tuple[str, ...]] = [(run, side, SIDES[side][0])]
    if source == "inverter" and CHANGES in fit.breakers:
        ways.append((run, side, "residual_hook_up", "mains_inlet"))
    for places in ways:
        yield [fit.breakers[place] for place in places if place in fit.breakers]


def _trips_ma(behind: Iterable[Breaker]) -> float:
    """The least residual current that any of them trips at [mA]."""
    return min((one.residual_ma for one in behind if one.residual_type in SEES and one.residual_ma > 0), default=inf)


def _bonds(fit: Fit, inverter: Inverter) -> Iterator[Finding]:
    """Neutral and earth are joined once: by the site on hook-up; else by the inverter, or a link where it is alone."""
    passes = inverter.transfers and fit.case.brief.inlet is not None
    if passes:
        joined = 1 + (inverter.bond == "fixed")
        yield judged("mains.bond", "hook_up", limit=1, actual=joined, ok=joined == 1)
    by_itself = inverter.bond in ("fixed", "switched")
    joined = by_itself + fit.bond_link
    yield judged("mains.bond", "inverter", limit=1, actual=joined, ok=joined == 1)
