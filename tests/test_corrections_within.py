"""What to give up within one group, against trying every part of the group."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from optimiser.explaining.asker import Answer, Asker, Fails, Holds
from optimiser.explaining.conflict import corrections_within

NAMES = tuple("abcdefg")
GROUPS = (("a", "b", "c", "d"), ("e", "f", "g"))
Conflicts = list[frozenset[str]]

conflicts = st.lists(st.frozensets(st.sampled_from(NAMES), min_size=1, max_size=4), min_size=1, max_size=4)


def ask(names: frozenset[str], found: Conflicts, witness_misses: frozenset[str]) -> Answer:
    """A witness may miss more than it has to."""
    if any(conflict <= names for conflict in found):
        return Fails(names)
    more = frozenset(NAMES) - names - witness_misses
    return Holds(names | more if not any(conflict <= names | more for conflict in found) else names)


def minimal_within(group: tuple[str, ...], found: Conflicts) -> set[frozenset[str]]:
    """Naive twin: every part of the group that is enough to give up, without those that hold another."""
    parts = [frozenset(part) for size in range(1, len(group) + 1) for part in combinations(group, size)]
    enough = [part for part in parts if all(part & conflict for conflict in found)]
    return {part for part in enough if not any(other < part for other in enough)}


@given(conflicts, st.frozensets(st.sampled_from(NAMES)))
def test_each_is_minimal_and_every_group_with_any_gives_one(found: Conflicts, witness_misses: frozenset[str]) -> None:
    asker = Asker(lambda names: ask(names, found, witness_misses))

    given_up = list(corrections_within(GROUPS, NAMES, asker, go_on=lambda: True))

    for group in GROUPS:
        ours = [gone for gone in given_up if gone <= set(group)]
        assert set(ours) <= minimal_within(group, found)
        assert bool(ours) == bool(minimal_within(group, found))
        alone = {gone for gone in minimal_within(group, found) if len(gone) == 1}
        assert alone <= set(ours)  # whatever is enough by itself is found


def test_a_group_that_gives_nothing_takes_one_question() -> None:
    asked: list[frozenset[str]] = []

    def counted(names: frozenset[str]) -> Answer:
        asked.append(names)
        return ask(names, [frozenset("a")], frozenset())

    assert list(corrections_within((("e", "f", "g"),), NAMES, Asker(counted), go_on=lambda: True)) == []
    assert asked == [frozenset("abcd")]
