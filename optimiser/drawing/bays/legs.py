"""Legs of cables in a bay as its drawings have them: each with a letter, the pieces that go it, and a lane."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from string import ascii_lowercase

from optimiser.case import Bay
from optimiser.drawing.bays.standing_bodies import MarkedBody, plain
from optimiser.fitted.drawn import Leg, pieces_of, through
from optimiser.fitted.fit import Fit
from optimiser.fitted.numbers import numbered, run_numbers
from optimiser.fitted.wiring import RoutedRun, routed_runs
from optimiser.physics.surfaces import Point as InBay
from optimiser.physics.surfaces import path_over_faces

LANE_MM = 0.7
"""How far cables lie beside one another on paper."""

_LANES = 7
_NEAR_MM = 5.0  # lines of cables nearer than that are drawn beside one another
FACES = ("floor", "left", "right", "front", "rear", "ceiling")

Stretch = tuple[str, InBay, InBay]
"""A straight line of a cable: the face it lies on, and its ends."""


@dataclass(frozen=True)
class DrawnLeg:
    """A leg under its letter. ``pieces``: by run, as the cutting list has them; ``lane``: beside its true place."""

    leg: Leg
    letter: str
    pieces: tuple[tuple[str, str], ...]
    stretches: tuple[Stretch, ...]
    lane: int

    def lies_on(self, face: str) -> bool:
        """Whether some of it does."""
        return any(face == its for its, *_ in self.stretches)

    def told(self, bodies: Iterable[MarkedBody]) -> str:
        """Its line of the table."""
        names = {body.body.slot: f"{body.mark} {body.name}" for body in bodies}
        start, end = (names.get(end, f"hole of {plain(end)}") for end in self.leg.ends)
        marks = ", ".join(mark for _, mark in self.pieces)
        return f"{self.letter}: {start} to {end}, {self.leg.mm} mm; {marks}"


def legs_in(fit: Fit, bay: Bay) -> list[DrawnLeg]:
    """Of all cables that go in a bay between two places that are surveyed."""
    found = dict[Leg, list[tuple[str, str]]]()
    for name, number in run_numbers(fit).items():
        for leg, mark in _gone(fit, routed_runs(fit)[name], number):
            if leg.bay == bay.name and leg.mm and all(leg.patches):
                found.setdefault(leg, []).append((name, mark))
    stretches = [tuple(_stretches(bay, leg)) for leg in found]
    return [
        DrawnLeg(leg, ascii_lowercase[k % 26] * (k // 26 + 1), tuple(pieces), its, lane)
        for k, ((leg, pieces), its, lane) in enumerate(zip(found.items(), stretches, _lanes(stretches), strict=True))
    ]


def key_of(fit: Fit, runs: Iterable[str]) -> str:
    """The names of the runs of which a sheet shows pieces or numbers."""
    shown = set(runs)
    return f"Cables: {plain(', '.join(numbered(fit, run) for run in run_numbers(fit) if run in shown))}."


def aside_mm(leg: DrawnLeg) -> float:
    """How far beside its true place it is drawn, on paper: the first not at all, the next to either side in turn."""
    number = leg.lane % _LANES
    return LANE_MM * ((number + 1) // 2) * (1 if number % 2 else -1)


def _gone(fit: Fit, laid: RoutedRun, number: str) -> Iterator[tuple[Leg, str]]:
    """Each leg of a run with the piece that goes it."""
    for core in pieces_of(fit, laid):
        for place, piece in enumerate(core, start=1):
            mark = f"{number}{piece.pole}{place if len(core) > 1 else ''}"
            for leg in (*piece.legs, *(through(fit, laid) if piece.ways_mm else ())):
                yield leg, mark


def _stretches(bay: Bay, leg: Leg) -> Iterator[Stretch]:
    """On the face of the stretch before, as long as it lies there."""
    one, other = leg.patches
    assert one is not None and other is not None
    face = one.face
    for start, end in pairwise(path_over_faces(size=bay.inside, one=one, other=other)):
        if not (_on(bay, face, start) and _on(bay, face, end)):
            face = next(each for each in FACES if _on(bay, each, start) and _on(bay, each, end))
        yield face, start, end


def _on(bay: Bay, face: str, at: InBay) -> bool:
    x, y, z = at
    length, width, height = bay.inside
    return {"floor": z == 0, "ceiling": z == height, "rear": x == 0, "front": x == length, "right": y == 0}.get(
        face, y == width
    )


def _lanes(legs: Sequence[Sequence[Stretch]]) -> list[int]:
    """The first that none of those before which it lies on has."""
    lanes = list[int]()
    for number, its in enumerate(legs):
        taken = {lanes[k] for k in range(number) if any(_beside(a, b) for a in its for b in legs[k])}
        lanes.append(next(lane for lane in range(number + 1) if lane not in taken))
    return lanes


def _beside(one: Stretch, other: Stretch) -> bool:
    """Whether two stretches along the same axis would be drawn on each other."""
    (_, a, b), (_, c, d) = one, other
    spans = [(*sorted((a[k], b[k])), *sorted((c[k], d[k]))) for k in range(3)]
    along = [k for k, (low, high, least, most) in enumerate(spans) if high > low and most > least]
    return bool(along) and all(
        low < most and least < high if k in along else max(low, least) - min(high, most) < _NEAR_MM
        for k, (low, high, least, most) in enumerate(spans)
    )
