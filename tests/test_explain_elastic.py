"""The nearest brief: no brief that weighs less has a build, held against every one of them; five causes are mended."""

import json
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from optimiser.auditing import breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.cli import main
from optimiser.explaining import NearestBrief
from optimiser.explaining.elastic import nearest_brief
from optimiser.moves import Move, MoveProblem, moved
from optimiser.pipeline import Explanation
from optimiser.printing import explanation_object, explanation_sheet
from optimiser.solve import Impossible, Question, Solved
from tests import handmade
from tests.conflicting import hitch_and_autonomy, roof_and_string
from tests.explaining import STOP, Solving, inputs_of, names_of, soon
from tests.knobs import Change, altered
from tests.test_explain_proofs import why

TOURING = Path(__file__).parent / "impossible" / "touring-trailer"


def brief_of(case: Case, catalogue: Catalogue) -> NearestBrief:
    found = nearest_brief(case, catalogue, names_of(case, catalogue), Solving(), soon(300))
    assert found is not None
    return found


def possible(case: Case, catalogue: Catalogue, moves: Iterator[Move] | tuple[Move, ...]) -> bool:
    for move in moves:
        made = moved(case, catalogue, move)
        case, catalogue = made.case, made.catalogue
    outcome = Question(case, catalogue).any_build(stop=STOP)
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


def least_of_all(case: Case, catalogue: Catalogue, steps: dict[str, float], most: int) -> int:
    """By trying every brief of at most so many steps in all, the nearest first."""
    counts = sorted((sum(each), each) for each in product(range(most + 1), repeat=len(steps)) if sum(each) <= most)
    for weight, each in counts:
        moves = tuple(Move(a, f"{s * n:+g}") for (a, s), n in zip(steps.items(), each, strict=True) if n)
        try:
            if possible(case, catalogue, moves):
                return weight
        except MoveProblem:
            continue
    raise AssertionError("no brief of so few steps has a build")


@pytest.mark.slow
def test_no_brief_that_weighs_less_has_a_build_by_trying_them_all() -> None:
    built = hitch_and_autonomy()
    steps = {"vehicle.hitch_max_kg": 2, "limits.autonomy_days": -0.25, "limits.soc_floor_pct": -5}

    found = brief_of(built.case, built.catalogue)

    assert found.least and found.bound == found.weight
    assert {eased.move.address for eased in found.eased} <= set(steps)
    assert found.weight == least_of_all(built.case, built.catalogue, steps, most=4)


def test_several_limits_give_way_together_and_the_build_is_audited() -> None:
    world = altered(handmade.world(), ("vehicle.payload_kg", 1), ("limits.budget", 1))

    found = brief_of(world.case, world.catalogue)

    assert {eased.move.address for eased in found.eased} == {"vehicle.payload_kg", "limits.budget"} and found.least
    assert not breaches(found.findings)
    for eased in found.eased:  # a step less of either is not enough
        others = [e for e in found.eased if e is not eased]
        assert eased.lever.step is not None
        fewer = [Move(e.move.address, f"={e.move.after}") for e in others]
        short = float(eased.move.after) - eased.lever.step
        assert not possible(world.case, world.catalogue, (*fewer, Move(eased.move.address, f"={short}")))


@pytest.mark.slow  # steps of a number, below, are told sooner than a value in words
def test_what_has_no_ladder_is_given_up_and_then_moved() -> None:
    world = altered(handmade.world(), ("bays.locker.electronics", False))

    found = brief_of(world.case, world.catalogue)

    assert [eased.move.address for eased in found.eased] == ["bay.locker.electronics"] and found.bound is None
    assert possible(world.case, world.catalogue, (Move("bay.locker.electronics", "yes"),))


@pytest.mark.parametrize("budget", [None, 1], ids=["alone", "beside a value with a ladder"])
def test_of_values_without_a_ladder_as_few_steps_are_moved_as_are_enough(budget: int | None) -> None:
    """The world is made so that two steps of one clearance are enough and one is not."""
    built = roof_and_string()
    world = handmade.World(built.case, built.catalogue, handmade.build())
    case = altered(world, ("limits.budget", budget)).case

    found = brief_of(case, built.catalogue)

    counts = {eased.move.address: eased.count for eased in found.eased}
    assert counts.pop("limits.budget", None) is not None or budget is None
    assert counts == {built.lever: built.steps}


