"""What stands on the wall boards of a bay in front of the openings of a vent, as far as that can be told.

The survey says how large boards and bays are, not where a board lies in its bay nor which of its ends is the bay's
rear one. So every place is looked at: along the bay's length, its lower edge level, either end to the rear.
"""

from __future__ import annotations

from collections.abc import Mapping

from optimiser.audit.fitted import Fit
from optimiser.audit.shapes import Rect
from optimiser.audit.standing import standing
from optimiser.case import Bay, Board


def in_front(fit: Fit, bay: Bay, openings: Mapping[str, Rect]) -> str:
    """In words, of the bay's wall boards; ``openings``: level -> rectangle in the bay, x from its rear, y up [mm]."""
    told: dict[str, list[str]] = {"sure": [], "may": [], "unknown": []}
    for board in fit.case.boards:
        if openings and board.bay == bay.name and board.kind == "wall":
            how, text = _told(fit, bay, board, openings)
            told[how].append(text)
    sentences = {
        "sure": "in front of them stands {}",
        "may": "where boards lie in the bay and which of their ends is its rear one is not surveyed, so it cannot be "
        "told what stands in front of them; look before cutting: it may be {}",
        "unknown": "what stands in front of them cannot be told of {}, larger than the bay's side",
    }
    return "; ".join(sentences[how].format(" and ".join(texts)) for how, texts in told.items() if texts)


def before(fit: Fit, bay: Bay, board: Board, opening: Rect) -> list[str]:
    """Slots of bodies that may stand in front of an opening, wherever the board lies."""
    rear, front = (_over(fit, bay, board, opening, mirrored=mirrored) for mirrored in (False, True))
    return [*rear, *(slot for slot in front if slot not in rear)]


def _over(fit: Fit, bay: Bay, board: Board, opening: Rect, *, mirrored: bool) -> list[str]:
    spare_x, spare_y = _spare(bay, board)
    found = []
    for body in standing(fit):
        if body.board.place != board.place:
            continue
        x0, x1 = body.rect.x0, body.rect.x1
        if mirrored:
            x0, x1 = board.length_mm - x1, board.length_mm - x0
        if Rect(x0, body.rect.y0, x1 + spare_x, body.rect.y1 + spare_y).gap(opening) < 0:
            found.append(body.slot)
    return found


def _spare(bay: Bay, board: Board) -> tuple[int, int]:
    """How far a board may be moved within the bay's side."""
    return bay.length_mm - board.length_mm, bay.height_mm - board.width_mm


def _told(fit: Fit, bay: Bay, board: Board, openings: Mapping[str, Rect]) -> tuple[str, str]:
    """How sure it is, and the bodies by level."""
    spare = _spare(bay, board)
    if min(spare) < 0:
        return "unknown", board.name
    levels, sure = [], spare == (0, 0)
    for level, opening in openings.items():
        one, other = (_over(fit, bay, board, opening, mirrored=mirrored) for mirrored in (False, True))
        sure = sure and set(one) == set(other)
        bodies = before(fit, bay, board, opening)
        levels += [f"{', '.join(bodies)} ({level})"] if bodies else []
    if not levels:
        return "sure", f"nothing on {board.name}"
    return "sure" if sure else "may", f"on {board.name} {', '.join(levels)}"
