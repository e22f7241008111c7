"""What is explained: a case, the requirements that could be given up, and the solver as functions."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from optimiser.audit import Finding, audit, breaches
from optimiser.build import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explain.conflict import Answer, Fails, Holds, Open
from optimiser.measures import Measure
from optimiser.moves import levers
from optimiser.requirements import named
from optimiser.solve import Impossible, Outcome, Solved, Want

Active = Callable[[str], bool]
Below = tuple[Measure, int]

# A witness that comes nearer to a limit than this share of it may be refused by the model, which rounds to the safe
# side; it is then not said to hold that limit.
_TIGHT = 0.002


CLAIMS = ("claim.cost", "claim.mass")  # what a build says of itself, for another case


class Refused(Exception):
    """The audit refuses what the solver found: a fault of the program."""

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        super().__init__("; ".join(finding.sentence for finding in breaches(findings)))


class Solver(Protocol):
    """What explanations ask of a solver. Each call has a time limit of its own, and may end `Undecided`."""

    def any_build(self, case: Case, catalogue: Catalogue, active: Active, below: Below | None) -> Outcome:
        """Whether there is a build that holds the active requirements, and is below a figure if one is given."""

    def best(self, case: Case, catalogue: Catalogue, want: Want) -> Outcome:
        """The cheapest or lightest build."""


@dataclass(frozen=True)
class Budget:
    """How long to go on, and whether to stop at once."""

    until: float  # of `time.monotonic`
    halted: Callable[[], bool] = lambda: False

    def go_on(self) -> bool:
        """Whether there is time for another question."""
        return not self.halted() and time.monotonic() < self.until

    def share(self, part: float) -> Budget:
        """A part of what is left."""
        now = time.monotonic()
        return Budget(now + part * max(0.0, self.until - now), self.halted)


def negotiable(case: Case, catalogue: Catalogue, requirements: tuple[str, ...]) -> tuple[str, ...]:
    """Those that a fitter or customer could ease: something they asked for or measured stands behind them.

    The others, of makers, rules and definitions, are held throughout: nobody is told to give up a fuse.
    """
    return tuple(name for name in requirements if any(lever.act for lever in levers(case, catalogue, name)))


def base_of(name: str) -> str:
    """A requirement's name without its place."""
    return name.partition("[")[0]


class Asking:
    """Questions about one case, with the builds that answered them.

    ``names`` are the negotiable requirements; ``below`` : a measure and a figure that builds are better than.
    """

    def __init__(
        self,
        case: Case,
        catalogue: Catalogue,
        names: tuple[str, ...],
        solver: Solver,
        budget: Budget,
        below: Below | None = None,
    ) -> None:
        self.case, self.catalogue, self.names = case, catalogue, names
        self.solver, self.budget, self.below = solver, budget, below
        self.witnesses: list[tuple[Build, tuple[Finding, ...]]] = []
        self._soft = frozenset(names)

    def __call__(self, names: frozenset[str]) -> Answer:
        """Whether these hold together, with all that is not negotiable."""
        if not self.budget.go_on():
            return Open("the time was up")
        outcome = self.solver.any_build(self.case, self.catalogue, self._active(names), self.below)
        if isinstance(outcome, Impossible):
            return Fails(names)
        if isinstance(outcome, Solved):
            return Holds(names | (self._soft - self._missed(outcome.build, names)))
        return Open(outcome.why)

    def _active(self, names: frozenset[str]) -> Active:
        return lambda name: name in names or name not in self._soft

    def _missed(self, build: Build, held: frozenset[str]) -> frozenset[str]:
        """The requirements that a build breaches, or nearly does, of those it was not asked to hold."""
        findings = audit(self.case, self.catalogue, build)
        wrong = [f for f in breaches(findings) if not self.names_of(f) or self.names_of(f) <= held]
        if wrong:
            raise Refused(tuple(wrong))
        self.witnesses.append((build, findings))
        tight = [f for f in findings if not f.ok or 0 < f.margin < _TIGHT * abs(f.limit)]
        return frozenset(name for f in tight for name in self.names_of(f)) - held

    def names_of(self, finding: Finding) -> frozenset[str]:
        """The negotiable requirements that a finding may speak of.

        The audit knows strings by their array, the model by their regulator. Clearance is what the one or the other
        of two neighbours wants, and a body that sticks out of its board has none to the wall it sticks out through.
        """
        if finding.name == "bay.clearance":
            ours = {name for name in self.names if base_of(name) == finding.name}
            ours.add(named("bay.board", finding.place))
        elif finding.requirement in self._soft:
            ours = {finding.requirement}
        else:
            ours = {name for name in self.names if base_of(name) == finding.name}
        return self._soft & ours

    def missing(self, name: str, others: frozenset[str]) -> Finding | None:
        """What builds that hold the others make of a requirement: of the one that misses it by least."""
        found = []
        for _, findings in self.witnesses:
            broken = [finding for finding in findings if not finding.ok]
            if not any(self.names_of(f) <= others for f in broken if name not in self.names_of(f)):
                found += [f for f in broken if name in self.names_of(f)]
        return max(found, key=lambda finding: finding.margin, default=None)

    def build_without(self, names: tuple[str, ...]) -> Build | None:
        """A build known to hold all but these."""
        for build, findings in self.witnesses:
            if all(self.names_of(f) & set(names) for f in findings if not f.ok):
                return build
        return None

    def best_without(self, name: str, measure: Measure) -> int | None:
        """The best figure of the builds known that hold all but one requirement."""
        figures = [
            build.claim.cost_cents if measure == "cost" else build.claim.mass_g
            for build, findings in self.witnesses
            if all(name in self.names_of(f) for f in findings if not f.ok)
        ]
        return min((figure for figure in figures if figure is not None), default=None)
