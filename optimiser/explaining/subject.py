"""What is explained: a case, the requirements that could be given up, and the solver as functions."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from math import inf
from typing import Protocol, TypeVar

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import Answer, Asker, Fails, Holds, Open
from optimiser.explaining.easing import base_of, eased, is_definition, room
from optimiser.measures import Measure
from optimiser.moves import Ladder, levers
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS, Bounds, Impossible, Outcome, Want

_Q = TypeVar("_Q")
_A = TypeVar("_A")
Active = Callable[[str], bool]
Below = tuple[Measure, int]


def everything(name: str) -> bool:
    """Every requirement is active."""
    return True


# A witness that comes nearer to a limit than this share of it may be refused by the model, which rounds to the safe
# side; it is then not said to hold that limit.
_TIGHT = 0.002
_AT_ONCE = 2  # questions side by side: as many as a usual machine has cores to spare


_SEALING = "entry.sealing"  # of the roof's entries, which the brief has no word in
_SIZES, _BY_PLACES = "bay.board", "run.length"  # that of boards, and what follows from where bodies stand on them

CLAIMS = ("claim.cost", "claim.mass")  # what a build says of itself, for another case


class Refused(Exception):
    """The audit refuses what the solver found: a fault of the program."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        super().__init__("; ".join(finding.sentence for finding in breaches(findings)))


class Solver(Protocol):
    """What explanations ask of a solver. Each call has a time limit of its own, and may end `Undecided`."""

    def any_build(
        self,
        case: Case,
        catalogue: Catalogue,
        active: Active,
        below: Below | None,
        *,
        alone: bool = True,
        seconds: float | None = None,
    ) -> Outcome:
        """Whether there is a build that holds the active requirements, and is better than a figure if one is given.

        Not ``alone``: another question is asked at the same time, from another thread. ``seconds`` as of `best`.
        """

    def best(
        self,
        case: Case,
        catalogue: Catalogue,
        want: Want,
        below: Below | None,
        *,
        active: Active = everything,
        seconds: float | None = None,
        first: bool = False,
        again: int = 0,
        work: float = inf,
    ) -> Outcome:
        """The cheapest or lightest build, of those that hold the active requirements and are better than a figure.

        ``seconds`` : time limit, if it is less than what is left of all. ``first``: the first such build will do.
        ``again``: how often it was asked in vain. ``work``: as of `Stop`.
        """

    def at_least(self, case: Case, catalogue: Catalogue, want: Want, *, active: Active, seconds: float) -> int:
        """What builds that hold the active requirements cannot be below, at once and roughly; 0 says nothing."""

    def utmost(self, case: Case, catalogue: Catalogue, measure: Measure, *, active: Active, seconds: float) -> Outcome:
        """The best build in any measure, of those that hold the active requirements."""

    def bounds(self, case: Case, catalogue: Catalogue, given_up: Collection[str], *, seconds: float) -> Bounds:
        """What builds can have at best that may miss some requirements, at once and roughly."""

    def nearest(
        self,
        case: Case,
        catalogue: Catalogue,
        ladders: Sequence[Ladder],
        *,
        seconds: float | None,
        active: Active = everything,
        lighter_than: int | None = None,
    ) -> Outcome:
        """The build for which values are eased by least, as their ladders weigh it; any at all without ``seconds``.

        ``lighter_than`` : what all that is eased weighs less than.
        """


@dataclass(frozen=True)
class Budget:
    """How long to go on, and whether to stop at once."""

    until: float  # of `time.monotonic`
    halted: Callable[[], bool] = lambda: False

    def go_on(self) -> bool:
        """Whether there is time for another question."""
        return not self.halted() and time.monotonic() < self.until

    def left_s(self) -> float:
        """Seconds that are left."""
        return max(0.0, self.until - time.monotonic())

    def at_most(self, seconds: float) -> Budget:
        """No more than so many seconds from now."""
        return Budget(min(self.until, time.monotonic() + seconds), self.halted)

    def share(self, part: float) -> Budget:
        """A part of what is left."""
        return Budget(time.monotonic() + part * self.left_s(), self.halted)


def side_by_side(ask: Callable[[_Q], _A], questions: Iterable[_Q]) -> list[_A]:
    """Answers to questions that do not wait for each other, in their order."""
    with ThreadPoolExecutor(max_workers=_AT_ONCE) as pool:
        return list(pool.map(ask, questions))


def negotiable(case: Case, catalogue: Catalogue, requirements: tuple[str, ...]) -> tuple[str, ...]:
    """Those that brief or survey could ease: what was asked for or measured, and what a value of theirs gives way to.

    What a build is counts where such a value may be moved: it is never given up, see `eased`. The others, of makers
    and rules, are held throughout.
    """
    definitions = [name for name, known in REGISTER.items() if known.is_definition]
    asked = [name for name in requirements if _can_give_way(case, catalogue, name)]
    return (*asked, *(name for name in definitions if room(case, catalogue, name)))


