"""Fewer spots pack as much as all places do, and none that is left can stand in for another."""

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.model import packing_spots
from optimiser.model.packing_bounds import Item, Rect, Sheet
from optimiser.model.packing_spots import Spot, Spots, conflicts, enough, normal_spots

SIDE = st.integers(5, 9)
RECT = st.builds(
    lambda x, y, length, width: Rect(x=x, y=y, length=length, width=width),
    st.integers(-1, 7), st.integers(-1, 7), st.integers(1, 3), st.integers(1, 3),
)  # fmt: skip
SHEET = st.builds(
    lambda length, width, blocked: Sheet(length=length, width=width, blocked=tuple(blocked)),
    SIDE, SIDE, st.lists(RECT, max_size=2),
)  # fmt: skip
ITEMS = (Item(name="one", length=3, width=2), Item(name="other", length=4, width=3, turns=(False,)))
GAINS = (2, 5)


def apart(one: Spot, two: Spot, gap: int) -> bool:
    return (
        one.x + one.dx + gap <= two.x
        or two.x + two.dx + gap <= one.x
        or one.y + one.dy + gap <= two.y
        or two.y + two.dy + gap <= one.y
    )


def free(sheet: Sheet, spot: Spot) -> bool:
    return not any(
        spot.x < r.right and r.x < spot.x + spot.dx and spot.y < r.top and r.y < spot.y + spot.dy for r in sheet.blocked
    )


def every_place(sheet: Sheet) -> list[Spot]:
    """Each item at each whole mm."""
    found = []
    for k, item in enumerate(ITEMS):
        for rotated in item.turns:
            dx, dy = item.extent(rotated)
            places = product(range(sheet.length - dx + 1), range(sheet.width - dy + 1))
            found += [Spot(k, x, y, dx, dy, rotated) for x, y in places]
    return [spot for spot in found if free(sheet, spot)]


def most_of_two(spots: list[Spot], gap: int) -> int:
    """The most that one or two spots gain, by trying all."""
    ones = [GAINS[s.item] for s in spots]
    twos = [GAINS[a.item] + GAINS[b.item] for a, b in combinations(spots, 2) if apart(a, b, gap)]
    return max([0, *ones, *twos])


def reduced(sheet: Sheet, gap: int, compared: int) -> Spots:
    spots = normal_spots(sheet, ITEMS, [9, 9], gap, limit=10_000)
    assert spots is not None
    return enough(sheet, spots, gap, np.array(GAINS)[spots.item], compared=compared)


@settings(max_examples=40, derandomize=True, deadline=None, database=None)
@given(sheet=SHEET, gap=st.integers(0, 1), compared=st.sampled_from([0, 1000]))
def test_fewer_spots_gain_as_much_as_every_place(sheet: Sheet, gap: int, compared: int) -> None:
    spots, places = reduced(sheet, gap, compared).each(), every_place(sheet)

    assert set(spots) <= set(places)
    assert most_of_two(spots, gap) == most_of_two(places, gap)


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(sheet=SHEET, gap=st.integers(0, 1))
def test_none_that_is_left_can_stand_in_for_another(sheet: Sheet, gap: int) -> None:
    spots = reduced(sheet, gap, 1000).each()
    clash = [{k for k, other in enumerate(spots) if not apart(one, other, gap)} for one in spots]

    for j, k in product(range(len(spots)), repeat=2):
        assert j == k or spots[j].item != spots[k].item or not clash[j] <= clash[k]


@pytest.mark.parametrize("at_once", [1, 7, 1 << 20])
def test_conflicts_of_more_spots_than_bits_in_a_number(monkeypatch: pytest.MonkeyPatch, at_once: int) -> None:
    monkeypatch.setattr(packing_spots, "_MOST_AT_ONCE", at_once)
    sheet = Sheet(length=20, width=14, blocked=(Rect(x=8, y=6, length=4, width=3),))
    all_of_them = normal_spots(sheet, ITEMS, [9, 9], 1, limit=10_000)
    assert all_of_them is not None and len(all_of_them) > 128
    spots = all_of_them.each()

    rows = [int.from_bytes(row.tobytes(), "little") for row in conflicts(all_of_them, 1)]

    assert rows == [sum(1 << k for k, two in enumerate(spots) if not apart(one, two, 1)) for one in spots]
    assert reduced(sheet, 1, 1000).each() == reduced_at_once(sheet)


def reduced_at_once(sheet: Sheet) -> list[Spot]:
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(packing_spots, "_MOST_AT_ONCE", 1 << 20)
        return reduced(sheet, 1, 1000).each()


def test_of_equals_one_stays() -> None:
    sheet, item = Sheet(length=5, width=4, blocked=(Rect(x=0, y=0, length=1, width=1),)), ITEMS[1]
    spots = normal_spots(sheet, [item], [1], 0, limit=9)  # of which nothing holds the farthest
    assert spots is not None and len(spots) == 3

    assert len(enough(sheet, spots, 0, np.array([5, 5, 5]), compared=9)) == 1
