"""How far each run goes by the bodies that it joins, as these stand: what its cable has to reach."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from optimiser.basis import faces, money, paths
from optimiser.fitted.cores import bodies_of, cores_of
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import RoutedRun
from optimiser.physics.surfaces import Patch, between_patches_mm

_CM = 10  # mm
_UNFUSED = ({"busbar", "fuse_row"}, {"bank", "main_fuse"})


def reach_mm(fit: Fit, laid: RoutedRun) -> tuple[int, ...]:
    """What each core of a run has to reach: its ways with the allowances at its ends, or as it is drawn [mm]."""
    ways_mm = faces.ways_mm(fit.case, laid.ways)
    least_mm = paths.run_length_mm(fit.case, laid.run.start, laid.run.end, ways_mm)
    return tuple(max(least_mm, needed_mm) for needed_mm in drawn_mm(fit, laid))


def drawn_mm(fit: Fit, laid: RoutedRun) -> tuple[int, ...]:
    """The least that each core of a run needs as it is drawn, the positive one first [mm].

    Square along the faces of the bays: from edge to edge of what a core goes by, from the last body to the hole by
    which its bay is left, and from hole to hole of bays that it goes through; and so much for each end of its pieces
    as the rule set says. Where boards are not surveyed, the bay's allowance is taken from one to another, and nothing
    to a hole. Distances within bodies and detours are left out.
    """
    return tuple(sum(piece.needed_mm for piece in core) for core in pieces_of(fit, laid))


@dataclass(frozen=True)
class Piece:
    """A piece of a core: what it joins, slots or "" for a point outside the bays, and how long it has to be.

    ``ways_mm`` : of it in ways, and from hole to hole of bays that it goes through. ``ends_mm`` : for its two ends.
    """

    pole: str
    ends: tuple[str, str]
    legs: tuple[Leg, ...]
    ways_mm: int
    ends_mm: int
    cut_mm: int = 0

    @property
    def surveyed(self) -> bool:
        """Whether it is known how far it goes to the holes that it goes by."""
        return all(all(leg.patches) for leg in self.legs if leg.ends != self.ends)

    @property
    def drawn_mm(self) -> int:
        """From edge to edge."""
        return self.ways_mm + sum(leg.mm for leg in self.legs)

    @property
    def needed_mm(self) -> int:
        """With its ends."""
        return self.drawn_mm + self.ends_mm


def pieces_of(fit: Fit, laid: RoutedRun) -> list[list[Piece]]:
    """The pieces of each core of a run, from its start to its end, cut to what the core is.

    What is spare is shared out alike, in whole cm, and the rest goes to the longest: among those whose way to a hole
    nobody surveyed, where there are any, else among all but those that the main fuse alone guards, or nothing does.
    """
    cut = zip(_pieces(fit, laid), laid.core_steps, strict=True)
    return [_cut(pieces, steps * money.STEP_MM) for pieces, steps in cut]


def _pieces(fit: Fit, laid: RoutedRun) -> Iterator[list[Piece]]:
    ends_mm = ceil(2 * fit.case.rules["end_mm"])
    ways_mm = faces.ways_mm(fit.case, laid.ways)
    for core in cores_of(fit, laid):
        legs = [tuple(_legs(fit, laid, pair)) for pair in core.pieces]
        leaves = [k for k, pair in enumerate(core.pieces) if _leaves(fit, pair)]
        by_ways = leaves[0] if leaves else 0
        yield [
            Piece(core.pole, pair, its, ways_mm if k == by_ways else 0, ends_mm)
            for k, (pair, its) in enumerate(zip(core.pieces, legs, strict=True))
        ]


def _cut(pieces: list[Piece], core_mm: int) -> list[Piece]:
    spare_mm = core_mm - sum(piece.needed_mm for piece in pieces)
    taking = [k for k, piece in enumerate(pieces) if not piece.surveyed]
    taking = (
        taking or [k for k, piece in enumerate(pieces) if set(piece.ends) not in _UNFUSED] or list(range(len(pieces)))
    )
    share_mm = max(0, spare_mm // len(taking) // _CM * _CM)
    longest = max(taking, key=lambda k: pieces[k].needed_mm)
    more_mm = dict.fromkeys(taking, share_mm) | {longest: spare_mm - share_mm * (len(taking) - 1)}
    return [replace(piece, cut_mm=piece.needed_mm + more_mm.get(k, 0)) for k, piece in enumerate(pieces)]


@dataclass(frozen=True)
class Leg:
    """What a core of a run goes in one bay, from body to body or from body to hole.

    ``ends`` : slots, or the way of the hole. ``patches`` : where these are in the bay; None where that is not surveyed.
    """

    bay: str
    ends: tuple[str, str]
    patches: tuple[Patch | None, Patch | None]
    mm: int


def through(fit: Fit, laid: RoutedRun) -> Iterator[Leg]:
    """From hole to hole of the bays that a run goes through, where both are surveyed."""
    for bay, one, other in faces.gone_through(fit.case, laid.ways):
        patches = faces.hole(fit.case, bay, one), faces.hole(fit.case, bay, other)
        if all(patches):
            yield Leg(bay, (one, other), patches, _along_faces_mm(fit, bay, *patches))


def _leaves(fit: Fit, pair: tuple[str, str]) -> bool:
    """Whether a piece goes from one bay to another, or outside."""
    one, other = (bodies_of(fit).get(slot) for slot in pair)
    return one is None or other is None or one.board.bay != other.board.bay


def _legs(fit: Fit, laid: RoutedRun, pair: tuple[str, str]) -> Iterator[Leg]:
    """From body to body, and where they stand in two bays from each to its hole."""
    one, other = (bodies_of(fit).get(slot) for slot in pair)
    if one and other and one.board.bay == other.board.bay:
        yield Leg(one.board.bay, pair, (_patch(fit, one), _patch(fit, other)), between_mm(fit, one, other))
    else:
        yield from (_to_hole(fit, laid, body) for body in (one, other) if body)


def _to_hole(fit: Fit, laid: RoutedRun, body: Standing) -> Leg:
    """From the edge of a body to the hole by which the run leaves its bay."""
    bay, ways = body.board.bay, [way.name for way in laid.ways] or [""]
    way = {laid.run.end: ways[-1], laid.run.start: ways[0]}.get(bay, "")
    patches = _patch(fit, body), faces.hole(fit.case, bay, way)
    return Leg(bay, (body.slot, way), patches, _along_faces_mm(fit, bay, *patches))


def _along_faces_mm(fit: Fit, bay: str, one: Patch | None, other: Patch | None) -> int:
    """0 where one of them is not surveyed."""
    return ceil(between_patches_mm(size=fit.case.bay_of[bay].inside, one=one, other=other)) if one and other else 0


def _patch(fit: Fit, body: Standing) -> Patch | None:
    at = body.rect
    return faces.patch(fit.case, body.board.place, (at.x0, at.x1), (at.y0, at.y1))


def tail_mm(fit: Fit) -> int | None:
    """From the edge of the busbar to that of the fuse row; None in two bays, or on boards not surveyed [mm]."""
    busbar, row = (standing_in(fit).get(slot) for slot in ("busbar", "fuse_row"))
    if not busbar or not row or busbar.board.bay != row.board.bay or not _is_measured(fit, busbar, row):
        return None
    return between_mm(fit, busbar, row)


def _is_measured(fit: Fit, one: Standing, other: Standing) -> bool:
    return one.board.place == other.board.place or all(_patch(fit, body) for body in (one, other))


def by_allowance(fit: Fit, laid: RoutedRun) -> bool:
    """Whether it goes from board to board of a bay that are not surveyed: for that the bay's allowance is taken."""
    both = ([bodies_of(fit).get(slot) for slot in pair] for core in cores_of(fit, laid) for pair in core.pieces)
    pairs = ((one, other) for one, other in both if one and other and one.board.bay == other.board.bay)
    return not all(_is_measured(fit, *pair) for pair in pairs)


def between_mm(fit: Fit, one: Standing, other: Standing) -> int:
    """From edge to edge of two bodies of a bay, along its faces; its allowance where boards are not surveyed [mm]."""
    if one.board.place == other.board.place:
        return one.rect.around_corner(other.rect)
    bay = fit.case.bay_of[one.board.bay]
    patches = _patch(fit, one), _patch(fit, other)
    return _along_faces_mm(fit, bay.name, *patches) if all(patches) else bay.cable_allowance_mm
