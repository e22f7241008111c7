"""Bay elevations: one sheet a bay, its boards to scale with what stands on them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf

from optimiser.auditing.finding import Finding
from optimiser.basis.vents import wall_mm
from optimiser.case import Bay, Board
from optimiser.cautions import CAUTIONS
from optimiser.drawing.arranging import in_rows, moved
from optimiser.drawing.bays.bank import bank_notes, reach, scheme
from optimiser.drawing.bays.board_view import (
    board_view,
    caption,
    datum_mark,
    draw_hole,
    edges,
    hole_box,
    middles,
    overall,
    running,
)
from optimiser.drawing.bays.notes import KEY, audit_note, body_notes, place_note, tail_notes, through_note, vent_notes
from optimiser.drawing.bays.places import Hole, holes_in, place_notes, space_notes
from optimiser.drawing.bays.standing_bodies import MarkedBody, marked, plain
from optimiser.drawing.paper import Paper
from optimiser.drawing.setting import GAP_MM, on_paper, width_mm
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import Sheet
from optimiser.fitted.drawn import tail_mm
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fixings import Fixing
from optimiser.fixings import fixings as proposed

_TRIES: tuple[tuple[Paper, int, bool], ...] = (
    *(("wide", scale, False) for scale in (2, 5)),
    ("wide", 10, True),
    ("large", 5, False),
    ("wide", 10, False),
    *(("large", scale, False) for scale in (10, 20, 25, 50, 100)),
)
"""Paper, scale, and whether only if its smallest body stays ``_SMALL_MM`` on paper: best first."""

_SMALL_MM = 4.0  # a mark goes in that (common practice, no source)
_LARGE = 5  # a scale at which a bay is not parted
_FACTS = ("bay.heat", "bay.mass", "bay.vents", "bay.vent_place", "bay.hydrogen")
_DATUM = (
    "Datum of each board: its lower left corner (circle with cross); x to the right, y up; dimensions run from it to "
    "the lower left corner of each body and to the middle of each pass-through and cable opening (circle). Small "
    "cross: middle of a body. Arrow: where runs come in, by their numbers, in this face or by the one beyond that "
    "edge; Ø: bore."
)


def bay_elevations(fit: Fit, findings: Iterable[Finding] = (), fixings: Sequence[Fixing] | None = None) -> list[Sheet]:
    """A sheet for each bay that has something of the build in it or a run through it, in the survey's order.

    A bay whose smallest body would be too small to be marked has several, its boards on the first: at a larger scale.
    What stays there alone makes no sheet: nobody works on that bay.

    ``findings``: the audit's, for heat, mass, vents and the main fuse's distance in words. ``fixings``: vents and
    pass-throughs; None for the proposed ones.
    """
    found = list(findings)
    bored = proposed(fit) if fixings is None else fixings
    distance = next((f for f in found if f.name == "run.fuse_distance"), None)
    sheets = list[Sheet]()
    for bay in fit.case.bays:
        bodies = marked(fit, bay.name)
        through = [hole for hole in bored if hole.kind == "pass_through" and hole.place.startswith(f"{bay.name}.")]
        vents = [hole for hole in bored if hole.kind == "vent" and hole.place == bay.name]
        if through or vents or any(map(_matters, bodies)) or (bodies and _crossed(fit, bay)):
            facts = [f for f in found if f.name in _FACTS and f.place == bay.name] if found else None
            sheets += _Bay(fit, bay, bodies, through, vents, facts, distance).sheets()
    return sheets


def _matters(body: MarkedBody) -> bool:
    """Whether it is of the build, or stays and gives off gas."""
    return not body.body.fixture or body.part == "lead-acid battery"


def _crossed(fit: Fit, bay: Bay) -> bool:
    """Whether a run comes through it."""
    ways = {way.name for way in fit.case.ways if bay.name in (way.start, way.end)}
    return any(ways & set(run.ways) for run in fit.build.runs)


@dataclass(frozen=True)
class _Share:
    """What of a bay a sheet has: boards, other views, and whether what is said of the bay as a whole."""

    boards: list[Board]
    others: list[str]
    words: bool


class _Bay:
    def __init__(
        self,
        fit: Fit,
        bay: Bay,
        bodies: list[MarkedBody],
        through: list[Fixing],
        vents: list[Fixing],
        facts: list[Finding] | None,
        distance: Finding | None,
    ) -> None:
        self.fit, self.bay, self.bodies, self.through, self.vents = fit, bay, bodies, through, vents
        self.facts, self.distance = facts, distance
        self.openings: list[Hole] = holes_in(fit, bay.name)
        known = {hole.place for hole in through} | {body.body.board.place for body in bodies}
        self.boards = [board for board in fit.case.boards if board.bay == bay.name and board.place in known]
        self.views = dict[tuple[str, int], Sheet]()  # once a scale: they do not turn on paper and notes

    def sheets(self) -> list[Sheet]:
        """All of it on one; where that is too small, boards together or each by itself, and then the rest."""
        whole = self._sheet(_Share(self.boards, self._others(), words=True))
        if whole.scale <= _LARGE or self._smallest(self.boards) >= _SMALL_MM * whole.scale:
            return [whole]
        others = self._others()
        rest = [_Share([], others, words=True)] if others else []
        for groups in ([self.boards], [[board] for board in self.boards]):
            shares = [_Share(boards, [], words=not rest and boards is groups[0]) for boards in groups]
            made = [self._sheet(share, (number, len(shares + rest))) for number, share in enumerate(shares + rest, 1)]
            if len(made) > 1 and all(sheet.scale < whole.scale for sheet in made[: len(shares)]):
                return made
        return [whole]

    def _sheet(self, share: _Share, place: tuple[int, int] = (1, 1)) -> Sheet:
        """At the first of the tries that its paper holds; as at the last if none does."""
        for paper, scale, readable in _TRIES:
            if readable and self._smallest(share.boards) < _SMALL_MM * scale:
                continue
            drawn = self._drawn(share, scale, width_mm(paper), place)
            if made := on_paper(drawn, [_DATUM, *CAUTIONS], ("wide",) if paper == "wide" else ("wide", "large")):
                return made
        drawn.finish([_DATUM, *CAUTIONS])
        return drawn

    def _smallest(self, boards: Sequence[Board]) -> float:
        """Shortest side of a body, module, holder or shunt [mm]."""
        bodies = [body for body in self.bodies if body.body.board in boards]
        sides = [min(box.size) for body in bodies for box in (body.box, *(cell for _, cell in body.cells))]
        return min(sides, default=inf)

    def _drawn(self, share: _Share, scale: int, width: float, place: tuple[int, int]) -> Sheet:
        number, of = place
        title = f"{self.fit.case.brief.title}: bay {plain(self.bay.name)}{f', {number} of {of}' if of > 1 else ''}"
        sheet = Sheet(f"bay-{self.bay.name}{f'-{number}' if number > 1 else ''}", title, scale)
        shown: list[Board | str] = [*share.boards, *share.others]
        views = [self._view(it, scale) for it in shown]
        extents = [view.extent() for view in views]
        corners = in_rows([extent.size for extent in extents], width=width * scale, gap=GAP_MM * scale)
        shifts = [(x - extent.x0, y - extent.y1) for (x, y), extent in zip(corners, extents, strict=True)]
        for view, shift in zip(views, shifts, strict=True):
            by = (shift[0] - shifts[0][0], shift[1] - shifts[0][1])  # the first keeps 0, 0
            sheet.shapes += [moved(shape, by) for shape in view.shapes]
        sheet.notes += self._notes(share)
        return sheet

    # --- views -------------------------------------------------------------------------------------------

    def _others(self) -> list[str]:
        """What is drawn beside the boards."""
        bank = self.fit.modules > 1 and any(body.body.slot == "bank" for body in self.bodies)
        return ["vents"] * bool(middles(self.vents)) + ["links"] * bank

    def _view(self, what: Board | str, scale: int) -> Sheet:
        key = what if isinstance(what, str) else what.place
        if (key, scale) not in self.views:
            self.views[key, scale] = self._view_of(what, scale)
        return self.views[key, scale]

    def _view_of(self, what: Board | str, scale: int) -> Sheet:
        if isinstance(what, Board):
            bodies = [body for body in self.bodies if body.body.board == what]
            bored = [hole for hole in self.through if hole.place == what.place and middles([hole])]
            remarks = self._remarks(bodies)
            return board_view(what, bodies, bored, remarks, self.openings, self.bay, scale=scale)
        if what == "vents":
            return self._side_view([vent for vent in self.vents if middles([vent])], scale)
        return scheme(self.fit.build.bank, scale, main=numbered(self.fit, "main"))

    def _remarks(self, bodies: Sequence[MarkedBody]) -> list[tuple[MarkedBody, str]]:
        """What is said beside bodies of a board."""
        found, apart = reach(bodies), tail_mm(self.fit)
        remarks = []
        if found:
            away = f"{found.counted_mm(self.fit.build.bank)} from the bank as counted, see notes"
            remarks.append((found.fuse, away))
        row = next((body for body in bodies if body.body.slot == "fuse_row"), None)
        if row and apart is not None and self.fit.row_runs:
            remarks.append((row, f"tails: {apart} from busbar, see notes"))
        return remarks

    def _side_view(self, vents: Sequence[Fixing], scale: int) -> Sheet:
        bay = self.bay
        view, whole = Sheet("view", "", scale), Box(0, 0, wall_mm(self.fit.case, bay), bay.height_mm)
        view.rect(whole, layer="outline", weight=0.5)
        view.solid += [*edges(whole), *map(hole_box, vents)]
        for vent in vents:
            draw_hole(view, vent, [whole])
        datum_mark(view)
        running(view, middles(vents), [])
        overall(view, whole)
        caption(view, whole, "free stretch of a wall, as it can be chosen: vents to their middles")
        return view

    # --- words -------------------------------------------------------------------------------------------

    def _notes(self, share: _Share) -> list[str]:
        bodies = [body for body in self.bodies if body.body.board in share.boards]
        notes = list[str]()
        if share.boards:
            through = [hole for hole in self.through if hole.place in {board.place for board in share.boards}]
            notes += [KEY, *(body.key for body in bodies), *map(through_note, through)]
        if share.boards[:1] == self.boards[:1]:
            warned = [*bank_notes(self.fit, self.bodies, self.distance), *tail_notes(self.fit, self.bodies)]
            warned += space_notes(self.fit, self.bodies)
            notes += sorted(warned, key=lambda note: not note.startswith("WARNING"))
        if share.boards or not self.boards:
            notes += [*body_notes(bodies), *place_notes(self.fit, self.bay, bodies)]
        if share.words:
            notes += [*vent_notes(self.vents), audit_note(self.facts)]
        return [*notes, place_note(self.bay)]
