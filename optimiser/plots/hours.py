"""The bank through a scenario: state of charge above, power in against loads below."""

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Patch, StepPatch
from numpy.typing import NDArray

from optimiser.auditing import Finding
from optimiser.case import Scenario
from optimiser.fitted import Fit, ScenarioTrace
from optimiser.fitted.hours import trace_of
from optimiser.plots import style
from optimiser.plots.style import COLOURS, LINE_MM, QUIET, TEXT_PT, Charted

Floats = NDArray[np.float64]

_LEFT_MM, _WIDE_MM = 14.0, 125.0
_BEYOND_MM = 1.5  # from the axes to what stands right of them
_CHARGE_MM, _POWER_MM, _LEGEND_MM = 46.0, 38.0, 7.0
_FOOT_MM = 13.0  # clock hours, days and what the axis is
_TICKS = 17  # at most
_NEAR_MM, _REACH_MM = 3.0, 60  # how far from its point the lowest point's label looks for room


@dataclass(frozen=True)
class _Held:
    """What the audit found of the scenario."""

    floor: Finding
    returns: Finding | None


def hours(fit: Fit, findings: tuple[Finding, ...]) -> tuple[Charted, ...]:
    """A plot for each scenario, in the case's order."""
    return tuple(_scenario(fit, findings, scenario) for scenario in fit.case.scenarios)


def _scenario(fit: Fit, findings: tuple[Finding, ...], scenario: Scenario) -> Charted:
    found = {f.name: f for f in findings if f.place == scenario.name and f.name.startswith("energy.")}
    held = _Held(found["energy.floor"], found.get("energy.returns"))
    flow = trace_of(fit, scenario)
    title = _title(scenario)
    lines = style.titled(title)
    top = style.head_mm(lines) + 1
    power_top = top + _CHARGE_MM + _LEGEND_MM
    figure = style.page(power_top + _POWER_MM + _FOOT_MM)
    style.head(figure, lines)
    _power(style.axes(figure, _LEFT_MM, power_top, _WIDE_MM, _POWER_MM), flow)
    _charge(style.axes(figure, _LEFT_MM, top, _WIDE_MM, _CHARGE_MM), scenario, flow, held)
    powers = [f"{name}, W" for name in (*flow.given_w, "loads")]
    headers = ("day", "hour from", "state of charge at its end, %", *powers)
    return Charted(f"hours-{scenario.name}", title, figure, _told(scenario, flow, held), headers, _rows(flow))


def _title(scenario: Scenario) -> str:
    light = f"{100 * scenario.clearness:g} % of a clear sky's light"
    air = f"air {scenario.temp_min_c:g} to {scenario.temp_max_c:g} C"
    return f"{scenario.name}: {style.MONTHS[scenario.month - 1]}, {light}, {air}"


# --- what is told --------------------------------------------------------------------------------------


def _told(scenario: Scenario, flow: ScenarioTrace, held: _Held) -> str:
    floor, lowest = held.floor.numbers
    start = f"{scenario.day} {style.MONTHS[scenario.month - 1]} at {scenario.start_h:02d}:00"
    said = [
        f"{scenario.hours} hours from {start}.",
        f"The bank begins at {scenario.start_pct:g} %; its lowest at the end of an hour is {lowest} %, "
        f"at {_lowest_at(flow)}; it ends at {_end(flow, held)} %. The floor is {floor} %.",
    ]
    if not held.floor.ok:
        said.append("It falls below the floor: a breach.")
    if held.returns:
        kept = "does" if held.returns.ok else "does not: a breach"
        said.append(f"It must end no lower than {held.returns.numbers[0]} % and {kept}.")
    parts = [f"{name} {_wh(watt)} Wh" for name, watt in _sources(flow)]
    said.append(f"In: {', '.join(parts) or 'nothing'}.")
    said.append(f"Loads, own draw of what is fitted included: {_wh(flow.loads_w)} Wh.")
    said.append("Power in is what is offered to the bank: what the bank turns away is still in it.")
    return " ".join(said)


def _wh(watt: Floats) -> str:
    return f"{float(watt.sum()):.0f}"  # an hour each


def _end(flow: ScenarioTrace, held: _Held) -> str:
    return held.returns.numbers[1] if held.returns else f"{flow.soc_pct[-1]:.1f}"


def _lowest_at(flow: ScenarioTrace) -> str:
    return _clock(int(flow.hour[int(flow.soc_pct.argmin())]) + 1)


