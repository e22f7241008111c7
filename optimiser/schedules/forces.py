"""What fixings have to stand, panel by panel and body by body: reported, not checked."""

from collections.abc import Iterator

from optimiser.fitted import Fit
from optimiser.fitted.places import standing
from optimiser.fixings.forces import HEAVY_KG, UNKNOWN, Hold, Lift, air_speed_km_h, holds, lifts
from optimiser.physics.forces import dynamic_pressure_pa
from optimiser.schedules.table import PRACTICE, Column, Row, Schedule
from optimiser.units import at_least

TOLD = "reported, not checked: wind uplift of panels, restraint in a crash, radius that cables are bent to"

_COLUMNS = (
    Column("what"),
    Column("part"),
    Column("place"),
    Column("mass", "kg", "number", 2),
    Column("restraint forward and rearward", "N", "whole"),
    Column("restraint sideways and upward", "N", "whole"),
    Column("wind uplift", "N", "whole"),
    Column("uplift a foot", "N", "whole"),
    Column("a foot with safety", "N", "whole"),
    Column("remark"),
)


def forces(fit: Fit) -> Schedule:
    """Panels in the order of the build, then bodies, the heaviest first. Forces are rounded up."""
    roof = list(lifts(fit))
    return Schedule(
        key="forces",
        title="Forces on fixings",
        columns=_COLUMNS,
        rows=(*(_lifted(lift) for lift in roof), *((*_held(hold), None, None, None, "") for hold in holds(fit))),
        notes=tuple(_notes(fit, roof)),
    )


def _held(hold: Hold) -> Row:
    return hold.name, hold.parts, hold.place, hold.mass_kg, at_least(hold.along_n), at_least(hold.across_n)


def _lifted(lift: Lift) -> Row:
    feet = [at_least(force / lift.feet) for force in (lift.wind_n, lift.proof_n)] if lift.feet else [None, None]
    return *_held(lift.hold), at_least(lift.wind_n), *feet, _remark(lift)


def _remark(lift: Lift) -> str:
    needs, has = at_least(lift.glue_cm2), round(lift.glued_cm2)
    if lift.feet:
        return f"glue alone would need {needs} cm2, the pads of {lift.feet} feet have {has}"
    return f"glue needs {needs} cm2 sound and cured, of {has}; edges held by strips or screws too, the front one first"


def _notes(fit: Fit, roof: list[Lift]) -> Iterator[str]:
    yield f"Reported only: {UNKNOWN}. A fixing is as strong as its maker says, in the wall or roof it is in."
    yield (
        f"restraint: mass times {_figure(fit, 'restraint_along_g')} forward and rearward, times "
        f"{_figure(fit, 'restraint_across_g')} sideways and upward. Straps, brackets and trays carry it as far as the "
        f"frame or floor, not only the board. Less than {HEAVY_KG:g} kg is not listed ({PRACTICE})."
    )
    stays = [body.slot for body in standing(fit) if body.fixture]
    if stays:
        yield f"Existing, and the survey has no mass of it: {', '.join(stays)}. See that it is fixed as well."
    if not roof:
        return
    speed, pressure = air_speed_km_h(fit), dynamic_pressure_pa(air_speed_km_h=air_speed_km_h(fit))
    yield (
        f"wind uplift: {at_least(pressure)} Pa at {speed:g} km/h of air ({_figure(fit, 'road_speed_km_h')} on the road "
        f"and {_figure(fit, 'gust_km_h')} of gust), times {_figure(fit, 'roof_suction')} of suction, times the panel's "
        "area, less its weight. Edges and the front lift more than the middle; that is not calculated."
    )
    if any(lift.feet for lift in roof):
        yield (
            "a foot: a quarter of it. Where a panel has six, those in the middle are not counted on, as a stiff frame "
            f"leaves them little. with safety: times {_figure(fit, 'fixing_safety')}, for feet, screws, inserts and "
            "what is under them."
        )
    yield (
        f"glue: the same with safety, at {_figure(fit, 'glue_stress_n_mm2')}. Panels that were only glued have come "
        "off: fix them mechanically and seal, with a deflector before the front edge (as the trade reports)."
    )


def _figure(fit: Fit, name: str) -> str:
    """A figure of the rule set with how surely it is known."""
    figure = fit.case.rules.figures[name]
    unit = "" if figure.unit == "factor" else f" {figure.unit}"
    return f"{figure.value:g}{unit} ({figure.state})"
