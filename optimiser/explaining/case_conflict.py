"""A conflict of a case: among requirements first, then at which places; with what is known of each of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from optimiser.auditing import Finding
from optimiser.explaining.asker import AnswersClash, Asker, Fails, Holds, Line
from optimiser.explaining.conflict import Conflict, climbed, conflict_of, correction_sets, smallest_conflict
from optimiser.explaining.easing import base_of
from optimiser.explaining.subject import Asking, Budget
from optimiser.requirements import REGISTER, SetBy

CORRECTIONS = 8  # eased; each may have several levers
_FOR_CORRECTIONS = 0.8  # share of the time
_AT_ONCE = 3  # names given up together


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

    @property
    def reasons(self) -> tuple[Reason, ...]:
        """What is known to belong to it."""
        kept = frozenset(self.conflict.names)
        return tuple(
            Reason(name, self.alone(name), self.places(name), self.asking.missing(name, kept - {name}))
            for name in self.conflict.names
            if name not in self.conflict.undecided
        )

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


def conflict_in(asking: Asking, budget: Budget, *, smallest: bool = True) -> Found:
    """A conflict of a case that fails, the smallest if that can be proven in time; or any with no name too many.

    The model rounds to the safe side, so it may refuse what the audit lets pass. Should the one contradict the other,
    it is all asked again, and a build then only answers for what it was asked to hold.
    """
    try:
        return _conflict_in(asking, budget, smallest)
    except AnswersClash:
        asking.plain = True
        return _conflict_in(asking, budget, smallest)


def _conflict_in(asking: Asking, budget: Budget, smallest: bool) -> Found:
    """The same, once.

    First among requirements whatever their place; then with the place put in where a build was seen to miss no other,
    by one more question: to tell apart places that stand for each other takes long and says little. It goes from what
    to give up to what cannot hold together: near the whole case questions are quick, and a proof that few requirements
    conflict is the slowest of all, so that one is asked for last.
    """
    asker = asking.asker()
    conflict = _narrowed(asking, asker, budget) if smallest else _minimal(asking, asker, budget)
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
    if len(single) == len(at) and conflict.minimal and isinstance(again(finer), Fails):  # of places as many are needed
        return Found(conflict_of(finer, apart.names, again, smallest=conflict.smallest), apart, again)
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


def _minimal(asking: Asking, asker: Asker, budget: Budget) -> Conflict:
    """What fails first on the way up, without what it does not need; where that stays open, as `_narrowed` does."""
    kept = climbed(asking.names, asker, go_on=budget.share(_FOR_CORRECTIONS).go_on)
    if not isinstance(answer := asker.recall(kept), Fails):
        return _narrowed(asking, asker, budget)
    kept = answer.core
    for name in sorted(kept):
        if isinstance(answer := asker(kept - {name}), Fails):
            kept = answer.core
    return conflict_of(kept, asking.names, asker, smallest=len(kept) == 1)


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
