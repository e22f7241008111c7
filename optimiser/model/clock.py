"""The end of a solve as those see it who make its model and lay out its roof: they look, and stop there.

Held for the thread rather than handed down, since what is packed once is remembered by what it was asked, and the time
left is no part of that. What was cut short is not remembered either: looking raises.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from math import inf


class OutOfTime(Exception):
    """The end came while a model was made or a roof laid out. Nothing is known of the case by that."""


@dataclass(frozen=True)
class End:
    """``at`` of `time.monotonic` [s]; or whenever ``asked`` says so."""

    at: float = inf
    asked: Callable[[], bool] = lambda: False


_NEVER = End()
_END = ContextVar("end", default=_NEVER)


@contextmanager
def ending(end: End) -> Iterator[None]:
    """Work within has that end."""
    token = _END.set(end)
    try:
        yield
    finally:
        _END.reset(token)


def left_s() -> float:
    """Seconds to the end, 0 when it has come."""
    end = _END.get()
    return 0.0 if end.asked() else max(0.0, end.at - time.monotonic())


def look() -> None:
    """Go on if there is time.

    Raises
    ------
    OutOfTime
        If there is none.
    """
    if left_s() <= 0:
        raise OutOfTime
