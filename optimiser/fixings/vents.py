"""Openings of the vents, a low and a high one each, and the holes for cables that nobody surveyed."""

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.basis.vents import EDGE_MM, height_left_mm, high_enough, opening_mm, wall_mm
from optimiser.case import Bay, Case, Way
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import routed_runs
from optimiser.fixings.fixing import BAY_DATUM, Fixing
from optimiser.parts import Vent

VENT_HEADS = {"grille": ("low opening", "high opening"), "fan": ("inlet grille of the fan", "fan")}
"""Kind of vent -> what the notes of its low and its high opening begin with, before what is said of the pair."""


def vents(fit: Fit) -> Iterator[Fixing]:
    """Two openings a vent; those of a bay stand side by side on one side of it, from an end of what is free there."""
    number, used = 0, {bay.name: 0 for bay in fit.case.bays}
    for fitted in fit.build.vents:
        bay, vent = fit.case.bay_of[fitted.bay], fit.part(fitted.vent, Vent)
        (long, high), free = opening_mm(bay, vent), wall_mm(fit.case, bay)
        for _ in range(fitted.count):
            number += 1
            x_mm = used[bay.name] + EDGE_MM + -(-long // 2)
            missing = _missing(bay, vent, free, x_mm)
            if not missing:
                used[bay.name] += EDGE_MM + long
            words = _words(bay, long, high, free, missing)
            yield from _pair(f"V{number}", bay, vent, (long, high), None if missing else x_mm, words)


def _missing(bay: Bay, vent: Vent, free_mm: int, x_mm: int) -> str:
    """Why two openings do not fit, or nothing."""
    long, high = opening_mm(bay, vent)
    if high > bay.stack_mm - EDGE_MM:
        return f"they are {high} mm high and their middles {bay.stack_mm} mm apart: one runs into the other"
    if not high_enough(bay, vent):
        needed, left = 2 * EDGE_MM + 2 * -(-high // 2) + bay.stack_mm, height_left_mm(bay)
        could = f"openings can be {left} mm high at most" if left > 0 else "no openings fit"
        return f"they need {needed} mm of height and the bay has {bay.height_mm} mm; {bay.stack_mm} mm apart, {could}"
    end = x_mm - -(-long // 2) + long + EDGE_MM
    if end > free_mm:
        wanted = f"they need {end} mm of a wall without a board or a cable opening"
        return f"side by side {wanted} and the bay has {free_mm} mm"
    return ""


def _heights_mm(bay: Bay, high: int) -> dict[str, int]:
    """Level -> middle of the opening above the bay's floor."""
    low_mm = EDGE_MM + -(-high // 2)
    return {"low": low_mm, "high": low_mm + bay.stack_mm}


def _pair(name: str, bay: Bay, vent: Vent, size: tuple[int, int], x_mm: int | None, words: str) -> Iterator[Fixing]:
    long, high = size
    heads = VENT_HEADS[vent.kind]
    for head, (level, y_mm) in zip(heads, _heights_mm(bay, high).items(), strict=True):
        yield Fixing(
            kind="vent",
            name=f"{name}-{level}",
            place=bay.name,
            part=vent.name,
            x_mm=x_mm,
            y_mm=None if x_mm is None else y_mm,
            length_mm=long,
            width_mm=high,
            datum=BAY_DATUM,
            surveyed=False,
            note=f"{head}: {words}",
        )


def _words(bay: Bay, long: int, high: int, free_mm: int, missing: str) -> str:
    if missing:
        return (
            f"no place for two openings of {long} x {high} mm, {bay.stack_mm} mm between their middles: {missing}; "
            "settle it before cutting"
        )
    return (
        "proposed, of the catalogue's area; its shape is the maker's; on a stretch of wall without a board or a cable "
        f"opening, {free_mm} mm, free of what stands on the walls beside it; which outside or cabin wall is the "
        f"fitter's choice, keep at least {bay.stack_mm} mm of height between the middles of low and high"
    )


# --- holes that a build's cables need and nobody surveyed: named, without a place ---------------------


_SETTLE = "not surveyed: settle in the vehicle"
_THROUGH = f"{_SETTLE}; through the floor or an outside wall: grommet, sealed against spray and fumes"
_BOX = f"{_SETTLE}; into a bay outside: grommet or gland, sealed against spray"
_CUT_OUT = f"{_SETTLE}; only where no {{}} is there yet, by its maker's template"


@dataclass(frozen=True)
class Opening:
    """A hole to be settled in the vehicle (common practice, no source)."""

    what: str
    name: str  # of the way, or of what is let into the wall
    place: str  # the bay or node at its inner end
    part: str  # bore and runs of a way
    note: str


def openings(fit: Fit) -> tuple[Opening, ...]:
    """Where ways in use enter a bay that is sealed or outside or leave the living space, then cut-outs in walls.

    Glands and pass-throughs are fixings of their own. Outside is a bay outside, the alternator's or tow plug's point,
    and a surveyed position below the floor or beyond the outline; of other nodes nothing is known.
    """
    return (*_ways(fit), *_cut_outs(fit))


def ways_in_use(fit: Fit) -> dict[Way, list[str]]:
    """Way -> names of the runs in it, in the survey's order; none that is empty."""
    runs = routed_runs(fit).values()
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
    spot = next((spot for spot in case.node_positions if spot.node == node), None)
    if spot is None or outline is None:
        return False
    beyond = not 0 <= spot.x_mm <= outline.length_mm or 2 * abs(spot.y_mm) > outline.width_mm
    return beyond or spot.z_mm < outline.floor_mm


def _cut_outs(fit: Fit) -> Iterator[Opening]:
    brief = fit.case.brief
    if brief.inlet and fit.build.run("mains_inlet"):
        yield Opening("cut-out", "inlet", brief.inlet.point, "", _CUT_OUT.format("inlet"))
    if brief.portable and any(not array.roof_plane for array in fit.build.arrays):
        yield Opening("cut-out", "socket of the portable panel", brief.portable.point, "", _CUT_OUT.format("socket"))
