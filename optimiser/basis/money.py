"""What things cost and weigh, in whole cents and grams: one convention, so that sums are exact.

Labour is minutes x rate, rounded up to the cent for each item. Cable is cut in steps of 100 mm.
"""

from __future__ import annotations

from typing import NamedTuple

from optimiser.case import OldPart
from optimiser.parts import Cable, Panel, Part
from optimiser.units import CENTS, GRAMS, at_least, at_most, exact

STEP_MM = 100  # cable is cut to the next of these


class CostAndMass(NamedTuple):
    """A cost [cents] and a mass [g]."""

    cents: int
    grams: int

    def times(self, count: int) -> CostAndMass:
        """For ``count`` alike."""
        return CostAndMass(self.cents * count, self.grams * count)


def labour_cents(minutes: float, rate_per_h: float) -> int:
    """Labour, rounded up to the cent."""
    return at_least(minutes * rate_per_h / 60, CENTS)


def part_worth(part: Part, rate_per_h: float) -> CostAndMass:
    """A part fitted: price, sundries and labour; a panel with its mounting kit."""
    cents = exact(part.price, CENTS) + exact(part.sundries, CENTS) + labour_cents(part.minutes, rate_per_h)
    grams = at_least(part.mass_kg, GRAMS)
    if isinstance(part, Panel):
        cents += exact(part.mount_price, CENTS)
        grams += at_least(part.mount_mass_kg, GRAMS)
    return CostAndMass(cents, grams)


def taken_out(row: OldPart, part: Part | None, rate_per_h: float) -> CostAndMass:
    """One old part out of the vehicle: labour less what it is sold for, and what it weighs, less than nothing."""
    mass_kg = row.mass_kg if part is None else part.mass_kg + (part.mount_mass_kg if isinstance(part, Panel) else 0)
    return CostAndMass(labour_cents(row.minutes, rate_per_h) - at_most(row.value, CENTS), -at_most(mass_kg, GRAMS))


def fitted_again_cents(row: OldPart, part: Part) -> int:
    """What fitting an old part again adds to taking it out and buying one: it is not sold, and none is bought."""
    return at_most(row.value, CENTS) - exact(part.price, CENTS)


def cores(cable: Cable) -> int:
    """Cables laid for one run: two single cores for direct current."""
    return 2 if cable.paired else 1


def cut_steps(length_mm: float) -> int:
    """Cutting length in steps of 100 mm, rounded up."""
    return at_least(length_mm / STEP_MM)


def core_worth_a_step(cable: Cable, rate_per_h: float) -> CostAndMass:
    """100 mm of one core, or of a mains or data cable with all of its, laid."""
    a_metre = cable.price + cable.sundries + cable.minutes * rate_per_h / 60
    share = STEP_MM / 1000
    return CostAndMass(at_least(a_metre * share, CENTS), at_least(cable.mass_kg * share, GRAMS))


def cable_end_worth(cable: Cable, rate_per_h: float) -> CostAndMass:
    """An end of a piece of one core: lug and labour."""
    return CostAndMass(exact(cable.end_price, CENTS) + labour_cents(cable.end_minutes, rate_per_h), 0)
