"""What the fit-out weighs, place by place, and how much of it the hitch or the axles carry."""

from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from optimiser.auditing import Finding
from optimiser.case import Trailer
from optimiser.fitted import Fit
from optimiser.fitted.figures import Item, added, shares_kg
from optimiser.plots import style
from optimiser.plots.style import COLOURS, LINE_MM, QUIET, Charted
from optimiser.units import GRAMS

WIRING = "wiring"
NOTE = (
    "Only what is bought counts; what is existing weighs nothing new. Parts weigh in the middle of their bay; "
    "cables, entries and what stands in no bay in the middle of the wiring."
)
_MARKS = (
    "All bars of the upper part have one scale; what is hatched lifts. Below, the thick line is the most that is "
    "allowed, a dashed one the least; a diamond is what was carried before the fit-out."
)

_NAME_MM, _LINE_GAP_MM = 36.0, 1.8
_HEADING_MM, _AIR_MM = 5.5, 3.0
_COLUMN_MM, _FIGURE_MM = 42.0, 13.0  # a column of bars; room in it for the figure at a bar's end
_GAUGE_MM, _GAUGE_PCT = 52.0, 115.0
_BAR_MM = 2.8


@dataclass(frozen=True)
class Place:
    """What is added in a zone, in a bay, or to the wiring."""

    name: str
    mass_kg: float
    shares_kg: tuple[float, ...]  # on each support, in `supports`' order


def supports(fit: Fit) -> tuple[str, ...]:
    """What carries the vehicle's weight."""
    return ("hitch", "axle") if isinstance(fit.case.brief.vehicle, Trailer) else ("front axle", "rear axle")


def places(fit: Fit) -> tuple[Place, ...]:
    """Everything added, by place, heaviest first; masses and shares sum to the audit's findings less the bases."""
    grouped: dict[str, list[Item]] = {}
    for item in added(fit):
        grouped.setdefault(item.place or WIRING, []).append(item)
    found = [_place(fit, name, items) for name, items in grouped.items()]
    return tuple(sorted(found, key=lambda place: (-place.mass_kg, place.name)))


def _place(fit: Fit, name: str, items: list[Item]) -> Place:
    shares = [_shares_kg(fit, item) for item in items]
    total = sum(item.worth.grams for item in items) / GRAMS
    return Place(name, total, tuple(sum(each) for each in zip(*shares, strict=True)))


def _shares_kg(fit: Fit, item: Item) -> tuple[float, float]:
    """In the order of `supports`: what a trailer puts on its hitch comes first."""
    vehicle = fit.case.brief.vehicle
    one, other = shares_kg(vehicle, mass_kg=item.worth.grams / GRAMS, x_mm=item.x_mm)
    return (other, one) if isinstance(vehicle, Trailer) else (one, other)


def masses(fit: Fit, findings: tuple[Finding, ...]) -> Charted:
    """Bars of mass and of shares by place; below them the totals against their limits."""
    found, carried = places(fit), supports(fit)
    title = f"Mass added by place, and what {carried[0]} and {carried[1]} carry of it"
    gauges = _gauges(fit, findings)
    names = [style.wrapped(place.name, _NAME_MM - 2) for place in found]
    heights = [len(name) * LINE_MM + _LINE_GAP_MM for name in names]
    lines, notes = style.titled(title), style.wrapped(f"{_MARKS} {NOTE}", style.SAFE_MM)
    top = style.head_mm(lines) + _HEADING_MM
    below = top + sum(heights) + _AIR_MM
    row = LINE_MM + _LINE_GAP_MM
    foot = below + _HEADING_MM + row * len(gauges) + _AIR_MM
    figure = style.page(foot + len(notes) * LINE_MM + 1)
    style.head(figure, lines)
    _columns(figure, fit, found, names, heights, top)
    _totals(figure, gauges, below, row)
    for number, line in enumerate(notes):
        style.write(figure, 0.5, foot + number * LINE_MM, line, color=QUIET)
    return Charted("masses", title, figure, _told(fit, found, gauges), *_table(fit, found, gauges))


