"""The brief nearest to what was asked that has a build: every limit with a value may give way, by least in all.

One solve: each value of brief and survey that the model knows how to ease has a ladder of steps, and their weights are
made small. A step weighs 1, a word of the brief as much as some steps. Only where that leaves no build are limits
without such a ladder looked at: all values of brief and survey that ease one are moved at once, and then put back
as far as the build that was found allows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.easing import FAR
from optimiser.explaining.subject import CLAIMS, Budget, Refused, Solver
from optimiser.moves import (
    WORD_WEIGHS,
    Ladder,
    Lever,
    Moved,
    MoveProblem,
    easings,
    has_ladder,
    ladders_of,
    levers,
    moved,
    steps,
)
from optimiser.solve import Impossible, Outcome, Solved, Undecided

_FOR_LEAST = 0.7  # of the time, to prove that nothing weighs less; all of it where no other values are looked at
_KINDS = (("zone", "obstacle", "limits"), ("scenario", "load"), ("bay", "board", "way"))  # tables of values
# Weather gives way to nobody; and more of these is not only more room: hotter air, a longer allowance.
_NOT_AT_ONCE = re.compile(r"place\..+|limits\.bay_air_max_c|bay\..+\.cable_allowance_mm")
Other = tuple[Lever, int]  # a value that has no ladder in the model, and how many steps it is moved by


@dataclass(frozen=True)
class Eased:
    """A value moved by so many steps, and what that weighs."""

    lever: Lever
    count: int
    weight: int
    move: Moved


@dataclass(frozen=True)
class NearestBrief:
    """The case with values ``eased``, and an audited build for it.

    ``bound``: nothing that has a ladder, eased by less with all else as asked, has a build (proven); equal to
    ``weight`` where none is nearer. None where values had to be moved that the solver does not weigh so.
    ``missed``: what the build makes of the case as asked.
    """

    eased: tuple[Eased, ...]
    bound: int | None
    case: Case
    catalogue: Catalogue
    build: Build
    findings: tuple[Finding, ...]
    missed: tuple[Finding, ...]

    @property
    def weight(self) -> int:
        """Of all that is eased."""
        return sum(eased.weight for eased in self.eased)

    @property
    def heaviest(self) -> tuple[Eased, ...]:
        """What weighs most first."""
        return tuple(sorted(self.eased, key=lambda eased: -eased.weight))

    @property
    def least(self) -> bool:
        """Whether none is nearer (proven)."""
        return self.bound is not None and self.bound >= self.weight


def nearest_brief(
    case: Case, catalogue: Catalogue, names: Sequence[str], solver: Solver, budget: Budget, *, others: bool = True
) -> NearestBrief | None:
    """The nearest brief of an impossible case, or None if none was found in time.

    Parameters
    ----------
    names : its negotiable requirements.
    others : where no ladder leads to a build, look at values without one, too.
    """
    search = _Search(case, catalogue, tuple(names), solver, budget, _FOR_LEAST if others else 1.0)
    outcome = search.solved(case, catalogue)
    if isinstance(outcome, Impossible):
        return search.with_others() if others else None
    return search.told(case, catalogue, outcome, ())


@dataclass
class _Search:
    case: Case
    catalogue: Catalogue
    names: tuple[str, ...]
    solver: Solver
    budget: Budget
    for_least: float = _FOR_LEAST

    def ladders(self, case: Case, catalogue: Catalogue) -> tuple[Ladder, ...]:
        """Of all values that may give way. Of loads, one: what several could give way by is a product."""
        found = [lever for name in self.names for lever in levers(case, catalogue, name) if lever.act]
        on_inverter = [load for load in case.loads if load.circuit in case.circuits_from("inverter")]
        largest = max(on_inverter, key=lambda load: load.watt_w, default=None)
        other = {f"load.{load.name}.watt_w" for load in case.loads if load is not largest}
        return ladders_of(case, catalogue, (lever for lever in found if lever.address not in other))

    def solved(self, case: Case, catalogue: Catalogue) -> Outcome:
        """The least easing."""
        seconds = self.budget.share(self.for_least).left_s()
        return self.solver.nearest(case, catalogue, self.ladders(case, catalogue), seconds=seconds)

    def told(
        self, case: Case, catalogue: Catalogue, outcome: Outcome, before: tuple[Eased, ...]
    ) -> NearestBrief | None:
        """What the solver found, moved and audited."""
        if isinstance(outcome, Impossible) or outcome.build is None:
            return None
        eased = list(before)
        try:
            for _, rung in outcome.eased:
                assert rung.lever is not None
                move = moved(case, catalogue, steps(rung.lever, rung.count))
                eased.append(Eased(rung.lever, rung.count, rung.weight, move))
                case, catalogue = move.case, move.catalogue
        except MoveProblem:
            return None  # no vehicle may have these values together
        findings = tuple(f for f in audit(case, catalogue, outcome.build) if f.name not in CLAIMS)
        if breaches(findings):
            raise Refused(findings)
        missed = breaches(f for f in audit(self.case, self.catalogue, outcome.build) if f.name not in CLAIMS)
        bound = None if before else _weight(outcome)
        return NearestBrief(tuple(eased), bound, case, catalogue, outcome.build, findings, tuple(missed))

    # --- values that the model has no ladder for ------------------------------------------------------------

    def with_others(self) -> NearestBrief | None:
        """Those of one kind moved as far as is worth a try, else all; then no more than the build found has use for."""
        every = self.others()
        for kind in (*_KINDS, ()):
            others = [pair for pair in every if not kind or pair[0].address.partition(".")[0] in kind]
            outcome = self._any(*self.with_moved(others)[:2]) if others and self.budget.go_on() else None
            if isinstance(outcome, Solved):
                return self._put_back(others, outcome)
        return None

    def _put_back(self, others: list[Other], outcome: Solved) -> NearestBrief | None:
        case = self.case
        for ladder, rung in outcome.eased:
            case = ladder.put(case, rung)

        def enough(some: Sequence[Other]) -> bool:
            """Whether the build holds with only these moved."""
            to, catalogue, made = self.with_moved(some, case)
            return len(made) == len(some) and not _broken(to, catalogue, outcome.build)

        kept = _fewest(others, enough)
        for lever, most in list(kept):
            kept = self._less(kept, lever, most)
        to, catalogue, made = self.with_moved(kept)
        before = tuple(
            Eased(lever, count, count if lever.step is not None else WORD_WEIGHS, move)
            for (lever, count), move in zip(kept, made, strict=True)
        )
        return self.told(to, catalogue, self.solved(to, catalogue), before)

    def _less(self, kept: list[Other], lever: Lever, most: int) -> list[Other]:
        """With one of them moved by as few steps as are enough beside the rest; none at all if that is."""
        k, low, high = kept.index((lever, most)), -1, most
        while high - low > 1 and self.budget.go_on():
            middle = 0 if low < 0 else (low + high) // 2
            some = [*kept[:k], *([(lever, middle)] if middle else []), *kept[k + 1 :]]
            if isinstance(self._any(*self.with_moved(some)[:2]), Solved):
                high = middle
            else:
                low = middle
        return [*kept[:k], *([(lever, high)] if high else []), *kept[k + 1 :]]

    def others(self) -> list[Other]:
        """Each value by one lever, by as many steps as the vehicle has room for."""
        ours = [lever for name in self.names for lever in levers(self.case, self.catalogue, name)]
        ours += [lever for attempt in easings(self.case) for lever in attempt]
        ours = [lever for lever in ours if lever.act and not _NOT_AT_ONCE.fullmatch(lever.address)]
        first = {lever.address: lever for lever in reversed(ours) if not has_ladder(lever.address)}
        found = []
        for lever in first.values():
            for count in FAR if lever.step is not None else (1,):
                if self.with_moved([(lever, count)])[2]:
                    found.append((lever, count))
                    break
        return found

    def with_moved(self, some: Iterable[Other], case: Case | None = None) -> tuple[Case, Catalogue, list[Moved]]:
        """The case with these moved, as far as a vehicle may have them together, and the moves that were made."""
        case, catalogue, made = case or self.case, self.catalogue, list[Moved]()
        for lever, count in some:
            try:
                made.append(moved(case, catalogue, steps(lever, count)))
            except MoveProblem:
                continue
            case, catalogue = made[-1].case, made[-1].catalogue
        return case, catalogue, made

    def _any(self, case: Case, catalogue: Catalogue) -> Outcome:
        return self.solver.nearest(case, catalogue, self.ladders(case, catalogue), seconds=None)


def _broken(case: Case, catalogue: Catalogue, build: Build) -> bool:
    return bool(breaches(f for f in audit(case, catalogue, build) if f.name not in CLAIMS))


def _fewest(names: list[Other], enough: Callable[[Sequence[Other]], bool]) -> list[Other]:
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


def _weight(outcome: Solved | Undecided) -> int:
    """What no brief with a build weighs less than."""
    if isinstance(outcome, Solved):
        return sum(rung.weight for _, rung in outcome.eased)
    return max(0, outcome.bound)
