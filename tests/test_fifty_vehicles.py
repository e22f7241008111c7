"""Fifty vehicles surveyed at random: each cable reaches by the bodies of the best build, and no two of these meet.

Boxes and distances are worked out here, from where a survey says that boards and holes are: square from box to box
through the air of a bay, which no way along its faces is shorter than.
"""

from collections.abc import Iterator
from itertools import combinations
from random import Random

import pytest

from optimiser.basis import faces
from optimiser.case import Board, Case
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.drawn import pieces_of
from optimiser.fitted.places import Standing, standing_in
from optimiser.fitted.wiring import routed_runs
from optimiser.reading import read_catalogue, shipped_catalogue
from optimiser.solve import Solved, Stop, Undecided, optimise
from tests.scattering import surveyed
from tests.vehicles import vehicle

SECONDS = 20
GROUPS = [range(first, first + 10) for first in (1, 11, 21, 31, 41)]
Span = tuple[float, float]
Box = tuple[Span, Span, Span]


def box_on(case: Case, board: Board, x: Span, y: Span, off_mm: float) -> Box | None:
    """From rear, right and floor of the bay; seen from its middle, x runs along a board to the right, y up or away.

    Of the floor x runs forward and y to the left.
    """
    if board.face is None or board.left_mm is None or board.bottom_mm is None:
        return None
    length, width, _ = case.bay_of[board.bay].inside
    left, right = board.left_mm + x[0], board.left_mm + x[1]
    low, high = board.bottom_mm + y[0], board.bottom_mm + y[1]
    if board.face == "floor":
        return (left, right), (low, high), (0, off_mm)
    return {
        "front": ((length - off_mm, length), (width - right, width - left), (low, high)),
        "rear": ((0, off_mm), (left, right), (low, high)),
        "left": ((left, right), (width - off_mm, width), (low, high)),
        "right": ((length - right, length - left), (0, off_mm), (low, high)),
    }[board.face]


def box_of(fit: Fit, body: Standing, off_mm: float) -> Box | None:
    at = body.rect
    return box_on(fit.case, body.board, (at.x0, at.x1), (at.y0, at.y1), off_mm)


def apart_mm(one: Box, other: Box) -> float:
    """Along the three axes, added up; 0 where they touch or meet."""
    return sum(max(0, a[0] - b[1], b[0] - a[1]) for a, b in zip(one, other, strict=True))


def meet(one: Box, other: Box) -> bool:
    return all(a[0] < b[1] and b[0] < a[1] for a, b in zip(one, other, strict=True))


def hole_in(case: Case, bay: str, way: str) -> Box | None:
    opening = case.opening_of.get((bay, way))
    if opening is None:
        return None
    x, y, z = case.bay_of[bay].inside
    u, v = opening.left_mm, opening.bottom_mm
    point = {
        "floor": (u, v, 0), "ceiling": (u, v, z), "front": (x, y - u, v), "rear": (0, u, v), "left": (u, y, v),
        "right": (x - u, 0, v),
    }[opening.face]  # fmt: skip
    return (point[0], point[0]), (point[1], point[1]), (point[2], point[2])


def short_of_cable(fit: Fit) -> Iterator[str]:
    """Pieces that are shorter than their ways, what they go through the air of bays, and what their ends take."""
    bodies = standing_in(fit)
    for name, laid in routed_runs(fit).items():
        ways_mm = sum(way.length_mm for way in laid.ways)
        for piece in (piece for core in pieces_of(fit, laid) for piece in core):
            needed = 2 * fit.case.rules["end_mm"] + (ways_mm if piece.ways_mm else 0.0)
            for leg in piece.legs:
                ends = [
                    box_of(fit, bodies[end], 0) if end in bodies else hole_in(fit.case, leg.bay, end)
                    for end in leg.ends
                ]
                if ends[0] and ends[1]:
                    needed += apart_mm(ends[0], ends[1])
            if piece.cut_mm < needed:
                yield f"{name}, {piece.ends}: {piece.cut_mm} of {needed:.0f} mm"
        for core, cut_mm in zip(pieces_of(fit, laid), (laid.run.cut_mm, laid.run.back_mm), strict=False):
            assert sum(piece.cut_mm for piece in core) == cut_mm
            assert sum(piece.ways_mm > 0 for piece in core) == bool(laid.ways)


def meeting(fit: Fit) -> Iterator[str]:
    boxes = {
        slot: (body.board.bay, box)
        for slot, body in standing_in(fit).items()
        if (box := box_of(fit, body, body.foot.depth_mm - body.foot.clear_z_mm))
    }
    for (one, (bay, a)), (other, (there, b)) in combinations(boxes.items(), 2):
        if bay == there and meet(a, b):
            yield f"{one} and {other} in {bay}"


@pytest.mark.slow
@pytest.mark.parametrize("seeds", GROUPS, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_cables_reach_and_bodies_do_not_meet(seeds: range) -> None:
    catalogue, builds, measured = read_catalogue(shipped_catalogue()), 0, 0
    for seed in seeds:
        case = surveyed(vehicle(seed, catalogue), Random(seed))
        found = optimise(case, catalogue, "cheapest", stop=Stop(SECONDS))
        if not isinstance(found, Solved | Undecided) or found.build is None:
            continue
        fit, builds = fit_of(case, catalogue, found.build), builds + 1
        cores = [core for laid in routed_runs(fit).values() for core in pieces_of(fit, laid)]
        measured += sum(leg.mm > 0 for core in cores for piece in core for leg in piece.legs)

        assert list(short_of_cable(fit)) == [], seed
        assert list(meeting(fit)) == [], seed

    assert builds >= 3
    assert measured >= 10 * builds


def test_boxes_here_are_those_of_the_product() -> None:
    """Worked out twice, for boards and holes of four vehicles."""
    catalogue, seen, holes = read_catalogue(shipped_catalogue()), 0, set[str]()
    for seed in range(1, 5):
        case = surveyed(vehicle(seed, catalogue), Random(seed))
        for board in case.boards:
            mine = box_on(case, board, (10, 40), (20, 60), 5)
            theirs = faces.solid(case, board.place, x=(10, 40), y=(20, 60), off_mm=5)
            assert (mine is None) is (theirs is None)
            if mine and theirs:
                seen += 1
                low, high = theirs
                assert [*low, *high] == pytest.approx([*(span[0] for span in mine), *(span[1] for span in mine)])
        for opening in case.cable_openings:
            at, point = hole_in(case, opening.bay, opening.way), faces.opening_point(case, opening.bay, opening.way)
            assert at and point
            assert [low for low, _ in at] == [high for _, high in at] == pytest.approx(list(point))
            holes.add(opening.face)
    assert seen >= 10
    assert len(holes) == 6  # every face of a bay
