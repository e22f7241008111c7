"""How far each run goes by the bodies that it joins, as these stand: what its cable has to reach."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from optimiser.basis import faces, paths
from optimiser.fitted.currents import currents
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs
from optimiser.physics.surfaces import Patch, between_patches_mm

_DATA = {"display": ("shunt_row", "display"), "switch": ("inverter", "switch")}


def reach_mm(fit: Fit, laid: RoutedRun) -> int:
    """What a run's cable has to reach one way: its ways with the allowances at its ends, or as it is drawn [mm]."""
    ways_mm = faces.ways_mm(fit.case, laid.ways)
    return max(paths.run_length_mm(fit.case, laid.run.start, laid.run.end, ways_mm), drawn_mm(fit, laid))


def drawn_mm(fit: Fit, laid: RoutedRun) -> int:
    """The least that a run needs as it is drawn, one way [mm].

    Square along the faces of the bays: from edge to edge of what it goes by, from the last body to the hole by which
    its bay is left, and from hole to hole of bays that it goes through. By the fuse row or by the shunt row, whichever
    is further: a core may pass one of them only. Where boards are not surveyed, the bay's allowance is taken from one
    to another, and nothing to a hole. Distances within bodies, lugs and detours are left out, and the way to a body in
    a bay where the run does not end: see `gone_by_elsewhere`.
    """
    inside_mm = max((sum(leg.mm for leg in legs) for legs in legs_of(fit, laid)), default=0)
    return faces.ways_mm(fit.case, laid.ways) + inside_mm


@dataclass(frozen=True)
class Leg:
    """What a core of a run goes in one bay, from body to body or from body to hole.

    ``ends`` : slots, or the way of the hole. ``patches`` : where these are in the bay; None where that is not surveyed.
    """

    bay: str
    ends: tuple[str, str]
    patches: tuple[Patch | None, Patch | None]
    mm: int


def legs_of(fit: Fit, laid: RoutedRun) -> list[list[Leg]]:
    """For each way that its cores may go, what they go in the bays at its ends."""
    return [list(_legs(fit, laid, chain)) for chain in _cores(fit, laid)]


def through(fit: Fit, laid: RoutedRun) -> Iterator[Leg]:
    """From hole to hole of the bays that a run goes through, where both are surveyed."""
    for bay, one, other in faces.gone_through(fit.case, laid.ways):
        patches = faces.hole(fit.case, bay, one), faces.hole(fit.case, bay, other)
        if all(patches):
            yield Leg(bay, (one, other), patches, _along_faces_mm(fit, bay, *patches))


def _cores(fit: Fit, laid: RoutedRun) -> Iterator[tuple[str, ...]]:
    """As `_chains`; "" for the end that is outside the bays."""
    if wanted := required_runs(fit).get(laid.run.name):
        outside = ("",) if len(wanted.ends) == 1 else ()
        yield from ((*outside, *chain) for chain in _chains(fit, laid, wanted))


def _legs(fit: Fit, laid: RoutedRun, chain: Sequence[str]) -> Iterator[Leg]:
    """From body to body, and where neighbours stand in two bays from each to its hole."""
    bodies = _bodies(fit)
    for pair in pairwise(slot for slot in chain if not slot or slot in bodies):
        one, other = (bodies.get(slot) for slot in pair)
        if one and other and one.board.bay == other.board.bay:
            yield Leg(one.board.bay, pair, (_patch(fit, one), _patch(fit, other)), between_mm(fit, one, other))
        else:
            yield from (_to_hole(fit, laid, body) for body in (one, other) if body)


def _bodies(fit: Fit) -> dict[str, Standing]:
    """Slot -> what fills it. A fuse on the bank takes no board, and a fixture of that name is not it."""
    return {slot: body for slot, body in standing_in(fit).items() if not body.fixture}


def _to_hole(fit: Fit, laid: RoutedRun, body: Standing) -> Leg:
    """From the edge of a body to the hole by which the run leaves its bay."""
    bay, ways = body.board.bay, [way.name for way in laid.ways] or [""]
    way = {laid.run.end: ways[-1], laid.run.start: ways[0]}.get(bay, "")
    patches = _patch(fit, body), faces.hole(fit.case, bay, way)
    return Leg(bay, (body.slot, way), patches, _along_faces_mm(fit, bay, *patches))


def _along_faces_mm(fit: Fit, bay: str, one: Patch | None, other: Patch | None) -> int:
    """0 where one of them is not surveyed."""
    return ceil(between_patches_mm(size=fit.case.bay_of[bay].inside, one=one, other=other)) if one and other else 0


def _patch(fit: Fit, body: Standing) -> Patch | None:
    at = body.rect
    return faces.patch(fit.case, body.board.place, (at.x0, at.x1), (at.y0, at.y1))


def tail_mm(fit: Fit) -> int | None:
    """From the edge of the busbar to that of the fuse row; None in two bays, or on boards not surveyed [mm]."""
    busbar, row = (standing_in(fit).get(slot) for slot in ("busbar", "fuse_row"))
    if not busbar or not row or busbar.board.bay != row.board.bay or not _is_measured(fit, busbar, row):
        return None
    return between_mm(fit, busbar, row)


def _is_measured(fit: Fit, one: Standing, other: Standing) -> bool:
    return one.board.place == other.board.place or all(_patch(fit, body) for body in (one, other))


def gone_by_elsewhere(fit: Fit, laid: RoutedRun) -> Standing | None:
    """A body that its cores go by in a bay where it does not end, as the shunt of an array: no length has that way."""
    by = (body for core in _cores(fit, laid) for slot in core if (body := _bodies(fit).get(slot)))
    return next((body for body in by if body.board.bay not in (laid.run.start, laid.run.end)), None)


def by_allowance(fit: Fit, laid: RoutedRun) -> bool:
    """Whether it goes from board to board of a bay that are not surveyed: for that the bay's allowance is taken."""
    chains = [[body for slot in chain if (body := _bodies(fit).get(slot))] for chain in _cores(fit, laid)]
    pairs = [pair for chain in chains for pair in pairwise(chain) if pair[0].board.bay == pair[1].board.bay]
    return not all(_is_measured(fit, *pair) for pair in pairs)


def between_mm(fit: Fit, one: Standing, other: Standing) -> int:
    """From edge to edge of two bodies of a bay, along its faces; its allowance where boards are not surveyed [mm]."""
    if one.board.place == other.board.place:
        return one.rect.around_corner(other.rect)
    bay = fit.case.bay_of[one.board.bay]
    patches = _patch(fit, one), _patch(fit, other)
    return _along_faces_mm(fit, bay.name, *patches) if all(patches) else bay.cable_allowance_mm


def _chains(fit: Fit, laid: RoutedRun, wanted: RequiredRun) -> Iterator[tuple[str, ...]]:
    """Slots that a core of the run goes by, in order."""
    if wanted.name == "main":
        yield "bank", "main_fuse", "isolator", "busbar"
        return
    if wanted.kind == "data":
        yield _DATA.get(wanted.name, ())
        return
    *start, end = wanted.ends or ("",)
    rows = {"fuse_row": laid.run in fit.row_runs, "shunt_row": wanted.name in dict(currents(fit))}
    passed = [row for row, there in rows.items() if there]
    for row in passed or [""]:
        yield tuple(slot for slot in (*start, row, end) if slot)
