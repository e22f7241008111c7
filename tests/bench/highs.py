"""A mixed-integer programme solved by HiGHS, as OR-Tools brings it along."""

from dataclasses import dataclass
from datetime import timedelta
from math import ceil, inf, isfinite

from ortools.math_opt.python import mathopt  # type: ignore[import-untyped]
from ortools.math_opt.solvers import highs_pb2  # type: ignore[import-untyped]

from tests.bench.linear import Programme

_EXACT = 1e-9  # how far a flag may be from whole, and a row of largest coefficient 1 from its limit
_COSTS_WHOLE = 1e-3  # less than a cent or a gram by this much is rounding
_WIDE = 10_000  # values; a variable of more (mW, tenths of Wh) is let be any number between: branching on it is in vain


@dataclass(frozen=True)
class Answer:
    """``best`` found, and none below ``bound``; None where there is none, or none is known."""

    state: str  # proven, best found, impossible, undecided
    best: int | None
    bound: int | None
    seconds: float


def solve(given: Programme, *, seconds: float, seed: int = 1) -> Answer:
    """Solve it, with nothing said beforehand."""
    model = _model(given)
    parameters = mathopt.SolveParameters(
        time_limit=timedelta(seconds=seconds),
        relative_gap_tolerance=0,
        absolute_gap_tolerance=0.5,  # costs are whole
        random_seed=seed,
        highs=highs_pb2.HighsOptionsProto(
            double_options={"mip_feasibility_tolerance": _EXACT, "primal_feasibility_tolerance": _EXACT}
        ),
    )
    result = mathopt.solve(model, mathopt.SolverType.HIGHS, params=parameters)
    reason, took_s = result.termination.reason, result.solve_stats.solve_time.total_seconds()
    bound = result.termination.objective_bounds.dual_bound
    none_below = ceil(bound - _COSTS_WHOLE) if isfinite(bound) else None
    if not result.has_primal_feasible_solution():
        state = "impossible" if reason is mathopt.TerminationReason.INFEASIBLE else "undecided"
        return Answer(state, None, none_below, took_s)
    best = ceil(result.objective_value() - _COSTS_WHOLE)
    proven = reason is mathopt.TerminationReason.OPTIMAL
    return Answer("proven" if proven else "best found", best, best if proven else none_below, took_s)


def _model(given: Programme) -> mathopt.Model:
    """Rows are scaled to a largest coefficient of 1, so that one tolerance suits them all."""
    model = mathopt.Model()
    variables = [
        model.add_variable(lb=low, ub=high, is_integer=high - low <= _WIDE)
        for low, high in zip(given.low, given.high, strict=True)
    ]
    for row in given.rows:
        scale = max(map(abs, row.terms.values()), default=1)
        terms = [coefficient / scale * variables[k] for k, coefficient in row.terms.items()]
        model.add_linear_constraint(lb=-inf, ub=row.most / scale, expr=mathopt.fast_sum(terms))
    model.minimize(given.fixed_cost + mathopt.fast_sum([c * variables[k] for k, c in given.cost.items()]))
    return model
