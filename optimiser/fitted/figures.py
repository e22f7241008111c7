"""What a build comes to in each measure that builds are compared by, recomputed in floats."""

from __future__ import annotations

from collections import Counter

from optimiser.basis import volts, year
from optimiser.fitted import hours, masses
from optimiser.fitted.fit import Fit
from optimiser.measures import Measure
from optimiser.units import CENTS, GRAMS

_KILO = 1000


def figures(fit: Fit) -> dict[Measure, float]:
    """Measure -> figure in its unit."""
    worth = masses.total_of(masses.added(fit))
    return {
        "cost": worth.cents / CENTS,
        "mass": worth.grams / GRAMS,
        "days_without_sun": hours.days_without_sun(fit),
        "spare_payload": fit.case.brief.vehicle.payload_kg - worth.grams / GRAMS,
        "annual_surplus": _surplus_wh(fit) / _KILO,
    }


def _surplus_wh(fit: Fit) -> float:
    """What the panels give in a year behind their regulators, less all that is drawn."""
    given = 0.0
    for array in fit.build.arrays:
        ends, panel = fit.input_of(array), fit.panel_of(array)
        if ends is None:
            continue
        if not array.light:
            given += ends.efficiency * year.panel_wh(fit.case, None, panel)
            continue
        for zone, count in Counter(p.zone for p in fit.roof_panels(array) if p.panel == array.panel).items():
            given += ends.efficiency * count * year.panel_wh(fit.case, fit.zone_of[zone], panel)
    dc, sockets = year.loads_wh(fit.case)
    drawn = volts.dc_loads_w(dc, fit.step_down) + sockets / hours.inverter_efficiency(fit)
    heaters = sum(days * 24 * hours.heater_w(fit, day) for days, day in year.months(fit.case))
    return given - drawn - heaters - year.hours_of_year() * hours.idle_w(fit)
