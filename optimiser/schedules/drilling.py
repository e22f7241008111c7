"""The drilling list: feet, glands, vents and pass-throughs from their data, then holes that nobody surveyed."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from optimiser.fitted import Fit
from optimiser.fixings import Fixing
from optimiser.fixings.forces import UNKNOWN, lifts
from optimiser.fixings.vents import VENT_HEADS, Opening, openings, ways_in_use
from optimiser.schedules.table import Column, Row, Schedule
from optimiser.units import at_least

_KINDS = {"foot": "foot", "gland": "roof gland", "pass_through": "pass-through", "vent": "vent opening"}
_HEADS = {head for heads in VENT_HEADS.values() for head in heads}
_ORDER = {kind: place for place, kind in enumerate(_KINDS)}

_COLUMNS = (
    Column("what"),
    Column("name"),
    Column("place"),
    Column("part"),
    Column("x of centre", "mm", "whole"),
    Column("y of centre", "mm", "whole"),
    Column("along x", "mm", "whole"),
    Column("along y", "mm", "whole"),
    Column("x and y from"),
    Column("place is"),
    Column("note"),
)


def drilling(fit: Fit, fixings: Iterable[Fixing]) -> Schedule:
    """What is screwed, glued or cut into the vehicle, roof first, then walls; feet panel by panel, all else from
    rear to front in each place. Last what has no place yet: openings of ways, cut-outs.
    """
    found, unplaced = sorted(fixings, key=_key), openings(fit)
    data = {datum: f"datum {number}" for number, datum in enumerate(dict.fromkeys(f.datum for f in found), 1)}
    said = Counter(_split(fixing.note)[1] for fixing in found) + Counter(opening.note for opening in unplaced)
    repeated = [note for note, times in said.items() if note and times > 1]
    notes = {note: f"note {number}" for number, note in enumerate(repeated, 1)}
    return Schedule(
        key="drilling",
        title="Drilling list",
        columns=_COLUMNS,
        rows=(*(_row(fixing, data, notes) for fixing in found), *(_unplaced(one, notes) for one in unplaced)),
        notes=(
            *(f"{short}: {text}." for text, short in (data | notes).items()),
            "Proposed places are not audited. Look for ribs, cables, pipes and gas lines behind each before you drill.",
            "Sizes are of the foot, the footprint or the opening; what is drilled inside it is the maker's template.",
            "Without x and y no place was found, or none was surveyed: the note says why.",
            *_ways_note(fit),
            *_feet_note(fit),
        ),
    )


def _ways_note(fit: Fit) -> Iterator[str]:
    ways = [f"{way.name} {way.bore_mm} mm" for way in ways_in_use(fit)]
    if ways:
        yield (
            "The ways of the survey are taken as there; one that is not is the fitter's to make, with its bore, and "
            f"conduit for it is not in the build: {', '.join(ways)}."
        )


def _feet_note(fit: Fit) -> Iterator[str]:
    feet = [lift for lift in lifts(fit) if lift.feet]
    if feet:
        most = max(lift.proof_n / lift.feet for lift in feet)
        yield f"Wind pulls at a foot with up to {at_least(most)} N, safety included, see Forces on fixings; {UNKNOWN}."


def _split(note: str) -> tuple[str, str]:
    """What is said of one alone, and what may be said of several: which opening of a vent it is, and the rest."""
    head, colon, rest = note.partition(": ")
    return (f"{head}: ", rest) if colon and head in _HEADS else ("", note)


def _key(fixing: Fixing) -> tuple[int, tuple[int, ...], str, bool, int, int, str]:
    # P2-F1 before P10-F1
    numbers = tuple(map(int, re.findall(r"\d+", fixing.name))) if fixing.kind == "foot" else ()
    missing = fixing.x_mm is None or fixing.y_mm is None
    return _ORDER[fixing.kind], numbers, fixing.place, missing, fixing.x_mm or 0, fixing.y_mm or 0, fixing.name


def _row(fixing: Fixing, data: Mapping[str, str], notes: Mapping[str, str]) -> Row:
    head, rest = _split(fixing.note)
    return (
        _KINDS[fixing.kind], fixing.name, fixing.place, fixing.part, fixing.x_mm, fixing.y_mm, fixing.length_mm,
        fixing.width_mm, data[fixing.datum], "surveyed" if fixing.surveyed else "proposed",
        f"{head}{notes.get(rest, rest)}",
    )  # fmt: skip


def _unplaced(one: Opening, notes: Mapping[str, str]) -> Row:
    note = notes.get(one.note, one.note)
    return one.what, one.name, one.place, one.part, None, None, None, None, "", "not surveyed", note
