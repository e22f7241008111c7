"""Why a case has no build, and the least that gives it one."""

from dataclasses import dataclass, field, replace
from typing import Literal

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asked import Asked, asked_of
from optimiser.explaining.asker import AnswersClash, Open
from optimiser.explaining.case_conflict import Found, Reason, conflict_in
from optimiser.explaining.causes import Cause, causes_of, several
from optimiser.explaining.conflict import minimal_conflict
from optimiser.explaining.core import Core, core_of
from optimiser.explaining.elastic import NearestBrief, nearest_brief
from optimiser.explaining.least import Change, Tried, least_changes, tried_values
from optimiser.explaining.nearest import LeastBudget, Nearest, halved, least_budget, solved_for
from optimiser.explaining.subject import Asking, Budget, Solver, by_name

Beneath = Literal["none", "some", "unknown"]

_FOR_BRIEF, _FOR_CAUSES, _FOR_CONFLICT, _FOR_CORE = 0.3, 0.8, 0.6, 0.4  # shares of the time
FURTHER = 3  # conflicts looked for beneath the first


@dataclass(frozen=True)
class Why:
    """Why there is no build.

    ``reasons`` cannot hold together with what is not negotiable: proven. ``minimal``: proven that none is too many;
    ``smallest``: that no conflict has fewer. ``doubtful`` may be too many. ``changes`` make the case possible.
    ``nearest``: how near to what was asked limits can stay that are enough to give up alone.
    ``together`` are sets that are enough to give up, if all of one is. ``further`` conflicts share nothing with this
    one; ``beneath``: whether others are known to be left when this one is mended, by giving up all of it.

    ``brief``: the nearest one that has a build, with every cause mended, if one was found in time. ``causes``: of a
    brief that mends several, each told by itself; nothing else is then looked for. ``least_budget``: that works, with
    all else met, or with what else the brief moves. ``asked``: of each scenario and place, and what it can have.

    Without reasons and causes, ``core`` is what makers and rules set that cannot hold together. ``tried`` are the
    values that feed such limits.
    """

    negotiable: int  # requirements that could have been named
    reasons: tuple[Reason, ...] = ()
    minimal: bool = False
    smallest: bool = False
    doubtful: tuple[str, ...] = ()
    changes: tuple[Change, ...] = ()
    nearest: tuple[Nearest, ...] = ()
    core: Core | None = None
    tried: Tried = field(default_factory=Tried)
    together: tuple[tuple[str, ...], ...] = ()
    further: tuple[tuple[str, ...], ...] = ()
    beneath: Beneath = "none"
    brief: NearestBrief | None = None
    causes: tuple[Cause, ...] = ()
    least_budget: LeastBudget | None = None
    asked: Asked = field(default_factory=Asked)


def why_impossible(case: Case, catalogue: Catalogue, names: tuple[str, ...], solver: Solver, budget: Budget) -> Why:
    """Explain a case that was found impossible.

    Parameters
    ----------
    names : its negotiable requirements.
    budget : how long to go on; a good half of it for the conflict, the rest for the changes.
    """
    brief = nearest_brief(case, catalogue, names, solver, budget.share(_FOR_BRIEF))
    asked = asked_of(case, catalogue, names, brief, solver, budget)
    # One value that feeds limits of makers and rules is less to move than several, though no requirement is.
    if (
        brief
        and several(case, catalogue, names, brief, solver, budget.share(_FOR_BRIEF))
        and not tried_values(case, catalogue, solver, budget.share(_FOR_BRIEF)).changes
    ):
        causes = causes_of(case, catalogue, names, brief, solver, budget.share(_FOR_CAUSES))
        cheapest = least_budget(case, catalogue, brief, solver, budget)
        return Why(len(names), brief=brief, causes=causes, least_budget=cheapest, asked=asked)
    return replace(_one_cause(case, catalogue, names, brief, solver, budget), asked=asked)


def _one_cause(
    case: Case,
    catalogue: Catalogue,
    names: tuple[str, ...],
    brief: NearestBrief | None,
    solver: Solver,
    budget: Budget,
) -> Why:
    """A conflict of the case as it stands, and what mends it."""
    ours = budget.share(_FOR_CONFLICT)
    asking = Asking(case, catalogue, by_name(names), solver, ours)
    if brief:
        asking.offer(brief.build)
    found = conflict_in(asking, ours)
    corrections = found.all_corrections(ours)
    eased = [
        (tuple(place for name in gone for place in (found.places(name) or found.asking.units[name])[:1]), build)
        for gone in corrections
        if (build := found.asking.build_without(gone))
    ]
    kept, reasons = frozenset(found.conflict.names), found.reasons
    nothing_helps = not kept
    core = core_of(case, catalogue, names, solver, budget.share(_FOR_CORE)) if nothing_helps else None
    alone = [place for r in reasons if r.alone for place in (r.places or found.asking.units[r.name])]
    solved = [pair for name in alone if (pair := solved_for(case, catalogue, name, solver, budget))]
    known = [change for _, change in solved if change]
    cheapest = next((LeastBudget(near) for near, _ in solved if near.name == "money.budget"), None)
    if brief and not cheapest:
        cheapest = least_budget(case, catalogue, brief, solver, budget)
    changes = tuple(least_changes(case, catalogue, eased, solver, budget, known))
    stepped = [change for change in changes if len(change.levers) == 1 and change not in known]
    last = [near for change in stepped if (near := halved(case, catalogue, change, solver, budget))]
    tried = tried_values(case, catalogue, solver, budget, besides=changes)
    together = tuple(gone for gone in corrections if len(gone) > 1)
    further, beneath = _beneath(found, budget) if kept else ((), "none")
    return Why(
        negotiable=len(names),
        reasons=reasons,
        minimal=found.conflict.minimal,
        smallest=found.conflict.smallest,
        doubtful=found.conflict.undecided,
        changes=(*changes, *tried.changes),
        nearest=(*(near for near, _ in solved), *last),
        core=core,
        tried=tried,
        together=together,
        further=further,
        beneath=beneath,
        brief=brief,
        least_budget=cheapest,
    )


def _beneath(found: Found, budget: Budget) -> tuple[tuple[tuple[str, ...], ...], Beneath]:
    """Conflicts that are left when one is mended, each sharing nothing with those before; and whether there are any.

    If one of its requirements is enough to give up, there is none; otherwise all of it is given up at once.
    """
    names, asker = found.asking.names, found.asker
    if any(found.alone(name) for name in found.conflict.names):
        return (), "none"
    left = [name for name in names if name not in found.conflict.names]
    further: list[tuple[str, ...]] = []
    while left and budget.go_on() and len(further) < FURTHER:
        try:
            conflict = minimal_conflict(left, asker)
        except AnswersClash:  # as in `conflict_in`
            break
        if conflict is None:
            return tuple(further), "some" if further else "none"
        if isinstance(conflict, Open):
            break
        further.append(conflict.names)
        left = [name for name in left if name not in conflict.names]
    return tuple(further), "some" if further else "unknown"
