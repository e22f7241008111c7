"""Where boards and cable openings are in their bay, in words and as holes: as one sees each face from inside."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from optimiser.basis.faces import meet, solid
from optimiser.case import Bay, Board, CableOpening, Way
from optimiser.drawing.bays.legs import DrawnLeg, legs_in
from optimiser.drawing.bays.standing_bodies import MarkedBody, plain
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import Sheet
from optimiser.fitted.drawn import Leg, pieces_of
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered, run_numbers
from optimiser.fitted.wiring import routed_runs

SEEN = {
    "floor": "floor from above, right is forward",
    "ceiling": "ceiling, drawn as from above, right is forward",
    "front": "front wall from inside, its left is the left of the vehicle",
    "rear": "rear wall from inside, its left is the right of the vehicle",
    "left": "left wall from inside, right is forward",
    "right": "right wall from inside, left is forward",
}
"""Face -> what a view of it shows."""


FACE_NAMES = {face: face if face in ("floor", "ceiling") else f"{face} wall" for face in SEEN}
"""Face -> what it is called."""


def on_face(face: str, left_mm: int, bottom_mm: int) -> str:
    """A place on a face as one measures it."""
    if face in ("floor", "ceiling"):
        return f"on the {face}, {left_mm} from the rear wall, {bottom_mm} from the right wall"
    return f"on the {FACE_NAMES[face]}, {left_mm} from its left edge seen from inside, {bottom_mm} up"


def of_board(board: Board) -> str:
    """Where its lower left corner is."""
    return on_face(*board.corner) if board.corner else "where in the bay is not surveyed"


@dataclass(frozen=True)
class Hole:
    """A cable opening with its bore, and the numbers of the runs that come in by it."""

    opening: CableOpening
    bore_mm: int
    runs: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """Its way, where the middle is, and how wide."""
        it = self.opening
        return f"{plain(it.way)} comes in {on_face(it.face, it.left_mm, it.bottom_mm)} (middle), bore {self.bore_mm}"

    @property
    def named(self) -> str:
        """Its way, and how wide."""
        return f"{plain(self.opening.way)}, bore Ø{self.bore_mm}"

    @property
    def by(self) -> str:
        """What comes in by it, behind its name."""
        return f": {', '.join(self.runs)}" if self.runs else ""

    def seen_from(self, left_mm: int, bottom_mm: int) -> Point:
        """Its middle, from a corner on its face."""
        return self.opening.left_mm - left_mm, self.opening.bottom_mm - bottom_mm


def holes(openings: Iterable[CableOpening], ways: Iterable[Way], bay: str) -> list[Hole]:
    """Of a bay, in the survey's order; one whose way is unknown has no bore, and is left out."""
    bores = {way.name: way.bore_mm for way in ways}
    ours = ((o, bores.get(o.way) if o.bore_mm is None else o.bore_mm) for o in openings if o.bay == bay)
    return [Hole(opening, bore) for opening, bore in ours if bore is not None]


def holes_in(fit: Fit, bay: str) -> list[Hole]:
    """Those of a bay with what comes in by them."""
    laid = routed_runs(fit)
    by = {run: {way.name for way in laid[run].ways} for run in run_numbers(fit)}
    return [
        replace(hole, runs=tuple(n for run, n in run_numbers(fit).items() if hole.opening.way in by[run]))
        for hole in holes(fit.case.cable_openings, fit.case.ways, bay)
    ]


def draw_opening(view: Sheet, hole: Hole, at: Point) -> Box:
    """A circle with its centre lines; what it covers."""
    (x, y), box = at, Box(*at, *at).grown(hole.bore_mm / 2)
    out = box.grown(1.0 * view.scale)
    view.circle(at, hole.bore_mm / 2, layer="cable", weight=0.35)
    view.line((out.x0, y), (out.x1, y), layer="cable", dash="chain", weight=0.13)
    view.line((x, out.y0), (x, out.y1), layer="cable", dash="chain", weight=0.13)
    return box


