"""The air that bays stand in and breathe, and how warm or cold it may be."""

import numpy as np
from numpy.typing import NDArray

from optimiser.basis import sun
from optimiser.case import Bay, Case, Scenario


def hottest_c(case: Case) -> float:
    """Hottest outside air of any scenario [C]."""
    return max(scenario.temp_max_c for scenario in case.scenarios)


def coldest_c(scenario: Scenario, bay: Bay) -> float:
    """A bay on the coldest hour of a scenario, before any heat of the parts [C]."""
    return scenario.temp_min_c + bay.cold_rise_k


def hours_c(scenario: Scenario, bay: Bay) -> NDArray[np.float64]:
    """A bay in each hour of a scenario as on a hot day, before any heat of the parts [C]."""
    return sun.air_c(scenario) + bay.rise_k


def breathes_cabin(bay: Bay) -> bool:
    """Whether its openings lead into the room: what is shut but not sealed off from the room is taken to do so."""
    return bay.air == "cabin" or (bay.air == "closed" and bay.habitable)


def intake_c(case: Case, bay: Bay) -> float:
    """What its vents and fans draw in on the hottest hour: outside air, or the warmer air of the cabin [C]."""
    return hottest_c(case) + (case.brief.place.cabin_rise_k if breathes_cabin(bay) else 0.0)
