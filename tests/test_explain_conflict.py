"""Conflicts and corrections against trying every subset; open questions, counts of questions, faults."""

import random
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import log2

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.explaining.asker import Answer, AnswersClash, Ask, Asker, Fails, Holds, Line, Open
from optimiser.explaining.conflict import Conflict, Correction, correction_sets, minimal_conflict, smallest_conflict
from optimiser.explaining.hitting import lightest_hitting_set

Names = frozenset[str]


def always() -> bool:
    return True


# --- families of failing sets, and trying every subset


def family(conflicts: Iterable[Names], names: Iterable[str], *, telling: bool = False) -> Ask:
    """Fails with each of ``conflicts``; ``telling``: with a short core, and with a witness that holds more."""
    everything = sorted(names)
    failing = [frozenset(some) for some in conflicts]

    def ask(asked: Names) -> Answer:
        if cores := [some for some in failing if some <= asked]:
            return Fails(max(cores, key=sorted) if telling else asked)
        holds = asked
        for name in everything[::-2] if telling else ():
            if not any(some <= holds | {name} for some in failing):
                holds |= {name}
        return Holds(holds)

    return ask


def subsets(names: Iterable[str]) -> Iterator[Names]:
    """All, fewest names first."""
    everything = sorted(names)
    for size in range(len(everything) + 1):
        yield from map(frozenset, combinations(everything, size))


def minimal_ones(of: Iterable[Names]) -> list[Names]:
    kept: list[Names] = []
    for some in of:
        if not any(smaller <= some for smaller in kept):
            kept.append(some)
    return kept


def preferred_by_deletion(order: list[str], conflicts: list[Names]) -> Names:
    """What the order defines: from the least dear, drop whatever can be dropped."""
    kept = frozenset(order)
    for name in reversed(order):
        if any(some <= kept - {name} for some in conflicts):
            kept -= {name}
    return kept


NAMES = list("abcdefg")
FAMILIES = st.lists(st.frozensets(st.sampled_from(NAMES), min_size=0, max_size=5), max_size=6)
ORDERS = st.permutations(NAMES)


@settings(max_examples=300, deadline=None)
@given(failing=FAMILIES, order=ORDERS, telling=st.booleans())
def test_every_subset_says_the_same(failing: list[Names], order: list[str], telling: bool) -> None:
    conflicts = minimal_ones(some for some in subsets(NAMES) if any(part <= some for part in failing))
    corrections = minimal_ones(
        gone for gone in subsets(NAMES) if all(not conflict <= frozenset(NAMES) - gone for conflict in conflicts)
    )
    asker = Asker(family(failing, NAMES, telling=telling))
    first = minimal_conflict(order, asker)
    assert (first is None) == (not conflicts)
    if first is not None:
        assert isinstance(first, Conflict) and first.minimal and not first.undecided
        assert frozenset(first.names) == preferred_by_deletion(order, conflicts)
        assert not first.smallest or len(first.names) == len(conflicts[0])
        smallest = smallest_conflict(order, asker, known=first, go_on=always)
        assert smallest.smallest and smallest.minimal
        assert frozenset(smallest.names) in conflicts and len(smallest.names) == len(conflicts[0])
    told = list(correction_sets(order, asker, at_most=1000, go_on=always))
    assert all(correction.enough and correction.minimal for correction in told)
    assert sorted(map(sorted, (c.names for c in told))) == sorted(map(sorted, corrections))


@settings(max_examples=200, deadline=None)
@given(failing=FAMILIES.filter(bool), order=ORDERS, weights=st.lists(st.integers(1, 9), min_size=7, max_size=7))
def test_lightest_conflict_of_every_subset(failing: list[Names], order: list[str], weights: list[int]) -> None:
    weight = dict(zip(NAMES, weights, strict=True))
    asker = Asker(family(failing, NAMES))
    first = minimal_conflict(order, asker)
    assert isinstance(first, Conflict)
    found = smallest_conflict(order, asker, known=first, go_on=always, weigh=weight.__getitem__)
    assert found.smallest and any(part <= frozenset(found.names) for part in failing)
    assert sum(map(weight.__getitem__, found.names)) == min(sum(map(weight.__getitem__, part)) for part in failing)


