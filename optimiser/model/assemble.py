"""Builds the model of a case for a set of active requirements, and reads a build out of a solution."""

from collections.abc import Sequence
from dataclasses import replace

from ortools.sat.python import cp_model

from optimiser.builds import Build, Fitted, PlacedPanel
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model import (
    air,
    battery,
    bays,
    breakers,
    cables,
    converters,
    energy,
    lengths,
    links,
    mass,
    measuring,
    module_fuses,
    old_parts,
    panel,
    preferences,
    protection,
    roof,
    sizes,
    space,
    strings,
    wiring,
)
from optimiser.model.along_faces import AlongFaces
from optimiser.model.at_least import AtLeast
from optimiser.model.context import Active, FitOut, Learned, everything
from optimiser.model.decisions import Value
from optimiser.moves import Ladder
from optimiser.tables import Tables


def assemble(
    case: Case,
    catalogue: Catalogue,
    *,
    tables: Tables | None = None,
    active: Active = everything,
    learned: Sequence[Learned] = (),
    ladders: Sequence[Ladder] = (),
    apart: bool = True,
) -> FitOut:
    """The whole model, without an objective; limits on values that have a ladder may be eased by its rungs.

    Where bodies need not keep ``apart`` it is a relaxation, in which no more is missing than `keep_apart` posts.

    Runs join what other families stand, so they are decided after the slots; masses are summed when every
    family has said what it adds. Nothing else depends on the order.
    """
    tables = tables or Tables(case, catalogue)
    ctx = FitOut(case, catalogue, tables, active, learned=tuple(learned), ladders=tuple(ladders))
    for family in (battery, roof, strings, converters, cables, panel, measuring, bays, module_fuses):
        family.decide(ctx)
    cables.decide_runs(ctx)
    links.decide(ctx)
    breakers.decide(ctx)
    for family in (battery, roof, strings, converters, measuring, bays, air):
        family.require(ctx)
    protection.require(ctx, AlongFaces(ctx))
    for other in (wiring, module_fuses, panel, breakers, old_parts, energy, mass, sizes, preferences):
        other.require(ctx)
    if apart:
        keep_apart(ctx)
    return ctx


def keep_apart(ctx: FitOut) -> None:
    """What was left out of a model in which bodies need not keep apart: that they do, and cables that reach by them."""
    lengths.require(ctx, AlongFaces(ctx))
    bays.keep_apart(ctx)
    space.require(ctx)


def loosely(ctx: FitOut) -> cp_model.CpModel:
    """A copy of a model in which bodies need not keep apart, with what cables take at least wherever they stand."""
    own = ctx.m
    ctx.m = own.clone()
    lengths.require(ctx, AtLeast(ctx))
    loose, ctx.m = ctx.m, own
    return loose


def read(ctx: FitOut, value: Value, panels: tuple[PlacedPanel, ...]) -> Build:
    """The build of a solution; ``panels`` are laid out apart."""
    system_v, bank = battery.read(ctx, value)
    shunts, entries = measuring.read(ctx, value)
    return Build(
        case=ctx.case.name,
        system_v=system_v,
        bank=replace(bank, fuse=module_fuses.read(ctx, value)),
        panels=panels,
        arrays=strings.read(ctx, value),
        fitted=_fitted(ctx, value),
        runs=cables.read(ctx, value),
        vents=bays.read(ctx, value),
        measuring=shunts,
        entries=entries,
        dc_panel=panel.read(ctx, value),
        breakers=breakers.read(ctx, value),
    )


def _fitted(ctx: FitOut, value: Value) -> tuple[Fitted, ...]:
    fitted = []
    for slot in ctx.d.slots.values():
        for stand in slot.stands:
            if not value(stand.var):
                continue
            x, y = (0, 0) if stand.rides else _corner(ctx, slot.name, value)
            part = "" if slot.name == "bank" else stand.option.body.name
            fitted.append(
                Fitted(slot.name, part, stand.board.place, x, y, stand.orientation, stand.rotated, bool(slot.existing))
            )
    for row in ctx.d.rows.values():
        place = next(place for place, var in row.on.items() if value(var))
        x, y = _corner(ctx, row.name, value)
        fitted.append(Fitted(row.name, "", place, x, y, "flat", bool(value(row.rotated))))
    return tuple(fitted)


def _corner(ctx: FitOut, name: str, value: Value) -> tuple[int, int]:
    slot = ctx.d.slots.get(name)
    if slot is not None and slot.existing:
        return slot.existing.x_mm, slot.existing.y_mm
    x, y = ctx.d.place[name]
    return value(x), value(y)
