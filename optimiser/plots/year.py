"""A year as a picture: charge of the bank by month and hour of the day, and how each month does below it."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap

from optimiser.fitted import Fit
from optimiser.plots import style
from optimiser.plots.style import LINE_MM, QUIET, Charted
from optimiser.yearly import YearFigures

_LEFT_MM, _WIDE_MM, _TALL_MM, _BAND_MM = 14.0, 132.0, 62.0, 16.0
_HEADERS = ("month", "days without want, %", "hours short", "nights a stay lasts, 8 of 10 times")
_GOOD, _FAIR = 95.0, 50.0  # % of days: sun is enough, and where it is not at all
_INKS = LinearSegmentedColormap.from_list("charge", ["#9b1c1c", "#f3d9a4", "#fdf8ea", "#1d3f6e"])
SURE = 80  # % of stays


def year_chart(fit: Fit, found: YearFigures) -> Charted:
    """Charge by month and hour, from empty to full, and a band of months."""
    title = f"A year: {fit.case.brief.title}"
    lines = style.titled(title)
    notes = style.wrapped(f"Mean charge of the bank. {_note(found)}", style.SAFE_MM)
    top, band = style.head_mm(lines) + 2, _TALL_MM + 6
    figure = style.page(top + band + _BAND_MM + len(notes) * LINE_MM + 6)
    style.head(figure, lines)
    hours = style.axes(figure, _LEFT_MM, top, _WIDE_MM, _TALL_MM)
    drawn = hours.imshow(found.hourly_pct.T, aspect="auto", origin="lower", cmap=_INKS, vmin=0, vmax=100)
    hours.set_yticks([0, 6, 12, 18, 23], ["0", "6", "12", "18", "23"])
    hours.set_xticks([])
    hours.set_ylabel("hour of the day")
    scale = style.axes(figure, _LEFT_MM + _WIDE_MM + 3, top, 3.5, _TALL_MM)
    figure.colorbar(drawn, cax=scale).set_label("charge, %")
    _band(style.axes(figure, _LEFT_MM, top + band - 3, _WIDE_MM, _BAND_MM), found)
    for number, line in enumerate(notes):
        style.write(figure, 0.5, top + band + _BAND_MM + 2 + number * LINE_MM, line, color=QUIET)
    rows = tuple(
        (style.MONTHS[m.month - 1], f"{m.good_days_pct:.0f}", f"{m.short_h:.0f}", str(m.stay.nights[SURE]))
        for m in found.months
    )
    return Charted("year", title, figure, f"Days without want, month by month. {_note(found)}", _HEADERS, rows)


def _note(found: YearFigures) -> str:
    return (
        f"Weather: {found.weather.told}. Below each month: days on which nothing is short. + sun is enough ("
        f"{_GOOD:g} % of days or more), o driving, hook-up or less use is needed, - not enough (less than {_FAIR:g} %)."
    )


def _band(axes: Axes, found: YearFigures) -> None:
    tints = {"+": style.TINTS["sun"], "o": style.TINTS["loads"], "-": style.TINTS["limit"]}
    for place, month in enumerate(found.months):
        sign = verdict(month.good_days_pct)
        axes.add_patch(_box(place, tints[sign]))
        name = f"{style.MONTHS[place][:3]}\n{np.floor(month.good_days_pct):.0f} % {sign}"
        axes.text(place, 0.5, name, ha="center", va="center", linespacing=1.4)
    axes.set_xlim(-0.5, len(found.months) - 0.5)
    axes.set_ylim(0, 1)
    axes.axis("off")


def verdict(good_days_pct: float) -> str:
    """Whether the sun is enough (+), something beside it is needed (o), or it is not enough (-)."""
    return "+" if good_days_pct >= _GOOD else "o" if good_days_pct >= _FAIR else "-"


def _box(place: int, tint: str) -> "style.Rectangle":
    return style.Rectangle((place - 0.48, 0.02), 0.96, 0.96, facecolor=tint, edgecolor=QUIET, linewidth=0.5)
