"""A bay opened out like a carton, with its cables: the floor in the middle, the walls folded down round it.

Each cable lies there in its true length, square along the faces, from edge to edge of what it goes by and to the
middle of its hole.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, pairwise

from optimiser.basis import faces
from optimiser.basis.faces import Span
from optimiser.case import Bay
from optimiser.cautions import CAUTIONS
from optimiser.drawing.bays.places import FACE_NAMES, Hole, draw_opening, holes
from optimiser.drawing.bays.standing_bodies import MarkedBody, marked, plain
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import SCALES, Sheet
from optimiser.fitted.drawn import Leg, legs_of, through
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered, run_numbers
from optimiser.fitted.wiring import routed_runs
from optimiser.physics.surfaces import Patch, face_size_mm, on_face_mm, path_over_faces
from optimiser.physics.surfaces import Point as InBay

_NOTES = (
    "Floor: from above, right is forward. Walls: folded down, seen from inside; the ceiling lies beyond the left wall. "
    "Bodies as they cover their boards, with the marks of the bay's sheet; dashed: boards.",
    "Cables by their numbers, shortest, square along the faces, from edge to edge and to the middle of holes. Lines "
    "are drawn a little beside one another. Where a cable leaves a wall and no other is beside it here, it goes on at "
    "the same height of the next. Not drawn: what lies within bodies, lugs, bends and detours. Lay a string before "
    "cutting.",
)
LANES, LANE_MM = 7, 0.7
"""How many cables lie beside one another, and how far apart on paper."""

_FACES = ("floor", "left", "right", "front", "rear", "ceiling")


def opened_bays(fit: Fit) -> list[Sheet]:
    """One sheet for each bay in which a cable has a way that is surveyed, in the survey's order."""
    return [_Opened(fit, bay, legs).sheet() for bay in fit.case.bays if (legs := cables_in(fit, bay.name))]


def cables_in(fit: Fit, bay: str) -> dict[Leg, list[str]]:
    """What cables go in a bay between two places that are surveyed, and the numbers of the runs that go it."""
    found = dict[Leg, list[str]]()
    for name, number in run_numbers(fit).items():
        laid = routed_runs(fit)[name]
        legs = [leg for core in legs_of(fit, laid) for leg in core]
        for leg in dict.fromkeys([*legs, *through(fit, laid)]):
            if leg.bay == bay and leg.mm and all(leg.patches):
                found.setdefault(leg, []).append(number)
    return found


def key_of(fit: Fit, numbers: Iterable[str]) -> str:
    """The names of the runs of which a sheet shows the numbers."""
    shown = set(numbers)
    key = ", ".join(numbered(fit, run) for run, number in run_numbers(fit).items() if number in shown)
    return f"Cables: {plain(key)}."


def lines_of(bay: Bay, leg: Leg) -> list[list[Point]]:
    """Lines of a cable on the bay opened out: one, or where it goes on at another place two and more."""
    one, other = leg.patches
    assert one is not None and other is not None
    corners = path_over_faces(size=bay.inside, one=one, other=other)
    lines = list[list[Point]]()
    for (start, end), face in zip(pairwise(corners), _faces_of(bay, corners, one.face), strict=True):
        first, last = (flat(bay, face, at) for at in (start, end))
        if lines and lines[-1][-1] == first:
            lines[-1].append(last)
        else:
            lines.append([first, last])
    return lines


def _faces_of(bay: Bay, corners: Sequence[InBay], first: str) -> Iterator[str]:
    """The face that each stretch lies on: that of the one before, as long as it does."""
    face = first
    for start, end in pairwise(corners):
        if not (_on(bay, face, start) and _on(bay, face, end)):
            face = next(each for each in _FACES if _on(bay, each, start) and _on(bay, each, end))
        yield face


def _on(bay: Bay, face: str, at: InBay) -> bool:
    x, y, z = at
    length, width, height = bay.inside
    return {"floor": z == 0, "ceiling": z == height, "rear": x == 0, "front": x == length, "right": y == 0}.get(
        face, y == width
    )


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


