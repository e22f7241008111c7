"""Pictures of what was measured."""

from collections.abc import Sequence
from pathlib import Path
from statistics import median

from matplotlib.figure import Figure

from tests.bench.growth import Grown
from tests.bench.solving import Row
from tests.bench.table import TARGET_S


def seconds(rows: Sequence[Row], file: Path, *, title: str) -> None:
    """Of each group, which share of its subjects is settled within how many seconds; with the targets."""
    wants = list(dict.fromkeys(row.want for row in rows))
    figure = Figure(figsize=(6 * len(wants), 4), layout="constrained")
    for want, axes in zip(wants, figure.subplots(1, len(wants), squeeze=False)[0], strict=True):
        for group in dict.fromkeys(row.group for row in rows):
            settled = sorted(_seconds([row for row in rows if (row.group, row.want) == (group, want)]))
            share = [100 * (k + 1) / len(settled) for k in range(len(settled))]
            axes.step(settled, share, where="post", marker=".", label=f"{group} ({len(settled)})")
        for name, share_pct in (("median_s", 50), ("p95_s", 95), ("worst_s", 100)):
            axes.plot(TARGET_S[name], share_pct, marker="x", color="black", linestyle="none")
        axes.set(xscale="log", xlabel="seconds", ylabel="% of subjects", ylim=(0, 104), title=want)
        axes.grid(visible=True, alpha=0.3)
        axes.legend(title="x: what it is held to", fontsize="small")
    figure.suptitle(title, fontsize="small")
    figure.savefig(file)


def _seconds(rows: Sequence[Row]) -> list[float]:
    """The median of each subject over its repeats."""
    names = dict.fromkeys(row.subject for row in rows)
    return [median(row.seconds or 0.0 for row in rows if row.subject == name) for name in names]


def growth(rows: Sequence[Grown], file: Path, *, title: str) -> None:
    """Seconds above and memory below, over the size of each axis; what is not settled in time is hollow."""
    axes_of = list(dict.fromkeys(row.axis for row in rows))
    figure = Figure(figsize=(4 * len(axes_of), 6), layout="constrained")
    for column, axis in zip(figure.subplots(2, len(axes_of), squeeze=False).T, axes_of, strict=True):
        for want in dict.fromkeys(row.want for row in rows):
            ours = [row for row in rows if (row.axis, row.want) == (axis, want)]
            sizes = [row.size for row in ours]
            (line,) = column[0].plot(sizes, [row.seconds or 0.0 for row in ours], label=want)
            for row in ours:
                face = line.get_color() if row.state in ("proven", "impossible") else "white"
                column[0].plot(row.size, row.seconds or 0.0, "o", color=line.get_color(), markerfacecolor=face)
            column[1].plot(sizes, [row.peak_mb or 0.0 for row in ours], marker=".")
        column[0].set(title=axis, ylabel="seconds", yscale="log")
        column[1].set(xlabel=axis, ylabel="MB at most", ylim=(0, None))
        column[0].legend(title="hollow: not proven", fontsize="small")
    figure.suptitle(title, fontsize="small")
    figure.savefig(file)
