"""The three impossible vehicles are what they claim to be, as the solver and the audit see it."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from optimiser.auditing import audit, breaches
from optimiser.explaining.asker import Answer, Asker, Fails, Holds, Open
from optimiser.explaining.conflict import Conflict, correction_sets, minimal_conflict, smallest_conflict
from optimiser.model.assemble import assemble
from optimiser.moves import levers, moved, steps
from optimiser.solve import Impossible, Outcome, Solved, Stop
from optimiser.solve.fitout import Question
from tests.conflicting import WORLDS, Built

STOP = Stop(seconds=20, seed=1, workers=1)


@pytest.fixture(params=WORLDS, ids=lambda make: make.__name__)
def built(request: pytest.FixtureRequest) -> Built:
    made = request.param()
    assert isinstance(made, Built)
    return made


def negotiable(built: Built) -> Callable[[str], bool]:
    """Whether the fitter or the customer can give way in a requirement; all others always hold."""
    known: dict[str, bool] = {}

    def can(name: str) -> bool:
        if name not in known:
            known[name] = any(lever.act for lever in levers(built.case, built.catalogue, name))
        return known[name]

    return can


def all_but(name: str) -> Callable[[str], bool]:
    return lambda other: other != name


def any_build(built: Built, active: Callable[[str], bool] = lambda _: True) -> Outcome:
    return Question(built.case, built.catalogue, active=active).any_build(stop=STOP)


def test_the_conflict_is_of_posted_names_that_one_can_give_way_in(built: Built) -> None:
    assert built.conflict <= assemble(built.case, built.catalogue).posted
    assert all(map(negotiable(built), built.conflict))


def test_each_name_given_up_alone_is_enough_and_is_all_that_breaks(built: Built) -> None:
    """So whatever conflict there is has all of these names."""
    for name in built.conflict:
        outcome = any_build(built, all_but(name))

        assert isinstance(outcome, Solved), name
        broken = breaches(audit(built.case, built.catalogue, outcome.build))
        assert [f.requirement for f in broken] == [name]


def test_the_conflict_alone_fails(built: Built) -> None:
    """So the names are a conflict, and with the test above the only one: the smallest is no other."""
    can = negotiable(built)

    outcome = any_build(built, lambda name: name in built.conflict or not can(name))

    assert isinstance(outcome, Impossible)


def test_with_all_that_can_be_given_up_there_is_a_build(built: Built) -> None:
    can = negotiable(built)

    assert isinstance(any_build(built, lambda name: not can(name)), Solved)


def test_least_change(built: Built) -> None:
    """So many steps of the lever, and not one fewer, and the build that they make possible holds everywhere."""
    known = [lever for name in sorted(built.conflict) for lever in levers(built.case, built.catalogue, name)]
    lever = next(lever for lever in known if lever.address == built.lever)

    def after(count: int) -> Built:
        made = moved(built.case, built.catalogue, steps(lever, count))
        return replace(built, case=made.case, catalogue=made.catalogue)

    enough, outcome = after(built.steps), any_build(after(built.steps))

    assert lever.act
    assert isinstance(any_build(after(built.steps - 1)), Impossible)
    assert isinstance(outcome, Solved)
    assert not breaches(audit(enough.case, enough.catalogue, outcome.build))


def test_found_by_asking(built: Built) -> None:
    """Conflict and corrections, from all names that can be given up."""
    can = negotiable(built)
    names = sorted(filter(can, assemble(built.case, built.catalogue).posted))

    def ask(held: frozenset[str]) -> Answer:
        outcome = any_build(built, lambda name: name in held or not can(name))
        if isinstance(outcome, Solved):
            return Holds(held)
        return Fails(held) if isinstance(outcome, Impossible) else Open("the time limit came first")

    asker = Asker(ask)
    first = minimal_conflict(names, asker)
    assert isinstance(first, Conflict)
    found = smallest_conflict(names, asker, known=first, go_on=lambda: True)

    assert (frozenset(found.names), found.minimal, found.smallest) == (built.conflict, True, True)
    corrections = list(correction_sets(names, asker, at_most=100, go_on=lambda: True))
    assert {c.names for c in corrections} == {(name,) for name in built.conflict}
    assert all(c.enough and c.minimal for c in corrections)
