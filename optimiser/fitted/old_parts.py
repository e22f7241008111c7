"""What comes out of the vehicle, and how many of it the build fits again."""

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from optimiser.basis import money
from optimiser.basis.money import CostAndMass
from optimiser.case import OldPart
from optimiser.fitted.fit import Fit, once
from optimiser.parts import Module, Part


class OldUse(NamedTuple):
    """A row of old_parts.csv."""

    row: OldPart
    part: Part | None  # of the catalogue, where it may be fitted again
    again: int  # of them that are fitted again

    @property
    def gone(self) -> int:
        """Of them that leave the vehicle."""
        return self.row.count - self.again

    def worth(self, rate_per_h: float) -> CostAndMass:
        """What all of them add to the fit-out: mostly less than nothing."""
        out = money.taken_out(self.row, self.part, rate_per_h).times(self.row.count)
        again = money.fitted_again_cents(self.row, self.part) * self.again if self.part else 0
        return CostAndMass(out.cents + again, out.grams)


@once
def old_uses(fit: Fit) -> tuple[OldUse, ...]:
    """Each of them; what the build has of a type is the old ones first."""
    fitted: Counter[str] = Counter(placed.panel for placed in fit.build.panels)
    for content in fit.contents:
        if not content.existing and content.slot != "bank":
            fitted[content.part.name] += content.count
    return tuple(_use(fit, row, fitted) for row in fit.case.old_parts)


def _use(fit: Fit, row: OldPart, fitted: Counter[str]) -> OldUse:
    part = fit.part(row.part, Part) if row.part else None
    if isinstance(part, Module):
        wanted = fit.modules if fit.module.name == part.name else 0
        joins = part.joins_old or wanted <= row.count  # old ones alone, or as many new ones beside them
        return OldUse(row, part, min(wanted, row.count) if joins else 0)
    return OldUse(row, part, min(fitted[row.part], row.count) if part else 0)


def fitted_again(fit: Fit) -> Iterator[tuple[str, int]]:
    """Part -> how many of it are old ones."""
    yield from ((use.row.part, use.again) for use in old_uses(fit) if use.again)
