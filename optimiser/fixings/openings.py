"""Holes that a build's cables need and nobody surveyed: named, without a place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.case import Case, Way
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import laid_runs

_SETTLE = "not surveyed: settle in the vehicle"
_THROUGH = f"{_SETTLE}; through the floor or an outside wall: grommet, sealed against spray and fumes"
_BOX = f"{_SETTLE}; into a bay outside: grommet or gland, sealed against spray"
_CUT_OUT = f"{_SETTLE}; only where no {{}} is there yet, by its maker's template"


@dataclass(frozen=True)
class Opening:
    """A hole to be settled in the vehicle (common practice, no source)."""

    what: str
    name: str  # of the way, or of what is let into the skin
    place: str  # the bay or node at its inner end
    part: str  # bore and runs of a way
    note: str


def openings(fit: Fit) -> tuple[Opening, ...]:
    """Where ways in use enter a bay that is sealed or outside or leave the living space, then cut-outs in the skin.

    Glands and pass-throughs are fixings of their own. Outside is a bay outside, the alternator's or tow plug's point,
    and a surveyed spot below the floor or beyond the outline; of other nodes nothing is known.
    """
    return (*_ways(fit), *_cut_outs(fit))


def ways_in_use(fit: Fit) -> dict[Way, list[str]]:
    """Way -> names of the runs in it, in the survey's order; none that is empty."""
    runs = laid_runs(fit).values()
    found = {way: [laid.run.name for laid in runs if way in laid.ways] for way in fit.case.ways}
    return {way: inside for way, inside in found.items() if inside}


def _ways(fit: Fit) -> Iterator[Opening]:
    case = fit.case
    let_in = {zone.entry for zone in case.zones} | {x.point for x in (case.brief.inlet, case.brief.portable) if x}
    for way, inside in ways_in_use(fit).items():
        for node, other in ((way.start, way.end), (way.end, way.start)):
            through = _outside(case, other) and not _outside(case, node) and other not in let_in
            note = _note(case, node, through=through)
            if note:
                part = f"bore {way.bore_mm} mm: {', '.join(inside)}"
                yield Opening("opening of a way", way.name, node, part, note)


def _note(case: Case, node: str, *, through: bool) -> str:
    bay = case.bay_of.get(node)
    if bay and bay.air == "sealed":
        come = ", from outside" if through else ""
        return (
            f"{_SETTLE}; into a bay sealed from the living space{come}: gland or sealed grommet, gas-tight once the "
            "cables are in"
        )
    if bay and bay.air == "outside":
        return _BOX
    return _THROUGH if through else ""


def _outside(case: Case, node: str) -> bool:
    bay, alternator, outline = case.bay_of.get(node), case.brief.alternator, case.brief.outline
    if bay:
        return bay.air == "outside"
    if alternator and alternator.point == node:
        return True
    spot = next((spot for spot in case.spots if spot.node == node), None)
    if spot is None or outline is None:
        return False
    beyond = not 0 <= spot.x_mm <= outline.length_mm or 2 * abs(spot.y_mm) > outline.width_mm
    return beyond or spot.z_mm < outline.floor_mm


def _cut_outs(fit: Fit) -> Iterator[Opening]:
    brief = fit.case.brief
    if brief.inlet and fit.build.run("mains_inlet"):
        yield Opening("cut-out", "inlet", brief.inlet.point, "", _CUT_OUT.format("inlet"))
    if brief.portable and any(not array.light for array in fit.build.arrays):
        yield Opening("cut-out", "socket of the portable panel", brief.portable.point, "", _CUT_OUT.format("socket"))
