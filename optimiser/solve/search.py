"""One solve of any CP-SAT model: two objectives, the second only to break ties, within a room. Prints nothing."""

import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, ThreadPoolExecutor, wait
from dataclasses import dataclass, replace
from math import inf
from typing import Any, Literal

from ortools.sat.python import cp_model

from optimiser.solve.outcome import Halt, Progress, Stop, Watch

_ASK_AGAIN_S = 0.02
_EARLY_S = 0.5  # before the time limit: an end so early was no time limit

Expr = cp_model.LinearExpr | int
Value = Callable[[Any], int]
Values = tuple[int, ...]  # of all variables of a model, in its order
Accepted = Literal["tell", "leave", "end"]  # a solution is told of, or not; or the search may as well end
Accept = Callable[[Values], Accepted]


@dataclass(frozen=True)
class Aim:
    """What to make small in a model: ``first``, and among the smallest of it ``second``.

    ``width`` is more than the second of any two solutions differs by, ``low`` what the first cannot be below.
    """

    first: Expr
    second: Expr
    width: int
    low: int

    @property
    def both(self) -> Expr:
        """The two as one expression to be made small."""
        return self.width * self.first + self.second


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


def value_in(values: Values) -> Value:
    """Linear expressions of a model's variables, and literals, in a solution."""

    def value(expr: Any) -> int:
        if isinstance(expr, int):
            return expr
        flat = cp_model.FlatIntExpr(expr)
        return int(flat.offset + sum(c * values[var.index] for c, var in zip(flat.coeffs, flat.vars, strict=True)))

    return value


@dataclass(frozen=True)
class Best:
    """A solution. ``proven``: none is better; otherwise ``bound`` says what the first cannot be below."""

    value: Value
    proven: bool
    bound: int


@dataclass(frozen=True)
class Infeasible:
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
    accept: Accept | None = None,
    how: str = "",
    below: int | None = None,
) -> Best | Infeasible | Open:
    """Solve a model.

    Parameters
    ----------
    model : its objective is set here.
    aim : what to make small; none: any solution will do.
    stop : time limit [s] from ``started``, seed and workers.
    watch : called with the progress whenever best or bound move.
    halt : ends the solve early when asked from another thread.
    started : of `time.monotonic`; now if left out.
    accept : what is made of a solution, from the values of all variables; all are told of if left out.
    how : parameters of the solver, in place of `WHOLE`.
    below : only what is less than that, of both objectives in one.
    """
    started, halt = time.monotonic() if started is None else started, halt or Halt()
    left_s = stop.seconds - (time.monotonic() - started)
    if left_s <= 0:
        return Open(aim.low if aim else 0)
    if aim is None:
        lone = stop.lone or stop.workers == 1
        return _race(model, (_ALONE if lone else _ALONE_FOR_PLACES, _ALONE), stop, left_s, halt)
    if not _minimize(model, aim, below):
        return Infeasible()
    reporter = _Reporter(watch, aim, started, accept)
    if stop.lone:
        return _aimed(model, _solver(stop, left_s, _ALONE), reporter, halt)
    # One thread more than searches, for the neighbourhoods of what was found: it would take a search's place.
    # One thread alone takes both searches in turns.
    workers = f"num_workers: {stop.workers + 1}" if stop.workers > 1 else "num_workers: 1 interleave_search: true"
    solver = _solver(stop, left_s, f"{workers} {how or WHOLE}")
    found = _aimed(model, solver, reporter, halt)
    left_s = stop.seconds - (time.monotonic() - started)
    if _settled(found) or halt.asked or reporter.ended or left_s < _EARLY_S:
        return found
    # Searches in turns now and then give up before their time, without a word of why; one of them goes on alone.
    more = _aimed(model, _solver(stop, left_s, _ALONE), reporter, halt)
    return more if _settled(more) else min(found, more, key=lambda each: _worth(each, aim))


def _minimize(model: cp_model.CpModel, aim: Aim, below: int | None) -> bool:
    """Set the objective; whether there is anything below. That it is below a value is said of its own domain: as a row
    over all that costs, the same made a proof take more than twice as long.
    """
    model.minimize(aim.both)
    if below is None:
        return True
    least, objective = span(aim.both)[0], model.proto.objective
    if below <= least:
        return False
    objective.domain.extend([least - int(objective.offset), below - 1 - int(objective.offset)])
    return True


def _aimed(
    model: cp_model.CpModel, solver: cp_model.CpSolver, reporter: "_Reporter", halt: Halt
) -> Best | Infeasible | Open:
    solver.best_bound_callback = reporter.on_bound
    return _answer(model, solver, solver.solve(model, reporter) if halt.listen(solver) else None, halt, reporter.bound)


def _settled(found: Best | Infeasible | Open) -> bool:
    return isinstance(found, Infeasible) or (isinstance(found, Best) and found.proven)


def _worth(found: Best | Infeasible | Open, aim: Aim) -> float:
    return found.value(aim.both) if isinstance(found, Best) else inf


