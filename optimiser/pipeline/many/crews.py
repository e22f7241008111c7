"""Who does the tasks, as processes on this machine do. One that dies stops no other task, its own is tried again."""

import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Generator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Future, ProcessPoolExecutor, wait
from dataclasses import replace
from multiprocessing.synchronize import Event
from typing import Protocol

from optimiser.pipeline.interrupt import Ended, never
from optimiser.pipeline.many.rows import Row, row_of
from optimiser.pipeline.many.solving import Work, fault_line
from optimiser.pipeline.many.tasks import Task

TRIES = 3  # of a task whose process was ended from outside
_LISTEN_EVERY_S = 0.2
_FRESH = multiprocessing.get_context("spawn")  # what is forked off a process with threads may hang


class Gone(Exception):
    """Who was to do the tasks cannot be reached any more; none of those left is at fault."""


class Crew(Protocol):
    """Takes tasks, and does some at a time."""

    died: tuple[type[Exception], ...]  # what says that a worker died with its task, for want of memory as a rule
    tries: int  # of such a task

    @property
    def room(self) -> int:
        """How many tasks it should have at once."""

    def submit(self, task: Task) -> Future[Row]:
        """The task's row to be."""

    def close(self) -> None:
        """Give up what is not done yet."""


def done_by(crew: Crew, tasks: Sequence[Task], ended: Ended = never) -> Generator[tuple[Task, Row]]:
    """Each task with its row, as they are done. It ends early once ``ended`` says so.

    Raises
    ------
    Gone
        If the crew cannot be reached any more.
    """
    waiting = deque((task, 1) for task in tasks)
    at_work = dict[Future[Row], tuple[Task, int]]()
    while (waiting or at_work) and not ended():
        while waiting and len(at_work) < crew.room:
            task, tries = waiting.popleft()
            at_work[crew.submit(task)] = task, tries
        ready, _ = wait(at_work, timeout=_LISTEN_EVERY_S, return_when=FIRST_COMPLETED)
        for future in ready:
            task, tries = at_work.pop(future)
            if isinstance(_failed(future), crew.died) and tries < crew.tries:
                waiting.appendleft((task, tries + 1))
            else:
                yield task, replace(_row(future, task, crew), tries=tries)


def _failed(future: Future[Row]) -> BaseException | None:
    try:
        return future.exception()
    except CancelledError as error:
        raise Gone from error


def _row(future: Future[Row], task: Task, crew: Crew) -> Row:
    """What came of a task that is not tried again."""
    error = _failed(future)
    if error is None:
        return future.result()
    if isinstance(error, crew.died):
        return row_of(task, "fault", f"its worker was ended from outside {crew.tries} times; is there memory enough?")
    return row_of(task, "fault", fault_line(error))


# --- processes on this machine -----------------------------------------------------------------------


class Processes:
    """Processes on this machine, each a pool of its own: if one dies, it is known which task died with it."""

    died: tuple[type[Exception], ...] = (BrokenExecutor,)

    def __init__(self, count: int, work: Work) -> None:
        self.tries = TRIES
        self.room, self._work, self._end = count, work, _FRESH.Event()
        self._pools = [self._pool() for _ in range(count)]
        self._busy: list[Future[Row] | None] = [None] * count

    def submit(self, task: Task) -> Future[Row]:
        """See `Crew`: one task a process at a time."""
        place = next(k for k, future in enumerate(self._busy) if future is None or future.done())
        try:
            future = self._pools[place].submit(_in_process, self._work, task)
        except BrokenExecutor:  # its process died
            self._pools[place] = self._pool()
            future = self._pools[place].submit(_in_process, self._work, task)
        self._busy[place] = future
        return future

    def close(self) -> None:
        """See `Crew`: a search at work hears of it within a moment."""
        self._end.set()
        for pool in self._pools:
            pool.shutdown(cancel_futures=True)

    def _pool(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(1, mp_context=_FRESH, initializer=_begin, initargs=(self._end,))


_end: Event | None = None  # of a process of ours: whether to end the search


def _begin(end: Event) -> None:
    """A new process. Ctrl-C is for its parent alone to hear; if that dies, so does it."""
    global _end
    _end = end
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    assert parent is not None
    parent.join()
    os._exit(1)


def _in_process(work: Work, task: Task) -> Row:
    assert _end is not None
    return work(task, _end.is_set)


def processes_for(workers: int) -> int:
    """How many searches of so many workers the cores of this machine have room for."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, cores // workers)
