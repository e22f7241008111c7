"""The frame of a drawing: border, title block, and bars that show whether it was printed at its scale.

Date and revision stay blank, to be filled in by hand: no file says them, and a clock's would differ from pack to pack.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from optimiser.drawing.paper import LARGEST, PAD_MM, PAPERS, STRIP_MM, Format, fits, paper_for
from optimiser.drawing.shapes import TEXT_MM, Anchor, Box, Layer, Path, Point, Shape, Text, text_mm

CHECK_MM = 100.0
CHECK = "100 mm on paper: measure it after printing"
_VALUE_MM = 3.2
_CELL_MM = STRIP_MM / 2
_BARS_MM = 108.0  # width of the cell with the bars
_SCALE_MM, _SHEET_MM, _HASH_MM = 37.0, 22.0, 36.0  # widths of the cells at the right
_INSET_MM = 1.2  # of what is written in a cell
_LONGEST_MM = 70.0  # a scale bar, which leaves room for its figures
_LENGTHS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000)
"""What a scale bar may show [mm of the vehicle]: halves of them are whole numbers too."""

Cells = tuple[tuple[str, str], tuple[str, str]]
"""Two names with their values."""


@dataclass(frozen=True)
class TitleBlock:
    """What is written below a drawing. ``made_from``: so that loose sheets of two versions are not mixed."""

    vehicle: str
    shows: str
    number: int
    of: int
    made_from: Cells


@dataclass(frozen=True)
class Frame:
    """A frame: what it goes round by in the drawing, and its shapes in mm of paper from its lower left corner."""

    outer: Box
    scale: float
    on_paper: tuple[Shape, ...]
    block: TitleBlock

    @property
    def shapes(self) -> tuple[Shape, ...]:
        """They in the drawing's own mm."""
        return tuple(_placed(shape, (self.outer.x0, self.outer.y0), self.scale) for shape in self.on_paper)


def frame_round(extent: Box, scale: float, block: TitleBlock, *, to_scale: bool) -> Frame:
    """The frame of the smallest paper that holds what covers ``extent``; a larger one where none does."""
    paper = PAPERS[paper_for(extent, scale)]
    wide, high = extent.size[0] / scale, extent.size[1] / scale
    if fits(extent, scale):
        size = paper.frame_mm
    else:
        size = max(wide + 2 * PAD_MM, LARGEST.frame_mm[0]), max(high + 2 * PAD_MM + STRIP_MM, LARGEST.frame_mm[1])
    room = size[1] - paper.strips * STRIP_MM
    left = extent.middle[0] - size[0] / 2 * scale
    below = extent.middle[1] - (room / 2 + paper.strips * STRIP_MM) * scale
    drawn = _Block(size, paper, scale if to_scale else None, block)
    outer = Box(left, below, left + size[0] * scale, below + size[1] * scale)
    return Frame(outer, scale, tuple(drawn.shapes()), block)


def _placed(shape: Shape, corner: Point, scale: float) -> Shape:
    """From mm of paper within the frame to where it stands in the drawing."""

    def at(point: Point) -> Point:
        return corner[0] + point[0] * scale, corner[1] + point[1] * scale

    if isinstance(shape, Text):
        return replace(shape, at=at(shape.at))
    assert isinstance(shape, Path)
    return replace(shape, points=tuple(map(at, shape.points)))


