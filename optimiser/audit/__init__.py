"""The audit: every requirement recomputed from a build, in floats, by code that knows no solver.

It shares the design basis (what loads draw, what the sun gives, what parts cost) with the tables that the
model is made from, and nothing else: limits are held against those figures here and there independently.
"""

from __future__ import annotations

from collections.abc import Iterable

from optimiser.audit import (
    battery,
    bays,
    cables,
    complete,
    converters,
    energy,
    mass,
    measuring,
    module_fuses,
    protection,
    roof,
    strings,
)
from optimiser.audit.energy import ScenarioTrace
from optimiser.audit.figures import figures
from optimiser.audit.finding import Finding
from optimiser.audit.fitted import Fit
from optimiser.audit.names import problems
from optimiser.basis.money import Worth
from optimiser.build import Build, BuildProblem
from optimiser.case import Case, Scenario
from optimiser.catalogue import Catalogue
from optimiser.measures import Measure
from optimiser.requirements import REGISTER

__all__ = ["Finding", "Fit", "ScenarioTrace", "audit", "breaches", "fit_of", "measured", "trace", "worth"]

_FAMILIES = (
    roof,
    strings,
    battery,
    converters,
    bays,
    complete,
    cables,
    protection,
    module_fuses,
    measuring,
    energy,
    mass,
)
_ORDER = {name: place for place, name in enumerate(REGISTER)}


def audit(case: Case, catalogue: Catalogue, build: Build) -> tuple[Finding, ...]:
    """Every requirement that applies to the build, in the register's order.

    Raises
    ------
    BuildProblem
        If the build names parts or places that do not exist: nothing can be said of it then.
    """
    fit = fit_of(case, catalogue, build)
    found = [finding for family in _FAMILIES for finding in family.check(fit)]
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.name]))


def breaches(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Those that do not hold."""
    return tuple(finding for finding in findings if not finding.ok)


def worth(case: Case, catalogue: Catalogue, build: Build) -> Worth:
    """What a build costs and weighs."""
    return mass.total_of(mass.added(fit_of(case, catalogue, build)))


def measured(case: Case, catalogue: Catalogue, build: Build) -> dict[Measure, float]:
    """What a build comes to in each measure, in its unit."""
    return figures(fit_of(case, catalogue, build))


def trace(case: Case, catalogue: Catalogue, build: Build, scenario: Scenario) -> ScenarioTrace:
    """What a scenario does to the build's bank, hour by hour."""
    return energy.trace_of(fit_of(case, catalogue, build), scenario)


def fit_of(case: Case, catalogue: Catalogue, build: Build) -> Fit:
    """The build with its parts looked up, for whoever draws or lists it.

    Raises
    ------
    BuildProblem
        If it names parts or places that do not exist.
    """
    wrong = problems(case, catalogue, build)
    if wrong:
        raise BuildProblem("\n".join(wrong))
    return Fit(case, catalogue, build)
