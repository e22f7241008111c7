"""Where a point of a board and the hole of a way are in their bay, and how far a cable goes there along its faces.

Boards are taken to lie on a face of their bay, not on a partition within it. A cable follows the faces square to the
edges: no bend, no lug, no detour round bodies is in these lengths. A way's own length is from hole to hole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from optimiser.case import Bay, CableOpening, Case, Way
from optimiser.physics.surfaces import Patch, Point, along_faces_mm, between_patches_mm, furthest_mm, on_face_mm


@dataclass(frozen=True)
class OnBoard:
    """A place on a board, as a terminal has one: along its length (x) and width (y), and how far off it [mm]."""

    board: str  # bay.board
    x_mm: float
    y_mm: float
    off_mm: float = 0


@dataclass(frozen=True)
class Along:
    """Length of a cable along the faces of a bay [mm]; where not ``surveyed``, the most it can be."""

    mm: float
    surveyed: bool


Span = tuple[float, float]
Solid = tuple[Point, Point]
INWARDS = {"floor": (2, True), "front": (0, False), "rear": (0, True), "left": (1, False), "right": (1, True)}
"""Face -> the axis away from it, and whether that is the way it goes from the face."""


def board_point(case: Case, at: OnBoard) -> Point | None:
    """The point of the board, which lies on its face, in the bay: x forward, y to the left, z up from its rear right
    lower corner [mm]; None where the board's place is not surveyed."""
    return _board_point(case, at, beyond=False)


def _board_point(case: Case, at: OnBoard, *, beyond: bool) -> Point | None:
    board = case.board_of[at.board]
    if board.corner is None:
        return None
    face, left, bottom = board.corner
    size = case.bay_of[board.bay].inside
    return on_face_mm(size=size, face=face, left_mm=left + at.x_mm, bottom_mm=bottom + at.y_mm, beyond=beyond)


def opening_point(case: Case, bay: str, way: str) -> Point | None:
    """The middle of the hole a way comes in by, as `board_point`; None where it is not surveyed."""
    opening = case.opening_of.get((bay, way))
    if opening is None:
        return None
    size = case.bay_of[bay].inside
    return on_face_mm(size=size, face=opening.face, left_mm=opening.left_mm, bottom_mm=opening.bottom_mm)


def patch(case: Case, board: str, x_mm: Span, y_mm: Span) -> Patch | None:
    """A rectangle of a board, along its length and width, in its bay; None where the board's place is not surveyed."""
    face = case.board_of[board].face
    corners = [_board_point(case, OnBoard(board, *at), beyond=True) for at in zip(x_mm, y_mm, strict=True)]
    known = [corner for corner in corners if corner is not None]
    if len(known) < len(corners) or face is None:
        return None
    low, high = (tuple(pick(axis) for axis in zip(*known, strict=True)) for pick in (min, max))
    return Patch(face, (low[0], low[1], low[2]), (high[0], high[1], high[2]))


def hole(case: Case, bay: str, way: str) -> Patch | None:
    """The middle of the hole a way comes into a bay by, as `patch`; None where it is not surveyed."""
    point = opening_point(case, bay, way)
    return Patch(case.opening_of[bay, way].face, point, point) if point else None


def ways_mm(case: Case, ways: Sequence[Way]) -> int:
    """Along ways in order, and from hole to hole of the bays between them where both holes are surveyed [mm]."""
    inside = 0.0
    for bay, *both in gone_through(case, ways):
        start, end = (opening_point(case, bay, way) for way in both)
        if start and end:
            inside += along_faces_mm(size=case.bay_of[bay].inside, start=start, end=end)
    return sum(way.length_mm for way in ways) + ceil(inside)


def gone_through(case: Case, ways: Sequence[Way]) -> Iterator[tuple[str, str, str]]:
    """Each bay between two ways of a run, with the one that it comes by and the one that it leaves by."""
    for one, other in pairwise(ways):
        for bay in {one.start, one.end} & {other.start, other.end} & case.bay_of.keys():
            yield bay, one.name, other.name


def nearest_board_mm(case: Case, bay: str, way: str) -> int:
    """From that board of a bay which is nearest to the hole of a way; 0 where hole or a board is not surveyed [mm]."""
    at = hole(case, bay, way)
    boards = [board for board in case.boards if board.bay == bay]
    patches = [patch(case, b.place, (0, b.length_mm), (0, b.width_mm)) for b in boards]
    if at is None or not all(patches):
        return 0
    size = case.bay_of[bay].inside
    return min((int(between_patches_mm(size=size, one=p, other=at)) for p in patches if p), default=0)


def between(case: Case, one: OnBoard, other: OnBoard) -> Along:
    """From a place on a board to another in the same bay, by the surface of the boards: off one, onto the other.

    On one board the length is known wherever the board is. Else, where a board is not surveyed, it is the most that
    can be: from the one that is known to the furthest corner, or from corner to corner.

    Raises
    ------
    ValueError
        If the boards are in two bays: what lies between is a matter of the ways.
    """
    bay = case.bay_of[case.board_of[one.board].bay]
    if case.board_of[other.board].bay != bay.name:
        raise ValueError(f"{one.board} and {other.board} are in two bays")
    if one.board == other.board:
        found = Along(abs(one.x_mm - other.x_mm) + abs(one.y_mm - other.y_mm), surveyed=True)
    else:
        found = _between(bay, board_point(case, one), board_point(case, other))
    return Along(found.mm + one.off_mm + other.off_mm, found.surveyed)


def solid(case: Case, board: str, *, x: Span, y: Span, off_mm: float) -> Solid | None:
    """What a body takes of its bay, from its least to its greatest corner: a rectangle on its board, and how far it
    reaches off that [mm]; it may stick out of the bay. None where the board's place is not surveyed."""
    on = patch(case, board, x, y)
    if on is None:
        return None
    low, high = list(on.low), list(on.high)
    axis, inwards = INWARDS[on.face]
    if inwards:
        high[axis] += off_mm
    else:
        low[axis] -= off_mm
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def before_hole(case: Case, opening: CableOpening) -> Solid | None:
    """What a way's cables take of their bay where they come in: as deep as their hole is wide, so that they can turn
    (common practice, no source).

    None where the way is not surveyed, of which the bore is.
    """
    bores = (way.bore_mm for way in case.ways if way.name == opening.way)
    bore_mm = next(bores, None) if opening.bore_mm is None else opening.bore_mm
    at = opening_point(case, opening.bay, opening.way)
    if bore_mm is None or at is None:
        return None
    low, high = [mm - bore_mm / 2 for mm in at], [mm + bore_mm / 2 for mm in at]
    axis, inwards = (2, False) if opening.face == "ceiling" else INWARDS[opening.face]
    low[axis], high[axis] = (at[axis], at[axis] + bore_mm) if inwards else (at[axis] - bore_mm, at[axis])
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def meet(one: Solid, other: Solid) -> bool:
    """Whether two bodies of a bay take the same room; to touch is not to meet."""
    return all(a < d and c < b for a, b, c, d in zip(*one, *other, strict=True))


def _between(bay: Bay, one: Point | None, other: Point | None) -> Along:
    if one is not None and other is not None:
        return Along(along_faces_mm(size=bay.inside, start=one, end=other), surveyed=True)
    return Along(furthest_mm(size=bay.inside, start=one or other), surveyed=False)
