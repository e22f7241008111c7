"""How near to what was asked a limit can stay with all else met: solved for, rather than tried in steps."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.easing import base_of
from optimiser.explaining.elastic import NearestBrief
from optimiser.explaining.least import Change, changed_to
from optimiser.explaining.subject import Active, Budget, Solver
from optimiser.measures import MEASURES, Measure
from optimiser.moves import Lever, Move, MoveProblem, levers, moved, steps
from optimiser.solve import Impossible, Solved
from optimiser.units import at_least, at_most

_MEASURED: Mapping[str, Measure] = {
    "money.budget": "cost",
    "mass.payload": "mass",
    "energy.autonomy": "days_without_sun",
}
"""Limits on a measure of the whole build: the best of that measure, without the limit, is the nearest that works."""

_HALVED: Mapping[str, int] = {
    **dict.fromkeys(("mass.hitch_high", "mass.hitch_low"), 10),
    **{"size.mains_charge": 10, "size.solar": 1, "size.bank": 1, "size.inverter": 1},
}
"""Limits whose last step is halved down to such a part of a unit: no measure of a whole build is their optimum."""

_BUDGET = "limits.budget"
_SHARE = 0.3  # of the time that is left, for each


@dataclass(frozen=True)
class Nearest:
    """The value of a limit that works and is nearest to what was asked, all else held; in parts of a unit.

    ``works``: a build was found and audited that holds it, if any was. ``bound``: nothing nearer works, proven.
    """

    name: str
    lever: Lever
    works: int | None
    bound: int
    scale: int  # parts of a unit

    @property
    def exact(self) -> bool:
        """Whether what works is proven to be the nearest that does."""
        return self.works == self.bound

    def value(self, parts: int) -> str:
        """Parts of a unit as a number."""
        return f"{parts / self.scale:.{len(str(self.scale)) - 1}f}"


def solved_for(
    case: Case, catalogue: Catalogue, name: str, solver: Solver, budget: Budget
) -> tuple[Nearest, Change | None] | None:
    """The nearest value of a limit that is enough to give up alone, if it is one on a measure.

    And the change to it in steps of the limit, the least that is enough, where it is proven to be the nearest.
    """
    measure = _MEASURED.get(base_of(name))
    lever = next((lever for lever in levers(case, catalogue, name) if lever.act and lever.step), None)
    if measure is None or lever is None or not budget.go_on():
        return None
    scale, seconds = MEASURES[measure], budget.share(_SHARE).left_s()
    outcome = solver.utmost(case, catalogue, measure, active=_all_but(name), seconds=seconds)
    if isinstance(outcome, Impossible):
        return None  # the model rounds to the safe side, and refuses what the audit just lets pass
    works = outcome.figures[measure] if outcome.build else None
    known = works if isinstance(outcome, Solved) else scale.figure(outcome.bound)
    assert known is not None  # what is solved has a build
    nearest = Nearest(name, lever, works, _beyond(_asked(case, lever), known, lever, scale.per_unit), scale.per_unit)
    if not isinstance(outcome, Solved):
        return nearest, None
    count = _steps_to(case, nearest)
    try:
        move = moved(case, catalogue, steps(lever, count))
    except MoveProblem:
        return nearest, None  # what is left to the end of its range is less than a step
    return nearest, changed_to((move,), (lever,), outcome.build, count=count, least=True)


@dataclass(frozen=True)
class LeastBudget:
    """The least budget that works with all else met, or with ``others`` moved, so many, as the nearest brief does."""

    near: Nearest
    others: int = 0


def least_budget(
    case: Case, catalogue: Catalogue, brief: NearestBrief, solver: Solver, budget: Budget
) -> LeastBudget | None:
    """The least budget that works with all else that a brief eases moved; None if it eases none, or nothing is known.

    That no less works is proven where the budget is all that is eased, since the case itself is impossible, or where
    the cheapest build is known.
    """
    others = [eased for eased in brief.eased if eased.lever.address != _BUDGET]
    if len(others) == len(brief.eased):
        return None
    try:
        for eased in others:
            move = moved(case, catalogue, steps(eased.lever, eased.count))
            case, catalogue = move.case, move.catalogue
    except MoveProblem:
        return None  # no vehicle may have these without the budget
    found = solved_for(case, catalogue, "money.budget", solver, budget)
    return LeastBudget(found[0], len(others)) if found and (found[0].exact or not others) else None


def halved(case: Case, catalogue: Catalogue, change: Change, solver: Solver, budget: Budget) -> Nearest | None:
    """The last step of a proven least change, halved until what works and what does not are a part apart."""
    (lever,), (count,) = change.levers, change.counts
    name = next((name for name in _HALVED if lever in levers(case, catalogue, name)), None)
    if name is None or not change.least or lever.step is None:
        return None
    scale, asked = _HALVED[name], _asked(case, lever)
    sign = 1 if lever.step > 0 else -1
    easier, harder = (at_least, at_most) if lever.step > 0 else (at_most, at_least)
    works = easier(asked + count * lever.step, scale)
    fails = harder(asked + (count - 1) * lever.step, scale)
    while (works - fails) * sign > 1 and budget.go_on():
        middle = (works + fails) // 2
        to = moved(case, catalogue, Move(lever.address, f"={middle / scale}"))
        outcome = solver.any_build(to.case, to.catalogue, lambda _: True, None)
        if isinstance(outcome, Solved):
            works = middle
        elif isinstance(outcome, Impossible):
            fails = middle
        else:
            break
    return Nearest(name, lever, works, fails + sign, scale)


def _all_but(name: str) -> Active:
    return lambda other: other != name


def _asked(case: Case, lever: Lever) -> float:
    table, _, column = lever.address.partition(".")
    return float(getattr(getattr(case.brief, table), column))


def _beyond(asked: float, bound: int, lever: Lever, scale: int) -> int:
    """The bound, or the first part beyond what was asked, which is proven not to work."""
    assert lever.step is not None
    return max(bound, at_most(asked, scale) + 1) if lever.step > 0 else min(bound, at_least(asked, scale) - 1)


def _steps_to(case: Case, nearest: Nearest) -> int:
    """As many steps as reach it."""
    assert nearest.works is not None and nearest.lever.step is not None
    far = nearest.works / nearest.scale - _asked(case, nearest.lever)
    return max(1, ceil(far / nearest.lever.step - 1e-9))
