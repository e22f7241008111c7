"""The audit: every requirement recomputed from a build, in floats, by code that knows no solver.

It shares the design basis (what loads draw, what the sun gives, what parts cost) with the tables that the
model is made from, and nothing else: limits are held against those figures here and there independently.
"""

from collections.abc import Iterable

from optimiser.auditing import (
    battery,
    bays,
    breakers,
    cables,
    complete,
    converters,
    energy,
    mass,
    measuring,
    module_fuses,
    panel,
    preferences,
    protection,
    roof,
    sizes,
    strings,
)
from optimiser.auditing.finding import Finding
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.fitted import fit_of
from optimiser.requirements import REGISTER

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
    panel,
    breakers,
    measuring,
    energy,
    mass,
    sizes,
    preferences,
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
