"""Where panels lie on the roof and parts stand in the bays, and what stays free beside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from optimiser.basis import bodies
from optimiser.builds import Fitted, PlacedPanel
from optimiser.case import Board, Case, Existing, Obstacle, Zone
from optimiser.connections import ROWS
from optimiser.fitted.fit import Fit, once, slot_of
from optimiser.parts import Body, Holder, Panel

# --- rectangles on a roof or a board ------------------------------------------------------------------


@dataclass(frozen=True)
class Rect:
    """From (x0, y0) to (x1, y1) [mm]."""

    x0: int
    y0: int
    x1: int
    y1: int

    @classmethod
    def sized(cls, x_mm: int, y_mm: int, length_mm: int, width_mm: int) -> Rect:
        """From its corner with the smallest x and y, length along x, width along y."""
        return cls(x_mm, y_mm, x_mm + length_mm, y_mm + width_mm)

    def grown(self, by_mm: int) -> Rect:
        """Larger by this on all sides."""
        return Rect(self.x0 - by_mm, self.y0 - by_mm, self.x1 + by_mm, self.y1 + by_mm)

    def gap_x(self, other: Rect) -> int:
        """Distance along x, below 0 where they share a span."""
        return max(self.x0 - other.x1, other.x0 - self.x1)

    def gap_y(self, other: Rect) -> int:
        """Distance along y, below 0 where they share a span."""
        return max(self.y0 - other.y1, other.y0 - self.y1)

    def gap(self, other: Rect) -> int:
        """The larger of the two: below 0 only if they overlap."""
        return max(self.gap_x(other), self.gap_y(other))

    def around_corner(self, other: Rect) -> int:
        """Distance along x and then along y, as a cable goes."""
        return max(0, self.gap_x(other)) + max(0, self.gap_y(other))

    def far_corners(self, other: Rect) -> int:
        """The most that a point of one is from a point of the other, along x and then along y."""
        return max(self.x1 - other.x0, other.x1 - self.x0) + max(self.y1 - other.y0, other.y1 - self.y0)

    def inside(self, outer: Rect) -> int:
        """Smallest distance to a side of ``outer``, below 0 if it sticks out."""
        return min(self.x0 - outer.x0, outer.x1 - self.x1, self.y0 - outer.y0, outer.y1 - self.y1)


# --- where panels lie on the roof, and what they lie beside -------------------------------------------


@dataclass(frozen=True)
class Lying:
    """A panel where it lies."""

    panel: Panel
    rect: Rect


def panels_on(fit: Fit, zone: Zone) -> list[Lying]:
    """The panels of a zone."""
    found = []
    for placed in fit.build.panels:
        if placed.zone == zone.name:
            found.append(Lying(fit.part(placed.panel, Panel), panel_rect(fit, placed)))
    return found


def panel_rect(fit: Fit, placed: PlacedPanel) -> Rect:
    """Where a panel lies [mm]."""
    panel = fit.part(placed.panel, Panel)
    size = (panel.width_mm, panel.length_mm) if placed.rotated else (panel.length_mm, panel.width_mm)
    return Rect.sized(placed.x_mm, placed.y_mm, *size)


def obstacle_rect(obstacle: Obstacle) -> Rect:
    """Where an obstacle stands [mm]."""
    return Rect.sized(obstacle.x_mm, obstacle.y_mm, obstacle.length_mm, obstacle.width_mm)


def zone_rect(zone: Zone) -> Rect:
    """Where a zone lies [mm]."""
    return Rect.sized(zone.x_mm, zone.y_mm, zone.length_mm, zone.width_mm)


# --- what stands where on the boards of the bays, fixtures among it -----------------------------------


@dataclass(frozen=True)
class Standing:
    """A body on a board."""

    slot: str
    board: Board
    rect: Rect
    foot: bodies.Footprint
    existing: bool  # stays where the survey found it
    fixture: bool = False  # and only takes space


@once
def standing(fit: Fit) -> tuple[Standing, ...]:
    """All bodies on boards. A fuse on the battery's terminal takes no board: it stands on the bank."""
    return (*_fitted(fit), *_fixtures(fit))


@once
def standing_in(fit: Fit) -> dict[str, Standing]:
    """Slot -> what fills it, not a fixture of that name; then fixtures by theirs."""
    return {body.slot: body for body in reversed(standing(fit))}