class _Opened:
    def __init__(self, fit: Fit, bay: Bay, legs: dict[Leg, list[str]]) -> None:
        self.fit, self.bay, self.legs = fit, bay, legs
        self.bodies = [(body, patch) for body in marked(fit, bay.name) if (patch := self._patch(body))]

    def sheet(self) -> Sheet:
        """At the largest scale that its paper holds."""
        for scale in SCALES[2:]:
            made = self._drawn(scale)
            if made.fits:
                return made
        return made

    def _drawn(self, scale: int) -> Sheet:
        title = f"{self.fit.case.brief.title}: bay {plain(self.bay.name)} opened out, with its cables"
        sheet = Sheet(f"opened-{self.bay.name}", title, scale)
        length, width, height = self.bay.inside
        for face in self._seen():
            box = self._whole(face)
            sheet.rect(box, layer="outline", weight=0.35)
            sheet.solid += [Box(box.x0, y, box.x1, y) for y in (box.y0, box.y1)]
            sheet.solid += [Box(x, box.y0, x, box.y1) for x in (box.x0, box.x1)]
        self._draw_boards(sheet)
        for _, patch in self.bodies:
            sheet.rect(self._box(patch), layer="body", weight=0.3)
            sheet.solid.append(self._box(patch))
        for hole, at in self._entering():
            sheet.solid.append(draw_opening(sheet, hole, at))
        named = [self._draw_cable(sheet, leg, lane) for lane, leg in enumerate(self.legs)]
        self._label_bodies(sheet)
        for runs, at in zip(self.legs.values(), named, strict=True):
            sheet.label(", ".join(runs), at, bold=True)
        for hole, at in self._entering():
            sheet.label(f"way {plain(hole.opening.way)}", at)
        for face in self._seen():
            box = self._whole(face)
            sheet.label(FACE_NAMES[face], (box.x0, box.y1))
        extent = sheet.extent()
        sheet.dimension((0, 0), (length, 0), along="x", at=extent.y0, out=-1)
        sheet.dimension((0, 0), (0, width), along="y", at=extent.x0, out=-1)
        sheet.notes += [
            *_NOTES,
            f"Bay {length} x {width} x {height} high.",
            key_of(self.fit, chain.from_iterable(self.legs.values())),
        ]
        sheet.finish(CAUTIONS, columns=2)
        return sheet

    def _entering(self) -> Iterator[tuple[Hole, Point]]:
        """Holes of ways, where they come to lie."""
        for hole in holes(self.fit.case.cable_openings, self.fit.case.ways, self.bay.name):
            if at := faces.hole(self.fit.case, self.bay.name, hole.opening.way):
                yield hole, flat(self.bay, at.face, at.low)

    def _seen(self) -> list[str]:
        """The floor, and faces with a board, a hole or a cable on them."""
        case, bay = self.fit.case, self.bay
        used: set[str | None] = {board.face for board in case.boards if board.bay == bay.name}
        used |= {hole.opening.face for hole, _ in self._entering()}
        for leg in self.legs:
            one, other = leg.patches
            if one and other:
                corners = path_over_faces(size=bay.inside, one=one, other=other)
                used |= set(_faces_of(bay, corners, one.face))
        return [face for face in _FACES if face in used or face == "floor"]

    def _draw_boards(self, sheet: Sheet) -> None:
        for board in self.fit.case.boards:
            spans: tuple[Span, Span] = ((0, board.length_mm), (0, board.width_mm))
            if board.bay == self.bay.name and (patch := faces.patch(self.fit.case, board.place, *spans)):
                sheet.rect(self._box(patch), layer="clearance", dash="dashed", weight=0.18)

    def _draw_cable(self, sheet: Sheet, leg: Leg, lane: int) -> Point:
        """Beside the others; the middle of its longest stretch, for its numbers."""
        by = (lane % LANES - LANES // 2) * LANE_MM * sheet.scale
        lines = [[(x + by, y + by) for x, y in line] for line in lines_of(self.bay, leg)]
        for line in lines:
            sheet.line(*line, layer="cable", weight=0.35)
        stretches = [stretch for line in lines for stretch in pairwise(line)]
        start, end = max(stretches, key=lambda ends: abs(ends[0][0] - ends[1][0]) + abs(ends[0][1] - ends[1][1]))
        return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2

    def _label_bodies(self, sheet: Sheet) -> None:
        for body, patch in self.bodies:
            box = self._box(patch)
            sheet.label(f"{body.mark} {body.name}", box.middle, room=box)

    def _patch(self, body: MarkedBody) -> Patch | None:
        box = body.box
        return faces.patch(self.fit.case, body.body.board.place, (box.x0, box.x1), (box.y0, box.y1))

    def _whole(self, face: str) -> Box:
        """All of a face."""
        size = self.bay.inside
        long, high, _ = face_size_mm(size=size, face=face)
        ends = (on_face_mm(size=size, face=face, left_mm=x, bottom_mm=y) for x, y in ((0, 0), (long, high)))
        return self._box(Patch(face, *ends))

    def _box(self, patch: Patch) -> Box:
        (x0, y0), (x1, y1) = (flat(self.bay, patch.face, at) for at in (patch.low, patch.high))
        return Box(min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
