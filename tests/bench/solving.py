"""One solve with all that is measured of it. Runs in a process of its own."""

import time
from dataclasses import dataclass, replace

from optimiser.auditing import audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.solve import Halt, Impossible, Outcome, Progress, Solved, Stop, Want, optimise
from tests.bench.apart import Died, apart
from tests.bench.subjects import Subject

STATES = ("proven", "best found", "impossible", "undecided", "crash")


@dataclass(frozen=True)
class Row:
    """What came of one subject and one want. Nothing written means there is no such figure.

    ``first_s`` is until a build was found, laid out and audited, had the solve been stopped there.
    ``open_pct`` is the share of the best that is not proven.
    """

    group: str
    subject: str
    want: Want
    repeat: int
    state: str
    seconds: float | None = None
    cpu_s: float | None = None
    first_s: float | None = None
    peak_mb: float | None = None
    rounds: int | None = None
    cost_cents: int | None = None
    mass_g: int | None = None
    open_pct: float | None = None
    breaches: int = 0
    why: str = ""


def measured(subject: Subject, want: Want, repeat: int, stop: Stop, *, first: bool = True) -> Row:
    """Solve it in a process of its own, and where there is a build, in another until the first."""
    run = apart(_solved, subject, want, repeat, stop, seconds=stop.seconds)
    if isinstance(run, Died):
        return Row(subject.group, subject.name, want, repeat, "crash", why=run.why)
    row = replace(run.value, cpu_s=run.cpu_s, peak_mb=run.peak_mb)
    if not first or row.cost_cents is None:
        return row
    early = apart(_first_s, subject, want, stop, seconds=stop.seconds)
    if isinstance(early, Died):
        return replace(row, state="crash", why=f"on the way to the first build: {early.why}")
    return replace(row, first_s=early.value)


def _solved(subject: Subject, want: Want, repeat: int, stop: Stop) -> Row:
    return solved(subject, want, repeat, stop, *subject.read())


def solved(subject: Subject, want: Want, repeat: int, stop: Stop, case: Case, catalogue: Catalogue) -> Row:
    """Solve and audit a case in this process, and say what came of it under the name of the subject."""
    started = time.monotonic()
    outcome = optimise(case, catalogue, want, stop=stop)
    row = Row(subject.group, subject.name, want, repeat, "impossible", time.monotonic() - started)
    if isinstance(outcome, Impossible):
        return row
    if isinstance(outcome, Solved):
        row = replace(row, state="proven", rounds=outcome.rounds, open_pct=0.0)
    else:
        gap = outcome.gap(want)
        state = "undecided" if outcome.build is None else "best found"
        row = replace(row, state=state, open_pct=None if gap is None else 100 * gap, why=outcome.why)
    return replace(
        row,
        cost_cents=outcome.cost_cents,
        mass_g=outcome.mass_g,
        breaches=_breaches(case, catalogue, outcome),
    )


def _first_s(subject: Subject, want: Want, stop: Stop) -> float | None:
    """Seconds until a build is found and audited by who ends the search as soon as there is one."""
    case, catalogue = subject.read()
    halt = Halt()

    def ended(progress: Progress) -> None:
        if progress.best is not None:
            halt.ask()

    started = time.monotonic()
    outcome = optimise(case, catalogue, want, stop=stop, watch=ended, halt=halt)
    if isinstance(outcome, Impossible) or outcome.build is None or _breaches(case, catalogue, outcome):
        return None  # what was found could not be laid out, or does not hold
    return time.monotonic() - started


def _breaches(case: Case, catalogue: Catalogue, outcome: Outcome) -> int:
    if isinstance(outcome, Impossible) or outcome.build is None:
        return 0
    return len(breaches(audit(case, catalogue, outcome.build)))
