"""Several causes: their conflicts, told one after the other, each with all the others mended.

The nearest brief mends them all. With all of its values moved but one, what is left is the conflict that this one
mends: few causes at a time make small, quick questions, and of each the brief's build is a witness from the start. To
look for a smallest conflict of the whole case takes many times as long, and names a mixture. One with nothing too many
is enough to tell: that no other is smaller takes most of the time, where it has ten names.
"""

from __future__ import annotations

from dataclasses import dataclass

from optimiser.auditing import audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import Fails, Holds
from optimiser.explaining.case_conflict import Reason, conflict_in
from optimiser.explaining.easing import base_of
from optimiser.explaining.elastic import Eased, NearestBrief
from optimiser.explaining.least import with_moved
from optimiser.explaining.subject import Asking, Budget, Solver, by_name, everything, side_by_side
from optimiser.moves import Moved
from optimiser.requirements import REGISTER
from optimiser.solve import Impossible

# Share of the time, and at least so long: of a conflict of ten names the last few are soon not worth the wait.
_FOR_EACH, _FOR_EACH_S = 0.08, 15.0


@dataclass(frozen=True)
class Cause:
    """A value of the nearest brief, and the conflict that is left with all the others moved and this one as asked.

    ``reasons`` cannot hold together there (proven), first what the value gives way to. ``minimal``, ``smallest``,
    ``doubtful``: as of `Why`. Without reasons none was found in time. ``needed``: proven that without it there is no
    build; ``least``: nor with a step less of it.
    """

    eased: Eased
    reasons: tuple[Reason, ...] = ()
    minimal: bool = False
    smallest: bool = False
    doubtful: tuple[str, ...] = ()
    needed: bool = False
    least: bool = False


def several(
    case: Case, catalogue: Catalogue, names: tuple[str, ...], brief: NearestBrief, solver: Solver, budget: Budget
) -> bool:
    """Whether a brief is proven to mend several causes: no single requirement that its build misses, and no wish, is
    enough to give up; but all that is negotiable is, so that it is not what makers and rules set that cannot hold.
    """
    if len(brief.eased) == 1:
        return False
    asking = Asking(case, catalogue, by_name(names), solver, budget)
    asker, asked = asking.asker(), frozenset(asking.names)
    if not isinstance(asker(frozenset()), Holds):
        return False
    missed = [name for finding in brief.missed for name in sorted(asking.names_of(finding))]
    wishes = [name for name in asking.names if REGISTER[base_of(name)].asked_for]
    return all(isinstance(asker(asked - {name}), Fails) for name in dict.fromkeys((*wishes, *missed)))


def causes_of(
    case: Case, catalogue: Catalogue, names: tuple[str, ...], brief: NearestBrief, solver: Solver, budget: Budget
) -> tuple[Cause, ...]:
    """Of each value of a brief; two are looked at side by side.

    Parameters
    ----------
    names : the negotiable requirements of the case.
    """
    each_s = max(_FOR_EACH_S, _FOR_EACH * budget.left_s())

    def cause(eased: Eased) -> Cause:
        others = [(other.lever, other.count) for other in brief.eased if other is not eased]
        left = with_moved(case, catalogue, others)
        if not left or not _impossible(left, solver):
            return Cause(eased)
        ours = budget.at_most(each_s)
        asking = Asking(left[0], left[1], by_name(names), solver, ours)
        asking.offer(brief.build)
        found = conflict_in(asking, ours, smallest=False)
        fewer = with_moved(case, catalogue, [*others, (eased.lever, eased.count - 1)])
        least = eased.count == 1 or (fewer is not None and _impossible(fewer, solver))
        known = found.conflict
        missed = {name for f in breaches(audit(left[0], left[1], brief.build)) for name in asking.names_of(f)}
        reasons = sorted(found.reasons, key=lambda reason: base_of(reason.name) not in map(base_of, missed))
        return Cause(eased, tuple(reasons), known.minimal, known.smallest, known.undecided, True, least)

    return tuple(side_by_side(cause, brief.eased))


def _impossible(to: tuple[Case, Catalogue, tuple[Moved, ...]], solver: Solver) -> bool:
    """Whether it is proven that there is no build."""
    return isinstance(solver.any_build(to[0], to[1], everything, None, alone=False), Impossible)
