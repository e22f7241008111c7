"""Why a case has no build, and the least that gives it one."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from optimiser.auditing import Finding
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import AnswersClash, Asker, Fails, Holds, Line, Open
from optimiser.explaining.conflict import (
    Conflict,
    climbed,
    conflict_of,
    correction_sets,
    minimal_conflict,
    smallest_conflict,
)
from optimiser.explaining.core import Core, core_of
from optimiser.explaining.easing import base_of
from optimiser.explaining.elastic import NearestBrief, nearest_brief
from optimiser.explaining.least import Change, Tried, least_changes, tried_values
from optimiser.explaining.nearest import LeastBudget, Nearest, halved, least_budget, solved_for
from optimiser.explaining.subject import Asking, Budget, Solver, by_name
from optimiser.requirements import REGISTER, SetBy

Beneath = Literal["none", "some", "unknown"]

CORRECTIONS = 8  # eased; each may have several levers
_FOR_CONFLICT, _FOR_CORRECTIONS = 0.6, 0.8  # shares of the time
_FOR_CORE = 0.4
_FOR_BRIEF = 0.3
_AT_ONCE = 3  # names given up together
FURTHER = 3  # conflicts looked for beneath the first


@dataclass(frozen=True)
class Reason:
    """A requirement of a conflict; without a place, at all its places together.

    ``alone``: proven that giving up no more than it makes the case possible; ``places`` are those of it that are
    proven enough together, without any other place. ``missed``: what a build makes of it that holds the rest of the
    conflict, if known. A definition is not given up: the values behind it are moved.
    """

    name: str
    alone: bool
    places: tuple[str, ...]
    missed: Finding | None

    @property
    def set_by(self) -> SetBy:
        """Whose it is."""
        return REGISTER[base_of(self.name)].set_by


@dataclass(frozen=True)
class Why:
    """Why there is no build.

    ``reasons`` cannot hold together with what is not negotiable: proven. ``minimal``: proven that none is too many;
    ``smallest``: that no conflict has fewer. ``doubtful`` may be too many. ``changes`` make the case possible.
    ``nearest``: how near to what was asked limits can stay that are enough to give up alone.
    ``together`` are sets that are enough to give up, if all of one is. ``further`` conflicts share nothing with this
    one; ``beneath``: whether others are known to be left when this one is mended, by giving up all of it.

    ``brief``: the nearest one that has a build, with every cause mended, if one was found in time. ``least_budget``:
    that works, with all else met, or with what else the brief moves.

    Without reasons, ``core`` is what makers and rules set that cannot hold together. ``tried`` are the values that feed
    such limits.
    """

    reasons: tuple[Reason, ...]
    minimal: bool
    smallest: bool
    doubtful: tuple[str, ...]
    changes: tuple[Change, ...]
    nearest: tuple[Nearest, ...]
    negotiable: int  # requirements that could have been named
    core: Core | None
    tried: Tried
    together: tuple[tuple[str, ...], ...]
    further: tuple[tuple[str, ...], ...]
    beneath: Beneath
    brief: NearestBrief | None = None
    least_budget: LeastBudget | None = None


@dataclass(frozen=True)
class Found:
    """A conflict, with what knows most of it. ``enough``: name -> places proven enough to give up together."""

    conflict: Conflict
    asking: Asking
    asker: Asker
    enough: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def alone(self, name: str) -> bool:
        """Whether giving up no more than this is proven enough."""
        return isinstance(self.asker.recall(frozenset(self.asking.names) - {name}), Holds)

    def places(self, name: str) -> tuple[str, ...]:
        """The places of a requirement that are proven enough together."""
        return self.enough.get(name, ())

    def corrections(self) -> list[tuple[str, ...]]:
        """Sets known to be enough to give up, and proven to have nothing too many; fewest first."""
        everything = frozenset(self.asking.names)
        found = []
        for held in self.asker.witnesses:
            gone = everything - held
            if all(isinstance(self.asker.recall(held | {name}), Fails) for name in gone):
                found.append(tuple(name for name in self.asking.names if name in gone))
        return sorted(found, key=lambda some: (len(some), some))

    def all_corrections(self, budget: Budget) -> list[tuple[str, ...]]:
        """The same, and those that take something of several families; until a question stays open."""
        if not self.conflict.smallest:
            return self.corrections()[:CORRECTIONS]
        open_before = len(self.asker.open)
        found = correction_sets(
            self.asking.names,
            self.asker,
            at_most=CORRECTIONS,
            go_on=lambda: budget.go_on() and len(self.asker.open) == open_before,
        )
        try:
            return [correction.names for correction in found if correction.enough]
        except AnswersClash:  # as in `conflict_in`
            return self.corrections()[:CORRECTIONS]


def why_impossible(case: Case, catalogue: Catalogue, names: tuple[str, ...], solver: Solver, budget: Budget) -> Why:
    """Explain a case that was found impossible.

    Parameters
    ----------
    names : its negotiable requirements.
    budget : how long to go on; a good half of it for the conflict, the rest for the changes.
    """
    brief = nearest_brief(case, catalogue, names, solver, budget.share(_FOR_BRIEF))
    ours = budget.share(_FOR_CONFLICT)
    found = conflict_in(Asking(case, catalogue, by_name(names), solver, ours), ours)
    corrections = found.all_corrections(ours)
    eased = [
        (tuple(place for name in gone for place in (found.places(name) or found.asking.units[name])[:1]), build)
        for gone in corrections
        if (build := found.asking.build_without(gone))
    ]
    kept = frozenset(found.conflict.names)
    reasons = tuple(
        Reason(name, found.alone(name), found.places(name), found.asking.missing(name, kept - {name}))
        for name in found.conflict.names
        if name not in found.conflict.undecided
    )
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
        reasons=reasons,
        minimal=found.conflict.minimal,
        smallest=found.conflict.smallest,
        doubtful=found.conflict.undecided,
        changes=(*changes, *tried.changes),
        nearest=(*(near for near, _ in solved), *last),
        negotiable=len(names),
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


def conflict_in(asking: Asking, budget: Budget) -> Found:
    """A conflict of a case that fails, the smallest if that can be proven in time.

    The model rounds to the safe side, so it may refuse what the audit lets pass. Should the one contradict the other,
    it is all asked again, and a build then only answers for what it was asked to hold.
    """
    try:
        return _conflict_in(asking, budget)
    except AnswersClash:
        asking.plain = True
        return _conflict_in(asking, budget)


def _conflict_in(asking: Asking, budget: Budget) -> Found:
    """The same, once.

    First among requirements whatever their place; then with the place put in where a build was seen to miss no other,
    by one more question: to tell apart places that stand for each other takes long and says little. It goes from what
    to give up to what cannot hold together: near the whole case questions are quick, and a proof that few requirements
    conflict is the slowest of all, so that one is asked for last.
    """
    asker = asking.asker()
    conflict = _narrowed(asking, asker, budget)
    at = {name: places for name in conflict.names if (places := asking.missed_places(name))}
    if not at:
        return Found(conflict, asking, asker)
    apart = asking.split(at)
    again = apart.asker()
    everything = frozenset(apart.names)
    fewest = again.run(*(_fewest(places, everything) for places in at.values()))
    enough = {name: places for name, places in zip(at, fewest, strict=True) if places}
    single = {name: places[0] for name, places in at.items() if len(places) == 1}
    finer = frozenset(single.get(name, name) for name in conflict.names)
    if len(single) == len(at) and conflict.smallest and isinstance(again(finer), Fails):  # of places as many are needed
        return Found(conflict_of(finer, apart.names, again, smallest=True), apart, again)
    return Found(conflict, asking, asker, enough)


def _fewest(places: tuple[str, ...], everything: frozenset[str]) -> Line[tuple[str, ...]]:
    """Of places that are enough to give up together, those that still are, with none too many; none if they are not."""
    if not isinstance((yield everything - frozenset(places)), Holds):
        return ()
    kept = places
    for place in places:
        fewer = tuple(other for other in kept if other != place)
        if fewer and isinstance((yield everything - frozenset(fewer)), Holds):
            kept = fewer
    return kept


def _narrowed(asking: Asking, asker: Asker, budget: Budget) -> Conflict:
    """The smallest conflict, if the last question is decided in time; else one with whole families left out."""
    names, families = asking.names, _families(asking.names)
    climbed(names, asker, go_on=budget.share(_FOR_CORRECTIONS).go_on)  # the asker remembers
    whole = Conflict(names, minimal=False, smallest=False, undecided=names)
    open_before = len(asker.open)
    conflict = smallest_conflict(
        names, asker, known=whole, go_on=lambda: budget.go_on() and len(asker.open) == open_before
    )
    if conflict.smallest:
        return conflict
    kept, doubtful = frozenset(conflict.names), frozenset(conflict.undecided)
    for some in (*families, *([name] for name in names)):  # whole families first, then as far as time goes
        fewer = kept - (doubtful & frozenset(some))
        if fewer != kept and budget.go_on() and isinstance(answer := asker(fewer), Fails):
            kept = answer.core
    return conflict_of(kept, names, asker)


def _families(names: tuple[str, ...]) -> list[list[str]]:
    """Names by what they speak of, a few at a time: the more is given up at once, the slower the question."""
    found: dict[str, list[str]] = {}
    for name in names:
        found.setdefault(name.partition(".")[0], []).append(name)
    return [ours[k : k + _AT_ONCE] for ours in found.values() for k in range(0, len(ours), _AT_ONCE)]
