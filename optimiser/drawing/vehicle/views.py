"""The vehicle from above and from its right side: body, axles, roof, bays, and the ways with the runs in them."""

from collections.abc import Callable

from optimiser.case import Bay
from optimiser.drawing.shapes import Box, Dash
from optimiser.drawing.sheet import A3_LANDSCAPE_MM, A4_LANDSCAPE_MM, Sheet
from optimiser.drawing.vehicle.body import Vehicle, bay_boxes
from optimiser.drawing.vehicle.shared import Drawing, dimensioned, draw_ways, edge, finished, frame, keep_off, notes_on
from optimiser.fitted import Fit
from optimiser.fitted.places import panels_on, zone_rect

_FITS = (
    (20, A4_LANDSCAPE_MM), (25, A4_LANDSCAPE_MM), (20, A3_LANDSCAPE_MM), (25, A3_LANDSCAPE_MM),
    (50, A4_LANDSCAPE_MM), (50, A3_LANDSCAPE_MM), (100, A3_LANDSCAPE_MM),
)  # fmt: skip
"""Scales and papers, the first that fits is taken: large pictures first, on the small paper if they fit it."""

_FOOT_MM = 20.0  # of the paper's height, left to the page that the drawing is put on
_TYRE_MM = 200.0  # width a tyre is drawn at: nobody surveys it


def vehicle_views(fit: Fit) -> list[Sheet]:
    """The vehicle from above (``vehicle-plan``) and from its right side (``vehicle-side``), with ways and runs.

    Shapes lie in vehicle coordinates [mm]: x and y from above, x and z from the side. What is not surveyed is drawn
    where it makes room, and the notes say so.
    """
    return [_fitting(fit, _plan), _fitting(fit, _side)]


def _fitting(fit: Fit, drawn: Callable[[Drawing], Sheet]) -> Sheet:
    """The largest picture that fits a paper; the smallest there is if none does."""
    sheets: dict[int, Sheet] = {}
    for scale, (width, height) in _FITS:
        if scale not in sheets:
            sheets[scale] = drawn(Drawing.of(fit, scale))
        wide, high = (side / scale for side in sheets[scale].extent().size)
        if wide <= width and high <= height - _FOOT_MM:
            break
    return sheets[scale]


# --- from above ----------------------------------------------------------------------------------------


def _plan(drawing: Drawing) -> Sheet:
    sheet, vehicle, case = drawing.sheet("plan", "from above"), drawing.vehicle, drawing.fit.case
    body = vehicle.plan
    frame(sheet, body, layer="outline", weight=0.5, dash="solid" if vehicle.surveyed else "dashed")
    _axles_above(sheet, drawing)
    front = max(vehicle.x1, vehicle.coupling_x_mm or 0)
    middle = (body.x0 - 4 * sheet.scale, 0.0), (front + 6 * sheet.scale, 0.0)
    sheet.line(*middle, layer="faint", dash="chain", weight=0.18)
    sheet.leaders.append(middle)
    for zone in case.zones:
        frame(sheet, Box.of(zone_rect(zone)), layer="zone", dash="dashed", weight=0.25)
        for lying in panels_on(drawing.fit, zone):
            sheet.rect(Box.of(lying.rect), layer="faint", weight=0.13)
    boxes = bay_boxes(case)
    for box in boxes.values():
        frame(sheet, box, layer="body", weight=0.35)
    _lengths(sheet, drawing, top=body.y1, bottom=min(body.y0, *(box.y0 for box in boxes.values())))
    _widths(sheet, drawing)
    draw_ways(sheet, drawing, {node: (place.x_mm, place.y_mm) for node, place in drawing.at.items()}, boxes)
    for zone in case.zones:
        box = Box.of(zone_rect(zone))
        sheet.label(f"zone {zone.name}", (box.x1, box.y1), room=Box(box.x0, box.y1 - 5 * sheet.scale, box.x1, box.y1))
    sheet.label("rear (datum x = 0)", (0, body.y1 - 0.1 * (body.y1 - body.y0)))
    sheet.label("front", (front + 6 * sheet.scale, 0))
    sheet.notes += [
        "Seen from above, front to the right, left side up. Datum: the rear (x = 0) and the centre line (y = 0).",
        "Dimensions below: middles of the bays. Above: axles, whole length where surveyed, coupling. "
        "At the rear: middles of the bays, track, whole width where surveyed.",
        *notes_on(drawing),
        f"Width of the tyres not surveyed: drawn as {_TYRE_MM:.0f} mm.",
        _arms(drawing),
    ]
    return finished(sheet, drawing)


