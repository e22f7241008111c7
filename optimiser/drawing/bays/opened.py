"""A bay opened out like a carton, with its cables: the floor in the middle, the walls folded down round it.

Each cable lies there in its true length, square along the faces, from edge to edge of what it goes by and to the
middle of its hole. A face that many cables lie on has a sheet of its own, upright and larger.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import dist

from optimiser.basis import faces
from optimiser.basis.faces import Span
from optimiser.case import Bay
from optimiser.cautions import CAUTIONS
from optimiser.drawing.bays.board_view import edges
from optimiser.drawing.bays.cut_outs import pass_throughs
from optimiser.drawing.bays.in_space import strips
from optimiser.drawing.bays.legs import FACES, DrawnLeg, aside_mm, key_of, legs_in
from optimiser.drawing.bays.places import FACE_NAMES, SEEN, Hole, draw_opening, holes_in
from optimiser.drawing.bays.standing_bodies import MarkedBody, marked, plain
from optimiser.drawing.isometry import along
from optimiser.drawing.setting import on_paper
from optimiser.drawing.shapes import Box, Dash, Layer, Point
from optimiser.drawing.sheet import SCALES, Sheet
from optimiser.fitted.fit import Fit
from optimiser.fixings import Fixing
from optimiser.fixings import fixings as proposed
from optimiser.physics.surfaces import Patch, directions_of, face_size_mm, on_face_mm
from optimiser.physics.surfaces import Point as InBay

_FOLDED = (
    "Floor: from above, right is forward. Walls: folded down, seen from inside; the ceiling lies beyond the left wall."
)
_BODIES = "Bodies as they cover their boards, with the marks of the bay's sheet; dashed: boards."
_CABLES = (
    "Cables by letters: from where to where, how far along the faces, and which pieces of the cutting list go there; "
    "shortest, square along the faces, from edge to edge and to the middle of holes. Where one lies on others it is "
    "drawn a little beside them. Not drawn: what lies within bodies, lugs, bends and detours. Lay a string before "
    "cutting."
)
_GOES_ON = "Where a cable leaves a wall and no other is beside it here, it goes on at the same height of the next."
_CROWDED = 8  # so many cables on a face, and it has a sheet of its own
_LARGE = 5  # a scale at which none needs it

Placing = Callable[[Bay, str, InBay], Point]
"""Where a point of a face of a bay lies in a drawing."""


def opened_bays(fit: Fit, fixings: Sequence[Fixing] | None = None) -> list[Sheet]:
    """For each bay in which a cable has a way that is surveyed, in the survey's order: it as a whole, crowded faces."""
    bored = proposed(fit) if fixings is None else fixings
    return [
        sheet
        for bay in fit.case.bays
        if (legs := legs_in(fit, bay))
        for sheet in _Opened(fit, bay, legs, bored).sheets()
    ]


def flat(bay: Bay, face: str, at: InBay) -> Point:
    """Where a point of a face comes to lie when the bay is opened out, from the rear right corner of its floor [mm]."""
    x, y, z = at
    length, width, height = bay.inside
    places = {
        "floor": (x, y),
        "left": (x, width + z),
        "right": (x, -z),
        "front": (length + z, y),
        "rear": (-z, y),
        "ceiling": (x, width + height + width - y),
    }
    return places[face]


def upright(bay: Bay, face: str, at: InBay) -> Point:
    """Where a point of a face is as one looks at it from inside, from its lower left corner [mm]."""
    along, back, up = directions_of(face)
    return bay.inside[along] - at[along] if back else at[along], at[up]


def lines_of(leg: DrawnLeg, on: Sequence[str], place: Callable[[str, InBay], Point]) -> list[list[Point]]:
    """Lines of a cable on faces of a drawing: one, or where it goes on at another place two and more."""
    lines = list[list[Point]]()
    for face, *ends in leg.stretches:
        if face in on:
            first, last = (place(face, at) for at in ends)
            if lines and lines[-1][-1] == first:
                lines[-1].append(last)
            else:
                lines.append([first, last])
    return lines


