"""What an impossible case asks for and what can be had, for programs."""

from optimiser.explaining import Asked, AskedEnergy
from optimiser.printing.as_json import finding_of
from optimiser.printing.objects_asked import AskedEnergyObject, AskedObject, EnergyObject
from optimiser.solve import Energy


def asked_object(asked: Asked) -> AskedObject:
    """Scenario by scenario, place by place."""
    return {
        "energy": [_row(row) for row in asked.energy],
        "places": [
            {
                "finding": finding_of(place.finding),
                "missing": place.missing,
                "missing_at_least": place.missing_at_least,
            }
            for place in asked.places
        ],
    }


def _row(row: AskedEnergy) -> AskedEnergyObject:
    return {
        "scenario": row.scenario or None,
        "hours": row.hours,
        "loads": row.asked_wh,
        "nearest_brief": _energy(row.has),
        "at_best": _energy(row.best),
    }


def _energy(found: Energy | None) -> EnergyObject | None:
    if found is None:
        return None
    return {
        "sun": found.sun_wh,
        "chargers": found.chargers_wh,
        "bank": found.bank_wh,
        "missing": found.short_wh,
    }
