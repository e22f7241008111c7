"""``python -m tests.bench``: measure, write CSV and pictures, and say lines for the log of measurements."""

import argparse
import os
import sys
from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from typing import TypeVar, get_args

from optimiser.solve import Stop, Want
from tests.bench import exhaustive, picture, questions, side, table
from tests.bench import growth as grow
from tests.bench import ideas as without
from tests.bench import roof as packings
from tests.bench.rows import cells, columns, kept
from tests.bench.solving import Row
from tests.bench.subjects import GROUPS, HELD, subjects

T = TypeVar("T")
Given = argparse.Namespace


def shown(given: Given, kind: type[T], name: str, rows: Iterable[T]) -> list[T]:
    """All rows, each in ``name.csv`` and on the screen as it comes."""
    file = given.out / f"{name}.csv"
    print(f"# {file}: {', '.join(columns(kind))}", flush=True)
    found = []
    for row in kept(kind, rows, file):
        found.append(row)
        print("  ".join(cell or "-" for cell in cells(row)), flush=True)
    return found


def vehicles(given: Given) -> int:
    """cases and random vehicles: seconds, states, breaches, memory, against what they are held to"""
    rows = table.rows(subjects(given.subjects), given.want, given.repeats, stop(given))
    found = shown(given, Row, "vehicles", rows)
    sums = shown(given, table.Summary, "vehicles-summary", table.summaries(found))
    picture.seconds(found, given.out / "vehicles.svg", title=conditions())
    for summary in sums:
        print(table.log_line(summary, day=today(), repeats=given.repeats, seconds=given.seconds))
    return sum(row.state == "crash" or row.breaches > 0 for row in found)


def highs(given: Given) -> int:
    """the model in HiGHS as a mixed-integer programme, beside the product's own search; do they agree?"""
    rows = side.rows(subjects(given.subjects), given.want, stop(given))
    found = shown(given, side.Side, "highs", rows)
    for line in side.log_lines(found, day=today(), seconds=given.seconds):
        print(line)
    return sum(row.agree == "no" or "crash" in (row.cp_sat, row.highs) for row in found)


def twins(given: Given) -> int:
    """tiny worlds by going through every build, by the solver, by HiGHS, up to where the first ends"""
    found = shown(given, exhaustive.Three, "twins", exhaustive.rows(given.worlds, given.want, stop(given)))
    for line in exhaustive.log_lines(found, day=today(), seconds=given.seconds):
        print(line)
    return sum(row.agree == "no" or "crash" in (row.every_build, row.solver, row.highs) for row in found)


def growth(given: Given) -> int:
    """seconds and memory over the number of zones, of bays and times the catalogue"""
    (base,) = subjects([given.base])
    rows = grow.rows(given.axes, given.size, base, given.want, stop(given))
    found = shown(given, grow.Grown, "growth", rows)
    picture.growth(found, given.out / "growth.svg", title=f"{base.name}; {conditions()}")
    for line in grow.log_lines(found, day=today()):
        print(line)
    return sum(row.state == "crash" or row.breaches > 0 for row in found)


def roof(given: Given) -> int:
    """published packings: pallets, and knapsacks lying one way and turned; how many are proven"""
    for line in packings.missing():
        print(f"# skipped: {line}")
    chosen = [i for i in packings.instances() if not given.packings or i.name in given.packings]
    found = shown(given, packings.Packed, "roof", packings.rows(chosen, given.seconds))
    for line in packings.log_lines(found, day=today(), seconds=given.seconds):
        print(line)
    return sum(row.state in ("wrong", "crash") for row in found)


def ideas(given: Given) -> int:
    """each structural idea switched off in turn, beside the solver as it is"""
    rows = without.rows(given.ideas, subjects(given.subjects), given.want, stop(given))
    found = shown(given, without.Without, "ideas", rows)
    for line in without.log_lines(found, day=today(), seconds=given.seconds):
        print(line)
    return sum(row.state == "crash" or row.same == "no" for row in found)


