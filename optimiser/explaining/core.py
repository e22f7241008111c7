"""What makers and rules set that leaves no build, whatever brief and survey give up."""

from dataclasses import dataclass

from optimiser.auditing import Finding
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import AnswersClash
from optimiser.explaining.conflict import Conflict, minimal_conflict
from optimiser.explaining.subject import Asking, Budget, Solver, by_name
from optimiser.solve import requirements_of


@dataclass(frozen=True)
class Core:
    """Requirements of makers and rules that cannot hold together; none: what a build is leaves none already.

    ``missed``: what a build makes of each that holds the others, where one was seen. ``minimal``: proven that none is
    too many, each with its place: given up there and nowhere else, the others hold.
    """

    names: tuple[str, ...]
    missed: tuple[Finding | None, ...]
    minimal: bool


def core_of(case: Case, catalogue: Catalogue, given_up: tuple[str, ...], solver: Solver, budget: Budget) -> Core | None:
    """The core of a case that has no build though everything ``given_up`` is; None if it was not found in time."""
    held = tuple(name for name in requirements_of(case, catalogue) if name not in given_up)
    asking = Asking(case, catalogue, by_name(held), solver, budget, given_up=given_up)
    try:
        return _core(asking)
    except AnswersClash:  # the model rounds to the safe side: each build answers for what it was asked to hold
        asking.plain = True
        return _core(asking)


def _core(asking: Asking) -> Core | None:
    """Names first, whatever their places. Then place by place: a build that gives up all places of a name misses it
    wherever that comes cheap, and so does not show where it has to."""
    conflict = minimal_conflict(asking.names, asking.asker())
    if not isinstance(conflict, Conflict):
        return None
    if conflict.minimal:
        places = [place for name in conflict.names for place in asking.units[name]]
        asking = asking.split(conflict.names)
        asker = asking.asker()
        asker.cores.append(frozenset(places))
        apart = minimal_conflict(places, asker)
        assert isinstance(apart, Conflict)  # that all of them fail is known
        conflict = apart
    kept = frozenset(conflict.names)
    missed = tuple(asking.missing(name, kept - {name}) for name in conflict.names)
    return Core(conflict.names, missed, conflict.minimal)
