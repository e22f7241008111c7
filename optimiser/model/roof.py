"""Roof: how many panels of each type a zone carries.

A zone carries at most two types. How many of one type fit, and how many of a second beside them, is found
beforehand by packing each zone, exactly. How far fore and aft a zone's panels can lie is held by bounds that
are always true; when a build comes back that cannot be laid out as its hitch and axles want it, the true
bound is learned and the model solved again (see `layout`).
"""

from functools import lru_cache
from itertools import combinations, pairwise
from math import ceil, floor
from typing import Literal

from ortools.sat.python import cp_model

from optimiser.basis.money import CostAndMass
from optimiser.case import Obstacle, Zone
from optimiser.model.context import FitOut, Learned
from optimiser.model.decisions import Bool, Expr, total
from optimiser.model.packing import (
    DoesNotFit,
    Fits,
    Item,
    NotDecided,
    PackResult,
    Rect,
    Sheet,
    extreme_moment,
    fits,
    most_count,
)
from optimiser.model.packing_bounds import free_area
from optimiser.model.packing_known import Known
from optimiser.parts import Panel
from optimiser.physics import shade

Axis = Literal["x", "y"]
AXES: tuple[Axis, Axis] = ("x", "y")
_FAR = 10**12  # g mm: beyond any moment
EXACT_SPREAD = 6  # panels of one type whose extremes are searched; beyond, a bound is enough


def decide(ctx: FitOut) -> None:
    """How many panels of each type lie in each zone, and their moments."""
    for zone in ctx.case.zones:
        gap = panel_gap(ctx, zone)
        sheet, _ = sheet_of(ctx, zone)
        for panel in roof_panels(ctx):
            item = item_of(ctx, zone, panel)
            most = most_of(sheet, item, gap) if item else 0
            if most:
                _count(ctx, zone, panel, most)


def _count(ctx: FitOut, zone: Zone, panel: Panel, most: int) -> None:
    """Panels of a type in a zone, as flags "at least one", "at least two" ..."""
    label = f"panels:{zone.name}:{panel.name}"
    flags = [ctx.flag(f"{label}:{k}") for k in range(1, most + 1)]
    for fewer, more in pairwise(flags):
        ctx.m.add_implication(more, fewer)
    count = ctx.number(0, most, label)
    ctx.define(total(flags) == count)
    ctx.d.panels[zone.name, panel.name] = count
    ctx.d.at_least[zone.name, panel.name] = flags


def require(ctx: FitOut) -> None:
    """Area, mass, money and moments of each zone, and what was learned."""
    for zone in ctx.case.zones:
        ours = _ours(ctx, zone)
        _area(ctx, zone)
        _patterns(ctx, zone)
        worth = {p: ctx.tables.cost_and_mass(p) for p in ours}
        mass = total(worth[p].grams * n for p, n in ours.items())
        allowed = ctx.limit(f"zone.{zone.name}.mass_max_kg", zone.mass_max_kg, lambda kg: int(kg * 1000))
        ctx.require("roof.mass", mass <= allowed, zone.name)
        ctx.note("roof.mass", mass, 1000, zone.name)
        for panel, count in ours.items():
            ctx.count(CostAndMass(worth[panel].cents, 0), count, x_mm=0, y_mm=0)
        _moments(ctx, zone, worth)
    for fact in ctx.learned:
        _post(ctx, fact)


def roof_panels(ctx: FitOut) -> list[Panel]:
    """Catalogue panels that lie on a roof."""
    return [p for p in ctx.catalogue.of("panels").values() if p.kind != "portable"]


def panel_gap(ctx: FitOut, zone: Zone) -> int:
    """Free space between panels."""
    return ctx.case.limits.panel_gap_mm if ctx.is_active("roof.panel_gap", zone.name) else 0


