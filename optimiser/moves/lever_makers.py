"""What makes levers of values: all rows or files of a kind that a requirement could mean, and of its loads."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import chain
from typing import Any

from pydantic import BaseModel

from optimiser.case import Case, Load
from optimiser.catalogue import Catalogue
from optimiser.moves.address import ROWS, Spot, rows_of, schemas
from optimiser.moves.move import Lever, MoveProblem
from optimiser.moves.values import NONE_AT_ZERO
from optimiser.parts import PARTS
from optimiser.reading.wording import among
from optimiser.requirements import REGISTER, Eases


@dataclass(frozen=True)
class Ask:
    """A requirement, perhaps at a place, of a case and catalogue."""

    case: Case
    catalogue: Catalogue
    name: str
    place: str


Maker = Callable[[Ask], Iterator[Lever]]
Where = Callable[[Any], bool]  # of a row, a part or a value: whether it counts

_SINGULAR = {several: one for one, several in ROWS.items()}
_UNITS = {unit: unit for unit in ("mm", "mm2", "cm2", "kg", "h", "deg")}
_UNITS |= {"w": "W", "v": "V", "a": "A", "pct": "%", "c": "C", "k": "K", "bank_ah": "Ah"}


def unit_of(case: Case, column: str) -> str:
    """The unit in a column's name, or an empty string where it is a count or a share."""
    if column == "budget":
        return case.brief.currency
    return _UNITS.get(column) or _UNITS.get(column.rpartition("_")[2], "")


def step_of(name: str) -> float:
    """How far the register moves a requirement's limit, whichever way."""
    step = REGISTER[name].step
    assert step is not None, name
    return abs(step)


def everywhere(_: Any) -> bool:
    """All rows count."""
    return True


# --- values of the register ---------------------------------------------------------------------------


def eased(ask: Ask, value: Eases, where: Where = everywhere) -> Iterator[Lever]:
    """The levers of a value: a figure of the rule set, a column of a catalogue file or of tables of the case."""
    table, _, column = value.address.partition(".")
    unit = unit_of(ask.case, column)
    if table == "rules":
        if column in ask.case.rules.figures:
            yield Lever(f"rule.{column}", value.step, unit, value.words, act=False)
    elif table in PARTS:
        if any(column not in NONE_AT_ZERO or getattr(p, column) != 0 for p in ask.catalogue.of(table).values()):
            words = value.words.format(table.replace("_", " "))
            yield Lever(value.address, value.step, unit, words, act=False)
    else:
        one = _SINGULAR.get(table, "")
        rows = placed(ask, one) if one else {"": getattr(ask.case.brief, table)}
        for name, row in rows.items():
            address = Spot(one or table, name, column).address
            words = value.words.format(name)
            here = getattr(row, column, None)
            if not where(row) or here is None or here is True:
                continue
            if here is False:
                yield Lever(address, None, "", words, act=True, to="yes")
            elif not _at_end(row, column, value.step):
                yield Lever(address, value.step, unit, words, act=True)


def _at_end(row: BaseModel, column: str, step: float) -> bool:
    """Whether a value stands at the end of its range, and so has nothing to give."""
    end = schemas(type(row))[column].get("maximum" if step > 0 else "minimum")
    return end is not None and bool(getattr(row, column) == end)


def rule(figure: str, sign: int, words: str) -> Maker:
    """A figure of the rule set, moved by the register's step."""
    return lambda ask: eased(ask, Eases(f"rules.{figure}", sign * step_of(ask.name), words))


def files(*keys: str, column: str, sign: int, words: str) -> Maker:
    """A column of catalogue files, moved by the register's step. ``{}`` in the words is the file."""
    return lambda ask: chain.from_iterable(
        eased(ask, Eases(f"{key}.{column}", sign * step_of(ask.name), words)) for key in keys
    )


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
