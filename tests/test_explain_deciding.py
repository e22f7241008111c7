"""What decides the best build of a small vehicle, held against naive twins that solve without each requirement."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import pytest

from optimiser.auditing import audit
from optimiser.builds import Build
from optimiser.explaining import Begun, News, Refused, what_decides
from optimiser.explaining.easing import base_of, is_definition
from optimiser.explaining.subject import by_name
from optimiser.moves import moved, steps
from optimiser.pipeline import explain
from optimiser.requirements import REGISTER
from optimiser.solve import (
    Halt,
    Impossible,
    Measures,
    Outcome,
    Question,
    Room,
    Solved,
    Stop,
    Undecided,
    Want,
    at_least,
    optimise,
)
from tests import handmade
from tests.explaining import STOP, Solving, best_of, inputs_of, names_of, soon, without
from tests.knobs import changed


@pytest.mark.slow
@pytest.mark.parametrize("want", ["cheapest", pytest.param("lightest", marks=pytest.mark.slow)])
def test_what_decides_against_giving_up_each_by_itself(want: Want) -> None:
    """Naive twin: with each negotiable requirement given up by itself, is the optimum better?"""
    world = handmade.world()
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, want)

    def figure(found: Solved) -> int:
        return found.cost_cents if want == "cheapest" else found.mass_g

    news: list[News] = []

    found = what_decides(world.case, world.catalogue, names, want, best, Solving(), soon(), heard=news.append)

    at_once = {
        base_of(name): most for begun in news if isinstance(begun, Begun) for name, most in begun.at_most.items()
    }
    better = {}
    for name in {base_of(name) for name in names}:
        gained = figure(best) - figure(without(world, name, want))
        if not is_definition(name):
            alone = at_least(world.case, world.catalogue, want, active=lambda n: base_of(n) != name, seconds=60)  # noqa: B023 (used at once)
            assert alone <= figure(best) - gained  # no bound lies above the optimum without it
            assert gained <= at_once.pop(name) <= figure(best)
        if gained > 0:
            better[name] = gained
    assert not at_once  # each had a bound, and nothing else
    assert better  # something decides
    assert {base_of(decider.name) for decider in found.deciders} == set(better)
    assert not found.doubtful
    assert {base_of(limit.name) for limit in found.others} == {base_of(name) for name in names} - set(better)
    for decider in found.deciders:
        assert decider.better_by is not None
        assert decider.better_by == better[base_of(decider.name)]
        assert decider.exact  # each eased case was solved
    assert found.smallest


@pytest.mark.slow
@pytest.mark.parametrize("want", ["cheapest", "lightest"])
def test_places_named_decide_when_dropped_there(want: Want) -> None:
    """Exactly the places that are named, by themselves; and by exactly as much as is said."""
    world = handmade.world()
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, want)

    found = what_decides(world.case, world.catalogue, names, want, best, Solving(), soon())

    for decider in found.deciders:
        dropped = decider.places or by_name(names).get(decider.name, (decider.name,))
        outcome = optimise(world.case, world.catalogue, want, stop=STOP, active=lambda name: name not in dropped)  # noqa: B023 (used at once)
        assert isinstance(outcome, Solved)
        saved = best.cost_cents - outcome.cost_cents if want == "cheapest" else best.mass_g - outcome.mass_g
        assert saved > 0
        assert saved == decider.better_by == decider.at_most


@pytest.mark.slow
def test_prices_are_differences_of_two_proven_optima() -> None:
    world = changed(handmade.world(), "limits.autonomy_days", 1.0)
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, "cheapest")

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())

    assert {price.easing for price in found.prices} == {True, False}
    for price in found.prices:
        to = moved(world.case, world.catalogue, steps(price.lever, 1 if price.easing else -1))
        outcome = optimise(to.case, to.catalogue, "cheapest", stop=STOP)
        if isinstance(outcome, Impossible):
            assert (price.outcome, price.wanted) == ("impossible", None)
            continue
        assert isinstance(outcome, Solved)
        assert price.wanted == outcome.cost_cents - best.cost_cents
        assert price.other in (None, outcome.mass_g - best.mass_g)
        assert price.other is not None or not price.wanted


@pytest.mark.slow
def test_a_requirement_left_open_decides_if_a_step_of_its_value_is_proven_to() -> None:
    world = handmade.world()
    less = without(world, "energy.autonomy", "cheapest").build
    (days,) = [f.actual for f in audit(world.case, world.catalogue, less) if f.name == "energy.autonomy"]
    world = changed(world, "limits.autonomy_days", round(days + 0.05, 2))  # a step less, and the cheaper bank is enough
    names = names_of(world.case, world.catalogue)
    best = best_of(world.case, world.catalogue, "cheapest")
    known = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())
    worth = {price.name: -(price.wanted or 0) for price in known.prices if price.easing and price.wanted}
    name = next(iter(worth))

    def open_without_it(active: Callable[[str], bool]) -> Outcome | None:
        return None if active(name) else Undecided(None, None, None, 0, 1.0, "the time limit came before any build")

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(open_without_it), soon())

    (decider,) = [decider for decider in found.deciders if decider.name == name]
    assert decider.better_by == worth[name]
    assert name not in {limit.name for limit in found.doubtful}
    assert [price for price in found.prices if price.name == name and price.easing and price.wanted == -worth[name]]
    some = Solving(open_without_it)
    dear = what_decides(world.case, world.catalogue, names, "cheapest", best, some, soon(), margin=worth[name] + 1)
    assert name not in {decider.name for decider in dear.deciders}  # a step is worth less than what counts


@pytest.mark.slow
@pytest.mark.parametrize("workers", [1, 2])
def test_no_more_searches_at_once_than_workers(workers: int, monkeypatch: pytest.MonkeyPatch) -> None:
    world, lock = handmade.world(), threading.Lock()
    running, most = 0, 0

    @contextmanager
    def counted(workers: int) -> Iterator[None]:
        nonlocal running, most
        with lock:
            running += workers
            most = max(most, running)
        try:
            yield
        finally:
            with lock:
                running -= workers

    class Counted(Question):
        def any_build(self, *, stop: Stop | None = None, halt: Halt | None = None) -> Outcome:
            assert stop is not None
            with counted(stop.workers):
                return super().any_build(stop=stop, halt=halt)

        def best(self, measures: Measures, room: Room | None = None, **how: Any) -> Outcome:
            with counted(how["stop"].workers):
                return super().best(measures, room, **how)

    monkeypatch.setattr("optimiser.pipeline.explaining.Question", Counted)
    stop = replace(STOP, seconds=60, workers=workers)

    found = explain(
        inputs_of(world.case, world.catalogue), ("cheapest", "lightest"), 0, stop, lambda _: None, lambda _: None
    )

    assert [deciding.want for deciding in found.deciding] == ["cheapest", "lightest"]
    assert most == workers


def test_room_is_what_the_audit_leaves_and_never_what_decides() -> None:
    world = handmade.world()
    best = best_of(world.case, world.catalogue, "cheapest")
    names = names_of(world.case, world.catalogue)

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())

    findings = {f.requirement: f for f in audit(world.case, world.catalogue, best.build)}
    assert found.room
    shares = [finding.margin / abs(finding.limit) for finding in found.room]
    assert shares == sorted(shares)
    for finding in found.room:
        assert finding == findings[finding.requirement]
        assert finding.margin > 0
        assert finding.requirement not in {decider.name for decider in found.deciders}
        assert REGISTER[finding.name].step is not None


@pytest.mark.slow
def test_what_decides_only_together_is_not_proven_without_its_share_of_the_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for share in ("_TOGETHER", "_TOGETHER_S"):
        monkeypatch.setattr(f"optimiser.explaining.deciding.{share}", 0.0)
    world = handmade.world()
    best = best_of(world.case, world.catalogue, "cheapest")
    names = names_of(world.case, world.catalogue)

    found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon())

    assert found.minimal
    assert (found.together, found.looked_through, found.smallest) == ((), False, False)


@pytest.mark.slow
def test_a_better_build_must_be_better_by_the_margin() -> None:
    """What a requirement is worth less than the margin does not decide."""
    world = handmade.world()
    best = best_of(world.case, world.catalogue, "cheapest")
    names = names_of(world.case, world.catalogue)

    def deciders(margin: int) -> set[str]:
        found = what_decides(world.case, world.catalogue, names, "cheapest", best, Solving(), soon(), margin=margin)
        return {decider.name for decider in found.deciders}

    worth = {name: best.cost_cents - without(world, name, "cheapest").cost_cents for name in deciders(1)}
    most = max(worth.values())
    assert deciders(most) == {name for name, cents in worth.items() if cents == most}
    assert not deciders(most + 1)


def test_what_decides_refuses_a_best_build_that_the_audit_refuses() -> None:
    world = handmade.world()
    wrong: Build = replace(world.build, panels=())

    with pytest.raises(Refused):
        what_decides(world.case, world.catalogue, (), "cheapest", Solved(wrong, 1, 1, 0.1), Solving(), soon())


def test_a_build_that_only_has_to_be_there_claims_nothing() -> None:
    world = handmade.world()

    found = Question(world.case, world.catalogue).any_build(stop=STOP)

    assert isinstance(found, Solved)
    assert (found.build.claim.status, found.build.claim.bound) == ("found", None)
