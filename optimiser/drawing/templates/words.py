"""Words on a template: each of them somewhere where it covers no line to be marked and no other words."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from optimiser.drawing.shapes import TEXT_MM, Box, Path, Point, Shape, Text, text_mm
from optimiser.drawing.sheet import wrapped
from optimiser.drawing.templates.board import Tag, Template

LARGE_MM, SMALL_MM = 4.0, 3.0
_ROW = 1.35  # from line to line, in sizes of the text
_STEP_MM = 2.0  # of the raster of places that are tried
_GAP_MM = 0.8  # between words, and to lines
_SLIM_MM = 40.0
_BESIDE_MM = 60.0  # width of words beside something small
_SIZES = ((LARGE_MM, SMALL_MM), (SMALL_MM, TEXT_MM), (TEXT_MM, TEXT_MM))
_TRIED = 400  # of the nearest free places, for a leader that crosses no words


@dataclass(frozen=True)
class Row:
    """A line of words."""

    text: str
    size: float
    bold: bool = False

    @property
    def long(self) -> float:
        return text_mm(self.text, self.size, bold=self.bold)


@dataclass
class Words:
    """What is written in ``room``, and the boxes that it keeps off: ``taken``; beside things, ``bodies`` too."""

    room: Box
    taken: list[Box]
    bodies: list[Box] = field(default_factory=list)
    shapes: list[Shape] = field(default_factory=list)

    def put(
        self,
        rows: Sequence[Row],
        room: Box,
        near: Point,
        *,
        upright: bool = False,
        off: Iterable[Box] = (),
        leader: Box | None = None,
    ) -> bool:
        """Write them in a room, as near to a point as can be, with a line to ``leader`` where one is asked for.

        Nothing is written, and False, where there is no place.
        """
        long = max(row.long for row in rows)
        high = sum(row.size * _ROW for row in rows)
        size = (high, long) if upright else (long, high)
        for corner in self._free(room, size, near, off):
            box = Box(*corner, corner[0] + size[0], corner[1] + size[1])
            line = _leader(box, leader) if leader else None
            if line and any(other.crossed(*line) for other in self.written()):
                continue
            self.shapes += [Path(points=line, layer="dimension", weight=0.18)] if line else []
            self.shapes += _lines(rows, box, upright=upright)
            self.taken.append(box)
            return True
        return False

    def _free(self, room: Box, size: Point, near: Point, off: Iterable[Box]) -> list[Point]:
        """Lower left corners that a block of words may have, those first that bring its middle near to a point."""
        spans = (room.size[0] - size[0], room.size[1] - size[1])
        if min(spans) < 0:
            return []
        xs, ys = (
            low + np.arange(int(span / _STEP_MM) + 1) * _STEP_MM
            for low, span in zip((room.x0, room.y0), spans, strict=True)
        )
        free = np.ones((len(xs), len(ys)), dtype=bool)
        for box in (*self.taken, *off):
            left, right = np.searchsorted(xs, (box.x0 - _GAP_MM - size[0], box.x1 + _GAP_MM), side="right")
            low, high = np.searchsorted(ys, (box.y0 - _GAP_MM - size[1], box.y1 + _GAP_MM), side="right")
            free[left:right, low:high] = False
        columns, rows = np.nonzero(free)
        far = (xs[columns] + size[0] / 2 - near[0]) ** 2 + (ys[rows] + size[1] / 2 - near[1]) ** 2
        first = np.argsort(far, kind="stable")[:_TRIED]
        return [(float(xs[columns[k]]), float(ys[rows[k]])) for k in first]

    def written(self) -> list[Box]:
        """What words cover."""
        return [shape.box(1) for shape in self.shapes if isinstance(shape, Text)]


def label(words: Words, template: Template, others: Sequence[Box] = ()) -> None:
    """Write what is said of all that is seen: as much as goes in it, else beside it.

    ``others``: what other pages show. Words beside something stand once, on the page that shows the most of it.
    """
    for tag in template.tags:
        for name, cell in tag.cells:
            seen = both(cell, words.room)
            if seen:
                for size in (LARGE_MM, SMALL_MM, TEXT_MM):
                    if words.put([Row(name, size, bold=True)], seen.grown(-_GAP_MM), (seen.x0, seen.middle[1])):
                        break
    for tag in template.tags:
        seen = both(tag.box, words.room)
        if seen is None or (tag.open and _written_in(words, tag, seen)):
            continue
        elsewhere = [_area(both(tag.box, other)) for other in others]
        if _area(seen) >= max(elsewhere, default=0.0):
            _written_beside(words, tag, seen)


def _written_in(words: Words, tag: Tag, seen: Box) -> bool:
    room = seen.grown(-_GAP_MM)
    if min(room.size) <= TEXT_MM:
        return False
    near = (seen.middle[0], (seen.middle[1] + seen.y1) / 2)  # above the cross in the middle
    for told in range(len(tag.lines), -1, -1):
        for large, small in _SIZES:
            for upright in _ways_to_read(room):
                wide = room.size[1 if upright else 0] - 2 * _GAP_MM
                for share in (1.0, 0.5):
                    rows = _rows(tag.name, tag.lines[:told], large, small, wide * share)
                    if words.put(rows, room, near, upright=upright):
                        return True
    return False


def _ways_to_read(room: Box) -> tuple[bool, ...]:
    """Upright or not, the better first: upright only where a room is higher than wide, and first where it is slim."""
    wide, high = room.size
    if high <= wide:
        return (False,)
    return (True, False) if wide < _SLIM_MM else (False, True)


def _written_beside(words: Words, tag: Tag, seen: Box) -> None:
    """All that is said of it, or as much as there is room for, with a line to it."""
    for lines in (tag.lines, tag.lines[:1], ()):
        for off in (words.bodies, ()):
            rows = _rows(tag.name, lines, SMALL_MM, TEXT_MM, _BESIDE_MM)
            if words.put(rows, words.room, seen.middle, off=[*off, seen], leader=seen if _area(seen) else None):
                return


def _rows(name: str, lines: Sequence[str], large: float, small: float, wide: float) -> list[Row]:
    named = [Row(text, large, bold=True) for text in wrapped(name, wide, size=large, bold=True)]
    return [*named, *(Row(text, small) for line in lines for text in wrapped(line, wide, size=small))]


def _lines(rows: Sequence[Row], box: Box, *, upright: bool) -> Iterator[Text]:
    """Rows in a box from above, or from the left where they read from below."""
    down = 0.0
    for row in rows:
        down += row.size * _ROW / 2
        at = (box.x0 + down, box.y0) if upright else (box.x0, box.y1 - down)
        yield Text(text=row.text, at=at, size=row.size, bold=row.bold, anchor="start", upright=upright)
        down += row.size * _ROW / 2


def _leader(words: Box, thing: Box) -> tuple[Point, Point]:
    """From words to the nearest point of a thing."""
    end = thing.middle
    start = (min(max(end[0], words.x0), words.x1), min(max(end[1], words.y0), words.y1))
    return start, (min(max(start[0], thing.x0), thing.x1), min(max(start[1], thing.y0), thing.y1))


def both(one: Box, other: Box) -> Box | None:
    """What two boxes share, if they do; a point or a line too."""
    found = Box(max(one.x0, other.x0), max(one.y0, other.y0), min(one.x1, other.x1), min(one.y1, other.y1))
    return found if found.x0 <= found.x1 and found.y0 <= found.y1 else None


def _area(box: Box | None) -> float:
    return box.size[0] * box.size[1] if box else 0.0
