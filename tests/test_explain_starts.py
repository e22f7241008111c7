"""The charge a scenario starts with, where it alone leaves no build: told in words, by `explain` and by `check`.

A trailer of `conflicting` with one module of 1280 Wh at most, and lamps that burn day and night.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from optimiser import case as c
from optimiser.checking.odd_values import odd_survey
from optimiser.explaining import Why
from optimiser.moves import Move, moved
from optimiser.solve import Impossible, Question, Solved
from tests.conflicting import like, trailer, with_parts
from tests.explaining import STOP
from tests.handmade import World, build
from tests.test_explain_proofs import sheet, why


def lamps(watt: float, *, start_pct: float, start_h: int, hours: int, returns: bool) -> World:
    case = trailer(
        loads=(c.Load(name="lamps", supply="dc", watt_w=watt, from_h=0, to_h=24),), limits={"soc_floor_pct": 20}
    )
    span = {"start_pct": start_pct, "start_h": start_h, "hours": hours, "returns": returns}
    scenarios = tuple(scenario.model_copy(update=span) for scenario in case.scenarios)
    one_module = [like("module-100", "module-one", parallel_max=1)]
    return World(replace(case, scenarios=scenarios), with_parts(modules=one_module), build())


def too_high() -> World:
    """From 95 % at 06:00 back to it: lamps draw some 180 Wh, 14 % of the module, by night; the day fills the top 5."""
    return lamps(15, start_pct=95, start_h=6, hours=24, returns=True)


def too_low() -> World:
    """From 30 % at 18:00 lamps draw 200 Wh, 16 % of the module, before the sun is up again; 20 % are to be left."""
    return lamps(20, start_pct=30, start_h=18, hours=10, returns=False)


MADE: dict[str, Callable[[], World]] = {"too high": too_high, "too low": too_low}


@cache
def explained(which: str) -> tuple[World, Why]:
    world = MADE[which]()
    return world, why(world.case, world.catalogue)


@pytest.mark.parametrize(("which", "to"), [("too high", "80"), ("too low", "40")])
def test_the_start_charge_is_named_where_it_alone_makes_the_case_possible(which: str, to: str) -> None:
    world, found = explained(which)
    mended = moved(world.case, world.catalogue, Move("scenario.day.start_pct", to))
    assert isinstance(Question(world.case, world.catalogue).any_build(stop=STOP), Impossible)
    assert isinstance(Question(mended.case, mended.catalogue).any_build(stop=STOP), Solved)

    changes = {change.moves[0].address: change.moves[0].after for change in found.changes if len(change.moves) == 1}

    assert changes["scenario.day.start_pct"] == to


def test_why_a_start_is_too_high_is_said() -> None:
    world, found = explained("too high")

    text = sheet(world.case, world.catalogue, found)

    assert "day begins at 95 % at 06:00 and must end there: only the top 5 % can be filled; a lower" in text
    assert "scenario.day.start_pct" in text


def test_why_a_start_is_too_low_is_said() -> None:
    world, found = explained("too low")

    text = sheet(world.case, world.catalogue, found)

    assert "day begins at 30 % at 18:00, 20 % is the floor: only 10 % can be drawn before a source comes" in text


def test_check_names_the_value_to_move() -> None:
    world = too_high()

    told = dict(odd_survey(world.case, world.catalogue))

    assert "scenario.day.start_pct" in told["scenario day"]


def test_a_start_is_told_beside_a_second_limit() -> None:
    """By itself neither is enough: each is a cause of its own."""
    world = too_high()
    light = moved(world.case, world.catalogue, Move("vehicle.payload_kg", "1")).case

    causes = {cause.eased.lever.address for cause in why(light, world.catalogue).causes}
    assert causes == {"scenario.day.start_pct", "vehicle.payload_kg"}
