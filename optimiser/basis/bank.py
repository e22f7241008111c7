"""What modules take and give in cold and heat, and what keeps them warm."""

from math import inf

import numpy as np
from numpy.typing import ArrayLike, NDArray

from optimiser.basis import air
from optimiser.case import Bay, Scenario
from optimiser.parts import Module

SLOW_BELOW_C = 10.0  # cells take little below (a general handling guide of lithium iron phosphate cells)
RATED_C = 25.0  # its capacity is that of cells so warm (makers' sheets, from memory)
HEATED_BELOW_C = 5.0  # a heated module warms itself in a bay that falls below (common practice, no source)


def charge_a(module: Module, scenario: Scenario, bay: Bay) -> NDArray[np.float64]:
    """What one module takes in each hour of a scenario where it stands [A].

    Little all through a scenario whose coldest hour is cold, since cells warm up slowly; nothing in an hour
    whose air is warmer than it may be charged in.
    """
    return charge_at_a(module, coldest_c=air.coldest_c(scenario, bay), hours_c=air.hours_c(scenario, bay))


def charge_at_a(module: Module, *, coldest_c: ArrayLike, hours_c: ArrayLike) -> NDArray[np.float64]:
    """The same by the coldest hour of the spell, or of each hour's day, and the bay in each hour [C] [A]."""
    cold = (np.asarray(coldest_c) < SLOW_BELOW_C) & (not module.heater_w)
    amps = np.where(cold, min(module.charge_a, module.cold_a), module.charge_a)
    return np.where(np.asarray(hours_c) > module.charge_max_c, 0.0, amps)


def heater_w(module: Module, scenario: Scenario, bay: Bay) -> float:
    """What the heater of one module draws, taken as on for the whole of a cold scenario [W]."""
    return module.heater_w if air.coldest_c(scenario, bay) < HEATED_BELOW_C else 0.0


def drawable_share(module: Module, outside_c: float, bay: Bay) -> float:
    """Share of its capacity that a module can give where it stands, in air outside as cold as that.

    In straight lines from all of it when warm to its figures at 0 and -20 C; nothing below, where cells are not
    discharged. A heated module is as warm as its heater keeps it.

    What the cold keeps back is the last of the charge, as the cells' voltage falls away sooner. So it lies below the
    floor, and where it reaches higher it is the floor: of a bank that gives 80 % a floor of 15 % leaves 80 % to the
    loads, one of 30 % leaves 70 %. Whoever wants a reserve that can be drawn in the cold asks for a higher floor. That
    a scenario ends where it began is asked of the whole charge, cold or not.
    """
    cells_c = max(outside_c + bay.cold_rise_k, HEATED_BELOW_C if module.heater_w else -inf)
    gives_pct = (module.capacity_minus_20c_pct, module.capacity_0c_pct, 100.0)
    return float(np.interp(cells_c, (-20.0, 0.0, RATED_C), gives_pct, left=0.0)) / 100
