"""How far a run goes on the boards as they are drawn, and what its drop is there."""

from collections.abc import Iterator
from itertools import pairwise
from math import inf
from typing import NamedTuple

from optimiser.auditing import Finding
from optimiser.auditing.cables import drop, ends_mm2
from optimiser.fitted import Fit
from optimiser.fitted.currents import currents
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs
from optimiser.parts import Cable
from optimiser.physics.forces import bend_radius_mm
from optimiser.schedules.ends import ends_of
from optimiser.units import at_least

_MM_IN_M = 1000


class DrawnRun(NamedTuple):
    """What is drawn of a run."""

    least_mm: int  # ways, and from edge to edge of what it goes by, along the sides of each board
    two_boards: bool  # it goes from board to board in a bay, which adds a distance that nobody surveyed


def drawn_of(fit: Fit, laid: RoutedRun) -> DrawnRun:
    """The least length that a run needs by the drawings, one way.

    By the fuse row or by the shunt row, whichever is further: a core may pass one of them only. Distances
    within bodies, from a body to where the bay is left, and between boards are unknown and left out.
    """
    bodies = standing_in(fit)
    chains = [[bodies[slot] for slot in chain if slot in bodies] for chain in _chains(fit, laid)]
    ways_mm = sum(way.length_mm for way in laid.ways)
    return DrawnRun(
        ways_mm + max(sum(_apart_mm(*pair) for pair in pairwise(chain)) for chain in chains),
        any(_two_boards(*pair) for chain in chains for pair in pairwise(chain)),
    )


# --- drop ----------------------------------------------------------------------------------------------


def drop_at(fit: Fit, laid: RoutedRun, cable: Cable, length_mm: float) -> Finding | None:
    """What the audit would find of its drop, were the run this cable and this long one way; None if nothing.

    The runs between bank and it are as long as they are cut, or as long as drawn where that is more.
    """
    wanted = required_runs(fit).get(laid.run.name)
    if wanted is None or wanted.kind == "data":
        return None
    before_m = {name: max(run.cut_m, _drawn_m(fit, run)) for name, run in _before(fit, wanted).items()}
    return drop(fit, wanted, cable, length_mm / _MM_IN_M, before_m)


def longer_before(fit: Fit, laid: RoutedRun) -> bool:
    """Whether a run between the bank and this one is drawn longer than it is cut."""
    wanted = required_runs(fit).get(laid.run.name)
    return wanted is not None and any(_drawn_m(fit, run) > run.cut_m for run in _before(fit, wanted).values())


def _before(fit: Fit, wanted: RequiredRun) -> dict[str, RoutedRun]:
    """Name -> runs between the bank and a run, whose drop adds to its own."""
    return {name: run for name, run in routed_runs(fit).items() if name in dict(wanted.behind)}


def _drawn_m(fit: Fit, laid: RoutedRun) -> float:
    return drawn_of(fit, laid).least_mm / _MM_IN_M


def longest_mm(fit: Fit, laid: RoutedRun) -> int | None:
    """The longest whole length one way at which its drop holds; None where none is held, or any length does [mm]."""
    none, a_metre = (drop_at(fit, laid, laid.cable, mm) for mm in (0, _MM_IN_M))
    if none is None or a_metre is None or a_metre.actual <= none.actual:
        return None
    longest = max(0, int(_MM_IN_M * (none.limit - none.actual) / (a_metre.actual - none.actual)))
    beyond = drop_at(fit, laid, laid.cable, longest + 1)  # met exactly, but for the last digits of a float
    return longest + int(beyond is not None and beyond.ok)


def bears(fit: Fit, laid: RoutedRun, length_mm: int) -> Cable | None:
    """The thinnest of the thicker cables that the run's terminals take and whose drop holds at that length."""
    most_mm2 = min(ends_mm2(fit, required_runs(fit)[laid.run.name], laid.fuse), default=inf)
    thicker = [
        cable
        for cable in fit.catalogue.of("cables").values()
        if cable.kind == laid.cable.kind and laid.cable.section_mm2 < cable.section_mm2 <= most_mm2
    ]
    holding = [cable for cable in thicker if (f := drop_at(fit, laid, cable, length_mm)) and f.ok]
    return min(holding, key=lambda cable: cable.section_mm2, default=None)


# --- bodies that a run goes by -------------------------------------------------------------------------


def _chains(fit: Fit, laid: RoutedRun) -> list[list[str]]:
    """Slots that a core of the run goes by, in order."""
    name = laid.run.name
    start, end = (what.what.partition(",")[0] for what in ends_of(fit, laid))
    if name == "main":
        return [[start, "main_fuse", "isolator", end]]
    rows = {"fuse_row": laid.run in fit.row_runs, "shunt_row": name in dict(currents(fit))}
    return [[start, row, end] for row, passed in rows.items() if passed] or [[start, end]]


def _apart_mm(one: Standing, other: Standing) -> int:
    return one.rect.around_corner(other.rect) if one.board.place == other.board.place else 0


def _two_boards(one: Standing, other: Standing) -> bool:
    return one.board.bay == other.board.bay and one.board.place != other.board.place


# --- how tightly a run may be bent, and where there is no room to bend it away from its board: told, held to nothing


def bend_mm(fit: Fit, cable: Cable) -> float:
    """Least radius of a cable, to the inside of its bend. [mm]"""
    return bend_radius_mm(outside_mm=cable.outside_mm, times_outside=fit.case.rules["bend_of_outside"])


def bend_notes(fit: Fit) -> Iterator[str]:
    """What the radius is of, then the ends with too little room before them."""
    figure = fit.case.rules.figures["bend_of_outside"]
    yield (
        f"least bend radius: {figure.value:g} times the outside ({figure.state}), to the inside of the bend, rounded "
        "up; a cable's maker may ask for more. Reported, not checked: where terminals are is in no catalogue."
    )
    tight = [words for laid in routed_runs(fit).values() for words in _tight(fit, laid)]
    if tight:
        yield (
            "Too little room to come off straight away from the board and turn, so lead the end off along the board: "
            f"{'; '.join(tight)}."
        )


def _tight(fit: Fit, laid: RoutedRun) -> Iterator[str]:
    """Ends of a run on bodies that leave less before them than a bend and the cable's own thickness take."""
    takes_mm = at_least(bend_mm(fit, laid.cable) + laid.cable.outside_mm)
    for end in ends_of(fit, laid):
        body = standing_in(fit).get(end.what.partition(",")[0])
        if body and laid.cable.paired and (left_mm := _before_mm(body)) < takes_mm:
            yield f"{laid.run.name} at {body.slot} ({left_mm} mm before it, a bend takes {takes_mm})"


def _before_mm(body: Standing) -> int:
    """Free from a body's face to the end of its board's depth; the clearance it wants is free too."""
    return body.board.depth_mm - body.foot.depth_mm + body.foot.clear_z_mm
