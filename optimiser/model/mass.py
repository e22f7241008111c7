"""Mass and money: payload, axles, hitch, balance, the load of each bay, and the budget.

Posted last, when every family has said what its parts cost and weigh.
"""

from collections.abc import Callable

from optimiser.case import Trailer, Van
from optimiser.model.context import FitOut, Mass
from optimiser.model.decisions import Bool, Expr, total
from optimiser.units import CENTS, GRAMS, at_least, at_most

MOST_ROW_G = 100_000


def require(ctx: FitOut) -> None:
    """Everything that has to do with what the fit-out weighs, and where; and what it may cost."""
    _rows(ctx)
    for bay in ctx.case.bays:
        own = total(
            s.option.worth.grams * s.var
            for slot in ctx.d.slots.values()
            for s in slot.stands
            if s.board.bay == bay.name
        )
        rows = total(grams for (_, place), grams in ctx.row_grams.items() if place == bay.name)
        allowed = ctx.limit(f"bay.{bay.name}.mass_max_kg", bay.mass_max_kg, _grams)
        ctx.require("bay.mass", own + rows <= allowed, bay.name)
        ctx.note("bay.mass", own + rows, GRAMS, bay.name)
    vehicle = ctx.case.brief.vehicle
    ctx.require("mass.payload", mass_g(ctx) <= ctx.limit("vehicle.payload_kg", vehicle.payload_kg, _grams))
    ctx.note("mass.payload", mass_g(ctx), GRAMS)
    if isinstance(vehicle, Trailer):
        _trailer(ctx, vehicle)
    else:
        _van(ctx, vehicle)
    rightmost, leftmost = _moments(ctx, "y")
    # left minus right wheel load is the moment over half the track
    track = vehicle.track_mm
    allowed = ctx.limit("vehicle.balance_max_kg", vehicle.balance_max_kg, lambda kg: _grams(kg * track / 2))
    ctx.require("mass.balance", rightmost <= allowed)
    ctx.require("mass.balance", leftmost >= -allowed)
    budget = ctx.case.limits.budget
    if budget is not None:
        ctx.require("money.budget", cost_cents(ctx) <= ctx.limit("limits.budget", budget, lambda m: at_most(m, CENTS)))
        ctx.note("money.budget", cost_cents(ctx), CENTS)


def _grams(kg: float) -> int:
    return at_most(kg, GRAMS)


def cost_cents(ctx: FitOut) -> Expr:
    """What the fit-out costs."""
    return total(ctx.cost)


def mass_g(ctx: FitOut) -> Expr:
    """What the fit-out weighs."""
    return total(m.grams * m.var for m in ctx.masses) + _roof_g(ctx)


def _roof_g(ctx: FitOut) -> Expr:
    panels = ctx.catalogue.of("panels")
    return total(ctx.tables.cost_and_mass(panels[p]).grams * n for (_, p), n in ctx.d.panels.items())


def _rows(ctx: FitOut) -> None:
    """What is in a row, a holder or a box weighs where that stands, fuses and links of modules with the bank."""
    main_fuse = ctx.d.runs["main"].of_fuse(lambda f: ctx.tables.cost_and_mass(f).grams)
    carried = [(row.name, row.at, row.grams) for row in ctx.d.rows.values()]
    carried.append(("main_fuse", ctx.d.slots["main_fuse"].at, main_fuse))
    if ctx.d.module_fuses:
        carried.append(("module_fuses", ctx.d.slots["bank"].at, ctx.d.module_fuse_grams))
    if ctx.d.runs["main"].links_mm:
        carried.append(("links", ctx.d.slots["bank"].at, ctx.d.link_grams))
    if ctx.d.breakers:
        carried.append(("breakers", ctx.d.slots["mains_box"].at, ctx.d.breaker_grams))
    for name, at, grams in carried:
        parts: list[Bool] = []
        for bay in ctx.case.bays:
            if bay.name not in at:
                continue
            here = ctx.number(0, MOST_ROW_G, f"{name}@{bay.name}:grams")
            ctx.define(here <= MOST_ROW_G * at[bay.name])
            ctx.row_grams[name, bay.name] = here
            ctx.masses.append(Mass(1, here, bay.x_mm, bay.y_mm))
            parts.append(here)
        ctx.define(total(parts) == grams)


def _moments(ctx: FitOut, axis: str) -> tuple[Expr, Expr]:
    """Least and most moment of everything fitted about the vehicle's origin [g mm], as the panels may lie."""
    fixed = total(m.grams * (m.x_mm if axis == "x" else m.y_mm) * m.var for m in ctx.masses)
    ends = [both for (_, along), both in ctx.d.roof_moment.items() if along == axis]
    return fixed + total(low for low, _ in ends), fixed + total(high for _, high in ends)


