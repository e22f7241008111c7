"""What is said below a bay's elevation: its key, how bodies stand, tails of fuses, heat, mass, air."""

from collections.abc import Iterable, Iterator, Sequence

from optimiser.auditing.finding import Finding
from optimiser.case import Bay
from optimiser.drawing.bays.board_view import middles
from optimiser.drawing.bays.standing_bodies import NO_TERMINALS, MarkedBody
from optimiser.fitted.drawn import tail_mm
from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import routed_runs
from optimiser.fixings import Fixing

KEY = "Key: mark and slot: part; length x width on the board, d, at x, y; clear along x, y; largest conductor."
_HATCHED = (
    "Hatched: the free space that parts need on the board, to walls as drawn; between two bodies the greater of the "
    "two counts, not both. d: how far from the board, clearance in front with it."
)
_TERMINALS = "Terminals drawn below where the catalogue or common practice puts them; the maker's sheet decides."
_ORDER = "The order within a row is the build's list; it is proposed, not audited."
_FLAT = (
    "Orientation: a body lies flat, its height off the board, where nothing else is said; its length then stands up a "
    "wall, or lies along a floor (x)"
)
_ORIENTATIONS = {
    "side": "on its side: its width off the board, its length as before",
    "end": "on its end: its length off the board, its width lying as the length else does",
}
_ROTATED = "rotated 90°: its length along a wall (x) or across a floor (y)"
_ROW_ROTATED = "a row runs along its board (x), rotated 90° it runs up or across (y)"
_SIDES = (
    "Sides where cables come in are the catalogue's, of the body as it stands, seen from in front of its board; up a "
    "wall its left end is below. Leave there what they need to enter and bend; the hatching is not it."
)
_WHICH_END = "Which end of any other comes first, so where its terminals point, the maker's sheet says"


def body_notes(bodies: Sequence[MarkedBody]) -> Iterator[str]:
    """What is hatched, how bodies stand, where terminals are and are not drawn, in what order rows stand."""
    if not bodies:
        return
    yield _HATCHED
    yield from _orientations([body for body in bodies if not body.body.existing])
    if any(body.sides for body in bodies):
        yield _SIDES
    if any(body.terminals_below for body in bodies):
        yield _TERMINALS
    bare = [body for body in bodies if _of_unknown_terminals(body)]
    if bare:
        yield (
            f"Where cables come in at {', '.join(f'{body.mark} {body.name}' for body in bare)} is not known here: "
            "leave what they need to enter and bend, by the maker's sheets; the hatching is not it."
        )
    if any(len(body.cells) > 1 and body.cells[0][0] for body in bodies):
        yield _ORDER


def _of_unknown_terminals(body: MarkedBody) -> bool:
    """Whether its terminals are told to be unknown here; the bank's are told with its links."""
    told = body.terminals_below or body.sides or body.body.existing or body.body.slot == "bank"
    return not told and body.conductor != NO_TERMINALS


def _orientations(new: Sequence[MarkedBody]) -> Iterator[str]:
    if not new:
        return
    stands = {body.fitted.orientation for body in new if body.fitted}
    told = [_FLAT, *(words for orientation, words in _ORIENTATIONS.items() if orientation in stands)]
    rotated = [body for body in new if body.fitted and body.fitted.rotated]
    told += [_ROTATED] if any(not body.is_row for body in rotated) else []
    told += [_ROW_ROTATED] if any(body.is_row for body in rotated) else []
    yield f"{'; '.join(told)}. {_WHICH_END}."


# --- tails ---------------------------------------------------------------------------------------------


def tail_notes(fit: Fit, bodies: Sequence[MarkedBody]) -> Iterator[str]:
    """How far fused runs go before their own fuse, on the sheet of the bay that has the fuse row."""
    row, busbar = (next((b for b in bodies if b.body.slot == slot), None) for slot in ("fuse_row", "busbar"))
    if row is None or not fit.row_runs:
        return
    apart = tail_mm(fit)
    if apart is not None and busbar is not None:
        far = f"tails from busbar {busbar.mark} to fuse row {row.mark}: {apart} mm as drawn, body to body"
    else:
        there = "on another board" if busbar else "in another bay"
        far = f"tails to fuse row {row.mark}: the busbar stands {there}, and how far off is not surveyed"
    main = routed_runs(fit).get("main")
    rating = f" ({main.fuse.rating_a:g} A)" if main and main.fuse else ""
    section = f" of the main run's section ({main.cable.section_mm2:g} mm2)" if main else ""
    yield (
        f"WARNING: {far}. Each is a piece of its run's own section, and has no fuse but the main fuse{rating}, which "
        "does not guard thinner cables: as short as local codes ask; where these ask more, lead one cable"
        f"{section} to a common bar on the row, which is not in the build, or put the holders on the busbar's studs."
    )


# --- holes, air, what the audit found ------------------------------------------------------------------


def through_note(hole: Fixing) -> str:
    """A pass-through of the key."""
    where = f", middle at {hole.x_mm}, {hole.y_mm}" if middles([hole]) else ""
    return f"{hole.name}: pass-through {hole.part}, {hole.length_mm} x {hole.width_mm}{where}; {hole.note}"


def vent_notes(vents: Iterable[Fixing]) -> list[str]:
    """What is said of each, once for those of which the same is said."""
    told: dict[str, list[str]] = {}
    for vent in vents:
        _, _, words = vent.note.partition(": ")
        told.setdefault(f"{vent.part}, {vent.length_mm} x {vent.width_mm}: {words}", []).append(vent.name)
    return [f"{', '.join(names)} {words}" for words, names in told.items()]


def audit_note(facts: Sequence[Finding] | None) -> str:
    """Heat, mass, vents and gas of the bay in the audit's words; None if no findings were given."""
    if facts is None:
        return "Heat and mass in the bay: no findings of the audit given with this drawing."
    if not facts:
        return "Audit: no heat is given off here, and nothing new that weighs."
    told = [f.sentence if f.ok else f"BREACH: {f.sentence}" for f in facts]
    return f"Audit: {'; '.join(told)}."


def place_note(bay: Bay) -> str:
    """Size and air of the bay."""
    floor = "" if bay.z_mm is None else f", its floor {bay.z_mm} above the ground"
    free = f"{bay.vent_cm2:g} cm2 free in each of two openings" if bay.vent_cm2 else "none"
    opening = f"parts go in by an opening of {bay.opening_length_mm} x {bay.opening_width_mm}"
    return (
        f"Bay {bay.length_mm} x {bay.width_mm} x {bay.height_mm} high{floor}; {opening}; {air(bay)}; "
        f"vents there already: {free}. Where the way in lies is not surveyed."
    )


def air(bay: Bay) -> str:
    """What its air is shared with: what is sealed from the living space is no part of it."""
    if bay.air == "sealed":
        where = "within the living space, sealed from it" if bay.habitable else "sealed from the living space"
        return f"{where} and vented outside"
    words = {"cabin": "open to the cabin", "closed": "closed", "outside": "outside the body"}[bay.air]
    return f"{words}; {'part' if bay.habitable else 'no part'} of the living space"
