"""Long work that Ctrl-C ends early, with what was found so far."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from typing import TypeVar

from optimiser.solve import Halt

T = TypeVar("T")
Ended = Callable[[], bool]  # asked now and then whether to end the work as a Ctrl-C does

_LISTEN_EVERY_S = 0.2


def never() -> bool:
    """Nothing but a Ctrl-C ends it."""
    return False


def interruptible(work: Callable[[Halt], T], ended: Ended = never) -> T:
    """The result of the work, from a thread of its own: Python hears a Ctrl-C only in a main thread that is not in
    the solver."""
    halt, interrupted = Halt(), False
    with ThreadPoolExecutor(max_workers=1) as pool:
        task = pool.submit(work, halt)
        while not task.done():
            try:
                wait([task], timeout=_LISTEN_EVERY_S)
            except KeyboardInterrupt:
                interrupted = True
            interrupted = interrupted or ended()
            if interrupted:
                halt.ask()
        return task.result()
