"""Finds the cheapest or the lightest build, and proves it. Prints nothing.

The other objective breaks ties in the same solve, so the answer is unique in cost and mass. A solution is
laid out on the roof before it counts; what cannot be laid out teaches the model a fact, and it is solved
again, so that the last solution is optimal among builds that can be laid out.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from importlib.metadata import version
from typing import Literal

from ortools.sat.python import cp_model

from optimiser.build import Build, Claim
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model import layout, mass
from optimiser.model.assemble import assemble, read
from optimiser.model.context import Active, FitOut, Learned, everything
from optimiser.tables import Tables

Want = Literal["cheapest", "lightest"]

COST_BELOW = 10_000_000  # cents: no fit-out costs more, which keeps the tie-break exact
MASS_BELOW = 10_000_000  # g


@dataclass(frozen=True)
class Stop:
    """When to give up, and what makes a run repeatable."""

    seconds: float = 300.0
    seed: int = 1
    workers: int = 2


class Halt:
    """Lets another thread end a solve; what was found so far is kept.

    CP-SAT's own handling of Ctrl-C is not used: the signal may reach one of its threads, which aborts, and it
    leaves the signal at the system's default, which kills.
    """

    def __init__(self) -> None:
        self._asked = threading.Event()
        self._solver: cp_model.CpSolver | None = None

    @property
    def asked(self) -> bool:
        """Whether it shall end."""
        return self._asked.is_set()

    def ask(self) -> None:
        """End it. To be repeated until it has ended: a solver just about to start does not hear it."""
        self._asked.set()
        if self._solver is not None:
            self._solver.stop_search()

    def listen(self, solver: cp_model.CpSolver) -> None:
        """The solver to end from now on."""
        self._solver = solver


@dataclass(frozen=True)
class Progress:
    """Where a solve stands; ``best`` and ``bound`` in the wanted objective's unit (cents or g)."""

    best: int | None
    bound: int
    seconds: float

    @property
    def gap(self) -> float | None:
        """Share of the best that is not proven."""
        return None if not self.best else max(0.0, (self.best - self.bound) / self.best)


@dataclass(frozen=True)
class Solved:
    """Proven: no valid build is better."""

    build: Build
    cost_cents: int
    mass_g: int
    seconds: float
    rounds: int = 1


@dataclass(frozen=True)
class Impossible:
    """Proven: no valid build exists."""

    seconds: float


@dataclass(frozen=True)
class Undecided:
    """Stopped before a proof. ``build`` is the best found, if any; ``why`` says what stopped it."""

    build: Build | None
    cost_cents: int | None
    mass_g: int | None
    bound: int
    seconds: float
    why: str

    def gap(self, want: Want) -> float | None:
        """Share of the best found that is not proven."""
        best = self.cost_cents if want == "cheapest" else self.mass_g
        return None if not best else max(0.0, (best - self.bound) / best)


Outcome = Solved | Impossible | Undecided
Watch = Callable[[Progress], None]


class _Reporter(cp_model.CpSolverSolutionCallback):
    """Passes solutions on to the watcher."""

    def __init__(self, watch: Watch, scale: int, started: float) -> None:
        super().__init__()
        self.watch, self.scale, self.started = watch, scale, started
        self.best: int | None = None
        self.bound = 0

    def on_solution_callback(self) -> None:
        self.best = int(self.objective_value) // self.scale
        self.bound = max(self.bound, int(self.best_objective_bound) // self.scale)
        self.tell()

    def on_bound(self, bound: float) -> None:
        """The solver raised its lower bound."""
        if int(bound) // self.scale > self.bound:
            self.bound = int(bound) // self.scale
            self.tell()

    def tell(self) -> None:
        self.watch(Progress(self.best, self.bound, time.monotonic() - self.started))


def optimise(
    case: Case,
    catalogue: Catalogue,
    want: Want,
    *,
    stop: Stop | None = None,
    watch: Watch = lambda _: None,
    active: Active = everything,
    halt: Halt | None = None,
) -> Outcome:
    """The cheapest or the lightest build.

    Parameters
    ----------
    case, catalogue : what is to be fitted, and what with.
    want : the objective; the other breaks ties.
    stop : time limit [s], seed and workers.
    watch : called with the progress whenever best or bound move.
    active : which requirements hold; all by default.
    halt : ends the solve early when asked from another thread.
    """
    stop, halt = stop or Stop(), halt or Halt()
    started = time.monotonic()
    tables = Tables(case, catalogue)
    learned: list[Learned] = []
    rounds, bound = 0, 0
    while True:
        rounds += 1
        ctx = assemble(case, catalogue, tables=tables, active=active, learned=learned)
        scale = _aim(ctx, want)
        solver = _solver(stop, stop.seconds - (time.monotonic() - started))
        reporter = _Reporter(watch, scale, started)
        solver.best_bound_callback = reporter.on_bound
        halt.listen(solver)
        if halt.asked:
            return Undecided(None, None, None, bound, time.monotonic() - started, "stopped before any build was found")
        status = solver.solve(ctx.m, reporter)
        seconds = time.monotonic() - started
        bound = max(bound, reporter.bound)
        if status == cp_model.INFEASIBLE:
            return Impossible(seconds)
        if status == cp_model.UNKNOWN:
            return Undecided(None, None, None, bound, seconds, "the time limit came before any build")
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(f"the model is not valid: {ctx.m.validate()}")
        placed = layout.lay_out(ctx, solver.value)
        if isinstance(placed, list):
            learned += placed
            if time.monotonic() - started < stop.seconds and not halt.asked:
                continue
            return Undecided(None, None, None, bound, seconds, "the end came while the roof was laid out")
        if isinstance(placed, layout.Unsettled):
            return Undecided(None, None, None, bound, seconds, placed.why)
        cost, grams = solver.value(mass.cost_cents(ctx)), solver.value(mass.mass_g(ctx))
        proven = status == cp_model.OPTIMAL
        build = _claimed(read(ctx, solver.value, placed), want, stop, cost, grams, bound if not proven else None)
        if proven:
            return Solved(build, cost, grams, seconds, rounds)
        return Undecided(build, cost, grams, bound, seconds, "the time limit or an interrupt came before the proof")


def _aim(ctx: FitOut, want: Want) -> int:
    """Set the objective; returns what the wanted one is multiplied by."""
    cost, grams = mass.cost_cents(ctx), mass.mass_g(ctx)
    ctx.define(cost < COST_BELOW)
    ctx.define(grams < MASS_BELOW)
    if want == "cheapest":
        ctx.m.minimize(MASS_BELOW * cost + grams)
        return MASS_BELOW
    ctx.m.minimize(COST_BELOW * grams + cost)
    return COST_BELOW


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


def _solver(stop: Stop, seconds: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = max(1.0, seconds)
    solver.parameters.random_seed = stop.seed
    # One thread more than searches, for the neighbourhoods of what was found: it would take a search's place.
    solver.parameters.num_workers = stop.workers + 1 if stop.workers > 1 else 1
    solver.parameters.linearization_level = 2
    solver.parameters.merge_text_format(_SEARCH)
    solver.parameters.catch_sigint_signal = False
    return solver


def _claimed(build: Build, want: Want, stop: Stop, cost: int, grams: int, bound: int | None) -> Build:
    best = cost if want == "cheapest" else grams
    claim = Claim(
        want=want,
        status="proven" if bound is None else "best found",
        cost_cents=cost,
        mass_g=grams,
        bound=best if bound is None else bound,
        versions={name: version(name) for name in ("ortools", "networkx", "pvlib")},
        seed=stop.seed,
        workers=stop.workers,
    )
    return replace(build, claim=claim)
