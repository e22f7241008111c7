"""What the views of a vehicle share: lines that labels keep off, ways and nodes, notes, the legend and the key."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, dist
from typing import Literal

from optimiser.cautions import CAUTIONS
from optimiser.drawing.shapes import Box, Dash, Fill, Layer, Point, text_mm
from optimiser.drawing.sheet import A3_LANDSCAPE_MM, A4_LANDSCAPE_MM, Sheet
from optimiser.drawing.vehicle.body import Vehicle, vehicle_of
from optimiser.drawing.vehicle.node_table import draw_table, node_rows
from optimiser.drawing.vehicle.nodes import Place, neighbours, places
from optimiser.drawing.vehicle.ways import Course, MarkedWay, courses, key_lines, marked_ways
from optimiser.fitted import Fit

View = Literal["plan", "side"]

_NODE_MM = 1.0  # radius of a node [mm of paper]
_SAMPLE_MM = 12.0  # length of a line in the legend [mm of paper]
_ROW_MM = 4.0
_SHORT_MM = 8.0  # a leader no longer than this is not bettered
_COLUMN_MM = 105.0  # least width of a column of notes
_PIECE_MM = 2.0  # of a slanting line, that one box stands for


@dataclass(frozen=True)
class Drawing:
    """What both views are drawn from."""

    fit: Fit
    scale: float
    vehicle: Vehicle
    at: dict[str, Place]
    ways: tuple[MarkedWay, ...]

    @classmethod
    def of(cls, fit: Fit, scale: float) -> Drawing:
        """All of it but the scale comes from the build and its case."""
        vehicle = vehicle_of(fit.case)
        return cls(fit, scale, vehicle, places(fit.case, floor_mm=vehicle.floor_mm), marked_ways(fit))

    def sheet(self, view: View, words: str) -> Sheet:
        """An empty sheet for a view, with its title."""
        return Sheet(f"vehicle-{view}", f"{self.fit.case.brief.title}: {words}, with ways and runs", self.scale)


def frame(sheet: Sheet, box: Box, *, layer: Layer, weight: float, dash: Dash = "solid", fill: Fill = "none") -> None:
    """A rectangle whose edges labels keep off."""
    sheet.rect(box, layer=layer, weight=weight, dash=dash, fill=fill)
    corners = ((box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1))
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        keep_off(sheet, start, end)


def edge(sheet: Sheet, start: Point, end: Point, *, weight: float) -> None:
    """A line of the vehicle that labels keep off."""
    sheet.line(start, end, layer="outline", weight=weight)
    keep_off(sheet, start, end)


def keep_off(sheet: Sheet, start: Point, end: Point) -> None:
    """Keep labels off a line: no leader is traded for it, so it is solid too, in pieces."""
    sheet.leaders.append((start, end))
    pieces = max(ceil(dist(start, end) / (_PIECE_MM * sheet.scale)), 1)
    if start[0] == end[0] or start[1] == end[1]:
        pieces = 1  # a box is a line then
    (x, y), (dx, dy) = start, ((end[0] - start[0]) / pieces, (end[1] - start[1]) / pieces)
    for k in range(pieces):
        xs, ys = sorted((x + k * dx, x + (k + 1) * dx)), sorted((y + k * dy, y + (k + 1) * dy))
        sheet.solid.append(Box(xs[0], ys[0], xs[1], ys[1]))


def dimensioned(sheet: Sheet, start: Point, end: Point, *, along: Literal["x", "y"], at: float, out: int) -> None:
    """A dimension whose extension lines no label may cover."""
    made = sheet.dimension(start, end, along=along, at=at, out=out)
    keep_off(sheet, *made.feet)
    sheet.leaders += zip((start, end), made.feet, strict=True)


def draw_ways(sheet: Sheet, drawing: Drawing, at: dict[str, Point], bays: dict[str, Box]) -> None:
    """Lines and nodes, then the names of bays and nodes, then what lies in the ways.

    ``at``: node -> where it is in the view; ``bays``: bay -> its box there.
    """
    lines = courses([marked.way for marked in drawing.ways], at, sheet.scale)
    for marked in drawing.ways:
        if marked.way.name in lines:
            start, middle, end = lines[marked.way.name]
            layer, dash, weight = marked.style
            sheet.line(start, middle, end, layer=layer, dash=dash, weight=weight)
            keep_off(sheet, start, middle)
            keep_off(sheet, middle, end)
    for node, spot in at.items():
        _node(sheet, spot, surveyed=_known(sheet, drawing.at[node]))
        around = Box(*spot, *spot).grown(1.5 * _NODE_MM * sheet.scale)
        sheet.solid.append(around)
        sheet.leaders += [((around.x0, spot[1]), (around.x1, spot[1])), ((spot[0], around.y0), (spot[0], around.y1))]
    for bay, box in bays.items():
        sheet.label(_named(sheet, drawing, bay), (box.x0, box.y1), room=box, bold=True)
    for node, spot in at.items():
        if node not in bays:
            sheet.label(_named(sheet, drawing, node), spot)
    for marked in drawing.ways:
        if marked.way.name in lines:
            _way_label(sheet, marked.label, lines[marked.way.name])


def _named(sheet: Sheet, drawing: Drawing, node: str) -> str:
    """A node's name, from the side with its height or its floor's as far as it is surveyed."""
    bay = drawing.fit.case.bay_of.get(node)
    if sheet.key == "vehicle-plan" or not drawing.at[node].height_surveyed:
        return node
    return f"{node} floor z {bay.z_mm:g}" if bay and bay.z_mm is not None else f"{node} z {drawing.at[node].z_mm:g}"


def _way_label(sheet: Sheet, text: str, line: Course) -> None:
    """A label for a way, from the point of it whose leader is the shortest; the middle if that is short."""
    start, middle, end = line
    trials: list[tuple[float, Point]] = []
    for at in (middle, *(_between(part, middle, share) for share in (0.75, 0.6) for part in (start, end))):
        sheet.label(text, at)
        length = dist(*sheet.leaders.pop()) / sheet.scale
        del sheet.shapes[-2:]  # the label and its leader
        trials.append((length, at))
        if length <= _SHORT_MM:
            break
    sheet.label(text, min(trials)[1])


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _known(sheet: Sheet, place: Place) -> bool:
    """Whether a node is surveyed as far as the view shows."""
    return place.surveyed and (sheet.key == "vehicle-plan" or place.height_surveyed)


def _node(sheet: Sheet, at: Point, *, surveyed: bool) -> None:
    (x, y), size = at, _NODE_MM * sheet.scale
    if surveyed:
        sheet.circle(at, size, layer="symbol", fill="solid")
    else:
        size *= 1.6
        corners = ((x - size, y), (x, y - size), (x + size, y), (x, y + size))
        sheet.polygon(*corners, layer="symbol", weight=0.3, fill="paper")


def notes_on(drawing: Drawing) -> list[str]:
    """What is not surveyed, and how it is drawn all the same."""
    case, vehicle = drawing.fit.case, drawing.vehicle
    told = ["Ways are drawn straight or bent once; their lengths are the survey's."]
    if any(way.divided for way in case.ways):
        told.append("One bore is surveyed for both channels of a divided way.")
    if not vehicle.surveyed:
        told.append(
            "Outline not surveyed: the body is drawn around what zones, bays and axles span; floor, roof and wheels "
            "are drawn where they make room."
        )
    if vehicle.coupling_x_mm is not None:
        told.append("Form and height of the drawbar are not surveyed: drawn as a sign.")
    for node in dict.fromkeys(node for way in case.ways for node in (way.start, way.end)):
        place, beside = drawing.at.get(node), neighbours(case, node)
        if place is None:
            told.append(f"{node}: not surveyed, and no way joins it to what is; not drawn.")
        elif not place.surveyed:
            whom = "its neighbours" if len(beside) > 1 else "its only neighbour"
            told.append(f"{node}: not surveyed, drawn {place.drawn} {whom} {', '.join(beside)}.")
    unknown = [bay.name for bay in case.bays if bay.z_mm is None]
    if unknown:
        told.append(f"Height not surveyed, drawn on the floor line: {', '.join(unknown)}.")
    return told


def finished(sheet: Sheet, drawing: Drawing) -> Sheet:
    """The sheet with legend, table of the nodes, key, title, notes and cautions below."""
    _legend(sheet, drawing)
    extent = sheet.extent()
    wide_mm = (extent.x1 - extent.x0) / sheet.scale
    if A4_LANDSCAPE_MM[0] < wide_mm < A3_LANDSCAPE_MM[0]:
        wide_mm = A3_LANDSCAPE_MM[0]  # no smaller paper takes it: what stands below may use all of that
    rows = node_rows(drawing.fit.case, drawing.at)
    draw_table(sheet, rows, at=(extent.x0, extent.y0 - 4 * sheet.scale), width_mm=wide_mm)
    sheet.notes += ["Way by way: mark, way, its ends, length, bore, and the runs in it.", *key_lines(drawing.fit)]
    extent = sheet.extent()
    below = Box(extent.x0, extent.y0 - 4 * sheet.scale, extent.x0 + wide_mm * sheet.scale, extent.y0 - 4 * sheet.scale)
    sheet.finish(CAUTIONS, columns=max(int(wide_mm / _COLUMN_MM), 1), room=below)
    return sheet


def _legend(sheet: Sheet, drawing: Drawing) -> None:
    """Samples of the lines and signs in the drawing, in rows below it."""
    scale, extent = sheet.scale, sheet.extent()
    lines: dict[str, tuple[Layer, Dash, float]] = {}
    for marked in drawing.ways:
        lines[marked.meaning] = marked.style
    lines["roof zone"] = ("zone", "dashed", 0.25 if sheet.key == "vehicle-plan" else 0.9)
    lines["panel"] = ("faint", "solid", 0.13)
    heights = {bay.z_mm is not None or sheet.key == "vehicle-plan" for bay in drawing.fit.case.bays}
    if True in heights:
        lines["bay, inside"] = ("body", "solid", 0.35)
    if False in heights:
        lines["bay, height not surveyed"] = ("body", "dotted", 0.35)
    x, y = extent.x0, extent.y0 - 5 * scale
    known = {_known(sheet, place) for place in drawing.at.values()}
    nodes = [word for word, is_known in (("node, surveyed", True), ("node, not surveyed", False)) if is_known in known]
    for word in (*lines, *nodes):
        wide = (_SAMPLE_MM + 2 + text_mm(word, 2.5) + 6) * scale
        if x > extent.x0 and x + wide > extent.x1:
            x, y = extent.x0, y - _ROW_MM * scale
        middle = (x + _SAMPLE_MM / 2 * scale, y)
        if word in lines:
            layer, dash, weight = lines[word]
            sheet.line((x, y), (x + _SAMPLE_MM * scale, y), layer=layer, dash=dash, weight=weight)
        else:
            _node(sheet, middle, surveyed=word == "node, surveyed")
        sheet.text(word, (x + (_SAMPLE_MM + 2) * scale, y), anchor="start")
        x += wide
