"""Weatherproof entries through outside walls."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.fitted.fit import Fit
from optimiser.fitted.shapes import Rect
from optimiser.fitted.standing import standing
from optimiser.fixings.fixing import BOARD_DATUM, Fixing
from optimiser.fixings.places import SEALANT_MM, around, nearest
from optimiser.parts import Entry

_PROPOSED = (
    "proposed, clear of what stands on this board, as near to the middle of its upper edge as can be; "
    "look outside before you drill"
)
_NOWHERE = "no free place found on this board beside what stands there, decide in the bay"


def pass_throughs(fit: Fit) -> Iterator[Fixing]:
    """Each on its board, clear of the bodies there with the clearance these want."""
    taken: dict[str, list[Rect]] = {}
    for body in standing(fit):
        x, y = body.foot.clear_x_mm, body.foot.clear_y_mm
        grown = Rect(body.rect.x0 - x, body.rect.y0 - y, body.rect.x1 + x, body.rect.y1 + y)
        taken.setdefault(body.board.place, []).append(grown)
    for entry in fit.build.entries:
        if not entry.board:
            continue
        board, part = fit.case.board_of[entry.board], fit.part(entry.entry, Entry)
        whole, size = Rect(0, 0, board.length_mm, board.width_mm), (part.length_mm, part.width_mm)
        there = taken.setdefault(entry.board, [])
        for number in range(1, entry.count + 1):
            spot = nearest((board.length_mm // 2, board.width_mm), size, within=[whole], off=there)
            if spot:
                there.append(around(spot, size, SEALANT_MM))
            yield Fixing(
                kind="pass_through",
                name=entry.purpose if entry.count == 1 else f"{entry.purpose}-{number}",
                place=entry.board,
                part=part.name,
                x_mm=spot[0] if spot else None,
                y_mm=spot[1] if spot else None,
                length_mm=size[0],
                width_mm=size[1],
                datum=BOARD_DATUM,
                surveyed=False,
                note=_PROPOSED if spot else _NOWHERE,
            )
