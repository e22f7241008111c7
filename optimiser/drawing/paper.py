"""Which paper a drawing goes on at its scale, and how much of it the frame leaves."""

from dataclasses import dataclass
from typing import Literal

from optimiser.drawing.shapes import Box, Point

Paper = Literal["upright", "wide", "large"]
STRIP_MM = 18.0  # height of a row of the title block
PAD_MM = 2.5  # between frame and drawing
_EDGE_MM = 12.5  # above and at the sides: the margin of a pack's pages, and half a mm for the frame's own line
_FOOT_MM = 18.0  # below: the same, where each page of a pack has the cautions


@dataclass(frozen=True)
class Format:
    """A sheet of paper (ISO 216, sizes from memory). ``strips``: rows of its title block."""

    name: str
    width_mm: float
    height_mm: float
    strips: int

    @property
    def frame_mm(self) -> Point:
        """Width and height of the frame."""
        return self.width_mm - 2 * _EDGE_MM, self.height_mm - _EDGE_MM - _FOOT_MM

    @property
    def room_mm(self) -> Point:
        """What the frame leaves for a drawing above the title block."""
        wide, high = self.frame_mm
        return wide - 2 * PAD_MM, high - 2 * PAD_MM - self.strips * STRIP_MM

    def holds(self, size_mm: Point) -> bool:
        """Whether a drawing of this size goes on it."""
        return all(side <= room for side, room in zip(size_mm, self.room_mm, strict=True))


PAPERS: dict[Paper, Format] = {
    "upright": Format("A4", 210, 297, 2),
    "wide": Format("A4 across", 297, 210, 1),
    "large": Format("A3 across", 420, 297, 1),
}
LARGEST = PAPERS["large"]


def paper_for(extent: Box, scale: float) -> Paper:
    """The smallest that holds a drawing that covers this; A3 across where none does, see `fits`."""
    size = (extent.size[0] / scale, extent.size[1] / scale)
    return next((name for name, paper in PAPERS.items() if paper.holds(size)), "large")


def fits(extent: Box, scale: float) -> bool:
    """Whether the paper it goes on holds it."""
    return PAPERS[paper_for(extent, scale)].holds((extent.size[0] / scale, extent.size[1] / scale))
