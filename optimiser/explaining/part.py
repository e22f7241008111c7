"""Which requirements keep a part out of every build: a conflict of all else, with the part as a fixed wish."""

from dataclasses import dataclass, replace

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.case_conflict import Reason, conflict_in
from optimiser.explaining.core import Core, core_of
from optimiser.explaining.subject import Asking, Budget, Solver, by_name, negotiable
from optimiser.solve import Impossible

_FOR_CONFLICT = 0.7  # share of the time; the rest for the core, where nothing that is negotiable matters


@dataclass(frozen=True)
class KeptOut:
    """What cannot be met together with the wish.

    ``reasons``: requirements that could be eased; of each, what a build makes of it that meets the wish and the others.
    ``minimal``: proven that none is too many, ``smallest``: that no such set has fewer; ``doubtful`` may be too many.

    Without reasons, ``core`` is what makers and rules set that leaves no room for the wish, its names without the wish
    itself: none, if what a build is leaves it none; ``facts`` then say why, as far as that is known. None if it was not
    found in time.
    """

    reasons: tuple[Reason, ...]
    minimal: bool
    smallest: bool
    doubtful: tuple[str, ...]
    core: Core | None
    facts: tuple[str, ...] = ()


def kept_out(
    case: Case,
    catalogue: Catalogue,
    wishes: tuple[str, ...],
    requirements: tuple[str, ...],
    solver: Solver,
    budget: Budget,
) -> KeptOut:
    """Why a case whose ``wishes`` were found impossible, and which is possible without them, cannot have them.

    Parameters
    ----------
    wishes : requirements that are never given up, by their names with their places.
    requirements : all of the case.
    """
    names = tuple(name for name in negotiable(case, catalogue, requirements) if name not in wishes)
    ours = budget.share(_FOR_CONFLICT)
    found = conflict_in(Asking(case, catalogue, by_name(names), solver, ours), ours)
    conflict = found.conflict
    core = None if conflict.names else _core(case, catalogue, wishes, names, solver, budget)
    return KeptOut(found.reasons, conflict.minimal, conflict.smallest, conflict.undecided, core)


def _core(
    case: Case, catalogue: Catalogue, wishes: tuple[str, ...], names: tuple[str, ...], solver: Solver, budget: Budget
) -> Core | None:
    """What makers and rules set, unless what a build is leaves no room for the wish already: that is one question."""
    alone = solver.any_build(case, catalogue, lambda name: name in wishes, None)
    if isinstance(alone, Impossible):
        return Core((), (), minimal=True)
    core = core_of(case, catalogue, names, solver, budget)
    return core and _without(core, wishes)


def _without(core: Core, wishes: tuple[str, ...]) -> Core:
    """The core less what is wished for, which is known to be part of it."""
    others = [pair for pair in zip(core.names, core.missed, strict=True) if pair[0] not in wishes]
    return replace(core, names=tuple(name for name, _ in others), missed=tuple(missed for _, missed in others))
