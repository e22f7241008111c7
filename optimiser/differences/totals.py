"""What another build costs and weighs more or less, as the audit reckons both."""

from __future__ import annotations

from dataclasses import dataclass

from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.fitted import worth
from optimiser.units import CENTS, GRAMS


@dataclass(frozen=True)
class Totals:
    """After less before."""

    cents: int
    grams: int
    currency: str

    @property
    def text(self) -> str:
        """``+240.00 cu, -5.1 kg``: exact, so that lines add up."""
        return f"{self.cents / CENTS:+.2f} {self.currency}, {_kg(self.grams)} kg"


def totals(case: Case, catalogue: Catalogue, before: Build, after: Build, *, case_after: Case | None = None) -> Totals:
    """The difference of two builds; ``case_after`` where the other build answers a case with a value moved.

    Raises
    ------
    BuildProblem
        If a build names what does not exist.
    ValueError
        If the two cases reckon in different currencies.
    """
    other = case_after or case
    if other.brief.currency != case.brief.currency:
        raise ValueError(f"{case.brief.currency} and {other.brief.currency}: money of two kinds has no difference")
    old, new = worth(case, catalogue, before), worth(other, catalogue, after)
    return Totals(new.cents - old.cents, new.grams - old.grams, case.brief.currency)


def _kg(grams: int) -> str:
    whole, _, rest = f"{grams / GRAMS:+.3f}".partition(".")
    return f"{whole}.{rest.rstrip('0') or '0'}"