@settings(max_examples=200, deadline=None)
@given(to_hit=FAMILIES, avoid=st.lists(st.frozensets(st.sampled_from(NAMES), max_size=3), max_size=3), order=ORDERS)
def test_hitting_sets(to_hit: list[Names], avoid: list[Names], order: list[str]) -> None:
    good = (
        some for some in subsets(NAMES) if all(some & part for part in to_hit) and not any(ban <= some for ban in avoid)
    )
    best, found = next(good, None), lightest_hitting_set(to_hit, order, avoid=avoid)
    assert (best is None) == (found is None)
    if best is not None and found is not None:
        assert len(found) == len(best)
        assert all(found & part for part in to_hit) and not any(ban <= found for ban in avoid)
        assert lightest_hitting_set(to_hit, order, avoid=avoid, lighter_than=len(best)) is None


def test_a_name_must_weigh_something() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        lightest_hitting_set([frozenset("a")], ["a"], weigh=lambda name: 0)


# --- questions that stay open


def leaving_open(ask: Ask, *undecided: Iterable[str]) -> Ask:
    sets = {frozenset(some) for some in undecided}
    return lambda names: Open("no time") if names in sets else ask(names)


def test_open_at_the_start_is_handed_on() -> None:
    assert minimal_conflict("abc", Asker(leaving_open(family([frozenset("ab")], "abc"), "abc"))) == Open("no time")


def test_an_open_question_keeps_its_name_in_and_marks_it() -> None:
    asker = Asker(leaving_open(family([frozenset("ab")], "abc"), "ab"))
    first = minimal_conflict("abc", asker)
    assert first == Conflict(names=("a", "b", "c"), minimal=False, smallest=False, undecided=("c",))
    smallest = smallest_conflict("abc", asker, known=first, go_on=always)
    assert smallest == first, "a conflict of two is possible, so that of three must not be called smallest"


def test_an_open_question_on_the_way_is_made_good_for() -> None:
    """Open with more names beside, decided in the end with few."""
    asker = Asker(leaving_open(family([frozenset("ad")], "abcd"), "ab", "abc"))
    assert minimal_conflict("dcba", asker) == Conflict(("d", "a"), minimal=True, smallest=False, undecided=())


def test_a_name_in_doubt_is_tried_again_once_another_drops_out() -> None:
    asker = Asker(leaving_open(family([frozenset("b")], "abcd"), "ab", "bc", "abc", "abd"))
    assert minimal_conflict("abcd", asker) == Conflict(("b",), minimal=True, smallest=True, undecided=())


def test_a_single_name_is_smallest_only_if_nothing_fails_by_itself() -> None:
    ask = family([frozenset("a")], "ab")
    assert minimal_conflict("ab", Asker(ask)) == Conflict(("a",), minimal=True, smallest=True, undecided=())
    in_doubt = minimal_conflict("ab", Asker(leaving_open(ask, "")))
    assert in_doubt == Conflict(("a",), minimal=False, smallest=False, undecided=("a",))


def test_a_smaller_conflict_in_doubt_is_not_ruled_out() -> None:
    ask = family([frozenset("abc"), frozenset("de")], "abcde")
    asker = Asker(leaving_open(ask, "de", "ade", "bde", "cde"))
    first = minimal_conflict("abcde", asker)
    assert isinstance(first, Conflict) and first.names == ("a", "b", "c") and first.minimal
    assert not smallest_conflict("abcde", asker, known=first, go_on=always).smallest


def test_a_doubt_that_a_later_witness_ends_is_no_doubt() -> None:
    """One name by itself stays open, then is seen to hold beside another."""
    asker = Asker(leaving_open(family([frozenset("ab")], "abc"), "b", "ac"))
    first = minimal_conflict("abc", asker)
    assert isinstance(first, Conflict) and first.names == ("a", "b")
    found = smallest_conflict("abc", asker, known=first, go_on=always)
    assert found == Conflict(("a", "b"), minimal=True, smallest=True, undecided=())


def test_doubt_about_more_names_than_the_best_has_does_not_matter() -> None:
    asker = Asker(leaving_open(family([frozenset("bc")], "abcd"), "abc", "acd", "bcd"))
    first = minimal_conflict("abcd", asker)
    assert isinstance(first, Conflict) and first.names == ("a", "b", "c", "d")
    found = smallest_conflict("abcd", asker, known=first, go_on=always)
    assert found == Conflict(("b", "c"), minimal=True, smallest=True, undecided=())


