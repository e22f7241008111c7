"""Cables: which runs there are, and the path, cable and fuse each may have.

What the cores of a run are cut to is split over the cables it may have (only the chosen one gets any), so that its
cost, mass and resistance are linear and the relaxation stays tight. Each is at least that of ways and allowances, and
from holes to the nearest boards; what the bodies add is in `lengths`, what the runs must hold in `wiring`.
"""

from collections.abc import Mapping
from dataclasses import replace

from optimiser.basis import faces, money, paths
from optimiser.builds import Run
from optimiser.connections import CONNECTIONS, ROWS, SLOTS, Connection, Kind, connection_of, is_regulator
from optimiser.model.context import FitOut, Mass
from optimiser.model.cores import cores_of, ends_mm, least_pieces, poles_of
from optimiser.model.decisions import Bool, Expr, Literal, Route, RunChoice, Value, total
from optimiser.model.slots import add_row, add_slot, options_of, row_member
from optimiser.tables import Surroundings

BEFORE_FUSES = ("main", "dc_loads")  # runs that a fault may have to come through before it meets its fuse
Ends = Mapping[str, Expr]  # node -> whether the run ends there


def decide(ctx: FitOut) -> None:
    """What every build has beside its bank, and the fuse row. The runs follow once everything has its slot."""
    for slot in SLOTS.values():
        if slot.always:
            ctx.d.slots[slot.name] = add_slot(ctx, slot.name, options_of(ctx, *slot.files), present=1)
    ctx.d.rows["fuse_row"] = add_row(ctx, "fuse_row")


def decide_runs(ctx: FitOut) -> None:
    """Every run the build may have."""
    for connection in CONNECTIONS.values():
        if connection.name == "regulator":
            _solar(ctx)
        elif connection.name == "pass":
            _pass_throughs(ctx)
        elif connection.name == "circuit":
            _circuits(ctx)
        elif connection.name == "outlet":
            _outlets(ctx)
        elif connection.name != "solar" and _may_be(ctx, connection):
            on = ctx.d.slots[connection.serves].present if connection.serves else 1
            if connection.name == "inverter_in":
                on = ctx.d.slots["inverter"].picked(lambda o: int(o.body.transfers))
            fused = ctx.d.voltage.get(12, 0) if connection.name == "dc_loads" else connection.fused
            _add(ctx, connection, on, _at(ctx, connection.start), _at(ctx, connection.end), fused)


def _may_be(ctx: FitOut, connection: Connection) -> bool:
    """Whether the model has the slot that it serves, and the brief what feeds it."""
    fed = not connection.needs or getattr(ctx.case.brief, connection.needs) is not None
    return fed and (not connection.serves or connection.serves in ctx.d.slots)


def _at(ctx: FitOut, end: str) -> Ends:
    """Where an end of a run may be: the bays its slot may be in, or the one node of a point."""
    if end in ctx.d.slots or end in ROWS:  # the rows stand by the busbars
        return ctx.d.slots["busbar" if end in ROWS else end].at
    brief = ctx.case.brief
    return {brief.dc_panel_point if end == "dc_panel" else getattr(brief, end).point: 1}


def _solar(ctx: FitOut) -> None:
    """From the roof to each regulator, and on to the busbars."""
    for name, strings in ctx.d.strings.items():
        slot = ctx.d.slots[name]
        if is_regulator(name):
            _add(ctx, connection_of(name), slot.present, slot.at, _at(ctx, "busbar"), fused=True)
        starts: dict[str, Expr] = {}
        for option, var in strings.options.items():
            portable = ctx.case.brief.portable
            node = ctx.case.roof_planes[option.roof_plane][0].entry if option.roof_plane else portable.point  # type: ignore[union-attr]
            starts[node] = starts.get(node, 0) + var
        _add(ctx, connection_of(strings.run), strings.used, starts, slot.at)


def _circuits(ctx: FitOut) -> None:
    """From the fuse panel to the point of each circuit that is not wired already."""
    for circuit in ctx.case.brief.dc_circuits:
        if not circuit.wired and circuit.point:
            _add(ctx, connection_of(f"circuit_{circuit.name}"), 1, _at(ctx, "dc_panel"), {circuit.point: 1}, fused=True)


def _outlets(ctx: FitOut) -> None:
    """From the mains box to the point of each mains circuit that is not wired already."""
    box = ctx.d.slots["mains_box"]
    for circuit in ctx.case.brief.circuits:
        if not circuit.wired and circuit.point:
            _add(ctx, connection_of(f"outlet_{circuit.name}"), box.present, box.at, {circuit.point: 1})


def _pass_throughs(ctx: FitOut) -> None:
    for outside in ctx.case.brief.pass_throughs:
        bays: dict[str, Expr] = {}
        for (purpose, _, place), var in ctx.d.entries.items():
            if purpose == outside.name:
                bay = ctx.case.board_of[place].bay
                bays[bay] = bays.get(bay, 0) + var
        connection = connection_of(f"pass_{outside.name}")
        if outside.carries == "data":
            connection = replace(connection, kind="data")
        _add(ctx, connection, 1, bays, {outside.point: 1}, fused=outside.carries == "power" and outside.current_a > 0)


