"""Rectangles on a roof or a board."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Rect:
    """From (x0, y0) to (x1, y1) [mm]."""

    x0: int
    y0: int
    x1: int
    y1: int

    @classmethod
    def sized(cls, x_mm: int, y_mm: int, length_mm: int, width_mm: int) -> Rect:
        """From its corner with the smallest x and y, length along x, width along y."""
        return cls(x_mm, y_mm, x_mm + length_mm, y_mm + width_mm)

    def grown(self, by_mm: int) -> Rect:
        """Larger by this on all sides."""
        return Rect(self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm)

    def gap_x(self, other: Rect) -> int:
        """Distance along x, below 0 where they share a span."""
        return max(self.x0 - other.x1, other.x0 - self.x1)

    def gap_y(self, other: Rect) -> int:
        """Distance along y, below 0 where they share a span."""
        return max(self.y0 - other.y1, other.y0 - self.y1)

    def gap(self, other: Rect) -> int:
        """The larger of the two: below 0 only if they overlap."""
        return max(self.gap_x(other), self.gap_y(other))

    def around_corner(self, other: Rect) -> int:
        """Distance along x and then along y, as a cable goes."""
        return max(0, self.gap_x(other)) + max(0, self.gap_y(other))

    def far_corners(self, other: Rect) -> int:
        """The most that a point of one is from a point of the other, along x and then along y."""
        return max(self.x1 - other.x0, other.x1 - self.x0) + max(self.y1 - other.y0, other.y1 - self.y0)

    def inside(self, outer: Rect) -> int:
        """Smallest distance to a side of ``outer``, below 0 if it sticks out."""
        return min(self.x0 - outer.x0, outer.x1 - self.x1, self.y0 - outer.y0, outer.y1 - self.y1)