def _answer(
    model: cp_model.CpModel, solver: cp_model.CpSolver, status: cp_model.CpSolverStatus | None, halt: Halt, bound: int
) -> Best | Infeasible | Open:
    halt.forget(solver)
    if status == cp_model.INFEASIBLE:
        return Infeasible()
    if status in (None, cp_model.UNKNOWN):
        return Open(bound)
    if status == cp_model.MODEL_INVALID:
        raise AssertionError(f"the model is not valid: {model.validate()}")
    return Best(solver.value, status == cp_model.OPTIMAL, bound)


def places(
    model: cp_model.CpModel, aim: Aim, *, seconds: float, seed: int, halt: Halt, below: int | None = None
) -> Best | None:
    """The best solution found of a model in which little is left open, within a time [s]; None if none was found."""
    if not _minimize(model, aim, below):
        return None
    solver = _solver(Stop(seconds, seed), seconds, _ALONE_FOR_PLACES)
    found = _answer(model, solver, solver.solve(model) if halt.listen(solver) else None, halt, aim.low)
    return replace(found, proven=False) if isinstance(found, Best) else None


def race(
    model: cp_model.CpModel, aim: Aim, *, stop: Stop, halt: Halt, started: float, below: int | None = None
) -> Best | Infeasible | Open:
    """As `search`, by two searches that share nothing: one raises the bound by cores, one follows the relaxation.

    Where little is left below what is known, either is mostly done before two that share what they find, and which of
    them is quick differs from case to case. They tell of nothing on their way.
    """
    left_s = stop.seconds - (time.monotonic() - started)
    if left_s <= 0:
        return Open(aim.low)
    if not _minimize(model, aim, below):
        return Infeasible()
    return _race(model, (_BY_CORES, _STEADY), stop, left_s, halt, aim.low)


def _race(
    model: cp_model.CpModel, hows: Sequence[str], stop: Stop, seconds: float, halt: Halt, low: int = 0
) -> Best | Infeasible | Open:
    """Searches beside each other, as many as there are workers: the first to know ends the others.

    Of any solution: one without the relaxation, which is quick where there are many, beside one that follows it, which
    is quick where there is none.
    """
    solvers = [_solver(stop, seconds, how) for how in hows[: 1 if stop.lone else stop.workers]]
    known = threading.Event()

    def run(solver: cp_model.CpSolver) -> Best | Infeasible | Open:
        status = solver.solve(model) if halt.listen(solver) and not known.is_set() else None
        result = _answer(model, solver, status, halt, low)
        if _settled(result) or (isinstance(result, Best) and stop.first):
            known.set()
        return result

    with ThreadPoolExecutor(max_workers=len(solvers)) as pool:
        tasks = [pool.submit(run, solver) for solver in solvers]
        wait(tasks, return_when=FIRST_COMPLETED)
        while known.is_set() and not all(task.done() for task in tasks):
            for solver in solvers:  # again and again: one just about to start does not hear it
                solver.stop_search()
            wait(tasks, timeout=_ASK_AGAIN_S)
        results = [task.result() for task in tasks]
    settled = [result for result in results if _settled(result)]
    found = [result for result in results if isinstance(result, Best)]
    return next(iter((*settled, *found)), results[0])


class _Reporter(cp_model.CpSolverSolutionCallback):
    """Passes solutions and bounds on to the watcher."""

    def __init__(self, watch: Watch, aim: Aim, started: float, accept: Accept | None) -> None:
        super().__init__()
        self.watch, self.aim, self.started, self.accept = watch, aim, started, accept
        self.best: int | None = None
        self.bound = aim.low
        self.ended = False

    def on_solution_callback(self) -> None:
        accepted = self.accept(tuple(self.response_proto.solution)) if self.accept else "tell"
        if accepted == "tell":
            self.best = self.value(self.aim.first)
            self.tell()
        elif accepted == "end":
            self.ended = True
            self.stop_search()

    def on_bound(self, bound: float) -> None:
        """The solver raised its lower bound."""
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
WHOLE = """
    linearization_level: 2
    subsolvers: "max_lp"
    subsolvers: "steady"
    subsolver_params { name: "steady" linearization_level: 2 exploit_all_lp_solution: false }
    subsolver_params { name: "lns_base" keep_all_feasible_solutions_in_presolve: true }
    subsolver_params { name: "lns_stalling" keep_all_feasible_solutions_in_presolve: true }
"""
_ALONE = "linearization_level: 2 num_workers: 1"
_BY_CORES = f"{_ALONE} optimize_with_core: true"
_STEADY = f"{_ALONE} exploit_all_lp_solution: false"
# Where what costs is settled and places are not, the second is far quicker without the relaxation.
_ALONE_FOR_PLACES = "linearization_level: 0 num_workers: 1"
# Hardly any preparation, and a search that does not need it.
SOON = """
    num_workers: 1
    interleave_search: false
    linearization_level: 0
    max_presolve_iterations: 1
    cp_model_probing_level: 0
"""


def _solver(stop: Stop, seconds: float, how: str) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.random_seed = stop.seed
    solver.parameters.stop_after_first_solution = stop.first
    solver.parameters.max_deterministic_time = stop.work
    solver.parameters.catch_sigint_signal = False
    # A step of the preparation of release 9.15: with it models that have a solution are told to have none, one of the
    # random vehicles by every second seed.
    solver.parameters.find_big_linear_overlap = False
    solver.parameters.merge_text_format(how)
    return solver
