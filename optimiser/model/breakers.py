"""The mains box where the build fills it: a device for each run at it, and for whole sides of it; the bonds."""

from optimiser.basis import mains
from optimiser.builds import FittedBreaker
from optimiser.connections import connection_of
from optimiser.model.context import Figure, FitOut
from optimiser.model.currents import inlet_ma
from optimiser.model.decisions import Bool, Expr, Value, total
from optimiser.model.uses import carried
from optimiser.parts import Breaker
from optimiser.units import MILLI, at_least, at_most

SIDES = {"residual_hook_up": "mains_inlet", "residual_inverter": "inverter_out"}
"""Place of a device of a whole side -> the run that brings its current."""
CHANGES = "changeover"


def decide(ctx: FitOut) -> None:
    """One device for each run at the box, and perhaps one for residual current alone on each side."""
    if not ctx.case.brief.fills_mains_box:
        return
    runs = {name: run.on for name, run in ctx.d.runs.items() if connection_of(name).kind == "mains"}
    for place, on in runs.items():
        devices = _offer(ctx, place)
        ctx.define(total(devices) == on)
    for place, run in SIDES.items():
        if run in runs:
            ctx.define(total(_offer(ctx, place, ("residual",))) <= runs[run])
    _offer(ctx, CHANGES, ("manual_changeover", "automatic_changeover"))
    inverter = ctx.d.slots["inverter"]
    for name, (_, chosen) in ctx.d.breakers[CHANGES].items():
        ctx.define(chosen == total(flag for key, flag in inverter.pick.items() if key.endswith(f"+{name}")))


def _offer(ctx: FitOut, place: str, kinds: tuple[str, ...] = ("breaker", "combined")) -> list[Bool]:
    offered = ctx.d.breakers.setdefault(place, {})
    for device in ctx.catalogue.of("breakers").values():
        if device.kind in kinds:
            chosen = ctx.flag(f"{place}:{device.name}")
            offered[device.name] = (device, chosen)
            worth = ctx.tables.cost_and_mass(device)
            ctx.cost.append(worth.cents * chosen)
            ctx.d.breaker_grams = ctx.d.breaker_grams + worth.grams * chosen
    return [chosen for _, chosen in offered.values()]


def require(ctx: FitOut) -> None:
    """Ratings, residual current, room, bonds; that no breaker is above what its cable stands is in `wiring`."""
    brief = ctx.case.brief
    if not brief.fills_mains_box:
        return
    taken: Expr = mains.WIRED_MODULES * sum(circuit.wired for circuit in brief.circuits)
    for place, devices in ctx.d.breakers.items():
        _ratings(ctx, place)
        taken = taken + total(device.modules * chosen for device, chosen in devices.values())
    box = ctx.d.slots["mains_box"]
    ctx.require("breaker.modules", taken <= box.picked(lambda o: o.body.modules))
    _residual(ctx)
    _bonds(ctx)


def _ratings(ctx: FitOut, place: str) -> None:
    inlet, devices = ctx.case.brief.inlet, ctx.d.breakers[place].values()
    ratings: list[Figure] = [(at_most(device.rating_a, MILLI), chosen) for device, chosen in devices]
    rating = total(amps * chosen for amps, chosen in ratings)
    run = SIDES.get(place, "inverter_out" if place == CHANGES else place)
    if place == "mains_inlet":
        ctx.require("breaker.over_load", inlet_ma(ctx) <= rating, place)
        most_ma = at_most(inlet.rating_a, MILLI) if inlet else 0
        ctx.require("breaker.under_cable", rating <= most_ma, place)
    else:
        fitted = total(chosen for _, chosen in ratings)
        asked = max((c.rating_a for c in ctx.case.brief.circuits if place == f"outlet_{c.name}"), default=0.0)
        least = at_least(asked, MILLI)
        needed: list[Figure] = [(max(use.amps_ma, least), use.flag) for use in carried(ctx)[run].uses]
        if inlet and place in (CHANGES, "residual_inverter"):  # on hook-up what that gives
            passed = at_least(inlet.rating_a, MILLI)
            needed += [
                (passed, flag) for key, flag in _inverters(ctx) if ctx.d.slots["inverter"].options[key].body.reached
            ]
        if place in SIDES or place == CHANGES:  # perhaps there is none
            for amps, flag in needed:
                ctx.require("breaker.over_load", amps * (flag + fitted - 1) <= rating, place)
        else:
            ctx.cover("breaker.over_load", needed, ratings, place)
    if inlet:
        weak = total(chosen for device, chosen in devices if device.breaking_mains_a < inlet.fault_a)
        ctx.require("breaker.breaking", weak <= 0, place)


def _residual(ctx: FitOut) -> None:
    """Before each circuit, charger and inverter-charger there is one that trips at no more than is allowed."""
    source = {f"outlet_{circuit.name}": circuit.source for circuit in ctx.case.brief.circuits}
    for place in ctx.d.breakers:
        if place not in source and place not in ("mains_feed", "inverter_in"):
            continue
        side = f"residual_{source.get(place, 'hook_up')}"
        before = total(_trips(ctx, at) for at in (place, side, SIDES[side]))
        ctx.require("breaker.residual", before >= ctx.d.runs[place].on, place)
        if side == "residual_inverter":  # and on hook-up, where the circuits are changed over
            before = total(_trips(ctx, at) for at in (place, side, "residual_hook_up", "mains_inlet"))
            changed = total(chosen for _, chosen in ctx.d.breakers[CHANGES].values())
            ctx.require("breaker.residual", before >= changed, place)


def _inverters(ctx: FitOut) -> list[tuple[str, Bool]]:
    return list(ctx.d.slots["inverter"].pick.items())


def _trips(ctx: FitOut, place: str) -> Expr:
    return total(chosen for device, chosen in ctx.d.breakers.get(place, {}).values() if _sees(device))


def _sees(device: Breaker) -> bool:
    return device.residual_type in mains.SEES and 0 < device.residual_ma <= mains.RESIDUAL_MA


def _bonds(ctx: FitOut) -> None:
    """Exactly one wherever the circuits are fed from."""
    inverter = ctx.d.slots["inverter"]
    for key, chosen in inverter.pick.items():
        body = inverter.options[key].body
        if ctx.case.brief.inlet and body.transfers and body.bond == "fixed":
            ctx.require("mains.bond", chosen == 0, "hook_up")
        if body.bond not in ("fixed", "switched") and not mains.takes_link(body):
            ctx.require("mains.bond", chosen == 0, "inverter")


def read(ctx: FitOut, value: Value) -> tuple[FittedBreaker, ...]:
    """The devices of the build."""
    return tuple(
        FittedBreaker(place, name)
        for place, devices in ctx.d.breakers.items()
        for name, (_, chosen) in devices.items()
        if value(chosen)
    )
