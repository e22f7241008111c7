"""How a board is cut up into pages of A4: worked out by hand, and for any size nothing of it is left out."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.drawing.shapes import Box, Circle, Path
from optimiser.drawing.templates.clipping import clipped, hatching, round_path
from optimiser.drawing.templates.tiles import LEAVES, tiles

SIZES = st.tuples(st.integers(20, 2600), st.integers(20, 2600))
WINDOW = Box(0, 0, 100, 60)


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "lie", "columns", "rows"),
    [
        (560, 370, "upright", 3, 2),
        (566, 229, "upright", 3, 1),
        (567, 229, "upright", 4, 1),
        (566, 230, "upright", 3, 2),
        (277, 152, "wide", 1, 1),
        (278, 152, "upright", 2, 1),
        (277, 153, "upright", 2, 1),
        (190, 229, "upright", 1, 1),
        (191, 229, "upright", 2, 1),
    ],
)
def test_pages_of_boards_worked_out_by_hand(length_mm: int, width_mm: int, lie: str, columns: int, rows: int) -> None:
    """A4 less 6 at three sides, 12 below, the words with 1.5 above them: 198 x 237.5 upright (297 - 18 - 40 - 1.5),
    285 x 160.5 across (210 - 18 - 30 - 1.5). Of that 4 lie beyond each edge of the board, and two pages share 10.

    560 x 370 is 568 x 378 with what lies beyond: upright 3 x 198 - 20 = 574 hold it, two do not; 2 x 237.5 - 10 = 465
    do: 6 pages. Across 2 x 285 - 10 = 560 do not, 3 do; 2 x 160.5 - 10 = 311 do not, 3 do: 9. So 6 upright.
    Three upright columns hold 574 - 8 = 566, one row 229.5; one page across holds 277 x 152.5, one upright 190 x 229.5.
    """
    found = tiles(length_mm, width_mm)

    assert {(tile.leaf.lie, tile.columns, tile.rows) for tile in found} == {(lie, columns, rows)}
    assert [tile.number for tile in found] == list(range(1, columns * rows + 1))


@given(SIZES)
def test_pages_together_show_the_board_and_what_lies_round_it(size: tuple[int, int]) -> None:
    """Row by row and column by column: from 4 mm beyond one edge to 4 mm beyond the other, 10 mm of it twice."""
    found = tiles(*size)
    columns, rows = found[0].columns, found[0].rows

    assert [(tile.row, tile.column) for tile in found] == [
        (row, column) for row in range(1, rows + 1) for column in range(1, columns + 1)
    ]
    across = [tile.area for tile in found if tile.row == 1]
    down = [tile.area for tile in found if tile.column == 1]
    assert across[0].x0 <= -4 and across[-1].x1 >= size[0] + 4
    assert down[0].y1 >= size[1] + 4 and down[-1].y0 <= -4
    assert all(one.x1 - two.x0 == pytest.approx(10) for one, two in pairwise(across))
    assert all(two.y1 - one.y0 == pytest.approx(10) for one, two in pairwise(down))
    for tile in found:
        assert (tile.area.x0, tile.area.y1) == pytest.approx((across[tile.column - 1].x0, down[tile.row - 1].y1))
        assert tile.area.size == pytest.approx(tile.leaf.window.size)


@given(SIZES)
def test_no_page_is_without_some_of_the_board(size: tuple[int, int]) -> None:
    whole = Box(0, 0, *size).grown(4.0)

    assert all(tile.visible.meets(whole) for tile in tiles(*size))


@given(SIZES)
def test_what_stays_to_be_seen_of_pages_lies_side_by_side(size: tuple[int, int]) -> None:
    """No spot of the board is seen on two of them once they are glued, and none on no page."""
    found = [tile.visible for tile in tiles(*size)]
    whole = Box.around(found)

    assert sum(box.size[0] * box.size[1] for box in found) == pytest.approx(whole.size[0] * whole.size[1])
    assert not any(one.grown(-0.01).meets(two) for one, two in pairwise(found))
    assert whole.holds(Box(0, 0, *size))


@given(SIZES)
def test_pages_lie_as_takes_the_fewest(size: tuple[int, int]) -> None:
    def pages(wide: float, high: float) -> int:
        counts = []
        for side, window in zip(size, (wide, high), strict=True):
            count = 1
            while count * window - (count - 1) * 10 < side + 8:
                count += 1
            counts.append(count)
        return counts[0] * counts[1]

    assert len(tiles(*size)) == min(pages(198, 237.5), pages(285, 160.5))


def test_windows_and_words_lie_within_what_printers_reach() -> None:
    for leaf in LEAVES:
        (wide, high), safe = leaf.size, Box(6, 12, leaf.size[0] - 6, leaf.size[1] - 6)
        assert {wide, high} == {210, 297}
        assert safe.holds(leaf.window) and safe.holds(leaf.words)
        assert leaf.words.y1 < leaf.window.y0


# --- what lies in a window ----------------------------------------------------------------------------------


def test_a_line_is_cut_where_the_window_ends() -> None:
    """From (-20, 10) up by a half to (140, 90): into the window at (0, 20), out of it at (80, 60)."""
    (piece,) = clipped(Path(points=((-20, 10), (140, 90)), layer="body"), WINDOW)

    assert piece.points == ((0, 20), (80, 60))
    assert not list(clipped(Path(points=((-20, 55), (140, 135)), layer="body"), WINDOW))


def test_what_lies_in_the_window_stays_whole_and_its_edge_counts() -> None:
    rect = Path(points=((0, 0), (100, 0), (100, 60), (0, 60)), layer="body", closed=True)

    assert list(clipped(rect, WINDOW)) == [rect]
    (piece,) = clipped(Path(points=((-5, 60), (105, 60)), layer="body"), WINDOW)
    assert piece.points == ((0, 60), (100, 60))
    assert not list(clipped(Path(points=((-5, 60.1), (105, 60.1)), layer="body"), WINDOW))


def test_a_rectangle_across_a_corner_is_two_sides_in_one_piece() -> None:
    rect = Path(points=((60, 40), (160, 40), (160, 90), (60, 90)), layer="body", closed=True)
    pieces = list(clipped(rect, WINDOW))

    ends = {frozenset(pair) for piece in pieces for pair in pairwise(piece.points)}
    assert ends == {frozenset({(60, 40), (100, 40)}), frozenset({(60, 60), (60, 40)})}
    assert not any(piece.closed for piece in pieces)


def test_a_circle_as_a_polygon_is_off_by_hundredths_of_a_mm() -> None:
    path = round_path(Circle(centre=(10, 20), radius=100, layer="cable"))

    far = [((x - 10) ** 2 + (y - 20) ** 2) ** 0.5 for x, y in path.points]
    middles = [((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in pairwise((*path.points, path.points[0]))]
    near = [((x - 10) ** 2 + (y - 20) ** 2) ** 0.5 for x, y in middles]
    assert far == pytest.approx([100] * len(far))
    assert 99.98 < min(near) < 100


def test_hatching_goes_from_edge_to_edge_of_its_box_and_on_across_boxes() -> None:
    """Lines where x + y is a multiple of 6: in 10 x 8 from (1, 1), so from 2 to 20, those of 6, 12 and 18."""
    lines = list(hatching(Box(1, 1, 11, 9), step=6))

    assert lines == [((1, 5), (5, 1)), ((3, 9), (11, 1)), ((9, 9), (11, 7))]