def _add(ctx: FitOut, connection: Connection, on: Expr, start: Ends, end: Ends, fused: Expr | bool = False) -> None:
    if isinstance(on, int) and on == 0:
        return
    name, kind = connection.name, connection.kind
    run = RunChoice(name, on, _routes(ctx, name, kind, start, end), {}, {}, {})
    ctx.define(total(r.var for r in run.routes) == on)
    for ends, side in ((start, "start"), (end, "end")):
        for node, there in ends.items():
            ctx.define(total(r.var for r in run.routes if getattr(r.path, side) == node) <= there)
    _cores(ctx, run, kind)
    shortest = min((r.steps for r in run.routes), default=0)
    longest = max((r.steps for r in run.routes), default=0) + len(run.cores) * _most_inside(ctx)
    sure_ends, more_ends = _ends_to_make(ctx, name)
    for cable in ctx.catalogue.of("cables").values():
        if cable.kind != kind or _too_thin(ctx, name, cable.section_mm2, kind):
            continue
        chosen, steps = ctx.flag(f"{name}:{cable.name}"), ctx.number(0, longest, f"{name}:{cable.name}:steps")
        ctx.define(steps <= longest * chosen)
        ctx.define(steps >= shortest * chosen)
        run.cables[cable.name] = (cable, chosen, steps)
        x, y = ctx.wiring_at
        ctx.count(ctx.tables.core_step(cable), steps, x_mm=x, y_mm=y)
        an_end = ctx.tables.cable_end(cable)
        ctx.count(an_end.times(sure_ends), chosen, x_mm=x, y_mm=y)
        for more, when in more_ends:
            ctx.count(an_end.times(more), _both(ctx, chosen, when), x_mm=x, y_mm=y)
    ctx.define(total(chosen for _, chosen, _ in run.cables.values()) == on)
    ctx.define(total(steps for _, _, steps in run.cables.values()) == total(run.cores.values()))
    if name in BEFORE_FUSES:
        _least(ctx, run)
    if fused is not False:
        _fuses(ctx, run, on if fused is True else fused)
    ctx.d.runs[name] = run


def _cores(ctx: FitOut, run: RunChoice, kind: Kind) -> None:
    """How far each is cut, by itself."""
    for pole in poles_of(kind):
        longest = max((r.core_steps[pole] for r in run.routes), default=0) + _most_inside(ctx)
        run.cores[pole] = ctx.number(0, longest, f"{run.name}{pole}:steps")
        ctx.define(run.cores[pole] >= total(r.core_steps[pole] * r.var for r in run.routes))


def _ends_to_make(ctx: FitOut, name: str) -> tuple[int, list[tuple[int, Literal]]]:
    """Of all cores of a run: so many for sure, and so many more where a literal holds."""
    cores = list(cores_of(ctx, name))
    sure = sum(core.ends for core in cores if not core.when)
    at_times: dict[str, tuple[Literal, int]] = {}
    for core in cores:
        for literal in core.when:
            _, so_far = at_times.get(str(literal), (literal, 0))
            at_times[str(literal)] = literal, so_far + core.ends
    least = min((ends for _, ends in at_times.values()), default=0)
    return sure + least, [(ends - least, literal) for literal, ends in at_times.values() if ends > least]


def _both(ctx: FitOut, chosen: Bool, literal: Literal) -> Bool:
    both = ctx.flag(f"{chosen.name} where {literal}")
    ctx.m.add_implication(both, chosen)
    ctx.m.add_implication(both, literal)
    ctx.m.add_bool_or(both, ~chosen, ~literal)
    return both


def _most_inside(ctx: FitOut) -> int:
    """Steps of three legs between bodies, two to holes, and six ends: no run has more (see `lengths`)."""
    inside_mm = 5 * max(2 * sum(bay.inside) + bay.cable_allowance_mm for bay in ctx.case.bays)
    return money.cut_steps(inside_mm + ends_mm(ctx, 3))


def _least(ctx: FitOut, run: RunChoice) -> None:
    """Steps of the chosen cable without what bodies add: so much of it holds a fault back for sure."""
    for name, (_, _, steps) in run.cables.items():
        longest = max((r.fault_steps for r in run.routes), default=0)
        run.least[name] = ctx.number(0, longest, f"{run.name}:{name}:least")
        ctx.define(len(run.cores) * run.least[name] <= steps)
    ctx.define(total(run.least.values()) <= total(r.fault_steps * r.var for r in run.routes))


def _too_thin(ctx: FitOut, run: str, section_mm2: float, kind: str) -> bool:
    if kind == "data" or not ctx.is_active("run.section", run):
        return False
    return section_mm2 < ctx.case.rules["main_section_min_mm2" if kind == "mains" else "dc_section_min_mm2"]


