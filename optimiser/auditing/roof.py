"""Panels on the roof."""

from collections.abc import Iterator
from itertools import combinations, product

from optimiser.auditing.finding import Finding, checked
from optimiser.case import Obstacle, Zone
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Lying, Rect, obstacle_rect, panels_on, zone_rect
from optimiser.physics import shade
from optimiser.requirements import ROOF_TYPES
from optimiser.units import GRAMS, at_least


def check(fit: Fit) -> Iterator[Finding]:
    """Every zone with panels on it; every obstacle, for an edge between zones stops neither panel nor shadow."""
    on = {zone.name: panels_on(fit, zone) for zone in fit.case.zones}
    for zone in fit.case.zones:
        lying = on[zone.name]
        if lying:
            others = [p for name, panels in on.items() if name != zone.name for p in panels]
            yield from _layout(fit, zone, lying, others)
            yield from _edges(zone, lying)
            yield from _surface(fit, zone, lying)
    everywhere = [p for panels in on.values() for p in panels]
    for obstacle in fit.case.obstacles:
        if everywhere:
            yield from _obstacle(fit, obstacle, everywhere)


def _layout(fit: Fit, zone: Zone, lying: list[Lying], others: list[Lying]) -> Iterator[Finding]:
    inside = min(p.rect.inside(zone_rect(zone)) for p in lying)
    yield checked("roof.inside", zone.name, limit=0, actual=inside)
    gaps = [a.rect.gap(b.rect) for a, b in (*combinations(lying, 2), *product(lying, others))]
    if gaps:
        yield checked("roof.overlap", zone.name, limit=0, actual=min(gaps))
        yield checked("roof.panel_gap", zone.name, limit=fit.case.limits.panel_gap_mm, actual=min(gaps))


def _edges(zone: Zone, lying: list[Lying]) -> Iterator[Finding]:
    whole = zone_rect(zone)
    free = {  # x forward, y to the left
        "rear": min(p.rect.x0 - whole.x0 for p in lying),
        "front": min(whole.x1 - p.rect.x1 for p in lying),
        "right": min(p.rect.y0 - whole.y0 for p in lying),
        "left": min(whole.y1 - p.rect.y1 for p in lying),
    }
    sides = min(free[side] for side in ("rear", "left", "right"))
    yield checked("roof.set_back", zone.name, limit=zone.set_back_mm, actual=sides)
    yield checked("roof.front_set_back", zone.name, limit=zone.front_set_back_mm, actual=free["front"])
    if zone.walkway_mm > 0:
        yield checked("roof.walkway", zone.name, limit=zone.walkway_mm, actual=free[zone.walkway_side])


def _surface(fit: Fit, zone: Zone, lying: list[Lying]) -> Iterator[Finding]:
    grams = sum(at_least(p.panel.mass_kg, GRAMS) + at_least(p.panel.mount_mass_kg, GRAMS) for p in lying)
    yield checked("roof.mass", zone.name, limit=zone.mass_max_kg, actual=grams / GRAMS)
    types = {p.panel.name for p in lying}
    yield checked("roof.types", zone.name, limit=ROOF_TYPES, actual=len(types))
    rigid = [p for p in lying if p.panel.kind == "rigid"]
    if not zone.rigid:
        yield checked("roof.rigid", zone.name, limit=0, actual=len(rigid))
    if zone.crown_mm == 0:
        return
    radius = zone.width_mm**2 / (8 * zone.crown_mm)  # of a flat arc with that rise over the width
    if rigid:
        gap = max((p.rect.y1 - p.rect.y0) ** 2 for p in rigid) / (8 * radius)
        yield checked("roof.crown", zone.name, limit=fit.case.limits.crown_gap_mm, actual=gap)
    bent = [p.panel.bend_radius_mm for p in lying if p.panel.kind == "flexible"]
    if bent:
        yield checked("roof.bend", zone.name, limit=max(bent), actual=radius)


def _obstacle(fit: Fit, obstacle: Obstacle, lying: list[Lying]) -> Iterator[Finding]:
    body = obstacle_rect(obstacle)
    gap = min(p.rect.gap(body) for p in lying)
    yield checked("roof.body", obstacle.name, limit=0, actual=gap)
    yield checked("roof.obstacle", obstacle.name, limit=obstacle.clear_mm, actual=gap)
    shadow = shade.set_back_mm(height_mm=obstacle.height_mm, elevation_deg=fit.case.rules["shadow_elevation_deg"])
    yield checked("roof.shadow", obstacle.name, limit=at_least(shadow), actual=gap)
    if obstacle.lid_side != "none":
        reaches = [reach for p in lying if (reach := _lid_reach(obstacle.lid_side, body, p.rect)) is not None]
        free = min(reaches, default=obstacle.lid_reach_mm)
        yield checked("roof.lid", obstacle.name, limit=obstacle.lid_reach_mm, actual=free)


def _lid_reach(side: str, body: Rect, panel: Rect) -> int | None:
    """How far the lid opens before it meets a panel; None if that panel is not in its way."""
    along_x = side in ("front", "rear")
    if (body.gap_y(panel) if along_x else body.gap_x(panel)) >= 0:
        return None  # passes beside it
    near, far = {
        "front": (panel.x0 - body.x1, panel.x1 - body.x1),
        "rear": (body.x0 - panel.x1, body.x0 - panel.x0),
        "left": (panel.y0 - body.y1, panel.y1 - body.y1),
        "right": (body.y0 - panel.y1, body.y0 - panel.y0),
    }[side]
    return max(near, 0) if far > 0 else None
