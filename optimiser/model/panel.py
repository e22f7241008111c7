"""The fuse panel of the 12 V loads: a way, with its fuse, for each circuit and for each cable through a wall."""

from optimiser.connections import connection_of
from optimiser.model.context import Figure, FitOut
from optimiser.model.decisions import RunChoice, Value, total
from optimiser.model.uses import carried
from optimiser.units import MILLI, at_least, at_most


def decide(ctx: FitOut) -> None:
    """One of them, where the brief has circuits. It is fixed at its point, on no board."""
    if not ctx.case.brief.dc_circuits:
        return
    x_mm, y_mm = ctx.wiring_at
    for panel in ctx.catalogue.of("dc_panels").values():
        chosen = ctx.flag(f"dc_panel:{panel.name}")
        ctx.d.dc_panels[panel.name] = (panel, chosen)
        ctx.count(ctx.tables.cost_and_mass(panel), chosen, x_mm=x_mm, y_mm=y_mm)
    ctx.define(total(chosen for _, chosen in ctx.d.dc_panels.values()) == 1)


def require(ctx: FitOut) -> None:
    """Ways enough; no fuse above what a way or the panel stands, or of another form."""
    if not ctx.case.brief.dc_circuits:
        return
    panels = ctx.d.dc_panels.values()
    ways, needed = total(panel.ways * chosen for panel, chosen in panels), ctx.case.brief.panel_ways
    ctx.require("panel.ways", ways >= needed)
    if spare := ctx.case.preferences.spare_ways:
        ctx.require("preference.spare_ways", ways >= needed + spare)
    for name, run in ctx.d.runs.items():
        if connection_of(name).guard == "panel" and run.fuses:
            _way(ctx, run)
    _rating(ctx)


def _way(ctx: FitOut, run: RunChoice) -> None:
    fuses = [(at_least(fuse.rating_a, MILLI), chosen) for fuse, chosen in run.fuses.values()]
    stands = [(at_most(panel.way_max_a, MILLI), chosen) for panel, chosen in ctx.d.dc_panels.values()]
    ctx.cover("panel.way_rating", fuses, stands, run.name)
    for fuse, chosen in run.fuses.values():
        fits = [flag for panel, flag in ctx.d.dc_panels.values() if panel.family == fuse.family]
        ctx.define(chosen <= total(fits))


def _rating(ctx: FitOut) -> None:
    """It stands the loads, and what passes the fuse before it; or what a step-down drives into a fault."""
    stands: list[Figure] = [(at_most(p.rating_a, MILLI), chosen) for p, chosen in ctx.d.dc_panels.values()]
    what, run = carried(ctx)["dc_loads"], ctx.d.runs["dc_loads"]
    rating = total(amps * chosen for amps, chosen in stands)
    for amps, when in what.demands:
        ctx.require("panel.rating", rating >= amps, "", when)
    before = [(at_least(fuse.rating_a, MILLI), chosen) for fuse, chosen in run.fuses.values()]
    ctx.cover("panel.rating", before, stands)


def read(ctx: FitOut, value: Value) -> str:
    """The panel of the build; empty where the brief has no circuits."""
    return next((name for name, (_, chosen) in ctx.d.dc_panels.items() if value(chosen)), "")
