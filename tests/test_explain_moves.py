"""One value of brief or survey is wrong, and the nearest brief says which: set as told, there is a build.

Of each value one that is just enough and one that is just not, worked out by hand.
"""

import shlex
from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from optimiser import case as c
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import NearestBrief
from optimiser.explaining.elastic import nearest_brief
from optimiser.moves import moved, parse_set
from optimiser.printing.briefs import set_words
from optimiser.solve import Impossible, Question, Solved
from tests import handmade
from tests.conflicting import like, trailer, with_parts
from tests.explaining import STOP, Solving, names_of, soon
from tests.handmade import World
from tests.knobs import Change, altered

ALONE = like("panel-100", "panel-alone", voc_v=32, vmp_v=27, imp_a=3.7, isc_a=3.9)
"""One by itself starts a regulator at 12 V."""
ONE_MODULE = like("module-100", "module-one", parallel_max=1)


def lamps(watt: float) -> c.Load:
    return c.Load(name="lamps", supply="dc", watt_w=watt, from_h=0, to_h=24)


def world(case: Case, catalogue: Catalogue, *changes: Change) -> World:
    return altered(World(case, catalogue, handmade.build()), *changes)


def start(pct: float) -> World:
    """Ten dark hours with lamps of 20 W, and 0.1, 0.5 and 0.2 W for shunt, display and module: 208 Wh.

    The module gives them with 0.975, so 213.3 Wh, and holds 100 Ah x 12.8 V x 0.9 = 1152 Wh: 18.52 %. None is to be
    left, so no floor can give way.
    """
    case = trailer(loads=(lamps(20),), limits={"soc_floor_pct": 0})
    day = (("scenarios.day.clearness", 0), ("scenarios.day.start_pct", pct))
    return world(case, with_parts(modules=[ONE_MODULE]), *day)


def dome(y_mm: float) -> World:
    """A roof for one panel of 1000 x 510 mm beside a dome of 20 mm: 1000 mm long and from 450 mm right to 450 mm left.

    The dome is 10 mm high, so at 45 degrees its shadow is 10 mm long: from -450 the panel ends at 60, and the dome must
    begin at 70. Half a dome ends no nearer to where it begins, and in the middle it leaves 430 mm on either side.
    """
    stands = c.Obstacle(
        name="dome", zone="roof", x_mm=2400, y_mm=int(y_mm), length_mm=20, width_mm=20, height_mm=10, clear_mm=0
    )
    roof = {"length_mm": 1000, "width_mm": 900, "y_mm": -450}
    case = trailer(loads=(lamps(30),), returns=True, zone=roof, obstacles=(stands,))
    return world(case, with_parts(panels=[ALONE]))


def two_planes(loads: tuple[c.Load, ...], *, rear: dict[str, object]) -> Case:
    """A panel's place on each of two roof planes, so a regulator for each."""
    case = trailer(loads=loads, returns=True, zone={"x_mm": 500, "y_mm": -510, "length_mm": 1000, "width_mm": 510})
    (front,) = case.zones
    back = front.model_copy(update={"name": "rear", "roof_plane": "other", "x_mm": 2000, "y_mm": 0} | rear)
    return replace(case, zones=(front, back))


def regulators(most: float) -> World:
    """Lamps draw 600 Wh in the hours of sun; a panel gives 450 Wh, and each has a regulator of its own."""
    case = two_planes((lamps(60),), rear={})
    return world(case, with_parts(panels=[ALONE]), ("limits.regulators_at_most", int(most)))


def panel_types(most: float) -> World:
    """Lamps draw 500 Wh; the large panel alone gives 450 Wh, two small ones as much, one of each 675 Wh."""
    small = like(
        "panel-100", "panel-50", length_mm=800, width_mm=300, watt_w=50, voc_v=32, vmp_v=27, imp_a=1.85, isc_a=1.95
    )
    case = two_planes((lamps(50),), rear={"length_mm": 800, "width_mm": 300})
    preferred = (("limits.regulators_at_most", 2), ("preferences.panel_types_at_most", int(most)))
    return world(case, with_parts(panels=[ALONE, small]), *preferred)


SUMMER = "scenarios.summer"
ONE_DAY: tuple[Change, ...] = (
    (f"{SUMMER}.clearness", 0), (f"{SUMMER}.start_pct", 50), (f"{SUMMER}.hours", 24),
    ("limits.autonomy_days", 0), ("limits.recharge_h", None), ("limits.budget", None),
    ("loads.kettle.duty_pct", 1), ("loads.fridge.watt_w", 20),
)  # fmt: skip
"""Lamps of 30 W for five hours, a fridge of 8 W: some 400 Wh with what stands by, and no sun."""
DRIVEN: tuple[Change, ...] = (
    *ONE_DAY, ("brief.mains_charger", "no"), (f"{SUMMER}.hook_up_from_h", None), (f"{SUMMER}.hook_up_to_h", None),
    ("more.alternator_chargers", like("alternator-charger-30", "alternator-charger-10", charge_a=10)),
)  # fmt: skip
"""Two hours' drive: the charger of 10 A puts back 10 A x 2 h x 12.8 V = 256 Wh, that of 30 A three times as much."""


def alternator(rating_a: float) -> World:
    """The charger of 30 A draws 30 A x 14.4 V / 0.9 / 12.3 V = 39.02 A; half the alternator's rating is for it."""
    return altered(handmade.world(), *DRIVEN, ("alternator.rating_a", rating_a))


