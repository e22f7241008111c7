"""A monitor's log as CSV: a column a channel, named as the build names its parts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, create_model

from optimiser.commissioning.clock import EXPECTED, clock_time
from optimiser.fitted.fit import Fit
from optimiser.reading.problems import Gathered
from optimiser.reading.sheets import read_sheet

_DAY: dict[str, Any] = {
    "air_c": Annotated[float, Field(ge=-50, le=60)],
    "irradiance_w_m2": Annotated[float, Field(ge=0, le=1400)],
    "clearness": Annotated[float, Field(ge=0, le=1)],
    "driving": bool,
    "hook_up": bool,
    "portable": bool,
}
"""What a log may tell of the day, beside its channels."""

_AMPS = Annotated[float, Field(ge=-1e4, le=1e4)]  # or volts, of any channel
_BANK: dict[str, Any] = {
    "bank.current_a": _AMPS,
    "bank.volt_v": Annotated[float, Field(ge=1, le=100)],
    "bank.soc_pct": Annotated[float, Field(ge=0, le=100)],
}


@dataclass(frozen=True)
class LogRow:
    """One instant. ``values`` hold what was logged of channels and day, nothing for an empty cell."""

    line: int
    at: datetime  # on the clock of the case
    values: dict[str, Any]

    def get(self, name: str) -> Any:
        """A value, or None."""
        return self.values.get(name)


def sources(fit: Fit) -> tuple[str, ...]:
    """Slots that charge the bank."""
    return (*fit.regulators, *(slot for slot in ("alternator_charger", "mains_charger") if fit.build.slot(slot)))


def channels(fit: Fit) -> tuple[str, ...]:
    """Names of the columns a log may hold, the day's left out."""
    arrays = [f"{array.name}.{key}" for array in fit.build.arrays for key in ("volt_v", "current_a")]
    slots = [*sources(fit), *(["inverter"] if fit.inverter else [])]
    names = [*slots, *(load.name for load in fit.case.loads)]
    return tuple(dict.fromkeys([*_BANK, *arrays, *(f"{name}.current_a" for name in names)]))


def read_log(path: Path, fit: Fit) -> tuple[LogRow, ...]:
    """The rows of a log, as they stand.

    Raises
    ------
    CaseProblems
        With every fault of the file.
    """
    problems, file = Gathered(), str(path)
    kinds = {name: _BANK.get(name, _AMPS) for name in channels(fit)} | _DAY
    optional: dict[str, Any] = {name: (kind | None, None) for name, kind in kinds.items()}
    model = create_model("Log", __config__=ConfigDict(frozen=True, extra="forbid"), time=(str, ...), **optional)
    rows = tuple(_rows(fit, file, read_sheet(path, file, model, problems).good, problems))
    problems.raise_any()
    return rows


def _rows(fit: Fit, file: str, good: list[tuple[int, BaseModel]], problems: Gathered) -> Iterator[LogRow]:
    for line, row in good:
        values = row.model_dump(exclude_none=True)
        text = values.pop("time")
        try:
            at = clock_time(text, fit.case.brief.place.utc_offset_h)
        except ValueError:
            problems.add(file, line, "time", f"{text!r} is not a time; expected {EXPECTED}")
            continue
        yield LogRow(line, at, values)
