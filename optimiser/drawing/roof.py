"""The roof in plan, seen from above: the front at the right, the left of the vehicle up."""

from collections.abc import Iterator, Sequence
from itertools import product

from optimiser.case import Obstacle, Zone
from optimiser.cautions import CAUTIONS
from optimiser.drawing.legend import Sample, legend
from optimiser.drawing.running import running
from optimiser.drawing.shapes import TEXT_MM, Box, Circle, Fill, Point, Text, text_mm
from optimiser.drawing.sheet import A3_LANDSCAPE_MM, A4_LANDSCAPE_MM, Sheet, scale_for
from optimiser.fitted import Fit
from optimiser.fitted.places import lid_rect, obstacle_rect, panel_rect, walkway_rect, zone_rect
from optimiser.fixings import ROOF_DATUM, Fixing
from optimiser.fixings import fixings as proposed
from optimiser.fixings.forces import UNKNOWN, Lift, air_speed_km_h, lifts
from optimiser.physics import shade
from optimiser.units import at_least

_AROUND_MM = (40.0, 45.0)  # of paper, that dimensions and legend take beside the vehicle and below it
_SENSIBLE = 25  # at a smaller scale than 1:25 labels do not fit into panels
_FILLS: tuple[Fill, ...] = ("tint", "dots", "cross", "hatch")
_FOOT_MM = 30  # radius of the mark: half of the pad
_COLUMN_MM = 150.0  # of notes, at least
_LINE_MM = 1.3 * TEXT_MM  # from line to line of a label
_SHIFTS = (0, 1, -1, 2, -2, 3, -3, 4, -4)  # lines that a label may move aside by


def roof_plan(fit: Fit, fixings: Sequence[Fixing] | None = None) -> Sheet:
    """The roof to scale, with dimensions from the datum: zones, what panels keep clear of, panels, feet, glands.

    ``fixings``: feet and glands; None for the proposed ones.
    """
    sheet = Sheet("roof", f"{fit.case.brief.title}: roof plan", _scale(_whole(fit)))
    _Plan(fit, sheet, proposed(fit) if fixings is None else fixings).draw()
    return sheet


def _whole(fit: Fit) -> Box:
    """The vehicle's roof, and what stands beside it."""
    return Box.around([_vehicle_box(fit), *(Box.of(obstacle_rect(obstacle)) for obstacle in fit.case.obstacles)])


def _vehicle_box(fit: Fit) -> Box:
    """What is known of the vehicle's roof, with the datum."""
    areas = _zones(fit)
    outline = fit.case.brief.outline
    if outline:
        areas.append(Box(0, -outline.width_mm / 2, outline.length_mm, outline.width_mm / 2))
    return Box.around([*areas, Box(0, 0, 0, 0)])


def _scale(whole: Box) -> int:
    """On A4 if that is large enough to read, else on A3."""
    papers = [(w - _AROUND_MM[0], h - _AROUND_MM[1]) for w, h in (A4_LANDSCAPE_MM, A3_LANDSCAPE_MM)]
    small, large = (scale_for(whole.size, paper) for paper in papers)
    return small if small <= _SENSIBLE else large


def _zones(fit: Fit) -> list[Box]:
    return [Box.of(zone_rect(zone)) for zone in fit.case.zones]


def shadow_mm(fit: Fit, obstacle: Obstacle) -> int:
    """The set-back for its shadow that the audit holds panels to [mm]."""
    elevation = fit.case.rules["shadow_elevation_deg"]
    return at_least(shade.set_back_mm(height_mm=obstacle.height_mm, elevation_deg=elevation))


def panel_boxes(fit: Fit) -> list[Box]:
    """Where each panel of the build lies, in its order."""
    return [Box.of(panel_rect(fit, placed)) for placed in fit.build.panels]


