"""One solve of any CP-SAT model: two objectives, the second only to break ties, within a room. Prints nothing."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

from optimiser.solve.outcome import Halt, Progress, Stop, Watch

Expr = cp_model.LinearExpr | int
Value = Callable[[Any], int]


@dataclass(frozen=True)
class Aim:
    """What to make small in a model: ``first``, and among the smallest of it ``second``.

    ``width`` is more than the second of any two solutions differs by, ``low`` what the first cannot be below.
    """

    first: Expr
    second: Expr
    width: int
    low: int


def aim(first: Expr, second: Expr, *, width: int | None = None) -> Aim:
    """Two linear expressions to be made small, in that order.

    Parameters
    ----------
    first, second : linear expressions of a model's variables.
    width : more than the second of any two solutions differs by, if that is known better than by its variables.
    """
    least, most = span(second)
    if width is None:
        return Aim(first, second - least, most - least + 1, span(first)[0])
    return Aim(first, second, width, span(first)[0])


def span(expr: Expr) -> tuple[int, int]:
    """Least and most of a linear expression, from the domains of its variables."""
    if isinstance(expr, int):
        return expr, expr
    flat = cp_model.FlatIntExpr(expr)
    least = most = flat.offset
    for coefficient, var in zip(flat.coeffs, flat.vars, strict=True):
        domain = list(var.proto.domain)  # a list: the solver's own sequence takes -1 for 0
        ends = (coefficient * domain[0], coefficient * domain[-1])
        least, most = least + min(ends), most + max(ends)
    return least, most


@dataclass(frozen=True)
class Best:
    """A solution. ``proven``: none is better; otherwise ``bound`` says what the first cannot be below."""

    value: Value
    proven: bool
    bound: int


@dataclass(frozen=True)
class NoneThere:
    """Proven: there is no solution."""


@dataclass(frozen=True)
class Open:
    """Neither a solution nor a proof that there is none."""

    bound: int


def search(
    model: cp_model.CpModel,
    aim: Aim | None,
    *,
    stop: Stop,
    watch: Watch = lambda _: None,
    halt: Halt | None = None,
    started: float | None = None,
) -> Best | NoneThere | Open:
    """Solve a model.

    Parameters
    ----------
    model : its objective is set here.
    aim : what to make small; none: any solution will do.
    stop : time limit [s] from ``started``, seed and workers.
    watch : called with the progress whenever best or bound move.
    halt : ends the solve early when asked from another thread.
    started : of `time.monotonic`; now if left out.
    """
    started, halt = time.monotonic() if started is None else started, halt or Halt()
    if aim is not None:
        model.minimize(aim.width * aim.first + aim.second)
    solver = _solver(stop, stop.seconds - (time.monotonic() - started), settle=aim is not None)
    reporter = _Reporter(watch, aim, started)
    if aim is not None:
        solver.best_bound_callback = reporter.on_bound
    halt.listen(solver)
    try:
        if halt.asked:
            return Open(reporter.bound)
        status = solver.solve(model, reporter)
    finally:
        halt.forget(solver)
    if status == cp_model.INFEASIBLE:
        return NoneThere()
    if status == cp_model.UNKNOWN:
        return Open(reporter.bound)
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(f"the model is not valid: {model.validate()}")
    return Best(solver.value, status == cp_model.OPTIMAL, reporter.bound)


class _Reporter(cp_model.CpSolverSolutionCallback):
    """Passes solutions and bounds on to the watcher."""

    def __init__(self, watch: Watch, aim: Aim | None, started: float) -> None:
        super().__init__()
        self.watch, self.aim, self.started = watch, aim, started
        self.best: int | None = None
        self.bound = aim.low if aim else 0

    def on_solution_callback(self) -> None:
        if self.aim is not None:
            self.best = self.value(self.aim.first)
            self.tell()

    def on_bound(self, bound: float) -> None:
        """The solver raised its lower bound."""
        assert self.aim is not None
        # What the tie-break adds to the bound is less than one of the first.
        first = int(bound // self.aim.width)
        if first > self.bound:
            self.bound = first
            self.tell()

    def tell(self) -> None:
        self.watch(Progress(self.best, self.bound, time.monotonic() - self.started))


# Two searches on the whole relaxation. The first follows it in every variable, which now and then leads it into
# the thousands of mm and mWh it could fix one by one; the second does not. Neighbourhood searches keep what
# presolve might drop: in release 9.15 their presolve can otherwise fail on a hint and end the program.
_SEARCH = """
    subsolvers: "max_lp"
    subsolvers: "steady"
    subsolver_params { name: "steady" linearization_level: 2 exploit_all_lp_solution: false }
    subsolver_params { name: "lns_base" keep_all_feasible_solutions_in_presolve: true }
    subsolver_params { name: "lns_stalling" keep_all_feasible_solutions_in_presolve: true }
"""


def _solver(stop: Stop, seconds: float, *, settle: bool) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(1.0, seconds)
    solver.parameters.random_seed = stop.seed
    # One thread more than searches, for the neighbourhoods of what was found: it would take a search's place.
    neighbours = settle and stop.workers > 1
    solver.parameters.num_workers = stop.workers + neighbours
    solver.parameters.linearization_level = 2
    solver.parameters.merge_text_format(_SEARCH)
    solver.parameters.catch_sigint_signal = False
    return solver
