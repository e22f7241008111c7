"""What a fixing is, and the data its coordinates are taken from."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal["foot", "gland", "vent", "pass_through"]

ROOF_DATUM = "rear end of the vehicle and its centre line; x forward, y to the left"
BOARD_DATUM = "lower left corner of the board"
BAY_DATUM = "end of the free stretch of the side chosen, and the floor of the bay"


@dataclass(frozen=True, kw_only=True)
class Fixing:
    """A hole or a foot where it may be: proposed, not audited.

    ``x_mm`` and ``y_mm`` are its centre from the ``datum`` [mm], both None where no place was found; ``note`` says
    why. ``length_mm`` lies along x, ``width_mm`` along y [mm]. ``place`` is a zone (or a roof plane, off its zones), a
    ``bay.board`` or a bay. ``surveyed``: the place is the survey's, not the program's.
    """

    kind: Kind
    name: str  # unique in a build
    place: str
    part: str
    x_mm: int | None
    y_mm: int | None
    length_mm: int
    width_mm: int
    datum: str
    surveyed: bool
    note: str
