"""Which bodies each core of a run goes by, from its start to its end: so many pieces it is cut in."""

from collections.abc import Iterator, Sequence
from math import ceil
from typing import NamedTuple

from optimiser.connections import Kind, connection_of
from optimiser.model.context import FitOut
from optimiser.model.decisions import Literal


class Core(NamedTuple):
    """A core, or a cable of several: its pole, what bodies it goes by, "" for a point outside, and when it is so."""

    pole: str
    by: tuple[str, ...]
    when: Sequence[Literal]

    @property
    def pieces(self) -> int:
        """It is cut in so many."""
        return len(self.by) - 1

    @property
    def ends(self) -> int:
        """Ends to make."""
        return 2 * self.pieces


def poles_of(kind: Kind) -> tuple[str, ...]:
    """Of the cores of a run that are cut by themselves; "" for a cable of several."""
    return ("+", "-") if kind in ("dc", "solar") else ("",)


def cores_of(ctx: FitOut, name: str) -> Iterator[Core]:
    """Of a run, each by itself: by its fuse and isolator, and by its shunt."""
    connection = connection_of(name)
    if name == "main":
        yield from _main(ctx)
    elif name == "dc_loads":
        yield from _loads(ctx)
    elif connection.guard == "panel":
        data = any(o.carries == "data" for o in ctx.case.brief.pass_throughs if f"pass_{o.name}" == name)
        for pole in poles_of("data" if data else "dc"):
            yield Core(pole, ("", ""), [])
    elif connection.kind in ("mains", "data"):
        yield Core("", _ends(ctx, name), [])
    elif name in ctx.d.strings or connection.kind == "solar":
        yield from _of_array(ctx, name)
    else:
        start, end = _ends(ctx, name)
        rows = (("+", "fuse_row", connection.guard == "fuse_row"), ("-", "shunt_row", connection.measured))
        for pole, row, by in rows:
            yield Core(pole, (start, row, end) if by else (start, end), [])


def _of_array(ctx: FitOut, name: str) -> Iterator[Core]:
    """From it to its regulator, or on to the busbars: the one or the other goes by a shunt."""
    strings = next(strings for strings in ctx.d.strings.values() if name in (strings.run, strings.regulator))
    assert strings.measured is not None
    where_it_ends, behind = strings.measured
    start, end = ("", strings.regulator) if name == strings.run else (name, "busbar")
    shunt = where_it_ends if name == strings.run else behind
    yield Core("+", (start, end) if name == strings.run else (start, "fuse_row", end), [])
    yield Core("-", (start, end), [~shunt])
    yield Core("-", (start, "shunt_row", end), [shunt])


def _main(ctx: FitOut) -> Iterator[Core]:
    """A fuse on the bank's terminal parts no core, and takes no board."""
    rides = [stand.var for stand in ctx.d.slots["main_fuse"].stands if stand.rides]
    on_terminal = ctx.is_sum(rides, "main_fuse:on_terminal") if rides else None
    yield Core("+", ("bank", "main_fuse", "isolator", "busbar"), [] if on_terminal is None else [~on_terminal])
    if on_terminal is not None:
        yield Core("+", ("bank", "isolator", "busbar"), [on_terminal])
    yield Core("-", ("bank", "busbar") if ctx.case.brief.monitor == "no" else ("bank", "shunt_row", "busbar"), [])


def _loads(ctx: FitOut) -> Iterator[Core]:
    """From the busbars, or without a fuse from the step-down."""
    at_12_v = ctx.d.voltage.get(12)
    if at_12_v is not None:
        yield Core("+", ("busbar", "fuse_row", ""), [at_12_v])
        yield Core("-", ("busbar", "shunt_row", ""), [at_12_v])
    if len(ctx.d.voltage) > (at_12_v is not None):
        when = [] if at_12_v is None else [~at_12_v]
        yield Core("+", ("step_down", ""), when)
        yield Core("-", ("step_down", "shunt_row", ""), when)


def _ends(ctx: FitOut, name: str) -> tuple[str, str]:
    """Slots at both ends of a run; "" for a point."""
    connection = connection_of(name)
    regulators = (strings.regulator for strings in ctx.d.strings.values() if strings.run == name)
    start, end = connection.start, next(regulators, connection.end)
    known = ctx.d.slots.keys() | ctx.d.rows.keys()
    return start if start in known else "", end if end in known else ""


def ends_mm(ctx: FitOut, pieces: int) -> int:
    """Of cable for the ends of so many pieces."""
    return ceil(2 * ctx.case.rules["end_mm"]) * pieces


def least_pieces(ctx: FitOut, name: str) -> dict[str, int]:
    """Pole -> pieces that its core is cut in for sure."""
    by_pole: dict[str, list[Core]] = {}
    for core in cores_of(ctx, name):
        by_pole.setdefault(core.pole, []).append(core)
    return {
        pole: max((core.pieces for core in cores if not core.when), default=min(core.pieces for core in cores))
        for pole, cores in by_pole.items()
    }
