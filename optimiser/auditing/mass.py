"""What the fit-out weighs and costs, where its weight goes, and what the build claims of both."""

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, checked
from optimiser.basis.money import CostAndMass
from optimiser.case import Trailer, Van
from optimiser.fitted.figures import Item, added, shares_kg, total_of
from optimiser.fitted.fit import Fit
from optimiser.physics import mass
from optimiser.units import CENTS, GRAMS


def check(fit: Fit) -> Iterator[Finding]:
    """Masses, the budget and the claims."""
    items = added(fit)
    total, vehicle, limits = total_of(items), fit.case.brief.vehicle, fit.case.limits
    yield checked("mass.payload", limit=vehicle.payload_kg, actual=total.grams / GRAMS)
    yield from _trailer(vehicle, items) if isinstance(vehicle, Trailer) else _van(vehicle, items)
    side = sum(mass.side_load_kg(mass_kg=i.worth.grams / GRAMS, y_mm=i.y_mm, track_mm=vehicle.track_mm) for i in items)
    yield checked("mass.balance", limit=vehicle.balance_max_kg, actual=abs(side))
    if limits.budget is not None:
        yield checked("money.budget", limit=limits.budget, actual=total.cents / CENTS)
    yield from _claims(fit, total)


def _trailer(vehicle: Trailer, items: list[Item]) -> Iterator[Finding]:
    axle, hitch = vehicle.base_axle_kg, vehicle.base_hitch_kg
    for item in items:
        on_axle, on_hitch = shares_kg(vehicle, mass_kg=item.worth.grams / GRAMS, x_mm=item.x_mm)
        axle += on_axle
        hitch += on_hitch
    yield checked("mass.axle", "axle", limit=vehicle.axle_max_kg, actual=axle)
    yield checked("mass.hitch_low", limit=vehicle.hitch_min_kg, actual=hitch)
    yield checked("mass.hitch_high", limit=vehicle.hitch_max_kg, actual=hitch)


def _van(vehicle: Van, items: list[Item]) -> Iterator[Finding]:
    front, rear = vehicle.base_front_kg, vehicle.base_rear_kg
    for item in items:
        on_front, on_rear = shares_kg(vehicle, mass_kg=item.worth.grams / GRAMS, x_mm=item.x_mm)
        front += on_front
        rear += on_rear
    yield checked("mass.axle", "front axle", limit=vehicle.front_max_kg, actual=front)
    yield checked("mass.axle", "rear axle", limit=vehicle.rear_max_kg, actual=rear)


def _claims(fit: Fit, total: CostAndMass) -> Iterator[Finding]:
    claim = fit.build.claim
    if claim.cost_cents is not None:
        off = abs(claim.cost_cents - total.cents) / CENTS
        yield checked("claim.cost", f"{claim.cost_cents / CENTS:.2f}", limit=0, actual=off)
    if claim.mass_g is not None:
        off = abs(claim.mass_g - total.grams) / GRAMS
        yield checked("claim.mass", f"{claim.mass_g / GRAMS:.3f} kg", limit=0, actual=off)
