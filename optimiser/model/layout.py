"""Lays the roof out: where each panel of a solution lies, or what was learned if it cannot.

The model counts panels by zone and bounds their moments; here they get places, and a place for their
weight that hitch, axles and balance allow. What fails is a fact about one zone that the next model is told.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor

from optimiser.builds import PlacedPanel
from optimiser.case import Zone
from optimiser.model import mass, roof
from optimiser.model.context import FitOut, Learned
from optimiser.model.decisions import Value
from optimiser.model.packing import (
    DoesNotFit,
    Fits,
    Item,
    MomentLimit,
    NotDecided,
    PackResult,
    Placed,
    Sheet,
    extreme_moment,
    fits,
)

AXES = ("x", "y")
_FAR = 10**14  # g mm: beyond any moment


@dataclass(frozen=True)
class Unsettled:
    """Neither a layout nor a fact: the packing search gave up."""

    why: str


@dataclass
class _Laid:
    """One zone with its panels."""

    zone: Zone
    sheet: Sheet
    origin: tuple[int, int]
    counts: dict[Item, int]
    grams: dict[str, int]
    gap: int
    placed: tuple[Placed, ...] = ()

    @property
    def fixed(self) -> dict[str, int]:
        """Moment of all its panels if each stood at the sheet's corner [g mm]."""
        mass_g = sum(self.grams[item.name] * n for item, n in self.counts.items())
        return {axis: mass_g * self.origin[k] for k, axis in enumerate(AXES)}

    def moment(self, axis: str) -> float:
        """Moment of the panels as placed about the vehicle's origin [g mm]."""
        k = AXES.index(axis)
        of = {item.name: item for item in self.counts}
        twice = sum(self.grams[p.name] * (2 * (p.x, p.y)[k] + of[p.name].extent(p.rotated)[k]) for p in self.placed)
        return self.fixed[axis] + twice / 2


def lay_out(ctx: FitOut, value: Value) -> tuple[PlacedPanel, ...] | list[Learned] | Unsettled:
    """Places for all panels of a solution."""
    zones = [laid for zone in ctx.case.zones if (laid := _zone(ctx, zone, value)).counts]
    learned: list[Learned] = []
    for laid in zones:
        found = fits(laid.sheet, laid.counts, gap=laid.gap)
        if isinstance(found, NotDecided):
            return Unsettled(f"whether the panels of {laid.zone.name} fit was not decided")
        if isinstance(found, DoesNotFit):
            learned.append(Learned(laid.zone.name, _smallest_misfit(laid)))
        else:
            laid.placed = found.placed
    if learned:
        return learned
    windows = dict(zip(AXES, mass.roof_windows(ctx, value), strict=True))
    if not _balance(zones, windows):
        return _moment_facts(zones, windows)
    return _strung(ctx, value, zones)


def _zone(ctx: FitOut, zone: Zone, value: Value) -> _Laid:
    panels = ctx.catalogue.of("panels")
    sheet, origin = roof.sheet_of(ctx, zone)
    counts: dict[Item, int] = {}
    for (name, panel), var in ctx.d.panels.items():
        if name == zone.name and (n := value(var)):
            item = roof.item_of(ctx, zone, panels[panel])
            assert item is not None
            counts[item] = n
    grams = {item.name: ctx.tables.cost_and_mass(panels[item.name]).grams for item in counts}
    return _Laid(zone, sheet, origin, counts, grams, roof.panel_gap(ctx, zone))


def _smallest_misfit(laid: _Laid) -> tuple[tuple[str, int], ...]:
    """Fewer panels that still do not fit: one less of each type as long as the rest still fails."""
    counts = dict(laid.counts)
    for item in laid.counts:
        while counts[item] > 1 or len(counts) > 1:
            fewer = {i: n - (i is item) for i, n in counts.items() if n - (i is item)}
            if not fewer or not isinstance(fits(laid.sheet, fewer, gap=laid.gap), DoesNotFit):
                break
            counts = fewer
            if item not in counts:
                break
    return tuple((item.name, n) for item, n in counts.items())


