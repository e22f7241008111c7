"""How a board at true size is cut up into pages of A4: windows that overlap, row by row from above."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import Literal

from optimiser.drawing.paper import PAPERS
from optimiser.drawing.shapes import Box, Point

OVERLAP_MM = 10.0
"""What two pages beside each other both show, for the glue (common practice, no source)."""

BEYOND_MM = 4.0
"""Shown round the board, so that its edge is printed whole."""

_SIDE_MM = 6.0  # above and at the sides: what a printer cannot reach, and a little (common practice, no source)
_FOOT_MM = 12.0  # below, where many a printer reaches less
_GAP_MM = 1.5  # between the window and the words below it

Lie = Literal["upright", "wide"]


@dataclass(frozen=True)
class Leaf:
    """A page of A4 as it lies. ``words_mm``: height of what is written below its window."""

    lie: Lie
    words_mm: float

    @property
    def size(self) -> Point:
        """Of the paper."""
        return PAPERS[self.lie].width_mm, PAPERS[self.lie].height_mm

    @property
    def safe(self) -> Box:
        """What printers reach."""
        wide, high = self.size
        return Box(_SIDE_MM, _FOOT_MM, wide - _SIDE_MM, high - _SIDE_MM)

    @property
    def words(self) -> Box:
        """Where words stand."""
        safe = self.safe
        return Box(safe.x0, safe.y0, safe.x1, safe.y0 + self.words_mm)

    @property
    def window(self) -> Box:
        """Where the board is seen, mm for mm."""
        safe = self.safe
        return Box(safe.x0, safe.y0 + self.words_mm + _GAP_MM, safe.x1, safe.y1)


LEAVES = (Leaf("upright", 40.0), Leaf("wide", 30.0))


@dataclass(frozen=True)
class Tile:
    """A page of a template. ``area``: what of the board it shows, in the board's own mm.

    Rows are counted from above and columns from the left, from 1.
    """

    leaf: Leaf
    row: int
    column: int
    rows: int
    columns: int
    area: Box

    @property
    def number(self) -> int:
        """As it is printed, row by row."""
        return (self.row - 1) * self.columns + self.column

    @property
    def visible(self) -> Box:
        """What of it stays to be seen once the pages at its right and below it are laid on it."""
        right = OVERLAP_MM if self.column < self.columns else 0.0
        below = OVERLAP_MM if self.row < self.rows else 0.0
        return Box(self.area.x0, self.area.y0 + below, self.area.x1 - right, self.area.y1)


def tiles(length_mm: float, width_mm: float) -> list[Tile]:
    """Pages for a board of this size, upright or across, whichever are fewer; upright where both are as many."""
    return min((list(_on(leaf, length_mm, width_mm)) for leaf in LEAVES), key=len)


def _on(leaf: Leaf, length_mm: float, width_mm: float) -> Iterator[Tile]:
    wide, high = leaf.window.size
    columns, rows = _needed(length_mm, wide), _needed(width_mm, high)
    for row in range(1, rows + 1):
        top = width_mm + BEYOND_MM - (row - 1) * (high - OVERLAP_MM)
        for column in range(1, columns + 1):
            left = -BEYOND_MM + (column - 1) * (wide - OVERLAP_MM)
            yield Tile(leaf, row, column, rows, columns, Box(left, top - high, left + wide, top))


def _needed(side_mm: float, window_mm: float) -> int:
    """Windows in a row that show a side and what lies beyond both its ends."""
    return max(1, ceil((side_mm + 2 * BEYOND_MM - OVERLAP_MM) / (window_mm - OVERLAP_MM)))
