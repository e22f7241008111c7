"""A whole bay in three dimensions: its box, boards, bodies at their depth, cable openings, and cables along the faces.

It shows the cables of the bay opened out, by the same ways and under the same letters, and what is cut in its faces.
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from math import cos, dist, pi, sin

from optimiser.case import Bay
from optimiser.cautions import CAUTIONS
from optimiser.drawing.bays.cut_outs import CutOut, cut_out_notes, pass_throughs, vents
from optimiser.drawing.bays.in_space import (
    around,
    board_solid,
    covered,
    hidden_mm,
    middle_of,
    on_face_of,
    solid_of,
    strips,
)
from optimiser.drawing.bays.legs import DrawnLeg, aside_mm, key_of, legs_in
from optimiser.drawing.bays.places import FACE_NAMES, Hole, holes_in
from optimiser.drawing.bays.standing_bodies import MarkedBody, marked, plain
from optimiser.drawing.isometry import (
    VIEWS,
    InSpace,
    Line,
    Solid,
    View,
    behind,
    edges_of,
    hidden,
    projected,
    stretches,
)
from optimiser.drawing.setting import on_paper
from optimiser.drawing.shapes import Box, Dash, Layer, Point
from optimiser.drawing.sheet import SCALES, Sheet
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import run_numbers
from optimiser.fixings import Fixing
from optimiser.fixings import fixings as proposed
from optimiser.physics.surfaces import directions_of

_NOTES = (
    "Lengths are to scale along the three directions of the edges of the bay, and along no others.",
    "Bodies as they stand, without the clearance before them, with the marks of the bay's sheet; thin: boards, and "
    "dotted where they are on a face that is taken away. Dashed: behind bodies, and edges of what is taken away.",
    "Cables by the letters of the bay opened out, which says from where to where each goes, how far, and which pieces "
    "go there; where one lies on others it is drawn a little beside them. Not drawn: what lies within bodies, lugs, "
    "bends and detours.",
)
_CORNERS = 36  # of a circle
RING_MM = 0.3
"""Weight of the line round a cable opening."""
_AXES_MM = 9.0


def isometric_bays(fit: Fit, fixings: Sequence[Fixing] | None = None) -> list[Sheet]:
    """One sheet for each bay in which something of the build is known to be or to come in, in the survey's order."""
    bored = proposed(fit) if fixings is None else fixings
    views = (_Isometric(fit, bay, bored) for bay in fit.case.bays)
    return [view.sheet() for view in views if view.shows_something]