DARK: tuple[Change, ...] = (
    ("scenarios.summer.clearness", 0), ("limits.autonomy_days", 0), ("limits.recharge_h", None),
    ("brief.mains_charger", "no"), ("scenarios.summer.drive_to_h", 20),
)  # fmt: skip
"""Eleven hours on the road, and nothing else that charges."""
NO_FEED: tuple[Change, ...] = (*DARK, ("alternator.system_v", 24))  # of 12 V are all chargers there are


@pytest.mark.parametrize(
    ("beside", "others"),
    [
        ((), set()),
        # 2 A at 230 V are 460 W, of which the heater wants 500
        pytest.param((("inlet.rating_a", 2),), {"load.fire.watt_w"}, marks=pytest.mark.slow),
        pytest.param(
            (("inlet.rating_a", 2), ("limits.budget", 1)), {"load.fire.watt_w", "limits.budget"}, marks=pytest.mark.slow
        ),
    ],
    ids=["alone", "beside a load too large for the inlet", "and a budget"],
)
def test_a_value_that_cuts_both_ways_is_tried_beside_all_the_room_there_is(
    beside: tuple[Change, ...], others: set[str]
) -> None:
    """All at once leaves no build: a larger inlet is too much for the only mains box."""
    world = altered(handmade.world(), *NO_FEED, *beside)
    assert possible(altered(handmade.world(), *DARK).case, world.catalogue, ())

    found = brief_of(world.case, world.catalogue)

    moves = tuple(Move(eased.move.address, eased.move.after) for eased in found.eased)
    assert {move.address for move in moves} == {"alternator.system_v"} | others
    assert possible(world.case, world.catalogue, moves) and not breaches(found.findings)
    for left_out in moves:
        assert not possible(world.case, world.catalogue, tuple(move for move in moves if move != left_out))


@pytest.mark.slow
def test_sheet_and_object_say_what_is_moved_what_it_weighs_and_what_is_missing() -> None:
    world = altered(handmade.world(), ("vehicle.payload_kg", 1), ("limits.budget", 1))
    reasons = why(world.case, world.catalogue)
    assert reasons.brief is not None
    explained = Explanation("impossible", reasons)

    lines = explanation_sheet(inputs_of(world.case, world.catalogue), explained)

    text = "\n".join(line for line in lines if isinstance(line, str))
    assert "Nearest to what was asked: with these 2 values moved there is a build (found and audited)" in text
    assert "none the solver can weigh is less (proven; a step of a limit weighs 1" in text
    shown = explanation_object(explained)["nearest_brief"]
    assert shown is not None and shown["weight"] == sum(move["weight"] for move in shown["moves"])
    assert {finding["requirement"] for finding in shown["missed"]} == {"mass.payload", "money.budget"}


def on_the_command_line(*arguments: str) -> Any:
    """What a command says to a program."""
    result = CliRunner().invoke(main, [*arguments, "--json", "--quiet"])
    return json.loads(result.stdout)


@pytest.mark.slow
def test_five_suggestions_at_most_lead_from_five_causes_to_a_build() -> None:
    told = on_the_command_line("explain", str(TOURING), "--seconds", "900")  # beside other tests it takes twice as long

    moves, causes = told["nearest_brief"]["moves"], told["causes"]
    assert 5 >= len(moves) >= 4 and told["conflict"] is None
    assert [cause["address"] for cause in causes] == [move["address"] for move in moves]
    assert all(cause["needed"] and cause["requirements"] for cause in causes)
    sets = [word for move in moves for word in ("--set", f"{move['address']}={move['after']}")]
    tried = on_the_command_line("explain", str(TOURING), *sets)
    assert tried["as_asked"]["status"] == "impossible"
    assert tried["changed"]["status"] in ("proven", "best found") and tried["given_up"] == []
