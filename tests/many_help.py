"""Helpers of the tests of sweeps over many vehicles: works that end their own process, and a crew without any."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from optimiser import library
from optimiser.pipeline.interrupt import Ended, never
from optimiser.pipeline.many import crews, sweeping
from optimiser.pipeline.many.rows import Row, row_of
from optimiser.pipeline.many.solving import Work, solve_task
from optimiser.pipeline.many.tasks import Task
from tests.conftest import Folders

MARKS = "OPTIMISER_TEST_MARKS"  # a folder that outlives the processes


def answered(task: Task, ended: Ended = never) -> Row:
    """A row without a search, whose figure tells which one it is."""
    return replace(row_of(task, "proven"), cost=float(len(task.setting)), mass=1.0, gap=0.0)


def dies(task: Task, ended: Ended = never) -> Row:
    """Ends its process, as the system does where memory is short: once for a payload of +1, always for one of +2."""
    mark = Path(os.environ[MARKS]) / task.key
    if task.setting.endswith("+2") or (task.setting.endswith("+1") and not mark.exists()):
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return solve_task(task, ended)


class Here:
    """A crew in this very process: each task is done when it is submitted."""

    died, tries, room = (BrokenProcessPool,), crews.TRIES, 1

    def __init__(self, work: Callable[[Task], Row]) -> None:
        self.asked, self._work = list[str](), work

    def submit(self, task: Task) -> Future[Row]:
        self.asked.append(" ".join(filter(None, (task.inputs.folder.name, task.setting))))
        future = Future[Row]()
        try:
            future.set_result(self._work(task))
        except BrokenProcessPool as died:
            future.set_exception(died)
        return future

    def close(self) -> None:
        """Nothing is left."""


def here(monkeypatch: pytest.MonkeyPatch, work: Callable[[Task], Row] = answered) -> Here:
    """The crew of all sweeps from now on."""
    crew = Here(work)
    monkeypatch.setattr(sweeping, "_crew", lambda scheduler, processes, _: crew)
    return crew


def swept(trailer: Folders, out: Path, sets: Sequence[str] = (), *more: Path | str, **options: Any) -> library.Many:
    """The trailer, and more cases."""
    return library.sweep_many([trailer.case, *more], sets, out=out, catalogue=[trailer.catalogue], **options)


def worked(monkeypatch: pytest.MonkeyPatch, work: Work) -> None:
    """What the processes or the cluster do from now on, instead of solving."""
    crew = sweeping._crew
    monkeypatch.setattr(sweeping, "_crew", lambda scheduler, processes, _: crew(scheduler, processes, work))
