"""Builds of the shipped cases for the tests of what is made from a build: proven once, and audited here anew."""

from functools import cache
from pathlib import Path

import pytest

from optimiser.auditing import Finding, audit
from optimiser.builds import from_json
from optimiser.drawing import Sheet
from optimiser.drawing.vehicle.views import vehicle_views
from optimiser.fitted import Fit, fit_of
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue

FOLDER = Path(__file__).parent / "builds"
SOLVED = ("tiny-trailer", "grey-month-van", "travelling-clinic")
"""Shipped cases that have a build."""
SLOW_BUT_ONE = (SOLVED[0], *(pytest.param(name, marks=pytest.mark.slow) for name in SOLVED[1:]))
"""The same for what takes long: the first always, the others with the slow tests."""
WANTS = ("cheapest", "lightest")


@cache
def shipped(name: str, want: str = "cheapest") -> Fit:
    """The best build of a shipped case."""
    case, catalogue = read_inputs(shipped_cases() / name, shipped_catalogue())
    return fit_of(case, catalogue, from_json((FOLDER / f"{name}-{want}.json").read_text(encoding="utf-8")))


@cache
def vehicle(name: str, want: str = "cheapest") -> list[Sheet]:
    """Its views of the vehicle, from above and from the side."""
    return vehicle_views(shipped(name, want))


@cache
def findings(name: str, want: str = "cheapest") -> tuple[Finding, ...]:
    """What the audit finds of it."""
    fit = shipped(name, want)
    return audit(fit.case, fit.catalogue, fit.build)
