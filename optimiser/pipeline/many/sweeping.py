"""A sweep over many vehicles: goes on where an earlier one ended, and keeps each row as soon as it is there."""

import time
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path
from typing import Literal

from optimiser.pipeline.inputs import Unusable
from optimiser.pipeline.interrupt import Ended, never
from optimiser.pipeline.many.cluster import Cluster
from optimiser.pipeline.many.crews import Crew, Gone, Processes, done_by, processes_for
from optimiser.pipeline.many.rows import Format, Ledger, Row, RowState, outdated, unread_row
from optimiser.pipeline.many.solving import Work, solve_task
from optimiser.pipeline.many.tasks import Plan, Task, plan
from optimiser.solve import Stop, Want

_WRITE_EVERY_S = 10.0
_CODES: dict[RowState, int] = {"breach": 1, "unusable": 2, "don't know": 4, "best found": 4, "fault": 70}
_WORST = (0, 4, 2, 1, 70)  # of several codes, the later one


@dataclass
class Tally:
    """How far a sweep is."""

    asked: int  # rows
    counts: Counter[RowState] = field(default_factory=Counter)
    taken_over: int = 0  # of an earlier call
    started: float = field(default_factory=time.monotonic)

    @property
    def done(self) -> int:
        """Rows that are there."""
        return self.counts.total()


@dataclass(frozen=True)
class ManySwept:
    """Rows of a sweep in the order of cases and settings, and what became of those of an earlier call."""

    want: Want
    asked: int
    rows: tuple[Row, ...]
    taken_over: int
    anew: Mapping[str, int]  # what had changed -> rows solved anew for it
    left_aside: int  # rows of an earlier call that this one does not ask for
    table: Path
    processes: int | None  # None: on a cluster
    stop: Stop
    why: str = ""  # it is not whole

    @property
    def state(self) -> Literal["whole", "part"]:
        """Whether all rows are there."""
        return "whole" if len(self.rows) == self.asked else "part"

    @property
    def counts(self) -> Counter[RowState]:
        """Rows of each status."""
        return Counter(row.status for row in self.rows)

    @property
    def code(self) -> int:
        """For the shell: the worst of all rows; what is proven impossible is settled like any other."""
        codes = [_CODES.get(status, 0) for status in self.counts]
        return max([*codes, 0 if self.state == "whole" else 4], key=_WORST.index)


@dataclass(frozen=True)
class Where:
    """Who does it: so many processes of this machine, as many as there is room for if 0; or a cluster's workers."""

    processes: int = 0
    scheduler: str = ""


def sweep_many(
    cases: Sequence[str],
    sets: Sequence[str],
    catalogues: Sequence[str],
    folder: Path,
    *,
    form: Format,
    want: Want,
    stop: Stop,
    where: Where,
    begin: Callable[[Tally, Mapping[str, int]], None],
    tell: Callable[[Tally, Row], None],
    ended: Ended = never,
    work: Work = solve_task,
) -> ManySwept:
    """Every case with every setting. Ctrl-C ends it with the rows so far, and so does ``ended``.

    Parameters
    ----------
    sets : addresses and values, as `tasks.combinations` reads them.
    folder : new, empty, or that of an earlier call: its rows are taken over as far as nothing changed.
    stop : time limit of each row [s], seed and workers of the solver.
    begin : called with what is there before anything is solved, and why rows are solved anew.
    tell : called with each row as it is done.

    Raises
    ------
    Unusable
        If the cases, the settings, the folder or the cluster cannot be used; nothing is solved then.
    """
    if form == "parquet" and find_spec("pyarrow") is None:
        raise Unusable("Parquet takes pyarrow, not installed; expected pip install 'optimiser[parquet]', or CSV")
    asked, ledger = plan(cases, sets, catalogues, want, stop), Ledger(folder, form)
    ledger.open()
    sweep = _Sweep(asked, want, ledger, tell)
    begin(sweep.tally, sweep.anew)
    processes = where.processes or processes_for(stop.workers)
    why = sweep.run(lambda: _crew(where.scheduler, min(processes, len(sweep.left)), work), ended)
    return ManySwept(
        want, asked.size, sweep.rows, sweep.tally.taken_over, sweep.anew, sweep.left_aside, ledger.table,
        None if where.scheduler else processes, stop, why,
    )  # fmt: skip


def _crew(scheduler: str, processes: int, work: Work) -> Crew:
    return Cluster(scheduler, work) if scheduler else Processes(processes, work)


class _Sweep:
    """The rows that are there, and the tasks that are left."""

    def __init__(self, asked: Plan, want: Want, ledger: Ledger, tell: Callable[[Tally, Row], None]) -> None:
        self._asked, self._ledger, self._tell = asked, ledger, tell
        kept = ledger.kept()
        changed = {task.key: outdated(kept[task.key], task) for task in asked.tasks if task.key in kept}
        self._found = {key: kept[key] for key, what in changed.items() if not what}
        self._unread = {
            name: [unread_row(name, setting, lines, want) for setting in asked.settings]
            for name, lines in asked.unread.items()
        }
        self.anew = Counter(what for found in changed.values() for what in found)
        self.left = [task for task in asked.tasks if task.key not in self._found]
        self.left_aside = len(kept.keys() - changed.keys())
        counts = Counter(row.status for row in self.rows)
        self.tally = Tally(asked.size, counts, len(self._found))

    @property
    def rows(self) -> tuple[Row, ...]:
        """Those that are there, in the order of cases and settings."""
        found = dict[str, list[Row]](self._unread)
        for task in self._asked.tasks:
            if row := self._found.get(task.key):
                found.setdefault(task.name, []).append(row)
        return tuple(row for name in self._asked.cases for row in found.get(name, ()))

    def run(self, crew: Callable[[], Crew], ended: Ended) -> str:
        """Do the tasks that are left; why some are left even so."""
        try:
            if self.left:
                self._do(crew(), ended)
        except KeyboardInterrupt:
            return "stopped"
        except Gone:
            return "the scheduler is gone"
        finally:
            self._ledger.write(self.rows)
        return "" if self.tally.done == self.tally.asked else "stopped"

    def _do(self, crew: Crew, ended: Ended) -> None:
        written = time.monotonic()
        with closing(crew), closing(done_by(crew, self.left, ended)) as done:
            for task, row in done:
                self._take(task, row)
                if time.monotonic() - written > _WRITE_EVERY_S:
                    self._ledger.write(self.rows)
                    written = time.monotonic()

    def _take(self, task: Task, row: Row) -> None:
        self._ledger.keep(task.key, row)
        self._found[task.key] = row
        self.tally.counts[row.status] += 1
        self._tell(self.tally, row)
