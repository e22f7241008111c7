"""A solver for tests of explanations: small worlds, one worker, and a count of what was asked."""

import time
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace
from math import inf

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Below, Budget, everything, negotiable
from optimiser.measures import Measure
from optimiser.moves import Ladder
from optimiser.pipeline import Inputs
from optimiser.reading import shipped_cases
from optimiser.solve import (
    WANTS,
    Bounds,
    Outcome,
    Question,
    Solved,
    Stop,
    Want,
    at_least,
    bounds,
    optimise,
    requirements_of,
)
from tests import handmade

STOP = Stop(seconds=20, seed=1, workers=1)


Active = Callable[[str], bool]


@dataclass
class Solving:
    """Answers with the real solver, unless ``instead`` has something else to say of a question."""

    instead: Callable[[Callable[[str], bool]], Outcome | None] = lambda _: None
    asked: list[str] = field(default_factory=list)
    stop: Stop = STOP  # of each question

    def any_build(
        self,
        case: Case,
        catalogue: Catalogue,
        active: Callable[[str], bool],
        below: Below | None,
        *,
        alone: bool = True,
        seconds: float | None = None,
    ) -> Outcome:
        self.asked.append("any")
        return self.instead(active) or Question(case, catalogue, active=active, below=below).any_build(stop=self.stop)

    def best(
        self,
        case: Case,
        catalogue: Catalogue,
        want: Want,
        below: Below | None,
        *,
        active: Callable[[str], bool] = everything,
        seconds: float | None = None,
        first: bool = False,
        again: int = 0,
        work: float = inf,
    ) -> Outcome:
        self.asked.append(want)
        stop = replace(self.stop, lone=True, first=first, seed=self.stop.seed + again, work=work)
        return self.instead(active) or Question(case, catalogue, active=active, below=below).best(
            WANTS[want], stop=stop
        )

    def at_least(self, case: Case, catalogue: Catalogue, want: Want, *, active: Active, seconds: float) -> int:
        return at_least(case, catalogue, want, active=active, seconds=seconds)

    def bounds(self, case: Case, catalogue: Catalogue, given_up: Collection[str], *, seconds: float) -> Bounds:
        self.asked.append("bounds")
        return bounds(case, catalogue, given_up, seconds=seconds)

    def utmost(
        self, case: Case, catalogue: Catalogue, measure: Measure, *, active: Callable[[str], bool], seconds: float
    ) -> Outcome:
        self.asked.append(measure)
        tie: Measure = "mass" if measure == "cost" else "cost"
        return Question(case, catalogue, active=active).best((measure, tie), stop=self.stop)

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
        self.asked.append("nearest")
        question = Question(case, catalogue, active=active, ladders=tuple(ladders), lighter_than=lighter_than)
        return question.any_build(stop=self.stop) if seconds is None else question.nearest(stop=self.stop)


def soon(seconds: float = 60) -> Budget:
    return Budget(time.monotonic() + seconds)


def names_of(case: Case, catalogue: Catalogue) -> tuple[str, ...]:
    return negotiable(case, catalogue, requirements_of(case, catalogue))


def inputs_of(case: Case, catalogue: Catalogue) -> Inputs:
    return Inputs(shipped_cases(), case, catalogue)  # the folder is not read for a sheet


def best_of(case: Case, catalogue: Catalogue, want: Want) -> Solved:
    outcome = optimise(case, catalogue, want, stop=STOP)
    assert isinstance(outcome, Solved)
    return outcome


def without(world: handmade.World, name: str, want: Want) -> Solved:
    """The best build with one requirement given up."""
    outcome = optimise(
        world.case, world.catalogue, want, stop=STOP, active=lambda other: name not in (other, other.partition("[")[0])
    )
    assert isinstance(outcome, Solved)
    return outcome
