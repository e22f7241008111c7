"""Where vents can be cut: two openings each, one above the other, on a stretch of wall without a board or a hole.

Where the survey says on which face a board is and where, what it leaves beside it is free. Of another, one that fills a
side but for a frame is taken to be on that; any other may be on each side it is not too long for, of which nothing is
left then, and of all ways that is, the one that leaves the least counts.

A surveyed cable opening takes the wall as wide as its bore, at whatever height it is, as a board does; what openings of
vents keep from the end of a stretch is the rim that its grommet needs (common practice, no source).
"""

from collections.abc import Iterator, Sequence
from itertools import product
from math import ceil, floor, sqrt
from typing import NamedTuple

from optimiser.basis.faces import hole_bore_mm
from optimiser.case import Bay, Board, Case
from optimiser.parts import Vent

EDGE_MM = 30
"""Left of the wall beside, below, above and between openings, and beside holes of ways (common practice, no source)."""

LEAST_MM = 40
"""Lowest slot that a grille is made for (common practice, no source)."""

FRAME_MM = 80
"""Battens and rims on both sides of a board that fills its side (common practice, no source)."""

WALLS = ("right", "front", "left", "rear")
"""As one comes to them turning to the left: seen from inside, each has the next at its left end."""

_MOST_BOARDS = 6  # walls beyond are taken to leave nothing free


class Stretch(NamedTuple):
    """Of a wall, from where to where along it, from its left end seen from inside [mm]."""

    face: str
    start: int
    end: int


class _On(NamedTuple):
    """A board on one of the walls by its number, how far bodies reach off it, and from where to where it is [mm]."""

    wall: int
    deep: int
    span: tuple[int, int] | None


def opening_mm(bay: Bay, vent: Vent) -> tuple[int, int]:
    """Length and height of each of its two openings: half the cut-out each, rounded up [mm].

    A square, or what the bay's height leaves and longer by as much: the catalogue gives an area, not a shape. A fan
    has a round frame, so its opening stays a square.
    """
    area_mm2 = vent.cut_out_cm2 / 2 * 100
    side, left = ceil(sqrt(area_mm2)), height_left_mm(bay)
    if side <= left or vent.kind == "fan" or left < LEAST_MM:
        return side, side
    return ceil(area_mm2 / left), left


def height_left_mm(bay: Bay) -> int:
    """Height that is left for an opening, two of them the survey's height apart; even, since it has a middle.

    What lies between the two is wall, as wide as an edge at least.
    """
    return min(bay.height_mm - 2 * EDGE_MM - bay.stack_mm, bay.stack_mm - EDGE_MM) // 2 * 2


def high_enough(bay: Bay, vent: Vent) -> bool:
    """Whether its two openings fit above one another."""
    return -(-opening_mm(bay, vent)[1] // 2) * 2 <= height_left_mm(bay)


def wall_mm(case: Case, bay: Bay) -> int:
    """The longest stretch of a wall without a board or a hole, and off what stands on the walls beside it [mm]."""
    return min(max((it.end - it.start for it in free), default=0) for free in _ways(case, bay))


def stretches(case: Case, bay: Bay) -> list[Stretch]:
    """All such stretches; none where it is not surveyed on which wall some board is."""
    unknown = [board for board in _boards(case, bay) if board.corner is None]
    return [] if unknown else next(_ways(case, bay))


def _boards(case: Case, bay: Bay) -> list[Board]:
    return [board for board in case.boards if board.bay == bay.name and board.kind == "wall"]


def _ways(case: Case, bay: Bay) -> Iterator[list[Stretch]]:
    """What is free, in every way that boards may be on walls."""
    boards = _boards(case, bay)
    if len(boards) > _MOST_BOARDS:
        yield []
        return
    sizes, holes = (bay.length_mm, bay.width_mm, bay.length_mm, bay.width_mm), list(_holes(case, bay))
    for way in product(*(_may_be_on(board, sizes) for board in boards)):
        yield list(_free(way, holes, sizes))


def _holes(case: Case, bay: Bay) -> Iterator[Stretch]:
    """What cable openings take of the walls; of one whose way is not surveyed nobody knows how wide it is."""
    for opening in case.cable_openings:
        bore_mm = hole_bore_mm(case, opening)
        if opening.bay == bay.name and opening.face in WALLS and bore_mm is not None:
            half_mm = bore_mm / 2
            yield Stretch(opening.face, floor(opening.left_mm - half_mm), ceil(opening.left_mm + half_mm))


def _may_be_on(board: Board, sizes: tuple[int, ...]) -> list[_On]:
    """Where it is; else the sides it fills, else those it is not too long for."""
    if board.corner is not None:
        face, left_mm, _ = board.corner
        return [_On(WALLS.index(face), board.depth_mm, (left_mm, left_mm + board.length_mm))]
    spare = {number: mm - board.length_mm for number, mm in enumerate(sizes)}
    filled = [number for number, mm in spare.items() if 0 <= mm <= FRAME_MM]
    on = filled or [number for number, mm in spare.items() if mm >= 0] or list(spare)
    return [_On(number, board.depth_mm, None) for number in on]


def _free(boards: Sequence[_On], holes: Sequence[Stretch], sizes: tuple[int, ...]) -> Iterator[Stretch]:
    reach = [max((it.deep for it in boards if it.wall == number), default=0) for number in range(4)]
    for number, face in enumerate(WALLS):
        spans = [it.span for it in boards if it.wall == number]
        if None in spans:
            continue
        at, end = reach[(number + 1) % 4], sizes[number] - reach[number - 1]
        taken = [span for span in spans if span] + [(hole.start, hole.end) for hole in holes if hole.face == face]
        for low, high in [*sorted(taken), (end, end)]:
            if min(low, end) > at:
                yield Stretch(face, at, min(low, end))
            at = max(at, high)
