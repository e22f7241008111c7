"""A legend: what lines and fills mean, with a sample of each."""

from collections.abc import Sequence
from dataclasses import dataclass

from optimiser.drawing.shapes import Box, Dash, Fill, Point, text_mm
from optimiser.drawing.sheet import Sheet

_SAMPLE_MM = 9.0
_TALL_MM = 3.2
_ROW_MM = 5.0
_BESIDE_MM = 1.5
_APART_MM = 6.0


@dataclass(frozen=True)
class Sample:
    """A line, or with ``box`` a rectangle with its fill, and what it means."""

    words: str
    dash: Dash = "solid"
    weight: float = 0.25
    fill: Fill = "none"
    box: bool = False


def legend(sheet: Sheet, samples: Sequence[Sample], *, at: Point, width_mm: float) -> None:
    """Draw samples in rows from the upper left corner ``at``, no wider than ``width_mm`` of paper.

    They lie on the layer of symbols, so that in a DXF file the other layers hold only what is there.
    """
    mm, (left, y) = sheet.scale, at
    x = left
    for sample in samples:
        takes = _SAMPLE_MM + _BESIDE_MM + text_mm(sample.words, 2.5)
        if x > left and (x - left) / mm + takes > width_mm:
            x, y = left, y - _ROW_MM * mm
        middle = y - _TALL_MM / 2 * mm
        if sample.box:
            box = Box(x, y - _TALL_MM * mm, x + _SAMPLE_MM * mm, y)
            sheet.rect(box, layer="symbol", dash=sample.dash, weight=sample.weight, fill=sample.fill)
        else:
            end = (x + _SAMPLE_MM * mm, middle)
            sheet.line((x, middle), end, layer="symbol", dash=sample.dash, weight=sample.weight)
        sheet.text(sample.words, (x + (_SAMPLE_MM + _BESIDE_MM) * mm, middle), anchor="start")
        x += (takes + _APART_MM) * mm
