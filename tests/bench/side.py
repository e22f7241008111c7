"""The same decisions side by side: the solver's own search, and HiGHS on the model as a mixed-integer programme.

Of one model one measure is made small; ties, and where panels lie, are left out of both. What both prove must be equal.
"""

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from statistics import median

from ortools.sat.python import cp_model

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model import figures
from optimiser.model.assemble import assemble
from optimiser.solve import WANTS, Infeasible, Stop, Want
from optimiser.solve.search import Best, Expr, aim, search
from tests.bench import highs
from tests.bench.apart import Died, apart
from tests.bench.linear import programme
from tests.bench.subjects import Subject

SETTLED = ("proven", "impossible")
Posed = tuple[cp_model.CpModel, Expr]


@dataclass(frozen=True)
class Result:
    """``best`` found and none below ``bound``, in cents or grams; ``rows`` of the model as it was put to the solver."""

    state: str
    best: int | None = None
    bound: int | None = None
    seconds: float | None = None
    cpu_s: float | None = None
    rows: int | None = None
    why: str = ""


@dataclass(frozen=True)
class Side:
    """Both results of one model. ``agree``: yes, both proved the same; no, one contradicts the other; open, neither."""

    group: str
    subject: str
    want: str
    agree: str
    cp_sat: str
    cp_sat_best: int | None
    cp_sat_bound: int | None
    cp_sat_s: float | None
    cp_sat_cpu_s: float | None
    cp_sat_rows: int | None
    highs: str
    highs_best: int | None
    highs_bound: int | None
    highs_s: float | None
    highs_cpu_s: float | None
    highs_rows: int | None
    why: str


def posed(case: Case, catalogue: Catalogue, want: Want) -> Posed:
    """The model of a case, and what is to be made small."""
    ctx = assemble(case, catalogue)
    return ctx.m, figures.figure(ctx, WANTS[want][0])


def by_cp_sat(given: Posed, stop: Stop) -> Result:
    """The search that the product uses."""
    model, small = given
    started, cpu_s = time.monotonic(), time.process_time()
    found = search(model, aim(small, 0), stop=stop)
    seconds, cpu_s = time.monotonic() - started, time.process_time() - cpu_s
    rows = len(model.proto.constraints)
    if isinstance(found, Infeasible):
        return Result("impossible", None, None, seconds, cpu_s, rows)
    if not isinstance(found, Best):
        return Result("undecided", None, found.bound, seconds, cpu_s, rows)
    best = found.value(small)
    state, bound = ("proven", best) if found.proven else ("best found", found.bound)
    return Result(state, best, bound, seconds, cpu_s, rows)


def by_highs(given: Posed, stop: Stop) -> Result:
    """HiGHS, which takes one thread for such models."""
    made = programme(*given)
    cpu_s = time.process_time()
    found = highs.solve(made, seconds=stop.seconds, seed=stop.seed)
    cpu_s = time.process_time() - cpu_s
    return Result(found.state, found.best, found.bound, found.seconds, cpu_s, len(made.rows))


def agree(one: Result, other: Result) -> str:
    """Whether two results of the same model do."""
    if one.state in SETTLED and other.state in SETTLED:
        return "yes" if (one.state, one.best) == (other.state, other.best) else "no"
    for this, that in ((one, other), (other, one)):
        above = this.bound is not None and that.best is not None and this.bound > that.best
        if above or (this.state == "impossible" and that.best is not None):
            return "no"
    return "open"


def rows(chosen: Sequence[Subject], wants: Sequence[Want], stop: Stop) -> Iterator[Side]:
    """Each subject and want with one solver and then the other, each in a process of its own."""
    for subject, want in product(chosen, wants):
        one, other = (_apart(solver, subject, want, stop) for solver in (by_cp_sat, by_highs))
        yield side(subject, want, one, other)


def side(subject: Subject, want: Want, one: Result, other: Result) -> Side:
    """The row of two results: of CP-SAT and HiGHS."""
    return Side(
        subject.group, subject.name, want, agree(one, other),
        one.state, one.best, one.bound, one.seconds, one.cpu_s, one.rows,
        other.state, other.best, other.bound, other.seconds, other.cpu_s, other.rows,
        " ".join(filter(None, (one.why, other.why))),
    )  # fmt: skip


def log_lines(found: Sequence[Side], *, day: str, seconds: float) -> Iterator[str]:
    """An entry of the log: how many each settles, how many of them alike, and CPU seconds where both do."""
    ours, theirs = ([getattr(r, name) in SETTLED for r in found] for name in ("cp_sat", "highs"))
    both = [r for r, a, b in zip(found, ours, theirs, strict=True) if a and b]
    cpu_s = [[getattr(r, name) or 0.0 for r in both] for name in ("cp_sat_cpu_s", "highs_cpu_s")]
    times = "" if not both else f"; CPU s where both do, median: {median(cpu_s[0]):.1f} / {median(cpu_s[1]):.1f}"
    yield (
        f"- {day}, one model and measure, without ties and places on the roof, CP-SAT / HiGHS: {sum(ours)} / "
        f"{sum(theirs)} of {len(found)} settled in {seconds:g} s, {sum(r.agree == 'yes' for r in both)} of {len(both)} "
        f"alike{times}"
    )


def _apart(solver: Callable[[Posed, Stop], Result], subject: Subject, want: Want, stop: Stop) -> Result:
    found = apart(_solved, solver, subject, want, stop, seconds=stop.seconds)
    return Result("crash", why=found.why) if isinstance(found, Died) else found.value


def _solved(solver: Callable[[Posed, Stop], Result], subject: Subject, want: Want, stop: Stop) -> Result:
    return solver(posed(*subject.read(), want), stop)
