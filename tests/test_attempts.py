"""Where one value of brief or survey is wrong, it is among what is suggested, and so moved the case has a build."""

import shlex
from dataclasses import replace

import pytest

from optimiser import case as c
from optimiser.basis.loads import in_window
from optimiser.explaining.least import tried_values
from optimiser.moves import attempts, moved, parse_set, steps
from optimiser.printing.briefs import set_words
from optimiser.solve import Impossible, Question, Solved
from tests import handmade
from tests.explaining import STOP, Solving, soon
from tests.handmade import World
from tests.knobs import Change, altered, changed
from tests.load_spans_help import TWICE

SUMMER = "scenarios.summer"
DARK: tuple[Change, ...] = tuple(
    (f"{SUMMER}.{column}", value)
    for column, value in (
        ("clearness", 0), ("drive_from_h", None), ("drive_to_h", None), ("hook_up_from_h", None),
        ("hook_up_to_h", None),
    )
)  # fmt: skip
"""Nothing charges."""


def two_at_once() -> World:
    """1400 W together in one hour, of an inverter for 1300 W or less."""
    world = handmade.world()
    cooker = c.Load(name="cooker", supply="mains", circuit="sockets", watt_w=800, duty_pct=10, from_h=8, to_h=9)
    return replace(world, case=replace(world.case, loads=(*world.case.loads, cooker)))


def an_hour_on(window: str) -> World:
    """Of hook-up or driving, and nothing else that charges."""
    hours = ((f"{SUMMER}.{window}_from_h", 9), (f"{SUMMER}.{window}_to_h", 10))
    return altered(handmade.world(), *DARK, *hours, (f"{SUMMER}.returns", False), (f"{SUMMER}.hours", 72))


def two_days() -> World:
    """The bank is enough for one."""
    return altered(handmade.world(), *DARK, (f"{SUMMER}.returns", False), (f"{SUMMER}.hours", 48))


def only_at_home() -> World:
    """What draws most is on in two days without a charge too, and the bank is enough without it."""
    world = changed(two_days(), "loads.fridge.watt_w", 20)
    (dark,) = world.case.scenarios
    home = dark.model_copy(update={"name": "home", "hours": 24})
    return replace(world, case=replace(world.case, scenarios=(dark, home)))


def no_room() -> World:
    """A hatch over nearly all of the roof, where only sun charges."""
    hatch = (("x_mm", 600), ("y_mm", -500), ("length_mm", 2700), ("width_mm", 1100), ("lid_side", "none"))
    little = (("loads.kettle.duty_pct", 1), ("loads.fridge.watt_w", 5), (f"{SUMMER}.month", 6))
    sun = (f"{SUMMER}.clearness", 0.9)
    return altered(handmade.world(), *DARK, sun, *little, *((f"obstacles.hatch.{k}", v) for k, v in hatch))


WRONG = {
    "a load an hour later": (two_at_once(), [{"load.cooker.from_h", "load.cooker.to_h"}]),
    "a span of a load an hour later": (
        altered(two_at_once(), TWICE), [{"load_span.kettle.1.from_h", "load_span.kettle.1.to_h"}],
    ),
    "longer on hook-up": (an_hour_on("hook_up"), [{"scenario.summer.hook_up_to_h"}]),
    "longer on the road": (an_hour_on("drive"), [{"scenario.summer.drive_to_h"}]),
    "a day shorter, or hook-up where there is none": (
        two_days(),
        [{"scenario.summer.hours"}, {"scenario.summer.hook_up_from_h", "scenario.summer.hook_up_to_h"}],
    ),
    "a hatch aside or a smaller one": (
        no_room(), [{"obstacle.hatch.y_mm"}, {"obstacle.hatch.length_mm", "obstacle.hatch.width_mm"}],
    ),
    "off in one scenario": (only_at_home(), [{"load.kettle.scenarios"}]),
}  # fmt: skip


SLOW = ("longer on the road",)  # as on hook-up


@pytest.mark.parametrize(
    ("world", "wrong"),
    [pytest.param(*of, id=name, marks=pytest.mark.slow if name in SLOW else ()) for name, of in WRONG.items()],
)
def test_a_wrong_value_is_among_what_is_suggested_and_so_set_there_is_a_build(
    world: World, wrong: list[set[str]]
) -> None:
    assert isinstance(Question(world.case, world.catalogue).any_build(stop=STOP), Impossible)

    found = tried_values(world.case, world.catalogue, Solving(), soon(300))

    for values in wrong:
        (change,) = [change for change in found.changes if {move.address for move in change.moves} == values]
        case, catalogue = world.case, world.catalogue
        for move in change.moves:  # as the command line takes it
            _, text = shlex.split(set_words(move))
            to = moved(case, catalogue, parse_set(text))
            case, catalogue = to.case, to.catalogue
        assert isinstance(Question(case, catalogue).any_build(stop=STOP), Solved)


def test_hours_moved_past_midnight_are_as_many_as_before() -> None:
    world = changed(changed(handmade.world(), "loads.kettle.from_h", 22), "loads.kettle.to_h", 24)
    found = attempts(world.case, world.catalogue)
    kettle = [levers for levers in found if levers[1:] and levers[0].address.startswith("load.kettle.")]
    for levers in kettle:
        case, catalogue = world.case, world.catalogue
        for lever in levers:
            to = moved(case, catalogue, steps(lever, 1))
            case, catalogue = to.case, to.catalogue
        after = next(load for load in case.loads if load.name == "kettle")
        hours = [hour for hour in range(24) if in_window(hour, after.from_h, after.to_h)]
        assert len(hours) == 2 and hours != [22, 23]
    assert len(kettle) == 4  # an hour or two, either way
