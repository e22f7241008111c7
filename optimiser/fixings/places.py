"""The free place nearest to where something should be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from optimiser.fitted.shapes import Rect

Spot = tuple[int, int]

SEALANT_MM = 10
"""Kept around an entry whose place the program finds (common practice, no source)."""


def around(centre: Spot, size: tuple[int, int], gap_mm: int = 0) -> Rect:
    """What something covers, with a gap on all sides; an odd size takes a mm more. [mm]"""
    (x, y), (half_x, half_y) = centre, (-(-side // 2) + gap_mm for side in size)
    return Rect(x - half_x, y - half_y, x + half_x, y + half_y)


def is_free(centre: Spot, size: tuple[int, int], *, within: Rect, off: Iterable[Rect], gap_mm: int = 0) -> bool:
    """Whether it lies wholly within, and off all others by the gap."""
    body = around(centre, size)
    return body.inside(within) >= 0 and all(body.gap(other) >= gap_mm for other in off)


def nearest(
    target: Spot, size: tuple[int, int], *, within: Sequence[Rect], off: Sequence[Rect], gap_mm: int = 0
) -> Spot | None:
    """The centre nearest to the target where a rectangle of that size is free, or None if there is none.

    The nearest free point is the target itself, lies straight beside or above it on an edge of what is in the way,
    or in a corner of two such edges: these are all looked at, so that no grid can miss a place. Lengths in mm.
    """
    found = [spot for area in within for spot in _corners(target, size, area, off, gap_mm)]
    return min(found, key=lambda spot: (_far(spot, target), spot), default=None)


def _corners(target: Spot, size: tuple[int, int], area: Rect, off: Sequence[Rect], gap_mm: int) -> list[Spot]:
    half_x, half_y = (-(-side // 2) for side in size)
    low, high = (area.x0 + half_x, area.y0 + half_y), (area.x1 - half_x, area.y1 - half_y)
    if low[0] > high[0] or low[1] > high[1]:
        return []
    xs, ys = ({min(max(t, a), b)} for t, a, b in zip(target, low, high, strict=True))
    for other in off:
        xs |= {other.x0 - gap_mm - half_x, other.x1 + gap_mm + half_x}
        ys |= {other.y0 - gap_mm - half_y, other.y1 + gap_mm + half_y}
    return [spot for spot in product(xs, ys) if is_free(spot, size, within=area, off=off, gap_mm=gap_mm)]


def _far(spot: Spot, target: Spot) -> int:
    return (spot[0] - target[0]) ** 2 + (spot[1] - target[1]) ** 2
