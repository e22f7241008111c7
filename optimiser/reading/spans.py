"""Rows of loads.csv that name one load: its spans of hours, with one draw and one place on the wires."""

from collections.abc import Iterable, Iterator
from itertools import combinations
from typing import TypeVar

from optimiser.basis.loads import in_window
from optimiser.case import SPAN_COLUMNS, Load, LoadSpan, span_of
from optimiser.reading.survey import Survey

T = TypeVar("T")

_HOURS = range(24)
_ALIKE = tuple(column for column in Load.model_fields if column not in ("name", *SPAN_COLUMNS))


def apart(rows: Iterable[Load]) -> tuple[tuple[Load, ...], tuple[LoadSpan, ...]]:
    """Each load by its first row, and the spans of all further rows."""
    of_load = _by_name((row.name, row) for row in rows)
    spans = (span_of(row, number) for ours in of_load.values() for number, row in enumerate(ours[1:], start=2))
    return tuple(ours[0] for ours in of_load.values()), tuple(spans)


def check_spans(survey: Survey) -> None:
    """Note rows of one name that are not of one appliance, or have it on twice at once; that one ends as it begins is
    noted by itself."""
    known = survey.names("scenarios") or set()
    for rows in _by_name((load.name, (line, load)) for line, load in survey.rows("loads", Load)).values():
        (first_line, first), unlike = rows[0], set[int]()
        for line, load in rows[1:]:
            for column in _ALIKE:
                ours, its = (_shown(getattr(row, column)) for row in (load, first))
                if ours != its:
                    unlike.add(line)
                    message = f"{ours} here, and {its} in row {first_line}, which has the name {load.name!r} too"
                    expected = f"{its} in every row of one appliance, or another name"
                    survey.note("loads", line, column, f"{message}; expected {expected}")
        told = [(line, row) for line, row in rows if line not in unlike and not same_hour(row.from_h, row.to_h)]
        for (_, one), (line, other) in combinations(told, 2):
            if both := _both(one, other, known):
                hours = f"from {other.from_h} to {other.to_h}"
                message = f"{hours} {other.name!r} is on from {one.from_h} to {one.to_h} already, in {both}"
                expected = "hours or scenarios that another row of the name has not, or another name"
                survey.note("loads", line, "from_h", f"{message}; expected {expected}")


def same_hour(from_h: int, to_h: int) -> bool:
    """Whether hours end when they begin; all day is 0 to 24."""
    return from_h % 24 == to_h % 24 and (from_h, to_h) != (0, 24)


def _by_name(named: Iterable[tuple[str, T]]) -> dict[str, list[T]]:
    found: dict[str, list[T]] = {}
    for name, row in named:
        found.setdefault(name, []).append(row)
    return found


def _both(one: Load, other: Load, known: set[str]) -> str:
    """Scenarios in which both are on in some hour."""
    if not any(in_window(hour, one.from_h, one.to_h) and in_window(hour, other.from_h, other.to_h) for hour in _HOURS):
        return ""
    return " and ".join(_shared(one.scenarios, other.scenarios, known))


def _shared(ones: tuple[str, ...], others: tuple[str, ...], known: set[str]) -> Iterator[str]:
    if "all" in ones and "all" in others:
        yield "all scenarios"
        return
    for name in sorted(known):
        if all("all" in names or name in names for names in (ones, others)):
            yield name


def _shown(value: object) -> str:
    return f"{value:g}" if isinstance(value, int | float) else f"{value!r}"
