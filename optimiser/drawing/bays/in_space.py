"""What stands in a bay as boxes in it, and what boxes and lines cover on paper, for labels to keep off."""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, dist

from optimiser.basis import faces
from optimiser.case import Board
from optimiser.drawing.bays.places import Hole
from optimiser.drawing.bays.standing_bodies import MarkedBody
from optimiser.drawing.isometry import InSpace, Line, Solid, View, along, edges_of, projected, stretches
from optimiser.drawing.shapes import Box, Point
from optimiser.fitted.fit import Fit

_STRIP_MM = 2.0  # of paper: how finely labels keep off what is drawn


def solid_of(fit: Fit, body: MarkedBody) -> Solid | None:
    """What a body takes of its bay, without the clearance before it; None where its board's place is not surveyed."""
    box, foot = body.box, body.body.foot
    spans = {"x": (box.x0, box.x1), "y": (box.y0, box.y1)}
    return faces.solid(fit.case, body.body.board.place, **spans, off_mm=foot.depth_mm - foot.clear_z_mm)


def board_solid(fit: Fit, board: Board) -> Solid | None:
    """Of a board, which is taken to have no thickness."""
    return faces.solid(fit.case, board.place, x=(0, board.length_mm), y=(0, board.width_mm), off_mm=0)


def middle_of(fit: Fit, hole: Hole) -> InSpace:
    at = faces.opening_point(fit.case, hole.opening.bay, hole.opening.way)
    assert at is not None  # it is a row of the survey
    return at


def hidden_mm(view: View, lines: Sequence[Line], solids: Sequence[Solid]) -> float:
    return sum(dist(*piece) for line in lines for piece, seen in stretches(view, line, solids) if not seen)


def on_face_of(solid: Solid, view: View, axis: int, share: float, far: float) -> InSpace:
    """A point of that face of a box across an axis which is turned to whoever looks."""
    at = list(along(solid, share))
    other = next(a for a in (1, 0) if a != axis)
    at[other] = solid[0][other] + far * (solid[1][other] - solid[0][other])
    at[axis] = solid[1 if view.towards[axis] > 0 else 0][axis]
    return at[0], at[1], at[2]


def around(points: Sequence[Point]) -> Box:
    return Box.around([Box(*point, *point) for point in points])


def _crossing(start: Point, end: Point, y: float) -> float | None:
    """Where a line on paper is at a height."""
    (x0, y0), (x1, y1) = start, end
    if not min(y0, y1) <= y <= max(y0, y1) or y0 == y1:
        return None
    return x0 + (x1 - x0) * (y - y0) / (y1 - y0)


def strips(start: Point, end: Point, scale: float) -> list[Box]:
    """A line on paper, in boxes small enough that what is beside it stays free."""
    pieces = max(1, ceil(dist(start, end) / (_STRIP_MM * scale)))
    steps = [
        (start[0] + (end[0] - start[0]) * k / pieces, start[1] + (end[1] - start[1]) * k / pieces)
        for k in range(pieces + 1)
    ]
    return [
        Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])).grown(0.2 * scale)
        for a, b in pairwise(steps)
    ]


def covered(view: View, solid: Solid, scale: float) -> list[Box]:
    """What a body covers on paper, in strips."""
    corners = [projected(view, at) for edge in edges_of(solid) for at in edge]
    lines = [(projected(view, edge[0]), projected(view, edge[1])) for edge in edges_of(solid)]
    low, high = min(y for _, y in corners), max(y for _, y in corners)
    count = ceil((high - low) / (_STRIP_MM * scale))
    found = []
    for number in range(count):
        y0, y1 = (low + (high - low) * k / count for k in (number, number + 1))
        xs = [x for x, y in corners if y0 <= y <= y1]
        xs += [x for start, end in lines for y in (y0, y1) if (x := _crossing(start, end, y)) is not None]
        found.append(Box(min(xs), y0, max(xs), y1))
    return found
