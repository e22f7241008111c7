"""Values that the model has no ladder for: which of them are moved beside those that it has, and how far.

Most only leave more room the further they are moved: a longer board, a smaller hatch, a load left out. They are moved
at once, and then put back as far as the build that was found allows. Others cut both ways: a larger inlet feeds a
charger and wants a larger breaker, a load at another hour may be too much then. At once they would be in each other's
way, so each is an attempt, beside all the room there is. Where one attempt is not enough, a conflict that is left says
which ones are worth a try.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from optimiser.auditing import audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.eased import Eased, Elastic, NearestBrief
from optimiser.explaining.easing import FAR, base_of
from optimiser.explaining.subject import CLAIMS, side_by_side
from optimiser.moves import WORD_WEIGHS, Lever, Moved, MoveProblem, attempts, easings, levers, moved, steps
from optimiser.solve import Impossible, Outcome, Solved

_KINDS = (
    ("zone", "obstacle", "limits"),
    ("scenario", "load", "load_span"),
    ("bay", "board", "way"),
)  # tables of values
_ROUNDS = 6  # attempts made one beside the other
_WORTH = 3  # of those that mend a conflict, looked at further where none is enough
# Weather gives way to nobody, and a longer allowance is only more cable.
_NOBODY_S = re.compile(r"place\..+|bay\..+\.cable_allowance_mm")
_BOTH_WAYS = re.compile(
    r"(inlet|alternator|circuit)\..+|limits\.bay_air_max_c|bay\..+\.air|load(_span)?\..+_h|scenario\..+\.start_pct"
    r"|obstacle\..+\.[xy]_mm"
)
Other = tuple[Lever, int]  # a value that has no ladder in the model, and how many steps it is moved by
_T = TypeVar("_T")
Together = tuple[Other, ...]  # values moved as one attempt


@dataclass
class Others(Elastic):
    """The search, where no ladder leads to a build."""

    def brief(self) -> NearestBrief | None:
        """What only leaves more room, one kind after the other, then all of it; else attempts beside it."""
        room = self.room()
        for kind in (*_KINDS, ()):
            some = [pair for pair in room if not kind or pair[0].address.partition(".")[0] in kind]
            outcome = self._any(some) if some and self.budget.go_on() else None
            if isinstance(outcome, Solved):
                return self._put_back(some, outcome)
        return self._attempted(room, (), self.attempts(room), _ROUNDS) if self.budget.go_on() else None

    # --- which values there are -------------------------------------------------------------------------

    def room(self) -> list[Other]:
        """Each value that leaves more room, by one lever, by as many steps as the vehicle can have."""
        first = {lever.address: lever for lever in reversed(self._levers()) if not _BOTH_WAYS.fullmatch(lever.address)}
        found = []
        for lever in first.values():
            for count in FAR if lever.step is not None else (1,):
                if self.with_moved([(lever, count)])[2]:
                    found.append((lever, count))
                    break
        return found

    def attempts(self, room: Sequence[Other]) -> list[Together]:
        """What cuts both ways, the least to move first."""
        known, laddered = {(lever.address, lever.to) for lever, _ in room}, self._laddered()
        stepped = [lever for lever in self._levers() if _BOTH_WAYS.fullmatch(lever.address)]
        found: list[Together] = [
            ((lever, count),) for lever in stepped for count in (FAR[::-1] if lever.step is not None else (1,))
        ]
        for attempt in attempts(self.case, self.catalogue):
            new = not all((lever.address, lever.to) in known for lever in attempt)
            if new and not any(lever.address in laddered or _NOBODY_S.fullmatch(lever.address) for lever in attempt):
                found.append(tuple((lever, 1) for lever in attempt))
        whole = [some for some in dict.fromkeys(found) if len(self.with_moved(some)[2]) == len(some)]
        return sorted(whole, key=lambda some: sum(map(weight_of, some)))

    def _levers(self) -> list[Lever]:
        laddered = self._laddered()
        ours = [lever for name in self.names for lever in levers(self.case, self.catalogue, name)]
        ours += [lever for attempt in easings(self.case) for lever in attempt]
        kept = [lever for lever in ours if lever.act and not _NOBODY_S.fullmatch(lever.address)]
        return [lever for lever in kept if lever.address not in laddered]

    def _laddered(self) -> set[str]:
        return {ladder.address for ladder in self.ladders(self.case, self.catalogue)}

    # --- attempts beside all the room there is ------------------------------------------------------------

    def _attempted(
        self, room: list[Other], made: Together, left: Sequence[Together], rounds: int
    ) -> NearestBrief | None:
        """One attempt more beside those ``made``; where none is enough, one that mends what conflicts, and so on."""
        for attempt in left:
            outcome = self._any([*made, *attempt, *room]) if self.budget.go_on() else None
            if isinstance(outcome, Solved):
                return self._put_back([*made, *attempt, *room], outcome)
        for attempt in self._that_mend(room, made, left)[:_WORTH] if rounds > 1 else ():
            touched = {lever.address for lever, _ in attempt}
            others = [some for some in left if touched.isdisjoint(lever.address for lever, _ in some)]
            if self.budget.go_on() and (found := self._attempted(room, (*made, *attempt), others, rounds - 1)):
                return found
        return None

    def _that_mend(self, room: Sequence[Other], made: Together, left: Sequence[Together]) -> list[Together]:
        """Attempts beside which a conflict has a build, that has none with all the room there is."""
        names = list(dict.fromkeys(map(base_of, self.names)))

        def impossible(kept: Sequence[str], attempt: Together = ()) -> bool:
            """As far as a question tells: that these cannot hold together with all that is not negotiable."""
            given_up = {name for name in self.names if base_of(name) not in kept}
            return self.budget.go_on() and isinstance(self._any([*made, *attempt, *room], given_up), Impossible)

        kept = _fewest(names, impossible)
        if not self.budget.go_on():
            return []
        mended = side_by_side(lambda attempt: not impossible(kept, attempt), left)
        return [attempt for attempt, yes in zip(left, mended, strict=True) if yes and self.budget.go_on()]

    # --- no more of it than there is use for --------------------------------------------------------------

    def _put_back(self, others: list[Other], outcome: Solved) -> NearestBrief | None:
        case = self.case
        for ladder, rung in outcome.eased:
            case = ladder.put(case, rung)

        def enough(some: Sequence[Other]) -> bool:
            """Whether the build holds with only these moved."""
            to, catalogue, made = self.with_moved(some, case)
            return len(made) == len(some) and not _broken(to, catalogue, outcome.build)

        can = [pair for pair, made in zip(others, self._each(others), strict=True) if made]
        kept = _fewest(can, enough)
        for lever, most in sorted(kept, key=lambda pair: pair[0].step is not None):  # words weigh most
            kept = self._less(kept, lever, most)
        to, catalogue, _ = self.with_moved(kept)
        return self.told_of(kept, self.solved(to, catalogue))

    def told_of(self, kept: Sequence[Other], outcome: Outcome) -> NearestBrief | None:
        """The brief with these moved, and what the solver found to ease beside them."""
        case, catalogue, made = self.with_moved(kept)
        if len(made) < len(kept):
            return None
        before = tuple(
            Eased(lever, count, weight_of((lever, count)), move)
            for (lever, count), move in zip(kept, made, strict=True)
        )
        return self.told(case, catalogue, outcome, before)

    def _each(self, others: Sequence[Other]) -> list[bool]:
        """Of values moved one after the other, which can be."""
        case, catalogue, found = self.case, self.catalogue, list[bool]()
        for pair in others:
            case, catalogue, made = self.with_moved([pair], case, catalogue)
            found.append(bool(made))
        return found

    def _less(self, kept: list[Other], lever: Lever, most: int) -> list[Other]:
        """With one of them moved by as few steps as are enough beside the rest; none at all if that is."""
        k, low, high = kept.index((lever, most)), -1, most
        while high - low > 1 and self.budget.go_on():
            middle = 0 if low < 0 else (low + high) // 2
            some = [*kept[:k], *([(lever, middle)] if middle else []), *kept[k + 1 :]]
            if isinstance(self._any(some), Solved):
                high = middle
            else:
                low = middle
        return [*kept[:k], *([(lever, high)] if high else []), *kept[k + 1 :]]

    def with_moved(
        self, some: Iterable[Other], case: Case | None = None, catalogue: Catalogue | None = None
    ) -> tuple[Case, Catalogue, list[Moved]]:
        """The case with these moved, as far as a vehicle may have them together, and the moves that were made."""
        case, catalogue, made = case or self.case, catalogue or self.catalogue, list[Moved]()
        for lever, count in some:
            try:
                made.append(moved(case, catalogue, steps(lever, count)))
            except MoveProblem:
                continue
            case, catalogue = made[-1].case, made[-1].catalogue
        return case, catalogue, made

    def _any(self, some: Sequence[Other], given_up: Collection[str] = ()) -> Outcome:
        """Any build beside these moved, with ladders as far as they go."""
        case, catalogue, _ = self.with_moved(some)
        ladders = self.ladders(case, catalogue)
        return self.solver.nearest(case, catalogue, ladders, seconds=None, active=lambda name: name not in given_up)


def weight_of(other: Other) -> int:
    """Of so many steps, or of a word."""
    lever, count = other
    return count if lever.step is not None else WORD_WEIGHS


def _broken(case: Case, catalogue: Catalogue, build: Build) -> bool:
    return bool(breaches(f for f in audit(case, catalogue, build) if f.name not in CLAIMS))


def _fewest(names: list[_T], enough: Callable[[Sequence[_T]], bool]) -> list[_T]:
    """Of what is enough, as few as still are: whole halves are left out where that goes."""
    kept, size = list(names), max(1, len(names) // 2)
    while True:
        for k in range(0, len(kept), size):
            fewer = kept[:k] + kept[k + size :]
            if len(fewer) < len(kept) and enough(fewer):
                kept = fewer
        if size == 1:
            return kept
        size = max(1, size // 2)
