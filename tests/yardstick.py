"""How fast and how surely the random vehicles are solved: ``python -m tests.yardstick --help``.

Each solve has a process of its own, so that none profits from what another has worked out, and a crash
costs one row. Every build is audited, proven or not.
"""

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from math import ceil
from multiprocessing import get_context
from statistics import median
from typing import get_args

from optimiser.auditing import audit, breaches
from optimiser.basis import loads
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.reading import read_catalogue, shipped_catalogue
from optimiser.solve import Impossible, Solved, Stop, Want, optimise
from tests.vehicles import SEEDS, vehicle

STATUSES = ("solved", "impossible", "undecided", "crash")
HEADER = (
    f"{'seed':>4} {'kind':<31} {'bays':>4} {'zones':>5} {'Wh/day':>6} {'want':<8} {'status':<10} "
    f"{'seconds':>7} {'rounds':>6} {'cost':>9} {'kg':>7}  breaches"
)


@dataclass(frozen=True)
class Row:
    """What came of one vehicle and one objective."""

    seed: int
    want: Want
    status: str
    seconds: float
    rounds: int | None = None
    cost_cents: int | None = None
    mass_g: int | None = None
    breaches: tuple[str, ...] = ()  # or what it crashed on
    why: str = ""

    def line(self, case: Case) -> str:
        """The row of the table, and a line for each breach."""
        cost = "-" if self.cost_cents is None else f"{self.cost_cents / 100:.2f}"
        mass = "-" if self.mass_g is None else f"{self.mass_g / 1000:.1f}"
        first = (
            f"{self.seed:>4} {case.brief.title:<31} {len(case.bays):>4} {len(case.zones):>5} {day_wh(case):>6.0f} "
            f"{self.want:<8} {self.status:<10} {self.seconds:>7.1f} {self.rounds or '-':>6} {cost:>9} {mass:>7}  "
            f"{len(self.breaches)}{f'  ({self.why})' if self.why else ''}"
        )
        return "\n".join([first, *(f"     ! {breach}" for breach in self.breaches)])


def day_wh(case: Case) -> float:
    """The most that 12 V panel and inverter sockets draw in a day of any scenario [Wh]."""
    days = (loads.hourly(case, s.model_copy(update={"start_h": 0, "hours": 24})) for s in case.scenarios)
    return max(float(day.dc_w.sum() + day.inverter_w.sum()) for day in days)


def solved(seed: int, want: Want, stop: Stop) -> Row:
    """Solve one vehicle and audit what comes out."""
    catalogue = read_catalogue(shipped_catalogue())
    case = vehicle(seed, catalogue)
    outcome = optimise(case, catalogue, want, stop=stop)
    if isinstance(outcome, Impossible):
        return Row(seed, want, "impossible", outcome.seconds)
    status, rounds, why = "solved", None, ""
    if isinstance(outcome, Solved):
        rounds = outcome.rounds
    else:
        gap = outcome.gap(want)
        status, why = "undecided", outcome.why if gap is None else f"gap {gap:.1%}"
    found: tuple[str, ...] = ()
    if outcome.build is not None:
        found = tuple(f"{f.requirement}: {f.sentence}" for f in breaches(audit(case, catalogue, outcome.build)))
    return Row(seed, want, status, outcome.seconds, rounds, outcome.cost_cents, outcome.mass_g, found, why)


def apart(seed: int, want: Want, stop: Stop) -> Row:
    """The same in a process of its own; whatever it dies of becomes the row."""
    started = time.monotonic()
    try:
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
            return pool.submit(solved, seed, want, stop).result()
    except Exception as error:  # a fault of the program, which the table is there to show
        message = f"{type(error).__name__}: {error}"
        return Row(seed, want, "crash", time.monotonic() - started, breaches=(message,))


def summary(rows: Sequence[Row], want: Want) -> str:
    """Counts and seconds of one objective."""
    ours = [row for row in rows if row.want == want]
    counts = ", ".join(f"{sum(row.status == status for row in ours)} {status}" for status in STATUSES)
    seconds = sorted(row.seconds for row in ours)
    high = seconds[ceil(0.95 * len(seconds)) - 1]  # nearest rank
    faulty = sum(bool(row.breaches) for row in ours)
    return (
        f"{want}: {counts}; {faulty} with breaches or crashed; "
        f"seconds: median {median(seconds):.1f}, 95th percentile {high:.1f}, worst {seconds[-1]:.1f}"
    )


def measure(
    catalogue: Catalogue, seeds: Sequence[int], wants: Sequence[Want], stop: Stop, say: Callable[[str], None]
) -> list[Row]:
    """All rows, each said as it comes."""
    rows = []
    say(HEADER)
    for seed in seeds:
        case = vehicle(seed, catalogue)
        for want in wants:
            rows.append(apart(seed, want, stop))
            say(rows[-1].line(case))
    for want in wants:
        say(summary(rows, want))
    return rows


def seeds_of(text: str) -> list[int]:
    """``1-4,9`` as 1, 2, 3, 4, 9."""
    found: list[int] = []
    for part in text.split(","):
        first, _, last = part.partition("-")
        found += range(int(first), int(last or first) + 1)
    if not found:
        raise ValueError(f"{text}: no seeds")
    return found


def main() -> int:
    """1 if any build has a breach or any solve crashed."""
    parser = argparse.ArgumentParser(prog="python -m tests.yardstick", description="Solve the random vehicles.")
    parser.add_argument("--want", nargs="+", choices=get_args(Want), default=list(get_args(Want)))
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seeds", type=seeds_of, default=list(SEEDS), help="such as 1-30 or 2,5,9")
    given = parser.parse_args()
    stop = Stop(seconds=given.seconds, workers=given.workers)
    catalogue = read_catalogue(shipped_catalogue())
    rows = measure(catalogue, given.seeds, given.want, stop, lambda line: print(line, flush=True))
    return 1 if any(row.breaches for row in rows) else 0


if __name__ == "__main__":
    sys.exit(main())