def sheet_of(ctx: FitOut, zone: Zone) -> tuple[Sheet, tuple[int, int]]:
    """What of a zone may be covered, and where its corner is in vehicle coordinates."""
    area = _within_edges(ctx, zone)
    off = [r for obstacle in ctx.case.obstacles for r in _kept_clear(ctx, obstacle)] + _left_to_others(ctx, zone)
    moved = [Rect(x=r.x - area.x, y=r.y - area.y, length=r.length, width=r.width) for r in off]
    blocked = tuple(r for r in moved if r.right > 0 and r.top > 0 and r.x < area.length and r.y < area.width)
    return Sheet(length=area.length, width=area.width, blocked=blocked), (area.x, area.y)


def _left_to_others(ctx: FitOut, zone: Zone) -> list[Rect]:
    """Where panels of zones before it in the survey may lie, with the gap to them: so no two zones meet.

    Stricter than panels need by what those zones leave empty along an edge nearer than the gap.
    """
    found = []
    for other in ctx.case.zones[: ctx.case.zones.index(zone)]:
        area, gap = _within_edges(ctx, other), max(panel_gap(ctx, zone), panel_gap(ctx, other))
        if area.length and area.width:
            found.append(_grown(area, gap))
    return found


def _grown(r: Rect, by: int) -> Rect:
    return Rect(x=r.x - by, y=r.y - by, length=r.length + 2 * by, width=r.width + 2 * by)


def _within_edges(ctx: FitOut, zone: Zone) -> Rect:
    """A zone less its set-backs and its walkway, in vehicle coordinates."""
    back = zone.set_back_mm if ctx.is_active("roof.set_back", zone.name) else 0
    front = zone.front_set_back_mm if ctx.is_active("roof.front_set_back", zone.name) else 0
    edge = {"rear": back, "left": back, "right": back, "front": front}
    if zone.walkway_mm and ctx.is_active("roof.walkway", zone.name):
        edge[zone.walkway_side] = max(edge[zone.walkway_side], zone.walkway_mm)
    length = max(0, zone.length_mm - edge["rear"] - edge["front"])
    width = max(0, zone.width_mm - edge["left"] - edge["right"])
    return Rect(x=zone.x_mm + edge["rear"], y=zone.y_mm + edge["right"], length=length, width=width)


def _kept_clear(ctx: FitOut, obstacle: Obstacle) -> list[Rect]:
    """Its body always, and around it what is asked for."""
    clear = obstacle.clear_mm if ctx.is_active("roof.obstacle", obstacle.name) else 0
    if ctx.is_active("roof.shadow", obstacle.name):
        reach = shade.set_back_mm(height_mm=obstacle.height_mm, elevation_deg=ctx.case.rules["shadow_elevation_deg"])
        clear = max(clear, ceil(reach - 1e-6))
    x, y, length, width = obstacle.x_mm, obstacle.y_mm, obstacle.length_mm, obstacle.width_mm
    areas = [_grown(Rect(x=x, y=y, length=length, width=width), clear)]
    reach_mm = obstacle.lid_reach_mm
    if obstacle.lid_side != "none" and reach_mm and ctx.is_active("roof.lid", obstacle.name):
        areas.append(
            {
                "front": Rect(x=x + length, y=y, length=reach_mm, width=width),
                "rear": Rect(x=x - reach_mm, y=y, length=reach_mm, width=width),
                "left": Rect(x=x, y=y + width, length=length, width=reach_mm),
                "right": Rect(x=x, y=y - reach_mm, length=length, width=reach_mm),
            }[obstacle.lid_side]
        )
    return areas


def item_of(ctx: FitOut, zone: Zone, panel: Panel) -> Item | None:
    """A panel as it may lie in a zone: which ways round the curve of the roof allows; None if neither."""
    turns = tuple(rotated for rotated in (False, True) if _may_lie(ctx, zone, panel, rotated))
    if not turns:
        return None
    return Item(name=panel.name, length=panel.length_mm, width=panel.width_mm, turns=turns)


