"""Templates measured back: from the DXF every outline at its place, from the PDF paper, check square and margins."""

import os
import subprocess
import sys
from dataclasses import replace
from functools import cache
from io import StringIO
from itertools import combinations
from typing import Any

import ezdxf
import pytest
from ezdxf.entities.lwpolyline import LWPolyline

from optimiser.case import CableOpening
from optimiser.cautions import CAUTIONS
from optimiser.drawing.shapes import Box, Text
from optimiser.drawing.templates import Template, template_dxf, template_pdf
from optimiser.drawing.templates.files import board_sheet
from optimiser.drawing.templates.pages import page
from optimiser.fitted import Fit
from optimiser.fitted.places import standing
from tests.packing_help import SLOW_BUT_ONE, shipped
from tests.templates_help import VERSION, Printed, of, printed, read, templates

SAFE_MM = {(210, 297): Box(6, 12, 204, 291), (297, 210): Box(6, 12, 291, 204)}
TRAILER = "tiny-trailer"


@pytest.fixture(params=SLOW_BUT_ONE)
def name(request: pytest.FixtureRequest) -> str:
    """Each shipped case that has a build."""
    return str(request.param)


@cache
def drawn(name: str, key: str) -> Any:
    """The model of a template's DXF."""
    document = ezdxf.read(StringIO(template_dxf(templates(name)[key], VERSION)))  # type: ignore[attr-defined]
    assert not document.audit().has_errors
    assert document.header["$INSUNITS"] == 4  # mm
    return document.modelspace()


