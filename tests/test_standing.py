"""Solving first without places gives what solving with them gives, in every way it may go."""

import time
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, product
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from optimiser.model import figures, kinds
from optimiser.model.assemble import assemble
from optimiser.reading import read_catalogue, shipped_catalogue
from optimiser.solve import WANTS, Impossible, Question, Solved, Stop, Want, fitout, optimise, standing
from optimiser.solve.early import Early
from optimiser.solve.outcome import Halt, Progress
from optimiser.solve.search import Aim, Best, Infeasible, Open, _race, aim, places, race, search
from optimiser.solve.standing import Models, in_group
from tests import handmade
from tests.vehicles import vehicle

_BODIES, _PLACES = 5, 2
Pair = tuple[int, int]


def _models(cost: tuple[int, ...], clash: frozenset[Pair], least: int) -> Models:
    """Bodies that are bought or not, at least so many; those that clash want different places, of which there are two.

    The first two bodies make the group. Ties go to the first body in the second place, which is not settled by what is
    bought.
    """
    loose = cp_model.CpModel()
    bought = [loose.new_bool_var(f"body {k}") for k in range(_BODIES)]
    where = [loose.new_int_var(1, _PLACES, f"place of {k}") for k in range(_BODIES)]
    loose.add(sum(bought) >= least)
    goal = aim(sum(c * b for c, b in zip(cost, bought, strict=True)), -where[0])
    whole = loose.clone()
    for one, other in clash:
        whole.add(where[one] != where[other]).only_enforce_if(bought[one], bought[other])
    return Models(loose, whole, goal, bought, bought[:2])


def _by_every_choice(cost: tuple[int, ...], clash: frozenset[Pair], least: int) -> int | None:
    """Each choice of bodies in each choice of places: the least of cost, ties broken as the goal does."""
    found = []
    for bought in product((0, 1), repeat=_BODIES):
        both = [pair for pair in clash if all(bought[k] for k in pair)]
        for at in product(range(_PLACES), repeat=_BODIES):
            if sum(bought) >= least and all(at[a] != at[b] for a, b in both):
                found.append(_PLACES * sum(c * b for c, b in zip(cost, bought, strict=True)) + 1 - at[0])
    return min(found, default=None)


_worlds = st.tuples(
    st.tuples(*[st.integers(1, 9)] * _BODIES),
    st.frozensets(st.sampled_from(list(combinations(range(_BODIES), 2)))),
    st.integers(0, _BODIES),
)


@pytest.mark.parametrize("without", [0, 2])
@pytest.mark.parametrize(("ruled_out", "unit"), [(0, 1), (1, 1), (4, 1), (4, 1000)])
@given(world=_worlds)
@example(world=((1, 2, 3, 5, 6), frozenset({(0, 1), (0, 2), (1, 2)}), 3))  # nothing a little above its bound
@settings(deadline=None, max_examples=120)
def test_as_good_as_every_choice(
    ruled_out: int, unit: int, without: int, world: tuple[tuple[int, ...], frozenset[Pair], int]
) -> None:
    """Costs of hundreds of units too, above whose bound there is room for looking a little above it first."""
    cost, clash, least = world
    cost = tuple(c * unit for c in cost)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(standing, "_GROUPS", ruled_out)
        patch.setattr(standing, "_WITHOUT", without)
        models = _models(cost, clash, least)
        told = list[int]()
        found = standing.solve(models, stop=Stop(20, workers=1), watch=lambda seen: told.append(seen.bound))
    expected = _by_every_choice(cost, clash, least)
    if expected is None:
        assert isinstance(found, Infeasible)
        return
    assert isinstance(found, Best)
    assert found.proven
    assert found.value(models.goal.both) == expected
    assert max([found.bound, *told]) <= found.value(models.goal.first)


