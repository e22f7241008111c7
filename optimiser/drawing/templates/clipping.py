"""What of a shape lies within a box, as lines: nothing is left to a printer to cut off."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from math import ceil, cos, floor, pi, sin

from optimiser.drawing.shapes import Box, Circle, Path, Point

_CORNERS = 180
"""Of a circle drawn as a polygon: with a radius of 100 mm it lies 0.015 mm within it at most (worked out)."""


def round_path(circle: Circle) -> Path:
    """A whole circle as a closed line."""
    (x, y), r = circle.centre, circle.radius
    turns = (2 * pi * k / _CORNERS for k in range(_CORNERS))
    points = tuple((x + r * cos(turn), y + r * sin(turn)) for turn in turns)
    return Path(points=points, layer=circle.layer, dash=circle.dash, weight=circle.weight, closed=True)


def hatching(box: Box, *, step: float) -> Iterator[tuple[Point, Point]]:
    """Lines across a box from lower right to upper left, on one grid for all boxes, so that pages continue it."""
    low, high = floor((box.x0 + box.y0) / step) + 1, ceil((box.x1 + box.y1) / step)
    for k in range(low, high):  # where x + y is constant
        total = k * step
        left, right = max(box.x0, total - box.y1), min(box.x1, total - box.y0)
        yield (left, total - left), (right, total - right)


def clipped(path: Path, window: Box) -> Iterator[Path]:
    """Its line within the window: as it is if it lies there whole, else in pieces."""
    if all(window.x0 <= x <= window.x1 and window.y0 <= y <= window.y1 for x, y in path.points):
        yield path
        return
    points = (*path.points, path.points[0]) if path.closed else path.points
    piece: list[Point] = []
    for start, end in pairwise(points):
        part = _within(start, end, window)
        if part is None:
            continue
        if piece and piece[-1] != part[0]:
            yield _piece(path, piece)
            piece = []
        piece += part[1:] if piece else part
    if piece:
        yield _piece(path, piece)


def _piece(path: Path, points: list[Point]) -> Path:
    return replace(path, points=tuple(points), closed=False, fill="none")


def _within(start: Point, end: Point, window: Box) -> tuple[Point, Point] | None:
    """What of a straight line lies in the window, its edge too (Liang and Barsky)."""
    low, high = 0.0, 1.0
    (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
    for step, room in ((-dx, x - window.x0), (dx, window.x1 - x), (-dy, y - window.y0), (dy, window.y1 - y)):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            low = max(low, room / step)
        else:
            high = min(high, room / step)
    if low >= high:
        return None
    first = start if low == 0 else (x + low * dx, y + low * dy)
    last = end if high == 1 else (x + high * dx, y + high * dy)
    return first, last
