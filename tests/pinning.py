"""The model with every decision fixed to a given build: whether it accepts exactly that one."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations
from typing import TypeVar

from ortools.sat.python import cp_model

from optimiser.basis import bodies
from optimiser.basis.money import STEP_MM
from optimiser.builds import Build, Fitted, PanelArray, PlacedPanel, Run
from optimiser.case import Case, Zone
from optimiser.catalogue import Catalogue
from optimiser.connections import is_regulator
from optimiser.model import mass, roof
from optimiser.model.assemble import assemble
from optimiser.model.context import Active, FitOut, everything
from optimiser.model.decisions import Bool, Row, RunChoice, Slot, Stand
from optimiser.model.packing import Item, Placed, clashes
from optimiser.tables import Tables

K = TypeVar("K")
Fixed = tuple[Bool, int]  # a variable and what it is in the build

SECONDS = 60.0


class Unheard(Exception):
    """The model has no candidate for something in the build, so it cannot even say it."""


def accepts(
    case: Case, catalogue: Catalogue, build: Build, active: Active = everything, *, tables: Tables | None = None
) -> bool:
    """Whether the model for these requirements takes the build as it is.

    Regulators that are alike may be numbered in one order only (symmetry), so every numbering is tried.

    Raises
    ------
    AssertionError
        If the solver gives neither a solution nor a proof that there is none.
    """
    return takes(assemble(case, catalogue, tables=tables, active=active), build)


def takes(ctx: FitOut, build: Build) -> bool:
    """The same of a model that is there already."""
    return any(_accepts(ctx, same) for same in _numberings(ctx, build))


def _accepts(ctx: FitOut, build: Build) -> bool:
    model = ctx.m.clone()
    try:
        for var, value in decisions(ctx, build):
            model.add(var == value)
        moments = _moments(ctx, build)
    except Unheard:
        return False
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = SECONDS
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return False
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
    # The model only bounds the roof's moments; the layout holds those of a placing against these windows.
    windows = mass.roof_windows(ctx, solver.value)
    sums = [sum(both[axis] for both in moments.values()) for axis in (0, 1)]
    return all(low <= whole <= high for whole, (low, high) in zip(sums, windows, strict=True))


def _numberings(ctx: FitOut, build: Build) -> Iterator[Build]:
    slots = [f.slot for f in build.fitted if is_regulator(f.slot)]
    for order in permutations(sorted({*slots, *filter(is_regulator, ctx.d.slots)}), len(slots)):
        new = dict(zip(slots, order, strict=True))
        yield replace(
            build,
            fitted=tuple(replace(f, slot=new.get(f.slot, f.slot)) for f in build.fitted),
            runs=tuple(replace(r, name=new.get(r.name, r.name)) for r in build.runs),
            arrays=tuple(replace(a, regulator=new.get(a.regulator, a.regulator)) for a in build.arrays),
        )


# --- decisions ---------------------------------------------------------------------------------------


def decisions(ctx: FitOut, build: Build) -> Iterator[Fixed]:
    d = ctx.d
    yield from _chosen({str(v): var for v, var in d.voltage.items()}, str(build.system_v))
    _known([f.slot for f in build.fitted], [*d.slots, *d.rows])
    for slot in d.slots.values():
        yield from _slot(ctx, slot, build)
    for row in d.rows.values():
        yield from _row(ctx, row, build)
    yield from _module_fuses(ctx, build)
    yield from _strings(ctx, build)
    yield from _counts(d.panels, Counter((p.zone, p.panel) for p in build.panels))
    vents: Counter[tuple[str, str]] = Counter()
    for vent in build.vents:
        vents[vent.bay, vent.vent] += vent.count
    yield from _counts(d.vents, vents)
    yield from _counts(d.shunts, Counter({m.shunt: m.count for m in build.measuring}))
    entries: Counter[tuple[str, str, str]] = Counter()
    for entry in build.entries:
        entries[entry.purpose, entry.entry, entry.board] += entry.count
    yield from _counts(d.entries, entries)
    yield from _chosen({name: var for name, (_, var) in d.dc_panels.items()}, build.dc_panel)
    for place, devices in d.breakers.items():
        name = next((device.breaker for device in build.breakers if device.place == place), "")
        yield from _chosen({key: var for key, (_, var) in devices.items()}, name)
    yield from _runs(ctx, build)


def _module_fuses(ctx: FitOut, build: Build) -> Iterator[Fixed]:
    key = (build.bank.fuse, build.bank.parallel)
    if build.bank.fuse and key not in ctx.d.module_fuses:
        raise Unheard(f"{key}")
    for other, (_, var) in ctx.d.module_fuses.items():
        yield var, int(other == key)


def _known(names: list[str], known: list[str]) -> None:
    if not set(names) <= set(known):
        raise Unheard(f"{set(names) - set(known)}")


def _chosen(variables: dict[str, Bool], name: str) -> Iterator[Fixed]:
    """Just this one of them; none where the name is empty."""
    if name and name not in variables:
        raise Unheard(name)
    for key, var in variables.items():
        yield var, int(key == name)


def _counts(variables: dict[K, Bool], counts: Counter[K]) -> Iterator[Fixed]:
    if not set(counts) <= set(variables):
        raise Unheard(f"{set(counts) - set(variables)}")
    for key, var in variables.items():
        yield var, counts[key]


def _slot(ctx: FitOut, slot: Slot, build: Build) -> Iterator[Fixed]:
    fitted = build.slot(slot.name)
    stand = _stand(slot, fitted, option_of(build, fitted)) if fitted else None
    for other in slot.stands:
        yield other.var, int(other is stand)
    if fitted is None or stand is None:
        return
    there = slot.existing
    if fitted.existing != (there is not None) or (there and (there.x_mm, there.y_mm) != (fitted.x_mm, fitted.y_mm)):
        raise Unheard(f"{slot.name}: existing or not")
    if not there and not stand.rides:
        yield from zip(ctx.d.place[slot.name], _place(fitted), strict=True)


def option_of(build: Build, fitted: Fitted) -> str:
    bank = build.bank
    if fitted.slot == "inverter":
        changed = [device.breaker for device in build.breakers if device.place == "changeover"]
        return "+".join([fitted.part, *changed])
    if fitted.slot != "bank":
        return fitted.part
    if bank.rows * bank.columns != bank.series * bank.parallel:
        raise Unheard("the block is not the bank")
    return f"bank:{bank.module}:{bank.series}:{bank.parallel}:{bank.rows}"


def _stand(slot: Slot, fitted: Fitted, option: str) -> Stand:
    """The candidate; where a turn makes no difference the model has one for both."""
    ours = [
        s
        for s in slot.stands
        if s.option.key == option and s.board.place == fitted.board and s.orientation == fitted.orientation
    ]
    for stand in ours:
        if stand.rotated == fitted.rotated:
            return stand
    for stand in ours:
        allowed = bodies.may_stand(
            stand.option.body, orientation=fitted.orientation, rotated=fitted.rotated, board=stand.board
        )
        if allowed and stand.option.size(fitted.orientation, fitted.rotated, stand.board) == stand.size:
            return stand
    raise Unheard(f"{slot.name}: {fitted}")


def _place(fitted: Fitted) -> tuple[int, int]:
    if min(fitted.x_mm, fitted.y_mm) < 0:
        raise Unheard(f"{fitted.slot} stands outside its board")
    return fitted.x_mm, fitted.y_mm


def _row(ctx: FitOut, row: Row, build: Build) -> Iterator[Fixed]:
    fitted = build.slot(row.name)
    if fitted is None:
        raise Unheard(row.name)
    yield from _chosen(row.on, fitted.board)
    yield row.rotated, int(fitted.rotated)
    yield from zip(ctx.d.place[row.name], _place(fitted), strict=True)


def _strings(ctx: FitOut, build: Build) -> Iterator[Fixed]:
    by_regulator = {a.regulator: a for a in build.arrays}
    if len(by_regulator) < len(build.arrays):
        raise Unheard("two arrays on one regulator")
    _known(list(by_regulator), list(ctx.d.strings))
    for name, strings in ctx.d.strings.items():
        array = by_regulator.get(name)
        if array and not _labelled(ctx, build, array):
            raise Unheard(f"panels of {array.name}")
        said = {
            (o.roof_plane, o.panel.name, o.series, o.parallel, o.fuse.name if o.fuse else ""): var
            for o, var in strings.options.items()
        }
        key = (array.roof_plane, array.panel, array.series, array.parallel, array.fuse) if array else None
        if key and key not in said:
            raise Unheard(f"{key}")
        for option, var in said.items():
            yield var, int(option == key)


def _labelled(ctx: FitOut, build: Build, array: PanelArray) -> bool:
    """Whether the panels that carry an array's name are those it consists of."""
    plane_of = {zone.name: zone.roof_plane for zone in ctx.case.zones}
    ours = [p for p in build.panels if p.string.rpartition(".")[0] == array.name]
    numbers = Counter(p.string.rpartition(".")[2] for p in ours)
    wanted = {str(k): array.series for k in range(1, array.parallel + 1)} if array.roof_plane else {}
    alike = all((p.panel, plane_of[p.zone]) == (array.panel, array.roof_plane) for p in ours)
    return alike and dict(numbers) == wanted


