"""Numbers of runs: one for each, the same in diagram, drawing, list, label and test sheet."""

import re
from collections.abc import Iterable, Mapping

from optimiser.connections import CONNECTIONS, FAMILIES, is_regulator
from optimiser.fitted.fit import Fit, once

Counted = tuple[tuple[int, str], ...]
Place = tuple[int, Counted, Counted]


@once
def run_numbers(fit: Fit) -> Mapping[str, str]:
    """Name of each run of the build -> R1, R2 ..., however a build file lists them."""
    names = in_order((run.name for run in fit.build.runs), {array.name: array.regulator for array in fit.build.arrays})
    return {name: f"R{number}" for number, name in enumerate(names, start=1)}


def in_order(runs: Iterable[str], arrays: Mapping[str, str]) -> list[str]:
    """Runs as `CONNECTIONS` has them, that of an array behind its regulator's. ``arrays``: name -> slot it ends at."""
    return sorted(runs, key=lambda run: _place(run, arrays.get(run.removeprefix("solar_"), "")))


def numbered(fit: Fit, run: str) -> str:
    """The number and name of a run; its name alone where the build has no such run."""
    number = run_numbers(fit).get(run)
    return f"{number} {run}" if number else run


def _place(run: str, slot: str) -> Place:
    beside = slot if is_regulator(slot) and run.startswith("solar_") else run
    family = beside.partition("_")[0]
    kind = family if is_regulator(beside) or family in FAMILIES else beside
    return list(CONNECTIONS).index(kind), _counted(beside), _counted(run)  # by its own name: solar behind regulator


def _counted(name: str) -> Counted:
    """So that 10 comes after 9."""
    return tuple((int(digits or 0), letters) for digits, letters in re.findall(r"([0-9]+)|([^0-9]+)", name))
