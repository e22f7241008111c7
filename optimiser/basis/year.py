"""A year on the road, for comparing builds by what the sun leaves over.

No case describes a whole year. Each month is taken as its nearest scenario in the calendar: that one's loads, air
and share of a clear sky's light, under the sun of the month's middle. Driving and hook-up are left out, and so is
what a full bank turns away: it is a measure of panels against loads, not a promise.
"""

from calendar import monthrange
from collections.abc import Iterator

import numpy as np

from optimiser.basis import loads, sun
from optimiser.case import Case, Scenario, Zone
from optimiser.parts import Panel

MONTHS = range(1, 13)
_MIDDLE = 15
_HOURS = 24


def months(case: Case) -> Iterator[tuple[int, Scenario]]:
    """Days of each month, and one day of it."""
    for month in MONTHS:
        day = {"month": month, "day": _MIDDLE, "start_h": 0, "hours": _HOURS}
        yield monthrange(sun.YEAR, month)[1], nearest(case, month).model_copy(update=day)


def nearest(case: Case, month: int) -> Scenario:
    """The scenario nearest to a month in the calendar, the first of several."""
    return min(case.scenarios, key=lambda scenario: _apart(scenario.month, month))


def panel_wh(case: Case, zone: Zone | None, panel: Panel) -> float:
    """What one panel offers in a year [Wh]; without a zone the portable one, in the hours it is out."""
    return sum(panel_month_wh(case, zone, panel))


def panel_month_wh(case: Case, zone: Zone | None, panel: Panel) -> tuple[float, ...]:
    """The same month by month, from January."""
    found = []
    for days, day in months(case):
        watt = sun.panel_hour_w(case, day, zone, panel)
        out = 1.0 if zone else loads.hourly(case, day).portable
        found.append(days * float(np.sum(watt * out)))
    return tuple(found)


def loads_wh(case: Case) -> tuple[float, float]:
    """What is drawn in a year [Wh]: by the 12 V loads, and at the inverter's sockets."""
    found = loads_month_wh(case)
    return sum(dc for dc, _ in found), sum(sockets for _, sockets in found)


def loads_month_wh(case: Case) -> tuple[tuple[float, float], ...]:
    """The same month by month, from January."""
    each = ((days, loads.hourly(case, day)) for days, day in months(case))
    return tuple((days * float(hours.dc_w.sum()), days * float(hours.inverter_w.sum())) for days, hours in each)


def hours_of_year() -> int:
    """Of the year that is calculated with."""
    return _HOURS * sum(monthrange(sun.YEAR, month)[1] for month in MONTHS)


def _apart(one: int, other: int) -> int:
    """Months between two, round the turn of the year."""
    return min((one - other) % 12, (other - one) % 12)
