"""Boxes in three dimensions: points worked out by hand, and what hides what beside a twin that walks each way."""

from itertools import pairwise, product
from math import dist, sqrt

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from optimiser.drawing.isometry import (
    VIEWS,
    InSpace,
    Line,
    Solid,
    View,
    behind,
    edges_of,
    hidden,
    projected,
    stretches,
)

FRONT_LEFT, REAR_RIGHT = View(1, 1), View(-1, -1)
STEP = 0.25


def disjoint(one: Solid, other: Solid) -> bool:
    return any(a >= d or c >= b for a, b, c, d in zip(*one, *other, strict=True))


@st.composite
def solids(draw: st.DrawFn) -> list[Solid]:
    """A few boxes of whole sides that share no room; some touch."""
    found: list[Solid] = []
    for _ in range(draw(st.integers(2, 5))):
        low = [draw(st.integers(0, 5)) for _ in range(3)]
        high = [start + draw(st.integers(1, 4)) for start in low]
        made = ((low[0], low[1], low[2]), (high[0], high[1], high[2]))
        if all(disjoint(made, other) for other in found):
            found.append(made)
    assume(len(found) > 1)
    return found


def walked(view: View, at: InSpace, boxes: list[Solid]) -> bool:
    """Whether the way to whoever looks goes through a box, step by step.

    All corners are whole and the point's coordinates quarters, so a way is in a box for a whole number of quarters, and
    the middle of one of them is in it.
    """
    far = (np.arange(0, 12, STEP) + STEP / 2)[:, np.newaxis]
    on_way = np.array(at) + far * np.array(view.towards)
    return any(bool(((np.array(low) < on_way) & (on_way < np.array(high))).all(axis=1).any()) for low, high in boxes)


def points_on(line: Line) -> list[InSpace]:
    """In the middles of the halves of an edge: no corner of a box lies in line with one of them."""
    (axis,) = (a for a in range(3) if line[0][a] != line[1][a])
    found = []
    for number in range(int(2 * (line[1][axis] - line[0][axis]))):
        at = list(line[0])
        at[axis] += (number + 0.5) / 2
        found.append((at[0], at[1], at[2]))
    return found


def on(line: Line, at: InSpace) -> bool:
    start, end = line
    return dist(start, at) + dist(at, end) < dist(start, end) + 1e-6


@pytest.mark.parametrize(
    ("view", "at", "paper"),
    [
        (FRONT_LEFT, (0, 0, 0), (0, 0)),
        (FRONT_LEFT, (100, 0, 0), (-50 * sqrt(3), -50)),  # forward: to the left and down, as it comes nearer
        (FRONT_LEFT, (0, 100, 0), (50 * sqrt(3), -50)),
        (FRONT_LEFT, (0, 0, 100), (0, 100)),
        (FRONT_LEFT, (20, 20, 20), (0, 0)),  # along the way to whoever looks
        (REAR_RIGHT, (100, 0, 0), (50 * sqrt(3), 50)),
        (REAR_RIGHT, (0, 100, 0), (-50 * sqrt(3), 50)),
        (View(1, -1), (100, 0, 0), (50 * sqrt(3), -50)),
        (View(1, -1), (0, 100, 0), (50 * sqrt(3), 50)),
        (View(-1, 1), (100, 60, 10), (-80 * sqrt(3), 30)),  # 10 + 50 - 30 up
    ],
)
def test_points_worked_out_by_hand(view: View, at: InSpace, paper: tuple[float, float]) -> None:
    assert projected(view, at) == pytest.approx(paper)


@pytest.mark.parametrize("view", VIEWS)
def test_edges_are_as_long_on_paper_as_they_are(view: View) -> None:
    """Twelve of them, of 300, 200 and 100, joined at eight corners."""
    edges = edges_of(((10, 20, 30), (310, 220, 130)))

    assert sorted(round(dist(*(projected(view, at) for at in edge))) for edge in edges) == sorted([300, 200, 100] * 4)
    assert len({at for edge in edges for at in edge}) == 8
    assert len(set(edges)) == 12


