"""Helpers of the tests of readings: fill a sheet, write a log, hold it against the handmade trailer."""

import csv
import io
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from optimiser.auditing import audit
from optimiser.commissioning import (
    Check,
    Expectation,
    Expected,
    JudgedReading,
    Moment,
    Report,
    commissioned,
    expected,
    test_sheet,
    to_csv,
)
from optimiser.fitted import Fit, fit_of
from optimiser.reading import CaseProblems
from tests import handmade
from tests.handmade import World
from tests.knobs import altered

DAY = {"cell_c": "25", "irradiance_w_m2": "1000", "air_c": "32"}  # as the design's; 32 C is its hottest
Fill = Mapping[str, Mapping[str, str]]  # id -> column -> cell


def world(**knobs: Any) -> World:
    """The handmade trailer, with values changed by name (``__`` for a dot)."""
    return altered(handmade.world(), *((knob.replace("__", "."), value) for knob, value in knobs.items()))


def fitted(made: World) -> Fit:
    """Its build, looked up."""
    return fit_of(made.case, made.catalogue, made.build)


def checks(made: World) -> tuple[Check, ...]:
    """Its test sheet."""
    return test_sheet(fitted(made), audit(made.case, made.catalogue, made.build))


def filled(sheet: tuple[Check, ...], fill: Fill) -> str:
    """The sheet as a fitter hands it back."""
    lines = [line for line in to_csv(sheet).splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(lines))
    for row in rows:
        row.update(fill.get(row["id"], {}))
    assert set(fill) <= {row["id"] for row in rows}
    file = io.StringIO()
    writer = csv.DictWriter(file, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return file.getvalue()


def report(folder: Path, text: str, made: World | None = None) -> Report:
    """A file held against the trailer."""
    made, path = made or world(), folder / "readings.csv"
    path.write_text(text, encoding="utf-8")
    return commissioned(fitted(made), audit(made.case, made.catalogue, made.build), path)


def held(found: Report, id: str) -> JudgedReading:
    """The one reading of that name."""
    (one,) = (one for one in found.held if one.id == id)
    return one


def log(*rows: Mapping[str, Any]) -> str:
    """Rows as a log of a monitor; what a row lacks is an empty cell."""
    names = list(dict.fromkeys(name for row in rows for name in row))
    lines = [",".join(str(row.get(name, "")) for name in names) for row in rows]
    return "\n".join([",".join(names), *lines]) + "\n"


def as_designed(sheet: tuple[Check, ...]) -> dict[str, dict[str, str]]:
    """Every check filled with its design, or a bound of it, on a day like the design's."""
    found = {}
    for one in sheet:
        design, low, high = one.printed
        if one.rule == "done":
            found[one.id] = {"done": "yes"}
        else:
            value = next(bound for bound in (design, low, high) if bound is not None)
            found[one.id] = {"measured": f"{value:.6g}", "current_a": f"{one.at}", **DAY}
    return found


def two_strings() -> Any:
    """The trailer with its two panels as two strings."""
    made = world(arrays__a__series=1, arrays__a__parallel=2)
    panels = tuple(type(p)(**{**vars(p), "string": f"a.{n}"}) for n, p in enumerate(made.build.panels, start=1))
    return world(arrays__a__series=1, arrays__a__parallel=2, build__panels=panels)


def faults(folder: Path, text: str) -> list[str]:
    """What is told of a file, without its path."""
    with pytest.raises(CaseProblems) as told:
        report(folder, text)
    path = str(folder / "readings.csv")
    return [str(problem).replace(path, "F") for problem in told.value.problems]


# --- what is expected

NOON = datetime(2027, 1, 15, 12, 0)


def fit(**knobs: Any) -> Fit:
    """The trailer's build with values changed, looked up."""
    return fitted(world(**knobs))


def bench(fitted: Fit, **how: Any) -> Expectation:
    """Full sun as metered, 25 C, a bank of 13 V; nothing on."""
    usual: dict[str, Any] = {"at": NOON, "irradiance_w_m2": 1000.0, "air_c": 25.0, "bank_v": 13.0, "running": ()}
    return expected(fitted, Moment(**(usual | how)))


def row(found: Expectation, id: str) -> Expected:
    """The reading of that name."""
    return next(one for one in found.rows if one.id == id)