def rects(space: Any, *layers: str) -> list[tuple[float, float, float, float]]:
    """Closed rectangles on layers, as x0, y0, x1, y1."""
    found = []
    for line in space:
        if isinstance(line, LWPolyline) and line.dxf.layer in layers and line.closed:
            xs, ys = zip(*(point[:2] for point in line.get_points()), strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


def crossed(space: Any, layer: str) -> set[tuple[float, float]]:
    """Where a line along x and one along y of a layer have their middle."""
    middles: dict[bool, set[tuple[float, float]]] = {True: set(), False: set()}
    for line in space:
        if isinstance(line, LWPolyline) and line.dxf.layer == layer and not line.closed:
            (x0, y0), (x1, y1) = (point[:2] for point in line.get_points())
            middles[y0 == y1].add(((x0 + x1) / 2, (y0 + y1) / 2))
    return middles[True] & middles[False]


# --- which boards -------------------------------------------------------------------------------------------


def test_every_board_with_something_new_has_one_and_no_other(name: str) -> None:
    """Of the build's own list: what is fitted and was not there, and boards of pass-throughs."""
    build = shipped(name).build
    boards = {one.board for one in build.fitted if one.board and not one.existing}
    boards |= {entry.board for entry in build.entries if entry.board}

    assert boards
    assert set(templates(name)) == {board.replace(".", "-") for board in boards}


def test_a_board_with_what_is_there_alone_has_none() -> None:
    """The side locker of the trailer with its regulator and its mains box there already, then with the box new."""
    fit = shipped(TRAILER)

    def there(*slots: str) -> set[str]:
        new = tuple(replace(f, existing=f.slot in slots) for f in fit.build.fitted)
        return {one.key for one in of(Fit(fit.case, fit.catalogue, replace(fit.build, fitted=new)))}

    assert "side_locker-back" not in there("regulator_1", "mains_box")
    assert "side_locker-back" in there("regulator_1")


def test_a_board_without_a_place_for_its_hole_has_none() -> None:
    """The nose's old battery leaves room for the aerial's pass-through in the trailer made by hand, and none where it
    is as large as the board."""
    assert "nose-side" in templates("by-hand")
    assert "nose-side" not in templates("odd")


# --- the DXF, measured back -----------------------------------------------------------------------------------


def test_outlines_of_the_trailers_galley_by_hand() -> None:
    """The board is 560 x 390. The inverter, 320 x 200 by the catalogue's figures and rotated, stands at 78, 61: to
    398, 261, its middle at 238, 161."""
    space = drawn(TRAILER, "galley_base-back")

    assert rects(space, "outline") == [(0, 0, 560, 390)]
    assert (78, 61, 398, 261) in rects(space, "body")
    assert {(78, 61), (78, 261), (398, 61), (398, 261), (238, 161)} <= crossed(space, "symbol")
    texts = {text.dxf.text for text in space.query("TEXT")}
    assert {"320 x 200, rotated 90°", "lower left corner at 78, 61"} <= texts


def test_every_body_has_its_footprint_at_its_place_in_true_mm(name: str) -> None:
    for key, template in templates(name).items():
        space, board = drawn(name, key), template.board
        assert rects(space, "outline") == [(0, 0, board.length_mm, board.width_mm)]
        outlines, crosses = rects(space, "body", "obstacle"), crossed(space, "symbol")
        for body in standing(shipped(name)):
            if body.board.place != board.place:
                continue
            x0, y0, x1, y1 = body.rect.x0, body.rect.y0, body.rect.x1, body.rect.y1
            assert (x0, y0, x1, y1) in outlines
            corners = {(x, y) for x in (x0, x1) for y in (y0, y1)}
            assert corners <= crosses if not body.existing else not corners & crosses
            if not body.existing and body.slot not in ("bank", "fuse_row", "shunt_row"):
                assert ((x0 + x1) / 2, (y0 + y1) / 2) in crosses


def test_every_template_has_a_line_of_its_grid_at_each_100_mm() -> None:
    """On 560 x 390: five along y, three along x, from edge to edge."""
    lines = [
        tuple(point[:2] for point in line.get_points())
        for line in drawn(TRAILER, "galley_base-back")
        if isinstance(line, LWPolyline) and line.dxf.layer == "faint"
    ]

    upright = [((x, 0), (x, 390)) for x in (100, 200, 300, 400, 500)]
    level = [((0, y), (560, y)) for y in (100, 200, 300)]
    assert sorted(lines) == sorted([*upright, *level])


def test_a_bank_has_the_middle_of_each_module_marked() -> None:
    """By hand: two modules of 300 x 170 from 50, 100 with 20 between them: middles at 200 and 520, and 185 up."""
    crosses = crossed(drawn("24-volt", "box-floor"), "symbol")

    assert crosses == {(0, 0), (50, 100), (50, 270), (670, 100), (670, 270), (200, 185), (520, 185)}


def test_what_is_there_is_hatched_and_has_no_cross() -> None:
    """The old battery of the trailer made by hand, 300 x 200 at 200, 100; the pass-through is 60 x 60 at the middle of
    the upper edge of 600 x 400."""
    space = drawn("by-hand", "nose-side")

    assert rects(space, "obstacle") == [(200, 100, 500, 300)]
    assert [hatch.dxf.layer for hatch in space.query("HATCH")] == ["obstacle"]
    assert crossed(space, "symbol") == {(0, 0)}
    assert rects(space, "fixing") == [(270, 340, 330, 400)]
    assert crossed(space, "fixing") == {(300, 370)}
    assert "hole by pass itself; look outside before you drill" in {text.dxf.text for text in space.query("TEXT")}


def _with_opening(left_mm: int, bottom_mm: int, face: str = "left") -> Template:
    """The trailer's side locker with one more hole in its left wall; its board is 20 and 15 from there, 560 x 370."""
    fit = shipped(TRAILER)
    hole = CableOpening.model_validate(
        {
            "way": "side_wall",
            "bay": "side_locker",
            "face": face,
            "left_mm": left_mm,
            "bottom_mm": bottom_mm,
            "bore_mm": 40,
        }
    )
    case = replace(fit.case, cable_openings=(*fit.case.cable_openings, hole))
    return next(one for one in of(Fit(case, fit.catalogue, fit.build)) if one.key == "side_locker-back")


@pytest.mark.parametrize(
    ("left_mm", "bottom_mm", "face", "seen"),
    [(420, 315, "left", True), (1, 315, "left", True), (0, 315, "left", False), (420, 315, "right", False)],
)
def test_a_cable_opening_in_the_board_is_a_circle_at_its_place(
    left_mm: int, bottom_mm: int, face: str, seen: bool
) -> None:
    """400, 300 from the board's corner with a radius of 20; at 1 it reaches the board by 1 mm, at 0 it touches it."""
    space = ezdxf.read(StringIO(template_dxf(_with_opening(left_mm, bottom_mm, face), VERSION))).modelspace()  # type: ignore[attr-defined]

    circles = [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query('CIRCLE[layer=="cable"]')]
    assert circles == ([(left_mm - 20, bottom_mm - 15, 20)] if seen else [])
    assert (crossed(space, "cable") == {(left_mm - 20, bottom_mm - 15)}) == seen


def test_a_dxf_says_what_it_is_and_no_words_cover_others(name: str) -> None:
    for key, template in templates(name).items():
        told = " ".join(text.dxf.text for text in drawn(name, key).query("TEXT"))
        assert VERSION in told and all(caution in told for caution in CAUTIONS)
        assert "1:1, sizes in mm" in told and "Fixing holes: by the part itself" in told
        assert board_sheet(template, VERSION).clashes() == []


# --- the PDF, measured back -----------------------------------------------------------------------------------


def pages_of(name: str) -> list[tuple[Template, Printed]]:
    return [(one, shown) for key, one in templates(name).items() for shown in printed(name, key)]


def test_pages_are_a4_and_as_many_as_by_hand() -> None:
    """As test_drawing_templates_tiles works out for 560 x 370: three columns, two rows, upright. 560 x 390 likewise,
    as 398 with what lies beyond is less than 465. 420 x 380 is 428 x 388: three columns, as two hold 386; two rows.
    460 x 660 is 468 x 668: three columns; three rows, as two hold 465."""
    for key, count in (
        ("side_locker-back", 6), ("galley_base-back", 6), ("galley_base-floor", 6), ("drawbar_box-floor", 9),
    ):  # fmt: skip
        found = printed(TRAILER, key)
        assert len(found) == count
        assert all(one.size == pytest.approx((210, 297), abs=0.001) for one in found)
        assert all(f"page {number} of {count}" in one.text for number, one in enumerate(found, 1))
    assert "row 2 of 2 from above, column 3 of 3" in printed(TRAILER, "side_locker-back")[5].text


def test_every_page_has_a_square_of_100_mm_to_measure(name: str) -> None:
    """283.46 points: the one dashed square of a page."""
    for _, shown in pages_of(name):
        (square,) = (line for line in shown.lines if line.closed and line.dashed)
        assert [side / 25.4 * 72 for side in square.box.size] == pytest.approx([283.465, 283.465], abs=0.01)
        assert len(set(square.points)) == 4
        assert "check square: measure both sides, 100 mm" in shown.text


def test_every_page_says_how_it_is_printed_and_what_it_is_made_from(name: str) -> None:
    for template, shown in pages_of(name):
        assert "Print at 100 %, no scaling." in shown.text and "else do not use this page" in shown.text
        assert "Fixing holes: by the part itself" in shown.text and "catalogue has no positions" in shown.text
        assert all(caution in shown.text for caution in CAUTIONS)
        assert VERSION in shown.text and template.title in shown.text


def test_nothing_is_printed_where_printers_do_not_reach(name: str) -> None:
    """6 mm at three sides, 12 below; lines by their middles, words by the widths of their letters. What is filled and
    has no line is the white below words."""
    for _, shown in pages_of(name):
        safe = SAFE_MM[round(shown.size[0]), round(shown.size[1])].grown(0.001)
        assert [line.box for line in shown.lines if line.stroked and not safe.holds(line.box)] == []
        assert [at for at in shown.starts if not safe.holds(Box(*at, *at))] == []
    for template in templates(name).values():
        for tile in template.tiles:
            texts = [shape for shape in page(template, tile, VERSION) if isinstance(shape, Text)]
            assert [text.text for text in texts if not tile.leaf.safe.holds(text.box(1))] == []
            below = [text for text in texts if text.at[1] < tile.leaf.window.y0]
            assert [text.text for text in below if not tile.leaf.words.grown(0.1).holds(text.box(1))] == []


@pytest.mark.parametrize(("size", "lie"), [((600, 400), "upright"), ((500, 600), "wide")])
def test_the_longest_words_below_a_page_have_room(size: tuple[int, int], lie: str) -> None:
    """Names as long as they can be, a board far from the corner, and something hatched: all that can be said."""
    old = templates("by-hand")["nose-side"]
    long = {"bay": "b" * 40, "name": "n" * 40, "face": "front", "left_mm": 2500, "bottom_mm": 2500}
    board = old.board.model_copy(update={**long, "length_mm": size[0], "width_mm": size[1]})
    template = replace(old, board=board, vehicle="A vehicle of a very long name " * 9)

    assert {tile.leaf.lie for tile in template.tiles} == {lie}
    for tile in template.tiles:
        texts = [shape for shape in page(template, tile, VERSION) if isinstance(shape, Text)]
        below = [text.box(1) for text in texts if text.at[1] < tile.leaf.window.y0]
        assert below and all(tile.leaf.words.grown(0.1).holds(box) for box in below)
        assert "…" in " ".join(text.text for text in texts) and "Hatched" in " ".join(text.text for text in texts)


def test_outlines_on_paper_are_the_footprints_at_their_places() -> None:
    """The busbars of the trailer's galley, 90 x 165 at 30, 195, are on its first page whole: the window's corner, 6 and
    12 + 40 + 1.5 mm of the paper, is at -4 along the board and at 380 + 4 - 237.5 = 146.5 up it."""
    boxes = [line.box for line in printed(TRAILER, "galley_base-floor")[0].lines if line.closed and line.stroked]

    wanted = (30 + 4 + 6, 195 - 146.5 + 53.5, 120 + 10, 360 - 93)
    assert any((box.x0, box.y0, box.x1, box.y1) == pytest.approx(wanted, abs=0.001) for box in boxes)


def test_both_pages_of_a_joint_show_the_same_diamonds() -> None:
    """What page 1 has of them whole at its right, page 2 has the right half of at its left edge, as high."""
    first, second = printed(TRAILER, "side_locker-back")[:2]
    whole = [
        line.box for line in first.lines if line.closed and not line.dashed and line.box.size == pytest.approx((7, 7))
    ]
    right = [box for box in whole if box.middle[0] == pytest.approx(204 - 10)]
    halves = [
        line.box
        for line in second.lines
        if line.box.x0 == pytest.approx(6) and line.box.size == pytest.approx((3.5, 7))
    ]

    assert len(right) == 2
    assert sorted(box.middle[1] for box in halves) == pytest.approx(sorted(box.middle[1] for box in right))


def test_no_words_cover_words_crosses_or_outlines(name: str) -> None:
    for key, template in templates(name).items():
        for tile in template.tiles:
            window, area = tile.leaf.window, tile.area
            texts = [shape for shape in page(template, tile, VERSION) if isinstance(shape, Text)]
            assert [(a.text, b.text) for a, b in combinations(texts, 2) if a.box(1).meets(b.box(1))] == [], key
            shift = window.x0 - area.x0, window.y0 - area.y0
            for text in texts:
                box = text.box(1)
                on_board = Box(box.x0 - shift[0], box.y0 - shift[1], box.x1 - shift[0], box.y1 - shift[1])
                if area.holds(on_board):
                    met = [one for one in (*template.crosses, *template.edges) if one.meets(on_board)]
                    assert met == [], (key, tile.number, text.text)


def test_every_body_is_named_on_some_page_and_on_each_where_there_is_room() -> None:
    for key, template in templates(TRAILER).items():
        told = " ".join(shown.text for shown in printed(TRAILER, key))
        assert [tag.name for tag in template.tags if tag.name not in told] == []
    named = [
        number for number, shown in enumerate(printed(TRAILER, "galley_base-back"), 1) if "1 inverter" in shown.text
    ]
    assert named == [1, 2, 3, 4, 5, 6]  # it lies across all of them


def test_a_hole_across_a_joint_is_named_once() -> None:
    """A bore of 40 at 190, 300: the joint of the first two pages is at -4 + 188 = 184."""
    shown = [one.text for one in read(template_pdf(_with_opening(210, 315), VERSION))]

    assert [number for number, text in enumerate(shown, 1) if "cable opening, way side wall" in text] == [2]
    assert "bore 40, middle at 190, 300" in shown[1]


# --- files ----------------------------------------------------------------------------------------------------


def test_a_viewer_is_asked_to_print_without_scaling() -> None:
    assert b"/ViewerPreferences << /PrintScaling /None >>" in template_pdf(
        templates(TRAILER)["side_locker-back"], VERSION
    )


@pytest.mark.slow
def test_the_same_template_gives_the_same_bytes_in_any_process() -> None:
    """With another order of sets, and at another time: nothing of either is in the file."""
    code = (
        "import sys; from tests.templates_help import *; "
        "sys.stdout.buffer.write(template_pdf(templates('tiny-trailer')['side_locker-back'], VERSION))"
    )
    made = [
        subprocess.run(
            [sys.executable, "-c", code], env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, check=True
        ).stdout
        for seed in ("1", "2")
    ]

    assert made[0] == made[1] == template_pdf(templates(TRAILER)["side_locker-back"], VERSION)
    assert b"CreationDate" not in made[0]


@pytest.mark.slow
@pytest.mark.parametrize("world", ["by-hand", "24-volt", "odd"])
def test_templates_of_worlds_by_hand_keep_to_their_pages(world: str) -> None:
    test_nothing_is_printed_where_printers_do_not_reach(world)
    test_no_words_cover_words_crosses_or_outlines(world)
    test_every_page_has_a_square_of_100_mm_to_measure(world)