def test_a_correction_in_doubt_is_told_again_once_decided() -> None:
    asker = Asker(leaving_open(family([frozenset("c")], "abc", telling=True), "ab"))
    assert list(correction_sets("abc", asker, at_most=9, go_on=always)) == [
        Correction(("c",), enough=False, minimal=True),
        Correction(("a", "c"), enough=True, minimal=False),
        Correction(("c",), enough=True, minimal=True),  # as "a" and "b" were seen to hold on the way
    ]


def test_no_names_at_all() -> None:
    assert minimal_conflict([], Asker(family([], ""))) is None
    nothing_to_blame = Conflict((), minimal=True, smallest=True, undecided=())
    assert minimal_conflict([], Asker(family([frozenset()], ""))) == nothing_to_blame


@settings(max_examples=300, deadline=None)
@given(failing=FAMILIES.filter(bool), order=ORDERS, telling=st.booleans(), seed=st.integers(0, 10**6))
def test_nothing_is_claimed_that_open_questions_leave_in_doubt(
    failing: list[Names], order: list[str], telling: bool, seed: int
) -> None:
    conflicts = minimal_ones(some for some in subsets(NAMES) if any(part <= some for part in failing))
    everything = frozenset(NAMES)
    chance = random.Random(seed)
    undecided = [some for some in subsets(NAMES) if chance.random() < 0.4 and some != everything]
    asker = Asker(leaving_open(family(failing, NAMES, telling=telling), *undecided))
    first = minimal_conflict(order, asker)
    assert isinstance(first, Conflict)
    for found in (first, smallest_conflict(order, asker, known=first, go_on=always)):
        assert any(part <= frozenset(found.names) for part in conflicts)
        assert found.minimal == (not found.undecided)
        assert not found.minimal or frozenset(found.names) in conflicts
        assert not found.smallest or len(found.names) == len(conflicts[0])
    told = list(correction_sets(order, asker, at_most=1000, go_on=always))
    for correction in told:
        rest = everything - frozenset(correction.names)
        works = not any(part <= rest for part in conflicts)
        assert works or not correction.enough
        if correction.minimal:
            assert all(any(part <= rest | {name} for part in conflicts) for name in correction.names)
    # Each true correction set is told, or one inside it that may be enough as well.
    for gone in minimal_ones(g for g in subsets(NAMES) if not any(part <= everything - g for part in conflicts)):
        assert any(frozenset(correction.names) <= gone for correction in told)
    proven = [frozenset(correction.names) for correction in told if correction.enough]
    assert len(proven) == len(set(proven))


def test_an_open_correction_is_told_apart_and_others_are_looked_for() -> None:
    asker = Asker(leaving_open(family([frozenset("ab"), frozenset("ac")], "abc"), "bc"))
    assert list(correction_sets("abc", asker, at_most=9, go_on=always)) == [
        Correction(("a",), enough=False, minimal=True),
        Correction(("a", "b"), enough=True, minimal=False),  # the first alone may do
        Correction(("a", "c"), enough=True, minimal=False),
        Correction(("b", "c"), enough=True, minimal=True),
    ]


# --- as few questions as can be


def counting(ask: Ask) -> tuple[Ask, list[Names]]:
    seen: list[Names] = []

    def counted(names: Names) -> Answer:
        seen.append(names)
        return ask(names)

    return counted, seen


MANY = [f"n{k:02}" for k in range(64)]


@pytest.mark.parametrize("size", [1, 2, 3, 5, 8, 30])
def test_questions_for_a_conflict_among_many(size: int) -> None:
    """The bound of QuickXplain (2k log2(n/k) + 2k, from memory), one for all names and one for none."""
    chance = random.Random(size)
    most = 2 + 2 * size + 2 * size * log2(len(MANY) / size)
    for _ in range(40 if size < 10 else 4):
        conflict = frozenset(chance.sample(MANY, size))
        ask, seen = counting(family([conflict], MANY))
        asker = Asker(ask)
        first = minimal_conflict(MANY, asker)
        assert isinstance(first, Conflict) and frozenset(first.names) == conflict
        assert len(seen) == asker.questions <= most
        assert size == 1 or frozenset() not in seen, "any other answer says that nothing fails by itself"
        before = len(seen)
        assert smallest_conflict(MANY, asker, known=first, go_on=always).smallest
        assert len(seen) - before <= (0 if size == 1 else size), "the only conflict: one witness a name, none for one"
        before = len(seen)
        corrections = list(correction_sets(MANY, asker, at_most=100, go_on=always))
        assert sorted(c.names for c in corrections) == sorted((name,) for name in conflict)
        assert len(seen) - before <= size
        assert len(set(seen)) == len(seen), "no question is put twice"


