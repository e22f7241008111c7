"""How far a run goes on the boards as they are drawn: what its cut length is held against."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from optimiser.audit import Fit
from optimiser.audit.measuring import currents
from optimiser.audit.standing import Standing, standing
from optimiser.audit.wiring import Laid
from optimiser.schedules.ends import ends_of


class Drawn(NamedTuple):
    """What is drawn of a run."""

    least_mm: int  # ways, and from edge to edge of what it goes by, along the sides of each board
    two_boards: bool  # it goes from board to board in a bay, which adds a distance that nobody surveyed


def drawn_of(fit: Fit, laid: Laid) -> Drawn:
    """The least length that a run needs by the drawings, one way.

    By the fuse row or by the measuring row, whichever is further: a core may pass one of them only. Distances
    within bodies, from a body to where the bay is left, and between boards are unknown and left out.
    """
    # What is fitted comes last: a fixture may have the name of a slot.
    bodies = {body.slot: body for body in reversed(standing(fit))}
    chains = [[bodies[slot] for slot in chain if slot in bodies] for chain in _chains(fit, laid)]
    ways_mm = sum(way.length_mm for way in laid.ways)
    return Drawn(
        ways_mm + max(sum(_apart_mm(*pair) for pair in pairwise(chain)) for chain in chains),
        any(_two_boards(*pair) for chain in chains for pair in pairwise(chain)),
    )


def _chains(fit: Fit, laid: Laid) -> list[list[str]]:
    """Slots that a core of the run goes by, in order."""
    name = laid.run.name
    start, end = (what.what.partition(",")[0] for what in ends_of(fit, laid))
    if name == "main":
        return [[start, "main_fuse", "isolator", end]]
    rows = {"fuse_row": laid.run in fit.row_runs, "measuring_row": name in dict(currents(fit))}
    return [[start, row, end] for row, passed in rows.items() if passed] or [[start, end]]


def _apart_mm(one: Standing, other: Standing) -> int:
    return one.rect.around_corner(other.rect) if one.board.place == other.board.place else 0


def _two_boards(one: Standing, other: Standing) -> bool:
    return one.board.bay == other.board.bay and one.board.place != other.board.place
