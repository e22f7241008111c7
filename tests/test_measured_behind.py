"""An array that does not end by the shunts is measured behind its regulator, where that joins the busbars.

In the world by hand the busbars and shunts are in the locker; here its regulator stands in the nose, 500 away.
"""

import pytest

from optimiser.fitted import Fit
from optimiser.fitted.cores import cores_of
from optimiser.fitted.currents import currents
from optimiser.fitted.wiring import routed_runs
from tests import handmade
from tests.asking import Change, broken, cut_to, finding, long_enough, taken, world
from tests.edges_places import MUCH_DROP
from tests.handmade import World, way

IN_THE_NOSE = (
    ("ways", (*handmade.case().ways, way("nose_way", "locker", "nose", 500, 60))),
    *(("fitted.regulator_1.board", "nose.side"), ("fitted.regulator_1.x_mm", 50), ("fitted.regulator_1.y_mm", 50)),
    *(("runs.solar_a.end", "nose"), ("runs.solar_a.ways", ("roof_way", "nose_way"))),
    *(("runs.regulator_1.start", "nose"), ("runs.regulator_1.ways", ("nose_way",))),
    *(("existing", ()), *MUCH_DROP),
)


def aside(*changes: Change) -> World:
    return long_enough(world(*IN_THE_NOSE, *changes))


def cut_at(at: World, run: str) -> dict[str, tuple[str, ...]]:
    fit = Fit(at.case, at.catalogue, at.build)
    return {core.pole: core.by for core in cores_of(fit, routed_runs(fit)[run])}


def test_where_it_ends_or_behind_its_regulator() -> None:
    here, there = (dict(currents(Fit(at.case, at.catalogue, at.build))) for at in (world(), aside()))

    assert "solar_a" in here and "regulator_1" not in here
    assert there["regulator_1"] == 20  # what it gives at most
    assert "solar_a" not in there
    assert here.keys() - {"solar_a"} == there.keys() - {"regulator_1"}


def test_the_negative_core_of_the_one_or_the_other_is_cut_for_its_shunt() -> None:
    assert cut_at(world(), "solar_a")["-"] == ("", "shunt_row", "regulator_1")
    assert cut_at(world(), "regulator_1")["-"] == ("regulator_1", "busbar")
    assert cut_at(aside(), "solar_a")["-"] == ("", "regulator_1")
    assert cut_at(aside(), "regulator_1") == {
        "+": ("regulator_1", "fuse_row", "busbar"),
        "-": ("regulator_1", "shunt_row", "busbar"),
    }


def test_two_ends_are_made_on_the_one_cable_and_not_on_the_other() -> None:
    """All ends are 1.00 here; the cable for panels at 3.00 an end costs 8.00 less, as four of its ends are left."""
    dearer = ("parts.solar-6.end_price", 4)
    costs = [
        [finding(at, "money.budget").actual for at in (world(*changes), aside(*changes))] for changes in ((), (dearer,))
    ]

    assert [dear - plain for plain, dear in zip(*costs, strict=True)] == [6 * 3, 4 * 3]


@pytest.mark.parametrize(("stands_a", "holds"), [(50, True), (49, False)])
def test_its_channel_stands_what_the_fuse_of_its_regulator_lets_through(stands_a: int, holds: bool) -> None:
    """A fuse of 50, where all others but the inverter's are of 40; the panels' own current is less."""
    changes = (
        *(("runs.regulator_1.fuse", "fuse-50"), ("runs.regulator_1.cable", "dc-25")),
        ("parts.shunt-4x50.rating_a", stands_a),
    )

    assert broken(aside(*changes)) == (set() if holds else {"measure.channels[50 A]"})
    assert taken(aside(*changes)) is holds
    assert broken(long_enough(world(*changes, *MUCH_DROP))) == set()
    assert taken(long_enough(world(*changes, *MUCH_DROP)))


@pytest.mark.parametrize(("cut_mm", "holds"), [(1400, True), (1300, False)])
def test_behind_it_the_way_by_the_shunt_counts(cut_mm: int, holds: bool) -> None:
    """A way of 500, allowances of 300 and 300, or 500, the shunt row (250..450, 350..450) to the busbar 100 + 200, and
    four ends of 150."""
    at = cut_to(aside(("rules.end_mm", 150)), "regulator_1", cut_mm)

    assert finding(at, "run.length[regulator_1]").actual == 500 + 100 + 200 + 4 * 150
    assert broken(at) == (set() if holds else {"run.length[regulator_1]"})
    assert taken(at) is holds
