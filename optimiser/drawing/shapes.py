"""What a drawing is made of, before it is SVG or DXF.

Shapes lie in the drawing's own mm, x to the right and y up. Weights, text and gaps are in mm of paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path as File
from typing import Literal

import matplotlib
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

from optimiser.fitted.places import Rect

Point = tuple[float, float]
Layer = Literal[
    "outline", "zone", "panel", "obstacle", "body", "clearance", "fixing", "cable", "mains", "symbol", "dimension",
    "text", "faint", "frame",
]  # fmt: skip
Dash = Literal["solid", "dashed", "dotted", "chain"]
Fill = Literal["none", "hatch", "cross", "dots", "tint", "solid", "paper"]
Anchor = Literal["start", "middle", "end"]

TEXT_MM = 2.5
"""Smallest text that is readable at a bench (common practice, no source)."""

_FONT = File(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"
_BOLD = 1.13  # a bold letter beside a plain one, at most


@dataclass(frozen=True)
class Box:
    """From (x0, y0) to (x1, y1)."""

    x0: float
    y0: float
    x1: float
    y1: float

    @classmethod
    def of(cls, rect: Rect) -> Box:
        """Of a rectangle of the roof or a board."""
        return cls(rect.x0, rect.y0, rect.x1, rect.y1)

    @property
    def middle(self) -> Point:
        return (self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2

    @property
    def size(self) -> Point:
        return self.x1 - self.x0, self.y1 - self.y0

    def grown(self, by: float) -> Box:
        """The box with a margin."""
        return Box(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)

    def meets(self, other: Box) -> bool:
        """Whether they share more than an edge."""
        return self.x0 < other.x1 and other.x0 < self.x1 and self.y0 < other.y1 and other.y0 < self.y1

    def holds(self, other: Box) -> bool:
        """Whether ``other`` lies within."""
        return self.x0 <= other.x0 and other.x1 <= self.x1 and self.y0 <= other.y0 and other.y1 <= self.y1

    def crossed(self, start: Point, end: Point) -> bool:
        """Whether a straight line from point to point passes through (Liang and Barsky's clipping)."""
        low, high = 0.0, 1.0
        (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
        for step, room in ((-dx, x - self.x0), (dx, self.x1 - x), (-dy, y - self.y0), (dy, self.y1 - y)):
            if step == 0:
                if room <= 0:
                    return False
            elif step < 0:
                low = max(low, room / step)
            else:
                high = min(high, room / step)
        return low < high

    @classmethod
    def around(cls, boxes: list[Box]) -> Box:
        """The smallest that holds them all; there must be one."""
        return cls(
            min(b.x0 for b in boxes), min(b.y0 for b in boxes), max(b.x1 for b in boxes), max(b.y1 for b in boxes)
        )


@dataclass(frozen=True, kw_only=True)
class Path:
    """A line through points. ``weight`` 0: no line, its fill alone."""

    points: tuple[Point, ...]
    layer: Layer
    dash: Dash = "solid"
    weight: float = 0.25
    closed: bool = False
    fill: Fill = "none"


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A circle, or with angles an arc of it, counterclockwise from the x axis [degree]."""

    centre: Point
    radius: float
    layer: Layer
    dash: Dash = "solid"
    weight: float = 0.25
    fill: Fill = "none"
    arc: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True)
class Text:
    """A line of text; ``at`` is the middle of its height at the anchored end. ``upright``: it reads from below."""

    text: str
    at: Point
    size: float = TEXT_MM
    anchor: Anchor = "middle"
    upright: bool = False
    bold: bool = False
    layer: Layer = "text"

    def box(self, scale: float) -> Box:
        """What it covers in the drawing."""
        width, height = text_mm(self.text, self.size, bold=self.bold) * scale, self.size * scale
        before = {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        x, y = self.at
        if self.upright:
            return Box(x - height / 2, y - before, x + height / 2, y - before + width)
        return Box(x - before, y - height / 2, x - before + width, y + height / 2)


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """A measured distance between two points along an axis; ``at`` is where its line lies on the other axis."""

    start: Point
    end: Point
    along: Literal["x", "y"]
    at: float
    text: Text

    @property
    def mm(self) -> float:
        """What it measures."""
        axis = 0 if self.along == "x" else 1
        return abs(self.end[axis] - self.start[axis])

    @property
    def feet(self) -> tuple[Point, Point]:
        """Both ends of its line."""
        if self.along == "x":
            return (self.start[0], self.at), (self.end[0], self.at)
        return (self.at, self.start[1]), (self.at, self.end[1])

    def covers(self, other: Dimension) -> bool:
        """Whether the two lines lie on each other for some way."""
        if (self.along, self.at) != (other.along, other.at):
            return False
        axis = 0 if self.along == "x" else 1
        (low, high), (least, most) = (sorted((d.start[axis], d.end[axis])) for d in (self, other))
        return low < most and least < high


Shape = Path | Circle | Text | Dimension


@lru_cache(maxsize=1)
def _advances() -> tuple[dict[int, int], int, int]:
    """Code point -> how far it moves on, the widest, in units of the font, and how many make the size of the text."""
    font = TTFont(_FONT)
    widths, names = font["hmtx"], font.getBestCmap()
    advances = {code: widths[name][0] for code, name in names.items()}
    return advances, max(advances.values()), font["head"].unitsPerEm


@lru_cache(maxsize=4096)
def text_mm(text: str, size: float, *, bold: bool = False) -> float:
    """How long a text is on paper, in a wide font: what a reader's machine shows instead is hardly longer [mm]."""
    advances, widest, units = _advances()
    return sum(advances.get(ord(letter), widest) for letter in text) / units * size * (_BOLD if bold else 1.0)
