"""The roof as surveyed: zones with their set-backs, obstacles with their clearance and open lids."""

from optimiser.case import Obstacle, Zone
from optimiser.cautions import CAUTIONS
from optimiser.drawing.running import running
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import A3_LANDSCAPE_MM, A4_LANDSCAPE_MM, Sheet
from optimiser.drawing.survey.marks import Marks, body_of, datum, named, scale_of
from optimiser.fitted.places import lid_rect, obstacle_rect, zone_rect
from optimiser.reading import Sketch

_AROUND_MM = (60.0, 65.0)  # of paper, that figures and notes take
_COLUMN_MM = 120.0
_SENSIBLE = 25  # names do not fit at a smaller scale than 1:25: then the larger paper


def roof_sheet(sketch: Sketch, marks: Marks) -> Sheet:
    """Seen from above, the front at the right; running dimensions from the rear and the centre line [mm]."""
    zones = {zone.name: Box.of(zone_rect(zone)) for zone in sketch.zones}
    obstacles = {obstacle.name: Box.of(obstacle_rect(obstacle)) for obstacle in sketch.obstacles}
    whole = Box.around([*zones.values(), *obstacles.values(), *body_of(sketch), Box(0, 0, 0, 0)])
    papers = [(w - _AROUND_MM[0], h - _AROUND_MM[1]) for w, h in (A4_LANDSCAPE_MM, A3_LANDSCAPE_MM)]
    small, large = (scale_of(whole.size, paper) for paper in papers)
    sheet = Sheet("survey-roof", f"{sketch.title}: roof as surveyed", small if small <= _SENSIBLE else large)
    for box in body_of(sketch):
        sheet.rect(box, layer="outline", dash="dashed", weight=0.35)
    for zone in sketch.zones:
        _zone(sheet, zone, zones[zone.name])
    for obstacle in sketch.obstacles:
        _obstacle(sheet, obstacle, obstacles[obstacle.name])
    _figures(sheet, [*zones.values(), *obstacles.values()], whole)
    datum(sheet, whole)
    for name, box in obstacles.items():
        named(sheet, name, box.middle, room=box)
    sheet.solid += obstacles.values()
    for zone in sketch.zones:
        box = zones[zone.name]
        edge = Box(box.x0, box.y1, box.x1, box.y1 + 4.4 * sheet.scale)
        named(sheet, f"zone {zone.name}, roof plane {zone.roof_plane}", (box.middle[0], box.y1), room=edge, bold=True)
    for kind, boxes in (("zone", zones), ("obstacle", obstacles)):
        for name, box in boxes.items():
            marks.on(sheet, f"{kind} {name}", box)
    if not zones:
        sheet.notes.append("No zone could be read.")
    sheet.notes += ["Dashed in a zone: what its set-backs leave. Round an obstacle: its clearance; chain: its lid."]
    sheet.finish(CAUTIONS, columns=max(int(sheet.extent().size[0] / sheet.scale / _COLUMN_MM), 1))
    return sheet


def _zone(sheet: Sheet, zone: Zone, box: Box) -> None:
    back = zone.set_back_mm
    inner = Box(box.x0 + back, box.y0 + back, box.x1 - zone.front_set_back_mm, box.y1 - back)
    if min(inner.size) > 0:
        sheet.rect(inner, layer="clearance", dash="dashed", weight=0.18)
    sheet.rect(box, layer="zone", weight=0.5)


def _obstacle(sheet: Sheet, obstacle: Obstacle, box: Box) -> None:
    if obstacle.clear_mm:
        sheet.rect(box.grown(obstacle.clear_mm), layer="clearance", dash="dashed")
    lid = lid_rect(obstacle)
    if lid:
        sheet.rect(Box.of(lid), layer="obstacle", dash="chain")
    sheet.rect(box, layer="obstacle", weight=0.5, fill="tint")


def _figures(sheet: Sheet, boxes: list[Box], whole: Box) -> None:
    """Where everything begins and ends, from the rear and from the centre line."""
    below: dict[int, Point] = {int(x): (x, box.y0) for box in boxes for x in (box.x0, box.x1) if x}
    beside: dict[int, Point] = {int(y): (box.x0, y) for box in boxes for y in (box.y0, box.y1) if y}
    running(sheet, below, along="x", at=whole.y0)
    running(sheet, beside, along="y", at=whole.x0)