def _can_give_way(case: Case, catalogue: Catalogue, name: str) -> bool:
    theirs = REGISTER[base_of(name)].set_by == "brief and survey" and base_of(name) != _SEALING
    return theirs or any(lever.act for lever in levers(case, catalogue, name))


def by_name(requirements: tuple[str, ...]) -> dict[str, tuple[str, ...]]:
    """Requirements with a place put together under their name: what is asked about first. One alone stays as it is."""
    found: dict[str, tuple[str, ...]] = {}
    for requirement in requirements:
        found[base_of(requirement)] = (*found.get(base_of(requirement), ()), requirement)
    return {ours[0] if len(ours) == 1 else base: ours for base, ours in found.items()}


class Asking:
    """Questions about one case, with the builds that answered them.

    ``units`` are what questions are about: the negotiable requirements, some of them put together.
    ``below`` : a measure and a figure that builds are better than. ``given_up`` is never asked for.
    """

    def __init__(
        self,
        case: Case,
        catalogue: Catalogue,
        units: Mapping[str, tuple[str, ...]],
        solver: Solver,
        budget: Budget,
        below: Below | None = None,
        given_up: Iterable[str] = (),
    ) -> None:
        self.case, self.catalogue, self.units = case, catalogue, units
        self.solver, self.budget, self.below = solver, budget, below
        self.names, self.given_up = tuple(units), frozenset(given_up)
        self.plain = False  # a build says no more than that it holds what was asked
        self.witnesses: list[tuple[Build, tuple[Finding, ...]]] = []
        self._unit = {requirement: unit for unit, ours in units.items() for requirement in ours}
        self._fail_as_it_is = [self._given_up_at_all(self.names)]  # of the case without a value moved

    def asker(self) -> Asker:
        """One that knows that all of it fails, which is why anything is asked, and what the builds known hold."""
        asker = Asker(self, self._side_by_side)
        asker.cores.append(frozenset(self.names))
        for _, findings in () if self.plain else self.witnesses:
            held = frozenset(self.names) - self.near(findings)
            if not any(held <= other for other in asker.witnesses):
                asker.witnesses = [other for other in asker.witnesses if not other <= held] + [held]
        return asker

    def split(self, units: Iterable[str]) -> Asking:
        """The same with some units taken apart; the builds stay known."""
        apart = set(units)
        finer: dict[str, tuple[str, ...]] = {}
        for unit, ours in self.units.items():
            finer |= {requirement: (requirement,) for requirement in ours} if unit in apart else {unit: ours}
        made = Asking(self.case, self.catalogue, finer, self.solver, self.budget, self.below, self.given_up)
        made.witnesses, made.plain = self.witnesses, self.plain
        return made

    def __call__(self, names: frozenset[str]) -> Answer:
        """Whether these hold together, with all that is not negotiable."""
        return self._answer(names, alone=True)

    def _side_by_side(self, questions: Sequence[frozenset[str]]) -> Sequence[Answer]:
        return side_by_side(lambda names: self._answer(names, alone=False), questions)

    def _answer(self, names: frozenset[str], *, alone: bool) -> Answer:
        if not self.budget.go_on():
            return Open("the time was up")

        def active(name: str) -> bool:
            return self._unit[name] in names if name in self._unit else name not in self.given_up

        case, catalogue = eased(self.case, self.catalogue, self.given_up.union(self.names) - names)
        outcome = self._some(case, catalogue, active, alone=alone)
        as_it_is = self._given_up_at_all(names)
        known = any(some <= as_it_is for some in self._fail_as_it_is)
        if isinstance(outcome, Impossible) and case is not self.case and not known:
            case, catalogue = self.case, self.catalogue  # a longer board leaves less wall for vents
            outcome = self._some(case, catalogue, active, alone=alone)
        if isinstance(outcome, Impossible):
            self._fail_as_it_is.append(as_it_is)
            return Fails(names)
        if outcome.build is None:
            return Open(outcome.why)
        findings = self.learn(outcome.build)
        asked = findings if case is self.case else self._audited(case, catalogue, outcome.build)
        wrong = [f for f in breaches(asked) if self.names_of(f) <= names]
        if wrong:
            raise Refused(tuple(wrong))
        return Holds(names if self.plain else names | (frozenset(self.names) - self.near(findings)))

    def _some(self, case: Case, catalogue: Catalogue, active: Active, *, alone: bool) -> Outcome:
        """Any build; one that has to be better than a figure is found soonest on the way to the best."""
        left_s = self.budget.left_s()
        if self.below is None:
            return self.solver.any_build(case, catalogue, active, None, alone=alone, seconds=left_s)
        want = next(want for want, (measure, _) in WANTS.items() if measure == self.below[0])
        return self.solver.best(case, catalogue, want, self.below, active=active, seconds=left_s, first=True)

    @staticmethod
    def _given_up_at_all(names: Iterable[str]) -> frozenset[str]:
        """Without what a build is: that holds in the case as it is, whatever is asked."""
        return frozenset(name for name in names if not is_definition(name))

    def _audited(self, case: Case, catalogue: Catalogue, build: Build) -> tuple[Finding, ...]:
        """What is never asked for is left out, and what follows from it."""
        forgone = {base_of(name) for name in self.given_up}
        if case is self.case and _SIZES in forgone:  # a longer board has its corner elsewhere, and so has what is on it
            forgone.add(_BY_PLACES)
        return tuple(f for f in audit(case, catalogue, build) if f.name not in forgone)

    def learn(self, build: Build) -> tuple[Finding, ...]:
        """Remember a build, whatever it holds."""
        findings = self._audited(self.case, self.catalogue, build)
        self.witnesses.append((build, findings))
        return findings

    def offer(self, build: Build) -> None:
        """Remember a build of a case with values moved, if it misses nothing here but what could be given up."""
        broken = breaches(self._audited(self.case, self.catalogue, build))
        if all(self.names_of(finding) for finding in broken):
            self.learn(build)

    def near(self, findings: tuple[Finding, ...]) -> frozenset[str]:
        """The units that a build breaches, or nearly does."""
        tight = [f for f in findings if self.tight(f)]
        return frozenset(name for f in tight for name in self.names_of(f))

    def tight(self, finding: Finding) -> bool:
        return not finding.ok or 0 < finding.margin < _TIGHT * abs(finding.limit)

    def names_of(self, finding: Finding) -> frozenset[str]:
        """The units that a finding may speak of; none if it is not negotiable.

        Clearance is what the one or the other of two neighbours wants, and a body that sticks out of its board has
        none to the wall it sticks out through. Cables that reach in a vehicle with longer boards may not in this one.
        """
        ours = {finding.requirement} & set(self._unit)
        if finding.name == "bay.clearance" or not ours:
            ours |= {name for name in self._unit if base_of(name) == finding.name}
        if finding.name in ("bay.clearance", _BY_PLACES):
            ours |= {_SIZES} & set(self._unit)
        return frozenset(self._unit[name] for name in ours)

    def missing(self, name: str, others: frozenset[str]) -> Finding | None:
        """What builds that hold the others make of a requirement: of the one that misses it by least."""
        found = []
        for _, findings in self.witnesses:
            broken = [finding for finding in findings if not finding.ok]
            if not any(self.names_of(f) <= others for f in broken if name not in self.names_of(f)):
                found += [f for f in broken if name in self.names_of(f)]
        return max(found, key=lambda finding: finding.margin, default=None)

    def missed_places(self, name: str) -> tuple[str, ...]:
        """The fewest places of a requirement with several, at which a build misses it that misses nothing else.

        Or nearly misses it: the model may refuse what the audit only just lets pass. So it is to be asked.
        """
        ours, found = self.units[name], list[tuple[str, ...]]()
        if len(ours) == 1 or is_definition(name):
            return ()
        for _, findings in self.witnesses:
            if all(name in self.names_of(f) for f in findings if not f.ok):
                tight = {f.requirement for f in findings if self.tight(f)}
                found.append(tuple(place for place in ours if place in tight))
        return min((places for places in found if places), key=len, default=())

    def lacking(self, name: str) -> list[tuple[Build, Finding]]:
        """Where builds that miss nothing else miss a requirement, and by how much: the least of these first."""
        found = []
        for build, findings in self.witnesses:
            broken = [f for f in findings if not f.ok]
            if all(name in self.names_of(f) for f in broken):
                found += [(build, f) for f in broken if f.name == base_of(name)]
        return sorted(found, key=lambda pair: -pair[1].margin)

    def build_without(self, names: tuple[str, ...]) -> Build | None:
        """A build known to hold all but these."""
        for build, findings in self.witnesses:
            if all(self.names_of(f) & set(names) for f in findings if not f.ok):
                return build
        return None

    def best_without(
        self, name: str, measure: Measure, *, sure: bool = False, places: tuple[str, ...] = ()
    ) -> int | None:
        """The best figure of the builds known that hold all but one requirement, or all but some places of it.

        ``sure``: and miss no other for sure. Of a clearance and a board that a body sticks out of, say, it is not sure
        which of them is missed.
        """

        def missed(finding: Finding) -> bool:
            if places:
                return finding.requirement in places
            ours = self.names_of(finding)
            return ours == {name} if sure else name in ours

        figures = [
            build.claim.cost_cents if measure == "cost" else build.claim.mass_g
            for build, findings in self.witnesses
            if all(missed(f) for f in findings if not f.ok)
        ]
        return min((figure for figure in figures if figure is not None), default=None)