def _axles_above(sheet: Sheet, drawing: Drawing) -> None:
    vehicle, half = drawing.vehicle, drawing.fit.case.brief.vehicle.track_mm / 2
    for x in vehicle.axles.values():
        sheet.line((x, -half), (x, half), layer="faint", dash="chain", weight=0.18)
        for y in (-half, half):
            tyre = Box(x, y, x, y).grown(_TYRE_MM / 2)
            wheel = Box(x - vehicle.wheel_mm / 2, tyre.y0, x + vehicle.wheel_mm / 2, tyre.y1)
            frame(sheet, wheel, layer="outline", weight=0.25, fill="tint")
            keep_off(sheet, (wheel.x0, y), (wheel.x1, y))
    if vehicle.coupling_x_mm is not None:
        start = min(vehicle.x1, vehicle.coupling_x_mm)
        for y in (vehicle.y0 / 2, vehicle.y1 / 2):
            edge(sheet, (start, y), (vehicle.coupling_x_mm, 0), weight=0.35)
        sheet.circle((vehicle.coupling_x_mm, 0), 1.5 * sheet.scale, layer="outline", weight=0.35, fill="paper")


def _lengths(sheet: Sheet, drawing: Drawing, *, top: float, bottom: float) -> None:
    """Along x from the datum: bays below; axles, coupling and the whole above."""
    vehicle = drawing.vehicle
    for x in sorted({bay.x_mm for bay in drawing.fit.case.bays}):
        y = max(bay.y_mm for bay in drawing.fit.case.bays if bay.x_mm == x)
        dimensioned(sheet, (0, bottom), (x, y), along="x", at=bottom, out=-1)
    for x in sorted(vehicle.axles.values()):
        dimensioned(sheet, (0, top), (x, top), along="x", at=top, out=1)
    if vehicle.surveyed:
        dimensioned(sheet, (0, top), (vehicle.x1, top), along="x", at=top, out=1)
    if vehicle.coupling_x_mm is not None:
        dimensioned(sheet, (0, top), (vehicle.coupling_x_mm, 0), along="x", at=top, out=1)


def _widths(sheet: Sheet, drawing: Drawing) -> None:
    """Along y at the rear: bays from the centre line, track, and the whole."""
    vehicle, track = drawing.vehicle, drawing.fit.case.brief.vehicle.track_mm
    rear = vehicle.x0
    for y in sorted({bay.y_mm for bay in drawing.fit.case.bays} - {0}, key=abs):
        x = max(bay.x_mm for bay in drawing.fit.case.bays if bay.y_mm == y)
        dimensioned(sheet, (rear, 0), (x, y), along="y", at=rear, out=-1)
    axle = min(vehicle.axles.values())
    dimensioned(sheet, (axle, -track / 2), (axle, track / 2), along="y", at=rear, out=-1)
    if vehicle.surveyed:
        dimensioned(sheet, (rear, vehicle.y0), (rear, vehicle.y1), along="y", at=rear, out=-1)


# --- from the right ------------------------------------------------------------------------------------


