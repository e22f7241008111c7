"""What an impossible build says at once: true, found by few questions, and plainly nothing where nothing is known."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import Budget, Glance, at_a_glance, everything, nearest_or_missed
from optimiser.explaining.easing import base_of
from optimiser.moves import Ladder
from optimiser.pipeline import Answer, glance
from optimiser.printing import answer_object, answer_sheet
from optimiser.solve import Impossible, Outcome, Question, Solved, Stop, Undecided
from tests import handmade
from tests.conflicting import WORLDS, Built
from tests.explaining import STOP, Active, Solving, inputs_of, names_of, soon, without
from tests.handmade import World
from tests.knobs import changed

NONE = Answer("cheapest", Impossible(0.1), None, ())


def seen(world: World | Built, solver: Solving | None = None, seconds: float = 60) -> Glance:
    names = names_of(world.case, world.catalogue)
    return at_a_glance(world.case, world.catalogue, names, solver or Solving(), soon(seconds))


def possible_without(world: World | Built, names: set[str]) -> bool:
    outcome = Question(world.case, world.catalogue, active=lambda name: not {name, base_of(name)} & names).any_build(
        stop=STOP
    )
    assert isinstance(outcome, Solved | Impossible)
    return isinstance(outcome, Solved)


def printed(world: World, found: Glance) -> str:
    lines = answer_sheet(inputs_of(world.case, world.catalogue), NONE, found)
    return "\n".join(line for line in lines if isinstance(line, str))


@pytest.mark.parametrize(
    ("knob", "value", "named"),
    [("vehicle.payload_kg", 1, "mass.payload"), ("limits.budget", 1, "money.budget"),
     ("limits.autonomy_days", 20, "energy.autonomy")],
)  # fmt: skip
def test_one_limit_out_of_reach_is_named_by_a_few_questions(knob: str, value: float, named: str) -> None:
    world, solver = changed(handmade.world(), knob, value), Solving()

    found = seen(world, solver)

    assert [finding.requirement for finding in found.missed] == [named]
    assert len(solver.asked) <= 6
    assert possible_without(world, {named})
    said = printed(world, found)
    assert "There is one that misses nothing else than this (found and audited" in said
    assert f"  {named}: {found.missed[0].sentence}" in said


def test_two_limits_out_of_reach_are_named_together() -> None:
    world = changed(changed(handmade.world(), "vehicle.payload_kg", 1), "limits.budget", 1)

    found = seen(world)

    assert {finding.requirement for finding in found.missed} == {"mass.payload", "money.budget"} and found.minimal
    assert possible_without(world, {"mass.payload", "money.budget"})
    assert not possible_without(world, {"mass.payload"}) and not possible_without(world, {"money.budget"})
    assert "(found and audited; less than all of it is not enough, proven):" in printed(world, found)


def test_what_is_proven_not_to_help_is_named() -> None:
    world = changed(handmade.world(), "bays.locker.electronics", False)

    found = seen(world)

    assert found.missed == () and max(map(len, found.in_vain)) > 5
    for names in found.in_vain:
        assert not possible_without(world, set(names))
    assert "given up together (proven): " in printed(world, found)


@pytest.mark.parametrize("make", WORLDS, ids=lambda make: make.__name__)
def test_it_names_part_of_the_only_conflict(make: object) -> None:
    assert callable(make)
    built = make()

    found = seen(built)

    assert {finding.requirement for finding in found.missed} <= built.conflict
    assert len(found.missed) == 1 or found.in_vain


def test_without_time_nothing_is_known_and_that_is_said() -> None:
    world = changed(handmade.world(), "limits.budget", 1)

    found = seen(world, seconds=0)

    assert found == Glance()
    assert "What is in the way is not known yet." in printed(world, found)


def test_it_keeps_to_the_time_limit_and_is_of_impossible_cases_alone() -> None:
    world = changed(handmade.world(), "limits.budget", 1)
    inputs = inputs_of(world.case, world.catalogue)

    assert glance(inputs, NONE, Stop(seconds=0.1)) == Glance()
    nothing = {"missed": [], "minimal": False, "in_vain": [], "nearest_brief": None, "least_budget": None}
    assert answer_object(NONE, Glance())["glance"] == nothing
    assert glance(inputs, replace(NONE, outcome=Undecided(None, None, None, 0, 0.1, "stopped")), Stop()) is None


# --- the nearest brief, where the moment shows one ------------------------------------------------------


def first_seen(world: World, seconds: float = 120) -> Glance:
    return nearest_or_missed(
        world.case, world.catalogue, names_of(world.case, world.catalogue), Solving(), soon(seconds)
    )


def test_what_weighs_most_is_told_and_the_command_for_all_of_it() -> None:
    world = changed(changed(handmade.world(), "vehicle.payload_kg", 1), "limits.budget", 1)

    found = first_seen(world)

    assert found.brief is not None and found.missed == ()
    moves = {eased.move.address: float(eased.move.after) for eased in found.brief.eased}
    assert set(moves) == {"vehicle.payload_kg", "limits.budget"}
    said = printed(world, found)
    payload, money = moves["vehicle.payload_kg"], moves["limits.budget"]
    assert f"  payload: 1 kg there, {payload:g} kg needed, {payload - 1:g} kg missing (vehicle.payload_kg)\n" in said
    assert f"  budget: 1 cu there, {money:g} cu needed, {money - 1:g} cu missing (limits.budget)\n" in said
    assert "With these values moved there is a build (found and audited; nothing the solver can weigh is nearer" in said
    for address, value in moves.items():
        assert f"--set {address}={value:g}" in said.replace("\n", " ")


def test_only_the_two_that_weigh_most_are_told() -> None:
    world = changed(changed(handmade.world(), "vehicle.payload_kg", 1), "limits.budget", 1)
    found = first_seen(world)
    assert found.brief is not None
    light, heavy = sorted(found.brief.eased, key=lambda eased: eased.weight)
    three = (replace(light, weight=light.weight - 1), light, heavy)

    said = printed(world, replace(found, brief=replace(found.brief, eased=three)))

    assert "what weighs most of 3:" in said
    assert said.index(f"({heavy.move.address})") < said.index(f"({light.move.address})")
    assert said.count(" missing (") == 2


def test_the_least_budget_is_what_the_cheapest_build_without_one_costs() -> None:
    world = changed(handmade.world(), "limits.budget", 1)
    cheapest = without(world, "money.budget", "cheapest").cost_cents

    found = first_seen(world)

    assert found.least_budget is not None and found.least_budget.others == 0
    assert found.least_budget.near.works == found.least_budget.near.bound == cheapest
    assert f"Least budget: {cheapest / 100:.2f} cu with all else as asked (proven)." in printed(world, found)
    for cents, enough in ((cheapest, True), (cheapest - 1, False)):
        assert possible_without(changed(world, "limits.budget", cents / 100), set()) == enough


def test_the_least_budget_beside_another_value_moved() -> None:
    world = changed(changed(handmade.world(), "vehicle.payload_kg", 1), "limits.budget", 1)
    found = first_seen(world)
    assert found.brief is not None and found.least_budget is not None
    payload = next(e for e in found.brief.eased if e.move.address == "vehicle.payload_kg")
    moved = changed(world, "vehicle.payload_kg", float(payload.move.after))

    cheapest = without(moved, "money.budget", "cheapest").cost_cents

    assert (found.least_budget.near.works, found.least_budget.others) == (cheapest, 1)
    least = f"Least budget: {cheapest / 100:.2f} cu with the other value moved as said (proven)."
    assert least in printed(world, found)
    shown = answer_object(NONE, found)["glance"]
    assert shown is not None and shown["least_budget"] is not None and shown["nearest_brief"] is not None
    assert (shown["least_budget"]["works"], shown["least_budget"]["others_moved"]) == (cheapest / 100, 1)
    assert {move["address"] for move in shown["nearest_brief"]["moves"]} == {"vehicle.payload_kg", "limits.budget"}


def test_a_value_without_a_ladder_is_told_where_nothing_can_be_given_up() -> None:
    world = changed(handmade.world(), "bays.locker.electronics", False)

    found = first_seen(world)

    assert found.brief is not None and found.in_vain == seen(world).in_vain
    assert [eased.move.address for eased in found.brief.eased] == ["bay.locker.electronics"]
    said = printed(world, found)
    assert "With this value moved there is a build (found and audited; less may be enough):" in said
    assert "--set bay.locker.electronics=yes" in said.replace("\n", " ")


def test_where_no_brief_comes_in_the_moment_what_is_missed_is_told_as_before() -> None:
    world = changed(handmade.world(), "bays.locker.electronics", False)

    class Until(Solving):
        """The moment ends with the first question about other values."""

        over = False

        def nearest(self, *args: Any, **options: Any) -> Outcome:
            self.over = options["seconds"] is None
            return super().nearest(*args, **options)

    solver = Until()
    budget = Budget(soon(120).until, lambda: solver.over)
    found = nearest_or_missed(world.case, world.catalogue, names_of(world.case, world.catalogue), solver, budget)

    assert solver.over
    assert found.brief is None and found.least_budget is None and found.in_vain == seen(world).in_vain


def test_the_nearest_brief_has_most_of_the_moment() -> None:
    """Where one is found it is all that is told, so nothing is kept back for values that are not looked at then."""
    world, given = changed(handmade.world(), "limits.budget", 1), list[float]()

    class Slow(Solving):
        def nearest(
            self,
            case: Case,
            catalogue: Catalogue,
            ladders: Sequence[Ladder],
            *,
            seconds: float | None,
            active: Active = everything,
            lighter_than: int | None = None,
        ) -> Outcome:
            assert seconds is not None
            given.append(seconds)
            return Undecided(None, None, None, 0, 0.1, "slow")

    names = names_of(world.case, world.catalogue)
    found = nearest_or_missed(world.case, world.catalogue, names, Slow(), soon(100))

    assert found.brief is None and len(given) == 1 and given[0] > 75
