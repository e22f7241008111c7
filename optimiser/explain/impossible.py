"""Why a case has no build, and the least that gives it one."""

from __future__ import annotations

from dataclasses import dataclass

from optimiser.audit import Finding
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explain.conflict import (
    Asker,
    Conflict,
    Fails,
    Holds,
    conflict_of,
    corrections_within,
    smallest_conflict,
)
from optimiser.explain.least import Change, least_changes
from optimiser.explain.subject import Asking, Budget, Solver

CORRECTIONS = 8  # eased; each may have several levers
_FOR_CONFLICT, _FOR_CORRECTIONS = 0.6, 0.6  # shares of the time


@dataclass(frozen=True)
class Reason:
    """A requirement of a conflict. ``alone``: proven that giving up no more than it makes the case possible.

    ``missed``: what a build makes of it that holds the rest of the conflict, if one is known.
    """

    name: str
    alone: bool
    missed: Finding | None


@dataclass(frozen=True)
class Why:
    """Why there is no build.

    ``reasons`` cannot hold together with what is not negotiable: proven. ``minimal``: proven that none is too many;
    ``smallest``: that no conflict has fewer. ``doubtful`` may be too many. ``changes`` make the case possible.
    """

    reasons: tuple[Reason, ...]
    minimal: bool
    smallest: bool
    doubtful: tuple[str, ...]
    changes: tuple[Change, ...]
    negotiable: int  # requirements that could have been named
    questions: int


def why_impossible(case: Case, catalogue: Catalogue, names: tuple[str, ...], solver: Solver, budget: Budget) -> Why:
    """Explain a case that was found impossible.

    Parameters
    ----------
    names : its negotiable requirements.
    budget : how long to go on; half of it for the conflict, the rest for the changes.
    """
    asking = Asking(case, catalogue, names, solver, budget)
    asker = Asker(asking)
    asker.cores.append(frozenset(names))  # what was found impossible
    conflict = narrowed(names, asker, budget.share(_FOR_CONFLICT))
    eased = [(gone, build) for gone in corrections_of(asker, names) if (build := asking.build_without(gone))]
    changes = tuple(least_changes(case, catalogue, eased[:CORRECTIONS], solver, budget))
    return Why(
        reasons=reasons_of(conflict, asker, asking),
        minimal=conflict.minimal,
        smallest=conflict.smallest,
        doubtful=conflict.undecided,
        changes=changes,
        negotiable=len(names),
        questions=asker.questions,
    )


def narrowed(names: tuple[str, ...], asker: Asker, budget: Budget) -> Conflict:
    """The smallest conflict if that can be proven in time; otherwise one with whole families of names left out.

    It goes from what to give up to what cannot hold together: near the whole case questions are quick, and a proof
    that few requirements conflict is the slowest of all, so that one is asked for last.
    """
    families = _families(names)
    for _ in corrections_within(families, names, asker, go_on=budget.share(_FOR_CORRECTIONS).go_on):
        pass  # the asker remembers
    whole = Conflict(names, minimal=False, smallest=False, undecided=names)
    open_before = len(asker.open)
    conflict = smallest_conflict(
        names, asker, known=whole, go_on=lambda: budget.go_on() and len(asker.open) == open_before
    )
    if conflict.smallest:
        return conflict
    kept, doubtful = frozenset(conflict.names), frozenset(conflict.undecided)
    for family in families:
        fewer = kept - (doubtful & frozenset(family))
        if budget.go_on() and isinstance(answer := asker(fewer), Fails):
            kept = answer.core
    return conflict_of(kept, names, asker)


def _families(names: tuple[str, ...]) -> list[list[str]]:
    """Names by what they speak of: all of the roof, all of the mass."""
    found: dict[str, list[str]] = {}
    for name in names:
        found.setdefault(name.partition(".")[0], []).append(name)
    return list(found.values())


def reasons_of(conflict: Conflict, asker: Asker, asking: Asking) -> tuple[Reason, ...]:
    """The requirements of a conflict that are proven needed."""
    everything, kept = frozenset(asking.names), frozenset(conflict.names)
    return tuple(
        Reason(name, isinstance(asker.recall(everything - {name}), Holds), asking.missing(name, kept - {name}))
        for name in conflict.names
        if name not in conflict.undecided
    )


def corrections_of(asker: Asker, names: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Sets known to be enough to give up, fewest first."""
    gone = [frozenset(names) - held for held in asker.witnesses]
    return sorted((tuple(name for name in names if name in some) for some in gone), key=lambda some: (len(some), some))
