"""How plots look: sizes in mm of paper, ink that needs no colour, and a figure as an SVG for a page.

A figure is drawn at its printed size, so that letters and lines are what they will be on paper.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape
from io import StringIO
from typing import Any

import matplotlib
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.patches import Rectangle as Rectangle
from matplotlib.text import Text
from matplotlib.textpath import TextToPath

WIDTH_MM = 170.0
TEXT_PT = 7.5  # 2.6 mm; 2.5 mm is the least that is readable at a bench (common practice, no source)
TITLE_PT = 9.0
LINE_MM = 3.7  # from line to line of text
TITLE_MM = 5.0
SAFE_MM = WIDTH_MM - 6  # for lines of text: what a reader's machine shows in another font is hardly longer
LABEL_MM = 10.8  # from axes to the label of their y axis, beyond figures of five digits

INK = "#111111"
QUIET = "#4d555c"  # text of less weight
GRID = "#c9cdd1"  # only helps the eye; nothing is said by it
COLOURS = {
    "charge": "#1d3f6e",
    "limit": "#9b1c1c",
    "sun": "#8a5a00",
    "alternator": "#1d3f6e",
    "hook-up": "#155e3b",
    "loads": "#111111",
}
"""Of marks; hatches, dashes and labels say the same again."""
TINTS = {"sun": "#fdf3dc", "alternator": "#e3ebf6", "hook-up": "#e2f1e9", "loads": "#ececec", "limit": "#f8e4e4"}
HATCHES = {"sun": "////", "alternator": "||||", "hook-up": "xx", "loads": "", "limit": "\\\\\\\\"}

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
    "December",
)  # fmt: skip

_MM = 25.4  # an inch
_POINTS = 72  # an inch

_LOOK: Any = {
    "font.family": ["sans-serif"],
    "font.sans-serif": ["DejaVu Sans", "Verdana", "Arial"],
    "font.size": TEXT_PT,
    "axes.labelsize": TEXT_PT,
    "xtick.labelsize": TEXT_PT,
    "ytick.labelsize": TEXT_PT,
    "legend.fontsize": TEXT_PT,
    "text.color": INK,
    "text.parse_math": False,
    "text.hinting": "none",  # as wide on any screen as on paper
    "axes.edgecolor": QUIET,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "axes.linewidth": 0.6,
    "axes.unicode_minus": False,
    "axes.axisbelow": True,
    "grid.color": GRID,
    "grid.linewidth": 0.5,
    "hatch.linewidth": 0.6,
    "svg.fonttype": "none",
    "svg.hashsalt": "optimiser",
}


@dataclass(frozen=True)
class Charted:
    """A plot as a figure, with what it tells in words and as a table."""

    key: str
    title: str
    figure: Figure
    told: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Plot:
    """A plot as an ``svg`` element for a page. ``told`` is its text alternative, ``rows`` all that is plotted."""

    key: str
    title: str
    svg: str
    told: str
    rows: tuple[tuple[str, ...], ...]
    headers: tuple[str, ...]


def area(key: str, *, hatched: bool = True) -> dict[str, Any]:
    """How an area of that name is filled and edged."""
    hatch = HATCHES[key] if hatched else ""
    return {"facecolor": TINTS[key], "edgecolor": COLOURS[key], "hatch": hatch, "linewidth": 0.7}


@contextmanager
def look() -> Iterator[None]:
    """Matplotlib as plots want it, whatever a user's own settings are; they are as before afterwards."""
    with matplotlib.rc_context():
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(_LOOK)
        yield


def page(height_mm: float) -> Figure:
    """An empty figure as wide as all plots are."""
    return Figure(figsize=(WIDTH_MM / _MM, height_mm / _MM), dpi=_POINTS)


def axes(figure: Figure, left_mm: float, top_mm: float, width_mm: float, height_mm: float) -> Axes:
    """Axes in a rectangle, measured from the figure's upper left corner."""
    across, down = WIDTH_MM, figure.get_figheight() * _MM
    made = figure.add_axes(
        (left_mm / across, 1 - (top_mm + height_mm) / down, width_mm / across, height_mm / down)
    )  # left, bottom, width, height as shares
    made.spines[["top", "right"]].set_visible(False)
    return made


