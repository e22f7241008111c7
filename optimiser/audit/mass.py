"""What the fit-out weighs and costs, where its weight goes, and what the build claims of both."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from optimiser.audit.finding import Finding, held
from optimiser.audit.fitted import Fit
from optimiser.audit.wiring import laid_runs
from optimiser.basis import money, paths
from optimiser.basis.money import Worth
from optimiser.case import Trailer, Van
from optimiser.parts import Entry, Panel, Vent
from optimiser.physics import mass
from optimiser.units import CENTS, GRAMS


class Item(NamedTuple):
    """Something added, and where its weight is taken: in a zone or bay, or "" in the middle of the bays."""

    worth: Worth
    x_mm: float
    y_mm: float
    what: str
    place: str = ""


def check(fit: Fit) -> Iterator[Finding]:
    """Masses, the budget and the claims."""
    items = added(fit)
    total, vehicle, limits = total_of(items), fit.case.brief.vehicle, fit.case.limits
    yield held("mass.payload", limit=vehicle.payload_kg, actual=total.grams / GRAMS)
    yield from _trailer(vehicle, items) if isinstance(vehicle, Trailer) else _van(vehicle, items)
    side = sum(mass.side_load_kg(mass_kg=i.worth.grams / GRAMS, y_mm=i.y_mm, track_mm=vehicle.track_mm) for i in items)
    yield held("mass.balance", limit=vehicle.balance_max_kg, actual=abs(side))
    if limits.budget is not None:
        yield held("money.budget", limit=limits.budget, actual=total.cents / CENTS)
    yield from _claims(fit, total)


def total_of(items: list[Item]) -> Worth:
    """All together."""
    return Worth(sum(i.worth.cents for i in items), sum(i.worth.grams for i in items))


def added(fit: Fit) -> list[Item]:
    """Everything that is bought; what stays in the vehicle costs and weighs nothing new."""
    return [*_panels(fit), *_parts(fit), *_wiring(fit)]


def _panels(fit: Fit) -> Iterator[Item]:
    rate = fit.case.brief.labour_per_h
    for placed in fit.build.panels:
        panel = fit.part(placed.panel, Panel)
        length, width = panel.length_mm, panel.width_mm
        along_x, along_y = (width, length) if placed.turned else (length, width)
        what = f"panel {panel.name} of {placed.string}, {placed.zone}"
        middle = placed.x_mm + along_x / 2, placed.y_mm + along_y / 2
        yield Item(money.part_worth(panel, rate), *middle, what, placed.zone)


def _parts(fit: Fit) -> Iterator[Item]:
    rate, middle = fit.case.brief.labour_per_h, paths.wiring_at_mm(fit.case)
    for content in fit.contents:
        if not content.kept:
            bay, its = content.bay, money.part_worth(content.part, rate).times(content.count)
            what = f"{content.slot}: {content.part.name}"
            yield Item(its, bay.x_mm, bay.y_mm, what, bay.name) if bay else Item(its, *middle, what)
    for vent in fit.build.vents:
        bay = fit.case.bay_of[vent.bay]
        its = money.part_worth(fit.part(vent.vent, Vent), rate).times(vent.count)
        yield Item(its, bay.x_mm, bay.y_mm, f"vents of {bay.name}: {vent.vent}", bay.name)


def _wiring(fit: Fit) -> Iterator[Item]:
    rate, middle = fit.case.brief.labour_per_h, paths.wiring_at_mm(fit.case)
    for name, run in laid_runs(fit).items():
        yield Item(money.cable_worth_a_step(run.cable, rate).times(run.steps), *middle, f"cable of {name}")
        yield Item(money.cable_ends_worth(run.cable, rate), *middle, f"cable of {name}")
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


def _trailer(vehicle: Trailer, items: list[Item]) -> Iterator[Finding]:
    axle, hitch = vehicle.base_axle_kg, vehicle.base_hitch_kg
    for item in items:
        on_axle, on_hitch = shares_kg(vehicle, mass_kg=item.worth.grams / GRAMS, x_mm=item.x_mm)
        axle += on_axle
        hitch += on_hitch
    yield held("mass.axle", "axle", limit=vehicle.axle_max_kg, actual=axle)
    yield held("mass.hitch_low", limit=vehicle.hitch_min_kg, actual=hitch)
    yield held("mass.hitch_high", limit=vehicle.hitch_max_kg, actual=hitch)


def _van(vehicle: Van, items: list[Item]) -> Iterator[Finding]:
    front, rear = vehicle.base_front_kg, vehicle.base_rear_kg
    for item in items:
        on_front, on_rear = shares_kg(vehicle, mass_kg=item.worth.grams / GRAMS, x_mm=item.x_mm)
        front += on_front
        rear += on_rear
    yield held("mass.axle", "front axle", limit=vehicle.front_max_kg, actual=front)
    yield held("mass.axle", "rear axle", limit=vehicle.rear_max_kg, actual=rear)


def _claims(fit: Fit, total: Worth) -> Iterator[Finding]:
    claim = fit.build.claim
    if claim.cost_cents is not None:
        off = abs(claim.cost_cents - total.cents) / CENTS
        yield held("claim.cost", f"{claim.cost_cents / CENTS:.2f}", limit=0, actual=off)
    if claim.mass_g is not None:
        off = abs(claim.mass_g - total.grams) / GRAMS
        yield held("claim.mass", f"{claim.mass_g / GRAMS:.3f} kg", limit=0, actual=off)
