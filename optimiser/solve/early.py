"""A first solution soon. To get a model ready for the search takes a second or two in one thread; meanwhile another
looks for any solution of the model as it is, and better ones, until the search itself has found some.
"""

import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, field, replace

from ortools.sat.python import cp_model

from optimiser.solve.outcome import Halt, Stop
from optimiser.solve.search import SOON, Accepted, Aim, Best, Infeasible, Open, Values, search, value_in

_EARLY_S = 10.0  # by then the search has found some, or this finds none either
_ASK_AGAIN_S = 0.02


@dataclass
class Early:
    """Looks while its block lasts, until there is enough; with one worker for all, not at all.

    ``found`` is called with each solution, from a thread of its own.
    """

    model: cp_model.CpModel
    goal: Aim
    stop: Stop
    started: float  # of `time.monotonic`
    found: Callable[[Best], None]
    _halt: Halt = field(default_factory=Halt)
    _pool: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1))
    _task: Future[Best | Infeasible | Open] | None = None

    def __enter__(self) -> "Early":
        if self.stop.workers > 1:
            seconds = min(self.stop.seconds, time.monotonic() - self.started + _EARLY_S)
            self._task = self._pool.submit(
                search,
                self.model.clone(),
                self.goal,
                stop=replace(self.stop, seconds=seconds, workers=1),
                halt=self._halt,
                started=self.started,
                accept=self._accept,
                how=SOON,
            )
        return self

    def __exit__(self, *_: object) -> None:
        while self._task and not self._task.done():
            self.enough()  # again and again: one just about to start does not hear it
            wait([self._task], timeout=_ASK_AGAIN_S)
        self._pool.shutdown()

    def enough(self) -> None:
        """Let it end."""
        self._halt.ask()

    def _accept(self, values: Values) -> Accepted:
        if self._halt.asked:
            return "end"
        self.found(Best(value_in(values), False, self.goal.low))
        return "tell"