def place_notes(fit: Fit, bay: Bay, bodies: Sequence[MarkedBody]) -> Iterator[str]:
    """Of boards and cable openings, with how far it is from each opening to the bodies whose runs come in by it."""
    for board in fit.case.boards:
        if board.bay == bay.name and any(body.body.board == board for body in bodies):
            yield f"Board {plain(board.name)}: {of_board(board)}."
    found, legs = holes(fit.case.cable_openings, fit.case.ways, bay.name), legs_in(fit, bay)
    for hole in found:
        yield "; ".join([f"Cable opening: {hole.words}", *_reaches(fit, hole, bodies, legs)]) + "."
    if any(hole.opening.way in leg.leg.ends for hole in found for leg in legs):
        yield (
            "Lengths from cable openings: along the faces to the edge of what stands there, by the letters of the bay "
            "opened out; none to cut by, see the cutting list."
        )
    ways = [way.name for way in fit.case.ways if bay.name in (way.start, way.end)]
    unknown = [plain(name) for name in ways if name not in {hole.opening.way for hole in found}]
    if unknown:
        yield f"Not surveyed, where these come into the bay: {', '.join(unknown)}."


def space_notes(fit: Fit, bodies: Sequence[MarkedBody]) -> Iterator[str]:
    """Bodies of two boards that would take the same room, or stand in the free space before each other."""
    for one, other in combinations(bodies, 2):
        if one.body.board != other.body.board:
            if _meet(fit, (one, False), (other, False)):
                yield f"WARNING: {one.mark} {one.name} and {other.mark} {other.name} take the same room: move one."
            elif _meet(fit, (one, True), (other, False)) or _meet(fit, (one, False), (other, True)):
                yield (
                    f"WARNING: {one.mark} {one.name} and {other.mark} {other.name} stand nearer to each other than the "
                    "free space before them: move one."
                )


def _meet(fit: Fit, *taken: tuple[MarkedBody, bool]) -> bool:
    """Of two bodies, each with or without the clearance before it; no, where a board's place is not surveyed."""
    solids = [
        solid(
            fit.case,
            body.body.board.place,
            x=(body.box.x0, body.box.x1),
            y=(body.box.y0, body.box.y1),
            off_mm=body.body.foot.depth_mm - (0 if clear else body.body.foot.clear_z_mm),
        )
        for body, clear in taken
    ]
    one, other = solids
    return one is not None and other is not None and meet(one, other)


def _reaches(fit: Fit, hole: Hole, bodies: Sequence[MarkedBody], legs: Sequence[DrawnLeg]) -> Iterator[str]:
    """What each run does there: goes through, or to which bodies, with the letter and the length of the bay opened out.

    No other length of the same cable is told: two of them would be taken for two measures.
    """
    marks = {body.body.slot: body.mark for body in bodies}
    for name, run in routed_runs(fit).items():
        if hole.opening.way not in (way.name for way in run.ways):
            continue
        named = plain(numbered(fit, name))
        if hole.opening.bay not in (run.run.start, run.run.end):
            yield f"{named} goes through"
            continue
        letters = {leg.leg: leg.letter for leg in legs}
        every = (leg for core in pieces_of(fit, run) for piece in core for leg in piece.legs)
        ours = {leg: None for leg in every if leg.bay == hole.opening.bay and hole.opening.way in leg.ends}
        in_order = [*(leg for leg in letters if leg in ours), *(leg for leg in ours if leg not in letters)]
        ends = ((leg, slot) for leg in in_order for slot in leg.ends if slot in marks)
        told = [f"to {marks[slot]}: {_length(leg, letters.get(leg, ''))}" for leg, slot in ends]
        yield f"{named} {', '.join(told) or 'comes in'}"


def _length(leg: Leg, letter: str) -> str:
    """Of a leg; what is at the very hole has no line in the bay opened out, and so no letter."""
    if not all(leg.patches):
        return "not surveyed"
    return f"{leg.mm} mm ({letter})" if letter else f"{leg.mm} mm"
