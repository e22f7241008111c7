"""Helpers of the tests of ``compare``: a trailer with a front of four points, and a hand on each solve."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from click.testing import Result

from optimiser.solve import Found, Infeasible, Point, Unanswered
from tests import handmade
from tests.cli_help import run, write_case, write_catalogue

Asked = Point[Found] | Infeasible | Unanswered

# The cheapest, and what it adds to take a lighter charger of either kind or both: 30 and 0.1 kg, 90 and 0.4 kg.
# In each two modules, one behind the other, and two links of 190 + 420 mm: 13 steps of 0.25 and 10 g, 4 ends of 1.00.
POINTS = [(55_575, 15_410), (58_575, 15_310), (64_575, 15_010), (67_575, 14_910)]
EARLIER = "(of an earlier run)"


def write_fronted(folder: Path) -> tuple[Path, Path]:
    """The handmade trailer with a lighter, dearer kind of two chargers; case and catalogue."""
    world = handmade.world()
    tables = {key: dict(rows) for key, rows in world.catalogue.tables.items()}
    for key, name, dearer, mass_kg in (
        ("mains_chargers", "mains-charger-30", 90, 0.1),
        ("alternator_chargers", "alternator-charger-30", 30, 0.4),
    ):
        light = {"name": f"{name}-light", "price": 10 + dearer, "mass_kg": mass_kg}
        tables[key][f"{name}-light"] = tables[key][name].model_copy(update=light)
    parts = write_catalogue(folder / "parts", type(world.catalogue)(tables, {}), world.case)
    return write_case(folder / "handmade", world.case), parts


def compared(folders: tuple[str | Path, str | Path], *options: str | Path) -> Result:
    """``compare`` on a case and its catalogue: the whole front, if not so many points of it."""
    return to_choose(folders, *options, *(() if "--points" in options else ("--all",)))


def to_choose(folders: tuple[str | Path, str | Path], *options: str | Path) -> Result:
    """``compare`` as it is: what is worth choosing between."""
    case, catalogue = folders
    return run("compare", case, "--catalogue", catalogue, "--workers", "1", *options)


@dataclass
class Solves:
    """Questions that reach the solver, and what becomes of their answers: number of the question -> answer.

    ``count`` is of those over all kinds of build, ``within`` of those within one.
    """

    instead: Callable[[int, Asked], Asked] = lambda _, found: found
    count: int = 0
    within: int = 0


def never(_: int, __: Asked) -> Asked:
    """For what must not be solved."""
    raise AssertionError("solved all the same")


def rows(sheet: str) -> list[tuple[int, int]]:
    """Cents and grams of the table's rows, numbered from 1."""
    found = re.findall(r"^ +(\d+) +(\d+\.\d\d) cu +(\d+\.\d{3}) kg(?: |$)", sheet, re.MULTILINE)
    assert [int(number) for number, _, _ in found] == list(range(1, len(found) + 1))
    return [(round(100 * float(cost)), round(1000 * float(mass))) for _, cost, mass in found]
