"""The drilling list: feet, glands, vents and pass-throughs, each from its datum."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping

from optimiser.fixings import Fixing
from optimiser.schedules.table import Column, Row, Schedule

_KINDS = {"foot": "foot", "gland": "roof gland", "pass_through": "pass-through", "vent": "vent opening"}
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


def drilling(fixings: Iterable[Fixing]) -> Schedule:
    """What is screwed, glued or cut into the vehicle, roof first, then walls; feet panel by panel, all else from
    rear to front in each place.
    """
    found = sorted(fixings, key=_key)
    data = {datum: f"datum {number}" for number, datum in enumerate(dict.fromkeys(f.datum for f in found), 1)}
    repeated = [note for note, times in Counter(f.note for f in found if f.note).items() if times > 1]
    notes = {note: f"note {number}" for number, note in enumerate(repeated, 1)}
    return Schedule(
        key="drilling",
        title="Drilling list",
        columns=_COLUMNS,
        rows=tuple(_row(fixing, data, notes) for fixing in found),
        notes=(
            *(f"{short}: {text}." for text, short in (data | notes).items()),
            "Proposed places are not audited. Look for ribs, cables, pipes and gas lines behind each before you drill.",
            "Sizes are of the foot, the footprint or the opening; what is drilled inside it is the maker's template.",
            "Without x and y no place was found: the note says why.",
        ),
    )


def _key(fixing: Fixing) -> tuple[int, tuple[int, ...], str, bool, int, int, str]:
    # P2-F1 before P10-F1
    numbers = tuple(map(int, re.findall(r"\d+", fixing.name))) if fixing.kind == "foot" else ()
    missing = fixing.x_mm is None or fixing.y_mm is None
    return _ORDER[fixing.kind], numbers, fixing.place, missing, fixing.x_mm or 0, fixing.y_mm or 0, fixing.name


def _row(fixing: Fixing, data: Mapping[str, str], notes: Mapping[str, str]) -> Row:
    return (
        _KINDS[fixing.kind], fixing.name, fixing.place, fixing.part, fixing.x_mm, fixing.y_mm, fixing.length_mm,
        fixing.width_mm, data[fixing.datum], "surveyed" if fixing.surveyed else "proposed",
        notes.get(fixing.note, fixing.note),
    )  # fmt: skip