class _Plan:
    def __init__(self, fit: Fit, sheet: Sheet, fixings: Sequence[Fixing]) -> None:
        self.fit, self.sheet, self.mm = fit, sheet, sheet.scale
        self.whole, self.panels = _whole(fit), panel_boxes(fit)
        self.obstacles = [Box.of(obstacle_rect(obstacle)) for obstacle in fit.case.obstacles]
        self.fixings = [f for f in fixings if f.kind in ("foot", "gland")]
        strings = dict.fromkeys(placed.string for placed in fit.build.panels)
        self.fills = {string: _FILLS[k % len(_FILLS)] for k, string in enumerate(strings)}

    def draw(self) -> None:
        """All of it; labels that find their place come after everything they must not cover."""
        self._vehicle()
        for zone in self.fit.case.zones:
            self._zone(zone)
        for obstacle in self.fit.case.obstacles:
            self._obstacle(obstacle)
        for placed, box in zip(self.fit.build.panels, self.panels, strict=True):
            self.sheet.rect(box, layer="panel", weight=0.5, fill=self.fills[placed.string])
        for fixing in self.fixings:
            self._fixing(fixing)
        self._dimensions()
        self._labels()
        self._legend()
        self._notes()

    # --- what is there -------------------------------------------------------------------------------

    def _vehicle(self) -> None:
        if self.fit.case.brief.outline:
            self.sheet.rect(_vehicle_box(self.fit), layer="outline", dash="dashed", weight=0.35)
        over, (x, y) = 3 * self.mm, (0.0, 0.0)
        axes = ((x - over, y), (self.whole.x1 + over, y)), ((x, self.whole.y0 - over), (x, self.whole.y1 + over))
        for axis in axes:
            self.sheet.line(*axis, layer="faint", dash="chain", weight=0.18)
        self.sheet.leaders += axes
        self.sheet.circle((x, y), 1.2 * self.mm, layer="symbol", weight=0.35)
        self.sheet.circle((x, y), 0.3 * self.mm, layer="symbol", fill="solid")

    def _zone(self, zone: Zone) -> None:
        box, back, front = Box.of(zone_rect(zone)), zone.set_back_mm, zone.front_set_back_mm
        inner = Box(box.x0 + back, box.y0 + back, box.x1 - front, box.y1 - back)
        bands = (
            Box(box.x0, box.y0, inner.x0, box.y1),
            Box(inner.x1, box.y0, box.x1, box.y1),
            Box(inner.x0, box.y0, inner.x1, inner.y0),
            Box(inner.x0, inner.y1, inner.x1, box.y1),
        )
        for band in bands:
            if min(band.size) > 0:
                self.sheet.rect(band, layer="clearance", weight=0, fill="hatch")
        walkway = walkway_rect(zone)
        if walkway:
            self.sheet.rect(Box.of(walkway), layer="clearance", weight=0.18, fill="cross")
        self.sheet.rect(inner, layer="clearance", dash="dashed", weight=0.18)
        self.sheet.rect(box, layer="zone", weight=0.35)

    def _obstacle(self, obstacle: Obstacle) -> None:
        box = Box.of(obstacle_rect(obstacle))
        if obstacle.clear_mm:
            self.sheet.rect(box.grown(obstacle.clear_mm), layer="clearance", dash="dashed")
        shadow = shadow_mm(self.fit, obstacle)
        if shadow:
            self.sheet.rect(box.grown(shadow), layer="clearance", dash="dotted", weight=0.35)
        lid = lid_rect(obstacle)
        if lid:
            self.sheet.rect(Box.of(lid), layer="obstacle", dash="chain")
        self.sheet.rect(box, layer="obstacle", weight=0.5, fill="paper")
        self.sheet.line((box.x0, box.y0), (box.x1, box.y1), layer="obstacle", weight=0.13)
        self.sheet.line((box.x0, box.y1), (box.x1, box.y0), layer="obstacle", weight=0.13)

    def _fixing(self, fixing: Fixing) -> None:
        if fixing.x_mm is None or fixing.y_mm is None:
            return
        x, y = float(fixing.x_mm), float(fixing.y_mm)
        if fixing.kind == "foot":
            self.sheet.circle((x, y), _FOOT_MM, layer="fixing", fill="paper")
            half = (float(_FOOT_MM), float(_FOOT_MM))
        else:
            half = (fixing.length_mm / 2, fixing.width_mm / 2)
            box = Box(x - half[0], y - half[1], x + half[0], y + half[1])
            self.sheet.rect(box, layer="fixing", weight=0.35, fill="paper")
            self.sheet.solid.append(box)
        self.sheet.line((x - half[0], y), (x + half[0], y), layer="fixing", weight=0.18)
        self.sheet.line((x, y - half[1]), (x, y + half[1]), layer="fixing", weight=0.18)

    # --- figures -------------------------------------------------------------------------------------

    def _dimensions(self) -> None:
        below: dict[int, Point] = {0: (0, self.whole.y0)}
        beside: dict[int, Point] = {0: (0, 0)}
        for box in sorted(self.panels, key=lambda box: -box.y0):  # the lowest one's line is the shortest
            below |= {int(x): (x, box.y0) for x in (box.x0, box.x1)}
        for box in sorted(self.panels, key=lambda box: -box.x0):
            beside |= {int(y): (box.x0, y) for y in (box.y0, box.y1)}
        behind = [*self.panels, *self.obstacles]
        running(self.sheet, below, along="x", at=self.whole.y0, behind=behind)
        running(self.sheet, beside, along="y", at=self.whole.x0, behind=behind)
        top, right = self.whole.y1 + 2 * self.mm, self.whole.x1 + 2 * self.mm
        for x0, x1, y in self._spans():
            self.sheet.dimension((x0, y), (x1, y), along="x", at=top)
        for y0, y1 in dict.fromkeys((box.y0, box.y1) for box in _zones(self.fit)):
            x = max(box.x1 for box in _zones(self.fit) if (box.y0, box.y1) == (y0, y1))
            self.sheet.dimension((x, y0), (x, y1), along="y", at=right)

    def _spans(self) -> Iterator[tuple[float, float, float]]:
        """From the rear end of the vehicle to a zone and over it, from the rear; equal ones once."""
        boxes = sorted(_zones(self.fit), key=lambda box: (box.x0, box.x1))
        seen = set()
        for box in boxes:
            for span in ((0.0, box.x0), (box.x0, box.x1)):
                if span[0] != span[1] and span not in seen:
                    seen.add(span)
                    yield *span, box.y1

    def _labels(self) -> None:
        for zone in self.fit.case.zones:
            box = Box.of(zone_rect(zone))
            above = Box(box.x0, box.y1, box.x1, box.y1 + 4.4 * self.mm)
            self.sheet.label(f"zone {zone.name}", (box.middle[0], box.y1), room=above, bold=True)
        self.sheet.solid += [*self.panels, *self.obstacles]
        self.sheet.solid.append(Box(0, 0, 0, 0).grown(2 * self.mm))
        for number, box in enumerate(self.panels, start=1):
            self._panel_label(number, box)
        self._feet_marks()
        self._arrow()
        self.sheet.label("0,0", (0, 0))
        for zone in self.fit.case.zones:
            walkway = walkway_rect(zone)
            if walkway:
                room = Box.of(walkway)
                self.sheet.label(f"walkway {zone.walkway_mm}", room.middle, room=room)
        for obstacle in self.fit.case.obstacles:
            box = Box.of(obstacle_rect(obstacle))
            self.sheet.label(obstacle.name, box.middle, room=box)
        for fixing in self.fixings:
            if fixing.kind == "gland" and fixing.x_mm is not None and fixing.y_mm is not None:
                self.sheet.label(fixing.name, (fixing.x_mm, fixing.y_mm), bold=True)

    def _panel_label(self, number: int, box: Box) -> None:
        """Number and string, part and size, lying or upright, off the feet; else the first alone, with a note."""
        placed = self.fit.build.panels[number - 1]
        first, size = f"P{number}  {placed.string}", "{:.0f} x {:.0f}".format(*box.size)
        whole = (first, placed.panel, size)
        feet = [Box(*shape.centre, *shape.centre).grown(shape.radius + 0.5 * self.mm) for shape in self._feet()]
        inside = box.grown(-0.7 * self.mm)
        for lines in (whole, (first,)):
            for upright, shift in product((False, True), _SHIFTS):
                texts = self._stack(lines, box, upright, shift * _LINE_MM * self.mm)
                covered = [text.box(self.mm) for text in texts]
                if all(inside.holds(one) and not any(one.meets(foot) for foot in feet) for one in covered):
                    self.sheet.shapes += texts
                    if lines != whole:
                        self.sheet.notes.append(f"{first}: {placed.panel}, {size}.")
                    return
        self.sheet.label(first, box.middle, bold=True)
        self.sheet.notes.append(f"{first}: {placed.panel}, {size}.")

    def _feet_marks(self) -> None:
        """Short marks beside the feet, within their panel and off all else; the notes tell the rule for the others."""
        for number, box in enumerate(self.panels, start=1):
            for foot in self.fixings:
                if foot.kind == "foot" and foot.name.startswith(f"P{number}-"):
                    self._foot_mark(foot, box)

    def _foot_mark(self, foot: Fixing, panel: Box) -> None:
        if foot.x_mm is None or foot.y_mm is None:
            return
        mark, inward = foot.name.partition("-")[2], 1 if foot.y_mm < panel.middle[1] else -1
        up = _FOOT_MM + (TEXT_MM / 2 + 0.5) * self.mm
        aside = _FOOT_MM + (text_mm(mark, TEXT_MM) / 2 + 0.5) * self.mm
        feet = [Box(*shape.centre, *shape.centre).grown(shape.radius) for shape in self._feet()]
        taken = [*feet, *(placed.box for placed in self.sheet.texts())]
        for x, y in ((0, inward * up), (aside, 0), (-aside, 0)):
            text = Text(text=mark, at=(foot.x_mm + x, foot.y_mm + y))
            covered = text.box(self.mm).grown(0.3 * self.mm)
            if panel.holds(covered) and not any(covered.meets(other) for other in taken):
                self.sheet.shapes.append(text)
                return

    def _feet(self) -> Iterator[Circle]:
        return (s for s in self.sheet.shapes if isinstance(s, Circle) and s.layer == "fixing")

    def _stack(self, lines: tuple[str, ...], box: Box, upright: bool, shift: float) -> list[Text]:
        """Lines of text on each other around the middle of a box, moved up (upright: to the left) by ``shift``."""
        made, (x, y) = [], box.middle
        for k, line in enumerate(lines):
            off = ((len(lines) - 1) / 2 - k) * _LINE_MM * self.mm + shift
            at = (x - off, y) if upright else (x, y + off)
            made.append(Text(text=line, at=at, upright=upright, bold=k == 0))
        return made

    def _arrow(self) -> None:
        """Direction of travel, above all dimensions."""
        y, tip = self.sheet.extent().y1 + 4 * self.mm, self.whole.x1
        tail, barb = tip - 18 * self.mm, 1.5 * self.mm
        self.sheet.line((tail, y), (tip, y), layer="symbol", weight=0.5)
        self.sheet.polygon(
            (tip, y), (tip - 2 * barb, y + barb), (tip - 2 * barb, y - barb), layer="symbol", fill="solid"
        )
        self.sheet.text("front, direction of travel", (tail - 1.5 * self.mm, y), anchor="end", bold=True)

    # --- words ---------------------------------------------------------------------------------------

    def _legend(self) -> None:
        extent = self.sheet.extent()
        at = (extent.x0, extent.y0 - 4 * self.mm)
        legend(self.sheet, list(self._samples()), at=at, width_mm=(extent.x1 - extent.x0) / self.mm)

    def _samples(self) -> Iterator[Sample]:
        case = self.fit.case
        for string, fill in self.fills.items():
            yield Sample(f"panel of string {string}", weight=0.5, fill=fill, box=True)
        yield Sample("set-back of the zone", dash="dashed", weight=0.18, fill="hatch", box=True)
        if any(zone.walkway_mm for zone in case.zones):
            yield Sample("walkway", weight=0.18, fill="cross", box=True)
        if any(obstacle.clear_mm for obstacle in case.obstacles):
            yield Sample("clearance of an obstacle", dash="dashed")
        if any(shadow_mm(self.fit, obstacle) for obstacle in case.obstacles):
            yield Sample("set-back for its shadow", dash="dotted", weight=0.35)
        if any(map(lid_rect, case.obstacles)):
            yield Sample("reach of its open lid", dash="chain")
        if case.brief.outline:
            yield Sample("vehicle", dash="dashed", weight=0.35)

    def _notes(self) -> None:
        case, notes = self.fit.case, self.sheet.notes
        for zone in case.zones:
            walkway = f", walkway {zone.walkway_mm} at the {zone.walkway_side}" if zone.walkway_mm else ""
            back = f"set-back {zone.set_back_mm}, at the front {zone.front_set_back_mm}"
            notes.append(f"Zone {zone.name}: {back}{walkway}.")
        for obstacle in case.obstacles:
            lid = f", lid opens to the {obstacle.lid_side} by {obstacle.lid_reach_mm}" if lid_rect(obstacle) else ""
            shadow = f"shadow {shadow_mm(self.fit, obstacle)} (height {obstacle.height_mm})"
            size = f"{obstacle.length_mm} x {obstacle.width_mm} (along x, y)"
            corner = f"its corner nearest rear and right at x {obstacle.x_mm}, y {obstacle.y_mm}"
            notes.append(f"Obstacle {obstacle.name}: clearance {obstacle.clear_mm}, {shadow}{lid}; {size}, {corner}.")
        for gland in (f for f in self.fixings if f.kind == "gland"):
            where = f"{gland.length_mm} x {gland.width_mm}, middle at x {gland.x_mm}, y {gland.y_mm}, "
            notes.append(f"{gland.name} {gland.part}: {where if gland.x_mm is not None else ''}{gland.note}.")
        columns = max(int(self.sheet.extent().size[0] / self.mm / _COLUMN_MM), 1)
        self.sheet.finish([*self._strings(), *self._words(), *CAUTIONS], columns=columns)

    def _strings(self) -> Iterator[str]:
        """In which order panels of a string are joined."""
        strings: dict[str, list[str]] = {}
        for number, placed in enumerate(self.fit.build.panels, start=1):
            strings.setdefault(placed.string, []).append(f"P{number}")
        joined = "; ".join(f"{string}: {' - '.join(panels)}" for string, panels in strings.items())
        if joined:
            yield f"Strings, panels joined in the order of their numbers, proposed: {joined}."

    def _wind(self) -> Iterator[str]:
        """Uplift of each type of panel; a line, as alike panels are lifted alike."""
        alike: dict[str, list[Lift]] = {}
        for lift in lifts(self.fit):
            alike.setdefault(lift.panel.name, []).append(lift)
        told = [f"{', '.join(lift.hold.name for lift in same)} {_lift_words(same[0])}" for same in alike.values()]
        if told:
            yield (
                f"Wind at {air_speed_km_h(self.fit):g} km/h, road speed and gust, lifts, less their own weight: "
                f"{'; '.join(told)}. More in the list Forces on fixings; {UNKNOWN}."
            )

    def _words(self) -> Iterator[str]:
        yield f"Figures from the datum 0,0: {ROOF_DATUM}. Seen from above, front at the right, left of the vehicle up."
        if not self.fit.case.brief.outline:
            yield "The vehicle's outline was not surveyed."
        if any(f.kind == "foot" for f in self.fixings):
            yield "Crossed circles: feet of the mounting kits, proposed and not surveyed; places in the drilling list."
            yield (
                "Feet of a panel are numbered F1, F2, ... from the rear, of two at the same distance the right one "
                "first; F1 of P2 is P2-F1 in the drilling list."
            )
        yield from self._wind()
        yield "Look under the roof for ribs, cables and lamps before you drill."


def _lift_words(lift: Lift) -> str:
    each = f"{at_least(lift.wind_n)} N a panel"
    if not lift.feet:
        return f"{each}, glued, with safety {at_least(lift.proof_n)}"
    foot, proof = (at_least(force / lift.feet) for force in (lift.wind_n, lift.proof_n))
    return f"{each}, {foot} N a foot, with safety {proof}"
