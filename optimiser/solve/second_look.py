"""A second look at "impossible": multipliers of a model's rows which show, in whole numbers, that nothing meets all.

The first verdict comes from a presolve and a search of many thousand lines, and false ones are on record. Here flags
may be fractions, shapes are left out, and HiGHS solves the linear programme of the rows with room that costs: what it
pays for each row is that row's multiplier. The rows, each taken so many times, are then added up in Python's integers.
If the sum wants more than the ranges of the variables can give, no build exists, and no solver has to be believed.

What only whole numbers or shapes make impossible is not shown so. That is searched once more, by the first solver but
without its presolve, and else stands on the first proof alone, which is then said.
"""

import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model
from scipy.optimize import linprog  # type: ignore[import-untyped]
from scipy.sparse import coo_array, hstack  # type: ignore[import-untyped]

from optimiser.solve.outcome import Confirmed, Halt

_WIDEST = 1e7  # a variable's unit in the programme is at most so many of its own, so that coefficients are alike
SHARES = 2**60  # multipliers are rounded to these: far finer than what HiGHS knows them to


class Contradicted(Exception):
    """One search says that there is nothing, another found it: one of the two is wrong."""

    def __str__(self) -> str:
        return "one search found that no build exists, another found one"


@dataclass(frozen=True)
class Row:
    """The sum of coefficient times variable is at most ``most``."""

    terms: dict[int, int]
    most: int


Ends = Sequence[tuple[int, int]]  # least and most of each variable


def look_again(model: cp_model.CpModel, *, seconds: float, halt: Halt | None = None) -> Confirmed:
    """What confirms that a model found impossible is so, within a time [s].

    Raises
    ------
    Contradicted
        If a second search finds a solution.
    """
    end = time.monotonic() + seconds
    if seconds > 0 and shown_impossible(model, seconds=seconds):
        return "by its rows"
    left_s = end - time.monotonic()
    return _searched(model, left_s, halt or Halt()) if left_s > 0 else "not confirmed"


def _searched(model: cp_model.CpModel, seconds: float, halt: Halt) -> Confirmed:
    solver = cp_model.CpSolver()
    solver.parameters.cp_model_presolve = False
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(model) if halt.listen(solver) else None
    halt.forget(solver)
    if status in (cp_model.FEASIBLE, cp_model.OPTIMAL):
        raise Contradicted
    return "by a second search" if status == cp_model.INFEASIBLE else "not confirmed"


def shown_impossible(model: cp_model.CpModel, *, seconds: float) -> bool:
    """Whether the rows of a model contradict each other, shown in whole numbers; False says nothing of the model.

    Parameters
    ----------
    seconds : for HiGHS to find the multipliers.
    """
    ends = ends_of(model)
    rows = list(rows_of(model, ends))
    return bool(rows) and contradict(rows, _multipliers(rows, ends, seconds), ends)


def contradict(rows: Sequence[Row], multipliers: Iterable[int], ends: Ends) -> bool:
    """Whether rows taken so many times each add up to what no values in their ranges can meet."""
    return least(rows, multipliers, ends) > 0


def least(rows: Sequence[Row], multipliers: Iterable[int], ends: Ends, of: Mapping[int, int] | None = None) -> int:
    """What a sum of coefficient times variable cannot be below, from rows taken so many times each and the ranges.

    A row says that its sum less its most is 0 or below. So whatever times of it is added, the sum becomes no more.
    """
    most, total = 0, [0] * len(ends)
    for variable, coefficient in (of or {}).items():
        total[variable] = coefficient
    for row, times in zip(rows, multipliers, strict=True):
        if times > 0:
            most += times * row.most
            for variable, coefficient in row.terms.items():
                total[variable] += times * coefficient
    return sum(c * (low if c > 0 else high) for c, (low, high) in zip(total, ends, strict=True) if c) - most