def test_a_core_saves_questions() -> None:
    """With the core of the first answer, what is left to ask is that its parts hold."""
    conflict = frozenset({"n10", "n40"})
    asker = Asker(family([conflict], MANY, telling=True))
    first = minimal_conflict(MANY, asker)
    silent = Asker(family([conflict], MANY))
    assert minimal_conflict(MANY, silent) == first
    assert asker.questions <= 6 < silent.questions


@settings(max_examples=100, deadline=None)
@given(failing=FAMILIES, asked=st.lists(st.frozensets(st.sampled_from(NAMES)), max_size=20), telling=st.booleans())
def test_memory_says_what_the_solver_would(failing: list[Names], asked: list[Names], telling: bool) -> None:
    ask = family(failing, NAMES, telling=telling)
    counted, seen = counting(ask)
    asker = Asker(counted)
    for names in asked:
        assert type(asker(names)) is type(ask(names))
    for k, later in enumerate(seen):
        for earlier in seen[:k]:
            if isinstance(ask(earlier), Holds):
                assert not later <= earlier
            else:
                assert not earlier <= later


def test_no_more_questions_once_told_to_stop() -> None:
    ask, seen = counting(family([frozenset("abc"), frozenset("de")], "abcde"))
    asker = Asker(ask)
    first = minimal_conflict("abcde", asker)
    assert isinstance(first, Conflict) and first.names == ("a", "b", "c")
    before = len(seen)
    assert smallest_conflict("abcde", asker, known=first, go_on=lambda: False) == first
    assert list(correction_sets("abcde", asker, at_most=9, go_on=lambda: False)) == []
    assert list(correction_sets("abcde", asker, at_most=0, go_on=always)) == []
    assert len(seen) == before
    assert len(list(correction_sets("abcde", asker, at_most=2, go_on=always))) == 2
    assert smallest_conflict("abcde", asker, known=first, go_on=always).names == ("d", "e")


# --- faults of the one who answers


@pytest.mark.parametrize(
    "answers",
    [
        {"ab": Holds(frozenset("a"))},
        {"ab": Fails(frozenset("c"))},
        {"ab": Fails(frozenset("ab")), "c": Holds(frozenset("abc"))},
        {"abc": Holds(frozenset("abc")), "abcd": Fails(frozenset("ab"))},
    ],
    ids=["witness_too_small", "foreign_core", "witness_against_core", "core_against_witness"],
)
def test_answers_that_cannot_be_true(answers: dict[str, Answer]) -> None:
    asker = Asker(lambda names: answers["".join(sorted(names))])
    *fine, wrong = map(frozenset, answers)
    for names in fine:
        asker(names)
    with pytest.raises(AnswersClash):
        asker(wrong)


def test_lines_of_questions_are_asked_side_by_side_and_serve_each_other() -> None:
    """Each line has one question in a round; what one learns answers the other's next one."""
    rounds: list[list[str]] = []

    def ask_many(questions: Sequence[frozenset[str]]) -> list[Answer]:
        rounds.append(["".join(sorted(names)) for names in questions])
        return [Fails(names) if "a" in names else Holds(names) for names in questions]

    def line(*questions: str) -> Line[list[bool]]:
        found = []
        for names in questions:
            found.append(isinstance((yield frozenset(names)), Holds))
        return found

    asker = Asker(lambda names: ask_many([names])[0], ask_many)

    assert asker.run(line("bc", "ab"), line("abd", "b", "abcd"), line()) == [[True, False], [False, True, False], []]
    assert rounds == [["bc", "abd"], ["ab"]]  # what holds "bc" holds "b", and with "abd" all of it fails