class _Block:
    """Border and title block in mm of paper, from the frame's lower left corner."""

    def __init__(self, size: Point, paper: Format, scale: float | None, block: TitleBlock) -> None:
        self.size, self.paper, self.scale, self.block = size, paper, scale, block

    def shapes(self) -> Iterator[Shape]:
        (wide, high), block, scale = self.size, self.block, self.scale
        upper = (self.paper.strips - 1) * STRIP_MM  # of two rows the lower one has the bars
        yield _rect(Box(0, 0, wide, high), weight=0.7)
        for y in {0.0, upper}:
            yield _line((0, y + STRIP_MM), (wide, y + STRIP_MM), weight=0.5)
        if scale:
            yield from self._bars(scale)
        first = _BARS_MM if scale and not upper else 0.0
        edges = (first, wide - _SCALE_MM - _SHEET_MM - _HASH_MM, wide - _SHEET_MM - _HASH_MM, wide - _HASH_MM, wide)
        told = (
            f"scale on {self.paper.name}" if scale else "scale",
            f"1:{scale:g}, sizes in mm" if scale else "not to scale",
        )
        columns = (
            (("vehicle", block.vehicle), ("shows", block.shows)),
            (told, ("date", "")),
            (("sheet", f"{block.number} of {block.of}"), ("revision", "")),
            block.made_from,
        )
        for (left, right), cells in zip(pairwise(edges), columns, strict=True):
            yield from _cells(Box(left, upper, right, upper + STRIP_MM), cells)

    def _bars(self, scale: float) -> Iterator[Shape]:
        """A bar of 100 mm of paper, and one of a round length of the vehicle with its half and its tenths."""
        x, y = 4.0, STRIP_MM - 2.6
        yield _text(CHECK, (x + CHECK_MM / 2, y), anchor="middle")
        y -= 3.4
        yield _line((x, y), (x + CHECK_MM, y), weight=0.35)
        for end in (x, x + CHECK_MM):
            yield _line((end, y - 1.2), (end, y + 1.2), weight=0.35)
        mm = bar_mm(scale)
        y -= 4.0
        for part in (0.0, 0.5, 1.0):
            yield _text(f"{mm * part:g}", (x + mm * part / scale, y), anchor="middle")
        yield _text("mm of the vehicle", (x + mm / scale + text_mm(f"{mm:g}", TEXT_MM) / 2 + 2, y))
        y -= 1.9
        for part in range(10):
            left, right = (x + mm * end / 10 / scale for end in (part, part + 1))
            yield _rect(Box(left, y - 1.6, right, y), weight=0.18, solid=part % 2 == 0)


def bar_mm(scale: float) -> int:
    """What a scale bar shows at a scale [mm]: as long as leaves room for its figures."""
    return max((mm for mm in _LENGTHS if mm / scale <= _LONGEST_MM), default=_LENGTHS[0])


def _cells(column: Box, named: Cells) -> Iterator[Shape]:
    """Two cells over each other, each with a name above its value."""
    yield _line((column.x0, column.y0), (column.x0, column.y1), weight=0.35)
    yield _line((column.x0, column.y0 + _CELL_MM), (column.x1, column.y0 + _CELL_MM), weight=0.18)
    for place, (name, value) in enumerate(named):
        top, left = column.y1 - place * _CELL_MM, column.x0 + _INSET_MM
        yield _text(name, (left, top - 2.1), layer="faint")
        if value:
            yield _fitted(value, (left, top - 6.1), column.size[0] - 2 * _INSET_MM)


def _fitted(value: str, at: Point, width: float) -> Text:
    """A value as large as its cell has room for, cut short where it has none."""
    for size, bold in ((_VALUE_MM, True), (TEXT_MM, True), (TEXT_MM, False)):
        if text_mm(value, size, bold=bold) <= width:
            return _text(value, at, size=size, bold=bold)
    cut = next(n for n in range(len(value), 0, -1) if n == 1 or text_mm(f"{value[:n]}…", TEXT_MM) <= width)
    return _text(f"{value[:cut]}…", at)


def _line(*points: Point, weight: float) -> Path:
    return Path(points=points, layer="frame", weight=weight)


def _rect(box: Box, *, weight: float, solid: bool = False) -> Path:
    corners = ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))
    return Path(points=corners, layer="frame", weight=weight, closed=True, fill="solid" if solid else "none")


def _text(
    text: str, at: Point, *, size: float = TEXT_MM, anchor: Anchor = "start", bold: bool = False, layer: Layer = "text"
) -> Text:
    return Text(text=text, at=at, size=size, anchor=anchor, bold=bold, layer=layer)
