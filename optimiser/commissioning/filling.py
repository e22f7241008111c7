"""The test sheet as CSV to fill in, and read back: every fault told by row and column."""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil, floor, isclose, log10
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from optimiser.cautions import CAUTIONS
from optimiser.commissioning.check import Check
from optimiser.reading.problems import Gathered
from optimiser.reading.sheets import read_sheet
from optimiser.reading.wording import among

_DIGITS = 4
_SAME = 0.002  # a spreadsheet may have cut a digit off
_SIGNED = ("C", "K")  # what may be below 0 though no lower bound is asked for


class Filled(BaseModel):
    """A row of the sheet: what it printed, then what was filled in."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: str
    group: str = ""
    what: str = ""
    how: str = ""
    design: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    source: str = ""
    by: str = ""
    measured: Annotated[float, Field(ge=-1e6, le=1e6)] | None = None  # a figure in the unit
    done: bool | None = None  # where the unit is yes
    at: str = ""  # date and time
    current_a: Annotated[float, Field(ge=0, le=1e6)] | None = None  # that a drop was read at
    irradiance_w_m2: Annotated[float, Field(ge=0, le=1400)] | None = None  # in the plane of the panels
    cell_c: Annotated[float, Field(ge=-50, le=120)] | None = None
    air_c: Annotated[float, Field(ge=-50, le=60)] | None = None  # outside
    remarks: str = ""


CONDITIONS = ("current_a", "irradiance_w_m2", "cell_c", "air_c")


@dataclass(frozen=True)
class Reading:
    """A check with what was found. ``value`` None: left blank; 1 and 0 where the unit is yes."""

    check: Check
    line: int
    value: float | None
    at: str
    noted: dict[str, float | None]


def to_csv(checks: Iterable[Check], title: str = "") -> str:
    """The sheet to fill in: ``measured`` for figures, ``done`` for what is yes or no, and the day beside them.

    Bounds are rounded inwards.
    """
    file = io.StringIO()
    sheet = csv.writer(file, lineterminator="\n")
    for line in (f"Test sheet{f' of {title}' if title else ''}", *CAUTIONS, *_HELP):
        file.write(f"# {line}\n")
    sheet.writerow(Filled.model_fields)
    for check in checks:
        row = dict.fromkeys(Filled.model_fields, "") | printed_row(check)
        sheet.writerow(row.values())
    return file.getvalue()


_HELP = (
    "Fill in measured, or done (yes, no); at: date and time. Leave blank what was not tested.",
    "A drop needs current_a, a string cell_c or irradiance_w_m2 (in the panels' plane), a bay air_c (outside).",
    "What was set in a unit is written under remarks.",
    "Design, low and high are for cells of 25 C, 1000 W/m2 and the design current; other days are calculated.",
)


def printed_row(check: Check) -> dict[str, str]:
    """What the sheet prints of a check."""
    design, low, high = check.printed
    return {
        "id": check.id,
        "group": check.group,
        "what": check.what,
        "how": check.how,
        "design": figure(design),
        "low": figure(low, up=True),
        "high": figure(high, up=False),
        "unit": check.unit,
        "source": f"design: {check.basis}; band: {check.source}" if check.basis else check.source,
        "by": "licensed electrician" if check.licensed else "",
    }


def figure(value: float | None, *, up: bool | None = None) -> str:
    """A figure of four digits; ``up`` rounds a lower bound, False an upper one, to the safe side."""
    if value is None:
        return ""
    if value == 0:
        return "0"
    step = 10.0 ** (floor(log10(abs(value))) - _DIGITS + 1)
    scaled = value / step
    whole = round(scaled) if up is None else ceil(scaled - 1e-6) if up else floor(scaled + 1e-6)
    return f"{whole * step:.{_DIGITS}g}" if abs(whole * step) < 10**_DIGITS else f"{whole * step:.0f}"


def read_filled(path: Path, checks: Iterable[Check]) -> tuple[Reading, ...]:
    """A filled sheet.

    Raises
    ------
    CaseProblems
        With every fault of the file.
    """
    problems, file, known = Gathered(), str(path), {check.id: check for check in checks}
    sheet = read_sheet(path, file, Filled, problems)
    readings, seen = [], set()
    for line, row in sheet.good:
        check = known.get(row.id)
        if check is None:
            problems.add(file, line, "id", f"no check {row.id!r} for this build; expected {_near(row.id, known)}")
            continue
        if row.id in seen:
            problems.add(file, line, "id", f"{row.id!r} stands twice; expected one row")
        seen.add(row.id)
        for column, what in _wrong(check, row):
            problems.add(file, line, column, what)
        value = row.measured if check.rule != "done" else None if row.done is None else float(row.done)
        noted = {name: getattr(row, name) for name in CONDITIONS}
        readings.append(Reading(check, line, value, row.at, noted))
    problems.raise_any()
    return tuple(readings)


def _near(word: str, known: Iterable[str]) -> str:
    first = among(word, known).split(", ")[0]
    return f"an id of its test sheet, such as {first}"


def _wrong(check: Check, row: Filled) -> Iterator[tuple[str, str]]:
    if check.rule == "done" and row.measured is not None:
        yield "measured", f"{row.measured:g} for a check that is yes or no; expected yes or no under done"
    if check.rule != "done" and row.done is not None:
        yield "done", f"yes or no for a figure; expected a number of {check.unit} under measured"
    if row.measured is not None and row.measured < 0 and check.low is None and check.unit not in _SIGNED:
        yield "measured", f"{row.measured:g} {check.unit} cannot be; expected 0 or more, leads the right way round"
    for column, given, own in zip(("design", "low", "high"), (row.design, row.low, row.high), _own(check), strict=True):
        if given is None:
            continue
        if own is None or not isclose(given, own, rel_tol=_SAME, abs_tol=1e-9):
            wanted = "an empty cell" if own is None else f"{own:g}"
            yield column, f"{given:g} is not of this build; expected {wanted}, as its own test sheet has it"


def _own(check: Check) -> tuple[float | None, ...]:
    row = printed_row(check)
    return tuple(float(row[name]) if row[name] else None for name in ("design", "low", "high"))
