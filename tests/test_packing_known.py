"""What is known of a sheet answers other questions: the same as dealing out items one by one, and as packing anew."""

from itertools import combinations, pairwise, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.model import roof
from optimiser.model.packing import DoesNotFit, Item, Rect, Sheet, fits
from optimiser.model.packing_known import Known, lies_within

ITEMS = (
    Item(name="small", length=2, width=2),
    Item(name="long", length=5, width=2),
    Item(name="long, as it is", length=5, width=2, turns=(False,)),
    Item(name="wide", length=4, width=3),
    Item(name="wide, rotated", length=4, width=3, turns=(True,)),
    Item(name="large", length=6, width=4),
)
SOME = st.dictionaries(st.sampled_from(ITEMS), st.integers(1, 3), min_size=1, max_size=2)


def in_places_of(small: dict[Item, int], large: dict[Item, int]) -> bool:
    """Every way to deal the one out to the places of the other; the naive twin."""
    ours, places = ([item for item, n in counts.items() for _ in range(n)] for counts in (small, large))
    if len(ours) > len(places):
        return False
    return any(all(map(lies_within, ours, some)) for some in set(permutations(places, len(ours))))


def test_lies_within_any_way_round() -> None:
    small, long, fixed, wide, rotated, large = ITEMS

    assert all(lies_within(small, item) and lies_within(item, large) for item in (small, long, wide, large))
    assert lies_within(long, fixed) and not lies_within(fixed, long)  # what may turn fits where one way is enough
    assert not lies_within(fixed, rotated) and not lies_within(wide, long) and not lies_within(large, wide)


@settings(max_examples=300, derandomize=True, deadline=None, database=None)
@given(fitting=st.lists(SOME, max_size=3), failing=st.lists(SOME, max_size=3), asked=SOME)
def test_same_as_dealing_out_one_by_one(
    fitting: list[dict[Item, int]], failing: list[dict[Item, int]], asked: dict[Item, int]
) -> None:
    known = Known()
    for counts in fitting:
        known.learn(counts, fit=True)
    for counts in failing:
        known.learn(counts, fit=False)

    fit = any(in_places_of(asked, counts) for counts in fitting)
    fail = any(in_places_of(counts, asked) for counts in failing)
    assert known.says(asked) == (True if fit else False if fail else None)


def test_panels_beside_others_are_as_many_as_packing_each_anew_says() -> None:
    gap, sheet = 20, Sheet(length=2300, width=1600, blocked=(Rect(x=900, y=600, length=420, width=410),))
    sizes = ((545, 505), (1000, 510), (1120, 540), (1280, 680))
    panels = [Item(name=f"{a} x {b}", length=a, width=b) for a, b in sizes]
    panels.append(Item(name="as it is", length=1000, width=530, turns=(False,)))
    roof.known_of.cache_clear()
    roof.staircase.cache_clear()

    for one, other in combinations(panels, 2):
        steps = (*roof.staircase(sheet, one, other, gap), 0)
        for number, (beside, after) in enumerate(pairwise(steps), start=1):
            assert not isinstance(fits(sheet, {one: number, other: beside}, gap=gap), DoesNotFit)
            assert isinstance(fits(sheet, {one: number, other: beside + 1}, gap=gap), DoesNotFit)
            assert after <= beside
