"""Weather made of monthly means: clear sky, a share of its light for each day, and days warmer or colder than the mean.

What a month has on average is climate.csv's. How its days differ, and how much a day is like the one before it, was
measured in two typical years that come with pvlib (TMY3: Greensboro and Sand Point): medians over their months of
the precision of a beta distribution with the month's mean 3.6, of the correlation from day to day 0.3, of the spread
of daily temperatures 3.2 K and of their correlation 0.74; a test measures them once more. Within a day the share is
one figure.
"""

import numpy as np
from scipy.stats import beta, norm  # type: ignore[import-untyped]

from optimiser.basis import sun
from optimiser.case import Case, Climate
from optimiser.physics import solar
from optimiser.yearly.weather import DAY_H, Floats, Weather, middles, month_of_day

PRECISION = 3.6
ALIKE = 0.3  # correlation of the share of light from day to day
SPREAD_K = 3.2
WARM_ALIKE = 0.74
_EDGE = 1e-3  # a month's mean no nearer to none and all of a clear sky's light: there the distribution has no width


def made_of(case: Case, *, years: int, seed: int) -> Weather:
    """Years of weather with the monthly means of the case.

    Raises
    ------
    ValueError
        If the case has none, or no year is asked for.
    """
    if not case.climate or years < 1:
        raise ValueError("monthly means and a year at least are needed")
    rows = {row.month: row for row in case.climate}
    months = np.tile(month_of_day(), years)
    place, random = case.brief.place, np.random.default_rng(seed)
    clear = solar.clear_sky(
        latitude=place.latitude, longitude=place.longitude, times=middles(place), altitude_m=place.altitude_m
    )
    share = _shares(random, np.array([rows[m].clearness for m in months]))
    return Weather(
        ghi=np.tile(clear, years) * np.repeat(share, DAY_H),
        air_c=_air(rows, months, SPREAD_K * _series(random, len(months), WARM_ALIKE)),
        told=f"monthly means of climate.csv, with a spread from day to day; {years} years, seed {seed}",
        made=True,
    )


def _series(random: np.random.Generator, days: int, alike: float) -> Floats:
    """Standard normal, each day correlated with the one before."""
    fresh = random.standard_normal(days)
    found = np.empty(days)
    found[0] = fresh[0]
    for day in range(1, days):
        found[day] = alike * found[day - 1] + np.sqrt(1 - alike**2) * fresh[day]
    return found


def _shares(random: np.random.Generator, means: Floats) -> Floats:
    """Share of a clear sky's light of each day."""
    inside = np.clip(means, _EDGE, 1 - _EDGE)
    rank = norm.cdf(_series(random, len(means), ALIKE))
    return np.asarray(beta.ppf(rank, inside * PRECISION, (1 - inside) * PRECISION))


def _air(rows: dict[int, Climate], months: np.ndarray, offset: Floats) -> Floats:
    """A sine through each day's lowest and highest [C]."""
    low, high = (np.array([getattr(rows[m], f"temp_{end}_c") for m in months]) + offset for end in ("min", "max"))
    clock = np.arange(DAY_H) + 0.5
    swing = np.cos(2 * np.pi * (clock - sun.HOTTEST_H) / DAY_H)
    return np.asarray(np.repeat((low + high) / 2, DAY_H) + np.outer((high - low) / 2, swing).ravel())
