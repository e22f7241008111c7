"""Views in rows, numbers apart, hatching off bodies: properties over many inputs, and cases worked by hand."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.drawing.arranging import apart, in_rows, moved, outside
from optimiser.drawing.shapes import Box, Circle, Dimension, Path, Shape, Text
from optimiser.drawing.sheet import Sheet

SIDES = st.integers(1, 60)
BOXES = st.builds(lambda x, y, w, h: Box(x, y, x + w, y + h), *[st.integers(0, 30)] * 2, *[st.integers(1, 12)] * 2)


def _raster(boxes: list[Box]) -> np.ndarray[tuple[int, int], np.dtype[np.int64]]:
    area = np.zeros((45, 45), dtype=np.int64)
    for box in boxes:
        area[int(box.x0) : int(box.x1), int(box.y0) : int(box.y1)] += 1
    return area


@given(st.lists(BOXES, max_size=5), st.lists(BOXES, max_size=5))
def test_outside_covers_frames_less_bodies_once(frames: list[Box], bodies: list[Box]) -> None:
    wanted = (_raster(frames) > 0) & (_raster(bodies) == 0)
    assert (_raster(outside(frames, bodies)) == wanted).all()


def test_a_frame_round_a_body_is_four_rectangles() -> None:
    found = outside([Box(0, 0, 30, 20)], [Box(10, 5, 20, 15)])
    assert sorted(box.size for box in found) == [(10, 10), (10, 10), (30, 5), (30, 5)]


@given(st.lists(st.integers(0, 1000), max_size=12, unique=True), st.integers(1, 40))
def test_numbers_are_apart_in_order_and_not_below_0(places: list[int], gap: int) -> None:
    found = apart(sorted(places), gap)
    assert len(found) == len(places)
    assert all(value >= 0 for value in found)
    assert all(b - a >= gap - 1e-6 for a, b in pairwise(found))


@given(st.lists(st.integers(0, 100), max_size=8, unique=True))
def test_numbers_that_are_apart_stay(places: list[int]) -> None:
    wanted = [place * 10.0 for place in sorted(places)]
    assert apart(wanted, 10) == pytest.approx(wanted)


def test_two_that_are_close_part_evenly() -> None:
    assert apart([100, 104, 300], 10) == [97, 107, 300]


def test_close_to_the_datum_they_move_up() -> None:
    assert apart([1, 2, 3], 10) == [0, 10, 20]


@given(st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=8), st.integers(20, 150))
def test_views_keep_their_gap_and_the_width(sizes: list[tuple[int, int]], width: int) -> None:
    corners = in_rows(sizes, width=width, gap=4)
    boxes = [Box(x, y - high, x + wide, y) for (x, y), (wide, high) in zip(corners, sizes, strict=True)]
    assert not any(a.grown(1.9).meets(b.grown(1.9)) for a, b in combinations(boxes, 2))
    assert all(box.x0 >= 0 and (box.x1 <= width or box.x0 == 0) for box in boxes)


def test_a_view_stands_under_a_wider_one_if_the_row_stays_as_high() -> None:
    assert in_rows([(100, 90), (50, 40), (40, 40), (40, 40)], width=200, gap=5) == [
        (0, 0), (105, 0), (105, -45), (160, 0),
    ]  # fmt: skip
    assert in_rows([(100, 90), (50, 40)], width=120, gap=5) == [(0, 0), (0, -95)]


@pytest.mark.parametrize(
    "shape",
    [
        Path(points=((0, 0), (4, 2)), layer="body"),
        Circle(centre=(2, 2), radius=1, layer="body"),
        Text(text="a", at=(1, 1)),
        Dimension(start=(0, 0), end=(4, 2), along="x", at=-3, text=Text(text="4", at=(2, -2))),
        Dimension(start=(0, 0), end=(4, 2), along="y", at=-3, text=Text(text="2", at=(-2, 1))),
    ],
)
def test_moved_shapes_cover_what_they_did_elsewhere(shape: Shape) -> None:
    before, after = Sheet("a", "", 1, [shape]).extent(), Sheet("b", "", 1, [moved(shape, (10, 20))]).extent()
    assert (after.x0, after.y0, after.x1, after.y1) == pytest.approx(
        (before.x0 + 10, before.y0 + 20, before.x1 + 10, before.y1 + 20)
    )


def test_notes_in_two_columns_are_all_there_and_less_high() -> None:
    def finished(columns: int) -> Sheet:
        sheet = Sheet("a", "title", 1, notes=["a note of several words that takes more than one row " * 3] * 6)
        sheet.rect(Box(0, 0, 200, 10), layer="outline")
        sheet.finish(["last"], columns=columns)
        return sheet

    one, two = finished(1), finished(2)
    assert two.clashes() == []
    assert two.extent().size[1] < one.extent().size[1]
    assert two.extent().size[0] <= 200
    assert " ".join(t.text for t in two.texts()).split() == " ".join(t.text for t in one.texts()).split()
