"""How far each run goes by the bodies that it joins, as these stand: what its cable has to reach."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from optimiser.basis import paths
from optimiser.fitted.currents import currents
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs

_DATA = {"display": ("shunt_row", "display"), "switch": ("inverter", "switch")}


def reach_mm(fit: Fit, laid: RoutedRun) -> int:
    """What a run's cable has to reach one way: its ways with the allowances at its ends, or as it is drawn [mm]."""
    ways_mm = sum(way.length_mm for way in laid.ways)
    return max(paths.run_length_mm(fit.case, laid.run.start, laid.run.end, ways_mm), drawn_mm(fit, laid))


def drawn_mm(fit: Fit, laid: RoutedRun) -> int:
    """The least that a run needs as it is drawn, one way: its ways, and from edge to edge of what it goes by [mm].

    By the fuse row or by the shunt row, whichever is further: a core may pass one of them only. Left out are distances
    within bodies, and from a body to the hole where the bay is left: for that the bay's allowance counts, even where
    the hole is surveyed and further.
    """
    ways_mm = sum(way.length_mm for way in laid.ways)
    return ways_mm + max((sum(between_mm(fit, *pair) for pair in pairs) for pairs in _legs(fit, laid)), default=0)


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
