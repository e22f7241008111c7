"""What stands where on the boards of the bays, fixtures among it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from optimiser.basis import bodies
from optimiser.builds import Fitted
from optimiser.case import Board, Kept
from optimiser.fitted.fit import ROWS, Fit, slot_of
from optimiser.fitted.shapes import Rect
from optimiser.parts import Body, Holder


@dataclass(frozen=True)
class Standing:
    """A body on a board."""

    slot: str
    board: Board
    rect: Rect
    foot: bodies.Footprint
    kept: bool  # stays where the survey found it
    fixture: bool = False  # and only takes space


def standing(fit: Fit) -> list[Standing]:
    """All bodies on boards. A fuse on the battery's terminal takes no board: it stands on the bank."""
    return [*_fitted(fit), *_fixtures(fit)]


def kept_row(fit: Fit, fitted: Fitted) -> Kept | None:
    """The row of the survey for what is said to stay in this slot; None where it names nothing that can, there."""
    if not fitted.kept or slot_of(fit.catalogue.find(fitted.part)) != fitted.slot:
        return None
    return next((k for k in fit.case.keep if k.kind == "part" and _same(k, fitted)), None)


def _same(kept: Kept, fitted: Fitted) -> bool:
    return (kept.part, kept.board, kept.x_mm, kept.y_mm) == (fitted.part, fitted.board, fitted.x_mm, fitted.y_mm)


def _fitted(fit: Fit) -> Iterator[Standing]:
    for fitted in fit.build.fitted:
        foot = _footprint(fit, fitted)
        if foot:
            rect = Rect.sized(fitted.x_mm, fitted.y_mm, foot.length_mm, foot.width_mm)
            yield Standing(fitted.slot, fit.case.board_of[fitted.board], rect, foot, kept_row(fit, fitted) is not None)


def _fixtures(fit: Fit) -> Iterator[Standing]:
    in_slots = [kept_row(fit, fitted) for fitted in fit.build.fitted]
    for kept in fit.case.keep:
        if any(kept is row for row in in_slots):
            continue
        rect = Rect.sized(kept.x_mm, kept.y_mm, kept.length_mm, kept.width_mm)
        foot = bodies.Footprint(kept.length_mm, kept.width_mm, kept.depth_mm, 0, 0)
        yield Standing(kept.name, fit.case.board_of[kept.board], rect, foot, kept=True, fixture=True)


def _footprint(fit: Fit, fitted: Fitted) -> bodies.Footprint | None:
    if fitted.slot == "bank":
        return _block(fit, fitted)
    if fitted.slot in ROWS:
        shunts = [shunt for shunt, count in fit.shunts for _ in range(count)]
        row = bodies.row(fit.row_holders if fitted.slot == "fuse_row" else shunts)
        return row.quarter_turn() if fitted.turned else row
    body = fit.part(fitted.part, Body)
    if isinstance(body, Holder) and body.on_terminal:
        return None
    kept = kept_row(fit, fitted)
    if kept:
        return bodies.staying(body, kept)
    board = fit.case.board_of[fitted.board]
    return bodies.footprint(body, stance=fitted.stance, turned=fitted.turned, board=board)


def _block(fit: Fit, fitted: Fitted) -> bodies.Footprint:
    bank, holders = fit.build.bank, (fit.main_holder, fit.module_holder)
    block = bodies.block(fit.module, stance=fitted.stance, turned=fitted.turned, rows=bank.rows, columns=bank.columns)
    on_top = max((holder.height_mm for holder in holders if holder and holder.on_terminal), default=0)
    return replace(block, depth_mm=block.depth_mm + on_top)
