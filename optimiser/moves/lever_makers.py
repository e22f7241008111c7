"""What makes levers: one kind of value each, all rows or files of that kind that a requirement could mean."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from optimiser.case import Case, Load
from optimiser.catalogue import Catalogue
from optimiser.moves.address import rows_of
from optimiser.moves.lever import Lever
from optimiser.moves.move import MoveProblem
from optimiser.moves.values import NONE_AT_ZERO
from optimiser.reading.wording import among
from optimiser.requirements import REGISTER


@dataclass(frozen=True)
class Ask:
    """A requirement, perhaps at a place, of a case and catalogue."""

    case: Case
    catalogue: Catalogue
    name: str
    place: str


Maker = Callable[[Ask], Iterator[Lever]]
Where = Callable[[Any], bool]  # of a row, a part or a value: whether it counts

_UNITS = {
    "mm": "mm",
    "mm2": "mm2",
    "cm2": "cm2",
    "kg": "kg",
    "w": "W",
    "v": "V",
    "a": "A",
    "h": "h",
    "pct": "%",
    "c": "C",
    "k": "K",
    "deg": "deg",
}


def unit_of(case: Case, column: str) -> str:
    """The unit in a column's name, or an empty string where it is a count or a share."""
    if column == "budget":
        return case.brief.currency
    return _UNITS.get(column.rpartition("_")[2], "")


def step_of(name: str) -> float:
    """How far the register moves a requirement's limit, whichever way."""
    step = REGISTER[name].step
    assert step is not None, name
    return abs(step)


def _any(_: Any) -> bool:
    return True


def one(address: str, sign: int, words: str, *, step: float | None = None, where: Where = _any) -> Maker:
    """A value of a table with one row, where the case has it."""

    def make(ask: Ask) -> Iterator[Lever]:
        table, _, column = address.partition(".")
        value = getattr(getattr(ask.case.brief, table), column, None)
        if value is not None and where(value):
            yield Lever(address, sign * (step or step_of(ask.name)), unit_of(ask.case, column), words, act=True)

    return make


def rule(figure: str, sign: int, words: str) -> Maker:
    """A figure of the rule set."""

    def make(ask: Ask) -> Iterator[Lever]:
        if figure in ask.case.rules.figures:
            yield Lever(f"rule.{figure}", sign * step_of(ask.name), unit_of(ask.case, figure), words, act=False)

    return make


def rows(table: str, column: str, sign: int, words: str, *, like: str = "", where: Where = _any) -> Maker:
    """A column of a table of the case: of the row at the place, or of every one. ``like`` has the step."""

    def make(ask: Ask) -> Iterator[Lever]:
        for name, row in placed(ask, table).items():
            if where(row):
                step = sign * step_of(like or ask.name)
                unit = unit_of(ask.case, column)
                yield Lever(f"{table}.{name}.{column}", step, unit, words.format(name), act=True)

    return make


def turned(table: str, column: str, to: str, words: str, *, placed_there: bool = True, where: Where) -> Maker:
    """A column of words of a table of the case, of the row at the place, or of every one."""

    def make(ask: Ask) -> Iterator[Lever]:
        found = placed(ask, table) if placed_there else rows_of(ask.case, table)
        for name, row in found.items():
            if where(row):
                yield Lever(f"{table}.{name}.{column}", None, "", words.format(name), act=True, to=to)

    return make


def placed(ask: Ask, table: str) -> dict[str, Any]:
    """Name -> the row at the place, or every row where no place is named.

    Raises
    ------
    MoveProblem
        If the table has no such row.
    """
    known = rows_of(ask.case, table)
    if ask.place and ask.place not in known:
        raise MoveProblem(f"{ask.name}[{ask.place}]: no {table} {ask.place!r}; expected {among(ask.place, known)}")
    return {ask.place: known[ask.place]} if ask.place else known


def files(*keys: str, column: str, sign: int, words: str, step: float | None = None, where: Where = _any) -> Maker:
    """A column of catalogue files, where a part of them has the thing at all. ``{}`` in the words is the file."""

    def make(ask: Ask) -> Iterator[Lever]:
        for key in keys:
            has = [p for p in ask.catalogue.of(key).values() if column not in NONE_AT_ZERO or getattr(p, column) != 0]
            if any(where(part) for part in has):
                far, unit = sign * (step or step_of(ask.name)), unit_of(ask.case, column)
                yield Lever(f"{key}.{column}", far, unit, words.format(key.replace("_", " ")), act=False)

    return make


# --- loads -------------------------------------------------------------------------------------------


def watts(source: str) -> Maker:
    """The draw of each load on circuits of a source."""
    return partial(_loads, source=source, starts=False)


def starts(source: str) -> Maker:
    """What each load on circuits of a source draws on starting, or else running."""
    return partial(_loads, source=source, starts=True)


def _loads(ask: Ask, *, source: str, starts: bool) -> Iterator[Lever]:
    circuits = ask.case.circuits_from(source)
    for load in ask.case.loads:
        if load.circuit in circuits:
            yield from _surge(load) if starts and load.surge_w > load.watt_w else _draw(load)


def _surge(load: Load) -> Iterator[Lever]:
    step = min(step_of("inverter.surge"), load.surge_w - load.watt_w)  # to what it draws running, and no further
    yield Lever(f"load.{load.name}.surge_w", -step, "W", f"start of load {load.name}", act=True)


def _draw(load: Load) -> Iterator[Lever]:
    step = step_of("inverter.power")
    if load.watt_w > step:
        yield Lever(f"load.{load.name}.watt_w", -step, "W", f"draw of load {load.name}", act=True)
