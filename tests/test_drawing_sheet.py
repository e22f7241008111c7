"""Sheets: labels and dimensions that find their place, text as wide as it is, SVG and DXF that say the same."""

import re
from io import StringIO
from itertools import combinations
from typing import Any

import pytest
from ezdxf.filemanagement import read
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath

from optimiser.drawing import to_dxf, to_svg
from optimiser.drawing.shapes import Box, text_mm
from optimiser.drawing.sheet import SCALES, Sheet, scale_for, wrapped


def sheet(scale: float = 10) -> Sheet:
    return Sheet("key", "A sheet", scale)


# --- text --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["array_1.1", "panel-200-rigid 1480 x 670", "WWW", "iii", "W7: 2 x 2.5, mains 4 mm2"])
def test_a_text_is_as_wide_as_another_library_measures_it(text: str) -> None:
    """matplotlib's own layout of the same font, whose outlines end a little before the last letter's advance."""
    outline = TextPath((0, 0), text, size=100, prop=FontProperties(family="DejaVu Sans")).get_extents()

    assert text_mm(text, 100) == pytest.approx(outline.x1, rel=0.03, abs=10)
    assert text_mm(text, 100) >= outline.x1


def test_wrapped_rows_hold_every_word_in_order_and_keep_the_width() -> None:
    line = "one two three four five six seven eight nine ten " * 4

    rows = wrapped(line, 40)

    assert " ".join(rows).split() == line.split()
    assert max(text_mm(row, 2.5) for row in rows) <= 40 < text_mm(line, 2.5)


# --- boxes -------------------------------------------------------------------------------------------

_PLACES = st.integers(-4, 4)


@given(x0=_PLACES, y0=_PLACES, x1=_PLACES, y1=_PLACES)
def test_a_line_crosses_a_box_if_some_point_of_it_lies_inside(x0: int, y0: int, x1: int, y1: int) -> None:
    """By brute force: a thousand points of it."""
    box = Box(-1.5, -0.5, 2.5, 1.5)
    points = [(x0 + (x1 - x0) * k / 1000, y0 + (y1 - y0) * k / 1000) for k in range(1001)]
    inside = any(box.x0 < x < box.x1 and box.y0 < y < box.y1 for x, y in points)

    if (x0, y0) != (x1, y1):
        assert box.crossed((x0, y0), (x1, y1)) == inside


# --- places ------------------------------------------------------------------------------------------


def test_labels_of_one_spot_keep_out_of_each_other() -> None:
    made = sheet()

    for number in range(12):
        made.label(f"gland {number}", (0, 0))

    assert made.clashes() == []
    assert len(made.leaders) == 12


def test_labels_keep_so_far_apart_that_two_do_not_read_as_one() -> None:
    """1.5 mm of paper from box to box: at 1:10 that is 15. The first stands to the left of its point; so does another
    for a point further right by its width and 15, and one for a point nearer by 1 stands elsewhere."""
    crowded = sheet()
    boxes = [crowded.label(f"gland {number}", (5.0 * number, 0)).box(10) for number in range(12)]
    assert all(not one.grown(14.99).meets(other) for one, other in combinations(boxes, 2))

    for far, as_near in ((15.0, True), (14.0, False)):
        made = sheet()
        first = made.label("a", (0, 0)).box(10)
        wide = first.size[0]
        beside = made.label("b", (wide + far, 0)).box(10)
        assert (beside.y0 == first.y0 and beside.x0 - first.x1 == pytest.approx(far)) is as_near


def test_a_label_stands_in_its_room_if_it_fits_and_beside_it_if_not() -> None:
    made = sheet()
    wide, narrow = Box(0, 0, 400, 100), Box(0, 200, 40, 240)
    made.solid.append(narrow)

    inside, outside = made.label("panel", wide.middle, room=wide), made.label("regulator", narrow.middle, room=narrow)

    assert wide.holds(inside.box(10))
    assert not narrow.meets(outside.box(10))


def test_texts_that_cover_each_other_are_found() -> None:
    made = sheet()
    made.text("one", (0, 0))
    made.text("other", (5, 0))

    assert made.clashes() == [("one", "other")]


def test_dimensions_of_one_side_lie_beside_each_other() -> None:
    made = sheet()

    lines = [made.dimension((0, 0), (end, 0), along="x", at=0, out=-1) for end in (100, 700, 1300)]

    assert len({line.at for line in lines}) == 3 and all(line.at < 0 for line in lines)
    assert [line.text.text for line in lines] == ["100", "700", "1300"]
    assert made.clashes() == []


