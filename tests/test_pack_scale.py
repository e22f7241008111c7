"""Drawings printed at their scale, whatever was picked in the page before: measured in the PDF."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from pypdf import PageObject, PdfReader

from optimiser.drawing import PAPERS, Sheet, in_frames
from optimiser.drawing.roof import panel_boxes
from optimiser.drawing.shapes import Box
from optimiser.packing.dossier import Dossier
from optimiser.packing.page import page as page_with
from optimiser.packing.page.customer import OTHER, drawings_of
from optimiser.pipeline import survey_files
from tests.packed_help import packed, page_of
from tests.packing_help import SLOW_BUT_ONE

pytestmark = pytest.mark.slow

_MM = 25.4 / 72  # a point of PDF
_CLOSE_MM = 0.15


def _printed(browser: Browser, html: str, folder: Path, pick: int | None = None) -> list[PageObject]:
    (folder / "index.html").write_text(html, encoding="utf-8")
    opened = browser.new_page()
    opened.goto((folder / "index.html").as_uri())
    if pick is not None:
        opened.locator(f'input[name=option][value="{pick}"]').check()
        opened.wait_for_selector("#option-drawings svg[role=img]", state="attached")
    made = opened.pdf(prefer_css_page_size=True)
    opened.close()
    return list(PdfReader(BytesIO(made)).pages)


def _strokes_mm(page: PageObject) -> list[tuple[float, float]]:
    """How wide and high each line on a page is."""
    points: list[tuple[float, float]] = []
    found: list[tuple[float, float]] = []

    def see(operator: bytes, operands: Any, to_page: Sequence[float], _: object) -> None:
        a, b, c, d, *_at = to_page
        if operator in (b"m", b"l", b"c"):
            x, y = map(float, operands[-2:])
            points.append((x * a + y * c, x * b + y * d))
        elif operator == b"re":
            x, y, wide, high = map(float, operands)
            points.extend((u * a + v * c, u * b + v * d) for u, v in ((x, y), (x + wide, y + high)))
        elif operator in (b"S", b"s", b"f", b"f*", b"B", b"n", b"W"):
            if points and operator in (b"S", b"s", b"B"):
                xs, ys = zip(*points, strict=True)
                found.append(((max(xs) - min(xs)) * _MM, (max(ys) - min(ys)) * _MM))
            points.clear()

    page.extract_text(visitor_operand_before=see)
    return found


def _holds(strokes: Sequence[tuple[float, float]], wide: float, high: float) -> bool:
    return any(abs(w - wide) < _CLOSE_MM and abs(h - high) < _CLOSE_MM for w, h in strokes)


def _sized(pages: Sequence[PageObject], sheets: Sequence[Sheet]) -> Iterator[tuple[Sheet, list[tuple[float, float]]]]:
    """Each sheet with the lines of its page, whose paper and frame are held to what they should measure."""
    for sheet, page in zip(sheets, pages, strict=True):
        paper, strokes = PAPERS[sheet.paper], _strokes_mm(page)
        size = (float(page.mediabox.width) * _MM, float(page.mediabox.height) * _MM)
        assert size == pytest.approx((paper.width_mm, paper.height_mm), abs=0.5), sheet.key
        assert _holds(strokes, *paper.frame_mm), sheet.key
        assert _holds(strokes, 100, 0) == sheet.to_scale, sheet.key
        yield sheet, strokes


def _drawn(pages: Sequence[PageObject]) -> list[PageObject]:
    return [page for page in pages if "revision" in page.extract_text()]


def _held(made: Dossier, number: int, pages: Sequence[PageObject], sheets: Sequence[Sheet]) -> None:
    """Every sheet as large as it says, and on the roof every panel of the option."""
    fit = made.options[number - 1].fit
    for sheet, strokes in _sized(pages, sheets):
        if sheet.key == "roof":
            assert fit.build.panels
            for box in panel_boxes(fit):
                assert _holds(strokes, box.size[0] / sheet.scale, box.size[1] / sheet.scale), (number, box)


@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_a_pack_prints_each_drawing_once_on_its_paper_at_its_scale(browser: Browser, tmp_path: Path, name: str) -> None:
    made = packed(name)
    own = next(option.number for option in made.options if option.chosen)

    _held(made, own, _drawn(_printed(browser, page_of(name), tmp_path)), made.sheets)


@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_picking_another_option_changes_no_scale_and_adds_the_drawing_that_is_open(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    """Its roof stands before the pack's own drawings, and says that it is not to build from."""
    made = packed(name)
    other = next(option for option in made.options if not option.chosen)

    pages = _drawn(_printed(browser, page_of(name), tmp_path, other.number))

    assert [OTHER[1] in page.extract_text() for page in pages] == [True, *(False for _ in made.sheets)]
    _held(made, other.number, pages[:1], drawings_of(made, other)[:1])
    own = next(option.number for option in made.options if option.chosen)
    _held(made, own, pages[1:], made.sheets)