def existing_row(fit: Fit, fitted: Fitted) -> Existing | None:
    """The row of the survey for what is said to stay in this slot; None where it names nothing that can, there."""
    if not fitted.existing or slot_of(fit.catalogue.find(fitted.part)) != fitted.slot:
        return None
    return next((k for k in fit.case.existing if k.kind == "part" and _same(k, fitted)), None)


def _same(row: Existing, fitted: Fitted) -> bool:
    return (row.part, row.board, row.x_mm, row.y_mm) == (fitted.part, fitted.board, fitted.x_mm, fitted.y_mm)


def _fitted(fit: Fit) -> Iterator[Standing]:
    for fitted in fit.build.fitted:
        foot = _footprint(fit, fitted)
        if foot:
            rect = Rect.sized(fitted.x_mm, fitted.y_mm, foot.length_mm, foot.width_mm)
            yield Standing(
                fitted.slot, fit.case.board_of[fitted.board], rect, foot, existing_row(fit, fitted) is not None
            )


def _fixtures(fit: Fit) -> Iterator[Standing]:
    in_slots = [existing_row(fit, fitted) for fitted in fit.build.fitted]
    for row in fit.case.existing:
        if any(row is one for one in in_slots):
            continue
        rect = Rect.sized(row.x_mm, row.y_mm, row.length_mm, row.width_mm)
        foot = bodies.Footprint(row.length_mm, row.width_mm, row.depth_mm, 0, 0)
        yield Standing(row.name, fit.case.board_of[row.board], rect, foot, existing=True, fixture=True)


def _footprint(fit: Fit, fitted: Fitted) -> bodies.Footprint | None:
    if fitted.slot == "bank":
        return _block(fit, fitted)
    if fitted.slot in ROWS:
        shunts = [shunt for shunt, count in fit.shunts for _ in range(count)]
        row = bodies.row(fit.row_holders if fitted.slot == "fuse_row" else shunts)
        return row.quarter_turn() if fitted.rotated else row
    body = fit.part(fitted.part, Body)
    if isinstance(body, Holder) and body.on_terminal:
        return None
    if there := existing_row(fit, fitted):
        return bodies.staying(body, there)
    board = fit.case.board_of[fitted.board]
    return bodies.footprint(body, orientation=fitted.orientation, rotated=fitted.rotated, board=board)


def _block(fit: Fit, fitted: Fitted) -> bodies.Footprint:
    bank, holders = fit.build.bank, (fit.main_holder, fit.module_holder)
    block = bodies.block(
        fit.module, orientation=fitted.orientation, rotated=fitted.rotated, rows=bank.rows, columns=bank.columns
    )
    on_top = max((holder.height_mm for holder in holders if holder and holder.on_terminal), default=0)
    return replace(block, depth_mm=block.depth_mm + on_top)


# --- what stays free on a roof: where lids come to lie and people walk --------------------------------


def kept_free(case: Case) -> dict[str, Rect]:
    """All of it on the roof of a case, by what a note calls it: clearances of obstacles, open lids, walkways [mm]."""
    found = {f"the clearance of {o.name}": obstacle_rect(o).grown(o.clear_mm) for o in case.obstacles if o.clear_mm}
    found |= {f"the open lid of {o.name}": lid for o in case.obstacles if (lid := lid_rect(o))}
    return found | {f"the walkway of {z.name}": walkway for z in case.zones if (walkway := walkway_rect(z))}


def lid_rect(obstacle: Obstacle) -> Rect | None:
    """Where its open lid lies, None without one [mm]."""
    body, reach = obstacle_rect(obstacle), obstacle.lid_reach_mm
    sides = {
        "front": Rect(body.x1, body.y0, body.x1 + reach, body.y1),
        "rear": Rect(body.x0 - reach, body.y0, body.x0, body.y1),
        "left": Rect(body.x0, body.y1, body.x1, body.y1 + reach),
        "right": Rect(body.x0, body.y0 - reach, body.x1, body.y0),
    }
    return sides.get(obstacle.lid_side) if reach else None


def walkway_rect(zone: Zone) -> Rect | None:
    """Its walkway, None without one [mm]."""
    area, wide = zone_rect(zone), zone.walkway_mm
    sides = {
        "front": Rect(area.x1 - wide, area.y0, area.x1, area.y1),
        "rear": Rect(area.x0, area.y0, area.x0 + wide, area.y1),
        "left": Rect(area.x0, area.y1 - wide, area.x1, area.y1),
        "right": Rect(area.x0, area.y0, area.x1, area.y0 + wide),
    }
    return sides[zone.walkway_side] if wide else None
