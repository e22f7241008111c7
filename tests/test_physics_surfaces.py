"""Square paths over the inside of a box against enumeration on a grid, and a puzzle of 1903."""

from itertools import pairwise, product
from math import dist

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.physics.surfaces import (
    Patch,
    Point,
    along_faces_mm,
    between_patches_mm,
    face_size_mm,
    on_face_mm,
    path_over_faces,
)
from tests.references import spider_and_fly as puzzle

BOX = (50, 40, 30)
SIZES = st.tuples(st.integers(1, 7), st.integers(1, 7), st.integers(1, 7))


def on_a_face(size: Point, point: Point) -> bool:
    """Whether a point of the box is on one of its faces."""
    return any(p in (0, s) for p, s in zip(point, size, strict=True))


def grid(size: Point) -> "nx.Graph[Point]":
    """Points of the faces, a unit apart, each joined to its neighbours along a face."""
    graph: nx.Graph[Point] = nx.Graph()
    xs, ys, zs = (range(int(s) + 1) for s in size)
    points: list[Point] = [p for p in product(xs, ys, zs) if on_a_face(size, p)]
    graph.add_nodes_from(points)
    for point, axis in product(points, range(3)):
        other = tuple(p + (k == axis) for k, p in enumerate(point))
        middle = tuple(p + (k == axis) / 2 for k, p in enumerate(point))
        if other in graph and on_a_face(size, middle):  # type: ignore[arg-type]
            graph.add_edge(point, other)  # type: ignore[arg-type]
    return graph


@settings(deadline=None, max_examples=60)
@given(size=SIZES, pick=st.randoms(use_true_random=False))
def test_every_way_is_the_shortest_there_is_on_a_grid(size: Point, pick: st.randoms) -> None:  # type: ignore[valid-type]
    graph = grid(size)
    start = pick.choice(sorted(graph))  # type: ignore[attr-defined]
    lengths = nx.single_source_dijkstra_path_length(graph, start)
    assert {end: along_faces_mm(size=size, start=start, end=end) for end in graph} == lengths


def patch_of(size: Point, pick: st.randoms) -> Patch:  # type: ignore[valid-type]
    """A rectangle of some face."""
    face = pick.choice(["floor", "ceiling", "front", "rear", "left", "right"])  # type: ignore[attr-defined]
    long, high, _ = face_size_mm(size=size, face=face)
    at = [(pick.randint(0, int(long)), pick.randint(0, int(high))) for _ in range(2)]  # type: ignore[attr-defined]
    one, other = (on_face_mm(size=size, face=face, left_mm=left, bottom_mm=bottom) for left, bottom in at)
    low, high_ = ([pick_(pair) for pair in zip(one, other, strict=True)] for pick_ in (min, max))
    return Patch(face, (low[0], low[1], low[2]), (high_[0], high_[1], high_[2]))


def points_of(patch: Patch, graph: "nx.Graph[Point]") -> list[Point]:
    return [p for p in graph if all(a <= x <= b for a, x, b in zip(patch.low, p, patch.high, strict=True))]


@settings(deadline=None, max_examples=60)
@given(size=SIZES, pick=st.randoms(use_true_random=False))
def test_between_two_patches_it_is_the_shortest_of_all_their_points(size: Point, pick: st.randoms) -> None:  # type: ignore[valid-type]
    graph, one, other = grid(size), patch_of(size, pick), patch_of(size, pick)
    lengths = nx.multi_source_dijkstra_path_length(graph, set(points_of(one, graph)))

    assert between_patches_mm(size=size, one=one, other=other) == min(lengths[p] for p in points_of(other, graph))


