"""Entries through the roof and outside walls: at the surveyed position if that is free, else as near as can be."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from optimiser.builds import FittedEntry
from optimiser.case import Zone
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Rect, kept_free, obstacle_rect, panel_rect, standing, zone_rect
from optimiser.fixings.fixing import BOARD_DATUM, ROOF_DATUM, Fixing
from optimiser.parts import Entry

# --- the free place nearest to where something should be ----------------------------------------------


Spot = tuple[int, int]

SEALANT_MM = 10
"""Existing around an entry whose place the program finds (common practice, no source)."""


def around(centre: Spot, size: tuple[int, int], gap_mm: int = 0) -> Rect:
    """What something covers, with a gap on all sides; an odd size takes a mm more. [mm]"""
    (x, y), (half_x, half_y) = centre, (-(-side // 2) + gap_mm for side in size)
    return Rect(x - half_x, y - half_y, x + half_x, y + half_y)


def is_free(centre: Spot, size: tuple[int, int], *, within: Rect, off: Iterable[Rect], gap_mm: int = 0) -> bool:
    """Whether it lies wholly within, and off all others by the gap."""
    body = around(centre, size)
    return body.inside(within) >= 0 and all(body.gap(other) >= gap_mm for other in off)


def nearest(
    target: Spot, size: tuple[int, int], *, within: Sequence[Rect], off: Sequence[Rect], gap_mm: int = 0
) -> Spot | None:
    """The centre nearest to the target where a rectangle of that size is free, or None if there is none.

    The nearest free point is the target itself, lies straight beside or above it on an edge of what is in the way,
    or in a corner of two such edges: these are all looked at, so that no grid can miss a place. Lengths in mm.
    """
    found = [spot for area in within for spot in _corners(target, size, area, off, gap_mm)]
    return min(found, key=lambda spot: (_far(spot, target), spot), default=None)


def _corners(target: Spot, size: tuple[int, int], area: Rect, off: Sequence[Rect], gap_mm: int) -> list[Spot]:
    half_x, half_y = (-(-side // 2) for side in size)
    low, high = (area.x0 + half_x, area.y0 + half_y), (area.x1 - half_x, area.y1 - half_y)
    if low[0] > high[0] or low[1] > high[1]:
        return []
    xs, ys = ({min(max(t, a), b)} for t, a, b in zip(target, low, high, strict=True))
    for other in off:
        xs |= {other.x0 - gap_mm - half_x, other.x1 + gap_mm + half_x}
        ys |= {other.y0 - gap_mm - half_y, other.y1 + gap_mm + half_y}
    return [spot for spot in product(xs, ys) if is_free(spot, size, within=area, off=off, gap_mm=gap_mm)]


def _far(spot: Spot, target: Spot) -> int:
    return (spot[0] - target[0]) ** 2 + (spot[1] - target[1]) ** 2


# --- roof glands: at the surveyed position if that is free, else as near as can be ------------------------


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
    """Of every roof plane with entries."""
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
    zones = fit.case.roof_planes[entry.purpose]
    part = fit.part(entry.entry, Entry)
    flat = (part.length_mm, part.width_mm)
    areas = [zone_rect(zone) for zone in zones]
    row = next((s for s in fit.case.node_positions if s.node == zones[0].entry), None)
    free = kept_free(fit.case)
    if row is None:
        why, (target, beside) = "no position was surveyed", _without_spot(fit, zones)
    else:
        target, beside = (row.x_mm, row.y_mm), "that position"
        why = _objection(target, flat, [*areas, *_roof(fit)], taken)
        if not why:
            met = [name for name, rect in free.items() if around(target, flat).gap(rect) < 0]
            doubt = f", in {' and '.join(met)}: look whether it may stay" if met else ""
            return _Found(target, flat, surveyed=True, note=f"at the surveyed position{doubt}")
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
    """Why a gland may not sit at the surveyed position, or nothing."""
    body = around(spot, size)
    where = f"the surveyed position ({spot[0]}, {spot[1]})"
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
    """The zone it lies on, or its roof plane."""
    if found.spot:
        body = around(found.spot, found.size)
        for zone in fit.case.roof_planes[entry.purpose]:
            if body.inside(zone_rect(zone)) >= 0:
                return zone.name
    return entry.purpose


def _roof(fit: Fit) -> list[Rect]:
    """The whole roof, where its outline was surveyed."""
    outline = fit.case.brief.outline
    return [Rect.sized(0, -(outline.width_mm // 2), outline.length_mm, outline.width_mm)] if outline else []


def _without_spot(fit: Fit, zones: tuple[Zone, ...]) -> tuple[Spot, str]:
    """Where a gland should be, and in words: at the edge of its zone nearest to the first panel on this roof plane."""
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


# --- weatherproof entries through outside walls -------------------------------------------------------


_PROPOSED = (
    "proposed, clear of what stands on this board, as near to the middle of its upper edge as can be; "
    "look outside before you drill"
)
_NOWHERE_THERE = "no free place found on this board beside what stands there, decide in the bay"


def pass_throughs(fit: Fit) -> Iterator[Fixing]:
    """Each on its board, clear of the bodies there with the clearance these want."""
    taken: dict[str, list[Rect]] = {}
    for body in standing(fit):
        x, y = body.foot.clear_x_mm, body.foot.clear_y_mm
        grown = Rect(body.rect.x0 - x, body.rect.y0 - y, body.rect.x1 + x, body.rect.y1 + y)
        taken.setdefault(body.board.place, []).append(grown)
    for entry in fit.build.entries:
        if not entry.board:
            continue
        board, part = fit.case.board_of[entry.board], fit.part(entry.entry, Entry)
        whole, size = Rect(0, 0, board.length_mm, board.width_mm), (part.length_mm, part.width_mm)
        there = taken.setdefault(entry.board, [])
        for number in range(1, entry.count + 1):
            spot = nearest((board.length_mm // 2, board.width_mm), size, within=[whole], off=there)
            if spot:
                there.append(around(spot, size, SEALANT_MM))
            yield Fixing(
                kind="pass_through",
                name=entry.purpose if entry.count == 1 else f"{entry.purpose}-{number}",
                place=entry.board,
                part=part.name,
                x_mm=spot[0] if spot else None,
                y_mm=spot[1] if spot else None,
                length_mm=size[0],
                width_mm=size[1],
                datum=BOARD_DATUM,
                surveyed=False,
                note=_PROPOSED if spot else _NOWHERE_THERE,
            )
