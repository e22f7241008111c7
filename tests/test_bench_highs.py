"""The model as a mixed-integer programme says what the model says, and HiGHS and every build agree with the solver."""

from itertools import product
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from optimiser.solve import Stop, Want
from tests.bench import exhaustive, side
from tests.bench.linear import programme
from tests.bench.rows import columns
from tests.test_bench import read, run

STOP = Stop(seconds=60, workers=1)

# --- rows and rules ------------------------------------------------------------------------------------

Rule = tuple[str, Any, list[int]]  # its kind, what it says, and the flags it stands under
FLAGS, MOST = 4, 2  # flags, and the most of the one number
LITERALS = st.lists(st.integers(-FLAGS, FLAGS - 1), min_size=1, max_size=3, unique=True)
SUMS = st.tuples(st.lists(st.integers(-3, 3), min_size=FLAGS + 1, max_size=FLAGS + 1), st.integers(-4, 4))
RULES = st.one_of(
    st.tuples(st.sampled_from(["at least one", "at most one", "exactly one", "all"]), LITERALS, LITERALS),
    st.tuples(st.sampled_from(["at most", "equal"]), SUMS, st.one_of(st.just([]), LITERALS)),
)


def _post(model: cp_model.CpModel, variables: list[cp_model.IntVar], rule: Rule) -> None:
    kind, what, under = rule

    def literals(numbers: list[int]) -> list[cp_model.LiteralT]:
        return [variables[k] if k >= 0 else ~variables[~k] for k in numbers]

    if kind in ("at most", "equal"):
        coefficients, limit = what
        total = cp_model.LinearExpr.weighted_sum(variables, coefficients)
        posted = model.add(total <= limit if kind == "at most" else total == limit)
    elif kind in ("at most one", "exactly one"):  # neither stands under flags
        (model.add_at_most_one if kind == "at most one" else model.add_exactly_one)(literals(what))
        return
    else:
        posted = (model.add_bool_or if kind == "at least one" else model.add_bool_and)(literals(what))
    posted.only_enforce_if(literals(under))


class Found(cp_model.CpSolverSolutionCallback):
    """Every assignment that the solver takes."""

    def __init__(self, variables: list[cp_model.IntVar]) -> None:
        super().__init__()
        self.variables, self.taken = variables, set[tuple[int, ...]]()

    def on_solution_callback(self) -> None:
        self.taken.add(tuple(self.value(variable) for variable in self.variables))


@settings(max_examples=60, derandomize=True, deadline=None, database=None)
@given(rules=st.lists(RULES, min_size=1, max_size=4))
def test_rows_hold_where_rules_hold(rules: list[Rule]) -> None:
    """Each of the 48 assignments: it is among all the solver finds just when no row is broken."""
    model = cp_model.CpModel()
    variables = [model.new_bool_var("") for _ in range(FLAGS)] + [model.new_int_var(0, MOST, "")]
    for rule in rules:
        _post(model, variables, rule)
    made = programme(model, sum(variables))

    solver, found = cp_model.CpSolver(), Found(variables)
    solver.parameters.enumerate_all_solutions = True
    assert solver.solve(model, found) in (cp_model.OPTIMAL, cp_model.INFEASIBLE)  # to the end
    for values in product(*[(0, 1)] * FLAGS, range(MOST + 1)):
        assert (made.broken(values) == 0) == (values in found.taken)
        assert made.value(values) == sum(values)


def test_a_row_is_lifted_by_no_more_than_it_takes() -> None:
    """Of three flags of which at most one is set, 5, 3 and 2 come to 5 and not to 10."""
    model = cp_model.CpModel()
    one, two, three, when = (model.new_bool_var("") for _ in range(4))
    model.add_at_most_one([one, two, three])
    model.add(5 * one + 3 * two + 2 * three <= 1).only_enforce_if(when)

    rows = programme(model, one).rows

    assert [(row.terms, row.most) for row in rows if 3 in row.terms] == [({0: 5, 1: 3, 2: 2, 3: 4}, 5)]


def test_a_rule_that_has_no_rows_is_refused() -> None:
    model = cp_model.CpModel()
    number = model.new_int_var(0, 9, "")
    model.add_abs_equality(number, number)
    with pytest.raises(ValueError, match="no rows"):
        programme(model, number)


# --- the same answers ----------------------------------------------------------------------------------


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
@pytest.mark.parametrize("world", ["plain", "inverter"])
def test_highs_proves_what_the_solver_proves(world: str, want: Want) -> None:
    ours = exhaustive.by_solver(world, want, STOP)
    theirs = exhaustive.by_programme(world, want, STOP)
    assert ours.state == theirs.state == "proven"
    assert ours.best == theirs.best


def test_highs_finds_impossible_what_the_solver_does() -> None:
    found = [way("no room", "cheapest", STOP).state for way in (exhaustive.by_solver, exhaustive.by_programme)]
    assert found == ["impossible", "impossible"]


@pytest.mark.parametrize(
    ("one", "other", "said"),
    [
        (("proven", 5, 5), ("proven", 5, 5), "yes"),
        (("impossible", None, None), ("impossible", None, None), "yes"),
        (("proven", 5, 5), ("proven", 4, 4), "no"),
        (("proven", 5, 5), ("impossible", None, None), "no"),
        (("proven", 5, 5), ("best found", 6, 3), "open"),
        (("proven", 5, 5), ("best found", 4, 3), "no"),
        (("proven", 5, 5), ("best found", 7, 6), "no"),
        (("impossible", None, None), ("best found", 7, 6), "no"),
        (("impossible", None, None), ("undecided", None, 6), "open"),
    ],
)
def test_two_results_agree_or_contradict(
    one: tuple[str, int | None, int | None], other: tuple[str, int | None, int | None], said: str
) -> None:
    assert side.agree(side.Result(*one), side.Result(*other)) == said
    assert side.agree(side.Result(*other), side.Result(*one)) == said


# --- the parts of the bench ----------------------------------------------------------------------------


@pytest.mark.slow
def test_highs(tmp_path: Path) -> None:
    assert run(tmp_path, "highs") == 0
    (found,) = read(tmp_path / "highs.csv")
    assert list(found) == columns(side.Side)
    assert (found["agree"], found["cp_sat"], found["highs"]) == ("yes", "proven", "proven")


@pytest.mark.slow
def test_twins(tmp_path: Path) -> None:
    assert run(tmp_path, "twins", "--worlds", "plain") == 0
    (found,) = read(tmp_path / "twins.csv")
    assert list(found) == columns(exhaustive.Three)
    assert found["agree"] == "yes"
    assert found["every_build_best"] == found["solver_best"] == found["highs_best"]