def _clock(hour: int) -> str:
    """Hours from the first midnight as a clock shows them; the end of a day is 24:00, not 00:00 of the next."""
    day, of_day = divmod(hour - 1, 24)
    return f"{of_day + 1:02d}:00 of day {day + 1}"


def _rows(flow: ScenarioTrace) -> tuple[tuple[str, ...], ...]:
    flows = (*flow.given_w.values(), flow.loads_w)
    return tuple(
        (
            str(int(hour) // 24 + 1),
            f"{int(hour) % 24:02d}:00",
            f"{flow.soc_pct[number]:.1f}",
            *(f"{watt[number]:.0f}" for watt in flows),
        )
        for number, hour in enumerate(flow.hour)
    )


def _sources(flow: ScenarioTrace) -> list[tuple[str, Floats]]:
    """What gives anything."""
    return [(name, watt) for name, watt in flow.given_w.items() if watt.any()]


# --- power ---------------------------------------------------------------------------------------------


def _power(axes: Axes, flow: ScenarioTrace) -> None:
    edges = np.append(flow.hour, flow.hour[-1] + 1)
    marks: list[Patch | StepPatch] = []
    under = np.zeros(len(flow.hour))
    for key, watt in _sources(flow):
        over = np.where(watt > 0, under + watt, np.nan)  # nothing drawn where nothing comes
        base = np.where(watt > 0, under, np.nan)
        axes.stairs(over, edges, baseline=base, fill=True, **style.area(key))
        marks.append(Patch(label=key, **style.area(key)))
        under = under + watt
    axes.stairs(flow.loads_w, edges, baseline=None, color="white", linewidth=3.2)  # a rim, to stand out of hatches
    marks.append(axes.stairs(flow.loads_w, edges, baseline=None, color=COLOURS["loads"], linewidth=1.6, label="loads"))
    most = max(float(under.max()), float(flow.loads_w.max()), 1.0)
    axes.set_ylim(0, 1.08 * most)
    axes.locator_params(axis="y", nbins=5)
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    axes.set_ylabel("mean power of the hour, W")
    _align(axes)
    axes.grid(axis="y")
    _hours_below(axes, flow)
    axes.legend(
        handles=marks, loc="lower left", bbox_to_anchor=(0, 1), ncols=len(marks), frameon=False, borderpad=0.2,
        borderaxespad=0.3, handlelength=3, handleheight=1.2, columnspacing=2,
    )  # fmt: skip


def _align(axes: Axes) -> None:
    """Axes below each other have their names below each other."""
    axes.yaxis.set_label_coords(-style.LABEL_MM / _WIDE_MM, 0.5)


def _hours_below(axes: Axes, flow: ScenarioTrace) -> None:
    """Clock hours, and the days where their names have room."""
    first, last = int(flow.hour[0]), int(flow.hour[-1]) + 1
    step = next(s for s in (1, 2, 3, 6, 12) if (last - first) / s <= _TICKS)
    ticks = [hour for hour in range(first, last + 1) if hour % step == 0]
    axes.set_xticks(ticks, [f"{hour % 24:02d}" for hour in ticks])
    axes.set_xlim(first, last)
    _midnights(axes, first, last)
    for day in range(first // 24, (last - 1) // 24 + 1):
        start, end = max(first, 24 * day), min(last, 24 * (day + 1))
        name = f"day {day + 1}"
        if style.text_mm(name) + 2 <= _WIDE_MM * (end - start) / (last - first):
            at = (start + end) / 2, -8.2 / _POWER_MM
            axes.text(*at, name, transform=axes.get_xaxis_transform(), ha="center", va="center")
    at = 1 + 2 * _BEYOND_MM / _WIDE_MM, -3.6 / _POWER_MM
    axes.text(*at, "hour of the clock", transform=axes.transAxes, ha="left", va="center", color=QUIET)


def _midnights(axes: Axes, first: int, last: int) -> None:
    for midnight in range(24 * (first // 24 + 1), last, 24):
        axes.axvline(midnight, color=QUIET, linewidth=0.6, linestyle=(0, (1, 2)))


# --- state of charge -----------------------------------------------------------------------------------


def _charge(axes: Axes, scenario: Scenario, flow: ScenarioTrace, held: _Held) -> None:
    first, last = int(flow.hour[0]), int(flow.hour[-1]) + 1
    at, pct = np.append(first, flow.hour + 1), np.append(scenario.start_pct, flow.soc_pct)
    axes.set_xlim(first, last)
    axes.set_ylim(min(0.0, float(pct.min()) - 8), 104)
    axes.set_yticks([tick for tick in range(-100, 101, 20) if tick >= axes.get_ylim()[0]])
    axes.set_xticks([])
    axes.set_ylabel("state of charge, %")
    _align(axes)
    axes.grid(axis="y")
    _midnights(axes, first, last)
    levels = [(held.floor.limit, f"floor {held.floor.numbers[0]} %", COLOURS["limit"], "--")]
    if held.returns:
        levels.append((held.returns.limit, f"to end at {held.returns.numbers[0]} %", QUIET, "-."))
    for level, _, colour, dash in levels:
        axes.axhline(level, color=colour, linewidth=1.1, linestyle=dash)
    axes.plot(at, pct, color=COLOURS["charge"], linewidth=1.6, clip_on=False)
    names = [(level, name, colour) for level, name, colour, _ in levels]
    _beside(axes, [*names, (float(pct[-1]), f"ends at {_end(flow, held)} %", COLOURS["charge"])])
    lowest = f"lowest {held.floor.numbers[1]} %, {_lowest_at(flow)}"
    _mark_lowest(axes, at, pct, [level for level, *_ in levels], lowest)


def _beside(axes: Axes, names: list[tuple[float, str, str]]) -> None:
    """Names right of the axes at their levels, a line of text apart at least."""
    low, high = axes.get_ylim()
    line = LINE_MM * (high - low) / _CHARGE_MM
    below = low - line
    for level, name, colour in sorted(names):
        below = max(level, below + line)
        x = 1 + _BEYOND_MM / _WIDE_MM
        axes.text(x, below, name, transform=axes.get_yaxis_transform(), color=colour, ha="left", va="center")


def _mark_lowest(axes: Axes, at: Floats, pct: Floats, levels: list[float], text: str) -> None:
    """A ring on the lowest point, and its label in the nearest place that no line goes through."""
    low, high = axes.get_ylim()
    first, last = axes.get_xlim()
    per_hour, per_pct = _WIDE_MM / (last - first), _CHARGE_MM / (high - low)
    lowest = int(pct[1:].argmin()) + 1
    point = (at[lowest] - first) * per_hour, (pct[lowest] - low) * per_pct
    fine = np.linspace(first, last, 2000)
    lines = [
        np.column_stack(((fine - first) * per_hour, (np.interp(fine, at, pct) - low) * per_pct)),
        *(np.column_stack(((fine - first) * per_hour, np.full(len(fine), (y - low) * per_pct))) for y in levels),
    ]
    size = style.text_mm(text) + 2, LINE_MM
    middle = _clear_place(point, size, np.concatenate(lines))
    axes.plot(at[lowest], pct[lowest], "o", markersize=5, color=COLOURS["charge"], fillstyle="none", clip_on=False)
    axes.annotate(
        text, (at[lowest], pct[lowest]), (middle[0] / per_hour + first, middle[1] / per_pct + low), ha="center",
        va="center", fontsize=TEXT_PT, annotation_clip=False,
        arrowprops={"arrowstyle": "-", "color": QUIET, "linewidth": 0.6, "shrinkA": 1, "shrinkB": 3},
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6},
    )  # fmt: skip


def _clear_place(point: tuple[float, float], size: tuple[float, float], lines: Floats) -> tuple[float, float]:
    """The middle of a label [mm in the axes]: inside, clear of the lines if that can be, and as near as can be."""
    (wide, tall), best = size, None
    for dx in range(-_REACH_MM, _REACH_MM + 1, 2):
        for dy in range(-_REACH_MM, _REACH_MM + 1):
            x = min(max(point[0] + dx, wide / 2), _WIDE_MM - wide / 2)
            y = point[1] + dy
            if not tall / 2 <= y <= _CHARGE_MM - tall / 2:
                continue
            across, up = abs(lines[:, 0] - x), abs(lines[:, 1] - y)
            hits = int(((across < wide / 2 + 1) & (up < tall / 2 + 0.5)).sum())
            off = np.hypot(max(abs(point[0] - x) - wide / 2, 0), max(abs(point[1] - y) - tall / 2, 0))
            rank = (hits, max(float(off), _NEAR_MM), abs(x - point[0]), (x, y))
            best = rank if best is None or rank < best else best
    assert best is not None, "the axes are taller than a line of text"
    return best[-1]
