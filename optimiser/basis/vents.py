"""Where vents can be cut: two openings each, one above the other, on an upright side of the bay without a board.

The survey does not say on which side a board is. One that fills a side but for a frame is taken to be on that; any
other may be on each side it is not too long for, and of all ways that is, the one that leaves the least counts.
"""

from itertools import product
from math import ceil, sqrt

from optimiser.case import Bay, Board, Case
from optimiser.parts import Vent

EDGE_MM = 30
"""Left of the wall beside, below, above and between openings (common practice, no source)."""

LEAST_MM = 40
"""Lowest slot that a grille is made for (common practice, no source)."""

FRAME_MM = 80
"""Battens and rims on both sides of a board that fills its side (common practice, no source)."""

_MOST_BOARDS = 6  # walls beyond are taken to leave nothing free

Depths = list[tuple[int, int]]  # of a side and its board: which of four round the bay, how far bodies reach off it


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
    """The longest stretch of one side with no board on it, and off what stands on the sides beside it [mm]."""
    walls = [board for board in case.boards if board.bay == bay.name and board.kind == "wall"]
    if len(walls) > _MOST_BOARDS:
        return 0
    sides = (bay.length_mm, bay.width_mm, bay.length_mm, bay.width_mm)  # in their order round the bay
    ways = product(*(_may_be_on(board, sides) for board in walls))
    return min(_longest([(side, board.depth_mm) for side, board in zip(on, walls, strict=True)], sides) for on in ways)


def _may_be_on(board: Board, sides: tuple[int, ...]) -> list[int]:
    """The sides it fills, else those it is not too long for."""
    spare = {number: side - board.length_mm for number, side in enumerate(sides)}
    filled = [number for number, mm in spare.items() if 0 <= mm <= FRAME_MM]
    return filled or [number for number, mm in spare.items() if mm >= 0] or list(spare)


def _longest(boards: Depths, sides: tuple[int, ...]) -> int:
    reach = [max((deep for on, deep in boards if on == number), default=0) for number in range(4)]
    taken = {on for on, _ in boards}
    free = [sides[k] - reach[k - 1] - reach[(k + 1) % 4] for k in range(4) if k not in taken]
    return max([0, *free])
