"""Running dimensions: distances from one datum, each at the end of its own line, spread where they are close."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from optimiser.drawing.arranging import spread
from optimiser.drawing.shapes import TEXT_MM, Box, Point
from optimiser.drawing.sheet import Sheet

_STRAIGHT_MM = 2.0  # of paper, past what is dimensioned
_JOG_MM = 5.0  # within which a line moves aside
_BESIDE_MM = 0.8  # from the end of a line to its figure
_PITCH_MM = 1.3 * TEXT_MM  # from figure to figure


def running(
    sheet: Sheet, starts: Mapping[int, Point], *, along: Literal["x", "y"], at: float, behind: Sequence[Box] = ()
) -> None:
    """Draw distances from 0 along an axis, each from its own point, with figures on the far side of ``at``.

    Along x the figures stand below ``at``, along y to the left of it. ``starts``: distance [mm] -> where it is found.
    Lines are left out where they would pass through what they are ``behind``.
    """
    axis = 0 if along == "x" else 1
    mm = sheet.scale
    distances = sorted(starts)
    for distance, aside in zip(distances, spread(distances, _PITCH_MM * mm), strict=True):
        straight, end = at - _STRAIGHT_MM * mm, at - (_STRAIGHT_MM + _JOG_MM) * mm
        knee, foot = _point(distance, straight, axis), _point(aside, end, axis)
        pieces = list(_seen(starts[distance], knee, axis, behind))
        for piece in pieces:
            sheet.line(*piece, layer="dimension", weight=0.13)
        sheet.line(knee, foot, layer="dimension", weight=0.13)
        sheet.leaders += [*pieces, (knee, foot)]
        beside = _point(aside, end - _BESIDE_MM * mm, axis)
        sheet.text(f"{distance}", beside, anchor="end", upright=along == "x")


def _seen(start: Point, end: Point, axis: int, behind: Sequence[Box]) -> Iterator[tuple[Point, Point]]:
    """The pieces of a straight line, from ``start`` down or to the left, that pass through no box."""
    along, across = start[axis], 1 - axis
    spans = [((b.x0, b.x1), (b.y0, b.y1)) for b in behind]
    hidden = sorted((span[across] for span in spans if span[axis][0] < along < span[axis][1]), reverse=True)
    here = start[across]
    for low, high in hidden:
        if low < here and end[across] < high:
            if high < here:
                yield _point(along, here, axis), _point(along, high, axis)
            here = low
    if end[across] < here:
        yield _point(along, here, axis), _point(along, end[across], axis)


def _point(along: float, across: float, axis: int) -> Point:
    return (along, across) if axis == 0 else (across, along)
