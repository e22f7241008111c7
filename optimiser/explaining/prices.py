"""What a step of a value changes in the best build: of each value that is the limit of what decides."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil
from typing import Literal

from optimiser.auditing import Finding, audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.easing import FAR, is_definition, room
from optimiser.explaining.subject import CLAIMS, Asking, Budget, Refused, Solver, side_by_side
from optimiser.moves import Lever, Moved, MoveProblem, levers, moved, steps
from optimiser.solve import WANTS, Impossible, Solved, Want


@dataclass(frozen=True)
class Price:
    """What the best build would be with one value moved by its step, everything else as it is.

    ``count``: steps of the lever; below 0 they tighten. ``outcome``: ``proven``, with what the wanted measure changes
    by, in cents or g, and the other one if it was solved for; ``impossible``: proven that there is no build then;
    ``undecided``: it changes by no less than ``bound``, which below 0 is the most that the step can save.
    """

    name: str
    lever: Lever
    move: Moved
    count: int
    outcome: Literal["proven", "impossible", "undecided"]
    wanted: int | None = None
    other: int | None = None
    bound: int | None = None

    @property
    def easing(self) -> bool:
        """Whether it is moved the way that eases."""
        return self.count > 0


@dataclass(frozen=True)
class _Step:
    """One step of a value, and the requirement it is the limit of."""

    name: str
    lever: Lever
    move: Moved
    count: int


@dataclass(frozen=True)
class Pricing:
    """Asks what steps change in the best build. ``places``: of a unit that decides, where it does."""

    asking: Asking
    want: Want
    best: Solved
    solver: Solver
    budget: Budget
    places: Mapping[str, tuple[str, ...]]
    heard: Callable[[Price], None] = lambda _: None

    def of(self, deciders: Iterable[str], doubtful: Iterable[str]) -> tuple[Price, ...]:
        """Both ways, for the value that is the limit of each requirement that decides; each value once.

        A step is less than to give a requirement up, and a quicker question. So where that stayed open, a step that
        eases may still show that the requirement decides; nothing is said of one that does not.
        """
        seen: set[str] = set()
        limits = [name for name in deciders if not is_definition(name)]
        priced = side_by_side(self._price, self._steps(limits, (1, -1), seen))
        hoped = side_by_side(self._price, self._steps(doubtful, (1,), seen))
        roomier = side_by_side(
            self._price, (step for name in deciders if is_definition(name) for step in self._roomier(name, seen))
        )
        return (*priced, *(price for price in (*hoped, *roomier) if price.wanted))

    def _price(self, step: _Step) -> Price:
        found = self._asked(step)
        self.heard(found)
        return found

    def _asked(self, step: _Step) -> Price:
        """What the step changes. Where the best build still stands, only a better one can change anything."""
        unknown = Price(step.name, step.lever, step.move, step.count, "undecided")
        measure = WANTS[self.want][0]
        figure, stands = self.best.figures[measure], not _breaches(step.move, self.best)
        nothing = replace(unknown, outcome="proven", wanted=0)
        if stands and step.count < 0:  # tighter, and still there: nothing can have become better
            return nothing
        if not self.budget.go_on():
            return unknown
        outcome = self.solver.best(
            step.move.case, step.move.catalogue, self.want, (measure, figure) if stands else None
        )
        if isinstance(outcome, Impossible):
            return nothing if stands else replace(unknown, outcome="impossible")
        if not isinstance(outcome, Solved):
            return replace(unknown, bound=max(0, outcome.bound) - figure)
        if broken := _breaches(step.move, outcome):
            raise Refused(broken)
        self.asking.learn(outcome.build)
        cents, grams = outcome.cost_cents - self.best.cost_cents, outcome.mass_g - self.best.mass_g
        wanted, other = (cents, grams) if self.want == "cheapest" else (grams, cents)
        return replace(unknown, outcome="proven", wanted=wanted, other=other)

    def _roomier(self, name: str, seen: set[str]) -> Iterator[_Step]:
        """What a better build lacks for a definition alone: each value that gives way there, moved so far."""
        case, catalogue = self.asking.case, self.asking.catalogue
        for build, finding in self.asking.lacking(name):
            place = next((fitted.board for fitted in build.fitted if fitted.slot == finding.place), "")
            there = (f"board.{place}.", f"bay.{place.partition('.')[0]}.")
            for lever in room(case, catalogue, finding.requirement):
                if not lever.address.startswith(there) or lever.address in seen or lever.step is None:
                    continue
                count = ceil(-finding.margin / lever.step) if finding.unit == lever.unit else FAR[0]
                try:
                    yield _Step(name, lever, moved(case, catalogue, steps(lever, count)), count)
                except MoveProblem:
                    continue  # the survey has no such room
                seen.add(lever.address)

    def _steps(self, names: Iterable[str], counts: tuple[int, ...], seen: set[str]) -> Iterator[_Step]:
        case, catalogue = self.asking.case, self.asking.catalogue
        for name in names:
            of = (*self.places.get(name, ()), *self.asking.units[name])[0]
            lever = _lever(case, catalogue, of, self.best)
            if lever is None or lever.address in seen:
                continue
            seen.add(lever.address)
            for count in counts if lever.step is not None else (1,):
                try:
                    yield _Step(of, lever, moved(case, catalogue, steps(lever, count)), count)
                except MoveProblem:
                    continue  # the value has no such room


def _lever(case: Case, catalogue: Catalogue, requirement: str, best: Solved) -> Lever | None:
    """The value to move: the one that is this requirement's limit in the best build, else the first there is."""

    def limit(case: Case, catalogue: Catalogue) -> float | None:
        found = audit(case, catalogue, best.build)
        return next((f.limit for f in found if f.requirement == requirement), None)

    usable = [lever for lever in levers(case, catalogue, requirement) if lever.act]
    if len(usable) > 1 and (now := limit(case, catalogue)) is not None:
        for lever in usable:
            try:
                move = moved(case, catalogue, steps(lever, 1))
            except MoveProblem:
                continue
            if limit(move.case, move.catalogue) != now:
                return lever
    return usable[0] if usable else None


def _breaches(move: Moved, solved: Solved) -> tuple[Finding, ...]:
    found = breaches(audit(move.case, move.catalogue, solved.build))
    return tuple(finding for finding in found if finding.name not in CLAIMS)
