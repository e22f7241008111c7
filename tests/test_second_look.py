"""A second look at what was found impossible: sums of rows worked by hand, and against every solution by counting."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from optimiser.catalogue import Catalogue
from optimiser.model.assemble import assemble
from optimiser.printing.wording import CONFIRMED
from optimiser.reading import read_case, shipped_cases
from optimiser.solve import Contradicted, Impossible, Stop, Undecided, fitout, optimise
from optimiser.solve.outcome import Confirmed
from optimiser.solve.second_look import Row, contradict, look_again, rows_of, shown_impossible
from tests.vehicles import vehicle

FLAGS = [(0, 1)] * 3


def test_rows_that_want_more_than_there_is_contradict_each_other() -> None:
    """x + y <= 1 with x >= 1 and y >= 1, each row once: 0 <= -1. With x + y <= 2 the sum is 0 <= 0."""
    both = [Row({0: -1}, -1), Row({1: -1}, -1)]
    assert contradict([Row({0: 1, 1: 1}, 1), *both], [1, 1, 1], FLAGS)
    assert not contradict([Row({0: 1, 1: 1}, 2), *both], [1, 1, 1], FLAGS)


def test_the_ranges_of_the_variables_count() -> None:
    """7 x >= 15 with x up to 2: at most 14; with x up to 3 there is room."""
    assert contradict([Row({0: -7}, -15)], [1], [(0, 2)])
    assert not contradict([Row({0: -7}, -15)], [1], [(0, 3)])


def test_multipliers_that_do_not_fit_show_nothing() -> None:
    rows = [Row({0: 1, 1: 1}, 1), Row({0: -1}, -1), Row({1: -1}, -1)]
    assert not contradict(rows, [0, 0, 0], FLAGS)
    assert not contradict(rows, [1, 1, 0], FLAGS)
    assert not contradict([Row({0: 1}, 5)], [-1], FLAGS)  # a row turned round is no row: -x <= -5


Linear = tuple[list[int], int]
LINEAR = st.tuples(st.lists(st.integers(-3, 3), min_size=3, max_size=3), st.integers(-5, 5))
LITERALS = st.lists(st.tuples(st.integers(0, 2), st.booleans()), min_size=1, max_size=3)
CLAUSES = st.lists(st.tuples(st.sampled_from(["or", "implied", "at most one", "exactly one"]), LITERALS), max_size=4)


@given(st.lists(LINEAR, max_size=5), CLAUSES)
def test_what_has_a_solution_is_never_shown_impossible(
    linear: list[Linear], clauses: list[tuple[str, list[tuple[int, bool]]]]
) -> None:
    model = _model(linear, clauses)
    solutions = [point for point in product((0, 1), repeat=3) if _meets(point, linear, clauses)]
    rows = list(rows_of(model, FLAGS))
    for point in solutions:  # each row is a relaxation
        assert all(sum(c * point[k] for k, c in row.terms.items()) <= row.most for row in rows)
    if shown_impossible(model, seconds=5):
        assert not solutions
    if solutions:
        with pytest.raises(Contradicted):
            look_again(model, seconds=5)
    else:
        assert look_again(model, seconds=5) in ("by its rows", "by a second search")


def _model(linear: list[Linear], clauses: list[tuple[str, list[tuple[int, bool]]]]) -> cp_model.CpModel:
    model = cp_model.CpModel()
    flags = [model.new_bool_var(str(k)) for k in range(3)]
    for coefficients, most in linear:
        model.add(sum(c * flag for c, flag in zip(coefficients, flags, strict=True)) <= most)
    for kind, literals in clauses:
        of = [flags[k] if yes else ~flags[k] for k, yes in literals]
        if kind == "or":
            model.add_bool_or(of)
        elif kind == "implied":
            model.add_bool_and(of[1:]).only_enforce_if(of[0])
        elif kind == "at most one":
            model.add_at_most_one(of)
        else:
            model.add_exactly_one(of)
    return model


def _meets(point: tuple[int, ...], linear: list[Linear], clauses: list[tuple[str, list[tuple[int, bool]]]]) -> bool:
    if any(sum(c * x for c, x in zip(coefficients, point, strict=True)) > most for coefficients, most in linear):
        return False
    for kind, literals in clauses:
        holds = [point[k] == yes for k, yes in literals]
        right = {
            "or": any(holds),
            "implied": not holds[0] or all(holds[1:]),
            "at most one": sum(holds) <= 1,
            "exactly one": sum(holds) == 1,
        }
        if not right[kind]:
            return False
    return True


def test_the_shipped_impossible_case_is_confirmed_by_its_rows(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fitout, "_SECOND_LOOK_S", 60.0)  # whatever else the machine does
    outcome = optimise(read_case(shipped_cases() / "impossible-teardrop", catalogue), catalogue, "cheapest")
    assert isinstance(outcome, Impossible)
    assert outcome.confirmed == "by its rows"


def test_a_possible_case_is_not_shown_impossible(catalogue: Catalogue) -> None:
    assert not shown_impossible(assemble(vehicle(1, catalogue), catalogue).m, seconds=5)


def test_no_time_confirms_nothing(catalogue: Catalogue) -> None:
    model = assemble(vehicle(3, catalogue), catalogue).m
    assert look_again(model, seconds=0) == "not confirmed"


def test_searches_that_contradict_each_other_are_not_believed(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As if the first search gave a false verdict on a case that has builds."""
    monkeypatch.setattr(fitout, "_SECOND_LOOK_S", 60.0)
    monkeypatch.setattr(fitout.Question, "best", lambda *_, **__: Impossible(0.1))
    outcome = optimise(vehicle(1, catalogue), catalogue, "cheapest", stop=Stop(seconds=60))
    assert isinstance(outcome, Undecided)
    assert "another found one" in outcome.why


def test_each_state_has_its_words() -> None:
    words: set[Confirmed | None] = {"by its rows", "by a second search", "not confirmed", None}
    assert set(CONFIRMED) == words
