"""Roof glands: at the surveyed spot if that is free, else as near as can be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.builds import FittedEntry
from optimiser.case import Zone
from optimiser.fitted.fit import Fit
from optimiser.fitted.roof import obstacle_rect, panel_rect, zone_rect
from optimiser.fitted.shapes import Rect
from optimiser.fixings.fixing import ROOF_DATUM, Fixing
from optimiser.fixings.kept_free import kept_free
from optimiser.fixings.places import SEALANT_MM, Spot, around, nearest
from optimiser.parts import Entry

_IN_THE_WAY = "none was free of walkways, open lids and clearances"
_NOWHERE = "no free place found: under a panel or outside the zones, decide on the roof"


@dataclass(frozen=True)
class _Found:
    spot: Spot | None
    size: tuple[int, int]
    surveyed: bool
    note: str

    def far(self, target: Spot) -> int:
        """Square of the distance; it must have a spot."""
        assert self.spot
        return (self.spot[0] - target[0]) ** 2 + (self.spot[1] - target[1]) ** 2


def glands(fit: Fit) -> Iterator[Fixing]:
    """Of every light with entries."""
    entries = [entry for entry in fit.build.entries if not entry.board]
    number = 0
    taken = _in_the_way(fit)
    for entry in entries:
        for _ in range(entry.count):
            number += 1
            found = _find(fit, entry, taken)
            if found.spot:
                taken[f"G{number}"] = around(found.spot, found.size)
            yield _fixing(fit, f"G{number}", entry, found)


def _in_the_way(fit: Fit) -> dict[str, Rect]:
    """Panels and obstacles, by what a note calls them."""
    panels = {f"panel P{k}": panel_rect(fit, placed) for k, placed in enumerate(fit.build.panels, start=1)}
    return panels | {o.name: obstacle_rect(o) for o in fit.case.obstacles}


def _find(fit: Fit, entry: FittedEntry, taken: dict[str, Rect]) -> _Found:
    zones = fit.case.lights[entry.purpose]
    part = fit.part(entry.entry, Entry)
    flat = (part.length_mm, part.width_mm)
    areas = [zone_rect(zone) for zone in zones]
    row = next((s for s in fit.case.spots if s.node == zones[0].entry), None)
    free = kept_free(fit.case)
    if row is None:
        why, (target, beside) = "no spot was surveyed", _without_spot(fit, zones)
    else:
        target, beside = (row.x_mm, row.y_mm), "that spot"
        why = _objection(target, flat, [*areas, *_roof(fit)], taken)
        if not why:
            met = [name for name, rect in free.items() if around(target, flat).gap(rect) < 0]
            doubt = f", in {' and '.join(met)}: look whether it may stay" if met else ""
            return _Found(target, flat, surveyed=True, note=f"at the surveyed spot{doubt}")
    proposed, bodies = f"{why}: proposed, the nearest free place to {beside}", [*taken.values()]
    for off, note in (([*bodies, *free.values()], proposed), (bodies, f"{proposed}; {_IN_THE_WAY}")):
        found = [
            _Found(spot, size, surveyed=False, note=note)
            for size in dict.fromkeys((flat, flat[::-1]))
            if (spot := nearest(target, size, within=areas, off=off, gap_mm=SEALANT_MM))
        ]
        if found:
            return min(found, key=lambda one: one.far(target))
    return _Found(None, flat, surveyed=False, note=f"{why}; {_NOWHERE}")


def _objection(spot: Spot, size: tuple[int, int], areas: list[Rect], taken: dict[str, Rect]) -> str:
    """Why a gland may not sit at the surveyed spot, or nothing."""
    body = around(spot, size)
    where = f"the surveyed spot ({spot[0]}, {spot[1]})"
    if all(body.inside(area) < 0 for area in areas):
        return f"{where} is not on what was surveyed of the roof"
    met = [name for name, rect in taken.items() if body.gap(rect) < 0]
    return f"{where} is taken by {', '.join(met)}" if met else ""


def _fixing(fit: Fit, name: str, entry: FittedEntry, found: _Found) -> Fixing:
    x, y = found.spot or (None, None)
    return Fixing(
        kind="gland",
        name=name,
        place=_place(fit, entry, found),
        part=entry.entry,
        x_mm=x,
        y_mm=y,
        length_mm=found.size[0],
        width_mm=found.size[1],
        datum=ROOF_DATUM,
        surveyed=found.surveyed,
        note=found.note,
    )


def _place(fit: Fit, entry: FittedEntry, found: _Found) -> str:
    """The zone it lies on, or its light."""
    if found.spot:
        body = around(found.spot, found.size)
        for zone in fit.case.lights[entry.purpose]:
            if body.inside(zone_rect(zone)) >= 0:
                return zone.name
    return entry.purpose


def _roof(fit: Fit) -> list[Rect]:
    """The whole roof, where its outline was surveyed."""
    outline = fit.case.brief.outline
    return [Rect.sized(0, -(outline.width_mm // 2), outline.length_mm, outline.width_mm)] if outline else []


def _without_spot(fit: Fit, zones: tuple[Zone, ...]) -> tuple[Spot, str]:
    """Where a gland should be, and in words: at the edge of its zone nearest to the first panel in this light."""
    areas = {zone.name: zone_rect(zone) for zone in zones}
    placed = next((p for p in fit.build.panels if p.zone in areas), None)
    if placed is None:
        area = zone_rect(zones[0])
        return ((area.x0 + area.x1) // 2, (area.y0 + area.y1) // 2), f"the middle of {zones[0].name}"
    area, rect = areas[placed.zone], panel_rect(fit, placed)
    x, y = (rect.x0 + rect.x1) // 2, (rect.y0 + rect.y1) // 2
    sides = {
        (area.x0, y): rect.x0 - area.x0,
        (area.x1, y): area.x1 - rect.x1,
        (x, area.y0): rect.y0 - area.y0,
        (x, area.y1): area.y1 - rect.y1,
    }
    return min(sides, key=lambda side: sides[side]), f"the edge of {placed.zone} by the first panel"
