"""In which order the work is commonly done, as far as it concerns this build (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.audit import Fit


def order_of_work(fit: Fit) -> list[str]:
    """A step a line; only what this build has."""
    return list(_steps(fit))


def _steps(fit: Fit) -> Iterator[str]:
    build, brief = fit.build, fit.case.brief
    kept = [body.slot for body in build.fitted if body.kept]
    yield "Measure again what the drawings rest on: bays, boards, openings, ways. Where one differs, stop and ask."
    if kept:
        yield f"Part what stays from its old wiring first: {', '.join(kept)}."
    yield "Look behind each place of the drilling list for ribs, cables, pipes and gas; then drill, deburr and seal."
    if build.vents:
        yield "Cut the vents, low and high, before anything stands in the bays."
    yield f"Pull the {len(build.runs)} runs of the cutting list through their ways, both ends labelled, not connected."
    if build.panels:
        yield f"Fix the {len(build.panels)} panels and let sealant cure. Cover them: in light they are live."
    yield "Fix the parts on their boards as the elevations show, then make off cables: no fuse in, isolator off."
    if fit.modules > 1:
        yield "Charge each module full by itself and match their voltages before they are joined."
    if fit.inverter or brief.inlet:
        yield "Mains, earthing and the neutral-earth bond: by a licensed electrician."
    yield "Test polarity and insulation of the test sheet while everything is dead."
    covered = " and the panels covered" if build.panels else ""
    off = "inverter and loads" if fit.inverter else "loads"
    yield f"With the isolator off{covered}, put in the fuses of the row; {off} switched off."
    precharge = " through a resistor, so that the inverter's input fills slowly" if fit.inverter else ""
    yield f"Put the main fuse in; then close the isolator{precharge}. No fuse goes in or out with it closed."
    if build.arrays:
        yield "Regulators get the bank first and the panels afterwards: many find the bank's voltage when they start."
    yield f"To shut down: {', '.join(_to_shut_down(fit))}, then the isolator."
    yield "Commission by the test sheet, weigh, and hand over with the settings noted."


def _to_shut_down(fit: Fit) -> Iterator[str]:
    """What feeds the bank first, so that no charger runs on without it; then what draws."""
    if fit.build.arrays:
        yield "panels covered or parted"
    if fit.mains_charge_a:
        yield "hook-up unplugged"
    if fit.alternator_charger:
        yield "engine off"
    yield "loads and inverter off" if fit.inverter else "loads off"