def rows_of(model: cp_model.CpModel, ends: Ends) -> Iterator[Row]:
    """What linear and Boolean constraints say of fractions; others are left out, as is what only holds at times."""
    for constraint in model.proto.constraints:
        when = list(constraint.enforcement_literal)
        if constraint.has_bool_or():
            yield _literals([*constraint.bool_or.literals, *map(_negated, when)], -1, -1)
        elif constraint.has_bool_and():
            for literal in constraint.bool_and.literals:
                yield _literals([literal, *map(_negated, when)], -1, -1)
        elif when:
            continue
        elif constraint.has_linear():
            linear = constraint.linear
            low, high = _ends(linear.domain)
            terms: dict[int, int] = {}
            for variable, coefficient in zip(linear.vars, linear.coeffs, strict=True):
                terms[variable] = terms.get(variable, 0) + coefficient
            yield Row(terms, high)
            yield Row({variable: -coefficient for variable, coefficient in terms.items()}, -low)
        elif constraint.has_at_most_one():
            yield _literals(constraint.at_most_one.literals, 1, 1)
        elif constraint.has_exactly_one():
            yield _literals(constraint.exactly_one.literals, 1, 1)
            yield _literals(constraint.exactly_one.literals, -1, -1)


def ends_of(model: cp_model.CpModel) -> Ends:
    """Least and most of each variable of a model."""
    return [_ends(variable.domain) for variable in model.proto.variables]


def _ends(domain: Iterable[int]) -> tuple[int, int]:
    """Of a domain, which may have holes."""
    numbers = list(domain)
    return numbers[0], numbers[-1]


def _negated(literal: int) -> int:
    return -literal - 1


def _literals(literals: Iterable[int], sign: int, most: int) -> Row:
    """``sign`` times the number of literals that hold is at most ``most``."""
    terms: dict[int, int] = {}
    for literal in literals:
        variable, here = (literal, sign) if literal >= 0 else (_negated(literal), -sign)
        terms[variable] = terms.get(variable, 0) + here
        most -= sign if literal < 0 else 0
    return Row(terms, most)


@dataclass(frozen=True)
class Programme:
    """Rows as HiGHS takes them: each divided by its ``scale``, each variable by its ``unit``."""

    matrix: coo_array
    most: NDArray[np.float64]
    ranges: NDArray[np.float64]
    scale: NDArray[np.float64]
    unit: NDArray[np.float64]


def programme(rows: Sequence[Row], ends: Ends) -> Programme:
    """The linear programme of some rows, with coefficients that are alike."""
    unit = np.clip(np.abs(np.array(ends, float)).max(axis=1), 1, _WIDEST)
    sizes = [len(row.terms) for row in rows]
    columns = np.array([variable for row in rows for variable in row.terms], int)
    values = np.array([float(c) for row in rows for c in row.terms.values()]) * unit[columns]
    lines = np.repeat(np.arange(len(rows)), sizes)
    scale = np.full(len(rows), 1e-9)
    np.maximum.at(scale, lines, abs(values))
    matrix = coo_array((values / scale[lines], (lines, columns)), shape=(len(rows), len(ends)))
    most = np.array([float(row.most) for row in rows]) / scale
    return Programme(matrix, most, np.array(ends, float) / unit[:, None], scale, unit)


def shares(marginals: NDArray[np.float64], scale: NDArray[np.float64]) -> list[int]:
    """What HiGHS pays for each row of a programme, as whole multipliers of the rows themselves, in ``SHARES``."""
    return [round(max(0.0, share) * SHARES) for share in -marginals / scale]


def _multipliers(rows: Sequence[Row], ends: Ends, seconds: float) -> list[int]:
    """What HiGHS would pay for room in each row, if room in all rows costs the same; 0 where it does not say."""
    of = programme(rows, ends)
    room = coo_array(-np.ones((len(rows), 1)))
    cost = np.zeros(len(ends) + 1)
    cost[-1] = 1
    found = linprog(
        cost,
        A_ub=hstack([of.matrix, room]).tocsr(),
        b_ub=of.most,
        bounds=np.array([*of.ranges, (0, np.inf)]),
        method="highs",
        options={"time_limit": seconds},
    )
    return shares(found.ineqlin.marginals, of.scale) if found.status == 0 else [0] * len(rows)
