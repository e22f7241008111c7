"""Frames of drawings: bars that measure what they say, a title block that can be read, and nothing of it in a model."""

import re
from collections.abc import Iterator
from functools import cache
from io import StringIO
from typing import Any
from xml.etree import ElementTree

import pytest
from ezdxf.filemanagement import read

from optimiser.drawing import Sheet, in_frames, to_dxf, to_svg
from optimiser.drawing.frame import CHECK, bar_mm
from optimiser.drawing.shapes import Box, Path, Text
from optimiser.drawing.sheet import SCALES
from optimiser.packing.page.customer import OTHER, drawings_of
from optimiser.pipeline.surveying import sketched
from optimiser.reading import read_sketch, shipped_cases, shipped_catalogue
from tests.packed_help import packed
from tests.packing_help import SOLVED

MADE_FROM = (("case and catalogue", "0123456789ab"), ("build", "ba9876543210"))
NONE = (("drawn from", "the survey"), ("build", "none yet"))


def _framed(wide: float, high: float, scale: float, *, to_scale: bool = True, vehicle: str = "A van") -> Sheet:
    """A sheet whose drawing is so large on paper [mm]."""
    made = Sheet("key", f"{vehicle}: bay locker", scale, to_scale=to_scale)
    made.rect(Box(100, 200, 100 + wide * scale, 200 + high * scale), layer="outline")
    in_frames([made], vehicle, MADE_FROM)
    return made


@cache
def _survey(name: str) -> tuple[Sheet, ...]:
    return tuple(sketched(read_sketch(shipped_cases() / name, shipped_catalogue()))[0])


def _every(name: str) -> Iterator[Sheet]:
    """All that is drawn of a case: its pack, the options beside it, its survey."""
    made = packed(name)
    yield from _survey(name)
    for option in made.options:
        yield from drawings_of(made, option)


def _texts(sheet: Sheet) -> list[str]:
    assert sheet.frame
    return [shape.text for shape in sheet.frame.shapes if isinstance(shape, Text)]


# --- bars ------------------------------------------------------------------------------------------------


