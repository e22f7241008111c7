"""A drawing on paper that holds it, with its words below it or beside it."""

from collections.abc import Sequence
from dataclasses import replace

from optimiser.drawing.paper import PAPERS, Paper
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import Sheet

GAP_MM = 7.0
"""Between drawing and words, and between views."""

_COLUMN_MM = 120.0  # of words below a drawing
_LEAST_MM = 95.0  # of words beside it


def width_mm(paper: Paper) -> float:
    """What a paper has for a drawing from side to side."""
    return PAPERS[paper].room_mm[0] - 0.1


def on_paper(drawn: Sheet, lines: Sequence[str], papers: Sequence[Paper] = tuple(PAPERS)) -> Sheet | None:
    """The same with its notes and ``lines`` on the first of the papers that holds all of it; None if none does."""
    for number, paper in enumerate(papers, start=1):
        for beside in (False, True):
            made = replace(drawn, shapes=[*drawn.shapes], notes=[*drawn.notes])
            if (room := _room(made, paper, beside=beside)) is None:
                continue
            wide = room.size[0] / made.scale
            made.finish(lines, columns=int(wide / _LEAST_MM) if beside else round(wide / _COLUMN_MM), room=room)
            if made.fits and made.paper in papers[:number]:
                return made
    return None


def _room(sheet: Sheet, paper: Paper, *, beside: bool) -> Box | None:
    extent, wide = sheet.extent(), width_mm(paper) * sheet.scale
    if not beside:
        middle = extent.middle[0]
        return Box(middle - wide / 2, extent.y0, middle + wide / 2, extent.y0 - 4 * sheet.scale)
    left, end = extent.x1 + GAP_MM * sheet.scale, extent.x0 + wide
    return Box(left, extent.y0, end, extent.y1) if end - left >= _LEAST_MM * sheet.scale else None
