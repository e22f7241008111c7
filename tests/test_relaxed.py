"""Bounds from a linear programme: worked by hand, and against every solution by counting. Whole cases are held against
the solver in `test_explain_deciding.py`, with each requirement given up."""

from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ortools.sat.python import cp_model
from scipy.optimize import linprog  # type: ignore[import-untyped]

from optimiser.solve import Want, at_least, relaxed
from optimiser.solve.relaxed import bound_of
from optimiser.solve.second_look import Row, least
from tests import handmade
from tests.explaining import best_of

COEFFICIENTS = st.lists(st.integers(-3, 3), min_size=3, max_size=3)
ROWS = st.lists(st.tuples(COEFFICIENTS, st.integers(-5, 5)), max_size=5)
RANGE = (-1, 2)


def test_a_bound_is_what_fractions_come_to_rounded_up() -> None:
    """2 x >= 3 leaves x = 1.5 and so 2 at least; with 10 before x and 7 beside it 15 + 7 = 22."""
    model = cp_model.CpModel()
    x = model.new_int_var(0, 9, "x")
    model.add(2 * x >= 3)

    assert bound_of(model, x + 0, seconds=5) == 2
    assert bound_of(model, 10 * x + 7, seconds=5) == 22
    assert bound_of(model, -x, seconds=5) == -9
    assert bound_of(model, 4, seconds=5) == 4


@pytest.mark.parametrize(("failing", "bound", "ended"), [(0, 2, True), (1, 2, True), (2, 1, False)])
def test_what_one_method_gives_up_another_answers(
    monkeypatch: pytest.MonkeyPatch, failing: int, bound: int, ended: bool
) -> None:
    """Where none does it is what the range gives, and that is said."""
    model, asked = cp_model.CpModel(), list[str]()
    x = model.new_int_var(1, 9, "x")
    model.add(2 * x >= 3)

    def giving_up(*given: Any, **how: Any) -> Any:
        asked.append(how["method"])
        found = linprog(*given, **how)
        found.status = 4 if len(asked) <= failing else found.status
        return found

    monkeypatch.setattr(relaxed, "linprog", giving_up)

    assert relaxed.Relaxed(model).least(x + 0, seconds=5) == (bound, ended)
    assert asked == ["highs", "highs-ipm"][: failing + 1]


def test_without_time_a_bound_is_what_the_ranges_give() -> None:
    model = cp_model.CpModel()
    x = model.new_int_var(1, 9, "x")
    model.add(2 * x >= 3)

    assert bound_of(model, x + 0, seconds=0) == 1


def test_a_row_taken_often_enough_gives_its_bound() -> None:
    """3 x >= 7 taken once bounds 3 x by 7; taken four times, more than is wanted, 3 x by 28 - 9 x, at most 3: 1."""
    row = Row({0: -3}, -7)
    assert least([row], [1], [(0, 3)], {0: 3}) == 7
    assert least([row], [4], [(0, 3)], {0: 3}) == 1
    assert least([row], [0], [(0, 3)], {0: 3}) == 0


@given(ROWS, COEFFICIENTS, st.lists(st.integers(0, 4), min_size=5, max_size=5))
def test_no_bound_lies_above_the_least_whatever_the_multipliers(
    rows: list[tuple[list[int], int]], wanted: list[int], times: list[int]
) -> None:
    model = cp_model.CpModel()
    variables = [model.new_int_var(*RANGE, str(k)) for k in range(3)]
    for coefficients, most in rows:
        model.add(sum(c * x for c, x in zip(coefficients, variables, strict=True)) <= most)
    solutions = [
        sum(c * x for c, x in zip(wanted, point, strict=True))
        for point in product(range(RANGE[0], RANGE[1] + 1), repeat=3)
        if all(sum(c * x for c, x in zip(coefficients, point, strict=True)) <= most for coefficients, most in rows)
    ]
    if not solutions:
        return
    aim = cp_model.LinearExpr.weighted_sum(variables, wanted)
    assert bound_of(model, aim, seconds=5) <= min(solutions)
    given = [Row(dict(enumerate(coefficients)), most) for coefficients, most in rows]
    assert least(given, times[: len(given)], [RANGE] * 3, dict(enumerate(wanted))) <= min(solutions)


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
def test_a_whole_case_is_bounded_below_its_best_build_and_not_by_nothing(want: Want) -> None:
    world = handmade.world()
    best = best_of(world.case, world.catalogue, want)
    figure = best.cost_cents if want == "cheapest" else best.mass_g

    assert figure / 2 < at_least(world.case, world.catalogue, want, seconds=60) <= figure
    assert at_least(world.case, world.catalogue, want, seconds=0) == 0