def _balance(zones: Sequence[_Laid], windows: Mapping[str, tuple[float, float]]) -> bool:
    """Shift panels, a zone at a time, until both moments lie in their windows."""
    if _inside(zones, windows):
        return True
    for laid in zones:
        if _settle(laid, zones, windows):
            return True
        for axis in AXES:
            total, (low, high) = sum(z.moment(axis) for z in zones), windows[axis]
            if low <= total <= high:
                continue
            pushed = _extreme(laid, axis, largest=total < low)
            if isinstance(pushed, PackResult):
                laid.placed = pushed.placed
        if _inside(zones, windows):
            return True
    return any(_settle(laid, zones, windows) for laid in zones)


def _inside(zones: Sequence[_Laid], windows: Mapping[str, tuple[float, float]]) -> bool:
    return all(low <= sum(z.moment(axis) for z in zones) <= high for axis, (low, high) in windows.items())


def _settle(laid: _Laid, zones: Sequence[_Laid], windows: Mapping[str, tuple[float, float]]) -> bool:
    """Place one zone so that all is in its windows with the other zones as they are."""
    limits = []
    for axis, (low, high) in windows.items():
        others = sum(z.moment(axis) for z in zones if z is not laid) + laid.fixed[axis]
        least, most = ceil(max(-_FAR, 2 * (low - others))), floor(min(_FAR, 2 * (high - others)))
        if least > most:
            return False
        limits.append(MomentLimit(weight_per_item=laid.grams, axis="x" if axis == "x" else "y", low=least, high=most))
    found = fits(laid.sheet, laid.counts, gap=laid.gap, moments=limits)
    if isinstance(found, Fits):
        laid.placed = found.placed
    return isinstance(found, Fits)


def _extreme(laid: _Laid, axis: str, *, largest: bool) -> PackResult | DoesNotFit | NotDecided:
    return extreme_moment(
        laid.sheet, laid.counts, axis="x" if axis == "x" else "y", weights=laid.grams, gap=laid.gap, largest=largest
    )


def _moment_facts(zones: Sequence[_Laid], windows: Mapping[str, tuple[float, float]]) -> list[Learned] | Unsettled:
    """True bounds on the moments of these counts, if they rule the solution out."""
    for axis, (low, high) in windows.items():
        facts, least, most = [], 0.0, 0.0
        for laid in zones:
            ends = [_extreme(laid, axis, largest=largest) for largest in (False, True)]
            if not all(isinstance(end, PackResult) for end in ends):
                return Unsettled(f"how the weight of {laid.zone.name} can lie was not decided")
            small, large = (end.bound / 2 + laid.fixed[axis] for end in ends if isinstance(end, PackResult))
            least, most = least + small, most + large
            counts = tuple((item.name, n) for item, n in laid.counts.items())
            facts.append(Learned(laid.zone.name, counts, axis, floor(small), ceil(large)))
        if least > high or most < low:
            return facts
    return Unsettled("no layout was found that suits the hitch, the axles and the balance at once")


def _strung(ctx: FitOut, value: Value, zones: Sequence[_Laid]) -> tuple[PlacedPanel, ...]:
    """Give each panel its string: the arrays take their panels zone by zone, from the rear."""
    free: dict[tuple[str, str], list[PlacedPanel]] = {}
    for laid in zones:
        for p in sorted(laid.placed, key=lambda p: (p.x, p.y)):
            x, y = p.x + laid.origin[0], p.y + laid.origin[1]
            panel = PlacedPanel(laid.zone.name, p.name, x, y, p.rotated, "")
            free.setdefault((laid.zone.roof_plane, p.name), []).append(panel)
    placed: list[PlacedPanel] = []
    for strings in ctx.d.strings.values():
        for option, var in strings.options.items():
            if not value(var) or not option.roof_plane:
                continue
            ours = free[option.roof_plane, option.panel.name]
            for number in range(option.panels):
                panel = ours.pop(0)
                string = f"{strings.name}.{number // option.series + 1}"
                placed.append(PlacedPanel(panel.zone, panel.panel, panel.x_mm, panel.y_mm, panel.rotated, string))
    return tuple(placed)
