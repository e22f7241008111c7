"""Boxes seen in three dimensions: an isometric projection, and which stretches of lines lie behind which boxes.

Lengths are true along the three axes and nowhere else. x is forward, y to the left, z up.
"""

from collections.abc import Iterator, Sequence
from itertools import product
from math import cos, radians, sin
from typing import NamedTuple

from optimiser.drawing.shapes import Point

InSpace = tuple[float, float, float]
Solid = tuple[InSpace, InSpace]
"""A box by its least and its greatest corner."""
Line = tuple[InSpace, InSpace]

_ACROSS, _DOWN = cos(radians(30)), sin(radians(30))
_NONE = 1e-9  # no more than this is no stretch


class View(NamedTuple):
    """From where one looks, always from above: 1 from in front and from the left, -1 from behind and from the right."""

    x: int
    y: int

    @property
    def towards(self) -> InSpace:
        """The direction to whoever looks."""
        return (self.x, self.y, 1)

    @property
    def near(self) -> tuple[str, str, str]:
        """Faces of a bay that are between its inside and whoever looks."""
        return ("front" if self.x > 0 else "rear", "left" if self.y > 0 else "right", "ceiling")


VIEWS = tuple(View(x, y) for x, y in product((1, -1), repeat=2))


def projected(view: View, at: InSpace) -> Point:
    """Where a point is on paper: what is nearer to whoever looks is further down."""
    x, y, z = at
    return (view.x * y - view.y * x) * _ACROSS, z - (view.x * x + view.y * y) * _DOWN


def edges_of(solid: Solid) -> list[Line]:
    """The twelve edges of a box."""
    found = []
    for axis in range(3):
        for ends in product((0, 1), repeat=2):
            start, end = ([0.0, 0.0, 0.0] for _ in range(2))
            for other, which in zip((a for a in range(3) if a != axis), ends, strict=True):
                start[other] = end[other] = solid[which][other]
            start[axis], end[axis] = solid[0][axis], solid[1][axis]
            found.append(((start[0], start[1], start[2]), (end[0], end[1], end[2])))
    return found


def along(line: Line, share: float) -> InSpace:
    """The point at a share of a line."""
    x, y, z = (a + share * (b - a) for a, b in zip(*line, strict=True))
    return x, y, z


def hidden(view: View, line: Line, solid: Solid) -> tuple[float, float] | None:
    """The stretch of a line that a box hides, as shares of it; None where it hides nothing.

    A point is hidden if the way from it to whoever looks goes through the inside of the box. Both how far that is
    along the way and the point are linear, so what is hidden is one stretch.
    """
    enters, leaves = [], []  # how far along the way, as a constant and what a share of the line adds
    for towards, start, end, low, high in zip(view.towards, *line, *solid, strict=True):
        first, last = (low, high) if towards > 0 else (high, low)
        adds = -towards * (end - start)
        enters.append((towards * (first - start), adds))
        leaves.append((towards * (last - start), adds))
    least, most = 0.0, 1.0
    for leave in leaves:
        for enter in ((0.0, 0.0), *enters):
            const, slope = leave[0] - enter[0], leave[1] - enter[1]  # above 0 where it is hidden
            if abs(slope) <= _NONE:
                if const <= _NONE:
                    return None
            elif slope > 0:
                least = max(least, -const / slope)
            else:
                most = min(most, -const / slope)
    return (least, most) if most - least > _NONE else None


def stretches(view: View, line: Line, solids: Sequence[Solid]) -> Iterator[tuple[Line, bool]]:
    """A line cut where boxes begin and end to hide it, each piece with whether it is seen."""
    spans = sorted(span for solid in solids if (span := hidden(view, line, solid)))
    at = 0.0
    for low, high in spans:
        if low - at > _NONE:
            yield (along(line, at), along(line, low)), True
        if high - max(at, low) > _NONE:
            yield (along(line, max(at, low)), along(line, high)), False
        at = max(at, high)
    if 1.0 - at > _NONE:
        yield (along(line, at), line[1]), True


def behind(view: View, at: InSpace, solids: Sequence[Solid]) -> bool:
    """Whether a box hides a point."""
    return any(hidden(view, (at, at), solid) for solid in solids)
