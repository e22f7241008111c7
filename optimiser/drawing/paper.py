"""Which paper a drawing goes on at its scale."""

from dataclasses import dataclass
from typing import Literal

from optimiser.drawing.sheet import Sheet
from optimiser.drawing.svg import MARGIN_MM

Paper = Literal["upright", "wide", "large"]
_EDGE_MM = 12.0  # that a printer leaves free
_FOOT_MM = 34.0  # of title above and cautions below


@dataclass(frozen=True)
class Format:
    """A sheet of paper (ISO 216, sizes from memory)."""

    name: str
    width_mm: float
    height_mm: float


PAPERS: dict[Paper, Format] = {
    "upright": Format("A4", 210, 297),
    "wide": Format("A4 across", 297, 210),
    "large": Format("A3 across", 420, 297),
}


def paper_of(sheet: Sheet) -> Paper:
    """The smallest that holds it with title and cautions; A3 across where none does, see `fits`."""
    return next((name for name, paper in PAPERS.items() if _holds(paper, sheet)), "large")


def fits(sheet: Sheet) -> bool:
    """Whether the paper it goes on holds it; where A3 does not, less is left free below than usual."""
    width, height = _size(sheet)
    paper = PAPERS[paper_of(sheet)]
    return width <= paper.width_mm - 2 * _EDGE_MM and height <= paper.height_mm - 2 * _EDGE_MM


def _size(sheet: Sheet) -> tuple[float, float]:
    width, height = (side / sheet.scale + 2 * MARGIN_MM for side in sheet.extent().size)
    return width, height


def _holds(paper: Format, sheet: Sheet) -> bool:
    width, height = _size(sheet)
    return width <= paper.width_mm - 2 * _EDGE_MM and height <= paper.height_mm - 2 * _EDGE_MM - _FOOT_MM
