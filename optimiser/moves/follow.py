"""Boards that go with their bay: a board that fills it, but for a frame, still does when the bay grows."""

from __future__ import annotations

from optimiser.basis.vents import FRAME_MM
from optimiser.case import Bay, Board
from optimiser.moves.values import shown

_MEASURES = ("length_mm", "width_mm", "height_mm")

_FLOOR = {"length_mm": "length_mm", "width_mm": "width_mm", "depth_mm": "height_mm"}
_ALONG_LENGTH = {"length_mm": "length_mm", "width_mm": "height_mm", "depth_mm": "width_mm"}
_ALONG_WIDTH = {"length_mm": "width_mm", "width_mm": "height_mm", "depth_mm": "length_mm"}
_EITHER_WALL = {"width_mm": "height_mm"}  # all that is sure where nothing tells which wall it is on


def follow(boards: tuple[Board, ...], old: Bay, new: Bay) -> tuple[tuple[Board, ...], tuple[tuple[str, str, str], ...]]:
    """The boards after a bay has changed, and what changed of them: (address, before, after)."""
    changed = {measure for measure in _MEASURES if getattr(old, measure) != getattr(new, measure)}
    found, also = [], []
    for board in boards:
        followed = measures(board, old).items() if board.bay == old.name else ()
        update = {
            column: getattr(board, column) + getattr(new, measure) - getattr(old, measure)
            for column, measure in followed
            if measure in changed and _fills(getattr(board, column), getattr(old, measure))
        }
        also += [
            (f"board.{board.place}.{column}", shown(getattr(board, column)), shown(value))
            for column, value in update.items()
        ]
        found.append(board.model_copy(update=update))
    return tuple(found), tuple(also)


def measures(board: Board, bay: Bay) -> dict[str, str]:
    """Measure of the board -> measure of the bay in that direction."""
    if board.kind == "floor":
        return _FLOOR
    long, wide = _fills(board.length_mm, bay.length_mm), _fills(board.length_mm, bay.width_mm)
    if long == wide:  # its length does not tell: the free space in front of it may
        long, wide = _fills(board.depth_mm, bay.width_mm), _fills(board.depth_mm, bay.length_mm)
    if long == wide:
        return _EITHER_WALL
    return _ALONG_LENGTH if long else _ALONG_WIDTH


def _fills(board_mm: int, bay_mm: int) -> bool:
    return 0 <= bay_mm - board_mm <= FRAME_MM