def test_picking_the_packs_own_option_again_adds_nothing(browser: Browser, tmp_path: Path) -> None:
    made = packed("tiny-trailer")
    own = next(option.number for option in made.options if option.chosen)

    assert len(_drawn(_printed(browser, page_of("tiny-trailer"), tmp_path, own))) == len(made.sheets)


def _jobs(browser: Browser, html: str, folder: Path) -> dict[str, list[PageObject]]:
    """What each of the buttons prints."""
    (folder / "index.html").write_text(html, encoding="utf-8")
    opened = browser.new_page()
    opened.add_init_script("window.print = () => { window.asked = (window.asked || 0) + 1; }")
    opened.goto((folder / "index.html").as_uri())
    found = {}
    for paper in ("small", "large", "all"):
        opened.locator(f'button[data-paper="{paper}"]').click()
        found[paper] = list(PdfReader(BytesIO(opened.pdf(prefer_css_page_size=True))).pages)
    assert opened.evaluate("window.asked") == len(found)
    opened.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert opened.evaluate("document.documentElement.dataset.print") is None
    opened.close()
    return found


@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_each_paper_can_be_printed_by_itself(browser: Browser, tmp_path: Path, name: str) -> None:
    """Of A3 its drawings alone, at their scale; of A4 all the rest; and together no page more or less."""
    jobs, sheets = _jobs(browser, page_of(name), tmp_path), packed(name).sheets
    large = [sheet for sheet in sheets if sheet.paper == "large"]

    assert 0 < len(large) < len(sheets) and len(list(_sized(jobs["large"], large))) == len(large)
    sides = {round(max(page.mediabox.width, page.mediabox.height) * _MM) for page in jobs["small"]}
    assert sides == {297}
    assert len(_drawn(jobs["small"])) == len(sheets) - len(large)
    assert len(jobs["all"]) == len(jobs["small"]) + len(jobs["large"])


@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_a_survey_is_printed_at_its_scale(browser: Browser, tmp_path: Path, name: str) -> None:
    """On the roof every zone, as its survey has it."""
    pages = _drawn(_printed(browser, survey_files(name, ())["survey.html"].decode(), tmp_path))

    for page in pages:
        strokes = _strokes_mm(page)
        assert any(_holds(strokes, *paper.frame_mm) for paper in PAPERS.values()) and _holds(strokes, 100, 0)
    case = packed(name).fit.case
    scale = next(scale for scale in (20, 25) if f"1:{scale}, sizes" in pages[0].extract_text())
    for zone in case.zones:
        assert _holds(_strokes_mm(pages[0]), zone.length_mm / scale, zone.width_mm / scale), zone.name


def test_a_drawing_too_large_for_paper_leaves_the_others_their_scale(browser: Browser, tmp_path: Path) -> None:
    made, vehicle = packed("tiny-trailer"), "Tiny trailer"
    large = Sheet("large", f"{vehicle}: large", 10)
    large.rect(Box(0, 0, 9000, 6000), layer="outline")
    in_frames([large], vehicle, (("case", ""), ("build", "")))

    pages = _drawn(_printed(browser, page_with(replace(made, sheets=(large, *made.sheets)), None), tmp_path))

    assert not large.fits and "Larger than A3" in " ".join(pages[0].extract_text().split())
    _held(made, 1, pages[1:], made.sheets)
