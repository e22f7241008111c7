"""How long a stay lasts that begins with a full bank, by the month it begins in."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from pydantic import Field

from optimiser.basis import volts
from optimiser.yearly.running import Flows
from optimiser.yearly.weather import DAY_H, Ints, Weather

MOST_NIGHTS = 30
CERTAINTIES = (50, 80, 95)
_ARRIVES_H = 18


@dataclass(frozen=True)
class Stay:
    """Nights that a stay lasts at least, by how often it does [%]; `MOST_NIGHTS` stands for that many or more."""

    month: Annotated[int, Field(description="1 to 12")]
    nights: Annotated[dict[int, int], Field(description="by how many of 100 stays last so long; 30: that many or more")]


def stays(flows: Flows, weather: Weather) -> tuple[Stay, ...]:
    """Of stays that begin at six in the evening of each day of all years, month by month."""
    lasted, months = nights(flows), weather.month_of_day
    return tuple(
        Stay(month, {sure: _at_least(lasted[months == month], sure) for sure in CERTAINTIES}) for month in range(1, 13)
    )


def _at_least(lasted: Ints, sure_pct: int) -> int:
    """The most nights that so many of the stays reach: rounded down."""
    ranked = np.sort(lasted)
    return int(ranked[int((1 - sure_pct / 100) * len(ranked) + 1e-9)])


def nights(flows: Flows) -> Ints:
    """Nights until something is short, of a stay from the evening of each day; after the last day the first follows."""
    hours = len(flows.loads_w)
    begins = np.arange(hours // DAY_H) * DAY_H + _ARRIVES_H
    net, takes, floor = flows.net_w, flows.takes_w, flows.floor_wh
    stored = np.full(len(begins), flows.capacity_wh)
    lasted = np.full(len(begins), MOST_NIGHTS)
    going = np.ones(len(begins), dtype=bool)
    for hour in range(MOST_NIGHTS * DAY_H):
        at = (begins + hour) % hours
        gained = np.minimum(np.minimum(net[at], takes[at]) * volts.CHARGE_EFFICIENCY, flows.capacity_wh - stored)
        wanted = -net[at] / volts.DISCHARGE_EFFICIENCY
        ends = going & (wanted > np.maximum(stored - floor[at], 0.0)) & (net[at] < 0)
        lasted[ends] = hour // DAY_H
        going &= ~ends
        if not going.any():
            break
        stored = stored + np.where(net[at] >= 0, gained, -wanted)
    return lasted
