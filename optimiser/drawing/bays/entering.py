"""Where runs come into a bay, on the view of one of its boards: through the face it is on, or from beyond its edges."""

from collections.abc import Iterable

from optimiser.case import Bay, Board
from optimiser.drawing.bays.places import Hole
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import Sheet
from optimiser.physics.surfaces import Point as InBay
from optimiser.physics.surfaces import directions_of, on_face_mm, opposite

_ARROW_MM = 5.0  # of paper


def at_edge(*, size: InBay, face: str, other: str, left_mm: float, bottom_mm: float) -> Point | None:
    """Where a place on another face is, seen square to this one: on the edge that both share; None without one."""
    if face == other or opposite(face, other):
        return None
    at = on_face_mm(size=size, face=other, left_mm=left_mm, bottom_mm=bottom_mm)
    along, back, up = directions_of(face)
    return (size[along] - at[along] if back else at[along]), at[up]


def draw_entries(view: Sheet, bay: Bay, board: Board, holes: Iterable[Hole]) -> list[tuple[Hole, Point, Point]]:
    """An arrow at each edge of a board beyond which runs come in by another face; each with its tip and its tail."""
    if board.corner is None:
        return []
    face, left, bottom = board.corner
    drawn = []
    for hole in holes:
        it = hole.opening
        edge = at_edge(size=bay.inside, face=face, other=it.face, left_mm=it.left_mm, bottom_mm=it.bottom_mm)
        if edge and hole.runs:
            drawn.append((hole, *_arrow(view, board, (edge[0] - left, edge[1] - bottom), _out(bay, face, edge))))
    return drawn


def _out(bay: Bay, face: str, edge: Point) -> Point:
    """The direction away from a face at a point of its edge."""
    along, _, up = directions_of(face)
    (x, y), (wide, high) = edge, (bay.inside[along], bay.inside[up])
    return ((x == wide) - (x == 0), 0) if x in (0, wide) else (0, (y == high) - (y == 0))


def _arrow(view: Sheet, board: Board, at: Point, out: Point) -> tuple[Point, Point]:
    """From outside up to the board; where it ends and where it begins."""
    sides = (board.length_mm, board.width_mm)
    tip = [min(max(place, 0), side) if off else place for place, off, side in zip(at, out, sides, strict=True)]
    tail = tip[0] + out[0] * _ARROW_MM * view.scale, tip[1] + out[1] * _ARROW_MM * view.scale
    view.arrow(tail, (tip[0], tip[1]))
    view.solid.append(Box.around([Box(*tail, *tail), Box(*tip, *tip)]))
    return (tip[0], tip[1]), tail
