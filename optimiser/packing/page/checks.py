"""The test sheet as the page prints it, and readings checked against the design."""

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import Any, NamedTuple

from optimiser.commissioning import Check, JudgedReading, Report, printed_row
from optimiser.commissioning.check import NOTED
from optimiser.commissioning.filling import figure
from optimiser.packing.summary import counts

NOT_ASKED = "-"
_CONDITIONS = {"current_a": "at, A", "irradiance_w_m2": "light, W/m2", "cell_c": "cells, C", "air_c": "air outside, C"}
_FIGURES = ("design", "low", "high")


class Cell(NamedTuple):
    """What stands in a cell, and its class in the style."""

    text: str
    kind: str = ""


class Group(NamedTuple):
    """A table of the sheet."""

    name: str
    headers: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]


def groups(checks: Iterable[Check]) -> Iterator[Group]:
    """A table a group, in the sheet's order; columns that no row of a group needs are left out."""
    for name, members in groupby(checks, key=lambda check: check.group):
        rows = tuple(members)
        noted = [key for key in _CONDITIONS if any(key in NOTED.get(row.rule, ()) for row in rows)]
        figures, written = any(row.rule != "done" for row in rows), any(row.written for row in rows)
        headers = tuple(_headers(noted, figures=figures, written=written))
        yield Group(name, headers, tuple(tuple(_cells(row, noted, figures, written)) for row in rows))


def _headers(noted: Iterable[str], *, figures: bool, written: bool) -> Iterator[Cell]:
    yield from (Cell("no."), Cell("what"), Cell("how"))
    if figures:
        yield from (Cell(name, "n") for name in _FIGURES)
        yield Cell("unit")
    yield Cell("measured" if figures else "yes or no")
    yield from (Cell(_CONDITIONS[key]) for key in noted)
    if written:
        yield Cell("what was set")
    yield Cell("when, remarks")


def _cells(check: Check, noted: Iterable[str], figures: bool, written: bool) -> Iterator[Cell]:
    row = printed_row(check)
    what = f"{row['what']} (licensed electrician)" if check.licensed else row["what"]
    yield from (Cell(row["id"]), Cell(what), Cell(row["how"]))
    if figures:
        yield from (Cell(row[key], "n") for key in _FIGURES)
        yield Cell("yes/no" if check.rule == "done" else row["unit"])
    yield Cell("", "blank")
    for key in noted:
        asked = key in NOTED.get(check.rule, ())
        yield Cell("", "blank small") if asked else Cell(NOT_ASKED)
    if written:
        yield Cell("", "blank written") if check.written else Cell(NOT_ASKED)
    yield Cell("", "blank")


# --- readings checked against the design, as a table of the page -----------------------------------------


HEADERS = ("reading", "what", "at", "measured", "low", "high", "unit", "verdict", "why, or likely causes to check")
_NUMERIC = (3, 4, 5)


def readings(report: Report) -> dict[str, Any]:
    """What the page shows of a report; rows out of band are marked, and told by their verdict too."""
    causes: dict[str, list[str]] = {}
    for cause in report.causes:
        causes.setdefault(cause.id, []).append(f"{cause.text} ({cause.mark})")
    return {
        "words": f"Read from a {report.kind}: {counts(report)}.",
        "headers": HEADERS,
        "rows": [_row(held, causes.get(held.id, [])) for held in report.held],
        "numeric": _NUMERIC,
        "marked": [place for place, held in enumerate(report.held) if held.verdict == "out of band"],
    }


def _row(held: JudgedReading, causes: list[str]) -> tuple[str, ...]:
    numbers = _yes(held) if held.unit == "yes" else _figures(held)
    side = f" ({held.side})" if held.side else ""
    said = held.why or ("; ".join(causes) if held.side else "")
    return held.id, held.what, held.at, *numbers, held.unit, f"{held.verdict}{side}", said


def _figures(held: JudgedReading) -> tuple[str, str, str]:
    """A reading with enough digits to tell it from its bounds, which are rounded inwards."""
    measured = "" if held.measured is None else f"{held.measured:.6g}"
    return measured, figure(held.low, up=True), figure(held.high, up=False)


def _yes(held: JudgedReading) -> tuple[str, str, str]:
    return "" if held.measured is None else "yes" if held.measured else "no", "yes", ""
