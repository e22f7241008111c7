"""What stays free on a roof: where lids come to lie and people walk."""

from __future__ import annotations

from optimiser.case import Case, Obstacle, Zone
from optimiser.fitted.roof import obstacle_rect, zone_rect
from optimiser.fitted.shapes import Rect


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
