"""Names that fail together, found from below, against trying every part."""

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.explaining.asker import Answer, Asker, Fails, Holds, Open
from optimiser.explaining.conflict import climbed

NAMES = tuple("abcdefghij")
EVERYTHING = frozenset(NAMES)
Conflicts = list[frozenset[str]]

conflicts = st.lists(st.frozensets(st.sampled_from(NAMES), min_size=1, max_size=4), min_size=1, max_size=4)


def ask(names: frozenset[str], found: Conflicts, witness_misses: frozenset[str]) -> Answer:
    """A witness may miss more than it has to."""
    if any(conflict <= names for conflict in found):
        return Fails(names)
    more = EVERYTHING - names - witness_misses
    return Holds(names | more if not any(conflict <= names | more for conflict in found) else names)


def asker_of(found: Conflicts, witness_misses: frozenset[str] = frozenset()) -> Asker:
    asker = Asker(lambda names: ask(names, found, witness_misses))
    asker.cores.append(EVERYTHING)
    return asker


def enough_alone(found: Conflicts) -> set[str]:
    """Naive twin: names without any one of which all others hold."""
    return {name for name in NAMES if all(name in conflict for conflict in found)}


@settings(deadline=None)
@given(conflicts, st.frozensets(st.sampled_from(NAMES)))
def test_what_is_kept_fails_and_holds_all_enough_alone(found: Conflicts, witness_misses: frozenset[str]) -> None:
    kept = climbed(NAMES, asker_of(found, witness_misses), go_on=lambda: True)

    assert any(conflict <= kept for conflict in found)
    assert enough_alone(found) <= kept


@settings(deadline=None)
@given(conflicts, st.frozensets(st.sampled_from(NAMES)))
def test_each_that_is_enough_alone_is_known_to_be(found: Conflicts, witness_misses: frozenset[str]) -> None:
    """Found on the way, with no further question; and nothing else is taken for such."""
    asker = asker_of(found, witness_misses)
    climbed(NAMES, asker, go_on=lambda: True)

    assert {name for name in NAMES if isinstance(asker.recall(EVERYTHING - {name}), Holds)} == enough_alone(found)


def test_one_proof_says_of_all_others_that_none_is_needed() -> None:
    failed: list[frozenset[str]] = []

    def counted(names: frozenset[str]) -> Answer:
        answer = ask(names, [frozenset("ab")], EVERYTHING - frozenset("ab"))
        failed.extend([names] if isinstance(answer, Fails) else [])
        return answer

    asker = Asker(counted)
    asker.cores.append(EVERYTHING)

    assert climbed(NAMES, asker, go_on=lambda: True) == frozenset("ab")
    assert failed[-1] == frozenset("ab")
    asked = asker.questions
    assert all(isinstance(asker(EVERYTHING - {name}), Fails) for name in "cdefghij")
    assert asker.questions == asked


@settings(deadline=None)
@given(conflicts)
def test_where_few_stay_open_what_is_enough_alone_is_found_among_many(found: Conflicts) -> None:
    asker = Asker(lambda names: Open("the time was up") if len(names) < 5 else ask(names, found, frozenset()))
    asker.cores.append(EVERYTHING)

    kept = climbed(NAMES, asker, go_on=lambda: True)

    assert enough_alone(found) <= kept
    assert not isinstance(asker.recall(kept), Holds)
