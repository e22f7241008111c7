"""Values eased, the brief they make, and the one solve that eases those that the model has ladders for."""

from __future__ import annotations

from dataclasses import dataclass

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.subject import CLAIMS, Budget, Refused, Solver
from optimiser.moves import Ladder, Lever, Moved, MoveProblem, ladders_of, levers, moved, steps
from optimiser.solve import Impossible, Outcome, Solved, Undecided

FOR_LEAST = 0.7  # of the time, to prove that nothing weighs less; all of it where no other values are looked at


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


@dataclass
class Elastic:
    """The search for a nearest brief, by ladders alone."""

    case: Case
    catalogue: Catalogue
    names: tuple[str, ...]
    solver: Solver
    budget: Budget
    for_least: float = FOR_LEAST

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
        bound = None if before else weight_of_eased(outcome)
        return NearestBrief(tuple(eased), bound, case, catalogue, outcome.build, findings, tuple(missed))


def weight_of_eased(outcome: Solved | Undecided) -> int:
    """What no brief with a build weighs less than."""
    if isinstance(outcome, Solved):
        return sum(rung.weight for _, rung in outcome.eased)
    return max(0, outcome.bound)
