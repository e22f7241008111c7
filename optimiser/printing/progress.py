"""How far the search is, on stderr: one line that lives on a terminal, a line now and then elsewhere."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field

from rich.console import Console
from rich.live import Live
from rich.text import Text

from optimiser.measures import MEASURES, Measure
from optimiser.pipeline import Inputs
from optimiser.pipeline.many.rows import Row
from optimiser.pipeline.many.sweeping import Tally
from optimiser.printing.many import CHANGED, LOUD, row_name, tally_words
from optimiser.printing.wording import percent
from optimiser.solve import WANTS, Progress
from optimiser.texts import plain

_MEASURES: dict[str, Measure] = {want: measures[0] for want, measures in WANTS.items()}
_LIVE_A_SECOND = 4
_PLAIN_EVERY_S = 5.0


@dataclass(kw_only=True)
class _Line:
    """What both lines have: where they go, and lines that stay above them."""

    quiet: bool = False  # tell nothing
    console: Console | None = None  # of the live line, if it is one
    told: float = float("-inf")

    def say(self, line: str) -> None:
        """A line that stays, above the live one."""
        if self.quiet:
            return
        if self.console is None:
            print(plain(line), file=sys.stderr, flush=True)
        else:
            self.console.print(plain(line), soft_wrap=True)


@dataclass
class ProgressLine(_Line):
    """The latest progress in words; a live line counts its seconds on between reports."""

    label: str
    measure: Measure
    currency: str
    limit_s: float
    latest: Progress | None = field(default_factory=lambda: Progress(None, 0, 0.0))
    started: float = field(default_factory=time.monotonic)

    def begin(self, label: str) -> None:
        """The next solve."""
        self.label, self.latest, self.started = label, Progress(None, 0, 0.0), time.monotonic()

    def watch(self, progress: Progress) -> None:
        """Take what the solver reports."""
        self.latest = progress
        self._now_and_then()

    def _now_and_then(self) -> None:
        now = time.monotonic()
        if self.console is None and not self.quiet and now - self.told >= _PLAIN_EVERY_S:
            self.told = now
            print(self.text(), file=sys.stderr, flush=True)

    def turn(self, label: str) -> None:
        """What it is at now, where there is no best and no bound to tell."""
        self.label, self.latest = label, None
        self.measure = _MEASURES.get(label, self.measure)
        self._now_and_then()

    def count_on(self, line: str) -> None:
        """What came of the latest of several alike, and the next of them."""
        self.say(f"{self.label}: {line}")
        name, _, number = self.label.rpartition(" ")
        self.begin(f"{name} {int(number) + 1}")

    def text(self) -> str:
        """All of it, in one line."""
        # The limit is the solver's; making the model takes time before it starts.
        seconds = f"{time.monotonic() - self.started:.0f} s, solver limit {self.limit_s:.0f} s"
        if self.latest is None:
            return f"{self.label}, {seconds}"
        scale = MEASURES[self.measure]
        best = "none yet" if self.latest.best is None else scale.shown(scale.figure(self.latest.best), self.currency)
        bound = scale.shown(scale.figure(self.latest.bound), self.currency)
        gap = "" if self.latest.gap is None else f"gap {percent(self.latest.gap)}, "
        return f"{self.label}: best {best}, bound {bound}, {gap}{seconds}"

    def live(self) -> Text:
        """The same for a terminal, cut at its edge."""
        return Text(self.text(), no_wrap=True, overflow="ellipsis")


@dataclass
class TallyLine(_Line):
    """The rows of a sweep that are done, and what cannot be used or failed as it comes."""

    tally: Tally | None = None

    def begin(self, tally: Tally, anew: Mapping[str, int]) -> None:
        """What is there before anything is solved."""
        self.tally = tally
        if tally.taken_over:
            self.say(f"{tally.taken_over} of {tally.asked} rows are there already and are taken over")
        for what, count in anew.items():
            self.say(f"{count} solved anew: {CHANGED[what]}")

    def tell(self, tally: Tally, row: Row) -> None:
        """A row that is done."""
        if row.status in LOUD:
            self.say(f"{row_name(row)}: {row.status}: {row.why}")
        now = time.monotonic()
        if self.console is None and now - self.told >= _PLAIN_EVERY_S:
            self.told = now
            self.say(self.text())

    def text(self) -> str:
        """All of it, in one line."""
        return "" if self.tally is None else f"{tally_words(self.tally)}, {time.monotonic() - self.tally.started:.0f} s"

    def live(self) -> Text:
        """The same for a terminal, cut at its edge."""
        return Text(self.text(), no_wrap=True, overflow="ellipsis")


def progress_of(
    inputs: Inputs, label: str, limit_s: float, quiet: bool, measure: Measure = "cost"
) -> AbstractContextManager[ProgressLine]:
    """A line for a search of a case: of a want by its name, or of another measure."""
    currency = inputs.case.brief.currency
    return progress_line(label, _MEASURES.get(label, measure), currency=currency, limit_s=limit_s, quiet=quiet)


@contextmanager
def progress_line(
    label: str, measure: Measure, *, currency: str, limit_s: float, quiet: bool = False
) -> Iterator[ProgressLine]:
    """A watcher for the solver that tells how far it is, unless it is ``quiet``."""
    line = ProgressLine(label, measure, currency, limit_s, quiet=quiet)
    console = Console(stderr=True, markup=False, highlight=False)
    if quiet or not console.is_terminal:
        yield line
        return
    line.console = console
    with living(console, line.live):
        yield line


def living(console: Console, text: Callable[[], Text]) -> Live:
    """One line at the foot of a terminal, kept up to date."""
    return Live(
        get_renderable=text, console=console, refresh_per_second=_LIVE_A_SECOND, transient=True,
        redirect_stdout=False, redirect_stderr=False,
    )  # fmt: skip


@contextmanager
def tally_line(quiet: bool) -> Iterator[TallyLine]:
    """A line that tells how far a sweep over many vehicles is, unless it is ``quiet``."""
    line, console = TallyLine(quiet=quiet), Console(stderr=True, markup=False, highlight=False)
    if quiet or not console.is_terminal:
        yield line
        return
    line.console = console
    with living(console, line.live):
        yield line
