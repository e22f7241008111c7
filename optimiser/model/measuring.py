"""Measuring and entries: shunts, display and switch; glands through the roof and pass-throughs in the walls."""

from collections.abc import Iterator

from optimiser.basis import money
from optimiser.builds import FittedEntry, Measuring
from optimiser.connections import CONNECTIONS
from optimiser.model.context import FitOut
from optimiser.model.decisions import Bool, Expr, Strings, Value, total
from optimiser.model.slots import add_row, add_slot, options_of, row_member
from optimiser.parts import Entry
from optimiser.units import MILLI, at_least, at_most

MOST_SHUNTS = 4  # of one type
ROOF_IP = 65  # a roof entry stands driving rain at speed (common practice, no source)


def decide(ctx: FitOut) -> None:
    """Shunts in the shunt row, the inverter's switch, and the entries."""
    row = add_row(ctx, "shunt_row")
    ctx.d.rows["shunt_row"] = row
    for shunt in ctx.catalogue.of("shunts").values():
        count = ctx.number(0, MOST_SHUNTS, f"shunts:{shunt.name}")
        used = ctx.flag(f"shunts:{shunt.name}:used")
        ctx.define(count <= MOST_SHUNTS * used)
        ctx.define(used <= count)  # the row reaches no further than what is in it
        row_member(ctx, row, shunt, used, shunt.width_mm * count)
        worth = ctx.tables.cost_and_mass(shunt)
        ctx.cost.append(worth.cents * count)
        row.grams = row.grams + worth.grams * count
        ctx.d.shunts[shunt.name] = count
    ctx.d.slots["switch"] = add_slot(ctx, "switch", options_of(ctx, "switches"))
    for strings in ctx.d.strings.values():
        strings.measured = _where(ctx, strings)
    _decide_entries(ctx)


def _where(ctx: FitOut, strings: Strings) -> tuple[Bool, Bool]:
    """Whether an array is measured where it ends, or not: if there is a shunt, as they all are by the busbars."""
    at_shunts, shunts = ctx.d.slots[strings.regulator].at, ctx.d.rows["shunt_row"].at
    here, behind = (ctx.flag(f"{strings.run}:measured_{where}") for where in ("here", "behind"))
    ctx.define(here + behind == strings.used)
    for bay, ends in at_shunts.items():
        ctx.define(here + ends <= 1 + shunts.get(bay, 0))
        ctx.define(behind + ends + shunts.get(bay, 0) <= 2)
    return here, behind


def _decide_entries(ctx: FitOut) -> None:
    entries = ctx.catalogue.of("entries").values()
    for plane in ctx.case.roof_planes:
        for entry in entries:
            if entry.kind == "gland" and (entry.ip_class >= ROOF_IP or not ctx.is_active("entry.sealing", plane)):
                _add_entry(ctx, plane, entry, "", 2 * len(ctx.d.strings))
    for outside in ctx.case.brief.pass_throughs:
        for entry in entries:
            if entry.kind != "pass_through":
                continue
            if entry.carries not in (outside.carries, "any") and ctx.is_active("entry.cables", outside.name):
                continue
            if entry.ip_class < outside.ip_class and ctx.is_active("entry.sealing", outside.name):
                continue
            for board in ctx.case.boards:
                if board.kind == "wall" and (
                    board.outside_wall or not ctx.is_active("entry.outside_wall", outside.name)
                ):
                    _add_entry(ctx, outside.name, entry, board.place, 1)
        ours = [v for (purpose, _, _), v in ctx.d.entries.items() if purpose == outside.name]
        ctx.define(total(ours) == 1)


def _add_entry(ctx: FitOut, purpose: str, entry: Entry, board: str, most: int) -> None:
    count = ctx.number(0, most, f"entry:{purpose}:{entry.name}:{board}")
    x, y = ctx.wiring_at
    ctx.count(ctx.tables.cost_and_mass(entry), count, x_mm=x, y_mm=y)
    ctx.d.entries[purpose, entry.name, board] = count


def require(ctx: FitOut) -> None:
    """A channel for each current, shown; a switch for the inverter; entries for the cables through them."""
    _channels(ctx)
    switch, inverter = ctx.d.slots["switch"], ctx.d.slots["inverter"]
    ctx.define(switch.present <= inverter.present)
    ctx.require("measure.switch", switch.present >= inverter.present)
    for plane in ctx.case.roof_planes:
        _glands(ctx, plane)
    for outside in ctx.case.brief.pass_throughs:
        _passes(ctx, outside.name)


