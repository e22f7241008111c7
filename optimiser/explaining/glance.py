"""What an impossible case has to give up, as far as a moment shows it: by a few questions, before it is explained."""

from dataclasses import dataclass

from optimiser.auditing import Finding
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import AnswersClash, Fails, Holds
from optimiser.explaining.conflict import within
from optimiser.explaining.subject import Asking, Budget, Solver, by_name

_ALONE = ("money.budget", "mass.payload", "energy.autonomy", "inverter.present")  # what such cases turn on as a rule
_FAMILIES = ("money", "mass", "energy", "inverter", "charge")  # or several of these together


@dataclass(frozen=True)
class Glance:
    """``missed``: all that a build misses which was found and audited. ``minimal``: proven that less is not enough.

    ``in_vain``: sets of requirements proven not to be enough to give up, even all of one together. ``refused``: a fault
    of the program.
    """

    missed: tuple[Finding, ...] = ()
    minimal: bool = False
    in_vain: tuple[tuple[str, ...], ...] = ()
    refused: tuple[Finding, ...] = ()


def at_a_glance(case: Case, catalogue: Catalogue, names: tuple[str, ...], solver: Solver, budget: Budget) -> Glance:
    """Of the negotiable requirements ``names``, one to give up, else a few."""
    asking = Asking(case, catalogue, by_name(names), solver, budget)
    try:
        return _looked(asking)
    except AnswersClash:  # as in `impossible.conflict_in`
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
