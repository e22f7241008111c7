"""What is fitted: a build with its parts looked up, where they stand, its runs, its masses, its hours.

It finds nothing right or wrong: `auditing` does. Drawings, schedules and the test sheet read it.
"""

from dataclasses import dataclass
from functools import lru_cache

from optimiser.basis.money import CostAndMass
from optimiser.builds import Build, BuildProblem
from optimiser.case import Case, Scenario
from optimiser.catalogue import Catalogue
from optimiser.fitted.figures import added, figures, total_of
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import ScenarioTrace, trace_of
from optimiser.fitted.names import problems
from optimiser.measures import Measure

_KEPT = 64  # fits at a time: more than the options of a pack


def cost_and_mass(case: Case, catalogue: Catalogue, build: Build) -> CostAndMass:
    """What a build costs and weighs."""
    return total_of(added(fit_of(case, catalogue, build)))


def measured(case: Case, catalogue: Catalogue, build: Build) -> dict[Measure, float]:
    """What a build comes to in each measure, in its unit."""
    return figures(fit_of(case, catalogue, build))


def trace(case: Case, catalogue: Catalogue, build: Build, scenario: Scenario) -> ScenarioTrace:
    """What a scenario does to the build's bank, hour by hour."""
    return trace_of(fit_of(case, catalogue, build), scenario)


def fit_of(case: Case, catalogue: Catalogue, build: Build) -> Fit:
    """The build with its parts looked up; made once, so that all who ask of the same build share it.

    Raises
    ------
    BuildProblem
        If it names parts or places that do not exist.
    """
    return _fit_of(_Given(case, catalogue, build))


@dataclass(frozen=True, eq=False)
class _Given:
    """What a fit is made of: the same only as the very same objects, since comparing them takes longer than a fit."""

    case: Case
    catalogue: Catalogue
    build: Build

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Given) and self._ids == other._ids

    def __hash__(self) -> int:
        return hash(self._ids)

    @property
    def _ids(self) -> tuple[int, int, int]:
        return id(self.case), id(self.catalogue), id(self.build)


@lru_cache(maxsize=_KEPT)
def _fit_of(given: _Given) -> Fit:
    if wrong := problems(given.case, given.catalogue, given.build):
        raise BuildProblem("\n".join(wrong))
    return Fit(given.case, given.catalogue, given.build)