def _routes(ctx: FitOut, run: str, kind: str, start: Ends, end: Ends) -> list[Route]:
    graph = paths.network(ctx.case)
    barred, pieces = "low" if kind == "mains" else "mains", least_pieces(ctx, run)
    routes = []
    for a in start:
        for b in end:
            for path in paths.shortest(ctx.case, graph, a, b):
                if any(w.carries == barred and ctx.is_active("way.carries", w.name) for w in path.ways):
                    continue
                label = f"{run}:{a}>{b}:" + ">".join(w.name for w in path.ways)
                routes.append(Route(path, *_lengths(ctx, run, path, pieces), _around(ctx, path), ctx.flag(label)))
    return routes


def _lengths(ctx: FitOut, run: str, path: paths.Path, pieces: Mapping[str, int]) -> tuple[int, Mapping[str, int], int]:
    """Along its ways [mm], and the least steps that each core is cut to; and those that hold a fault back."""
    case, a, b = ctx.case, path.start, path.end
    ways_mm = faces.ways_mm(case, path.ways)
    to_boards_mm = 0
    if path.ways and connection_of(run).guard != "panel":  # its ends in bays are bodies on boards
        ends = [(node, way.name) for node, way in ((a, path.ways[0]), (b, path.ways[-1])) if node in case.bay_of]
        to_boards_mm = sum(faces.nearest_board_mm(case, *end) for end in ends)
    least_mm = paths.run_length_mm(case, a, b, ways_mm)
    core_steps = {
        pole: money.cut_steps(max(least_mm, ways_mm + ends_mm(ctx, count) + to_boards_mm))
        for pole, count in pieces.items()
    }
    fault_mm = paths.run_length_mm(case, a, b, sum(way.length_mm for way in path.ways))
    return ways_mm, core_steps, money.cut_steps(fault_mm)


def _around(ctx: FitOut, path: paths.Path) -> frozenset[Surroundings]:
    """The bays at its ends and on its way, and its ways."""
    found = {Surroundings(w.temp_c, w.closed) for w in path.ways}
    nodes = {path.start, path.end, *(node for w in path.ways for node in (w.start, w.end))}
    if not nodes.isdisjoint(ctx.case.bay_of):
        found.add(Surroundings(ctx.case.limits.bay_air_max_c, in_duct=False))
    return frozenset(found)


def _fuses(ctx: FitOut, run: RunChoice, on: Expr) -> None:
    """One fuse, and the holder it goes in: the main one by the bank, some at their feed, the others in the fuse row."""
    x, y = ctx.wiring_at
    guard = connection_of(run.name).guard
    at_feed = guard in ("feed", "panel")  # starter battery, 12 V panel: in no bay
    in_panel = guard == "panel" and bool(ctx.d.dc_panels)  # whose ways hold it
    by_holder: dict[str, list[Bool]] = {}
    for fuse in ctx.catalogue.of("fuses").values():
        if in_panel and all(fuse.family != panel.family for panel, _ in ctx.d.dc_panels.values()):
            continue
        chosen = ctx.flag(f"{run.name}:{fuse.name}")
        run.fuses[fuse.name] = (fuse, chosen)
        by_holder.setdefault(fuse.holder, []).append(chosen)
        ctx.cost.append(ctx.tables.cost_and_mass(fuse).cents * chosen)
    ctx.define(total(chosen for _, chosen in run.fuses.values()) == on)
    grams = run.of_fuse(lambda f: ctx.tables.cost_and_mass(f).grams)
    row = ctx.d.rows["fuse_row"]
    if at_feed:
        ctx.masses.append(Mass(1, grams, x, y))
    elif guard == "fuse_row":  # the main fuse weighs where its slot stands, the others in the row
        row.grams = row.grams + grams
    for name, fuses in by_holder.items():
        holder = ctx.catalogue.of("holders")[name]
        used = ctx.is_sum(fuses, f"{run.name}:{name}")
        if guard == "main_fuse":
            ctx.define(used == ctx.d.slots["main_fuse"].pick.get(name, 0))
            continue
        worth = ctx.tables.cost_and_mass(holder)
        if in_panel:
            continue
        if at_feed:
            ctx.count(worth, used, x_mm=x, y_mm=y)
            continue
        row_member(ctx, row, holder, used, holder.width_mm * used)
        ctx.cost.append(worth.cents * used)
        row.grams = row.grams + worth.grams * used


def read(ctx: FitOut, value: Value) -> tuple[Run, ...]:
    """The runs of the build."""
    return tuple(
        Run(
            name=run.name,
            start=route.path.start,
            end=route.path.end,
            ways=tuple(w.name for w in route.path.ways),
            cable=next(c.name for c, chosen, _ in run.cables.values() if value(chosen)),
            fuse=next((f.name for f, chosen in run.fuses.values() if value(chosen)), ""),
            cut_mm=cut_mm[0],
            back_mm=cut_mm[1] if len(cut_mm) > 1 else None,
        )
        for run in ctx.d.runs.values()
        for route in run.routes
        if value(route.var)
        for cut_mm in [[money.STEP_MM * value(steps) for steps in run.cores.values()]]
    )
