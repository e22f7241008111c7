"""Bay elevations: one sheet a bay, its boards to scale with what stands on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf

from optimiser.audit.finding import Finding
from optimiser.audit.fitted import Fit
from optimiser.case import Bay
from optimiser.cautions import CAUTIONS
from optimiser.drawing.arranging import in_rows, moved
from optimiser.drawing.bays.board_view import (
    board_view,
    caption,
    datum_mark,
    draw_hole,
    middles,
    overall,
    running,
)
from optimiser.drawing.bays.standing_bodies import Marked, marked, plain
from optimiser.drawing.paper import paper_of
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import Sheet
from optimiser.fixings import Fixing
from optimiser.fixings import fixings as proposed

_WIDE_MM, _LARGE_MM = 264.9, (387.9, 231.0)  # what is left of A4 and of A3 across (see ``paper``)
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
_COLUMN_MM = 130.0  # of notes
_FACTS = ("bay.heat", "bay.mass", "bay.vents", "bay.hydrogen")
_AIR = {
    "cabin": "open to the cabin",
    "closed": "closed",
    "sealed": "sealed from the living space and vented outside",
    "outside": "outside the body",
}
_DATUM = (
    "Datum of each board: its lower left corner (circle with cross); x to the right, y up; dimensions run from it to "
    "the lower left corner of each body and to the middle of each pass-through."
)
_HATCHED = (
    "Hatched: the free space that bodies want on the board, to walls as drawn; between two bodies the greater of the "
    "two counts, not both. d: how far from the board, clearance in front with it."
)
_KEY = "Key: mark and slot: part; length x width on the board, d, at x, y; clear along x, y; largest conductor."
_TERMINALS = "Terminals drawn where common practice puts them; the maker's sheet decides."
_ORDER = "The order within a row is the build's list; it is proposed, not audited."


def bay_elevations(fit: Fit, findings: Iterable[Finding] = (), fixings: Sequence[Fixing] | None = None) -> list[Sheet]:
    """One sheet for each bay that has a body or a pass-through in it, in the survey's order; mm, 1:``scale``.

    ``findings``: the audit's, for heat, mass and vents in words. ``fixings``: vents and pass-throughs; None for the
    proposed ones.
    """
    found = list(findings)
    holes = proposed(fit) if fixings is None else fixings
    sheets = []
    for bay in fit.case.bays:
        bodies = marked(fit, bay.name)
        through = [hole for hole in holes if hole.kind == "pass_through" and _bay(hole) == bay.name]
        vents = [hole for hole in holes if hole.kind == "vent" and hole.place == bay.name]
        if bodies or through:
            facts = [f for f in found if f.name in _FACTS and f.place == bay.name] if found else None
            sheets.append(_Bay(fit, bay, bodies, through, vents, facts).sheet())
    return sheets


def _bay(hole: Fixing) -> str:
    return hole.place.rpartition(".")[0]


class _Bay:
    def __init__(
        self,
        fit: Fit,
        bay: Bay,
        bodies: list[Marked],
        through: list[Fixing],
        vents: list[Fixing],
        facts: list[Finding] | None,
    ) -> None:
        self.fit, self.bay, self.bodies, self.through, self.vents, self.facts = fit, bay, bodies, through, vents, facts

    def sheet(self) -> Sheet:
        """The first of the tries that its paper holds; the last if none does."""
        for large, scale, readable in _TRIES:
            if readable and self._smallest() < _SMALL_MM * scale:
                continue
            made = self._drawn(scale, _LARGE_MM[0] if large else _WIDE_MM)
            wide, high = (side / scale for side in made.extent().size)
            if (wide < _LARGE_MM[0] + 0.1 and high <= _LARGE_MM[1]) if large else paper_of(made) != "large":
                return made
        return made

    def _smallest(self) -> float:
        """Shortest side of a body, module, holder or shunt [mm]."""
        sides = [min(box.size) for body in self.bodies for box in (body.box, *(cell for _, cell in body.cells))]
        return min(sides, default=inf)

    def _drawn(self, scale: int, width: float) -> Sheet:
        sheet = Sheet(f"bay-{self.bay.name}", f"{self.fit.case.brief.title}: bay {plain(self.bay.name)}", scale)
        views = self._views(scale)
        extents = [view.extent() for view in views]
        corners = in_rows([extent.size for extent in extents], width=width * scale, gap=_BETWEEN_MM * scale)
        shifts = [(x - extent.x0, y - extent.y1) for (x, y), extent in zip(corners, extents, strict=True)]
        first = shifts[0]  # its board keeps 0, 0
        for view, shift in zip(views, shifts, strict=True):
            by = (shift[0] - first[0], shift[1] - first[1])
            sheet.shapes += [moved(shape, by) for shape in view.shapes]
        extent = sheet.extent()
        below = extent.y0 - 3 * scale
        sheet.line((extent.x0, below), (extent.x0 + width * scale, below), layer="faint")
        sheet.notes += self._notes()
        sheet.finish([_DATUM, *CAUTIONS], columns=round(width / _COLUMN_MM))
        return sheet

    # --- views -------------------------------------------------------------------------------------------

    def _views(self, scale: int) -> list[Sheet]:
        views = []
        for board in self.fit.case.boards:
            if board.bay != self.bay.name:
                continue
            bodies = [body for body in self.bodies if body.body.board == board]
            holes = [hole for hole in self.through if hole.place == board.place]
            placed = [hole for hole in holes if middles([hole])]
            if bodies or holes:
                views.append(board_view(board, bodies, placed, scale=scale))
        vents = [vent for vent in self.vents if middles([vent])]
        if vents:
            views.append(self._side_view(vents, scale))
        return [*views, self._opening(scale)]

    def _side_view(self, vents: Sequence[Fixing], scale: int) -> Sheet:
        bay = self.bay
        view, whole = Sheet("view", "", scale), Box(0, 0, bay.length_mm, bay.height_mm)
        view.rect(whole, layer="outline", weight=0.5)
        for vent in vents:
            draw_hole(view, vent)
        datum_mark(view)
        running(view, middles(vents), [])
        overall(view, whole)
        caption(view, whole, "bay seen from the side, rear end at the left: vents to their middles")
        return view

    def _opening(self, scale: int) -> Sheet:
        view, whole = Sheet("view", "", scale), Box(0, 0, self.bay.opening_length_mm, self.bay.opening_width_mm)
        view.rect(whole, layer="outline", dash="dashed", weight=0.35)
        overall(view, whole)
        caption(view, whole, "opening: parts pass through it")
        return view

    # --- words -------------------------------------------------------------------------------------------

    def _notes(self) -> list[str]:
        notes = [_KEY, *(body.key for body in self.bodies), *map(_through, self.through)]
        notes += [_HATCHED] if self.bodies else []
        notes += [_TERMINALS] if any(body.terminals for body in self.bodies) else []
        notes += [_ORDER] if any(len(body.cells) > 1 and body.cells[0][0] for body in self.bodies) else []
        return [*notes, *_vents(self.vents), *self._facts(), self._place()]

    def _facts(self) -> list[str]:
        if self.facts is None:
            return ["Heat and mass in the bay: no findings of the audit given with this drawing."]
        if not self.facts:
            return ["Audit: no heat is given off here, and nothing new stands here that would weigh."]
        told = [f.sentence if f.ok else f"BREACH: {f.sentence}" for f in self.facts]
        return [f"Audit: {'; '.join(told)}."]

    def _place(self) -> str:
        bay = self.bay
        living = "part of the living space unless sealed from it" if bay.habitable else "no part of the living space"
        floor = "" if bay.z_mm is None else f", its floor {bay.z_mm} above the ground"
        free = f"{bay.vent_cm2:g} cm2 free in each of two openings" if bay.vent_cm2 else "none"
        return (
            f"Bay {bay.length_mm} x {bay.width_mm} x {bay.height_mm} high{floor}; {_AIR[bay.air]}; {living}; "
            f"vents there already: {free}. Where boards and opening lie in it is not surveyed."
        )


def _through(hole: Fixing) -> str:
    where = f", middle at {hole.x_mm}, {hole.y_mm}" if middles([hole]) else ""
    return f"{hole.name}: pass-through {hole.part}, {hole.length_mm} x {hole.width_mm}{where}; {hole.note}"


def _vents(vents: Iterable[Fixing]) -> list[str]:
    """What is said of each, once for those of which the same is said."""
    told: dict[str, list[str]] = {}
    for vent in vents:
        _, _, words = vent.note.partition(": ")
        told.setdefault(f"{vent.part}, {vent.length_mm} x {vent.width_mm}: {words}", []).append(vent.name)
    return [f"{', '.join(names)} {words}" for words, names in told.items()]
