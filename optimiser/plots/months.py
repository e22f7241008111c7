"""Month by month: what the panels give a day against what is drawn, by the year that builds are compared by."""

from collections import Counter
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from matplotlib.axes import Axes

from optimiser.basis import sun, volts, year
from optimiser.case import Scenario
from optimiser.fitted import Fit
from optimiser.fitted.hours import heater_w, idle_w, inverter_efficiency
from optimiser.measures import MEASURES
from optimiser.plots import style
from optimiser.plots.style import LINE_MM, QUIET, Charted
from optimiser.units import at_least, at_most

NOTE = (
    "Each month has the loads, air and share of a clear sky's light of the scenario nearest in the calendar. Driving, "
    "hook-up, the regulators' largest currents and what a full bank turns away are left out: it is a measure of panels "
    "against loads, not a promise."
)

_DAY_H = 24
_KILO = 1000
_UNKNOWN = "not known"
_LEFT_MM, _WIDE_MM, _TALL_MM, _LEGEND_MM = 14.0, 153.0, 58.0, 7.0
_BAR = 0.38  # of a month
_CLEAR_MM = 1.5  # from words to the axis below them
_HEADERS = (
    "month", "days", "as in", "panels give, Wh a day", "drawn, Wh a day", "over or missing, Wh a day",
    "by the sun alone",
)  # fmt: skip


@dataclass(frozen=True)
class Month:
    """One month of the year that builds are compared by."""

    name: str
    days: int
    scenario: str
    known: bool  # whether the scenario has any light, so that it says something of what the sun gives
    given_wh: float  # in the month, behind the regulators, as the annual surplus takes it
    taken_wh: float  # in the month, with conversion and the own draw of what is fitted

    @property
    def given_a_day(self) -> int:
        """Rounded to the safe side [Wh]."""
        return at_most(self.given_wh / self.days)

    @property
    def taken_a_day(self) -> int:
        """Rounded to the safe side [Wh]."""
        return at_least(self.taken_wh / self.days)

    @property
    def over_a_day(self) -> int:
        """What is left; below 0 what is missing [Wh]."""
        return self.given_a_day - self.taken_a_day

    @property
    def met(self) -> bool:
        """Whether it is known that the sun alone covers it."""
        return self.known and self.over_a_day >= 0

    @property
    def verdict(self) -> str:
        """The same in words."""
        return _UNKNOWN if not self.known else "met" if self.met else "not met"


def balance(fit: Fit) -> tuple[Month, ...]:
    """All months from January; given less taken, summed, is the audit's annual surplus."""
    given, case = _given_wh(fit), fit.case
    lit = {scenario.name: _has_light(fit, scenario) for scenario in case.scenarios}
    found = []
    for given_wh, (days, day), (dc, sockets) in zip(given, year.months(case), year.loads_month_wh(case), strict=True):
        drawn = volts.dc_loads_w(dc, fit.step_down) + sockets / inverter_efficiency(fit)
        drawn += _DAY_H * days * (idle_w(fit) + heater_w(fit, day))
        found.append(Month(style.MONTHS[day.month - 1], days, day.name, lit[day.name], given_wh, drawn))
    return tuple(found)


def _has_light(fit: Fit, scenario: Scenario) -> bool:
    """Whether a panel laid flat gives anything in it; a build without panels gets nothing from any light."""
    panels = {panel.name: panel for panel in map(fit.panel_of, fit.build.arrays)}.values()
    return not panels or any(sun.panel_hour_w(fit.case, scenario, None, panel).any() for panel in panels)


def _given_wh(fit: Fit) -> list[float]:
    """What the panels give in each month behind their regulators."""
    total = np.zeros(len(year.MONTHS))
    for array in fit.build.arrays:
        ends, panel = fit.input_of(array), fit.panel_of(array)
        if ends is None:
            continue
        if not array.roof_plane:
            total += ends.efficiency * np.array(year.panel_month_wh(fit.case, None, panel))
            continue
        for zone, count in Counter(p.zone for p in fit.roof_panels(array) if p.panel == array.panel).items():
            total += ends.efficiency * count * np.array(year.panel_month_wh(fit.case, fit.zone_of[zone], panel))
    return [float(wh) for wh in total]


def months(fit: Fit) -> Charted:
    """Two bars a month, and below it whether the sun alone covers it."""
    found = balance(fit)
    title = "Sun against loads, month by month"
    letters = _letters(found)
    key = [f"{letter}: as in {scenario}." for scenario, letter in letters.items()]
    mark = "" if all(month.known for month in found) else "?: not known what the sun gives. "
    said = f"Below each month: what is missing, Wh a day. {mark}{' '.join(key)} {_note(fit, found)}"
    notes = style.wrapped(said, style.SAFE_MM)
    lines = style.titled(title)
    top = style.head_mm(lines) + _LEGEND_MM
    foot = 4 * LINE_MM + 3  # name, verdict, letter
    figure = style.page(top + _TALL_MM + foot + len(notes) * LINE_MM + 1)
    style.head(figure, lines)
    _bars(style.axes(figure, _LEFT_MM, top, _WIDE_MM, _TALL_MM), found, letters)
    for number, line in enumerate(notes):
        style.write(figure, 0.5, top + _TALL_MM + foot + number * LINE_MM, line, color=QUIET)
    return Charted("months", title, figure, _told(fit, found), _HEADERS, tuple(_row(month) for month in found))


