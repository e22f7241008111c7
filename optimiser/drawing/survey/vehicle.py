"""The vehicle from above as surveyed: body, axles, bays, nodes, and every way with its length and bore."""

from optimiser.case import Trailer
from optimiser.cautions import CAUTIONS
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import A3_LANDSCAPE_MM, Sheet
from optimiser.drawing.survey.marks import Marks, body_of, datum, named, scale_of
from optimiser.drawing.vehicle.body import bay_boxes
from optimiser.drawing.vehicle.nodes import Place, places
from optimiser.drawing.vehicle.ways import courses
from optimiser.reading import Sketch

_AROUND_MM = (60.0, 110.0)
_NODE_MM = 1.0
_COLUMN_MM = 120.0
_WHEEL_MM, _TYRE_MM = 650.0, 200.0  # drawn where none is surveyed


def vehicle_sheet(sketch: Sketch, marks: Marks) -> Sheet:
    """Seen from above, the front at the right. A node without a place of its own lies between its neighbours."""
    at = places(sketch, floor_mm=0)
    spots = {node: (place.x_mm, place.y_mm) for node, place in at.items()}
    bays = bay_boxes(sketch)
    axles = _axles(sketch)
    body, wheels = body_of(sketch), [wheel for wheel, _ in axles]
    known = [*body, *bays.values(), *wheels, *(Box(*spot, *spot) for spot in spots.values())]
    whole = Box.around([*known, Box(0, 0, 0, 0)])
    paper = A3_LANDSCAPE_MM[0] - _AROUND_MM[0], A3_LANDSCAPE_MM[1] - _AROUND_MM[1]
    sheet = Sheet("survey-vehicle", f"{sketch.title}: vehicle as surveyed", scale_of(whole.size, paper))
    for box in body:
        sheet.rect(box, layer="outline", weight=0.5)
    for box, _ in axles:
        sheet.rect(box, layer="outline", weight=0.25, fill="tint")
    for box in bays.values():
        sheet.rect(box, layer="body", weight=0.35)
    datum(sheet, whole)
    for box, name in axles:
        if box.y0 > 0:
            sheet.dimension((0, whole.y1), (box.middle[0], whole.y1), along="x", at=whole.y1)
            named(sheet, name, (box.middle[0], box.y1))
    lines = courses(sketch.ways, spots, sheet.scale)
    for line in lines.values():
        sheet.line(*line, layer="cable", weight=0.5)
        sheet.leaders += [line[:2], line[1:]]
    for node, spot in spots.items():
        _node(sheet, spot, at[node])
    for name, box in bays.items():
        named(sheet, f"bay {name}", (box.x0, box.y1), room=box, bold=True)
    for node, spot in spots.items():
        if node not in bays:
            named(sheet, node, spot)
    for way in sketch.ways:
        if way.name in lines:
            named(sheet, f"{way.name}: {way.length_mm}, bore {way.bore_mm}", lines[way.name][1])
        else:
            sheet.notes.append(f"{way.name}: {way.start} to {way.end}, joined to nothing that has a place; not drawn.")
    _marked(sheet, sketch, marks, bays, spots, lines)
    sheet.notes += _notes(sketch, at)
    sheet.finish(CAUTIONS, columns=max(int(sheet.extent().size[0] / sheet.scale / _COLUMN_MM), 1))
    return sheet


def _marked(
    sheet: Sheet,
    sketch: Sketch,
    marks: Marks,
    bays: dict[str, Box],
    spots: dict[str, Point],
    lines: dict[str, tuple[Point, Point, Point]],
) -> None:
    for name, box in bays.items():
        marks.on(sheet, f"bay {name}", box)
    for node, spot in spots.items():
        marks.on(sheet, f"node {node}", Box(*spot, *spot).grown(_NODE_MM * sheet.scale))
    for name, (_, middle, _) in lines.items():
        marks.on(sheet, f"way {name}", Box(*middle, *middle).grown(_NODE_MM * sheet.scale))
    for wheel, name in _axles(sketch):
        if wheel.y0 > 0:
            marks.on(sheet, name, wheel)


def _axles(sketch: Sketch) -> list[tuple[Box, str]]:
    """Wheels, left and right, with the name of their axle; the coupling as a small square."""
    vehicle, size = sketch.vehicle, sketch.outline.wheel_mm if sketch.outline else _WHEEL_MM
    if vehicle is None:
        return []
    wheels = [
        (Box(axle.x_mm - size / 2, y - _TYRE_MM / 2, axle.x_mm + size / 2, y + _TYRE_MM / 2), axle.name)
        for axle in reversed(vehicle.axles)
        for y in (-vehicle.track_mm / 2, vehicle.track_mm / 2)
    ]
    if isinstance(vehicle, Trailer):
        x = vehicle.coupling_x_mm
        wheels.append((Box(x - 50, 1, x + 50, 51), "coupling"))
    return wheels


def _node(sheet: Sheet, at: Point, place: Place) -> None:
    size = _NODE_MM * sheet.scale
    sheet.circle(at, size, layer="symbol", fill="solid" if place.surveyed else "paper", weight=0.3)
    sheet.solid.append(Box(*at, *at).grown(1.5 * size))


def _notes(sketch: Sketch, at: dict[str, Place]) -> list[str]:
    told = ["Ways are drawn straight or bent once, with the length [mm] and the bore [mm] that were entered."]
    guessed = [node for node, place in at.items() if not place.surveyed]
    if guessed:
        told.append(f"Open circles: no place surveyed, drawn between their neighbours: {', '.join(guessed)}.")
    if not sketch.outline:
        told.append("No outline surveyed: the body is not drawn.")
    if sketch.vehicle is None:
        told.append("The vehicle of case.toml could not be read: no axle is drawn.")
    return told