@settings(deadline=None, max_examples=300)
@given(size=SIZES, pick=st.randoms(use_true_random=False))
def test_the_path_drawn_is_as_long_as_that_and_leaves_no_face(size: Point, pick: st.randoms) -> None:  # type: ignore[valid-type]
    one, other = patch_of(size, pick), patch_of(size, pick)
    path = path_over_faces(size=size, one=one, other=other)

    for end, at in ((path[0], one), (path[-1], other)):
        assert all(a <= x <= b for a, x, b in zip(at.low, end, at.high, strict=True))
    walked = [sum(abs(p - q) for p, q in zip(*step, strict=True)) for step in pairwise(path)]
    assert sum(walked) == between_patches_mm(size=size, one=one, other=other)
    for start, end in pairwise(path):
        assert sum(p != q for p, q in zip(start, end, strict=True)) == 1
        assert on_a_face(size, tuple((p + q) / 2 for p, q in zip(start, end, strict=True)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("start", "end", "length"),
    [
        ((10, 5, 0), (30, 25, 0), 40),  # on the floor: 20 + 20
        ((10, 5, 0), (10, 5, 0), 0),
        ((10, 5, 0), (0, 25, 12), 42),  # floor and rear: 10 + 20 + 12
        ((50, 4, 11), (20, 40, 9), 68),  # front and left: 30 + 36 + 2
        ((0, 20, 15), (50, 20, 15), 80),  # rear and front, both 15 from floor and ceiling: 50 + 2 x 15
        ((0, 20, 15), (50, 37, 20), 78),  # 50 + 17 + 5, and 2 x 3 for the left wall
        ((0, 6, 15), (50, 20, 9), 82),  # 50 + 14 + 6, and 2 x 6 for the right wall
        ((20, 0, 28), (25, 40, 10), 67),  # right and left: 5 + 40 + 18, and 2 x 2 for the ceiling
        ((20, 10, 0), (45, 30, 30), 85),  # floor and ceiling: 25 + 20 + 30, and 2 x 5 for the front
        ((0, 0, 10), (50, 40, 12), 92),  # edges that no face has both of: by the right wall, then the front
    ],
)
def test_worked_out_by_hand(start: Point, end: Point, length: float) -> None:
    assert along_faces_mm(size=BOX, start=start, end=end) == length
    assert along_faces_mm(size=BOX, start=end, end=start) == length


def test_the_spider_goes_square_as_printed_and_no_shorter_than_straight() -> None:
    """The puzzle asks for the straight way on a net: it is a lower bound of the square one, and no more."""
    ours = along_faces_mm(size=puzzle.ROOM, start=puzzle.SPIDER, end=puzzle.FLY)
    assert ours == puzzle.SQUARE
    assert ours >= puzzle.STRAIGHT == min(puzzle.NETS)


INSIDE = st.floats(0, 1)


@given(size=SIZES, shares=st.tuples(INSIDE, INSIDE, INSIDE), faces=st.tuples(*[st.integers(0, 5)] * 2), k=INSIDE)
def test_it_is_no_shorter_than_straight_through_and_no_longer_than_all_edges(
    size: Point, shares: Point, faces: tuple[int, int], k: float
) -> None:
    one, other = (
        tuple(s * (face % 2 if axis == face // 2 else x) for axis, (s, x) in enumerate(zip(size, at, strict=True)))
        for face, at in zip(faces, (shares, (shares[2], k, shares[0])), strict=True)
    )
    length = along_faces_mm(size=size, start=one, end=other)  # type: ignore[arg-type]
    assert dist(one, other) - 1e-9 <= length <= sum(size) + 1e-9


@pytest.mark.parametrize("point", [(10, 10, 10), (-1, 10, 0), (10, 10, 30.5), (51, 0, 0)])
def test_a_point_on_no_face_is_refused(point: Point) -> None:
    with pytest.raises(ValueError, match="is not on a face"):
        along_faces_mm(size=BOX, start=(0, 0, 0), end=point)


@pytest.mark.parametrize("size", [(0, 1, 1), (1, -1, 1), (1, 1, float("inf")), (1, float("nan"), 1)])
def test_a_box_without_room_is_refused(size: Point) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        along_faces_mm(size=size, start=(0, 0, 0), end=(0, 0, 0))