def _side(drawing: Drawing) -> Sheet:
    sheet, vehicle, case = drawing.sheet("side", "from the right"), drawing.vehicle, drawing.fit.case
    body = vehicle.side
    front = max(vehicle.x1, vehicle.coupling_x_mm or 0)
    edge(sheet, (body.x0 - 4 * sheet.scale, 0), (front + 4 * sheet.scale, 0), weight=0.35)
    frame(sheet, body, layer="outline", weight=0.5, dash="solid" if vehicle.surveyed else "dashed")
    for x in vehicle.axles.values():
        sheet.circle((x, vehicle.wheel_mm / 2), vehicle.wheel_mm / 2, layer="outline", weight=0.25, fill="tint")
        sheet.solid.append(Box(x, vehicle.wheel_mm / 2, x, vehicle.wheel_mm / 2).grown(vehicle.wheel_mm / 2))
        sheet.circle((x, vehicle.wheel_mm / 2), 1.0 * sheet.scale, layer="outline", weight=0.25, fill="paper")
    if vehicle.coupling_x_mm is not None:
        start = min(vehicle.x1, vehicle.coupling_x_mm)
        edge(sheet, (start, body.y0), (vehicle.coupling_x_mm, body.y0), weight=0.5)
        at = vehicle.coupling_x_mm, body.y0
        sheet.circle(at, 1.5 * sheet.scale, layer="outline", weight=0.35, fill="paper")
    _roof_beside(sheet, drawing)
    boxes = {bay.name: _bay_beside(bay, vehicle) for bay in case.bays}
    for bay in case.bays:
        dash: Dash = "dotted" if bay.z_mm is None else "solid"
        frame(sheet, boxes[bay.name], layer="body", weight=0.35, dash=dash)
    _lengths_beside(sheet, drawing)
    _heights(sheet, drawing)
    draw_ways(sheet, drawing, {node: (place.x_mm, place.z_mm) for node, place in drawing.at.items()}, boxes)
    sheet.label("ground (datum z = 0)", (front, 0))
    sheet.label("rear (datum x = 0)", (0, body.y1 - 0.1 * (body.y1 - body.y0)))
    sheet.notes += [
        "Seen from the right, front to the right. Datum: the rear (x = 0) and the ground (z = 0).",
        *notes_on(drawing),
        _floors(case.bays),
    ]
    return finished(sheet, drawing)


def _bay_beside(bay: Bay, vehicle: Vehicle) -> Box:
    floor = vehicle.floor_mm if bay.z_mm is None else bay.z_mm
    return Box(bay.x_mm - bay.length_mm / 2, floor, bay.x_mm + bay.length_mm / 2, floor + bay.height_mm)


def _roof_beside(sheet: Sheet, drawing: Drawing) -> None:
    roof = drawing.vehicle.roof_mm
    for zone in drawing.fit.case.zones:
        sheet.line((zone.x_mm, roof), (zone.x_mm + zone.length_mm, roof), layer="zone", dash="dashed", weight=0.9)
        for lying in panels_on(drawing.fit, zone):
            rear, front, low = lying.rect.x0, lying.rect.x1, roof + lying.panel.mount_height_mm
            sheet.rect(Box(rear, low, front, low + lying.panel.height_mm), layer="faint", weight=0.13)


def _lengths_beside(sheet: Sheet, drawing: Drawing) -> None:
    vehicle = drawing.vehicle
    for x in sorted(vehicle.axles.values()):
        dimensioned(sheet, (0, 0), (x, 0), along="x", at=0, out=-1)
    if vehicle.surveyed:
        dimensioned(sheet, (0, 0), (vehicle.x1, vehicle.floor_mm), along="x", at=0, out=-1)
    if vehicle.coupling_x_mm is not None:
        dimensioned(sheet, (0, 0), (vehicle.coupling_x_mm, vehicle.floor_mm), along="x", at=0, out=-1)


def _heights(sheet: Sheet, drawing: Drawing) -> None:
    vehicle = drawing.vehicle
    if vehicle.surveyed:
        for z in (vehicle.floor_mm, vehicle.roof_mm):
            dimensioned(sheet, (vehicle.x0, 0), (vehicle.x0, z), along="y", at=vehicle.x0, out=-1)


def _arms(drawing: Drawing) -> str:
    """How far each bay's middle is ahead of the axle its moment is taken about."""
    name, x = next(iter(drawing.vehicle.axles.items()))
    arms = (f"{bay.name} {bay.x_mm - x:+d}" for bay in drawing.fit.case.bays)
    return f"Bay middles ahead of (+) or behind (-) the {name} [mm]: {', '.join(arms)}."


def _floors(bays: tuple[Bay, ...]) -> str:
    known = ", ".join(f"{bay.name} {bay.z_mm:g}" for bay in bays if bay.z_mm is not None)
    return f"Floors of the bays above the ground [mm]: {known or 'none surveyed'}."
