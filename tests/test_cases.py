"""The shipped cases do what they are shipped to show."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from optimiser.audit import audit, breaches
from optimiser.catalogue import Catalogue
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from optimiser.solve import Impossible, Solved, Want, optimise

TOGETHER = ("energy.autonomy", "mass.hitch_high")  # what makes the impossible case impossible


def all_but(name: str) -> Callable[[str], bool]:
    """Active: every requirement but this."""
    return lambda other: other != name


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(shipped_catalogue())


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van"])
def test_proven_and_audited(name: str, want: Want, catalogue: Catalogue) -> None:
    case = read_case(shipped_cases() / name, catalogue)

    outcome = optimise(case, catalogue, want)

    assert isinstance(outcome, Solved)
    assert not breaches(audit(case, catalogue, outcome.build))


def test_impossible_only_together(catalogue: Catalogue) -> None:
    case = read_case(shipped_cases() / "impossible-teardrop", catalogue)

    assert isinstance(optimise(case, catalogue, "cheapest"), Impossible)
    for name in TOGETHER:
        assert isinstance(optimise(case, catalogue, "cheapest", active=all_but(name)), Solved)