def _currents(ctx: FitOut) -> Iterator[tuple[int, int, Expr]]:
    """Currents to measure but those of arrays: mA that a channel must stand, how many, and whether they are there."""
    for name in (c.name for c in CONNECTIONS.values() if c.measured and c.name != "solar"):
        if name in ctx.d.runs:
            for fuse, chosen in ctx.d.runs[name].fuses.values():
                yield at_least(fuse.rating_a, MILLI), 1, chosen
    loads = ctx.d.runs["dc_loads"]  # behind a step-down without a fuse
    yield at_least(ctx.tables.peaks.dc_w / 12, MILLI), 1, 1 - total(chosen for _, chosen in loads.fuses.values())


def _channels(ctx: FitOut) -> None:
    """Channels are nested by rating: for each rating, as many above it as currents above it."""
    shunts = ctx.catalogue.of("shunts")
    currents = list(_currents(ctx))
    ratings = {name: at_most(s.rating_a, MILLI) for name, s in shunts.items()}
    for rating in sorted({0, *ratings.values()}):
        above = total(shunts[n].channels * count for n, count in ctx.d.shunts.items() if ratings[n] > rating)
        wanted = total(n * there for amps, n, there in currents if amps > rating or not rating)
        wanted += total(_of_array(ctx, strings, rating) for strings in ctx.d.strings.values())
        ctx.require("measure.channels", above >= wanted, f"{rating // MILLI} A")
        if not rating:
            shown = ctx.d.slots["display"].picked(lambda o: o.body.channels)
            ctx.require("measure.display", shown >= wanted)


def _of_array(ctx: FitOut, strings: Strings, rating: int) -> Expr:
    """Channels that an array needs, of more mA than that: one for each string, or for its regulator's output."""
    assert strings.measured is not None
    _, behind = strings.measured
    most = max((option.parallel for option in strings.options), default=0)
    needed = ctx.number(0, max(most, 1), f"{strings.run}:channels:{rating}")
    ours = [(ctx.tables.solar_ma(o.panel, 1), o.parallel, var) for o, var in strings.options.items()]
    ctx.define(needed >= total(n * var for amps, n, var in ours if amps > rating or not rating) - most * behind)
    if strings.regulator in ctx.d.runs:
        fuses = ctx.d.runs[strings.regulator].fuses.values()
        large = [chosen for fuse, chosen in fuses if at_least(fuse.rating_a, MILLI) > rating or not rating]
        ctx.define(needed >= total(large) + behind - 1)
    return needed


def _glands(ctx: FitOut, plane: str) -> None:
    """Two cables come in for each array; a gland seals on cables up to its own thickness."""
    entries = ctx.catalogue.of("entries")
    ours = {e: n for (purpose, e, _), n in ctx.d.entries.items() if purpose == plane}
    arrays = []
    for strings in ctx.d.strings.values():
        here = [v for o, v in strings.options.items() if o.roof_plane == plane]
        arrays.append(total(here))
        run = ctx.d.runs[strings.run]
        for entry, count in ours.items():
            for cable, chosen, _ in run.cables.values():
                if cable.outside_mm > entries[entry].outside_max_mm:
                    ctx.require("entry.cables", count <= 2 * len(ctx.d.strings) * (2 - chosen - total(here)), plane)
    capacity = total(entries[e].cables * n for e, n in ours.items())
    ctx.require("entry.cables", capacity >= 2 * total(arrays), plane)


def _passes(ctx: FitOut, name: str) -> None:
    entries, run = ctx.catalogue.of("entries"), ctx.d.runs[f"pass_{name}"]
    for (purpose, entry, _), count in ctx.d.entries.items():
        if purpose != name:
            continue
        for cable, chosen, _ in run.cables.values():
            if cable.outside_mm > entries[entry].outside_max_mm or money.cores(cable) > entries[entry].cables:
                ctx.require("entry.cables", count + chosen <= 1, name)


def read(ctx: FitOut, value: Value) -> tuple[tuple[Measuring, ...], tuple[FittedEntry, ...]]:
    """Shunts and entries of the build."""
    shunts = tuple(Measuring(name, n) for name, var in ctx.d.shunts.items() if (n := value(var)))
    entries = tuple(
        FittedEntry(purpose, entry, n, board)
        for (purpose, entry, board), var in ctx.d.entries.items()
        if (n := value(var))
    )
    return shunts, entries
