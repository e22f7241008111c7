"""Where panels lie on the roof, and what they lie beside."""

from __future__ import annotations

from dataclasses import dataclass

from optimiser.builds import PlacedPanel
from optimiser.case import Obstacle, Zone
from optimiser.fitted.fit import Fit
from optimiser.fitted.shapes import Rect
from optimiser.parts import Panel


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
    size = (panel.width_mm, panel.length_mm) if placed.turned else (panel.length_mm, panel.width_mm)
    return Rect.sized(placed.x_mm, placed.y_mm, *size)


def obstacle_rect(obstacle: Obstacle) -> Rect:
    """Where an obstacle stands [mm]."""
    return Rect.sized(obstacle.x_mm, obstacle.y_mm, obstacle.length_mm, obstacle.width_mm)


def zone_rect(zone: Zone) -> Rect:
    """Where a zone lies [mm]."""
    return Rect.sized(zone.x_mm, zone.y_mm, zone.length_mm, zone.width_mm)
