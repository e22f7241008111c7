"""What a text of a drawing belongs to: where its leader begins, and the sample that stands left of it in a legend."""

from itertools import pairwise

from optimiser.drawing.shapes import Path, Point, Text
from optimiser.drawing.sheet import Sheet


def pointed(sheet: Sheet, label: str) -> Point:
    """Where the leader of the only such label begins, or the label's own middle if it has none."""
    (found,) = ((before, shape) for before, shape in pairwise(sheet.shapes) if getattr(shape, "text", "") == label)
    before, text = found
    assert isinstance(text, Text)
    box = text.box(sheet.scale)
    if isinstance(before, Path) and before.layer == "dimension" and len(before.points) == 2:
        start, (x, y) = before.points
        if box.x0 <= x <= box.x1 and box.y0 <= y <= box.y1:
            return start
    return box.middle


def sample(sheet: Sheet, words: str) -> Path:
    """The line or box that a legend has left of its words."""
    (text,) = (shape for shape in sheet.shapes if isinstance(shape, Text) and shape.text == words)
    x, y = text.at
    paths = [shape for shape in sheet.shapes if isinstance(shape, Path)]
    level = [p for p in paths if min(p.points, key=_up)[1] <= y <= max(p.points, key=_up)[1]]
    return min((p for p in level if max(p.points)[0] < x), key=lambda p: x - max(p.points)[0])


def _up(point: Point) -> float:
    return point[1]