# --- place by place ------------------------------------------------------------------------------------


def _columns(
    figure: Figure, fit: Fit, found: tuple[Place, ...], names: list[list[str]], heights: list[float], top_mm: float
) -> None:
    """The mass and both shares, all bars to one scale."""
    columns = [[place.mass_kg for place in found], *([place.shares_kg[n] for place in found] for n in (0, 1))]
    middles = [sum(heights[:number]) + height / 2 for number, height in enumerate(heights)]
    for name, middle in zip(names, middles, strict=True):
        for number, line in enumerate(name):
            at = top_mm + middle + (number - (len(name) - 1) / 2) * LINE_MM
            style.write(figure, _NAME_MM - 2, at, line, ha="right", va="center")
    kg_a_mm = max(_span(column) / (_COLUMN_MM - _room(column)) for column in columns)
    headings = ("kg added", *(f"kg of it on the {support}" for support in supports(fit)))
    for number, (column, heading) in enumerate(zip(columns, headings, strict=True)):
        left = _NAME_MM + number * (_COLUMN_MM + _AIR_MM / 2)
        axes = style.axes(figure, left, top_mm, _COLUMN_MM, sum(heights))
        style.write(figure, left, top_mm - 1, heading, va="bottom", fontweight="bold")
        _bars(axes, column, middles, kg_a_mm)
        axes.set_ylim(sum(heights), 0)


def _span(column: list[float]) -> float:
    return max(max(0.0, *column) - min(0.0, *column), 1e-6)


def _room(column: list[float]) -> float:
    """For figures at the ends of bars, on the left too if a bar goes there [mm]."""
    return _FIGURE_MM * (2 if min(column) < 0 else 1)


def _bars(axes: Axes, column: list[float], middles: list[float], kg_a_mm: float) -> None:
    left = min(0.0, *column) / kg_a_mm - (_FIGURE_MM if min(column) < 0 else 0)
    axes.set_xlim(left * kg_a_mm, (left + _COLUMN_MM) * kg_a_mm)
    for kg, middle in zip(column, middles, strict=True):
        key = "alternator" if kg >= 0 else "sun"
        axes.barh(middle, kg, height=_BAR_MM, **style.area(key, hatched=kg < 0))
        beyond = kg_a_mm if kg >= 0 else -kg_a_mm
        axes.text(kg + beyond, middle, f"{kg:.2f}", ha="left" if kg >= 0 else "right", va="center")
    axes.axvline(0, color=QUIET, linewidth=0.8)
    axes.set_xticks([])
    axes.set_yticks([])
    axes.spines[["left", "bottom"]].set_visible(False)


# --- totals --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Gauge:
    """A total with its limits [kg]."""

    name: str
    before_kg: float | None
    most: Finding
    least: Finding | None = None

    @property
    def ok(self) -> bool:
        return self.most.ok and (self.least is None or self.least.ok)

    @property
    def said(self) -> str:
        """The total as the audit shows it, with what it was and may be."""
        limit, actual = self.most.numbers
        allowed = f"{self.least.numbers[0]} to {limit}" if self.least else f"at most {limit}"
        if self.least and not self.least.ok:
            actual = self.least.numbers[1]
        before = "" if self.before_kg is None else f"{self.before_kg:g} before, "
        return f"{actual} kg: {before}{allowed}{'' if self.ok else ' (breach)'}"


def _gauges(fit: Fit, findings: tuple[Finding, ...]) -> list[_Gauge]:
    found = {finding.requirement: finding for finding in findings}
    vehicle = fit.case.brief.vehicle
    all_of_it = _Gauge("fit-out", None, found["mass.payload"])
    sides = _Gauge("left against right", None, found["mass.balance"])
    axles = [_Gauge(axle.name, axle.base_kg, found[f"mass.axle[{axle.name}]"]) for axle in vehicle.axles]
    if isinstance(vehicle, Trailer):
        axles.insert(0, _Gauge("hitch", vehicle.base_hitch_kg, found["mass.hitch_high"], found["mass.hitch_low"]))
    return [all_of_it, *axles, sides]


