"""What comes out of the vehicle: its weight, its value, and what is fitted again in place of what would be bought."""

from optimiser.basis import money
from optimiser.case import OldPart
from optimiser.model.context import FitOut, Mass
from optimiser.model.decisions import Expr, total
from optimiser.parts import Module, Part

_MOST = 100  # of one type in a build


def require(ctx: FitOut) -> None:
    """Count it all: how many are fitted again is how many there are, or how many the build has of the type."""
    rate = ctx.case.brief.labour_per_h
    for row in ctx.case.old_parts:
        part = ctx.catalogue.find(row.part) if row.part else None
        out = money.taken_out(row, part, rate).times(row.count)
        ctx.cost.append(out.cents)
        ctx.masses.append(Mass(out.grams, 1, row.x_mm, row.y_mm))
        if part is not None:
            ctx.cost.append(money.fitted_again_cents(row, part) * _again(ctx, row, part))


def _again(ctx: FitOut, row: OldPart, part: Part) -> Expr:
    if isinstance(part, Module):
        banks = ctx.d.slots["bank"]
        return banks.picked(lambda o: _of_bank(part, row, o.count) if o.body.name == part.name else 0)
    fitted = _fitted(ctx, part.name)
    again, all_of_them = ctx.number(0, row.count, f"old:{row.name}"), ctx.flag(f"old:{row.name}:all")
    ctx.define(again <= fitted)
    ctx.define(again >= row.count * all_of_them)
    ctx.define(again >= fitted - _MOST * all_of_them)
    return again


def _of_bank(part: Module, row: OldPart, modules: int) -> int:
    """Old ones alone; beside new ones only where the maker lets them join."""
    return min(modules, row.count) if part.joins_old or modules <= row.count else 0


def _fitted(ctx: FitOut, name: str) -> Expr:
    """How many of a type the build has, on the roof and in slots; what stays is none of them."""
    roof = total(count for (_, panel), count in ctx.d.panels.items() if panel == name)
    slots = [slot for key, slot in ctx.d.slots.items() if key != "bank" and not slot.existing]
    in_slots = total(var for slot in slots for key, var in slot.pick.items() if slot.options[key].body.name == name)
    return roof + in_slots
