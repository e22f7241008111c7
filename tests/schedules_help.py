"""Schedules as rows of named cells, for their tests."""

import pytest

from optimiser.auditing import Finding, audit
from optimiser.fitted import Fit, fit_of
from optimiser.schedules import Schedule
from optimiser.schedules.cables import cables
from optimiser.schedules.table import Cell
from tests.handmade import World, world
from tests.knobs import altered
from tests.packing_help import SOLVED, WANTS

every_build = pytest.mark.parametrize(("name", "want"), [(name, want) for name in SOLVED for want in WANTS])
"""All stored builds, one after the other."""


def fit_made(made: World) -> Fit:
    """A world's build with its parts looked up."""
    return fit_of(made.case, made.catalogue, made.build)


def found_in(made: World) -> tuple[Finding, ...]:
    """What the audit finds of it."""
    return audit(made.case, made.catalogue, made.build)


def rows_of(schedule: Schedule) -> list[dict[str, Cell]]:
    """Each row as title -> cell."""
    titles = [column.title for column in schedule.columns]
    return [dict(zip(titles, row, strict=True)) for row in schedule.rows]


def only_row(schedule: Schedule, title: str, value: Cell) -> dict[str, Cell]:
    """The one row with that cell."""
    found = [row for row in rows_of(schedule) if row[title] == value]
    assert len(found) == 1, (title, value, found)
    return found[0]


def total(schedule: Schedule, title: str) -> Cell:
    """A cell of the totals."""
    assert schedule.totals
    return schedule.totals[[column.title for column in schedule.columns].index(title)]


def number(cell: Cell) -> float:
    """A cell that must hold a figure."""
    assert isinstance(cell, int | float)
    return cell


def remark_of(made: World, run: str) -> str:
    """What the cutting list says beside a run."""
    return str(only_row(cables(fit_made(made)), "run", run)["remark"] or "")


def with_allowances(cable_allowance_mm: int) -> World:
    """The world by hand with so much cable in each of its bays."""
    return altered(world(), *((f"bays.{bay.name}.cable_allowance_mm", cable_allowance_mm) for bay in world().case.bays))
