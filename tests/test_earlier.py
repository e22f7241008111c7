"""Solutions of an earlier loop, taken up without their word: the front is the same, whatever they are."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.solve import ByKinds, Earlier, Infeasible, Point, Room, Unanswered, front, of_model, spread
from optimiser.solve.search import Value
from tests.test_front import COUNT, LINE, LINE_POINTS, SMALL, STOP, Asked, Small, pairs
from tests.test_kinds import by_marks


def any_of(small: Small, chosen: list[int]) -> Earlier[Value]:
    """Some solutions, points or not, that say of themselves that they are proven and the only ones."""
    found = []
    for x in product((0, 1), repeat=COUNT):
        if all(sum(c * v for c, v in zip(row, x, strict=True)) <= most for row, most in small.rows):
            first, second = (
                small.sign * (sum(c * v for c, v in zip(costs, x, strict=True)) + plus)
                for costs, plus in zip((small.one, small.other), small.add, strict=True)
            )
            found.append(Point(first, second, lambda _: 0, under=None, least=True))
    return Earlier(tuple(found[k % len(found)] for k in chosen) if found else ())


CHOSEN = st.lists(st.integers(0, 2**COUNT), max_size=5)


@settings(max_examples=80, derandomize=True, deadline=None, database=None)
@given(small=SMALL, chosen=CHOSEN, marked=st.integers(0, 3))
def test_the_whole_front_is_the_same(small: Small, chosen: list[int], marked: int) -> None:
    earlier = any_of(small, chosen)

    found = front(earlier.best(ByKinds(earlier.rest(by_marks(small, marked)))))

    assert (found.state, pairs(found)) == ("whole", small.front())
    assert all(point.proven for point in found.points)


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(small=SMALL, chosen=CHOSEN, count=st.integers(2, 5))
def test_points_apart_are_the_same(small: Small, chosen: list[int], count: int) -> None:
    earlier, ask = any_of(small, chosen), by_marks(small, 0)

    assert pairs(spread(earlier.best(earlier.rest(ask)), count)) == pairs(spread(ask, count))


def _line(*known: int) -> Earlier[Value]:
    return Earlier(tuple(Point(*LINE_POINTS[k], lambda _: 0) for k in known))


def test_a_whole_front_takes_one_question() -> None:
    asked, earlier = Asked(of_model(*LINE.model(), stop=STOP)), _line(*range(len(LINE_POINTS)))

    found = front(earlier.best(ByKinds(earlier.rest(asked))))

    assert (found.state, pairs(found), len(asked.rooms)) == ("whole", LINE_POINTS, 1)


@pytest.mark.parametrize("end", [Unanswered("time is up"), "not proven"], ids=["stuck", "not proven"])
def test_nothing_is_proven_of_them_without_an_answer(end: Unanswered | str) -> None:
    earlier, told = _line(0, 1), list[Point[Value]]()

    def ask(room: Room) -> Point[Value] | Infeasible | Unanswered:
        return end if isinstance(end, Unanswered) else Point(50, -50, lambda _: 0, proven=False)

    found = front(earlier.best(earlier.rest(ask)), tell=told.append)

    assert found.state == "part" and not any(point.proven for point in told)


def test_left_are_those_that_nothing_is_as_good_as() -> None:
    def point(first: int, second: int) -> Point[None]:
        return Point(first, second, None)

    earlier = Earlier((point(5, 5), point(1, 9), point(2, 9), point(5, 5), point(9, 1)))

    assert earlier.left((point(9, 1),)) == (point(1, 9), point(5, 5))
