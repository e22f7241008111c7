"""The brief nearest to what was asked that has a build: every limit with a value may give way, by least in all.

One solve: each value of brief and survey that the model knows how to ease has a ladder of steps, and their weights are
made small. A step weighs 1, a word of the brief as much as some steps. Only where that leaves no build are limits
without such a ladder looked at: as few as can be are given up first, then a value of each is moved until it holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import Answer, Asker, Fails, Holds, Open
from optimiser.explaining.conflict import within
from optimiser.explaining.easing import base_of, is_definition
from optimiser.explaining.subject import CLAIMS, Budget, Refused, Solver, by_name
from optimiser.moves import WORD_WEIGHS, Ladder, Lever, Moved, MoveProblem, ladders_of, levers, moved, steps
from optimiser.solve import Impossible, Outcome, Solved, Undecided

_FOR_LEAST = 0.7  # of the time, to prove that nothing weighs less
_MOST_ASKED = 32  # steps of a value that has no ladder in the model


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
    others : where no ladder leads to a build, look at limits without one, which takes many questions.
    """
    search = _Search(case, catalogue, tuple(names), solver, budget)
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
    gone: frozenset[str] = field(default=frozenset())

    def active(self, name: str) -> bool:
        """Whether a requirement holds."""
        return name not in self.gone

    def ladders(self, case: Case, catalogue: Catalogue) -> tuple[Ladder, ...]:
        """Of all values that may give way. Of loads, one: what several could give way by is a product."""
        found = [lever for name in self.names for lever in levers(case, catalogue, name) if lever.act]
        on_inverter = [load for load in case.loads if load.circuit in case.circuits_from("inverter")]
        largest = max(on_inverter, key=lambda load: load.watt_w, default=None)
        other = {f"load.{load.name}.watt_w" for load in case.loads if load is not largest}
        return ladders_of(case, catalogue, (lever for lever in found if lever.address not in other))

    def solved(self, case: Case, catalogue: Catalogue) -> Outcome:
        """The least easing, of what is active."""
        seconds = self.budget.share(_FOR_LEAST).left_s()
        return self.solver.nearest(case, catalogue, self.ladders(case, catalogue), active=self.active, seconds=seconds)

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

    # --- limits that the model has no ladder for -----------------------------------------------------------

    def with_others(self) -> NearestBrief | None:
        """As few others as can be given up, then a value of each moved until the solver can do without giving it up."""
        units = self.units()
        others = tuple(units)
        asker = Asker(self._ask)
        asker.cores.append(frozenset(others))
        [gone] = asker.run(within(others, others))
        if not gone:
            return None
        case, catalogue, eased = self.case, self.catalogue, list[Eased]()
        self.gone = frozenset(place for name in gone for place in units[name])
        for name in (name for name in others if name in gone):
            self.gone -= set(units[name])
            if isinstance(self._any(case, catalogue), Solved):
                continue  # what was moved for another is enough
            found = self._moved_for(name, case, catalogue)
            if found is None:
                return None
            eased.append(found)
            case, catalogue = found.move.case, found.move.catalogue
        return self.told(case, catalogue, self.solved(case, catalogue), tuple(eased))

    def units(self) -> dict[str, tuple[str, ...]]:
        """What is given up together: a requirement at all its places. What a build is stays."""
        return by_name(tuple(name for name in self.names if not is_definition(name)))

    def _ask(self, names: frozenset[str]) -> Answer:
        """Whether these hold together, with values eased."""
        if not self.budget.go_on():
            return Open("the time was up")
        units = self.units()
        self.gone = frozenset(place for name, places in units.items() if name not in names for place in places)
        outcome = self._any(self.case, self.catalogue)
        if isinstance(outcome, Solved):
            case = self.case
            for ladder, rung in outcome.eased:
                case = ladder.put(case, rung)
            broken = {base_of(f.requirement) for f in breaches(audit(case, self.catalogue, outcome.build))}
            return Holds(names | {name for name in units if base_of(name) not in broken})
        return Fails(names) if isinstance(outcome, Impossible) else Open(outcome.why)

    def _any(self, case: Case, catalogue: Catalogue) -> Outcome:
        return self.solver.nearest(case, catalogue, self.ladders(case, catalogue), active=self.active, seconds=None)

    def _moved_for(self, name: str, case: Case, catalogue: Catalogue) -> Eased | None:
        """The first value that eases a requirement enough, by as few steps as are."""
        for lever in levers(case, catalogue, name):
            if not lever.act:
                continue
            count, enough = 1, None
            while count <= (_MOST_ASKED if lever.step is not None else 1) and enough is None and self.budget.go_on():
                enough = self._with(lever, count, case, catalogue)
                count *= 2
            if enough is None:
                continue
            low, high = count // 4, count // 2
            while high - low > 1 and self.budget.go_on():
                middle = (low + high) // 2
                found = self._with(lever, middle, case, catalogue)
                low, high, enough = (low, middle, found) if found else (middle, high, enough)
            return enough
        return None

    def _with(self, lever: Lever, count: int, case: Case, catalogue: Catalogue) -> Eased | None:
        """A value moved, if there is a build then."""
        try:
            move = moved(case, catalogue, steps(lever, count))
        except MoveProblem:
            return None
        if not isinstance(self._any(move.case, move.catalogue), Solved):
            return None
        weight = count if lever.step is not None else WORD_WEIGHS
        return Eased(lever, count, weight, move)


def _weight(outcome: Solved | Undecided) -> int:
    """What no brief with a build weighs less than."""
    if isinstance(outcome, Solved):
        return sum(rung.weight for _, rung in outcome.eased)
    return max(0, outcome.bound)
