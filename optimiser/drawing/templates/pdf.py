"""Pages in mm as a PDF: each length on paper is what it says, and the same pages give the same bytes."""

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path as File
from typing import Any

import matplotlib
from matplotlib.backends import backend_pdf
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path as Line
from matplotlib.transforms import Affine2D

from optimiser.drawing.shapes import Box, Fill, Path, Point, Text, text_mm
from optimiser.drawing.svg import COLOURS

Colour = tuple[float, float, float]
_PDF: Any = backend_pdf  # it carries no types
_POINTS, _INCH_MM = 72, 25.4
POINT_MM = _INCH_MM / _POINTS
_DASHES_MM = {"solid": (), "dashed": (2.2, 1.2), "dotted": (0.3, 1.0), "chain": (4.0, 1.0, 0.4, 1.0)}
_FILLS: dict[Fill, Colour] = {"solid": (0, 0, 0), "tint": (0.8, 0.8, 0.8), "paper": (1, 1, 1)}
_CAPITALS = 0.73  # height of capitals beside the size of the text
_PAPER_MM = 0.3  # left white round words
_FONTS = File(matplotlib.get_data_path()) / "fonts" / "ttf"


def to_pdf(pages: Sequence[tuple[Point, Sequence[Path | Text]]], title: str) -> bytes:
    """Pages by their size and what is on them. A viewer that heeds it offers to print them without scaling."""
    out = BytesIO()
    with matplotlib.rc_context():
        matplotlib.rcdefaults()  # whatever a user's own settings are
        made = _PDF.PdfFile(out, metadata={"Title": title, "Creator": None, "CreationDate": None})
        unscaled = {"PrintScaling": _PDF.Name("None")}
        root = {"Type": _PDF.Name("Catalog"), "Pages": made.pagesObject, "ViewerPreferences": unscaled}
        made.writeObject(made.rootObject, root)  # takes the place of the one without
        for (wide, high), shapes in pages:
            made.newPage(wide / _INCH_MM, high / _INCH_MM)
            writer = _Writer(_PDF.RendererPdf(made, _POINTS, high / _INCH_MM, wide / _INCH_MM))
            for shape in sorted(shapes, key=lambda one: isinstance(one, Text)):  # words above lines
                writer.draw(shape)
            writer.renderer.finalize()
            made.endStream()
        made.finalize()
        made.close()
    return out.getvalue()


class _Writer:
    def __init__(self, renderer: Any) -> None:
        self.renderer = renderer
        self.to_points = Affine2D().scale(1 / POINT_MM)

    def draw(self, shape: Path | Text) -> None:
        if isinstance(shape, Text):
            self._text(shape)
        else:
            self._path(shape)

    def _path(self, shape: Path) -> None:
        colour, dashes = COLOURS[shape.layer], [mm / POINT_MM for mm in _DASHES_MM[shape.dash]]
        gc = self.renderer.new_gc()
        gc.set_foreground(colour)
        gc.set_linewidth(shape.weight / POINT_MM)
        gc.set_capstyle("butt")
        gc.set_dashes(0, dashes or None)
        self._drawn(gc, shape.points, _FILLS.get(shape.fill), closed=shape.closed)

    def _text(self, shape: Text) -> None:
        self._paper(shape.box(1).grown(_PAPER_MM))
        font = FontProperties(
            fname=_FONTS / f"DejaVuSans{'-Bold' if shape.bold else ''}.ttf", size=shape.size / POINT_MM
        )
        before = {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor] * text_mm(
            shape.text, shape.size, bold=shape.bold
        )
        down, (x, y) = shape.size * _CAPITALS / 2, shape.at
        x, y = (x + down, y - before) if shape.upright else (x - before, y - down)
        gc = self.renderer.new_gc()
        gc.set_foreground(COLOURS[shape.layer])
        self.renderer.draw_text(gc, x / POINT_MM, y / POINT_MM, shape.text, font, 90 if shape.upright else 0)

    def _paper(self, box: Box) -> None:
        """White below words, so that hatching and grid do not run through them."""
        gc = self.renderer.new_gc()
        gc.set_linewidth(0)
        corners = ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))
        self._drawn(gc, corners, _FILLS["paper"], closed=True)

    def _drawn(self, gc: Any, points: Sequence[Point], fill: Colour | None, *, closed: bool) -> None:
        corners = [*points, points[0]] if closed else [*points]
        codes = [Line.MOVETO, *[Line.LINETO] * (len(corners) - 1)]
        if closed:
            codes[-1] = Line.CLOSEPOLY
        self.renderer.draw_path(gc, Line(corners, codes), self.to_points, fill)