def _beyond(base_kg: float, lever_mm: int) -> Callable[[float], int]:
    """What a load allowed leaves beyond what is there, as a moment over a lever [g mm]."""
    return lambda kg: _grams((kg - base_kg) * lever_mm)


def _trailer(ctx: FitOut, vehicle: Trailer) -> None:
    """The hitch takes its share of everything ahead of the axle, and gives back what is behind it."""
    lever = vehicle.coupling_x_mm - vehicle.axle_x_mm
    least, most = (moment - vehicle.axle_x_mm * mass_g(ctx) for moment in _moments(ctx, "x"))
    base_kg = vehicle.base_hitch_kg
    high = ctx.limit("vehicle.hitch_max_kg", vehicle.hitch_max_kg, _beyond(base_kg, lever))
    low = ctx.limit("vehicle.hitch_min_kg", vehicle.hitch_min_kg, lambda kg: at_least((kg - base_kg) * lever, GRAMS))
    ctx.require("mass.hitch_high", least <= high)
    ctx.require("mass.hitch_low", most >= low)
    ctx.note("mass.hitch_high", least, lever * GRAMS, plus=base_kg)
    ctx.note("mass.hitch_low", most, lever * GRAMS, plus=base_kg)
    room = ctx.limit("vehicle.axle_max_kg", vehicle.axle_max_kg, _beyond(vehicle.base_axle_kg, lever))
    ctx.require("mass.axle", lever * mass_g(ctx) - most <= room, "axle")
    ctx.note("mass.axle", lever * mass_g(ctx) - most, lever * GRAMS, "axle", vehicle.base_axle_kg)
    if ctx.is_active("mass.hitch_high"):  # what the axle is spared, the hitch carries: both at once
        ctx.require("mass.axle", lever * mass_g(ctx) <= room + high, "axle")


def _van(ctx: FitOut, vehicle: Van) -> None:
    """Front and rear axle share what is fitted by its distance to the other."""
    base = vehicle.front_axle_x_mm - vehicle.rear_axle_x_mm
    least, most = (moment - vehicle.rear_axle_x_mm * mass_g(ctx) for moment in _moments(ctx, "x"))
    front = ctx.limit("vehicle.front_max_kg", vehicle.front_max_kg, _beyond(vehicle.base_front_kg, base))
    rear = ctx.limit("vehicle.rear_max_kg", vehicle.rear_max_kg, _beyond(vehicle.base_rear_kg, base))
    ctx.require("mass.axle", least <= front, "front axle")
    ctx.require("mass.axle", base * mass_g(ctx) - most <= rear, "rear axle")
    ctx.note("mass.axle", least, base * GRAMS, "front axle", vehicle.base_front_kg)
    ctx.note("mass.axle", base * mass_g(ctx) - most, base * GRAMS, "rear axle", vehicle.base_rear_kg)
    if ctx.is_active("mass.axle", "front axle"):  # what the one is spared, the other carries: both at once
        ctx.require("mass.axle", base * mass_g(ctx) <= rear + front, "rear axle")


def roof_windows(ctx: FitOut, value: Callable[[Expr], int]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the roof's moments along x and y may lie with everything else as in a solution [g mm]."""
    far = float("inf")
    vehicle = ctx.case_of(value).brief.vehicle
    mass, other_x, other_y = value(mass_g(ctx)), 0, 0
    for m in ctx.masses:
        grams = m.grams * value(m.var)
        other_x, other_y = other_x + grams * m.x_mm, other_y + grams * m.y_mm

    def limit(name: str, bound: float, place: str = "") -> float:
        return bound if ctx.is_active(name, place) else far

    if isinstance(vehicle, Trailer):
        axle, lever = vehicle.axle_x_mm, vehicle.coupling_x_mm - vehicle.axle_x_mm
        high = limit("mass.hitch_high", (vehicle.hitch_max_kg - vehicle.base_hitch_kg) * lever * GRAMS)
        low = -min(
            limit("mass.hitch_low", -(vehicle.hitch_min_kg - vehicle.base_hitch_kg) * lever * GRAMS),
            limit("mass.axle", (vehicle.axle_max_kg - vehicle.base_axle_kg) * lever * GRAMS - lever * mass, "axle"),
        )
    else:
        axle, base = vehicle.rear_axle_x_mm, vehicle.front_axle_x_mm - vehicle.rear_axle_x_mm
        high = limit("mass.axle", (vehicle.front_max_kg - vehicle.base_front_kg) * base * GRAMS, "front axle")
        rear = (vehicle.rear_max_kg - vehicle.base_rear_kg) * base * GRAMS
        low = -limit("mass.axle", rear - base * mass, "rear axle")
    side = limit("mass.balance", vehicle.balance_max_kg * vehicle.track_mm / 2 * GRAMS)
    shift = axle * mass - other_x
    return (low + shift, high + shift), (-side - other_y, side - other_y)
