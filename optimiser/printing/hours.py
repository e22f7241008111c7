"""The bank hour by hour in the scenario that takes it lowest."""

from __future__ import annotations

from itertools import zip_longest

from rich.table import Table

from optimiser.builds import Build
from optimiser.fitted import ScenarioTrace, trace
from optimiser.pipeline import Inputs
from optimiser.printing.wording import table

_COLUMNS = ("day", ">hour", ">bank %", ">solar", ">engine", ">mains", ">loads")


def tightest_hours(inputs: Inputs, build: Build) -> Table:
    """Its hours, the second half beside the first."""
    case = inputs.case
    traces = {s.name: trace(case, inputs.catalogue, build, s) for s in case.scenarios}
    name = min(traces, key=lambda scenario: float(traces[scenario].soc_pct.min()))
    rows = _rows(traces[name])
    half = (len(rows) + 1) // 2
    title = f"Tightest scenario, {name}: bank at the end of each hour, solar to loads in W over it"
    made = table(title, *_COLUMNS, "", *_COLUMNS)
    for left, right in zip_longest(rows[:half], rows[half:], fillvalue=()):
        made.add_row(*left, "", *right)
    return made


def _rows(found: ScenarioTrace) -> list[tuple[str, ...]]:
    flows = (found.solar_w, found.alternator_w, found.mains_w, found.loads_w)
    return [
        (
            str(int(hour) // 24 + 1),
            str(int(hour) % 24),
            f"{found.soc_pct[number]:.1f}",
            *(f"{flow[number]:.0f}" for flow in flows),
        )
        for number, hour in enumerate(found.hour)
    ]