def plug(rating_a: float) -> World:
    """As above: 39.02 A go through the plug."""
    return altered(handmade.world(), *DRIVEN, ("alternator.plug_a", rating_a))


def inlet(rating_a: float) -> World:
    """The charger of 30 A draws 30 A x 14.4 V / 0.9 = 480 W from hook-up, 2.09 A at 230 V; nothing else does."""
    parked = ((f"{SUMMER}.drive_from_h", None), (f"{SUMMER}.drive_to_h", None), ("brief.alternator_charger", "may"))
    return altered(handmade.world(), *ONE_DAY, *parked, ("loads.fire", None), ("inlet.rating_a", rating_a))


def from_hour(hour: float) -> World:
    """Pump and winch draw 400 W each, 33 A at 12 V, and the one module gives 40 A: never in one hour.

    The pump is on from 8 to 10. With one of the two drawing half they are still 50 A.
    """
    pump = c.Load(name="pump", supply="dc", watt_w=400, duty_pct=10, from_h=8, to_h=10)
    winch = pump.model_copy(update={"name": "winch", "from_h": int(hour), "to_h": int(hour) + 2})
    module = like("module-100", "module-40", parallel_max=1, discharge_a=40)
    case = trailer(loads=(pump, winch))
    hours = (("scenarios.day.start_h", 0), ("scenarios.day.hours", 24), ("ways.loads_way.bore_mm", 60))
    return world(case, with_parts(panels=[ALONE], modules=[module]), *hours)


@dataclass(frozen=True)
class Wrong:
    """A world made of a value; the last one that leaves a build and the first that does not; and what is told."""

    make: Callable[[float], World]
    inside: float
    outside: float
    far: float  # further out
    address: str


WRONG = {
    "too little at the start": Wrong(start, 19, 18, 2, "scenario.day.start_pct"),
    "an obstacle in the way": Wrong(dome, 70, 69, -10, "obstacle.dome.y_mm"),
    "a regulator too few": Wrong(regulators, 2, 1, 1, "limits.regulators_at_most"),
    "a type of panel too few": Wrong(panel_types, 2, 1, 1, "preferences.panel_types_at_most"),
    "an alternator too small for a charger": Wrong(alternator, 79, 78, 30, "alternator.rating_a"),
    "a plug too small for a charger": Wrong(plug, 39.1, 39, 20, "alternator.plug_a"),
    "an inlet too small for a charger": Wrong(inlet, 2.1, 2, 1, "inlet.rating_a"),
    "two loads in one hour": Wrong(from_hour, 10, 9, 8, "load.pump.to_h"),
}


FAR_OFF = {name: wrong for name, wrong in WRONG.items() if wrong.far != wrong.outside}


def told(made: World) -> NearestBrief:
    names = names_of(made.case, made.catalogue)
    found = nearest_brief(made.case, made.catalogue, names, Solving(), soon(300))
    assert found is not None
    return found


def as_told(made: World, found: NearestBrief) -> World:
    """The values set as the command line takes them, by the words that are printed."""
    case, catalogue = made.case, made.catalogue
    for eased in found.eased:
        _, text = shlex.split(set_words(eased.move))
        to = moved(case, catalogue, parse_set(text))
        case, catalogue = to.case, to.catalogue
    return replace(made, case=case, catalogue=catalogue)


def possible(made: World) -> bool:
    outcome = Question(made.case, made.catalogue).any_build(stop=STOP)
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


SLOW = ("an inlet too small for a charger",)  # as an alternator


@pytest.mark.parametrize(
    "wrong",
    [pytest.param(of, id=name, marks=pytest.mark.slow if name in SLOW else ()) for name, of in WRONG.items()],
)
def test_the_value_that_is_wrong_is_told_and_set_as_told_there_is_a_build(wrong: Wrong) -> None:
    assert possible(wrong.make(wrong.inside)) and not possible(wrong.make(wrong.outside))
    made = wrong.make(wrong.outside)

    found = told(made)

    assert [eased.move.address for eased in found.eased] == [wrong.address]
    assert possible(as_told(made, found))


@pytest.mark.parametrize(
    "wrong", [pytest.param(wrong, id=name) for name, wrong in WRONG.items() if wrong.far != wrong.outside]
)
@pytest.mark.slow
def test_so_it_is_where_the_value_is_far_off(wrong: Wrong) -> None:
    made = wrong.make(wrong.far)
    assert not possible(made)

    found = told(made)

    assert possible(as_told(made, found))
    assert wrong.address in {eased.move.address for eased in found.eased}


@pytest.mark.slow
def test_two_values_that_each_cut_both_ways_are_told_together() -> None:
    """The dome is in the way and the pump is on beside the winch: neither attempt alone leaves a build.

    Lamps of 5 W, pump and winch draw 280 Wh a day, and the panel gives 450 Wh.
    """
    roofed, on = dome(-10), from_hour(9)
    scenarios = tuple(s.model_copy(update={"returns": True}) for s in on.case.scenarios)
    case = replace(on.case, loads=(*on.case.loads, lamps(5)), scenarios=scenarios)
    made = replace(on, case=replace(case, zones=roofed.case.zones, obstacles=roofed.case.obstacles))
    assert not possible(made)

    found = told(made)

    assert {eased.move.address for eased in found.eased} == {"obstacle.dome.y_mm", "load.pump.to_h"}
    assert possible(as_told(made, found))
    for one in found.eased:
        assert not possible(as_told(made, replace(found, eased=(one,))))
