"""Weather hour by hour: whole years of 365 days, from midnight of the first of January on the clock of the case."""

from calendar import monthrange
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from optimiser.basis.sun import YEAR
from optimiser.case import Place

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]

DAY_H = 24
DAYS = sum(monthrange(YEAR, month)[1] for month in range(1, 13))
HOURS = DAYS * DAY_H


@dataclass(frozen=True)
class Weather:
    """Means over each hour: light on level ground [W/m2] and air outside [C]; ``told``: where they are from."""

    ghi: Floats
    air_c: Floats
    told: str
    made: bool  # of monthly means, not measured

    def __post_init__(self) -> None:
        if len(self.ghi) != len(self.air_c) or len(self.ghi) % HOURS or not len(self.ghi):
            raise ValueError(f"{len(self.ghi)} hours of light, {len(self.air_c)} of air; expected whole years")

    @property
    def years(self) -> int:
        """How many."""
        return len(self.ghi) // HOURS

    @property
    def days(self) -> int:
        """How many."""
        return self.years * DAYS

    @property
    def coldest_c(self) -> Floats:
        """Of each day."""
        return np.asarray(self.air_c.reshape(-1, DAY_H).min(axis=1))

    @property
    def month_of_day(self) -> Ints:
        """1 to 12, an entry a day."""
        return np.tile(month_of_day(), self.years)


def month_of_day() -> Ints:
    """The month of each day of a year, 1 to 12."""
    return np.repeat(np.arange(1, 13), [monthrange(YEAR, month)[1] for month in range(1, 13)])


def middles(place: Place) -> pd.DatetimeIndex:
    """The middle of each hour of one year on the clock of the case, in UTC: where the sun is taken."""
    first = pd.Timestamp(year=YEAR, month=1, day=1, minute=30) - pd.Timedelta(hours=place.utc_offset_h)
    return pd.date_range(first, periods=HOURS, freq="h", tz="UTC")
