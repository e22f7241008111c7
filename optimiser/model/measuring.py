"""Measuring and entries: shunts, display and switch; glands through the roof and pass-throughs in the walls."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from optimiser.basis import money
from optimiser.builds import FittedEntry, Measuring
from optimiser.connections import CONNECTIONS
from optimiser.model.context import Figure, FitOut
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


class _Measured(NamedTuple):
    """Currents alike of one run that may have to be measured, and what their channels have to stand and take.

    ``amps`` : mA, and how many there are of so much. ``cables`` : mm2 / 100 of the run's cable, and whether it is that.
    """

    run: str
    most: int
    there: Expr
    amps: Sequence[Figure]
    cables: Sequence[Figure]


def _currents(ctx: FitOut) -> Iterator[_Measured]:
    """All that may be there."""
    left_out = {"solar"} | ({"main"} if ctx.case.brief.monitor == "no" else set())
    for name in (c.name for c in CONNECTIONS.values() if c.measured and c.name not in left_out):
        if name in ctx.d.runs:
            amps = _fuses(ctx, name)
            if name == "dc_loads":  # behind a step-down without a fuse
                amps.append((at_least(ctx.tables.peaks.dc_w / 12, MILLI), 1 - total(chosen for _, chosen in amps)))
            yield _Measured(name, 1, total(chosen for _, chosen in amps), amps, _cables(ctx, name))
    for strings in ctx.d.strings.values():
        yield from _of_array(ctx, strings)


def _of_array(ctx: FitOut, strings: Strings) -> Iterator[_Measured]:
    """One for each string, or for its regulator's output: each through the cable of the run that it is measured in."""
    assert strings.measured is not None
    _, behind = strings.measured
    most = max((option.parallel for option in strings.options), default=0)
    here = ctx.number(0, most, f"{strings.run}:channels")
    ours = [(ctx.tables.solar_ma(o.panel, 1), o.parallel * var) for o, var in strings.options.items()]
    ctx.define(here >= total(count for _, count in ours) - most * behind)
    yield _Measured(strings.run, most, here, ours, _cables(ctx, strings.run))
    if strings.regulator in ctx.d.runs:
        name = strings.regulator
        yield _Measured(name, 1, behind, _fuses(ctx, name), _cables(ctx, name))


def _fuses(ctx: FitOut, run: str) -> list[Figure]:
    return [(at_least(fuse.rating_a, MILLI), chosen) for fuse, chosen in ctx.d.runs[run].fuses.values()]


def _cables(ctx: FitOut, run: str) -> list[Figure]:
    return [(at_least(c.section_mm2, 100), chosen) for c, chosen, _ in ctx.d.runs[run].cables.values()]


def _channels(ctx: FitOut) -> None:
    """A channel for each current, and all shown. Which kind of shunt measures which is chosen with the rest."""
    currents = list(_currents(ctx))
    shown = ctx.d.slots["display"].picked(lambda o: o.body.channels)
    ctx.require("measure.display", shown >= total(current.there for current in currents))
    if not ctx.is_active("measure.channels"):
        return
    alike: dict[tuple[int, int], Expr] = {}  # mA, mm2 / 100 of the terminals (0: any) -> channels
    for name, shunt in ctx.catalogue.of("shunts").items():
        kind = at_most(shunt.rating_a, MILLI), at_most(shunt.terminal_mm2, 100)
        alike[kind] = alike.get(kind, 0) + shunt.channels * ctx.d.shunts[name]
    given = [_given(ctx, current, alike) for current in currents]
    for kind, channels in alike.items():
        ctx.require("measure.channels", total(by[kind] for by in given) <= channels)


def _given(ctx: FitOut, current: _Measured, kinds: Iterable[tuple[int, int]]) -> dict[tuple[int, int], Bool]:
    """How many have a channel of each kind: none of less than the fuse lets through, or than the cable's terminal."""
    name = f"{current.run}:measured by"
    by = {(amps, mm2): ctx.number(0, current.most, f"{name}:{amps}:{mm2}") for amps, mm2 in kinds}
    ctx.require("measure.channels", total(by.values()) >= current.there)
    for amps in sorted({amps for amps, _ in by}):
        few = total(count for (rating, _), count in by.items() if rating <= amps)
        ctx.require("measure.channels", few <= total(count for wanted, count in current.amps if wanted <= amps))
    for mm2 in sorted({mm2 for _, mm2 in by if mm2}):
        thin = total(count for (_, takes), count in by.items() if 0 < takes <= mm2)
        chosen = total(flag for section, flag in current.cables if section <= mm2)
        ctx.require("measure.channels", thin <= current.most * chosen)
    return by


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