def _runs(ctx: FitOut, build: Build) -> Iterator[Fixed]:
    solar = {f"solar_{a.name}": ctx.d.strings[a.regulator].run for a in build.arrays}
    laid = {solar.get(run.name, run.name): run for run in build.runs}
    _known(list(laid), list(ctx.d.runs))
    for name, choice in ctx.d.runs.items():
        run = laid.get(name)
        path = (run.start, run.end, run.ways) if run else None
        routes = [(r.path.start, r.path.end, tuple(w.name for w in r.path.ways)) for r in choice.routes]
        if path and path not in routes:
            raise Unheard(f"{name}: {path}")
        for route, said in zip(choice.routes, routes, strict=True):
            yield route.var, int(said == path)
            if run and said == path:
                yield from _cut(choice, run, route.fault_steps)
        yield from _cable(choice, run.cable if run else "", run.fuse if run else "")


def _cut(choice: RunChoice, run: Run, least: int) -> Iterator[Fixed]:
    """Each core as the build says; where that says nothing, to the least, the negative one as the positive."""
    plus = least if run.cut_mm is None else run.cut_mm // STEP_MM
    cut = {"": plus, "+": plus, "-": plus if run.back_mm is None else run.back_mm // STEP_MM}
    if run.back_mm is not None and "-" not in choice.cores:
        raise Unheard(f"{run.name}: a second core")
    for pole, of_core in choice.cores.items():
        yield of_core, cut[pole]
    for name, (_, _, of_it) in choice.cables.items():
        yield of_it, sum(cut[pole] for pole in choice.cores) if name == run.cable else 0


def _cable(choice: RunChoice, cable: str, fuse: str) -> Iterator[Fixed]:
    yield from _chosen({name: chosen for name, (_, chosen, _) in choice.cables.items()}, cable)
    yield from _chosen({name: chosen for name, (_, chosen) in choice.fuses.items()}, fuse)


# --- the roof ----------------------------------------------------------------------------------------


def _moments(ctx: FitOut, build: Build) -> dict[str, tuple[float, float]]:
    """Moment of each zone's panels where they lie [g mm], once it is sure that they may lie there."""
    return {zone.name: _zone(ctx, zone, [p for p in build.panels if p.zone == zone.name]) for zone in ctx.case.zones}


def _zone(ctx: FitOut, zone: Zone, placed: list[PlacedPanel]) -> tuple[float, float]:
    panels = ctx.catalogue.of("panels")
    sheet, (x0, y0) = roof.sheet_of(ctx, zone)
    items: dict[str, Item] = {}
    for name in {p.panel for p in placed}:
        item = roof.item_of(ctx, zone, panels[name])
        if item is None:
            raise Unheard(f"{name} may not lie on {zone.name}")
        items[name] = item
    spots = [Placed(name=p.panel, x=p.x_mm - x0, y=p.y_mm - y0, rotated=p.rotated) for p in placed]
    if clashes(sheet, items.values(), spots, gap=roof.panel_gap(ctx, zone)):
        raise Unheard(f"{zone.name}: panels do not lie so")
    along = across = 0.0
    for p in placed:
        dx, dy = items[p.panel].extent(p.rotated)
        grams = ctx.tables.cost_and_mass(panels[p.panel]).grams
        along, across = along + grams * (p.x_mm + dx / 2), across + grams * (p.y_mm + dy / 2)
    return along, across
