"""Sizes that the brief asks for and nothing has: the nearest that works is named, and what can be had beside it."""

import pytest

from optimiser.explaining.asked import asked_of
from optimiser.explaining.elastic import nearest_brief
from optimiser.explaining.least import changed_to
from optimiser.explaining.nearest import halved
from optimiser.moves import Move, moved
from optimiser.printing.briefs import short_words
from optimiser.printing.impossible import nearest_words
from optimiser.solve import Impossible, Question, Solved
from tests.asking import world
from tests.explaining import STOP, Solving, names_of, soon
from tests.handmade import World
from tests.test_explain_nearest import held_on_both_sides, near
from tests.test_explain_proofs import sheet, why
from tests.test_sizes import MOST

# What is asked, in steps of 5 A, 50 W, 25 Ah and 100 W the nearest to it that is there, and what is said of it.
TOO_MUCH = {
    "mains_charge_a": (30, 20, "charging on hook-up: 30 A asked, 20 A fit, 10 A too much (limits.mains_charge_a)"),
    "solar_w": (360, 160, "panels on the roof: 360 W asked, 160 W fit, 200 W too much (limits.solar_w)"),
    "bank_ah": (460, 385, "bank, counted at 12 V: 460 Ah asked, 385 Ah fit, 75 Ah too much (limits.bank_ah)"),
    "inverter_w": (
        2000, 1500, "inverter by its nameplate: 2000 W asked, 1500 W fit, 500 W too much (limits.inverter_w)",
    ),
}  # fmt: skip


def asking(column: str, size: float) -> World:
    return world(*MOST[column][1], (f"limits.{column}", size))


@pytest.mark.parametrize("column", TOO_MUCH)
def test_the_nearest_brief_asks_for_what_there_is(column: str) -> None:
    asked, fits, said = TOO_MUCH[column]
    at = asking(column, asked)
    assert isinstance(Question(at.case, at.catalogue).any_build(stop=STOP), Impossible)
    names = names_of(at.case, at.catalogue)

    found = nearest_brief(at.case, at.catalogue, names, Solving(), soon(300))

    assert found is not None and found.least
    (eased,) = found.eased
    assert (eased.move.address, float(eased.move.after)) == (f"limits.{column}", fits)
    assert short_words(eased) == said
    there = moved(at.case, at.catalogue, Move(f"limits.{column}", eased.move.after))
    assert isinstance(Question(there.case, there.catalogue).any_build(stop=STOP), Solved)

    told = asked_of(at.case, at.catalogue, names, found, Solving(), soon(300))

    (place,) = (row for row in told.places if row.finding.name.startswith("size."))
    most = MOST[column][0]
    assert place.finding.limit == asked and place.finding.actual <= most
    assert place.best is not None and place.best >= most
    assert place.missing_at_least is not None and 0 < place.missing_at_least <= asked - most + 1e-3


WORDS = {
    "mains_charge_a": "with all else met 22.5 A charging on hook-up is the most that works",
    "solar_w": "with all else met 200 W panels on the roof is the most that works",
    "bank_ah": "with all else met 400 Ah bank, counted at 12 V is the most that works",
    "inverter_w": "with all else met 1500 W inverter by its nameplate is the most that works",
}


@pytest.mark.parametrize("column", WORDS)
def test_the_last_step_is_halved_down_to_the_most_that_works(column: str) -> None:
    at = asking(column, TOO_MUCH[column][0])
    brief = nearest_brief(at.case, at.catalogue, names_of(at.case, at.catalogue), Solving(), soon(300))
    assert brief is not None and brief.least
    (eased,) = brief.eased
    change = changed_to((eased.move,), (eased.lever,), brief.build, count=eased.count, least=True)

    nearest = halved(at.case, at.catalogue, change, Solving(), soon(300))

    assert nearest is not None and nearest.works is not None
    assert nearest.works / nearest.scale == MOST[column][0]
    held_on_both_sides(at, nearest)
    assert nearest_words(nearest).startswith(f"{WORDS[column]} (proven; limits.{column})")


def test_what_was_asked_more_finely_than_it_is_told_is_not_taken_to_fail() -> None:
    """Of 27.55 A a step less, 22.55, fails and another, 17.55, works: 22.5 A, between them, is the most that works."""
    at = asking("mains_charge_a", 27.55)
    brief = nearest_brief(at.case, at.catalogue, names_of(at.case, at.catalogue), Solving(), soon(300))
    assert brief is not None and brief.least
    (eased,) = brief.eased
    change = changed_to((eased.move,), (eased.lever,), brief.build, count=eased.count, least=True)

    nearest = halved(at.case, at.catalogue, change, Solving(), soon(300))

    assert eased.count == 2
    assert nearest is not None and (nearest.works, nearest.scale) == (225, 10)


@pytest.mark.parametrize("column", ["mains_charge_a", pytest.param("inverter_w", marks=pytest.mark.slow)])
def test_an_explanation_tells_the_size_as_the_one_cause_and_the_most_that_works(column: str) -> None:
    at = asking(column, TOO_MUCH[column][0])

    found = why(at.case, at.catalogue)

    nearest = near(found, f"limits.{column}")
    assert nearest.works is not None and nearest.works / nearest.scale == MOST[column][0]
    (reason,) = found.reasons
    assert reason.name.startswith("size.") and reason.alone
    assert f"{WORDS[column]} (proven; limits.{column})" in sheet(at.case, at.catalogue, found)
