"""What the fit-out weighs and costs, piece by piece, which axle carries it, and what it comes to in each measure."""

from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from optimiser.basis import money, paths, volts, year
from optimiser.basis.money import CostAndMass
from optimiser.case import Trailer, Van
from optimiser.fitted import hours
from optimiser.fitted.cores import ends_to_make
from optimiser.fitted.fit import Fit
from optimiser.fitted.links import links_of
from optimiser.fitted.links import worth as links_worth
from optimiser.fitted.old_parts import old_uses
from optimiser.fitted.wiring import routed_runs
from optimiser.measures import Measure
from optimiser.parts import Entry, Panel, Vent
from optimiser.physics import mass
from optimiser.units import CENTS, GRAMS

OLD = "old parts"
_KILO = 1000


def figures(fit: Fit) -> dict[Measure, float]:
    """Measure -> figure in its unit."""
    worth = total_of(added(fit))
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
        if not array.roof_plane:
            given += ends.efficiency * year.panel_wh(fit.case, None, panel)
            continue
        for zone, count in Counter(p.zone for p in fit.roof_panels(array) if p.panel == array.panel).items():
            given += ends.efficiency * count * year.panel_wh(fit.case, fit.zone_of[zone], panel)
    dc, sockets = year.loads_wh(fit.case)
    drawn = volts.dc_loads_w(dc, fit.step_down) + sockets / hours.inverter_efficiency(fit)
    heaters = sum(days * 24 * hours.heater_w(fit, day) for days, day in year.months(fit.case))
    return given - drawn - heaters - year.hours_of_year() * hours.idle_w(fit)


# --- what the fit-out weighs and costs, piece by piece, and which axle carries it ---------------------


class Item(NamedTuple):
    """Something added, and where its weight is taken: in a zone or bay, or "" in the middle of the bays."""

    worth: CostAndMass
    x_mm: float
    y_mm: float
    what: str
    place: str = ""


def total_of(items: list[Item]) -> CostAndMass:
    """All together."""
    return CostAndMass(sum(i.worth.cents for i in items), sum(i.worth.grams for i in items))


def added(fit: Fit) -> list[Item]:
    """Everything that is bought, less what comes out; what is existing costs and weighs nothing new."""
    return [*_panels(fit), *_parts(fit), *_wiring(fit), *_old(fit)]


def _old(fit: Fit) -> Iterator[Item]:
    for use in old_uses(fit):
        its = use.worth(fit.case.brief.labour_per_h)
        yield Item(its, use.row.x_mm, use.row.y_mm, f"{use.row.name}, taken out", OLD)


def _panels(fit: Fit) -> Iterator[Item]:
    rate = fit.case.brief.labour_per_h
    for placed in fit.build.panels:
        panel = fit.part(placed.panel, Panel)
        length, width = panel.length_mm, panel.width_mm
        along_x, along_y = (width, length) if placed.rotated else (length, width)
        what = f"panel {panel.name} of {placed.string}, {placed.zone}"
        middle = placed.x_mm + along_x / 2, placed.y_mm + along_y / 2
        yield Item(money.part_worth(panel, rate), *middle, what, placed.zone)


def _parts(fit: Fit) -> Iterator[Item]:
    rate, middle = fit.case.brief.labour_per_h, paths.wiring_at_mm(fit.case)
    for content in fit.contents:
        if not content.existing:
            bay, its = content.bay, money.part_worth(content.part, rate).times(content.count)
            what = f"{content.slot}: {content.part.name}"
            yield Item(its, bay.x_mm, bay.y_mm, what, bay.name) if bay else Item(its, *middle, what)
    for vent in fit.build.vents:
        bay = fit.case.bay_of[vent.bay]
        its = money.part_worth(fit.part(vent.vent, Vent), rate).times(vent.count)
        yield Item(its, bay.x_mm, bay.y_mm, f"vents of {bay.name}: {vent.vent}", bay.name)


def _wiring(fit: Fit) -> Iterator[Item]:
    rate, middle = fit.case.brief.labour_per_h, paths.wiring_at_mm(fit.case)
    for name, run in routed_runs(fit).items():
        yield Item(money.core_worth_a_step(run.cable, rate).times(run.total_steps), *middle, f"cable of {name}")
        ends = money.cable_end_worth(run.cable, rate).times(ends_to_make(fit, run))
        yield Item(ends, *middle, f"cable of {name}")
    if (bay := fit.bay("bank")) and links_of(fit):
        yield Item(links_worth(fit), bay.x_mm, bay.y_mm, "links of the bank", bay.name)
    for entry in fit.build.entries:
        its = money.part_worth(fit.part(entry.entry, Entry), rate).times(entry.count)
        yield Item(its, *middle, f"entry {entry.purpose}: {entry.entry}")


def shares_kg(vehicle: Trailer | Van, *, mass_kg: float, x_mm: float) -> tuple[float, float]:
    """What axle and hitch of a trailer, or front and rear axle of a van, carry of a mass at ``x_mm`` [kg]."""
    if isinstance(vehicle, Trailer):
        arm, length = x_mm - vehicle.axle_x_mm, vehicle.coupling_x_mm - vehicle.axle_x_mm
        on_hitch = mass.hitch_share_kg(mass_kg=mass_kg, ahead_of_axle_mm=arm, coupling_to_axle_mm=length)
        return mass.axle_share_kg(mass_kg=mass_kg, ahead_of_axle_mm=arm, coupling_to_axle_mm=length), on_hitch
    front_x, rear_x = vehicle.front_axle_x_mm, vehicle.rear_axle_x_mm
    return mass.axle_loads_kg(mass_kg=mass_kg, x_mm=x_mm, front_axle_x_mm=front_x, rear_axle_x_mm=rear_x)