def _totals(figure: Figure, gauges: list[_Gauge], top_mm: float, row_mm: float) -> None:
    style.write(figure, _NAME_MM, top_mm + _HEADING_MM - 1, "of what is allowed", va="bottom", fontweight="bold")
    top = top_mm + _HEADING_MM
    axes = style.axes(figure, _NAME_MM, top, _GAUGE_MM, row_mm * len(gauges))
    axes.set_ylim(row_mm * len(gauges), 0)
    axes.set_xlim(0, max([_GAUGE_PCT, *(1.05 * _pct(gauge, gauge.most.actual) for gauge in gauges)]))
    for number, gauge in enumerate(gauges):
        middle = (number + 0.5) * row_mm
        _gauge(axes, gauge, middle)
        style.write(figure, _NAME_MM - 2, top + middle, gauge.name, ha="right", va="center")
        style.write(figure, _NAME_MM + _GAUGE_MM + 2, top + middle, gauge.said, va="center")
    axes.axvline(100, color=COLOURS["limit"], linewidth=1.8)
    axes.axvline(0, color=QUIET, linewidth=0.8)
    axes.set_xticks([])
    axes.set_yticks([])
    axes.spines[["left", "bottom"]].set_visible(False)


def _pct(gauge: _Gauge, kg: float) -> float:
    return 100 * kg / gauge.most.limit


def _gauge(axes: Axes, gauge: _Gauge, middle: float) -> None:
    key = "alternator" if gauge.ok else "limit"
    axes.barh(middle, _pct(gauge, gauge.most.actual), height=_BAR_MM, **style.area(key, hatched=not gauge.ok))
    ends = [middle - _BAR_MM * 0.8, middle + _BAR_MM * 0.8]
    if gauge.least:
        axes.plot([_pct(gauge, gauge.least.limit)] * 2, ends, color=COLOURS["limit"], linewidth=1.4, linestyle="--")
    if gauge.before_kg is not None:
        axes.plot(_pct(gauge, gauge.before_kg), middle, "d", markersize=4.5, color=COLOURS["loads"])


# --- what is told --------------------------------------------------------------------------------------


def _told(fit: Fit, found: tuple[Place, ...], gauges: list[_Gauge]) -> str:
    carried = supports(fit)
    each = [
        f"{place.name} {place.mass_kg:.2f} kg ({place.shares_kg[0]:.2f} on the {carried[0]}, "
        f"{place.shares_kg[1]:.2f} on the {carried[1]})"
        for place in found
    ]
    totals = [f"{gauge.name} {gauge.said}" for gauge in gauges]
    return f"Added: {'; '.join(each)}. In all: {'; '.join(totals)}. {NOTE}"


def _table(
    fit: Fit, found: tuple[Place, ...], gauges: list[_Gauge]
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Headers, and rows by place, then in all, before and with the fit-out, and what is allowed."""
    headers = ("place", "added, kg", *(f"on the {support}, kg" for support in supports(fit)))
    payload, *carried = gauges[:-1]
    rows = [(p.name, f"{p.mass_kg:.3f}", *(f"{kg:.3f}" for kg in p.shares_kg)) for p in found]
    added_kg = [gauge.most.actual - (gauge.before_kg or 0) for gauge in carried]
    rows.append(("added in all", f"{payload.most.actual:.3f}", *(f"{kg:.3f}" for kg in added_kg)))
    rows.append(("before the fit-out", "", *(f"{gauge.before_kg:.3f}" for gauge in carried)))
    rows.append(("with the fit-out", "", *(f"{gauge.most.actual:.3f}" for gauge in carried)))
    least = [f"{gauge.least.limit:g}" if gauge.least else "" for gauge in carried]
    if any(least):
        rows.append(("at least", "", *least))
    rows.append(("at most", *(f"{gauge.most.limit:g}" for gauge in (payload, *carried))))
    sides = gauges[-1].most
    rows.append(("more on one side than on the other", f"{sides.actual:.3f}", "", ""))
    rows.append(("of that at most", f"{sides.limit:g}", "", ""))
    return headers, tuple(rows)
