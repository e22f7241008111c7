"""Seconds of `explain`, until the first bounds and to the end, and how many names and prices it leaves open."""

import time
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path

from optimiser.explaining import Begun, News
from optimiser.pipeline.explaining import Explanation, explain
from optimiser.pipeline.inputs import Inputs
from optimiser.solve import Stop, Want
from tests.bench.apart import Died, apart
from tests.bench.subjects import Subject

BY_PERCENT = 1.0  # as of the command


@dataclass(frozen=True)
class Explained:
    """What came of one subject and one want. ``first_s`` is after its best build is known; nothing written means none.

    ``open_names`` may decide or not, ``open_prices`` lie between two bounds; ``to_the_end``: so were sets that decide
    only together looked for.
    """

    group: str
    subject: str
    want: Want
    verdict: str
    seconds: float | None = None
    cpu_s: float | None = None
    first_s: float | None = None
    questions: int = 0
    deciders: int | None = None
    exact: int | None = None
    open_names: int | None = None
    prices: int | None = None
    open_prices: int | None = None
    to_the_end: bool | None = None
    why: str = ""


def rows(chosen: Sequence[Subject], wants: Sequence[Want], stop: Stop) -> Iterator[Explained]:
    """Every subject for every want; each in a process of its own, with nothing kept from another run."""
    for subject, want in product(chosen, wants):
        run = apart(_explained, subject, want, stop, seconds=stop.seconds)
        if isinstance(run, Died):
            yield Explained(subject.group, subject.name, want, "crash", why=run.why)
        else:
            yield replace(run.value, cpu_s=run.cpu_s)


def _explained(subject: Subject, want: Want, stop: Stop) -> Explained:
    inputs = Inputs(Path(subject.name), *subject.read())
    began_s, asked = list[float](), list[str]()
    started = time.monotonic()

    def heard(news: News) -> None:
        if isinstance(news, Begun):
            began_s.append(time.monotonic() - started)

    found = explain(inputs, (want,), BY_PERCENT, stop, lambda _: None, asked.append, heard=heard)
    questions = sum(words != want for words in asked)
    row = Explained(subject.group, subject.name, want, found.verdict, found.seconds, questions=questions)
    return _counted(row, found, next(iter(began_s), None))


def _counted(row: Explained, found: Explanation, began_s: float | None) -> Explained:
    if found.undecided:
        return replace(row, why=found.undecided[0][1])
    if not found.deciding:
        return row
    [ours] = found.deciding
    return replace(
        row,
        first_s=None if began_s is None else began_s - ours.best.seconds,
        deciders=len(ours.deciders),
        exact=sum(decider.exact for decider in ours.deciders),
        open_names=len(ours.doubtful),
        prices=len(ours.prices),
        open_prices=sum(price.outcome == "undecided" for price in ours.prices),
        to_the_end=ours.looked_through,
    )


def log_lines(found: Iterable[Explained], *, day: str, seconds: float) -> list[str]:
    """A line for each as an entry of the dated log of measurements."""
    return [_line(row, day, seconds) for row in found]


def _line(row: Explained, day: str, seconds: float) -> str:
    head = f"- {day}, `explain` of {row.subject}, {row.want}, limit {seconds:g} s: {row.verdict}"
    if row.seconds is None:
        return f"{head}, {row.why}"
    first = "" if row.first_s is None else f", bounds of all limits {row.first_s:.1f} s after its best build"
    told = (
        ""
        if row.deciders is None
        else f"; {row.deciders} decide, {row.exact} of them exactly so much, {row.open_names} undecided; of "
        f"{row.prices} steps {row.open_prices} undecided; sets {'to' if row.to_the_end else 'not to'} the end"
    )
    return f"{head} after {row.seconds:.1f} s{first}, {row.questions} questions{told}"
