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
    if isinstance(expr, int):
        return expr
    flat = cp_model.FlatIntExpr(expr)
    of: dict[int, int] = {}
    for coefficient, variable in zip(flat.coeffs, flat.vars, strict=True):
        of[variable.index] = of.get(variable.index, 0) + coefficient
    ends = ends_of(model)
    rows = list(rows_of(model, ends))
    cost = np.zeros(len(ends))
    cost[list(of)] = list(of.values())
    them = programme(rows, ends)
    multipliers = [0] * len(rows)
    if seconds > 0 and rows:
        found = linprog(
            cost * them.unit,
            A_ub=them.matrix.tocsr(),
            b_ub=them.most,
            bounds=them.ranges,
            method="highs",
            options={"time_limit": seconds},
        )
        multipliers = shares(found.ineqlin.marginals, them.scale) if found.status == 0 else multipliers
    sum_of_shares = least(rows, multipliers, ends, {variable: c * SHARES for variable, c in of.items()})
    return -(-sum_of_shares // SHARES) + flat.offset
