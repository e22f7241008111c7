"""What an impossible case has to give up, as far as a moment shows it: before it is explained.

The nearest brief says most, where one is found in the moment; else a few questions say what a build has to miss. Where
that is nothing that may be given up, values without a ladder are moved, if the moment lasts.
"""

from dataclasses import dataclass, replace

from optimiser.auditing import Finding
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import AnswersClash, Fails, Holds
from optimiser.explaining.conflict import within
from optimiser.explaining.elastic import NearestBrief, beyond_ladders, nearest_brief
from optimiser.explaining.nearest import LeastBudget, least_budget, solved_for
from optimiser.explaining.subject import Asking, Budget, Solver, by_name

_ALONE = ("money.budget", "mass.payload", "energy.autonomy", "inverter.present")  # what such cases turn on as a rule
_FOR_BRIEF = 0.8  # of the moment: its model and first build take seconds, and it says most
_FAMILIES = ("money", "mass", "energy", "inverter", "charge", "size")  # or several of these together


@dataclass(frozen=True)
class Glance:
    """``missed``: all that a build misses which was found and audited. ``minimal``: proven that less is not enough.

    ``in_vain``: sets of requirements proven not to be enough to give up, even all of one together. ``brief``: the
    nearest that has a build; nothing else was asked then. ``least_budget``: that works, with all else met, or with what
    else the brief moves. ``refused``: a fault of the program.
    """

    missed: tuple[Finding, ...] = ()
    minimal: bool = False
    in_vain: tuple[tuple[str, ...], ...] = ()
    brief: NearestBrief | None = None
    least_budget: LeastBudget | None = None
    refused: tuple[Finding, ...] = ()


def nearest_or_missed(
    case: Case, catalogue: Catalogue, names: tuple[str, ...], solver: Solver, budget: Budget
) -> Glance:
    """The nearest brief where the moment shows one, else what a build misses; and the least budget, if that is it."""
    brief = nearest_brief(case, catalogue, names, solver, budget.share(_FOR_BRIEF), others=False)
    if brief:
        return Glance(brief=brief, least_budget=least_budget(case, catalogue, brief, solver, budget))
    seen = at_a_glance(case, catalogue, names, solver, budget)
    if not seen.missed and budget.go_on():
        brief = beyond_ladders(case, catalogue, names, solver, budget)
        return replace(
            seen, brief=brief, least_budget=least_budget(case, catalogue, brief, solver, budget) if brief else None
        )
    if [finding.requirement for finding in seen.missed] != ["money.budget"]:
        return seen
    found = solved_for(case, catalogue, "money.budget", solver, budget)
    return replace(seen, least_budget=LeastBudget(found[0]) if found else None)


def at_a_glance(case: Case, catalogue: Catalogue, names: tuple[str, ...], solver: Solver, budget: Budget) -> Glance:
    """Of the negotiable requirements ``names``, one to give up, else a few."""
    asking = Asking(case, catalogue, by_name(names), solver, budget)
    try:
        return _looked(asking)
    except AnswersClash:  # as in `case_conflict.conflict_in`
        asking.plain = True
        return _looked(asking)


def _looked(asking: Asking) -> Glance:
    asker, everything = asking.asker(), frozenset(asking.names)
    alone = (name for name in _ALONE if name in everything)
    one = next((name for name in alone if isinstance(asker(everything - {name}), Holds)), None)
    if one:
        gone = frozenset({one})
    else:
        few = [name for family in _FAMILIES for name in asking.names if name.partition(".")[0] == family]
        [gone] = asker.run(within(few, asking.names))
    kept = everything - gone
    return Glance(
        missed=tuple(f for name in asking.names if name in gone and (f := asking.missing(name, kept))),
        minimal=bool(gone) and all(isinstance(asker.recall(kept | {name}), Fails) for name in gone),
        in_vain=tuple(tuple(n for n in asking.names if n not in core) for core in asker.cores if core < everything),
    )
