"""The brief nearest to what was asked that has a build: every limit with a value may give way, by least in all.

One solve: each value of brief and survey that the model knows how to ease has a ladder of steps, and their weights are
made small. A step weighs 1, a word of the brief as much as some steps. Only where that leaves no build are values
without such a ladder looked at (`others.py`), and a nearer one among these (`closer.py`).
"""

from __future__ import annotations

from collections.abc import Sequence

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.closer import closer
from optimiser.explaining.eased import FOR_LEAST, Eased, NearestBrief
from optimiser.explaining.others import Others
from optimiser.explaining.subject import Budget, Solver
from optimiser.solve import Impossible

__all__ = ["Eased", "NearestBrief", "beyond_ladders", "nearest_brief"]


def nearest_brief(
    case: Case, catalogue: Catalogue, names: Sequence[str], solver: Solver, budget: Budget, *, others: bool = True
) -> NearestBrief | None:
    """The nearest brief of an impossible case, or None if none was found in time.

    Parameters
    ----------
    names : its negotiable requirements.
    others : where no ladder leads to a build, look at values without one, too.
    """
    search = Others(case, catalogue, tuple(names), solver, budget, FOR_LEAST if others else 1.0)
    outcome = search.solved(case, catalogue)
    if isinstance(outcome, Impossible):
        found = search.brief() if others else None
        return closer(search, found) if found else None
    return search.told(case, catalogue, outcome, ())


def beyond_ladders(
    case: Case, catalogue: Catalogue, names: Sequence[str], solver: Solver, budget: Budget
) -> NearestBrief | None:
    """A brief where no ladder leads to a build; None where the time ended before what has no use was put back."""
    found = Others(case, catalogue, tuple(names), solver, budget).brief()
    return found if budget.go_on() else None