def _may_lie(ctx: FitOut, zone: Zone, panel: Panel, rotated: bool) -> bool:
    if panel.kind == "rigid" and not zone.rigid and ctx.is_active("roof.rigid", zone.name):
        return False
    if not zone.crown_mm:
        return True
    radius = zone.width_mm**2 / (8 * zone.crown_mm)
    if panel.kind == "flexible":
        return not ctx.is_active("roof.bend", zone.name) or radius >= panel.bend_radius_mm
    across = panel.length_mm if rotated else panel.width_mm
    return not ctx.is_active("roof.crown", zone.name) or across**2 / (8 * radius) <= ctx.case.limits.crown_gap_mm


@lru_cache(maxsize=4096)
def most_of(sheet: Sheet, item: Item, gap: int) -> int:
    """How many of one item a sheet takes; an upper bound where that is not proven in time."""
    result, known = most_count(sheet, item, gap=gap), known_of(sheet, gap)
    known.learn({item: result.value}, fit=True)
    known.learn({item: result.bound + 1}, fit=False)
    return result.bound


def _patterns(ctx: FitOut, zone: Zone) -> None:
    """What a zone may carry: one type, or two of which each leaves room for the other; one pattern holds.

    A zone's counts lie under one pattern, so the relaxation is a mix of whole zones, not of single panels.
    """
    gap = panel_gap(ctx, zone)
    sheet, _ = sheet_of(ctx, zone)
    ours = _ours(ctx, zone)
    if not ours or not ctx.is_active("roof.types", zone.name):
        return
    patterns = [{panel: len(ctx.d.at_least[zone.name, panel.name])} for panel in ours]
    for one, other in combinations(ours, 2):
        first, second = item_of(ctx, zone, one), item_of(ctx, zone, other)
        assert first is not None and second is not None
        steps = (*staircase(sheet, first, second, gap), 0)
        patterns += [
            {one: number, other: beside}
            for number, (beside, after) in enumerate(pairwise(steps), start=1)
            if beside > after
        ]
    chosen = [ctx.flag(f"pattern:{zone.name}:{k}") for k in range(len(patterns))]
    ctx.m.add_exactly_one(chosen)
    for panel in ours:
        for k, flag in enumerate(ctx.d.at_least[zone.name, panel.name], start=1):
            allowed = [c for c, pattern in zip(chosen, patterns, strict=True) if pattern.get(panel, 0) >= k]
            ctx.define(flag <= total(allowed))


@lru_cache(maxsize=65536)
def staircase(sheet: Sheet, one: Item, other: Item, gap: int) -> tuple[int, ...]:
    """For 1, 2, ... of one item: how many of the other fit beside, at most; not decided counts as fitting."""
    beside, steps = most_of(sheet, other, gap), []
    for number in range(1, most_of(sheet, one, gap) + 1):
        while beside and not _may_fit(sheet, {one: number, other: beside}, gap):
            beside -= 1
        steps.append(beside)
    return tuple(steps)


@lru_cache(maxsize=4096)
def known_of(sheet: Sheet, gap: int) -> Known:
    """What was proven so far of a sheet."""
    return Known()


def _may_fit(sheet: Sheet, counts: dict[Item, int], gap: int) -> bool:
    known = known_of(sheet, gap)
    if (answer := known.says(counts)) is not None:
        return answer
    found = fits(sheet, counts, gap=gap)
    if not isinstance(found, NotDecided):
        known.learn(counts, fit=isinstance(found, Fits))
    return not isinstance(found, DoesNotFit)


def _ours(ctx: FitOut, zone: Zone) -> dict[Panel, Bool]:
    panels = ctx.catalogue.of("panels")
    return {panels[p]: n for (z, p), n in ctx.d.panels.items() if z == zone.name}


