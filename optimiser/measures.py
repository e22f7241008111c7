"""What builds are compared by: what each measure is called, counted in, and which way is better.

Inside the solver a measure is a whole number of its own scale, rounded to the safe side.
"""

from dataclasses import dataclass
from typing import Literal

Measure = Literal["cost", "mass", "days_without_sun", "spare_payload", "annual_surplus"]


@dataclass(frozen=True)
class Scale:
    """How a measure is counted and shown."""

    name: Measure
    words: str
    unit: str  # "" for money: the case says its currency
    per_unit: int  # whole numbers a unit
    decimals: int  # shown
    more_is_better: bool
    apart_percent: float  # of a figure: less than that is nothing to choose by, unless said otherwise

    def shown(self, figure: int, currency: str = "") -> str:
        """A figure with its unit."""
        return f"{figure / self.per_unit:.{self.decimals}f} {self.unit or currency}"

    def change(self, figure: int, currency: str = "") -> str:
        """A difference with its sign and unit."""
        return f"{figure / self.per_unit:+.{self.decimals}f} {self.unit or currency}"

    def loss(self, figure: int) -> int:
        """The figure as something to be made small."""
        return -figure if self.more_is_better else figure

    figure = loss  # and back: the sign is all there is to it


MEASURES: dict[Measure, Scale] = {
    scale.name: scale
    for scale in (
        Scale("cost", "cost", "", 100, 2, False, 0.2),
        Scale("mass", "mass", "kg", 1000, 3, False, 1.0),
        Scale("days_without_sun", "days without sun", "days", 100, 2, True, 1.0),
        Scale("spare_payload", "spare payload", "kg", 1000, 3, True, 1.0),
        Scale("annual_surplus", "annual surplus of the sun", "kWh", 1000, 1, True, 1.0),
    )
}
"""Name -> scale.

`days_without_sun` is how long the usable bank carries the loads of the autonomy scenario. `spare_payload` is
what may still be loaded after the fit-out. `annual_surplus` is what the panels give in a year less what loads,
conversion, idle draw and heaters of the bank take of it (see `basis.year`).
"""
