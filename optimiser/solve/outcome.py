"""When to stop, how far a solve is, and what it came to."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf
from typing import Literal

from ortools.sat.python import cp_model

from optimiser.builds import Build
from optimiser.measures import Measure
from optimiser.moves import Ladder, Rung

Want = Literal["cheapest", "lightest"]
Confirmed = Literal["by its rows", "by a second search", "not confirmed"]
"""What else says that a case is impossible: its rows, which contradict each other in whole numbers; a second search,
which finds nothing either; or nothing, since neither came to an end in time."""


@dataclass(frozen=True)
class Stop:
    """When to give up, and what makes a run repeatable.

    ``lone``: one search in place of two in turns, for one worker: a short question is answered sooner, and one that
    stalls is asked again. ``first``: the first build will do, if there is one. ``work``: how much a search may do, in
    the solver's own count, of which a core left to itself does one in about two seconds: the same on a busy machine.
    """

    seconds: float = 300.0
    seed: int = 1
    workers: int = 2
    lone: bool = False
    first: bool = False
    work: float = inf


class Halt:
    """Lets another thread end a solve; what was found so far is kept.

    CP-SAT's own handling of Ctrl-C is not used: the signal may reach one of its threads, which aborts, and it
    leaves the signal at the system's default, which kills.
    """

    def __init__(self) -> None:
        self._asked = threading.Event()
        self._solvers: set[cp_model.CpSolver] = set()

    @property
    def asked(self) -> bool:
        """Whether it shall end."""
        return self._asked.is_set()

    def ask(self) -> None:
        """End it. To be repeated until it has ended: a solver just about to start does not hear it."""
        self._asked.set()
        for solver in tuple(self._solvers):
            solver.stop_search()

    def listen(self, solver: cp_model.CpSolver) -> bool:
        """A solver to end from now on; False if it shall not even begin."""
        self._solvers.add(solver)
        return not self.asked

    def forget(self, solver: cp_model.CpSolver) -> None:
        """It has ended by itself."""
        self._solvers.discard(solver)


@dataclass(frozen=True)
class Progress:
    """Where a solve stands; ``best`` and ``bound`` are whole numbers of the wanted measure, to be made small."""

    best: int | None
    bound: int
    seconds: float

    @property
    def gap(self) -> float | None:
        """Share of the best that is not proven."""
        return None if not self.best else max(0.0, (self.best - self.bound) / abs(self.best))


Watch = Callable[[Progress], None]


@dataclass(frozen=True)
class Solved:
    """Proven: no valid build is better."""

    build: Build
    cost_cents: int
    mass_g: int
    seconds: float
    rounds: int = 1
    figures: dict[Measure, int] = field(default_factory=dict)  # of the measures asked for
    kind: tuple[int, ...] = ()  # see `kinds`
    eased: tuple[tuple[Ladder, Rung], ...] = ()  # values of the case that it rests on being eased


@dataclass(frozen=True)
class Impossible:
    """Proven: no valid build exists. ``confirmed``: what else says so; None where nothing was asked."""

    seconds: float
    confirmed: Confirmed | None = None


@dataclass(frozen=True)
class Undecided:
    """Stopped before a proof. ``build`` is the best found, if any; ``why`` says what stopped it.

    ``bound`` is what no build can be below in the wanted measure, as something to be made small.
    """

    build: Build | None
    cost_cents: int | None
    mass_g: int | None
    bound: int
    seconds: float
    why: str
    figures: dict[Measure, int] = field(default_factory=dict)
    eased: tuple[tuple[Ladder, Rung], ...] = ()

    def gap(self, want: Want) -> float | None:
        """Share of the best found that is not proven."""
        best = self.cost_cents if want == "cheapest" else self.mass_g
        return None if not best else max(0.0, (best - self.bound) / best)


Outcome = Solved | Impossible | Undecided