def explain(given: Given) -> int:
    """shipped cases explained, or what is named: seconds until bounds and to the end, what is left undecided"""
    chosen = subjects(["shipped"] if given.subjects == list(HELD) else given.subjects)  # all of them take a day
    found = shown(given, questions.Explained, "explain", questions.rows(chosen, given.want, stop(given)))
    for line in questions.log_lines(found, day=today(), seconds=given.seconds):
        print(line)
    return sum(row.verdict in ("crash", "breach") for row in found)


_PARTS = (vehicles, explain, growth, highs, twins, ideas, roof)
PARTS: dict[str, Callable[[Given], int]] = {part.__name__: part for part in _PARTS}
"""Each gives the number of rows that show a fault of the program."""


def stop(given: Given) -> Stop:
    """The limits of each solve."""
    return Stop(seconds=given.seconds, seed=given.seed, workers=given.workers)


def today() -> str:
    """The date of the log."""
    return f"{datetime.now(UTC):%Y-%m-%d}"


def conditions() -> str:
    """What a figure is worth nothing without: release, cores, what else the machine was doing."""
    load = os.getloadavg()[0]
    return f"{today()}, OR-Tools {version('ortools')}, {os.cpu_count()} cores, load {load:.1f} as it began"


def parser() -> argparse.ArgumentParser:
    """The options, the same for all parts; each reads what concerns it."""
    parts = "\n".join(f"  {name:<10} {part.__doc__}" for name, part in PARTS.items())
    made = argparse.ArgumentParser(
        prog="python -m tests.bench",
        description=f"Measure the solver. Parts:\n{parts}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    made.add_argument("parts", nargs="*", metavar="PART", help="all if none is named")
    made.add_argument("--subjects", nargs="+", default=list(HELD), metavar="SUBJECT",
                      help=f"groups ({', '.join(GROUPS)}), names of cases, seeds such as 1-4")  # fmt: skip
    made.add_argument("--worlds", nargs="+", choices=list(exhaustive.WORLDS), default=list(exhaustive.WORLDS),
                      metavar="WORLD", help=f"of twins: {', '.join(exhaustive.WORLDS)}")  # fmt: skip
    made.add_argument("--base", default=grow.BASE, metavar="SUBJECT", help="of growth")
    made.add_argument("--axes", nargs="+", choices=list(grow.SIZES), default=list(grow.SIZES), help="of growth")
    made.add_argument("--size", type=int, default=12, help="of growth, at most")
    named = [*without.IDEAS, without.KIND_BY_KIND]
    made.add_argument("--ideas", nargs="+", choices=named, default=named, metavar="IDEA", help="; ".join(named))
    made.add_argument("--packings", nargs="+", metavar="NAME", help="of roof, such as L9 gcut3; all if none is named")
    made.add_argument("--want", nargs="+", choices=get_args(Want), default=list(get_args(Want)))
    made.add_argument("--seconds", type=float, default=60, help="limit of each solve")
    made.add_argument("--repeats", type=int, default=1, help="of which medians are taken")
    made.add_argument("--workers", type=int, default=2)
    made.add_argument("--seed", type=int, default=1)
    made.add_argument("--out", type=Path, default=Path("build/bench"), metavar="DIR", help="for CSV files and pictures")
    return made


def main(args: list[str] | None = None) -> int:
    """1 if any row shows a fault of the program: a crash, a breach, two answers that do not agree."""
    made = parser()
    given = made.parse_args(args)
    unknown = [name for name in given.parts if name not in PARTS]
    if unknown:
        made.error(f"no part {', '.join(unknown)}; expected {', '.join(PARTS)}")
    try:
        subjects(given.subjects)
    except ValueError as error:
        made.error(str(error))
    given.out.mkdir(parents=True, exist_ok=True)
    print(f"# {conditions()}", flush=True)
    faults = [PARTS[name](given) for name in given.parts or PARTS]
    return int(any(faults))


if __name__ == "__main__":
    sys.exit(main())