class _Opened:
    def __init__(self, fit: Fit, bay: Bay, legs: list[DrawnLeg], fixings: Sequence[Fixing]) -> None:
        self.fit, self.bay, self.legs = fit, bay, legs
        self.marked = marked(fit, bay.name)
        self.bodies = [(body, patch) for body in self.marked if (patch := self._patch(body))]
        self.holes = holes_in(fit, bay.name)
        self.through = pass_throughs(fit, bay, fixings)

    def sheets(self) -> list[Sheet]:
        """All faces on one, and those that are crowded there each on one of its own, where that is larger."""
        whole = self._sheet(())
        if whole.scale <= _LARGE:
            return [whole]
        crowded = [face for face in FACES if sum(leg.lies_on(face) for leg in self.legs) >= _CROWDED]
        alone = {face: sheet for face in crowded if (sheet := self._sheet((), face)).scale < whole.scale}
        return [self._sheet([*alone]) if alone else whole, *alone.values()]

    def _sheet(self, apart: Sequence[str], face: str = "") -> Sheet:
        """One face or all, at the largest scale that paper holds. ``apart``: faces that have sheets of their own."""
        for scale in SCALES[2:]:
            drawn = self._drawn(scale, apart, face)
            if made := on_paper(drawn, CAUTIONS):
                return made
        drawn.finish(CAUTIONS)
        return drawn

    def _drawn(self, scale: int, apart: Sequence[str], face: str) -> Sheet:
        title = f"{self.fit.case.brief.title}: bay {plain(self.bay.name)}"
        shows = f"{FACE_NAMES[face]} with its cables" if face else "opened out, with its cables"
        sheet = Sheet(f"opened-{self.bay.name}{f'-{face}' if face else ''}", f"{title}, {shows}", scale)
        view = _View(sheet, self.bay, [face] if face else self._seen(), upright if face else flat)
        for board in self.fit.case.boards:
            spans: tuple[Span, Span] = ((0, board.length_mm), (0, board.width_mm))
            if board.bay == self.bay.name and (patch := faces.patch(self.fit.case, board.place, *spans)):
                view.rect(patch, layer="clearance", dash="dashed", weight=0.18)
        for _, patch in self.bodies:
            sheet.solid += view.rect(patch, layer="body", weight=0.3)
        for cut in self.through:
            sheet.solid += view.rect(cut.patch, layer="fixing", weight=0.35)
        entering = [
            (hole, view.at(it.face, it.low)) for hole in self.holes if (it := self._hole(hole)) and it.face in view.on
        ]
        sheet.solid += [draw_opening(sheet, hole, at) for hole, at in entering]
        boxes, known = [view.box(patch) for _, patch in self.bodies if patch.face in view.on], len(sheet.solid)
        named = {leg: at for leg in self.legs if (at := view.cable(leg, apart, boxes))}
        for body, patch in self.bodies:
            if patch.face in view.on:
                box = view.box(patch)
                sheet.label(f"{body.mark} {body.name}", box.middle, room=box, clear=sheet.solid[known:])
        for leg, at in named.items():
            sheet.label(leg.letter, at, bold=True)
        for hole, at in entering:
            sheet.label(f"way {plain(hole.opening.way)}", at)
        for cut in self.through:
            if cut.patch.face in view.on:
                sheet.label(cut.named, view.box(cut.patch).middle)
        view.finish()
        if face:
            sheet.notes.append(f"{SEEN[face][0].upper()}{SEEN[face][1:]}.")
        else:
            length, width, height = self.bay.inside
            sheet.notes += [f"Bay {length} x {width} x {height} high.", _FOLDED, _GOES_ON]
        sheet.notes += [_CABLES, *(leg.told(self.marked) for leg in named)]
        rest = [leg.letter for leg in self.legs if leg not in named and not face]
        if rest:
            sheet.notes.append(f"On the sheets of crowded faces: {', '.join(rest)}.")
        sheet.notes += [_BODIES, key_of(self.fit, (run for leg in named for run, _ in leg.pieces))]
        return sheet

    def _hole(self, hole: Hole) -> Patch | None:
        return faces.hole(self.fit.case, self.bay.name, hole.opening.way)

    def _seen(self) -> list[str]:
        """The floor, and faces with a board, a hole or a cable on them."""
        used: set[str | None] = {board.face for board in self.fit.case.boards if board.bay == self.bay.name}
        used |= {hole.opening.face for hole in self.holes}
        return [it for it in FACES if it in used or it == "floor" or any(leg.lies_on(it) for leg in self.legs)]

    def _patch(self, body: MarkedBody) -> Patch | None:
        box = body.box
        return faces.patch(self.fit.case, body.body.board.place, (box.x0, box.x1), (box.y0, box.y1))