class _Isometric:
    def __init__(self, fit: Fit, bay: Bay, fixings: Sequence[Fixing]) -> None:
        self.fit, self.bay, self.fixings = fit, bay, fixings
        self.legs = legs_in(fit, bay)
        self.holes = holes_in(fit, bay.name)
        bodies = marked(fit, bay.name)
        found = [(body, solid_of(fit, body)) for body in bodies]
        self.bodies = [(body, solid) for body, solid in found if solid]
        self.unknown = [body for body, solid in found if not solid]
        self.solids = [solid for _, solid in self.bodies]
        self.cut_outs = [*pass_throughs(fit, bay, fixings), *vents(fit, bay, fixings, self.bodies, self.holes)]
        self.view = min(VIEWS, key=self._hides)

    @property
    def shows_something(self) -> bool:
        """Whether anything of the build has a place that is known here."""
        came_in = any(hole.runs for hole in self.holes)
        return bool(self.legs or came_in or self.cut_outs or any(not body.body.fixture for body, _ in self.bodies))

    def _hides(self, view: View) -> tuple[int, float]:
        """How many bodies are seen from behind, and how much of the lines of bodies and cables is hidden by bodies."""
        turned = sum(body.body.board.face in view.near for body, _ in self.bodies)
        out_of_sight = 0.0
        for solid in self.solids:
            others = [other for other in self.solids if other is not solid]
            out_of_sight += hidden_mm(view, edges_of(solid), others)
        cables = [(start, end) for leg in self.legs for _, start, end in leg.stretches]
        return turned, round(out_of_sight + hidden_mm(view, cables, self.solids), 3)

    def sheet(self) -> Sheet:
        """At the largest scale, and then on the smallest paper, that holds it with its words."""
        for scale in SCALES[2:]:
            drawn = self._drawn(scale)
            length, width, height = self.bay.inside
            drawn.notes += [self._seen_from(), *_NOTES, *self._not_surveyed()]
            drawn.notes += cut_out_notes(self.fit, self.bay, self.cut_outs, self.fixings)
            drawn.notes += [f"Bay {length} x {width} x {height} high.", self._key()]
            if made := on_paper(drawn, CAUTIONS):
                return made
        drawn.finish(CAUTIONS)
        return drawn

    def _drawn(self, scale: int) -> Sheet:
        title = f"{self.fit.case.brief.title}: bay {plain(self.bay.name)} in three dimensions, with its cables"
        sheet = Sheet(f"isometric-{self.bay.name}", title, scale)
        self._draw_bay(sheet)
        self._draw_boards(sheet)
        for body, solid in self.bodies:
            self._draw_body(sheet, body, solid)
        for hole in self.holes:
            self._draw_hole(sheet, hole)
        for it in self.cut_outs:
            self._draw_cut_out(sheet, it)
        named = [self._draw_cable(sheet, leg) for leg in self.legs]
        for leg, at in zip(self.legs, named, strict=True):
            sheet.label(leg.letter, at, bold=True)
        for body, solid in self.bodies:
            at = self._seen_point(solid)
            sheet.circle(at, 0.5 * scale, layer="dimension", weight=0.13, fill="solid")
            sheet.label(f"{body.mark} {body.name}", at)
        for hole in self.holes:
            at = self._at(middle_of(self.fit, hole))
            told = f"{hole.named}, {FACE_NAMES[hole.opening.face]}{hole.by}"
            sheet.label(told, at, arrow_mm=hole.bore_mm / 2)
        for it in self.cut_outs:
            sheet.label(it.named, around([self._at(it.patch.low), self._at(it.patch.high)]).middle)
        self._label_edges(sheet)
        self._axes(sheet)
        return sheet

    # --- what is drawn -----------------------------------------------------------------------------------

    def _at(self, at: InSpace) -> Point:
        return projected(self.view, at)

    def _line(
        self, sheet: Sheet, line: Line, layer: Layer, *, weight: float, dash: Dash = "solid", unseen: float = 0
    ) -> None:
        """What is seen of a line; ``unseen``: the weight in which what bodies hide is dashed."""
        for (start, end), seen in stretches(self.view, line, self.solids):
            if seen:
                sheet.line(self._at(start), self._at(end), layer=layer, weight=weight, dash=dash)
            elif unseen:
                sheet.line(self._at(start), self._at(end), layer=layer, weight=unseen, dash="dashed")

    def _draw_bay(self, sheet: Sheet) -> None:
        nearest = self._nearest()
        for edge in edges_of(((0, 0, 0), self.bay.inside)):
            if nearest in edge:
                sheet.line(*map(self._at, edge), layer="outline", weight=0.13, dash="dashed")
            else:
                self._line(sheet, edge, "outline", weight=0.25)
            start, end = map(self._at, edge)
            sheet.solid += strips(start, end, sheet.scale)

    def _draw_boards(self, sheet: Sheet) -> None:
        for board in self.fit.case.boards:
            if board.bay == self.bay.name and (solid := board_solid(self.fit, board)):
                dash: Dash = "dotted" if board.face in self.view.near else "solid"
                for edge in {edge for edge in edges_of(solid) if edge[0] != edge[1]}:
                    self._line(sheet, edge, "zone", weight=0.18, dash=dash)

    def _draw_body(self, sheet: Sheet, body: MarkedBody, solid: Solid) -> None:
        layer: Layer = "obstacle" if body.body.existing else "body"
        for edge in edges_of(solid):
            if not hidden(self.view, edge, solid):
                self._line(sheet, edge, layer, weight=0.4, unseen=0.13)
        sheet.solid += covered(self.view, solid, sheet.scale)

    def _draw_hole(self, sheet: Sheet, hole: Hole) -> None:
        """A circle in its face, dashed where bodies hide it, and its centre lines where they do not hide its middle."""
        middle, radius = middle_of(self.fit, hole), hole.bore_mm / 2
        right, _, up = directions_of(hole.opening.face)

        def at(share: float, out: float) -> InSpace:
            point = list(middle)
            point[right] += out * cos(share * 2 * pi)
            point[up] += out * sin(share * 2 * pi)
            return point[0], point[1], point[2]

        ring = [at(corner / _CORNERS, radius) for corner in range(_CORNERS)]
        for seen, arc in groupby(range(_CORNERS), lambda n: not behind(self.view, ring[n], self.solids)):
            first, *rest = arc
            corners = [ring[number % _CORNERS] for number in range(first, first + len(rest) + 2)]
            dash: Dash = "solid" if seen else "dashed"
            sheet.line(*map(self._at, corners), layer="cable", weight=RING_MM, dash=dash)
        reach = radius + sheet.scale
        for share in (0.0, 0.25) if not behind(self.view, middle, self.solids) else ():
            ends = (self._at(at(share + turn, reach)) for turn in (0, 0.5))
            sheet.line(*ends, layer="cable", dash="chain", weight=0.13)
        sheet.solid.append(around([self._at(corner) for corner in ring]))

    def _draw_cut_out(self, sheet: Sheet, it: CutOut) -> None:
        """Its edges and diagonals, dashed where bodies hide them, dotted on a face that is taken away."""
        near: Dash = "dotted" if it.patch.face in self.view.near else "solid"
        edges = {edge for edge in edges_of((it.patch.low, it.patch.high)) if edge[0] != edge[1]}
        for edge in edges:
            self._line(sheet, edge, "fixing", weight=0.35, dash=near, unseen=0.18)
        sheet.solid.append(around([self._at(at) for edge in edges for at in edge]))

    def _draw_cable(self, sheet: Sheet, leg: DrawnLeg) -> Point:
        """Beside the others; the middle of what is seen of it in one piece, for its numbers."""
        by = aside_mm(leg) * sheet.scale
        pieces = []
        for _, *stretch in leg.stretches:
            for line, seen in stretches(self.view, (stretch[0], stretch[1]), self.solids):
                (x0, y0), (x1, y1) = map(self._at, line)
                ends = (x0 + by, y0), (x1 + by, y1)
                sheet.line(*ends, layer="cable", weight=0.35 if seen else 0.18, dash="solid" if seen else "dashed")
                sheet.solid += strips(*ends, sheet.scale)
                pieces.append((seen, dist(*ends), ends))
        _, _, ((x0, y0), (x1, y1)) = max(pieces)
        return (x0 + x1) / 2, (y0 + y1) / 2

    # --- labels ------------------------------------------------------------------------------------------

    def _seen_point(self, solid: Solid) -> Point:
        """A point of a body that no other hides, near the middle of a face; that of its top where all is hidden."""
        others = [other for other in self.solids if other is not solid]
        for share in (0.5, 0.25, 0.75, 0.1, 0.9):
            for far in (0.5, 0.25, 0.75, 0.1, 0.9):
                for axis in (2, 0, 1):
                    at = on_face_of(solid, self.view, axis, share, far)
                    if not behind(self.view, at, others):
                        return self._at(at)
        return self._at(on_face_of(solid, self.view, 2, 0.5, 0.5))

    def _label_edges(self, sheet: Sheet) -> None:
        """Its sizes at the edges of its outline, and the names of the faces that are left."""
        x, y, _ = self._nearest()
        length, width, height = self.bay.inside
        sizes = (
            (f"{length} long", (length / 2, y, 0.0)),
            (f"{width} wide", (x, width / 2, 0.0)),
            (f"{height} high", (*self._right(), height / 2)),
        )
        for words, at in sizes:
            sheet.label(words, self._at(at))
        far_x, far_y = length - x, width - y
        walls = {"rear" if far_x == 0 else "front": (far_x, width / 2, height)}
        walls |= {"right" if far_y == 0 else "left": (length / 2, far_y, height)}
        for face, at in walls.items():
            sheet.label(FACE_NAMES[face], self._at(at))

    def _nearest(self) -> InSpace:
        """The corner of the bay that is nearest to whoever looks."""
        length, width, height = self.bay.inside
        return (length if self.view.x > 0 else 0), (width if self.view.y > 0 else 0), height

    def _right(self) -> Point:
        """The corner of its plan that is furthest to the right on paper."""
        length, width, _ = self.bay.inside
        return max(((x, y) for x in (0, length) for y in (0, width)), key=lambda at: self._at((*at, 0))[0])

    def _axes(self, sheet: Sheet) -> None:
        """Three arrows, forward, to the left and up: in a corner below the bay where there is room, else under it."""
        extent, far = sheet.extent(), _AXES_MM * sheet.scale
        size = 1.6 * far
        corners = [(x, extent.y0 + size) for x in (extent.x0 + size, extent.x1 - size)]
        taken = [*sheet.solid, *(text.box for text in sheet.texts())]
        free = [at for at in corners if not any(Box(*at, *at).grown(size).meets(box) for box in taken)]
        foot = (*free, (extent.x0 + size, extent.y0 - size))[0]
        for words, axis in (("forward", (far, 0, 0)), ("left", (0, far, 0)), ("up", (0, 0, far))):
            dx, dy = self._at(axis)
            sheet.arrow(foot, (foot[0] + dx, foot[1] + dy))
            sheet.text(words, (foot[0] + 1.3 * dx, foot[1] + 1.3 * dy))

    # --- words -------------------------------------------------------------------------------------------

    def _seen_from(self) -> str:
        front, side, _ = self.view.near
        return (
            f"Isometric, seen from above, from the {front} and the {side}: {front} wall, {side} wall and ceiling are "
            "taken away."
        )

    def _key(self) -> str:
        here = {number for hole in self.holes for number in hole.runs}
        return key_of(self.fit, (run for run, number in run_numbers(self.fit).items() if number in here))

    def _not_surveyed(self) -> Iterator[str]:
        if self.unknown:
            named = ", ".join(f"{body.mark} {body.name}" for body in self.unknown)
            yield f"Not drawn, as where their boards are in the bay is not surveyed: {named}."
        known = {hole.opening.way for hole in self.holes}
        ways = [way.name for way in self.fit.case.ways if self.bay.name in (way.start, way.end)]
        missing = [plain(way) for way in ways if way not in known]
        if missing:
            yield f"Not surveyed, where these come into the bay: {', '.join(missing)}; cables to there are not drawn."
