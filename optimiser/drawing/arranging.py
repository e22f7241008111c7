"""Views side by side on a sheet; numbers and hatching that keep off each other and off bodies."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from optimiser.drawing.shapes import Box, Circle, Dimension, Path, Point, Shape, Text


def moved(shape: Shape, by: Point) -> Shape:
    """The same shape elsewhere."""

    def at(point: Point) -> Point:
        return point[0] + by[0], point[1] + by[1]

    match shape:
        case Path():
            return replace(shape, points=tuple(at(point) for point in shape.points))
        case Circle():
            return replace(shape, centre=at(shape.centre))
        case Text():
            return replace(shape, at=at(shape.at))
        case Dimension():
            text = replace(shape.text, at=at(shape.text.at))
            line = shape.at + by[1 if shape.along == "x" else 0]
            return replace(shape, start=at(shape.start), end=at(shape.end), at=line, text=text)


def in_rows(sizes: Sequence[Point], *, width: float, gap: float) -> list[Point]:
    """Where views of these sizes lie: upper left corners, from the left, rows going down from y = 0.

    A view stands under the one before it if the row stays as high as it is and the column as wide, else beside it
    if the row stays within ``width``, else it begins a row. A view wider than ``width`` has a row of its own.
    """
    corners: list[Point] = []
    top = row_height = x = column_width = column_height = 0.0
    for wide, high in sizes:
        under = column_height + gap + high
        if corners and wide <= column_width and under <= row_height:
            corners.append((x, top - column_height - gap))
            column_height = under
            continue
        beside = x + column_width + gap
        if corners and beside + wide <= width:
            x = beside
        elif corners:
            top, x, row_height = top - row_height - gap, 0.0, 0.0
        corners.append((x, top))
        column_width, column_height, row_height = wide, high, max(row_height, high)
    return corners


def spread(wanted: Sequence[float], gap: float) -> list[float]:
    """Rising positions moved the least, in squares, until no two are nearer than ``gap`` (isotonic regression)."""
    blocks: list[list[float]] = []  # less the gaps before them, in runs that touch
    for place, value in enumerate(wanted):
        blocks.append([value - place * gap])
        while len(blocks) > 1 and _mean(blocks[-2]) > _mean(blocks[-1]):
            last = blocks.pop()
            blocks[-1] += last
    level = [_mean(block) for block in blocks for _ in block]
    return [value + place * gap for place, value in enumerate(level)]


def apart(places: Sequence[float], gap: float) -> list[float]:
    """The same for places from 0 on, which stay there."""
    return [max(place - number * gap, 0.0) + number * gap for number, place in enumerate(spread(places, gap))]


def outside(frames: Sequence[Box], bodies: Sequence[Box]) -> list[Box]:
    """The area of all frames without the bodies, each spot once, as few rectangles as rows and columns give."""
    xs = sorted({x for box in (*frames, *bodies) for x in (box.x0, box.x1)})
    ys = sorted({y for box in (*frames, *bodies) for y in (box.y0, box.y1)})
    done: list[Box] = []
    growing: dict[tuple[float, float], Box] = {}  # span along x -> what may grow upwards
    for low, high in pairwise(ys):
        row = {(box.x0, box.x1): box for box in _row(xs, low, high, frames, bodies)}
        done += [box for span, box in growing.items() if span not in row]
        growing = {span: replace(box, y0=growing[span].y0) if span in growing else box for span, box in row.items()}
    return [*done, *growing.values()]


def _row(xs: Sequence[float], low: float, high: float, frames: Sequence[Box], bodies: Sequence[Box]) -> list[Box]:
    spans: list[Box] = []
    for left, right in pairwise(xs):
        cell = Box(left, low, right, high)
        if not any(frame.holds(cell) for frame in frames) or any(body.meets(cell) for body in bodies):
            continue
        if spans and spans[-1].x1 == left:
            spans[-1] = replace(spans[-1], x1=right)
        else:
            spans.append(cell)
    return spans


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