def _lines_mm(svg: str) -> list[tuple[float, float, float, float]]:
    """Lines and bars of the frame as they lie on paper: left, top, right, bottom [mm of the SVG]."""
    found = []
    for path in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}path"):
        if path.get("class") == "frame":
            points = [tuple(map(float, pair)) for pair in re.findall(r"([\d.]+) ([\d.]+)", path.get("d", ""))]
            xs, ys = zip(*points, strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
    return found


@pytest.mark.parametrize("scale", SCALES)
def test_bars_are_as_long_as_they_say_at_every_scale(scale: float) -> None:
    """Measured in the SVG, whose unit is a mm of paper: 100 mm of it, and a round length of the vehicle."""
    sheet = _framed(200, 100, scale)
    lines, mm = _lines_mm(to_svg(sheet)), bar_mm(scale)

    (check,) = [line for line in lines if line[2] - line[0] == pytest.approx(100, abs=0.011)]
    assert check[1] == check[3]
    bars = [line for line in lines if check[0] - 0.01 <= line[0] and 1.5 < line[3] - line[1] < 1.7]
    assert len(bars) == 10
    assert bars[-1][2] - bars[0][0] == pytest.approx(mm / scale, abs=0.011) and 30 <= mm / scale <= 100
    assert {CHECK, "0", f"{mm / 2:g}", f"{mm}", "mm of the vehicle"} <= set(_texts(sheet))
    assert sheet.clashes() == []


def test_what_is_not_to_scale_has_no_bar_and_says_so() -> None:
    sheet = _framed(200, 100, 1, to_scale=False)

    assert "not to scale" in _texts(sheet) and CHECK not in _texts(sheet)
    assert [line for line in _lines_mm(to_svg(sheet)) if line[2] - line[0] == pytest.approx(100, abs=0.1)] == []


# --- title block -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SOLVED)
def test_every_drawing_of_a_case_has_a_frame_and_nothing_covers_anything(name: str) -> None:
    for sheet in _every(name):
        assert sheet.frame and sheet.clashes() == [], sheet.key
        assert sheet.frame.outer.grown(-2.49 * sheet.scale).holds(sheet.extent()), sheet.key
        line = max(y for shape in sheet.frame.shapes if isinstance(shape, Path) for _, y in shape.points[:1]
                   if y < sheet.frame.outer.y1)  # fmt: skip
        assert line < sheet.extent().y0, sheet.key  # all of the title block is below the drawing
        shows = "not to scale" if sheet.key.startswith("single-line") else f"1:{sheet.scale:g}, sizes in mm"
        assert {shows, "date", "revision", sheet.frame.block.vehicle, sheet.frame.block.shows} <= set(_texts(sheet))


@pytest.mark.parametrize("name", SOLVED)
def test_sheets_of_a_pack_are_numbered_through_and_name_their_version(name: str) -> None:
    made = packed(name)

    for number, sheet in enumerate(made.sheets, start=1):
        wanted = {f"{number} of {len(made.sheets)}", made.version.inputs, made.version.build}
        assert wanted <= set(_texts(sheet))
        assert made.fit.case.brief.title in _texts(sheet) and ":" not in _texts(sheet)[3]


def test_sheets_of_another_option_say_that_they_are_not_the_packs() -> None:
    made = packed("tiny-trailer")
    other = next(option for option in made.options if not option.chosen)

    for sheet in drawings_of(made, other):
        assert set(OTHER) <= set(_texts(sheet)) and made.version.build not in _texts(sheet)


def test_date_and_revision_are_blanks_to_fill_in() -> None:
    """At least 5 mm high, below their names; and no two makings differ."""
    sheet = _framed(200, 100, 5)
    assert sheet.frame
    named = {shape.text: shape.at for shape in sheet.frame.on_paper if isinstance(shape, Text)}
    for word in ("date", "revision"):
        x, y = named[word]
        assert y - 1.25 >= 5 and not any(x - 1 < at[0] < x + 20 and at[1] < y for at in named.values())
    assert to_svg(sheet) == to_svg(_framed(200, 100, 5))


@pytest.mark.parametrize("vehicle", ["V", "A van of a middling name, as many are", "A van " * 60, "W" * 200])
@pytest.mark.parametrize(("wide", "high"), [(100, 200), (200, 100), (300, 200)])
def test_a_long_name_stays_in_its_cell(vehicle: str, wide: float, high: float) -> None:
    sheet = _framed(wide, high, 10, vehicle=vehicle)

    assert sheet.clashes() == [] and sheet.frame
    shown = next(shape for shape in sheet.frame.on_paper if isinstance(shape, Text) and shape.text[0] == vehicle[0])
    assert vehicle.startswith(shown.text.removesuffix("…"))
    (scale,) = [shape for shape in sheet.frame.on_paper if isinstance(shape, Text) and shape.text.startswith("scale")]
    assert shown.box(1).x1 <= scale.at[0] - 2


@pytest.mark.parametrize(("wide", "high"), [(500, 100), (100, 400), (900, 800)])
def test_what_is_larger_than_its_paper_has_a_frame_as_large_as_it_needs(wide: float, high: float) -> None:
    sheet = _framed(wide, high, 10)

    assert sheet.frame and not sheet.fits
    assert sheet.frame.outer.grown(-24.9).holds(sheet.extent())
    assert sheet.clashes() == []


# --- DXF -------------------------------------------------------------------------------------------------


def _entities(space: Any) -> list[str]:
    return sorted(f"{one.dxftype()} {one.dxf.layer}" for one in space)


@pytest.mark.parametrize("name", SOLVED[:1])
def test_the_model_of_a_dxf_has_no_frame_and_its_layout_shows_it_at_its_scale(name: str) -> None:
    for sheet in packed(name).sheets:
        document = read(StringIO(to_dxf(sheet)))
        assert sheet.frame and not document.audit().has_errors
        bare = Sheet(sheet.key, sheet.title, sheet.scale, sheet.shapes)
        model: Any = document.modelspace()
        assert _entities(model) == sorted([*_entities(read(StringIO(to_dxf(bare))).modelspace()), "TEXT text"])
        assert sum(sheet.frame.block.made_from[1][1] in text.dxf.text for text in model.query("TEXT")) == 1
        layout: Any = document.paperspace("Layout1")
        views = [view for view in layout.query("VIEWPORT") if view.dxf.id != 1]
        assert [view.dxf.view_height / view.dxf.height for view in views] == pytest.approx([sheet.scale])
        assert {text.dxf.text for text in layout.query("TEXT")} == set(_texts(sheet))
