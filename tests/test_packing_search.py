"""Trying spots one by one finds what trying all choices finds, or gives up."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from optimiser.model.packing_search import GaveUp, best_choice
from optimiser.model.packing_sets import clash_sets, cliques
from optimiser.model.packing_spots import Spot, Spots

SPOT = st.builds(
    lambda item, x, y, dx, dy: Spot(item, x, y, dx, dy, False),
    st.integers(0, 1), st.integers(0, 7), st.integers(0, 7), st.integers(1, 4), st.integers(1, 4),
)  # fmt: skip


def choice(
    spots: list[Spot], gains: list[int], copies: tuple[int, int], gap: int, steps: int = 10_000
) -> list[int] | None:
    columns = Spots(*(_ints(column) for column in zip(*spots, strict=True)))
    sets = cliques(spots, gap)
    return best_choice(clash_sets(columns, gap), sets, [s.item for s in spots], gains, copies, steps=steps)


def _ints(column: tuple[int, ...]) -> NDArray[np.int64]:
    return np.array(column, dtype=np.int64)


def apart(one: Spot, two: Spot, gap: int) -> bool:
    beside = one.x + one.dx + gap <= two.x or two.x + two.dx + gap <= one.x
    return beside or one.y + one.dy + gap <= two.y or two.y + two.dy + gap <= one.y


def every_gain(spots: list[Spot], gains: list[int], copies: tuple[int, int], gap: int) -> list[int]:
    """What each choice of just these copies gains; the naive twin."""
    return [
        sum(gains[k] for k in some)
        for some in combinations(range(len(spots)), sum(copies))
        if sum(spots[k].item for k in some) == copies[1]
        and all(apart(spots[j], spots[k], gap) for j, k in combinations(some, 2))
    ]


@settings(max_examples=300, derandomize=True, deadline=None, database=None)
@given(
    spots=st.lists(SPOT, min_size=4, max_size=9),
    copies=st.tuples(st.integers(0, 3), st.integers(0, 2)),
    gap=st.integers(0, 1),
    values=st.lists(st.integers(-9, 9), min_size=9, max_size=9),
)
def test_same_as_trying_all(spots: list[Spot], copies: tuple[int, int], gap: int, values: list[int]) -> None:
    gains = sorted(values, reverse=True)[: len(spots)]
    every = every_gain(spots, gains, copies, gap)

    found = choice(spots, gains, copies, gap)

    if not every:
        assert found is None
    else:
        assert found is not None and sum(gains[k] for k in found) == max(every)
        assert [sum(spots[k].item == kind for k in found) for kind in (0, 1)] == list(copies)
        assert all(apart(spots[j], spots[k], gap) for j, k in combinations(found, 2))


def test_gives_up_after_its_steps() -> None:
    row = [Spot(0, 2 * k, 0, 2, 2, False) for k in range(4)]

    assert choice(row, [0] * 4, (4, 0), 0, steps=5) == [0, 1, 2, 3]  # the beginning, and a step a copy
    with pytest.raises(GaveUp):
        choice(row, [0] * 4, (4, 0), 0, steps=4)
