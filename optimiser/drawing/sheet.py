"""A drawing in the making: shapes, dimensions and labels that keep out of each other's way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations, product
from math import cos, dist, pi, sin
from typing import Literal

import numpy as np

from optimiser.drawing.frame import Frame, TitleBlock, frame_round
from optimiser.drawing.paper import Paper, fits, paper_for
from optimiser.drawing.shapes import (
    TEXT_MM,
    Anchor,
    Box,
    Circle,
    Dash,
    Dimension,
    Fill,
    Layer,
    Path,
    Point,
    Shape,
    Text,
    text_mm,
)

SCALES = (1, 2, 5, 10, 20, 25, 50, 100)
"""Drawing mm to a mm of paper, as ISO 5455 recommends them, and 1:25 (the series is from memory)."""

A4_LANDSCAPE_MM = (265.0, 165.0)  # what a printer leaves of A4, less title and margins
A3_LANDSCAPE_MM = (390.0, 250.0)

_AWAY_MM = 6.0  # between a body and its first dimension, and between dimensions
_REACH = 1.5  # an extension line goes this much past its dimension line
_GAP_MM = 0.6  # between two texts
APART_MM = 1.5
"""Between a label beside its thing and any other text: closer, two labels read as one."""
_INSET_MM = 3.0  # of the later rows of a note in columns
_COLUMN_GAP_MM = 5.0
_ANGLES = tuple(k * pi / 8 for k in (0, 8, 4, 12, 2, 6, 10, 14, 1, 3, 5, 7, 9, 11, 13, 15))
_ARROW_MM = (2.4, 0.7)  # length and half its width
_NEAR_MM = (3, 5, 8, 11, 15, 20, 25, 30, 40)
_FAR_MM = (50, 60, 80, 100, 130, 160, 200, 300)


def scale_for(size_mm: Point, paper_mm: Point = A4_LANDSCAPE_MM) -> int:
    """The largest picture of the usual scales that fits the paper; the smallest there is if none does."""
    return next((s for s in SCALES if all(m / s <= p for m, p in zip(size_mm, paper_mm, strict=True))), SCALES[-1])


@dataclass
class Sheet:
    """A drawing. ``scale``: mm of the drawing to one of paper; ``key`` names its files and is unique in a pack."""

    key: str
    title: str
    scale: float
    shapes: list[Shape] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    solid: list[Box] = field(default_factory=list)  # what labels must not cover
    leaders: list[tuple[Point, Point]] = field(default_factory=list)
    to_scale: bool = True
    frame: Frame | None = None

    # --- shapes --------------------------------------------------------------------------------------

    def line(self, *points: Point, layer: Layer, dash: Dash = "solid", weight: float = 0.25) -> None:
        """A line through points."""
        self.shapes.append(Path(points=points, layer=layer, dash=dash, weight=weight))

    def polygon(
        self, *points: Point, layer: Layer, dash: Dash = "solid", weight: float = 0.25, fill: Fill = "none"
    ) -> None:
        """A closed line."""
        self.shapes.append(Path(points=points, layer=layer, dash=dash, weight=weight, closed=True, fill=fill))

    def rect(self, box: Box, *, layer: Layer, dash: Dash = "solid", weight: float = 0.25, fill: Fill = "none") -> None:
        """A rectangle."""
        corners = ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))
        self.polygon(*corners, layer=layer, dash=dash, weight=weight, fill=fill)

    def circle(
        self,
        centre: Point,
        radius: float,
        *,
        layer: Layer,
        weight: float = 0.25,
        fill: Fill = "none",
        arc: tuple[float, float] | None = None,
    ) -> None:
        """A circle or an arc."""
        made = Circle(centre=centre, radius=radius, layer=layer, weight=weight, fill=fill, arc=arc)
        self.shapes.append(made)

    def text(
        self,
        text: str,
        at: Point,
        *,
        size: float = TEXT_MM,
        anchor: Anchor = "middle",
        upright: bool = False,
        bold: bool = False,
    ) -> Text:
        """A text where it must stand: nobody looks whether it is in the way."""
        made = Text(text=text, at=at, size=size, anchor=anchor, upright=upright, bold=bold)
        self.shapes.append(made)
        return made

    # --- what is placed ------------------------------------------------------------------------------

    def label(
        self,
        text: str,
        at: Point,
        *,
        room: Box | None = None,
        size: float = TEXT_MM,
        bold: bool = False,
        arrow_mm: float | None = None,
        or_at: Sequence[Point] = (),
        rather: Sequence[Box] = (),
        clear: Sequence[Box] = (),
    ) -> Text:
        """A text for the thing at a point: within ``room`` if there is room, else beside it with a leader.

        It never covers another text, a leader or what is ``solid``, and goes as far out as that takes. ``arrow_mm``:
        so far from the point the leader ends as an arrow that points to it. ``or_at``: where
        else the leader may end. ``rather``: areas, best first, where it
        stands if it can, not far off, and if it can in any of them with a leader over nothing ``solid``. ``clear``:
        what it keeps off in its ``room`` if it can.
        """
        texts = [other.box for other in self.texts()]  # once: some hundred places are tried
        taken = self._spaced(texts)
        inside = [*self._within(text, room, size, bold)] if room else []
        for off, placed in product(([*taken, *clear], taken), inside):
            if self._free(placed, off, self.leaders):
                self.shapes.append(placed)
                return placed
        apart = [box.grown((APART_MM - _GAP_MM / 2) * self.scale) for box in texts]
        outside = _Taken([*apart, *self.solid])
        ways = [(rings, lenient, None, ()) for rings in (_NEAR_MM, _FAR_MM) for lenient in (False, True)]
        near = [(_NEAR_MM, False, area, over) for over in (self.solid, ()) for area in rather]
        for rings, lenient, area, over in [*near, *ways]:  # lenient: a leader may pass behind a text
            for start, placed in ((p, t) for p in (at, *or_at) for t in self._around(text, p, rings, size, bold)):
                if area and not area.holds(placed.box(self.scale)):
                    continue
                if not self._free(placed, outside, () if lenient else self.leaders):
                    continue
                foot, passed = self._foot(placed, start), (*over, *(() if lenient else texts))
                if not any(box.crossed(start, foot) for box in passed):
                    self._lead(start, foot, arrow_mm)
                    self.shapes.append(placed)
                    return placed
        raise ValueError(f"no place for the label {text!r} within {_FAR_MM[-1]} mm of paper")

    def arrow(self, tail: Point, tip: Point) -> None:
        """A line with a head at its tip."""
        far, (long, half) = dist(tail, tip), (mm * self.scale for mm in _ARROW_MM)
        dx, dy = (tail[0] - tip[0]) / far, (tail[1] - tip[1]) / far
        back = tip[0] + long * dx, tip[1] + long * dy
        wings = ((back[0] - side * half * dy, back[1] + side * half * dx) for side in (1, -1))
        self.line(tail, tip, layer="dimension", weight=0.25)
        self.polygon(tip, *wings, layer="dimension", weight=0.13, fill="solid")

    def _lead(self, at: Point, foot: Point, arrow_mm: float | None) -> None:
        """A leader, plain or with an arrow."""
        far = dist(at, foot)
        if arrow_mm is None or far <= arrow_mm:
            self.line(at, foot, layer="dimension", weight=0.13)
            self.leaders.append((at, foot))
            return
        tip = at[0] + arrow_mm * (foot[0] - at[0]) / far, at[1] + arrow_mm * (foot[1] - at[1]) / far
        self.arrow(foot, tip)
        self.leaders.append((tip, foot))

    def _foot(self, placed: Text, at: Point) -> Point:
        """Where a label's leader ends: the point of its box next to what it is for."""
        box = placed.box(self.scale)
        return min(max(at[0], box.x0), box.x1), min(max(at[1], box.y0), box.y1)

    def _within(self, text: str, room: Box, size: float, bold: bool) -> Iterator[Text]:
        x, y = room.middle
        step = 1.3 * size * self.scale
        for upright in (False, True):
            for k in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5):
                at = (x + k * step, y) if upright else (x, y + k * step)
                placed = Text(text=text, at=at, size=size, upright=upright, bold=bold)
                if room.holds(placed.box(self.scale)):
                    yield placed

    def _around(self, text: str, at: Point, rings: Sequence[float], size: float, bold: bool) -> Iterator[Text]:
        for ring in rings:
            for angle in _ANGLES:
                dx, dy = cos(angle), sin(angle)
                anchor: Anchor = "middle" if abs(dx) < 0.3 else "start" if dx > 0 else "end"
                yield Text(
                    text=text,
                    at=(at[0] + ring * self.scale * dx, at[1] + ring * self.scale * dy),
                    size=size,
                    anchor=anchor,
                    bold=bold,
                )

    def _spaced(self, texts: Sequence[Box]) -> list[Box]:
        """Texts with half the gap that two of them keep."""
        return [box.grown(_GAP_MM * self.scale / 2) for box in texts]

    def _free(self, placed: Text, taken: Sequence[Box] | _Taken, lines: Sequence[tuple[Point, Point]]) -> bool:
        (box,) = self._spaced([placed.box(self.scale)])
        if taken.meets(box) if isinstance(taken, _Taken) else any(box.meets(other) for other in taken):
            return False
        return not any(box.crossed(*line) for line in lines)

    def dimension(self, start: Point, end: Point, *, along: Literal["x", "y"], at: float, out: int = 1) -> Dimension:
        """The distance of two points; its line goes further ``out`` (1 or -1) than ``at`` where texts would meet."""
        axis = 0 if along == "x" else 1
        words = f"{abs(end[axis] - start[axis]):.0f}"
        middle = (start[axis] + end[axis]) / 2
        others = [shape for shape in self.shapes if isinstance(shape, Dimension)]
        texts = [other.box for other in self.texts()]
        taken = self._spaced(texts)
        for level in range(1, 60):
            line_at = at + out * level * _AWAY_MM * self.scale
            beside = line_at + (TEXT_MM * 0.5 + 0.7) * self.scale * (1 if along == "x" else -1)
            where = (middle, beside) if along == "x" else (beside, middle)
            placed = Text(text=words, at=where, upright=along == "y", layer="dimension")
            made = Dimension(start=start, end=end, along=along, at=line_at, text=placed)
            crossing = any(box.crossed(*made.feet) for box in texts)
            if (
                self._free(placed, taken, self.leaders)
                and not crossing
                and not any(made.covers(other) for other in others)
            ):
                break
        self.shapes.append(made)
        return made

    # --- what came of it -----------------------------------------------------------------------------

    def texts(self) -> list[Placed]:
        """Every text with what it covers, those of the frame too."""
        drawn = [*self.shapes, *(self.frame.shapes if self.frame else ())]
        found = [shape.text if isinstance(shape, Dimension) else shape for shape in drawn]
        return [Placed(shape.text, shape.box(self.scale)) for shape in found if isinstance(shape, Text)]

    def clashes(self) -> list[tuple[str, str]]:
        """Texts that cover each other: there must be none."""
        return [(a.text, b.text) for a, b in combinations(self.texts(), 2) if a.box.meets(b.box)]

    def extent(self) -> Box:
        """What all of it covers."""
        return Box.around([box for shape in self.shapes for box in _boxes(shape, self.scale)])

    def finish(self, lines: Sequence[str], *, columns: int = 1, room: Box | None = None) -> None:
        """Set notes and ``lines`` below the drawing, as wide as it is (80 mm of paper at least).

        In ``columns`` of about the same height, later rows of a note are set in, so that each note is seen to begin.
        ``room``: where to begin instead, at its upper left corner, and how wide; they may go below it.
        """
        extent = self.extent()
        wide = max(extent.x1 - extent.x0, 80 * self.scale) / self.scale
        left, y = extent.x0, extent.y0 - 6 * self.scale
        if room:
            left, y, wide = room.x0, room.y1 - 2 * self.scale, room.size[0] / self.scale
        inset = 0.0 if columns == 1 else _INSET_MM
        column = (wide - _COLUMN_GAP_MM * (columns - 1)) / columns
        notes = [wrapped(line, column - inset) for line in (*self.notes, *lines)]
        longest, number, x, down = -(-sum(map(len, notes)) // columns), 0, left, 0
        for note in notes:
            if down and down + len(note) / 2 > longest and number < columns - 1:
                number, x, down = number + 1, x + (column + _COLUMN_GAP_MM) * self.scale, 0
            for place, row in enumerate(note):
                at = (x + (inset if place else 0.0) * self.scale, y - down * 3.6 * self.scale)
                self.text(row, at, anchor="start")
                down += 1

    @property
    def paper(self) -> Paper:
        """The smallest that holds it; A3 across where none does, see ``fits``."""
        return paper_for(self.extent(), self.scale)

    @property
    def fits(self) -> bool:
        """Whether that paper holds it."""
        return fits(self.extent(), self.scale)

    def framed(self, block: TitleBlock) -> None:
        """Set it in a frame of the paper that it goes on; nothing is drawn after that."""
        self.frame = frame_round(self.extent(), self.scale, block, to_scale=self.to_scale)


@dataclass(frozen=True)
class Placed:
    """A text and what it covers in the drawing."""

    text: str
    box: Box


class _Taken:
    """Many boxes at once: a crowded drawing asks of some hundred places whether any of some hundred boxes is there."""

    def __init__(self, boxes: Sequence[Box]) -> None:
        corners = [(box.x0, box.y0, box.x1, box.y1) for box in boxes]
        self._x0, self._y0, self._x1, self._y1 = np.array(corners, dtype=float).reshape(-1, 4).T.copy()

    def meets(self, box: Box) -> bool:
        """Whether one of them shares more than an edge with it, as `Box.meets` says it."""
        across = (self._x0 < box.x1) & (box.x0 < self._x1)
        return bool((across & (self._y0 < box.y1) & (box.y0 < self._y1)).any())


def wrapped(line: str, width_mm: float, *, size: float = TEXT_MM, bold: bool = False) -> list[str]:
    """A line broken between words so that each piece is no longer than ``width_mm``, if its words allow."""
    rows: list[str] = []
    for word in line.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and text_mm(longer, size, bold=bold) <= width_mm:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def _boxes(shape: Shape, scale: float) -> list[Box]:
    if isinstance(shape, Text):
        return [shape.box(scale)]
    if isinstance(shape, Circle):
        return [Box(*shape.centre, *shape.centre).grown(shape.radius)]
    if isinstance(shape, Dimension):
        ends = [Box(*foot, *foot).grown(_REACH * scale) for foot in shape.feet]
        return [Box.around(ends), shape.text.box(scale)]
    xs, ys = zip(*shape.points, strict=True)
    return [Box(min(xs), min(ys), max(xs), max(ys))]