class _View:
    """Faces of a bay as they lie on a sheet."""

    def __init__(self, sheet: Sheet, bay: Bay, on: Sequence[str], place: Placing) -> None:
        self.sheet, self.bay, self.on, self.place = sheet, bay, on, place
        for face in on:
            box = self.whole(face)
            sheet.rect(box, layer="outline", weight=0.35)
            sheet.solid += edges(box)

    def at(self, face: str, at: InBay) -> Point:
        return self.place(self.bay, face, at)

    def box(self, patch: Patch) -> Box:
        (x0, y0), (x1, y1) = (self.at(patch.face, at) for at in (patch.low, patch.high))
        return Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))

    def whole(self, face: str) -> Box:
        """All of a face."""
        size = self.bay.inside
        long, high, _ = face_size_mm(size=size, face=face)
        return self.box(
            Patch(face, *(on_face_mm(size=size, face=face, left_mm=x, bottom_mm=y) for x, y in ((0, 0), (long, high))))
        )

    def rect(self, patch: Patch, *, layer: Layer, weight: float, dash: Dash = "solid") -> list[Box]:
        """A rectangle of a face that is drawn here; what it covers."""
        if patch.face not in self.on:
            return []
        self.sheet.rect(self.box(patch), layer=layer, weight=weight, dash=dash)
        return [self.box(patch)]

    def cable(self, leg: DrawnLeg, apart: Sequence[str], bodies: Sequence[Box]) -> Point | None:
        """Draw it; a point of it for its letter, beside bodies if it can be, on no face that has a sheet ``apart``."""
        by = aside_mm(leg) * self.sheet.scale
        for line in lines_of(leg, self.on, self.at):
            moved = [(x + by, y + by) for x, y in line]
            self.sheet.line(*moved, layer="cable", weight=0.35)
            self.sheet.solid += [box for ends in pairwise(moved) for box in strips(*ends, self.sheet.scale)]
        here = [(face, start, end) for face, start, end in leg.stretches if face in self.on and face not in apart]
        spots = [
            (x + by, y + by)
            for face, start, end in sorted(here, key=lambda it: -dist(it[1], it[2]))
            for share in (0.5, 0.25, 0.75, 0.1, 0.9)
            for x, y in [self.at(face, along((start, end), share))]
        ]
        return next((at for at in spots if not any(body.holds(Box(*at, *at)) for body in bodies)), (*spots, None)[0])

    def finish(self) -> None:
        """Names of faces, and the sizes of the floor or of the one that is drawn."""
        for face in self.on:
            box = self.whole(face)
            self.sheet.label(FACE_NAMES[face], (box.middle[0], box.y1))
        extent, box = self.sheet.extent(), self.whole(self.on[0])
        self.sheet.dimension((box.x0, box.y0), (box.x1, box.y0), along="x", at=extent.y0, out=-1)
        self.sheet.dimension((box.x0, box.y0), (box.x0, box.y1), along="y", at=extent.x0, out=-1)
