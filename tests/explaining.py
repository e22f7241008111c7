"""A solver for tests of explanations: small worlds, one worker, and a count of what was asked."""

from collections.abc import Callable
from dataclasses import dataclass, field

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Below, everything
from optimiser.measures import Measure
from optimiser.solve import WANTS, Outcome, Question, Stop, Want

STOP = Stop(seconds=20, seed=1, workers=1)


@dataclass
class Solving:
    """Answers with the real solver, unless ``instead`` has something else to say of a question."""

    instead: Callable[[Callable[[str], bool]], Outcome | None] = lambda _: None
    asked: list[str] = field(default_factory=list)

    def any_build(
        self,
        case: Case,
        catalogue: Catalogue,
        active: Callable[[str], bool],
        below: Below | None,
        *,
        alone: bool = True,
    ) -> Outcome:
        self.asked.append("any")
        return self.instead(active) or Question(case, catalogue, active=active, below=below).any_build(stop=STOP)

    def best(
        self,
        case: Case,
        catalogue: Catalogue,
        want: Want,
        below: Below | None,
        *,
        active: Callable[[str], bool] = everything,
        seconds: float | None = None,
    ) -> Outcome:
        self.asked.append(want)
        return Question(case, catalogue, active=active, below=below).best(WANTS[want], stop=STOP)

    def utmost(
        self, case: Case, catalogue: Catalogue, measure: Measure, *, active: Callable[[str], bool], seconds: float
    ) -> Outcome:
        self.asked.append(measure)
        tie: Measure = "mass" if measure == "cost" else "cost"
        return Question(case, catalogue, active=active).best((measure, tie), stop=STOP)