# --- paper -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("wide", "high", "paper", "held"), [
    (180, 225.5, "upright", True), (180.2, 225.5, "large", True), (180, 225.7, "large", True),
    (267, 156.5, "wide", True), (267.2, 156.5, "large", True), (267, 156.7, "large", True),
    (390, 243.5, "large", True), (390.2, 243.5, "large", False), (390, 243.7, "large", False),
])  # fmt: skip
def test_which_paper_holds_a_drawing(wide: float, high: float, paper: str, held: bool) -> None:
    """A4 and A3 less margins of 12.5 mm, 18 mm below, 2.5 mm around a drawing, and 18 or 36 mm of title block."""
    made = sheet(1)
    made.rect(Box(0, 0, wide, high), layer="outline")

    assert (made.paper, made.fits) == (paper, held)


def test_a_scale_is_the_first_that_fits_both_ways() -> None:
    assert scale_for((2650, 100)) == 10 and scale_for((2651, 100)) == 20
    assert scale_for((100, 1650)) == 10 and scale_for((100, 1651)) == 20
    assert scale_for((1e9, 1)) == SCALES[-1]


# --- SVG and DXF -------------------------------------------------------------------------------------


def _drawn() -> Sheet:
    made = sheet(20)
    made.rect(Box(100, 200, 1100, 700), layer="panel", fill="hatch")
    made.circle((500, 900), 100, layer="symbol", arc=(0, 90))
    made.text("upright", (0, 500), upright=True)
    made.text("level", (600, 100))
    made.dimension((100, 200), (1100, 200), along="x", at=200, out=-1)
    made.dimension((100, 200), (100, 700), along="y", at=100, out=-1)
    return made


def test_dxf_read_back_has_the_same_millimetres() -> None:
    document = read(StringIO(to_dxf(_drawn())))
    space: Any = document.modelspace()

    assert document.header["$INSUNITS"] == 4  # millimetres, in the format's own table
    assert not document.audit().has_errors
    (panel,) = space.query("LWPOLYLINE[layer=='panel']")
    assert [tuple(map(float, point[:2])) for point in panel] == [(100, 200), (1100, 200), (1100, 700), (100, 700)]
    assert panel.closed
    (arc,) = space.query("ARC")
    assert tuple(arc.dxf.center)[:2] == (500, 900)
    assert (arc.dxf.radius, arc.dxf.start_angle, arc.dxf.end_angle) == (100, 0, 90)
    assert {text.dxf.text: text.dxf.rotation for text in space.query("TEXT")} == {"upright": 90, "level": 0}
    assert sorted(d.get_measurement() for d in space.query("DIMENSION")) == [500, 1000]


def test_svg_has_an_arc_from_start_to_end_and_text_turned_as_in_dxf() -> None:
    made, svg = _drawn(), to_svg(_drawn())
    box = made.extent().grown(4.0 * 20)

    def on_paper(x: float, y: float) -> tuple[float, float]:
        return round((x - box.x0) / 20, 2), round((box.y1 - y) / 20, 2)

    arc = re.search(r"M([\d.]+) ([\d.]+) A5.00 5.00 0 0 0 ([\d.]+) ([\d.]+)", svg)
    assert arc
    ends = [float(number) for number in arc.groups()]
    assert (ends[0], ends[1]) == on_paper(600, 900) and (ends[2], ends[3]) == on_paper(500, 1000)
    assert re.search(r'rotate\(-90 [^)]*\)">upright<', svg) and not re.search(r"rotate[^>]*>level<", svg)
    assert 'clip-path="url(#key-clip1)"' in svg and '<clipPath id="key-clip1">' in svg


def test_what_is_written_is_escaped() -> None:
    made = Sheet("key", "<script>", 10)
    made.text('a < b & "c"', (0, 0))

    assert "a &lt; b &amp; &quot;c&quot;" in to_svg(made)
    assert "<script>" not in to_svg(made)


def test_words_may_begin_in_a_room_beside_the_drawing() -> None:
    sheet = Sheet("beside", "Beside", 10)
    sheet.rect(Box(0, 0, 500, 1000), layer="outline")
    sheet.notes.append("One.")
    sheet.finish(["Two."], columns=2, room=Box(600, 0, 1600, 1000))

    found = {placed.text: placed.box for placed in sheet.texts()}
    assert all(box.x0 >= 600 and box.y0 > 0 and box.y1 < 1000 for box in found.values())
    assert found["Two."].x0 > found["One."].x0 and sheet.clashes() == []
