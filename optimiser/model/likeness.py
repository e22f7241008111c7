"""How much of another build a solution leaves as it is: of builds as good, the one that changes least can be asked for.

What a customer could never see, a fuse as dear and heavy as another or a body a hand further along its board, is
otherwise as the search happened to find it.
"""

from collections.abc import Iterator, Mapping

from optimiser.builds import Build, Fitted, PanelArray
from optimiser.connections import slot_of
from optimiser.model.context import FitOut
from optimiser.model.currents import bank_parallel, bank_series
from optimiser.model.decisions import ArrayOption, Bool, Expr, Option, Stand, total

Alike = Iterator[tuple[int, Expr]]  # how much it counts, and whether it is so

# What a fitter would rather have alike: what is bought, then where it goes, then how it stands there.
_BOUGHT, _WHERE, _STANDS, _PLACE = 1000, 100, 10, 1


def unlike(ctx: FitOut, build: Build) -> Expr:
    """What is not as in a build, weighed; what the model cannot have alike is left out."""
    alike = (*_bodies(ctx, build), *_runs(ctx, build), *_small(ctx, build))
    return total(weight * (1 - so) for weight, so in alike)


def hold_kind(ctx: FitOut, build: Build) -> None:
    """Hold the model to the kind of a build, its bank, converters and arrays; the bank may stand in other rows."""
    for name, slot in ctx.d.slots.items():
        if slot_of(name).converts:
            fitted = build.slot(name)
            for key, pick in slot.pick.items():
                if not (fitted and _is(slot.options[key], fitted, build)):
                    ctx.define(pick == 0)
            ctx.define(slot.present == int(fitted is not None))
    for strings in ctx.d.strings.values():
        arrays = [array for array in build.arrays if array.regulator == strings.regulator]
        for option, flag in strings.options.items():
            ctx.define(flag == int(any(_strung(option, array) for array in arrays)))


def _is(option: Option, fitted: Fitted, build: Build) -> bool:
    """Whether an option is the part fitted, with the changeover of its circuits."""
    bank = build.bank
    if fitted.slot == "inverter":
        device = next((f"+{one.breaker}" for one in build.breakers if one.place == "changeover"), "")
        return option.key == fitted.part + device
    if fitted.slot != "bank":
        return option.key == fitted.part
    its = option.body.name, bank_series(option), bank_parallel(option)
    return its == (bank.module, bank.series, bank.parallel)


def _strung(option: ArrayOption, array: PanelArray) -> bool:
    its = option.panel.name, option.roof_plane, option.series, option.parallel, option.fuse.name if option.fuse else ""
    return its == (array.panel, array.roof_plane, array.series, array.parallel, array.fuse)


# --- what is alike ----------------------------------------------------------------------------------


def _bodies(ctx: FitOut, build: Build) -> Alike:
    for fitted in build.fitted:
        if slot := ctx.d.slots.get(fitted.slot):
            yield _BOUGHT, total(pick for key, pick in slot.pick.items() if _is(slot.options[key], fitted, build))
            yield _WHERE, slot.on.get(fitted.board, 0)
            yield _STANDS, total(s.var for s in slot.stands if _stands(s, fitted, build))
        elif row := ctx.d.rows.get(fitted.slot):
            yield _WHERE, row.on.get(fitted.board, 0)
            yield _STANDS, row.rotated if fitted.rotated else 1 - row.rotated
        if fitted.slot in ctx.d.place:
            x, y = ctx.d.place[fitted.slot]
            yield _PLACE, _equal(ctx, f"place:{fitted.slot}", {x: fitted.x_mm, y: fitted.y_mm})


def _stands(stand: Stand, fitted: Fitted, build: Build) -> bool:
    how = stand.board.place, stand.orientation, stand.rotated
    return _is(stand.option, fitted, build) and how == (fitted.board, fitted.orientation, fitted.rotated)


def _runs(ctx: FitOut, build: Build) -> Alike:
    for run in build.runs:
        if choice := ctx.d.runs.get(run.name):
            if run.cable in choice.cables:
                yield _BOUGHT, choice.cables[run.cable][1]
            if run.fuse in choice.fuses:
                yield _BOUGHT, choice.fuses[run.fuse][1]
            yield _WHERE, total(r.var for r in choice.routes if tuple(way.name for way in r.path.ways) == run.ways)


def _small(ctx: FitOut, build: Build) -> Alike:
    """Counts of shunts, vents and entries, and the fuses of the modules."""
    shunts = {m.shunt: m.count for m in build.measuring}
    vents = {(v.bay, v.vent): v.count for v in build.vents}
    entries = {(e.purpose, e.entry, e.board): e.count for e in build.entries}
    counts = [(var, shunts.get(shunt, 0)) for shunt, var in ctx.d.shunts.items()]
    counts += [(var, vents.get(vent, 0)) for vent, var in ctx.d.vents.items()]
    counts += [(var, entries.get(entry, 0)) for entry, var in ctx.d.entries.items()]
    for var, count in counts:
        yield _BOUGHT, _equal(ctx, var.name, {var: count})
    yield _BOUGHT, total(chosen for fuse, chosen in ctx.d.module_fuses.values() if fuse.name == build.bank.fuse)


def _equal(ctx: FitOut, name: str, wanted: Mapping[Bool, int]) -> Bool:
    """A flag that is only set where these are so."""
    alike = ctx.flag(f"alike:{name}")
    for var, figure in wanted.items():
        ctx.define(var == figure, [alike])
    return alike
