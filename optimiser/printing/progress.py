"""How far the search is, on stderr: one line that lives on a terminal, a line now and then elsewhere."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from rich.console import Console
from rich.live import Live
from rich.text import Text

from optimiser.printing.wording import amount, percent
from optimiser.solve import Progress, Want, Watch

_LIVE_A_SECOND = 4
_PLAIN_EVERY_S = 5.0


@dataclass
class _Line:
    """The latest progress in words; a live line counts its seconds on between reports."""

    want: Want
    currency: str
    limit_s: float
    latest: Progress = field(default_factory=lambda: Progress(None, 0, 0.0))
    started: float = field(default_factory=time.monotonic)
    told: float = float("-inf")

    def text(self) -> str:
        best, bound = (amount(value, self.want, self.currency) for value in (self.latest.best, self.latest.bound))
        gap = "" if self.latest.gap is None else f"gap {percent(self.latest.gap)}, "
        seconds = time.monotonic() - self.started
        return f"{self.want}: best {best}, bound {bound}, {gap}{seconds:.0f} of {self.limit_s:.0f} s"

    def live(self) -> Text:
        return Text(self.text(), no_wrap=True, overflow="ellipsis")

    def take(self, progress: Progress) -> None:
        self.latest = progress

    def tell(self, progress: Progress) -> None:
        self.latest = progress
        now = time.monotonic()
        if now - self.told >= _PLAIN_EVERY_S:
            self.told = now
            print(self.text(), file=sys.stderr, flush=True)


@contextmanager
def progress_line(want: Want, *, currency: str, limit_s: float) -> Iterator[Watch]:
    """A watcher for the solver that tells how far it is."""
    line = _Line(want, currency, limit_s)
    console = Console(stderr=True, markup=False, highlight=False)
    if not console.is_terminal:
        yield line.tell
        return
    with Live(
        get_renderable=line.live, console=console, refresh_per_second=_LIVE_A_SECOND, transient=True,
        redirect_stdout=False, redirect_stderr=False,
    ):  # fmt: skip
        yield line.take
