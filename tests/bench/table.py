"""Seconds and states of every subject, and what they come to a group."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import ceil
from statistics import median

from optimiser.solve import Stop, Want
from tests.bench.solving import STATES, Row, measured
from tests.bench.subjects import Subject

TARGET_S = {"median_s": 3.0, "p95_s": 15.0, "worst_s": 25.0, "first_worst_s": 2.0}
"""What the table is held to, with nothing undecided."""


@dataclass(frozen=True)
class Summary:
    """A group and a want: how many subjects came to what, seconds over them, and which targets are missed.

    Of a subject solved several times the median counts, and the worst state.
    """

    group: str
    want: str
    subjects: int
    proven: int
    best_found: int
    impossible: int
    undecided: int
    crash: int
    breaches: int
    median_s: float
    p95_s: float
    worst_s: float
    first_median_s: float | None
    first_worst_s: float | None
    peak_mb: float
    missed: str


def rows(chosen: Sequence[Subject], wants: Sequence[Want], repeats: int, stop: Stop) -> Iterator[Row]:
    """Every subject for every want, once through before any is repeated: what else the machine does hits all alike."""
    for repeat, subject, want in product(range(1, repeats + 1), chosen, wants):
        yield measured(subject, want, repeat, stop)


def summaries(found: Iterable[Row]) -> list[Summary]:
    """Of each group, and of all together, for each want."""
    all_rows = list(found)
    groups = list(dict.fromkeys(row.group for row in all_rows))
    wants = dict.fromkeys(row.want for row in all_rows)
    return [
        _summary(group, want, [r for r in all_rows if r.want == want and group in (r.group, "all")])
        for group in [*groups, *(["all"] if len(groups) > 1 else [])]
        for want in wants
    ]


def _summary(group: str, want: str, ours: Sequence[Row]) -> Summary:
    by_subject = {name: [row for row in ours if row.subject == name] for name in dict.fromkeys(r.subject for r in ours)}
    states = [worst_state(rows) for rows in by_subject.values()]
    seconds = sorted(_median(row.seconds for row in rows) or 0.0 for rows in by_subject.values())
    firsts = [s for rows in by_subject.values() if (s := _median(row.first_s for row in rows)) is not None]
    figures = {
        "median_s": median(seconds),
        "p95_s": seconds[ceil(0.95 * len(seconds)) - 1],  # nearest rank
        "worst_s": seconds[-1],
        "first_worst_s": max(firsts, default=None),
    }
    counts = {state: states.count(state) for state in STATES}
    missed = [name for name, most in TARGET_S.items() if (figures[name] or 0.0) > most]
    missed += [state for state in ("best found", "undecided", "crash") if counts[state]]
    return Summary(
        group=group,
        want=want,
        subjects=len(by_subject),
        proven=counts["proven"],
        best_found=counts["best found"],
        impossible=counts["impossible"],
        undecided=counts["undecided"],
        crash=counts["crash"],
        breaches=sum(row.breaches for row in ours),
        median_s=median(seconds),
        p95_s=figures["p95_s"] or 0.0,
        worst_s=seconds[-1],
        first_median_s=median(firsts) if firsts else None,
        first_worst_s=figures["first_worst_s"],
        peak_mb=max((row.peak_mb or 0.0 for row in ours), default=0.0),
        missed=" ".join(name.replace(" ", "_") for name in missed) or "none",
    )


def worst_state(rows: Iterable[Row]) -> str:
    """Of several repeats: what is not decided before what is."""
    order = ("crash", "undecided", "best found", "impossible", "proven")
    return min((row.state for row in rows), key=order.index)


def _median(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return median(known) if known else None


def log_line(summary: Summary, *, day: str, repeats: int, seconds: float) -> str:
    """A summary as an entry of the dated log of measurements."""
    how = "one run each" if repeats == 1 else f"medians of {repeats}"
    first = (
        ""
        if summary.first_worst_s is None
        else (f"; first audited build median {summary.first_median_s:.1f} s, worst {summary.first_worst_s:.1f} s")
    )
    return (
        f"- {day}, {summary.group}, {summary.want}, {how}: {summary.proven} proven, {summary.impossible} impossible, "
        f"{summary.best_found + summary.undecided} not decided in {seconds:g} s, {summary.breaches} breaches; "
        f"median {summary.median_s:.1f} s, 95th percentile {summary.p95_s:.1f} s, worst {summary.worst_s:.1f} s"
        f"{first}; at most {summary.peak_mb:.0f} MB"
    )
