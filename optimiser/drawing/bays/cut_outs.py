"""Where vents and pass-throughs come to be in a bay: those of a board on its face, vents where a wall is free of both.

Which wall vents are cut in is the fitter's choice: they are drawn on one that they fit on, with the least before them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from optimiser.basis import faces
from optimiser.basis.faces import Solid
from optimiser.basis.vents import EDGE_MM, stretches
from optimiser.case import Bay
from optimiser.drawing.bays.places import FACE_NAMES, Hole
from optimiser.drawing.bays.standing_bodies import MarkedBody, plain
from optimiser.fitted.fit import Fit
from optimiser.fixings import Fixing
from optimiser.physics.surfaces import Patch, on_face_mm

FREE_MM = 50
"""Left free before a vent (common practice, no source)."""


@dataclass(frozen=True)
class CutOut:
    """A vent opening or a pass-through, and where it is. ``before``: what stands nearer before it than it should."""

    fixing: Fixing
    patch: Patch
    before: tuple[str, ...] = ()

    @property
    def named(self) -> str:
        """What it is, how large, and where."""
        face = FACE_NAMES[self.patch.face]
        return f"{plain(self.fixing.name)}, {self.fixing.length_mm} x {self.fixing.width_mm}, {face}"


def pass_throughs(fit: Fit, bay: Bay, fixings: Sequence[Fixing]) -> list[CutOut]:
    """Those of a bay that have a place on a board whose own is surveyed."""
    ours = [it for it in fixings if it.kind == "pass_through" and it.place.startswith(f"{bay.name}.")]
    found = [(it, faces.patch(fit.case, it.place, *_spans(it))) for it in ours if it.x_mm is not None]
    return [CutOut(it, on) for it, on in found if on]


def vents(
    fit: Fit, bay: Bay, fixings: Sequence[Fixing], bodies: Sequence[tuple[MarkedBody, Solid]], holes: Sequence[Hole]
) -> list[CutOut]:
    """Those of a bay that have a place, all on one wall."""
    ours = [it for it in fixings if it.kind == "vent" and it.place == bay.name and it.x_mm is not None]
    tries = [[CutOut(it, on, _before(bay, on, bodies, holes)) for it, on in wall] for wall in _walls(fit, bay, ours)]
    return min(tries, key=lambda wall: sum(len(it.before) for it in wall), default=[])


def cut_out_notes(fit: Fit, bay: Bay, found: Sequence[CutOut], fixings: Sequence[Fixing]) -> Iterator[str]:
    """On which wall vents are drawn, and what stands before them; which are not drawn."""
    cut = [it for it in found if it.fixing.kind == "vent"]
    if cut:
        yield (
            f"{', '.join(it.fixing.name for it in cut)}: drawn on the {FACE_NAMES[cut[0].patch.face]}, where it "
            "has no board and no cable opening; which wall it is to be is the fitter's choice."
        )
    before = dict.fromkeys(name for it in cut for name in it.before)
    if before:
        yield f"Less than {FREE_MM} mm before these vents, so look before you cut: {', '.join(before)}."
    drawn = {it.fixing.name for it in found}
    ours = [it for it in fixings if it.kind in ("vent", "pass_through") and it.place.split(".")[0] == bay.name]
    missing = [it for it in ours if it.name not in drawn]
    unknown = [plain(it.name) for it in missing]
    if unknown:
        yield f"Not drawn, as no place of theirs is known here: {', '.join(unknown)}."


def _spans(it: Fixing) -> tuple[tuple[float, float], tuple[float, float]]:
    assert it.x_mm is not None and it.y_mm is not None
    x, y, half_x, half_y = it.x_mm, it.y_mm, it.length_mm / 2, it.width_mm / 2
    return (x - half_x, x + half_x), (y - half_y, y + half_y)


def _walls(fit: Fit, bay: Bay, vents: Sequence[Fixing]) -> Iterator[list[tuple[Fixing, Patch]]]:
    """The vents on each free stretch of a wall that holds them, from either end of it."""
    needed = max((_spans(vent)[0][1] for vent in vents), default=0) + EDGE_MM
    for face, start, end in stretches(fit.case, bay) if vents else ():
        if end - start >= needed:
            for point, way in ((start, 1), (end, -1)):
                yield [(vent, _patch(bay, face, vent, point, way)) for vent in vents]


def _patch(bay: Bay, face: str, vent: Fixing, start: float, way: int) -> Patch:
    """Of a vent whose place is counted along a wall from a point of it, to the right or (-1) to the left."""
    xs, ys = _spans(vent)
    ends = [
        on_face_mm(size=bay.inside, face=face, left_mm=start + way * x, bottom_mm=y)
        for x, y in zip(xs, ys, strict=True)
    ]
    low, high = (tuple(pick(axis) for axis in zip(*ends, strict=True)) for pick in (min, max))
    return Patch(face, (low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _before(bay: Bay, on: Patch, bodies: Sequence[tuple[MarkedBody, Solid]], holes: Sequence[Hole]) -> tuple[str, ...]:
    """Bodies and cable openings in the room before a vent."""
    low, high = list(on.low), list(on.high)
    axis, inwards = faces.INWARDS[on.face]
    low[axis], high[axis] = (0, FREE_MM) if inwards else (bay.inside[axis] - FREE_MM, bay.inside[axis])
    room = (low[0], low[1], low[2]), (high[0], high[1], high[2])
    names = [f"{body.mark} {body.name}" for body, solid in bodies if faces.meet(room, solid)]
    for hole in holes:
        at = on_face_mm(
            size=bay.inside, face=hole.opening.face, left_mm=hole.opening.left_mm, bottom_mm=hole.opening.bottom_mm
        )
        if hole.opening.face == on.face and all(
            a - hole.bore_mm / 2 < p < b + hole.bore_mm / 2 for a, p, b in zip(on.low, at, on.high, strict=True)
        ):
            names.append(f"hole of {plain(hole.opening.way)}")
    return tuple(names)
