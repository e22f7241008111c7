"""What no build can be below, at once: from the linear programme of a model's rows, and believed of no solver.

Flags may be fractions and shapes are left out, as in a second look. HiGHS finds the least and what it pays for each
row; from these multipliers alone the bound is then added up in Python's integers. So it holds whatever HiGHS did.
"""

import time

import numpy as np
from ortools.sat.python import cp_model
from scipy.optimize import linprog  # type: ignore[import-untyped]

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model import figures
from optimiser.model.assemble import assemble
from optimiser.model.clock import End, OutOfTime, ending
from optimiser.model.context import Active, everything
from optimiser.solve.fitout import WANTS
from optimiser.solve.outcome import Halt, Want
from optimiser.solve.search import Expr
from optimiser.solve.second_look import SHARES, ends_of, least, programme, rows_of, shares

_METHODS = ("highs", "highs-ipm")


def at_least(
    case: Case,
    catalogue: Catalogue,
    want: Want,
    *,
    active: Active = everything,
    seconds: float,
    halt: Halt | None = None,
) -> int:
    """What no build that holds the active requirements costs less than [cents], or weighs [g]; 0 says nothing.

    Parameters
    ----------
    seconds : time limit, with the making of the model.
    """
    end = time.monotonic() + seconds
    try:
        with ending(End(end, lambda: halt is not None and halt.asked)):
            ctx = assemble(case, catalogue, active=active)
    except OutOfTime:
        return 0
    return max(0, bound_of(ctx.m, figures.figure(ctx, WANTS[want][0]), seconds=end - time.monotonic()))


def bound_of(model: cp_model.CpModel, expr: Expr, *, seconds: float) -> int:
    """What an expression of a model's variables cannot be below, in whole numbers."""
    return Relaxed(model).least(expr, seconds=seconds)[0]


class Relaxed:
    """The linear programme of a model, to be asked for the least of several expressions."""

    def __init__(self, model: cp_model.CpModel) -> None:
        self._ends = ends_of(model)
        self._rows = list(rows_of(model, self._ends))
        self._them = programme(self._rows, self._ends)

    def least(self, expr: Expr, *, seconds: float) -> tuple[int, bool]:
        """What an expression cannot be below, and whether HiGHS came to its end: else it is what the ranges give."""
        if isinstance(expr, int):
            return expr, True
        flat = cp_model.FlatIntExpr(expr)
        of: dict[int, int] = {}
        for coefficient, variable in zip(flat.coeffs, flat.vars, strict=True):
            of[variable.index] = of.get(variable.index, 0) + coefficient
        multipliers = self._multipliers(of, seconds) if seconds > 0 and self._rows else None
        times = multipliers or [0] * len(self._rows)
        sum_of_shares = least(self._rows, times, self._ends, {variable: c * SHARES for variable, c in of.items()})
        return -(-sum_of_shares // SHARES) + flat.offset, multipliers is not None

    def _multipliers(self, of: dict[int, int], seconds: float) -> list[int] | None:
        """None where no method comes to its end in time: now and then the simplex gives up where the other does not."""
        cost, until = np.zeros(len(self._ends)), time.monotonic() + seconds
        cost[list(of)] = list(of.values())
        for method in _METHODS:
            found = linprog(
                cost * self._them.unit,
                A_ub=self._them.matrix.tocsr(),
                b_ub=self._them.most,
                bounds=self._them.ranges,
                method=method,
                options={"time_limit": max(0.0, until - time.monotonic())},
            )
            if found.status == 0:
                return shares(found.ineqlin.marginals, self._them.scale)
        return None
