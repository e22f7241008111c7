"""A front to a tolerance: it stands for the whole front, which the plain loop and trying everything give."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.solve import Front, Infeasible, Point, Room, Tolerance, Unanswered, apart, of_model
from optimiser.solve.search import Value
from tests.test_earlier import CHOSEN, any_of
from tests.test_front import (
    FRONTS,
    LINE,
    SMALL,
    STOP,
    Asked,
    Pair,
    Small,
    given_instance,
    instances,
    line,
    pairs,
    posed,
    signs,
)

SHARE = st.fractions(0, Fraction(3, 5), max_denominator=50)
TOLERANCE = st.builds(Tolerance, first=SHARE, second=SHARE)
NOTHING = Tolerance(Fraction(0), Fraction(0))
PERCENT = Tolerance(Fraction(2, 1000), Fraction(1, 100))  # as `compare` has it
WIDE = Tolerance(Fraction(1, 20), Fraction(1, 10))


def stands_for(shown: Pair, other: Pair, tolerance: Tolerance) -> bool:
    """As good in one measure, and in the other worse by no more than the share of its own figure."""
    (first, second), (its_first, its_second) = shown, other
    return (first <= its_first and second - its_second <= tolerance.second * abs(second)) or (
        second <= its_second and first - its_first <= tolerance.first * abs(first)
    )


def is_apart(found: list[Pair], whole: list[Pair], tolerance: Tolerance) -> None:
    """What is claimed of a front to a tolerance, against the whole one."""
    assert set(found) <= set(whole)
    assert [p for p in whole if not any(stands_for(s, p, tolerance) for s in found)] == []
    near = [(a, b) for a in found for b in found if a[1] > b[1] and a[1] - b[1] <= tolerance.second * abs(a[1])]
    assert near == []


# --- against everything tried ------------------------------------------------------------------------


@settings(max_examples=200, derandomize=True, deadline=None, database=None)
@given(small=SMALL, tolerance=TOLERANCE)
def test_it_stands_for_the_whole_front(small: Small, tolerance: Tolerance) -> None:
    asked, learned, told = Asked(of_model(*small.model(), stop=STOP)), list[Point[Value]](), list[Point[Value]]()

    found = apart(asked, tolerance, learn=learned.append, tell=told.append)

    assert found.state == "apart" and list(found.points) == told
    assert all(point.proven for point in found.points)
    is_apart(pairs(found), small.front(), tolerance)
    assert len(asked.rooms) == len(learned) + 1 <= len(small.front()) + 1


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(small=SMALL)
def test_no_tolerance_is_the_whole_front(small: Small) -> None:
    assert pairs(apart(of_model(*small.model(), stop=STOP), NOTHING)) == small.front()


@settings(max_examples=150, derandomize=True, deadline=None, database=None)
@given(small=SMALL, tolerance=TOLERANCE, chosen=CHOSEN)
def test_what_an_earlier_run_found_changes_nothing(small: Small, tolerance: Tolerance, chosen: list[int]) -> None:
    """Whatever solutions they are, and whatever they say of themselves: the same points, in no more questions."""
    asked = Asked(of_model(*small.model(), stop=STOP))
    plain = apart(asked, tolerance)
    again = Asked(of_model(*small.model(), stop=STOP))

    found = apart(again, tolerance, earlier=any_of(small, chosen).found)

    assert pairs(found) == pairs(plain)
    assert len(again.rooms) <= len(asked.rooms)


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(small=SMALL, tolerance=TOLERANCE)
def test_what_it_learned_is_proven_anew_with_one_question(small: Small, tolerance: Tolerance) -> None:
    learned: list[Point[Value]] = []
    plain = apart(of_model(*small.model(), stop=STOP), tolerance, learn=learned.append)
    again = Asked(of_model(*small.model(), stop=STOP))

    found = apart(again, tolerance, earlier=[replace(point, proven=False) for point in learned])

    assert pairs(found) == pairs(plain) and len(again.rooms) == 1


# --- published fronts --------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.skipif(not FRONTS.exists(), reason=f"{FRONTS.name} is not beside this checkout")
@pytest.mark.parametrize("tolerance", [PERCENT, WIDE], ids=["0.2 and 1 %", "5 and 10 %"])
@pytest.mark.parametrize("instance", [given_instance(instance) for instance in instances()])
def test_it_stands_for_a_published_front(instance: dict[str, Any], tolerance: Tolerance) -> None:
    asked = Asked(of_model(*posed(instance), stop=STOP))
    one, other = signs(instance)
    published = [(one * first, other * second) for first, second in instance["front"]]

    found = apart(asked, tolerance)

    assert found.state == "apart"
    is_apart(pairs(found), published, tolerance)
    assert len(asked.rooms) <= len(published) + 1
    if tolerance is WIDE and len(published) > 20:
        assert len(asked.rooms) <= len(published) / 2


# --- by hand -----------------------------------------------------------------------------------------


def of_points(points: list[Pair]) -> Asked:
    """The question where these are all there are."""

    def ask(room: Room) -> Point[Value] | Infeasible | Unanswered:
        here = [
            (first, second)
            for first, second in points
            if room.second_at_most is None or second <= room.second_at_most
            if room.first_at_least is None or first >= room.first_at_least
            if all((first, second) < (a, b) or second < reach for a, b, reach in room.uncovered)
        ]
        return Point(*min(here), lambda _: 0) if here else Infeasible()

    return Asked(ask)


@pytest.mark.parametrize(
    ("points", "shown"),
    [
        pytest.param([(100_000, 50_000), (100_010, 49_990), (100_300, 49_500)], [0], id="within 1 %, just"),
        pytest.param([(100_000, 50_000), (100_010, 49_990), (100_300, 49_499)], [0, 2], id="beyond 1 %, just"),
        pytest.param([(100_000, 50_000), (100_200, 49_000)], [1], id="lighter for 0.2 %"),
        pytest.param([(100_000, 50_000), (100_201, 49_000)], [0, 1], id="lighter for more than 0.2 %"),
        pytest.param([(100_000, 50_000), (100_100, 49_000), (100_200, 48_000)], [2], id="twice lighter for 0.2 %"),
        pytest.param([(100_000, 50_000), (100_150, 49_000), (100_300, 48_000)], [1, 2], id="no drifting on and on"),
        pytest.param([(100_000, 50_000), (100_000, 40_000)], [1], id="as cheap and lighter"),
        pytest.param([], [], id="none"),
    ],
)
def test_what_is_apart(points: list[Pair], shown: list[int]) -> None:
    """1 % of 50 kg are 500 g; 0.2 % of 1002 cu are 2.00, rounded down to the cent."""
    assert pairs(apart(of_points(points), PERCENT)) == [points[k] for k in shown]


def test_a_question_goes_straight_beyond_the_tolerance() -> None:
    asked = of_points([(1_000 + k, 1_000 - k) for k in range(101)])

    apart(asked, PERCENT)

    assert [room.second_at_most for room in asked.rooms[:4]] == [None, 989, 979, 969]
    assert [room.first_at_least for room in asked.rooms[:3]] == [None, 1_001, 1_012]


# --- stopped -----------------------------------------------------------------------------------------


def test_a_stop_leaves_the_points_so_far_and_earlier_ones_unproven() -> None:
    earlier = [Point(*pair, lambda _: 0, proven=True) for pair in [(0, 0), (9, -9), (10, -10), (31, -31)]]

    found = apart(line(stuck_at=0), NOTHING, earlier=earlier)
    later = apart(line(stuck_at=1), NOTHING, earlier=earlier[:2])

    assert (found.state, found.why) == ("part", "time is up")
    assert [(p.first, p.proven) for p in found.points] == [(0, False), (9, False), (10, False), (31, False)]
    assert [(p.first, p.proven) for p in later.points] == [(0, True), (1, True), (9, False)]


def test_what_is_not_proven_ends_it_and_proves_nothing() -> None:
    told: list[Point[Value]] = []

    found = apart(line(unsure_at=2), NOTHING, tell=told.append)

    assert found.state == "part" and "best found, not proven" in found.why
    assert [(p.first, p.second, p.proven) for p in found.points] == [(0, 0, True), (1, -1, False)]
    assert list(found.points) == told


def test_what_is_told_is_shown() -> None:
    """The first is held back until it is known that the second is not shown in its place."""
    told: list[Pair] = []
    ask = of_points([(100_000, 50_000), (100_100, 49_000), (110_000, 40_000)])

    def telling(room: Room) -> Point[Value] | Infeasible | Unanswered:
        told.append((-1, -1))
        return ask(room)

    found: Front[Value] = apart(telling, PERCENT, tell=lambda p: told.append((p.first, p.second)))

    assert told == [(-1, -1)] * 3 + [(100_100, 49_000), (-1, -1), (110_000, 40_000)]
    assert len(found.points) == 2


@pytest.mark.parametrize(
    ("cover", "expected"),
    [
        pytest.param((0, 0, 0), (1, -1), id="reaching no further"),
        pytest.param((0, 0, -3), (4, -4), id="reaching further"),
        pytest.param((2, -1, -31), (0, 0), id="less in the first"),
        pytest.param((0, 1, -31), (0, 0), id="as little of the first, less of the second"),
        pytest.param((0, 0, -31), None, id="all of it"),
    ],
)
def test_a_room_that_a_point_does_not_cover(cover: tuple[int, int, int], expected: Pair | None) -> None:
    found = of_model(*LINE.model(), stop=STOP)(Room(uncovered=(cover,)))

    assert isinstance(found, Infeasible if expected is None else Point)
    if isinstance(found, Point):
        assert (found.first, found.second) == expected
