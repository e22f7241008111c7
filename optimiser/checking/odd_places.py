"""Places that may be a slip of the tape: in one spot, as far as the survey tells, or beyond the vehicle's body."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from optimiser.case import Bay, Case, Outline
from optimiser.reading.geometry import share_plan

Told = tuple[str, str]  # a place, and what is odd of it


def odd_places(case: Case) -> Iterator[Told]:
    """Bays over each other whose heights are not surveyed; bays and zones beyond the body's outline."""
    for one, other in combinations(case.bays, 2):
        unknown = [bay.name for bay in (one, other) if bay.z_mm is None]
        if unknown and share_plan(one, other):
            yield f"bay {other.name}", f"over or in {one.name}: z_mm of {' and '.join(unknown)} would tell"
    outline = case.brief.outline
    if outline:
        yield from _beyond(case, outline)


def _beyond(case: Case, body: Outline) -> Iterator[Told]:
    for zone in case.zones:
        x, y = (zone.x_mm, zone.x_mm + zone.length_mm), (zone.y_mm, zone.y_mm + zone.width_mm)
        if _sticks_out(body, x, y):
            yield f"zone {zone.name}", f"beyond the body, which is {body.length_mm} x {body.width_mm} mm"
    for bay in case.bays:
        if bay.air != "outside" and (_sticks_out(body, *_plan(bay)) or _too_low_or_high(body, bay)):
            height = f"{body.floor_mm} to {body.roof_mm} mm high"
            text = f"beyond the body, which is {body.length_mm} x {body.width_mm} mm and {height}"
            yield f"bay {bay.name}", text


def _plan(bay: Bay) -> tuple[tuple[float, float], tuple[float, float]]:
    half_x, half_y = bay.length_mm / 2, bay.width_mm / 2
    return (bay.x_mm - half_x, bay.x_mm + half_x), (bay.y_mm - half_y, bay.y_mm + half_y)


def _sticks_out(body: Outline, x: tuple[float, float], y: tuple[float, float]) -> bool:
    return x[0] < 0 or x[1] > body.length_mm or 2 * max(-y[0], y[1]) > body.width_mm


def _too_low_or_high(body: Outline, bay: Bay) -> bool:
    if bay.z_mm is None:
        return False
    return bay.z_mm < body.floor_mm or bay.z_mm + bay.height_mm > body.roof_mm