def write(figure: Figure, left_mm: float, top_mm: float, text: str, **look: Any) -> Text:
    """A text whose upper left corner is there."""
    at = left_mm / WIDTH_MM, 1 - top_mm / (figure.get_figheight() * _MM)
    return figure.text(*at, text, **{"ha": "left", "va": "top", "linespacing": 1.25, **look})


def head(figure: Figure, lines: list[str]) -> None:
    """The title at the top."""
    for number, line in enumerate(lines):
        write(figure, 0.5, 0.5 + number * TITLE_MM, line, fontsize=TITLE_PT, fontweight="bold")


def head_mm(lines: list[str]) -> float:
    """How much of the figure's height the title takes [mm]."""
    return 1.5 + len(lines) * TITLE_MM


def titled(title: str) -> list[str]:
    """A title in lines that fit the figure."""
    return wrapped(title, SAFE_MM, TITLE_PT, bold=True)


def text_mm(text: str, size_pt: float = TEXT_PT, *, bold: bool = False) -> float:
    """How long a line of text is [mm]."""
    font = FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal", size=size_pt)
    wide, _, _ = TextToPath().get_text_width_height_descent(text, font, False)
    return float(wide) / _POINTS * _MM


def wrapped(text: str, width_mm: float, size_pt: float = TEXT_PT, *, bold: bool = False) -> list[str]:
    """Text in lines no longer than that, broken at spaces, or where it must be if a word is longer."""
    lines = [""]
    for word in text.split():
        joined = f"{lines[-1]} {word}".strip()
        if text_mm(joined, size_pt, bold=bold) <= width_mm:
            lines[-1] = joined
            continue
        pieces = _cut(word, width_mm, size_pt, bold=bold)
        lines = [*lines, *pieces] if lines[-1] else pieces
    return lines


def _cut(word: str, width_mm: float, size_pt: float, *, bold: bool) -> list[str]:
    """A word in pieces that fit."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and text_mm(pieces[-1] + letter, size_pt, bold=bold) > width_mm:
            pieces.append("")
        pieces[-1] += letter
    return pieces


# --- SVG -----------------------------------------------------------------------------------------------

_NO_METADATA: dict[str, Any] = {"Date": None, "Creator": None, "Format": None, "Type": None}
_REFERENCE = re.compile(r'(\bid="|href="#|url\(#)')
_ROOT = re.compile(r"<svg\b[^>]*>")
_STYLE = re.compile(r"<defs>\s*<style.*?</style>\s*</defs>", re.DOTALL)
_METADATA = re.compile(r"<metadata>.*?</metadata>", re.DOTALL)
_VIEW = re.compile(r'viewBox="([^"]*)"')


def finished(drawn: Charted) -> Plot:
    """The figure as an SVG that stands in a page with others: same bytes for the same figure, ids of its own."""
    out = StringIO()
    drawn.figure.savefig(out, format="svg", metadata=_NO_METADATA)
    return Plot(drawn.key, drawn.title, _inlined(drawn, out.getvalue()), drawn.told, drawn.rows, drawn.headers)


def _inlined(drawn: Charted, svg: str) -> str:
    key, body = drawn.key, svg[svg.index("<svg") :]
    view = _VIEW.search(body)
    assert view, "an SVG of matplotlib has a viewBox"
    body = _METADATA.sub("", _STYLE.sub("", body, count=1), count=1)  # its style would reach the whole page
    body = _REFERENCE.sub(rf"\g<1>{key}-", body)
    root = (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
        f'aria-labelledby="{key}-title {key}-desc" viewBox="{view[1]}" '
        f'style="width:{WIDTH_MM:g}mm;max-width:100%;stroke-linejoin:round;stroke-linecap:butt">\n'
        f'<title id="{key}-title">{escape(drawn.title)}</title>\n<desc id="{key}-desc">{escape(drawn.told)}</desc>'
    )
    return _ROOT.sub(lambda _: root, body, count=1)
