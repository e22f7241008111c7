"""What modules take in cold and heat, and what keeps them warm."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from optimiser.basis import air
from optimiser.case import Bay, Scenario
from optimiser.parts import Module

SLOW_BELOW_C = 10.0  # cells take little below (a general handling guide of lithium iron phosphate cells)
HEATED_BELOW_C = 5.0  # a heated module warms itself in a bay that falls below (common practice, no source)


def charge_a(module: Module, scenario: Scenario, bay: Bay) -> NDArray[np.float64]:
    """What one module takes in each hour of a scenario where it stands [A].

    Little all through a scenario whose coldest hour is cold, since cells warm up slowly; nothing in an hour
    whose air is warmer than it may be charged in.
    """
    cold = air.coldest_c(scenario, bay) < SLOW_BELOW_C and not module.heater_w
    amps = min(module.charge_a, module.cold_a) if cold else module.charge_a
    return np.where(air.hours_c(scenario, bay) > module.charge_max_c, 0.0, amps)


def heater_w(module: Module, scenario: Scenario, bay: Bay) -> float:
    """What the heater of one module draws, taken as on for the whole of a cold scenario [W]."""
    return module.heater_w if air.coldest_c(scenario, bay) < HEATED_BELOW_C else 0.0
