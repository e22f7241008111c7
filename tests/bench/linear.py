"""The solver's model as a mixed-integer programme: the same variables, and each rule as rows of a linear programme.

A row that holds only where some flags do is relaxed where one does not, by as little as it takes: by the most that its
left side can be there, and of flags of which at most one is set only the largest counts.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ortools.sat.python import cp_model

Terms = dict[int, int]  # variable -> coefficient
_FREE = 2**62  # a bound of the solver's beyond which there is none


@dataclass(frozen=True)
class Row:
    """The sum of the terms is at most this."""

    terms: Terms
    most: int


@dataclass(frozen=True)
class Programme:
    """Whole-numbered variables between bounds, rows, and what is to be made small."""

    low: tuple[int, ...]
    high: tuple[int, ...]
    rows: tuple[Row, ...]
    cost: Terms
    fixed_cost: int

    def value(self, solution: Sequence[int]) -> int:
        """What a solution costs."""
        return self.fixed_cost + _at(self.cost, solution)

    def broken(self, solution: Sequence[int]) -> int:
        """How many bounds and rows a solution breaks, in exact arithmetic."""
        outside = sum(not low <= x <= high for low, x, high in zip(self.low, solution, self.high, strict=True))
        return outside + sum(_at(row.terms, solution) > row.most for row in self.rows)


def programme(model: cp_model.CpModel, small: Any) -> Programme:
    """A model without intervals, and a linear expression to be made small.

    Raises
    ------
    ValueError
        If a rule of the model is of another sort.
    """
    proto = model.proto
    domains = [list(variable.domain) for variable in proto.variables]
    low, high = tuple(d[0] for d in domains), tuple(d[-1] for d in domains)
    constraints = list(proto.constraints)
    most = _Most(low, high, list(_at_most_one(constraints, low, high)))
    rows = tuple(row for constraint in constraints for row in _rows(constraint, most))
    flat = cp_model.FlatIntExpr(small)
    cost: Terms = {}
    for coefficient, variable in zip(flat.coeffs, flat.vars, strict=True):
        cost[variable.index] = cost.get(variable.index, 0) + coefficient
    return Programme(low, high, rows, cost, flat.offset)


# --- rules as rows -------------------------------------------------------------------------------------


def _rows(constraint: Any, most: "_Most") -> Iterator[Row]:
    off = [~flag for flag in constraint.enforcement_literal]
    if constraint.has_linear():
        terms, (least, highest) = _terms(constraint.linear), _ends(constraint.linear)
        yield from _unless(off, Row(terms, highest), most)
        yield from _unless(off, Row({k: -c for k, c in terms.items()}, -least), most)
    elif constraint.has_bool_or():
        yield _one_of([*off, *constraint.bool_or.literals])
    elif constraint.has_bool_and():
        yield from (_one_of([*off, literal]) for literal in constraint.bool_and.literals)
    elif constraint.has_at_most_one():
        yield _with(Row({}, 1), constraint.at_most_one.literals, 1)
    elif constraint.has_exactly_one():
        yield _with(Row({}, 1), constraint.exactly_one.literals, 1)
        yield _one_of(constraint.exactly_one.literals)
    else:
        raise ValueError(f"no rows for {constraint}")


def _one_of(literals: Iterable[int]) -> Row:
    """At least one holds."""
    return _with(Row({}, -1), literals, -1)


def _unless(off: Sequence[int], row: Row, most: "_Most") -> Iterator[Row]:
    """The row, unless one of these holds; none where it can never be broken.

    What always holds is kept: that a sum stays below may rest on that very row.
    """
    beyond = most.of(row.terms) - row.most
    if beyond > 0 or not off:
        yield _with(row, off, -beyond)


def _with(row: Row, literals: Iterable[int], times: int) -> Row:
    """So many times the literals, added on the left."""
    terms, most = defaultdict(int, row.terms), row.most
    for literal in literals:
        if literal >= 0:
            terms[literal] += times
        else:  # 1 less the variable
            terms[~literal] -= times
            most -= times
    return Row(dict(terms), most)


def _terms(linear: Any) -> Terms:
    terms: Terms = defaultdict(int)
    for variable, coefficient in zip(linear.vars, linear.coeffs, strict=True):
        terms[variable] += coefficient
    return dict(terms)


def _ends(linear: Any) -> tuple[int, int]:
    domain = list(linear.domain)  # a list: the solver's own sequence takes -1 for 0
    if len(domain) != 2:
        raise ValueError(f"a sum that may lie in {domain}; expected one span")
    return domain[0], domain[1]


def _at(terms: Terms, solution: Sequence[int]) -> int:
    return sum(coefficient * solution[variable] for variable, coefficient in terms.items())


# --- the most that a sum can be ------------------------------------------------------------------------


class _Most:
    """The most that sums of variables can be, from their bounds and from flags of which at most one is set."""

    def __init__(self, low: Sequence[int], high: Sequence[int], groups: Iterable[frozenset[int]]) -> None:
        self.low, self.high = low, high
        self.group: dict[int, frozenset[int]] = {}
        for group in sorted(groups, key=len):  # the largest that a flag is in
            self.group |= dict.fromkeys(group, group)

    def of(self, terms: Terms) -> int:
        """An upper bound on the sum of the terms."""
        alone, best = 0, dict[frozenset[int], int]()
        for variable, coefficient in terms.items():
            group = self.group.get(variable)
            if group is None:
                alone += coefficient * (self.high if coefficient > 0 else self.low)[variable]
            else:
                best[group] = max(best.get(group, 0), coefficient)
        return alone + sum(best.values())


def _at_most_one(constraints: Iterable[Any], low: Sequence[int], high: Sequence[int]) -> Iterator[frozenset[int]]:
    """Sets of flags of which at most one is set: said so, or by a sum of them that is at most 1 or equals a flag."""

    def flag(variable: int) -> bool:
        return (low[variable], high[variable]) == (0, 1)

    for constraint in constraints:
        if constraint.enforcement_literal:
            continue
        if constraint.has_exactly_one() or constraint.has_at_most_one():
            one = constraint.exactly_one if constraint.has_exactly_one() else constraint.at_most_one
            yield frozenset(literal for literal in one.literals if literal >= 0)
        elif constraint.has_linear():
            terms, (_, highest) = _terms(constraint.linear), _ends(constraint.linear)
            plus, minus = (frozenset(v for v, c in terms.items() if c == sign) for sign in (1, -1))
            if len(plus | minus) == len(terms) and all(map(flag, terms)) and len(minus) + highest <= 1:
                yield plus