def _area(ctx: FitOut, zone: Zone) -> None:
    """Implied: panels grown by the gap on two sides do not overlap, nor reach far into blocked areas."""
    sheet, _ = sheet_of(ctx, zone)
    gap = panel_gap(ctx, zone)
    grown = total((p.length_mm + gap) * (p.width_mm + gap) * n for p, n in _ours(ctx, zone).items())
    ctx.define(grown <= free_area(sheet, gap))


def _moments(ctx: FitOut, zone: Zone, worth: dict[Panel, CostAndMass]) -> None:
    """The zone's panels weigh somewhere between its edges; where exactly is settled by the layout.

    Of one type the extremes are exact for each number of panels; of two types together their sums still bound.
    They are expressions, not a variable between them: a variable with so wide a range costs the search dear.
    """
    sheet, (x, y) = sheet_of(ctx, zone)
    gap = panel_gap(ctx, zone)
    for axis, origin in ((AXES[0], x), (AXES[1], y)):
        low: Expr = 0
        high: Expr = 0
        for panel in _ours(ctx, zone):
            item, flags = item_of(ctx, zone, panel), ctx.d.at_least[zone.name, panel.name]
            assert item is not None
            grams, ends = worth[panel].grams, spread(sheet, item, gap, axis, len(flags))
            least = [floor(grams * (origin * k + twice / 2)) for k, (twice, _) in enumerate(ends)]
            most = [ceil(grams * (origin * k + twice / 2)) for k, (_, twice) in enumerate(ends)]
            low = low + total((after - before) * f for f, (before, after) in zip(flags, pairwise(least), strict=True))
            high = high + total((after - before) * f for f, (before, after) in zip(flags, pairwise(most), strict=True))
        if any(fact.zone == zone.name and fact.axis == axis for fact in ctx.learned):
            low = low + ctx.number(0, _FAR, f"moment:{zone.name}:{axis}:low")
            high = high - ctx.number(0, _FAR, f"moment:{zone.name}:{axis}:high")
        ctx.d.roof_moment[zone.name, axis] = (low, high)


@lru_cache(maxsize=65536)
def spread(sheet: Sheet, item: Item, gap: int, axis: Axis, most: int) -> tuple[tuple[int, int], ...]:
    """For 0, 1, 2 ... of one item: bounds on the sum of twice their centres along an axis of the sheet [mm].

    Exact up to a few; each further one adds no less, and no more, than one alone could.
    """
    ends = [(0, 0)]
    for number in range(1, min(most, EXACT_SPREAD) + 1):
        pair = [
            extreme_moment(sheet, {item: number}, axis=axis, weights={item.name: 1}, gap=gap, largest=largest)
            for largest in (False, True)
        ]
        if not all(isinstance(end, PackResult) for end in pair):
            break
        ends.append((pair[0].bound, pair[1].bound))  # type: ignore[union-attr]
    side = min(item.extent(rotated)[AXES.index(axis)] for rotated in item.turns)
    reach = (sheet.length, sheet.width)[AXES.index(axis)]
    one = ends[1] if len(ends) > 1 else (side, 2 * reach - side)
    while len(ends) <= most:
        ends.append((ends[-1][0] + one[0], ends[-1][1] + one[1]))
    return tuple(ends)


def _post(ctx: FitOut, fact: Learned) -> None:
    """What laying out taught: no placing of so many, or bounds on the moment of exactly so many."""
    counts = dict(fact.counts)
    refuted: list[cp_model.LiteralT] = []
    for (zone, panel), flags in ctx.d.at_least.items():
        if zone != fact.zone:
            continue
        count = counts.get(panel, 0)
        if count:
            refuted.append(~flags[count - 1])
        if fact.axis and count < len(flags):
            refuted.append(flags[count])
    if not fact.axis:
        ctx.m.add_bool_or(refuted)
        return
    bounded = ctx.flag("bounded")
    ctx.m.add_bool_or([*refuted, bounded])
    low, high = ctx.d.roof_moment[fact.zone, fact.axis]
    ctx.define(low >= fact.low, [bounded])
    ctx.define(high <= fact.high, [bounded])