@pytest.mark.parametrize("less", [4_000, 20_000])
def test_a_goal_below_0_is_looked_for_above_its_bound_too(less: int) -> None:
    """As of what is better the more there is of it. The best costs 5000, the least without places 3000."""
    models = _models((1000, 1000, 1000, 3000, 9000), frozenset({(0, 1), (0, 2), (1, 2), (0, 3), (1, 3)}), 3)
    goal, told = replace(models.goal, first=models.goal.first - less, low=models.goal.low - less), list[Progress]()
    found = standing.solve(replace(models, goal=goal), stop=Stop(20, workers=1), watch=told.append)

    assert isinstance(found, Best) and found.proven
    assert found.value(goal.first) == 5_000 - less
    assert all(progress.bound <= 5_000 - less for progress in told)


def test_two_searches_apart_that_know_nothing_claim_no_bound_above_the_goal_s() -> None:
    """Asked to end before they begin, of a goal that is at least -100."""
    model, halt = cp_model.CpModel(), Halt()
    halt.ask()
    goal = aim(model.new_int_var(0, 9, "") - 100, 0)
    assert race(model, goal, stop=Stop(20, workers=2), halt=halt, started=time.monotonic()) == Open(-100)


@pytest.mark.parametrize("below", range(10))
def test_only_what_is_below_a_value_is_found(below: int) -> None:
    """Costs of 1, 2 and 5, of which one at least is bought, and 3 that is spent anyway: 4 is the least there is."""
    model = cp_model.CpModel()
    bought = [model.new_bool_var("") for _ in range(3)]
    model.add_bool_or(bought)
    goal = aim(3 + bought[0] + 2 * bought[1] + 5 * bought[2], 0)
    found = search(model, goal, stop=Stop(20, workers=1), below=below)
    placed = places(model, goal, seconds=20, seed=1, halt=Halt(), below=below)

    assert isinstance(found, Best if below > 4 else Infeasible)
    assert (placed is not None) == (below > 4)
    if isinstance(found, Best) and placed:
        assert found.value(goal.both) == placed.value(goal.both) == 4


def test_what_the_whole_model_finds_is_told_as_it_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """The loose model says nothing, as where bodies crowd: what is told comes of the whole one, down to the best."""
    models = _models((1, 1, 1, 5, 6), frozenset(), 3)
    monkeypatch.setattr("optimiser.solve.standing._Look.loosely", lambda _: Open(0))
    told = list[int | None]()
    found = standing.solve(models, stop=Stop(20, workers=1), watch=lambda progress: told.append(progress.best))

    assert isinstance(found, Best)
    assert told and told[-1] == found.value(models.goal.first) == 3


def test_what_has_no_places_is_never_told_of() -> None:
    """Three that clash with one another do not go in two places; they are the cheapest three."""
    models = _models((1, 1, 1, 5, 6), frozenset({(0, 1), (0, 2), (1, 2)}), 3)
    told = list[int | None]()
    found = standing.solve(models, stop=Stop(20, workers=1), watch=lambda progress: told.append(progress.best))

    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (7, True)
    assert {best for best in told if best is not None and best < 7} == set()


def test_a_solution_that_cannot_be_placed_in_time_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where no solution of the loose model is ever placed, the whole model is solved."""
    monkeypatch.setattr(standing, "places", lambda *_, **__: None)
    models = _models((1, 1, 1, 5, 6), frozenset(), 3)
    found = standing.solve(models, stop=Stop(20, workers=1))

    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (3, True)


def test_a_solution_that_another_search_says_is_not_there_is_not_called_the_best(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The loose model is said to have none, and one was found meanwhile: the whole model says which is the best."""
    models = _models((1, 1, 1, 5, 6), frozenset(), 3)
    dear = search(models.whole.clone(), aim(-models.goal.first, 0), stop=Stop(20, workers=1))
    assert isinstance(dear, Best) and dear.value(models.goal.first) == 14

    def contradicting(look: Any) -> Infeasible:
        look._take(dear)
        return Infeasible()

    monkeypatch.setattr("optimiser.solve.standing._Look.loosely", contradicting)
    found = standing.solve(models, stop=Stop(20, workers=1))

    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (3, True)


