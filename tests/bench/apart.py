"""A function in a process of its own: what it gives, what it took, and what it died of."""

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Generic, TypeVar

T = TypeVar("T")
GRACE_S = 600.0  # past its own limit: however busy the machine, what is still silent then hangs


@dataclass(frozen=True)
class Run(Generic[T]):
    """What a function gave, its CPU seconds over all threads, and the most memory its process ever held [MB]."""

    value: T
    cpu_s: float
    peak_mb: float


@dataclass(frozen=True)
class Died:
    """Why there is no answer; ``late``: none in time."""

    why: str
    late: bool = False


def apart(function: Callable[..., T], *args: Any, seconds: float, grace_s: float = GRACE_S) -> Run[T] | Died:
    """Call it in a fresh process, so that none profits from what another has worked out.

    Parameters
    ----------
    function, args : of a module, and what can be pickled.
    seconds, grace_s : its own limit, and how long after it what is still running is ended.
    """
    context = get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_call, args=(theirs, function, args))
    process.start()
    theirs.close()
    try:
        if not ours.poll(seconds + grace_s):
            return Died(f"no answer after {seconds + grace_s:g} s", late=True)
        found: Run[T] | Died = ours.recv()
        return found
    except EOFError:
        process.join()
        return Died(f"the process ended with {process.exitcode}")
    finally:
        process.kill()
        process.join()


def _call(pipe: Connection, function: Callable[..., Any], args: tuple[Any, ...]) -> None:
    before_s = time.process_time()
    try:
        value = function(*args)
        pipe.send(Run(value, time.process_time() - before_s, peak_mb()))
    except Exception as error:  # a fault of the program, which the table is there to show
        pipe.send(Died(f"{type(error).__name__}: {error}"))


def peak_mb() -> float:
    """The most memory this process ever held [MB]; 0 where the system does not say.

    From the kernel's own account: what `getrusage` says begins at what the parent held.
    """
    status = Path(f"/proc/{os.getpid()}/status")
    lines = status.read_text(encoding="ascii").splitlines() if status.exists() else []
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM:")), 0.0)