def _letters(found: tuple[Month, ...]) -> dict[str, str]:
    """Scenario -> a letter, in the order of the months."""
    return {name: chr(ord("a") + number) for number, name in enumerate(dict.fromkeys(m.scenario for m in found))}


def _bars(axes: Axes, found: tuple[Month, ...], letters: dict[str, str]) -> None:
    at = np.arange(len(found))
    known = [place for place, month in enumerate(found) if month.known]
    for key, side, label, places, height in (
        ("sun", -1, "panels give", known, [found[place].given_a_day for place in known]),
        ("loads", 1, "drawn by loads, conversion and what is fitted", at, [month.taken_a_day for month in found]),
    ):
        if len(places):
            axes.bar(np.array(places) + side * _BAR / 2, height, width=_BAR, label=label, **style.area(key))
    for place, month in enumerate(found):
        if not month.known:
            _no_bar(axes, place - _BAR / 2)
    axes.set_xlim(-0.6, len(found) - 0.4)
    axes.set_xticks(at, [_below(month, letters[month.scenario]) for month in found], linespacing=1.3)
    axes.tick_params(axis="x", length=0)
    axes.locator_params(axis="y", nbins=6)
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    axes.set_ylabel("Wh a day")
    axes.yaxis.set_label_coords(-style.LABEL_MM / _WIDE_MM, 0.5)
    axes.grid(axis="y")
    axes.legend(
        loc="lower left", bbox_to_anchor=(0, 1), ncols=2, frameon=False, borderpad=0.2, borderaxespad=0.3,
        handlelength=3, handleheight=1.2, columnspacing=2,
    )  # fmt: skip


def _no_bar(axes: Axes, at: float) -> None:
    """Words in place of a bar that would say 0."""
    axes.text(
        at, _CLEAR_MM / _TALL_MM, _UNKNOWN, rotation=90, ha="center", va="bottom", color=QUIET,
        transform=axes.get_xaxis_transform(),
    )  # fmt: skip


def _below(month: Month, letter: str) -> str:
    verdict = "met" if month.met else f"{month.over_a_day}" if month.known else "?"
    return f"{month.name[:3]}\n{verdict}\n{letter}"


def _row(month: Month) -> tuple[str, ...]:
    given, over = (str(month.given_a_day), f"{month.over_a_day:+d}") if month.known else (_UNKNOWN, _UNKNOWN)
    return (month.name, str(month.days), month.scenario, given, str(month.taken_a_day), over, month.verdict)


def _told(fit: Fit, found: tuple[Month, ...]) -> str:
    known = [month for month in found if month.known]
    met = [month for month in known if month.met]
    surplus = sum(month.given_wh - month.taken_wh for month in found) / _KILO
    scale = MEASURES["annual_surplus"]
    said = [f"The sun alone covers what is drawn in {len(met)} of {len(known)} months{_named(found)}."] if known else []
    if unknown := len(found) - len(known):
        said.append(f"Of {unknown} month{'s' * (unknown > 1)} it is not known: the scenario nearest has no light.")
    if len(met) < len(known):
        worst = min(known, key=lambda month: month.over_a_day)
        said.append(
            f"Most is missing in {worst.name}: {-worst.over_a_day} Wh a day, with {worst.given_a_day} given "
            f"and {worst.taken_a_day} drawn."
        )
    said.append(f"Over the year the {scale.words} is {surplus:.{scale.decimals}f} {scale.unit}.")
    return " ".join([*said, _note(fit, found)])


def _note(fit: Fit, found: tuple[Month, ...]) -> str:
    """What the figures are not, and what the annual surplus makes of scenarios without light."""
    unknown = {month.scenario for month in found if not month.known}
    dark = [scenario.name for scenario in fit.case.scenarios if scenario.name in unknown and not scenario.clearness]
    nights = [scenario.name for scenario in fit.case.scenarios if scenario.name in unknown and scenario.clearness]
    said = [NOTE]
    if dark:
        said.append(f"The annual surplus takes the months of {' and '.join(dark)} as dark.")
    if nights:
        said.append(
            f"The annual surplus takes the share of a clear sky's light of {' and '.join(nights)} for days as well, "
            "though there are night hours only."
        )
    return " ".join(said)


def _named(found: tuple[Month, ...]) -> str:
    """Spans of months that are met, in the calendar's order."""
    spans = [list(span) for met, span in groupby(found, key=lambda month: month.met) if met]
    joined = {1: "", 2: " and "}
    names = [span[0].name + (joined.get(len(span), " to ") + span[-1].name) * (len(span) > 1) for span in spans]
    return f": {', '.join(names)}" if names else ""