def test_where_hardly_a_solution_has_places_the_whole_model_is_solved_soon(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first that is found has none, and the search for another is told to end."""
    monkeypatch.setattr(standing, "places", lambda *_, **__: None)
    monkeypatch.setattr(standing, "_IN_VAIN", 1)
    monkeypatch.setattr(standing, "_IN_VAIN_SHARE", 0.0)
    monkeypatch.setattr(standing, "in_group", None)  # not looked into: the loose model was not solved to its end
    models = _models((1, 1, 1, 5, 6), frozenset({(0, 1), (0, 2), (1, 2)}), 3)
    said = list[str]()

    def ended(model: cp_model.CpModel, *given: Any, **also: Any) -> Any:
        found = search(model, *given, **{**also, "accept": None})
        if model is not models.loose:
            return found
        assert isinstance(found, Best)
        said.append(also["accept"](standing._values(model, found)))
        return replace(found, proven=False)

    monkeypatch.setattr(standing, "search", ended)
    found = standing.solve(models, stop=Stop(20, workers=1))

    assert said == ["end"]
    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (7, True)


def test_work_that_is_spent_is_not_spent_again_on_the_whole_model(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = list[int]()

    def spent(*_: Any, **__: Any) -> Open:
        asked.append(1)
        return Open(2)

    monkeypatch.setattr(standing, "search", spent)
    found = standing.solve(_models((1, 1, 1, 5, 6), frozenset(), 3), stop=Stop(20, workers=1, work=1e-9))

    assert (found, len(asked)) == (Open(2), 1)


def test_a_first_solution_meanwhile_and_none_with_one_worker() -> None:
    models, told = _models((1, 1, 1, 5, 6), frozenset({(0, 1), (0, 2), (1, 2)}), 3), list[int]()
    for workers in (1, 2):
        with Early(
            models.whole, models.goal, Stop(20, workers=workers), time.monotonic(),
            lambda best: told.append(best.value(models.goal.first)),
        ) as early:  # fmt: skip
            while workers > 1 and 7 not in told:
                time.sleep(0.01)
            early.enough()
        assert (min(told) == 7) if workers > 1 else not told


def test_a_group_is_ruled_out_only_once_its_best_is_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    """Here the best of all is of the group of the first that has no places."""
    models = _models((1, 1, 3, 5, 6), frozenset({(0, 1), (0, 2), (1, 2)}), 3)
    monkeypatch.setattr(standing, "in_group", lambda *_, **__: Open(0))
    found = standing.solve(models, stop=Stop(20, workers=1))

    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (7, True)


def test_a_little_better_of_another_group() -> None:
    """The cheapest three have no places; the best with the first two is dearer by one than without the second."""
    models = _models((1, 2, 1, 5, 6), frozenset({(0, 1), (0, 2), (1, 2)}), 3)
    found = standing.solve(models, stop=Stop(20, workers=1))

    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (7, True)


def test_where_no_other_group_may_be_better_the_whole_model_is_not_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """The best of the first group, with both of its bodies, costs 11 in place of 3; with one of them it is 5."""
    models = _models((1, 1, 1, 3, 9), frozenset({(0, 1), (0, 2), (1, 2), (0, 3), (1, 3)}), 3)
    monkeypatch.setattr("optimiser.solve.standing._Look.wholly", None)
    found = standing.solve(models, stop=Stop(20, workers=1))

    assert isinstance(found, Best)
    assert (found.value(models.goal.first), found.proven) == (5, True)


@pytest.mark.parametrize("without", [0, 1, 2])
def test_groups_without_places_are_given_up_soon(monkeypatch: pytest.MonkeyPatch, without: int) -> None:
    """All five clash, and three of them are to be bought: no group has places."""
    monkeypatch.setattr(standing, "_WITHOUT", without)
    groups = list[tuple[int, ...]]()

    def counted(models: Models, group: tuple[int, ...], **how: Any) -> Any:
        groups.append(group)
        return in_group(models, group, **how)

    monkeypatch.setattr(standing, "in_group", counted)
    everything = frozenset(combinations(range(_BODIES), 2))
    found = standing.solve(_models((1, 2, 3, 5, 6), everything, 3), stop=Stop(20, workers=1))

    assert isinstance(found, Infeasible)
    assert len(groups) == without


@pytest.mark.parametrize("clash", [frozenset[Pair](), frozenset({(0, 1), (0, 2), (1, 2)})])
def test_where_the_first_will_do_it_has_places(clash: frozenset[Pair]) -> None:
    models = _models((1, 1, 1, 5, 6), clash, 3)
    found = standing.solve(models, stop=Stop(20, workers=1, lone=True, first=True))

    assert isinstance(found, Best)
    bought = [k for k, var in enumerate(models.settled) if found.value(var)]
    where = [found.value(models.whole.get_int_var_from_proto_index(_BODIES + k)) for k in range(_BODIES)]
    assert len(bought) >= 3
    assert all(where[a] != where[b] for a, b in clash if {a, b} <= set(bought))
    assert found.bound <= found.value(models.goal.first)


# --- against the whole model alone -------------------------------------------------------------------


def _worlds_to_fit() -> Iterator[tuple[str, Want]]:
    for want in WANTS:
        yield "handmade", want
        for seed in (1, 2, 3, 11, 16, 17, 23, 24, 30):
            yield f"vehicle-{seed}", want


@pytest.mark.slow
@pytest.mark.parametrize(("name", "want"), list(_worlds_to_fit()))
def test_the_same_as_the_whole_model_alone(name: str, want: Want) -> None:
    catalogue = handmade.catalogue() if name == "handmade" else read_catalogue(shipped_catalogue())
    case = handmade.case() if name == "handmade" else vehicle(int(name.rpartition("-")[2]), catalogue)
    found = optimise(case, catalogue, want, stop=Stop(60))
    ctx = assemble(case, catalogue)
    first, second = (figures.figure(ctx, measure) for measure in WANTS[want])
    goal: Aim = aim(first, second, width=figures.WIDTH[WANTS[want][1]])
    alone = search(ctx.m, goal, stop=Stop(60))
    if isinstance(alone, Infeasible):
        assert isinstance(found, Impossible)
        return
    assert isinstance(alone, Best)
    assert isinstance(found, Solved)
    assert alone.proven
    assert [found.figures[measure] for measure in WANTS[want]] == [alone.value(first), alone.value(second)]


@pytest.mark.parametrize(("at_once_s", "searches"), [(0.0, 0), (20.0, 1)])
@pytest.mark.parametrize("room_kg", [0, -1])
def test_whether_there_is_a_build_at_once_or_from_group_to_group(
    monkeypatch: pytest.MonkeyPatch, at_once_s: float, searches: int, room_kg: int
) -> None:
    """The lightest of the world by hand, and nothing that weighs a kilogram less."""
    case, catalogue = handmade.case(), handmade.catalogue()
    lightest = optimise(case, catalogue, "lightest", stop=Stop(20))
    assert isinstance(lightest, Solved)
    monkeypatch.setattr(fitout, "_AT_ONCE_S", at_once_s)
    raced = list[object]()

    def counted(*given: Any) -> Any:
        raced.append(given)
        return _race(*given)

    monkeypatch.setattr("optimiser.solve.search._race", counted)
    below = lightest.mass_g + 1 + 1000 * room_kg
    found = Question(case, catalogue, below=("mass", below)).any_build(stop=Stop(20))

    assert len(raced) == searches
    assert isinstance(found, Solved if room_kg == 0 else Impossible)
    if isinstance(found, Solved):
        assert found.mass_g == lightest.mass_g
        assert found.build.claim.status == "found"


def test_with_all_that_is_settled_and_the_lengths_of_cables_only_places_are_left() -> None:
    """A figure of money or mass that moves while these stay would be given away."""
    ctx = assemble(handmade.case(), handmade.catalogue())
    found = search(ctx.m, aim(figures.figure(ctx, "cost"), 0), stop=Stop(20, workers=1))
    assert isinstance(found, Best)
    lengths = [steps for run in ctx.d.runs.values() for _, _, steps in run.cables.values()]
    for var in (*kinds.settled(ctx), *lengths):
        ctx.m.add(var == found.value(var))
    for measure in ("cost", "mass"):
        for sign in (1, -1):
            other = search(ctx.m.clone(), aim(sign * figures.figure(ctx, measure), 0), stop=Stop(20, workers=1))
            assert isinstance(other, Best)
            assert other.value(figures.figure(ctx, measure)) == found.value(figures.figure(ctx, measure))
