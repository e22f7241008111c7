"""Where a rectangle of a board and the hole of a way are in their bay, and how far a cable goes there along its faces.

Boards are taken to lie on a face of their bay, not on a partition within it. A cable follows the faces square to the
edges: no bend, no lug, no detour round bodies is in these lengths. A way's own length is from hole to hole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil

from optimiser.case import CableOpening, Case, Way
from optimiser.physics.surfaces import Patch, Point, along_faces_mm, between_patches_mm, on_face_mm

Span = tuple[float, float]
Solid = tuple[Point, Point]
INWARDS = {"floor": (2, True), "front": (0, False), "rear": (0, True), "left": (1, False), "right": (1, True)}
"""Face -> the axis away from it, and whether that is the way it goes from the face."""


def opening_point(case: Case, bay: str, way: str) -> Point | None:
    """The middle of the hole a way comes in by: x forward, y to the left, z up from the rear right lower corner of its
    bay [mm]; None where it is not surveyed."""
    opening = case.opening_of.get((bay, way))
    if opening is None:
        return None
    size = case.bay_of[bay].inside
    return on_face_mm(size=size, face=opening.face, left_mm=opening.left_mm, bottom_mm=opening.bottom_mm)


def patch(case: Case, board: str, x_mm: Span, y_mm: Span) -> Patch | None:
    """A rectangle of a board, along its length and width, in its bay; None where the board's place is not surveyed."""
    surveyed = case.board_of[board].corner
    if surveyed is None:
        return None
    (face, left, bottom), size = surveyed, case.bay_of[case.board_of[board].bay].inside
    corners = [
        on_face_mm(size=size, face=face, left_mm=left + x, bottom_mm=bottom + y, beyond=True)
        for x, y in zip(x_mm, y_mm, strict=True)
    ]
    low, high = (tuple(pick(axis) for axis in zip(*corners, strict=True)) for pick in (min, max))
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
    bore_mm = hole_bore_mm(case, opening)
    at = opening_point(case, opening.bay, opening.way)
    if bore_mm is None or at is None:
        return None
    low, high = [mm - bore_mm / 2 for mm in at], [mm + bore_mm / 2 for mm in at]
    axis, inwards = (2, False) if opening.face == "ceiling" else INWARDS[opening.face]
    low[axis], high[axis] = (at[axis], at[axis] + bore_mm) if inwards else (at[axis] - bore_mm, at[axis])
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def hole_bore_mm(case: Case, opening: CableOpening) -> int | None:
    """How wide the hole of a way is: as its way, where nothing else is said; None where that is not surveyed [mm]."""
    if opening.bore_mm is not None:
        return opening.bore_mm
    return next((way.bore_mm for way in case.ways if way.name == opening.way), None)


def meet(one: Solid, other: Solid) -> bool:
    """Whether two bodies of a bay take the same room; to touch is not to meet."""
    return all(a < d and c < b for a, b, c, d in zip(*one, *other, strict=True))
