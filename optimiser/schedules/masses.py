"""What weighs how much, where, and on which wheels; and the limits that was held to."""

from collections.abc import Iterable

from optimiser.auditing import Finding
from optimiser.basis.money import CostAndMass
from optimiser.case import Trailer, Van
from optimiser.fitted import Fit
from optimiser.fitted.figures import added, shares_kg
from optimiser.physics import mass
from optimiser.requirements import REGISTER
from optimiser.schedules.table import Cell, Column, Row, Schedule
from optimiser.units import GRAMS

Place = tuple[str, float, float]  # what, and where its weight is taken [mm]


def masses(fit: Fit) -> Schedule:
    """Everything added, heaviest first, as the audit weighs it."""
    vehicle = fit.case.brief.vehicle
    rows = [_row(vehicle, place, worth) for place, worth in _grouped(fit).items() if worth.grams]
    rows.sort(key=lambda row: (-_number(row[1]), str(row[0])))
    sums = [sum(_number(row[place]) for row in rows) for place in range(len(_columns(vehicle)))]
    where: tuple[Cell, ...] = (None,) * (len(_columns(vehicle)) - 5)
    return Schedule(
        key="masses",
        title="Masses and where they go",
        columns=_columns(vehicle),
        rows=tuple(rows),
        totals=("the fit-out", sums[1], *where, sums[-3], sums[-2], sums[-1]),
        notes=(
            "x forward from the rear of the vehicle, y to the left of its centre line. Panels are taken at their "
            "middle, parts and links of the bank at the middle of their bay, cables and entries at the middle of all "
            "bays.",
            "A share below 0 takes load off. left over right: how much more the left wheels get than the right.",
            "Calculated masses are no weighing: weigh the vehicle before it is handed over.",
        ),
    )


def _columns(vehicle: Trailer | Van) -> tuple[Column, ...]:
    return (
        Column("what"),
        Column("mass", "kg", "number", 3),
        Column("x", "mm", "number", 1),
        Column("y", "mm", "number", 1),
        *(Column(f"ahead of the {axle.name}", "mm", "number", 1) for axle in vehicle.axles),
        *(Column(f"on the {support.name}", "kg", "number", 3) for support in vehicle.supports),
        Column("left over right", "kg", "number", 3),
    )


def _row(vehicle: Trailer | Van, place: Place, worth: CostAndMass) -> Row:
    what, x_mm, y_mm = place
    kg = worth.grams / GRAMS
    side = mass.side_load_kg(mass_kg=kg, y_mm=y_mm, track_mm=vehicle.track_mm)
    shares = shares_kg(vehicle, mass_kg=kg, x_mm=x_mm)
    return what, kg, x_mm, y_mm, *(x_mm - axle.x_mm for axle in vehicle.axles), *shares, side


def _number(cell: Cell) -> float:
    return cell if isinstance(cell, int | float) else 0.0


# --- names for what the audit weighs -----------------------------------------------------------------


def _grouped(fit: Fit) -> dict[Place, CostAndMass]:
    """The audit's items with their names; alike ones in one place together."""
    found: dict[Place, CostAndMass] = {}
    for item in added(fit):
        place = item.what, item.x_mm, item.y_mm
        cents, grams = found.get(place, CostAndMass(0, 0))
        found[place] = CostAndMass(cents + item.worth.cents, grams + item.worth.grams)
    return found


# --- limits ------------------------------------------------------------------------------------------


def axle_loads(fit: Fit, findings: Iterable[Finding]) -> Schedule:
    """Before, after and the limits: the findings of the family ``mass``."""
    return Schedule(
        key="axle_loads",
        title="Axle and hitch loads",
        columns=(
            Column("what"),
            Column("before", "kg", "number", 3),
            Column("after", "kg", "number", 3),
            Column("limit", "kg", "number", 3),
            Column("limit is"),
            Column("room", "kg", "number", 3),
            Column("met"),
        ),
        rows=tuple(_limit(fit, finding) for finding in findings if finding.name.startswith("mass.")),
        notes=("before: as weighed or stated in the survey, loaded as it travels.",),
    )


_WHAT = {
    "mass.payload": "mass of the fit-out, of the payload",
    "mass.hitch_low": "load on the hitch",
    "mass.hitch_high": "load on the hitch",
    "mass.balance": "difference of the wheels, left and right",
}


def _limit(fit: Fit, finding: Finding) -> Row:
    what = _WHAT.get(finding.name) or f"load on the {finding.place}"
    weighed = {f"load on the {support.name}": support.base_kg for support in fit.case.brief.vehicle.supports}
    before = weighed.get(what, 0.0)  # the fit-out begins from nothing, and so does the difference that it makes
    sense, met = REGISTER[finding.name].sense, "yes" if finding.ok else "NO"
    return what, before, finding.actual, finding.limit, sense, finding.margin, met
