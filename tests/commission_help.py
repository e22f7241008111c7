"""Helpers of the tests of readings: fill a sheet, write a log, hold it against the handmade trailer."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from optimiser.audit import Fit, audit, fit_of
from optimiser.commissioning import Check, Held, Report, commissioned, test_sheet, to_csv
from tests import handmade
from tests.handmade import World
from tests.knobs import changed

DAY = {"cell_c": "25", "irradiance_w_m2": "1000", "air_c": "32"}  # as the design's; 32 C is its hottest
Fill = Mapping[str, Mapping[str, str]]  # id -> column -> cell


def world(**knobs: Any) -> World:
    """The handmade trailer, with values changed by name (``__`` for a dot)."""
    found = handmade.world()
    for knob, value in knobs.items():
        found = changed(found, knob.replace("__", "."), value)
    return found


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


def held(found: Report, id: str) -> Held:
    """The one reading of that name."""
    (one,) = (one for one in found.held if one.id == id)
    return one


def log(*rows: Mapping[str, Any]) -> str:
    """Rows as a log of a monitor; what a row lacks is an empty cell."""
    names = list(dict.fromkeys(name for row in rows for name in row))
    lines = [",".join(str(row.get(name, "")) for name in names) for row in rows]
    return "\n".join([",".join(names), *lines]) + "\n"
