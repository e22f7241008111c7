"""How far each run goes by the bodies that it joins, as these stand: what its cable has to reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import ceil

from optimiser.basis import faces, money, paths
from optimiser.fitted.currents import currents
from optimiser.fitted.fit import Fit, once
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs
from optimiser.physics.surfaces import Patch, between_patches_mm

_DATA = {"display": ("shunt_row", "display"), "switch": ("inverter", "switch")}


def reach_mm(fit: Fit, laid: RoutedRun) -> int:
    """What a run's cable has to reach one way: its ways with the allowances at its ends, or as it is drawn [mm]."""
    ways_mm = sum(way.length_mm for way in laid.ways)
    return max(paths.run_length_mm(fit.case, laid.run.start, laid.run.end, ways_mm), drawn_mm(fit, laid))


def drawn_mm(fit: Fit, laid: RoutedRun) -> int:
    """The least that a run needs as it is drawn, one way: its ways, and from edge to edge of what it goes by [mm].

    By the fuse row or by the shunt row, whichever is further: a core may pass one of them only. Left out are distances
    within bodies, and from a body to the hole where the bay is left: for that the bay's allowance counts, even where
    the hole is surveyed and further: see `by_holes_mm`.
    """
    ways_mm = sum(way.length_mm for way in laid.ways)
    return ways_mm + max((sum(between_mm(fit, *pair) for pair in pairs) for pairs in _legs(fit, laid)), default=0)


def by_holes_mm(fit: Fit, laid: RoutedRun) -> int:
    """The least that a run needs by the holes and boards that are surveyed, one way [mm].

    Square along the faces of the bays: from edge to edge of what it goes by, also from board to board, from the last
    body to the hole by which its bay is left, and from hole to hole of bays that it goes through. What is not surveyed
    counts nothing, nor do distances within bodies, lugs and detours. No requirement holds a cable to it yet.
    """
    inside_mm = max((_inside_mm(fit, laid, chain) for chain in _cores(fit, laid)), default=0)
    return faces.ways_mm(fit.case, laid.ways) + inside_mm


@once
def too_short(fit: Fit) -> Mapping[str, int]:
    """Runs that are cut shorter than the holes and boards of the survey ask -> what these ask at least [mm]."""
    least_mm = {name: by_holes_mm(fit, laid) for name, laid in routed_runs(fit).items()}
    return {name: mm for name, mm in least_mm.items() if mm > routed_runs(fit)[name].steps * money.STEP_MM}


def _cores(fit: Fit, laid: RoutedRun) -> Iterator[tuple[str, ...]]:
    """As `_chains`; "" for the end that is outside the bays."""
    if wanted := required_runs(fit).get(laid.run.name):
        outside = ("",) if len(wanted.ends) == 1 else ()
        yield from ((*outside, *chain) for chain in _chains(fit, laid, wanted))


def _inside_mm(fit: Fit, laid: RoutedRun, chain: Sequence[str]) -> int:
    """In the bays, from body to body, and where neighbours stand in two bays from each to its hole."""
    bodies, found_mm = standing_in(fit), 0
    for pair in pairwise(slot for slot in chain if not slot or slot in bodies):
        one, other = (bodies.get(slot) for slot in pair)
        if one and other and one.board.place == other.board.place:
            found_mm += one.rect.around_corner(other.rect)
        elif one and other and one.board.bay == other.board.bay:
            found_mm += _along_faces_mm(fit, one.board.bay, _patch(fit, one), _patch(fit, other))
        else:
            found_mm += sum(_to_hole_mm(fit, laid, body) for body in (one, other) if body)
    return found_mm


def _to_hole_mm(fit: Fit, laid: RoutedRun, body: Standing) -> int:
    """From the edge of a body to the hole by which the run leaves its bay."""
    bay, ways = body.board.bay, [way.name for way in laid.ways] or [""]
    way = {laid.run.end: ways[-1], laid.run.start: ways[0]}.get(bay, "")
    return _along_faces_mm(fit, bay, _patch(fit, body), faces.hole(fit.case, bay, way))


def _along_faces_mm(fit: Fit, bay: str, one: Patch | None, other: Patch | None) -> int:
    """0 where one of them is not surveyed."""
    return ceil(between_patches_mm(size=fit.case.bay_of[bay].inside, one=one, other=other)) if one and other else 0


def _patch(fit: Fit, body: Standing) -> Patch | None:
    at = body.rect
    return faces.patch(fit.case, body.board.place, (at.x0, at.x1), (at.y0, at.y1))


def on_two_boards(fit: Fit, laid: RoutedRun) -> bool:
    """Whether it goes from board to board of a bay: for that the bay's allowance is taken."""
    return any(one.board.place != other.board.place for pairs in _legs(fit, laid) for one, other in pairs)


def between_mm(fit: Fit, one: Standing, other: Standing) -> int:
    """From edge to edge along the sides of their board; between two boards of a bay, the bay's cable allowance [mm]."""
    if one.board.place == other.board.place:
        return one.rect.around_corner(other.rect)
    return fit.case.bay_of[one.board.bay].cable_allowance_mm


def _legs(fit: Fit, laid: RoutedRun) -> Iterator[list[tuple[Standing, Standing]]]:
    """For each way that its cores may go: the neighbours on it that stand in one bay."""
    wanted, bodies = required_runs(fit).get(laid.run.name), standing_in(fit)
    for chain in _chains(fit, laid, wanted) if wanted else ():
        there = [bodies[slot] for slot in chain if slot in bodies]
        yield [(one, other) for one, other in pairwise(there) if one.board.bay == other.board.bay]


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