def test_what_a_box_hides_of_a_line_by_hand() -> None:
    """A box of 10 stands at the corner of a floor, seen from the front left: the line from 30 before it along its rear
    edge, 5 behind it, is hidden from where its shadow along the way begins.

    The line is y = 0, z = 0 from x = -5 on; the way from (x, 0, 0) is (x + s, s, s): in the box for s below 10 and
    x + s above 0: hidden from x = -10 to 10, so from the line's start to 15 of its 20.
    """
    box = ((0, 0, 0), (10, 10, 10))

    assert hidden(FRONT_LEFT, ((-5, 0, 0), (15, 0, 0)), box) == pytest.approx((0, 0.75))
    assert hidden(FRONT_LEFT, ((-20, 0, 0), (20, 0, 0)), box) == pytest.approx((0.25, 0.75))
    assert hidden(FRONT_LEFT, ((-20, 0, 10), (20, 0, 10)), box) is None  # level with its top
    assert hidden(FRONT_LEFT, ((-20, 0, 9.9), (20, 0, 9.9)), box) is not None
    assert hidden(REAR_RIGHT, ((-20, 0, 0), (20, 0, 0)), box) is None  # before it
    pieces = list(stretches(FRONT_LEFT, ((-20, 0, 0), (20, 0, 0)), [box]))
    assert pieces == [
        (((-20, 0, 0), (-10, 0, 0)), True),
        (((-10, 0, 0), (10, 0, 0)), False),
        (((10, 0, 0), (20, 0, 0)), True),
    ]


def test_a_stretch_behind_two_boxes_is_hidden_once_by_hand() -> None:
    """Before the box another, from which 12 along the way are left free: it hides from -2 to 2, which is hidden."""
    boxes = [((0, 0, 0), (10, 10, 10)), ((12, 12, 12), (14, 14, 14))]
    line = ((-20, 0, 0), (20, 0, 0))

    assert hidden(FRONT_LEFT, line, boxes[1]) == pytest.approx((0.45, 0.55))
    for order in (boxes, boxes[::-1]):
        pieces = [(start[0], end[0], seen) for (start, end), seen in stretches(FRONT_LEFT, line, order)]
        assert pieces == [(-20, -10, True), (-10, 10, False), (10, 20, True)]


@pytest.mark.parametrize("view", VIEWS)
def test_of_a_box_by_itself_nine_edges_are_seen(view: View) -> None:
    """The three at its corner furthest from whoever looks are not."""
    box = ((0, 0, 0), (40, 30, 20))
    seen = [[it for _, it in stretches(view, edge, [box])] for edge in edges_of(box)]

    assert sorted(seen) == [[False]] * 3 + [[True]] * 9


@settings(max_examples=25, deadline=None)
@given(solids(), st.sampled_from(VIEWS))
def test_what_hides_what_is_what_is_met_on_the_way_to_the_eye(boxes: list[Solid], view: View) -> None:
    """Point by point of all edges of all boxes, and box by box: which of two hides some of the other."""
    for box, other in product(boxes, boxes):
        for edge in edges_of(box):
            pieces = list(stretches(view, edge, [other]))
            assert [a[1] for a, _ in pieces[:-1]] == [b[0] for b, _ in pieces[1:]]
            for at in points_on(edge):
                met = walked(view, at, [other])
                assert behind(view, at, [other]) is met
                (seen,) = {it for line, it in pieces if on(line, at)}
                assert seen is not met


@settings(max_examples=25, deadline=None)
@given(solids(), st.sampled_from(VIEWS))
def test_lines_behind_several_boxes_lose_each_stretch_once(boxes: list[Solid], view: View) -> None:
    for edge in (edge for box in boxes for edge in edges_of(box)):
        pieces = list(stretches(view, edge, boxes))
        assert sum(dist(*line) for line, _ in pieces) == pytest.approx(dist(*edge))
        assert all(a[0][1] == b[0][0] for a, b in pairwise(pieces))
        for at in points_on(edge):
            (seen,) = {it for line, it in pieces if on(line, at)}
            assert seen is not walked(view, at, boxes)
