"""Bay elevations: one sheet a bay, its boards to scale with what stands on them."""

from collections.abc import Iterable, Sequence
from math import inf

from optimiser.auditing.finding import Finding
from optimiser.basis.vents import wall_mm
from optimiser.case import Bay
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
from optimiser.drawing.paper import PAPERS
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import Sheet
from optimiser.fitted.drawn import tail_mm
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fixings import Fixing
from optimiser.fixings import fixings as proposed

_WIDE_MM, _LARGE_MM = (PAPERS[name].room_mm[0] - 0.1 for name in ("wide", "large"))
_TRIES: tuple[tuple[bool, int, bool], ...] = (
    *((False, scale, False) for scale in (2, 5)),
    (False, 10, True),
    (True, 5, False),
    (False, 10, False),
    *((True, scale, False) for scale in (10, 20, 25, 50, 100)),
)
"""Large paper or not, scale, and whether only if its smallest body stays ``_SMALL_MM`` on paper: best first."""

_SMALL_MM = 4.0  # a mark goes in that (common practice, no source)
_BETWEEN_MM = 7.0  # views
_COLUMN_MM = 130.0  # of notes below the views
_LEAST_MM = 95.0  # of notes beside them
_FACTS = ("bay.heat", "bay.mass", "bay.vents", "bay.vent_place", "bay.hydrogen")
_DATUM = (
    "Datum of each board: its lower left corner (circle with cross); x to the right, y up; dimensions run from it to "
    "the lower left corner of each body and to the middle of each pass-through and cable opening (circle). Small "
    "cross: middle of a body. Arrow: where runs come in, by their numbers, in this face or by the one beyond that "
    "edge; Ø: bore."
)


def bay_elevations(fit: Fit, findings: Iterable[Finding] = (), fixings: Sequence[Fixing] | None = None) -> list[Sheet]:
    """One sheet for each bay that has something of the build in it or a run through it, in the survey's order.

    What stays there alone makes no sheet: nobody works on that bay.

    ``findings``: the audit's, for heat, mass, vents and the main fuse's distance in words. ``fixings``: vents and
    pass-throughs; None for the proposed ones.
    """
    found = list(findings)
    bored = proposed(fit) if fixings is None else fixings
    distance = next((f for f in found if f.name == "run.fuse_distance"), None)
    sheets = []
    for bay in fit.case.bays:
        bodies = marked(fit, bay.name)
        through = [hole for hole in bored if hole.kind == "pass_through" and hole.place.startswith(f"{bay.name}.")]
        vents = [hole for hole in bored if hole.kind == "vent" and hole.place == bay.name]
        if through or vents or any(map(_matters, bodies)) or (bodies and _crossed(fit, bay)):
            facts = [f for f in found if f.name in _FACTS and f.place == bay.name] if found else None
            sheets.append(_Bay(fit, bay, bodies, through, vents, facts, distance).sheet())
    return sheets


def _matters(body: MarkedBody) -> bool:
    """Whether it is of the build, or stays and gives off gas."""
    return not body.body.fixture or body.part == "lead-acid battery"


def _crossed(fit: Fit, bay: Bay) -> bool:
    """Whether a run comes through it."""
    ways = {way.name for way in fit.case.ways if bay.name in (way.start, way.end)}
    return any(ways & set(run.ways) for run in fit.build.runs)


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
        self.views = dict[int, list[Sheet]]()  # once a scale: they do not turn on paper and notes
        self.openings: list[Hole] = holes_in(fit, bay.name)

    def sheet(self) -> Sheet:
        """The first of the tries that its paper holds; the last if none does."""
        for large, scale, readable in _TRIES:
            if readable and self._smallest() < _SMALL_MM * scale:
                continue
            for beside in (False, True):
                made = self._drawn(scale, _LARGE_MM if large else _WIDE_MM, beside=beside)
                if made.fits and (large or made.paper != "large"):
                    return made
        return made

    def _smallest(self) -> float:
        """Shortest side of a body, module, holder or shunt [mm]."""
        sides = [min(box.size) for body in self.bodies for box in (body.box, *(cell for _, cell in body.cells))]
        return min(sides, default=inf)

    def _drawn(self, scale: int, width: float, *, beside: bool) -> Sheet:
        """With its words below the views, or ``beside`` them where that leaves a column."""
        sheet = Sheet(f"bay-{self.bay.name}", f"{self.fit.case.brief.title}: bay {plain(self.bay.name)}", scale)
        if scale not in self.views:
            self.views[scale] = self._views(scale)
        views = self.views[scale]
        extents = [view.extent() for view in views]
        corners = in_rows([extent.size for extent in extents], width=width * scale, gap=_BETWEEN_MM * scale)
        shifts = [(x - extent.x0, y - extent.y1) for (x, y), extent in zip(corners, extents, strict=True)]
        first = shifts[0]  # its board keeps 0, 0
        for view, shift in zip(views, shifts, strict=True):
            by = (shift[0] - first[0], shift[1] - first[1])
            sheet.shapes += [moved(shape, by) for shape in view.shapes]
        extent = sheet.extent()
        sheet.notes += self._notes()
        left, end = extent.x1 + _BETWEEN_MM * scale, extent.x0 + width * scale
        if beside and end - left >= _LEAST_MM * scale:
            room = Box(left, extent.y0, end, extent.y1)
            sheet.finish([_DATUM, *CAUTIONS], columns=int(room.size[0] / scale / _LEAST_MM), room=room)
            return sheet
        below = extent.y0 - 3 * scale
        sheet.line((extent.x0, below), (end, below), layer="faint")
        sheet.finish([_DATUM, *CAUTIONS], columns=round(width / _COLUMN_MM))
        return sheet

    # --- views -------------------------------------------------------------------------------------------

    def _views(self, scale: int) -> list[Sheet]:
        views = []
        for board in self.fit.case.boards:
            if board.bay != self.bay.name:
                continue
            bodies = [body for body in self.bodies if body.body.board == board]
            bored = [hole for hole in self.through if hole.place == board.place]
            placed = [hole for hole in bored if middles([hole])]
            if bodies or bored:
                remarks = self._remarks(bodies)
                views.append(board_view(board, bodies, placed, remarks, self.openings, self.bay, scale=scale))
        vents = [vent for vent in self.vents if middles([vent])]
        if vents:
            views.append(self._side_view(vents, scale))
        if self.fit.modules > 1 and any(body.body.slot == "bank" for body in self.bodies):
            views.append(scheme(self.fit.build.bank, scale, main=numbered(self.fit, "main")))
        return views

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
        caption(view, whole, "free stretch of a side without a board, as it can be chosen: vents to their middles")
        return view

    # --- words -------------------------------------------------------------------------------------------

    def _notes(self) -> list[str]:
        warned = [*bank_notes(self.fit, self.bodies, self.distance), *tail_notes(self.fit, self.bodies)]
        warned += space_notes(self.fit, self.bodies)
        warned.sort(key=lambda note: not note.startswith("WARNING"))
        notes = [KEY, *(body.key for body in self.bodies), *map(through_note, self.through), *warned]
        notes += [*body_notes(self.bodies), *place_notes(self.fit, self.bay, self.bodies)]
        return [*notes, *vent_notes(self.vents), audit_note(self.facts), place_note(self.bay)]
