"""Builds of the shipped cases for the tests of what is made from a build: proven once, and audited here anew."""

from collections.abc import Callable
from functools import cache, wraps
from inspect import signature
from pathlib import Path
from typing import ParamSpec, TypeVar

import pytest

from optimiser.auditing import Finding, audit
from optimiser.builds import from_json
from optimiser.drawing import Sheet, bay_elevations, isometric_bays, opened_bays
from optimiser.drawing.vehicle.views import vehicle_views
from optimiser.fitted import Fit, fit_of
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue

P = ParamSpec("P")
T = TypeVar("T")

FOLDER = Path(__file__).parent / "builds"
SOLVED = ("tiny-trailer", "grey-month-van", "travelling-clinic")
"""Shipped cases that have a build."""
SLOW_BUT_ONE = (SOLVED[0], *(pytest.param(name, marks=pytest.mark.slow) for name in SOLVED[1:]))
"""The same for what takes long: the first always, the others with the slow tests."""
WANTS = ("cheapest", "lightest")


def once(make: Callable[P, T]) -> Callable[P, T]:
    """Made once for the same arguments, whether a default is given or left out: for `cache` by itself these differ."""
    kept, its = cache(make), signature(make)

    @wraps(make)
    def found(*args: P.args, **kwargs: P.kwargs) -> T:
        told = its.bind(*args, **kwargs)
        told.apply_defaults()
        return kept(*told.args, **told.kwargs)

    return found


@once
def shipped(name: str, want: str = "cheapest") -> Fit:
    """The best build of a shipped case."""
    case, catalogue = read_inputs(shipped_cases() / name, shipped_catalogue())
    return fit_of(case, catalogue, from_json((FOLDER / f"{name}-{want}.json").read_text(encoding="utf-8")))


@once
def vehicle(name: str, want: str = "cheapest") -> list[Sheet]:
    """Its views of the vehicle, from above and from the side."""
    return vehicle_views(shipped(name, want))


@once
def elevations(name: str, want: str = "cheapest") -> list[Sheet]:
    """Its boards, bay by bay."""
    return bay_elevations(shipped(name, want), findings(name, want))


@once
def opened(name: str, want: str = "cheapest") -> list[Sheet]:
    """Its bays opened out."""
    return opened_bays(shipped(name, want))


@once
def isometric(name: str, want: str = "cheapest") -> list[Sheet]:
    """Its bays in three dimensions."""
    return isometric_bays(shipped(name, want))


@once
def findings(name: str, want: str = "cheapest") -> tuple[Finding, ...]:
    """What the audit finds of it."""
    fit = shipped(name, want)
    return audit(fit.case, fit.catalogue, fit.build)
