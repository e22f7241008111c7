"""The pack's page in a browser: options picked, no error, nothing fetched, readable by all, and on paper."""

import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from optimiser.cautions import CAUTIONS
from optimiser.printing.wording import kg, money
from tests.packed_help import packed, page_of
from tests.packing_help import SLOW_BUT_ONE, SOLVED

PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1366, "height": 800}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of the tiny trailer."""
    return _written(tmp_path_factory.mktemp("pack"), "tiny-trailer")


def _written(folder: Path, name: str) -> Path:
    (folder / "index.html").write_text(page_of(name), encoding="utf-8")
    return folder


@pytest.fixture
def page(browser: Browser, folder: Path) -> Iterator[Page]:
    """The page opened, with what it complained of and asked for held against it afterwards."""
    opened = browser.new_page(viewport={"width": 1366, "height": 800})
    complaints: list[str] = []
    asked: list[str] = []
    opened.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    opened.on("request", lambda request: asked.append(request.url))
    opened.goto((folder / "index.html").as_uri())
    opened.wait_for_selector("#option-drawings svg[role=img]", state="attached")
    yield opened
    assert complaints == []
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    opened.close()


def _roof(page: Page) -> str:
    return page.locator("#option-drawings svg[role=img]").first.inner_html()


def test_the_packs_own_build_is_shown_first(page: Page) -> None:
    own = packed("tiny-trailer").options[0]

    panel = page.locator("#option-panel")
    expect(panel).to_have_attribute("data-option", "1")
    expect(panel.locator("h3").first).to_have_text(f"Option 1: {money(own.worth.cents, 'cu')}, {kg(own.worth.grams)}")
    expect(page.locator(".chart .picked")).to_have_count(1)


def test_picking_a_point_shows_that_build(page: Page) -> None:
    other, before = packed("tiny-trailer").options[1], _roof(page)

    page.locator('.chart .point[data-options~="2"]').click()

    panel = page.locator("#option-panel")
    expect(panel).to_have_attribute("data-option", "2")
    expect(panel.locator("h3").first).to_have_text(
        f"Option 2: {money(other.worth.cents, 'cu')}, {kg(other.worth.grams)}"
    )
    assert _roof(page) != before
    assert {panel.panel for panel in other.fit.build.panels} <= set(re.findall(r"panel-[a-z0-9-]+", _roof(page)))
    shown = panel.locator("table tbody tr").all_inner_texts()
    assert shown == ["\t".join((row.what, row.before or "none", row.after or "none")) for row in other.rows]
    for line in other.deciders:
        expect(panel.get_by_text(line, exact=True)).to_be_visible()
    expect(page.locator('input[name=option][value="2"]')).to_be_checked()

    page.locator('.chart .point[data-options~="1"]').click()
    assert _roof(page) == before


def test_a_browser_that_cannot_unpack_drawings_says_so(browser: Browser, folder: Path) -> None:
    """And shows all else of an option that is picked."""
    opened = browser.new_page()
    opened.add_init_script("delete window.DecompressionStream")
    opened.goto((folder / "index.html").as_uri())
    expect(opened.locator("#picked")).to_contain_text("cannot be shown in this browser")

    opened.locator('input[name=option][value="2"]').check()

    expect(opened.locator("#picked")).to_contain_text("Option 2 is shown below. Its drawings cannot be shown")
    expect(opened.locator("#option-panel h3").first).to_contain_text("Option 2")
    assert opened.locator("#option-drawings svg").count() == 0
    opened.close()


def test_a_point_of_several_options_shows_the_next_each_time(page: Page) -> None:
    page.eval_on_selector('.chart .point[data-options~="1"]', "point => { point.dataset.options = '1 2'; }")
    point, panel = page.locator('.chart .point[data-options="1 2"]'), page.locator("#option-panel")

    for wanted in ("2", "1", "2"):
        point.click()
        expect(panel).to_have_attribute("data-option", wanted)
        expect(point).to_have_class(re.compile("picked"))


def test_the_list_does_the_same_from_the_keyboard(page: Page) -> None:
    page.locator('input[name=option][value="1"]').focus()
    page.keyboard.press("ArrowDown")

    expect(page.locator("#option-panel")).to_have_attribute("data-option", "2")
    expect(page.locator("#picked")).to_have_text("Option 2 is shown below.")
    expect(page.locator('.chart .point[data-options~="2"]')).to_have_class(re.compile("picked"))


def test_drawings_of_two_options_have_no_id_in_common(page: Page) -> None:
    page.locator('.chart .point[data-options~="2"]').click()

    ids = page.eval_on_selector_all("[id]", "all => all.map((one) => one.id)")
    assert len(ids) == len(set(ids))


@pytest.mark.slow
@pytest.mark.parametrize("size", [LAPTOP, PHONE], ids=["laptop", "phone"])
def test_the_page_is_accessible(page: Page, size: dict[str, int]) -> None:
    """axe-core's rules, those of WCAG 2 AA among them."""
    page.set_viewport_size({"width": size["width"], "height": size["height"]})

    found = Axe().run(page).response["violations"]

    assert [(rule["id"], [node["target"] for node in rule["nodes"]][:3]) for rule in found] == []


def test_a_phone_scrolls_down_only(page: Page) -> None:
    page.set_viewport_size({"width": PHONE["width"], "height": PHONE["height"]})

    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.slow
def test_every_printed_page_carries_the_cautions(page: Page) -> None:
    printed = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True)))

    assert len(printed.pages) > 15
    for sheet in printed.pages:
        text = " ".join(sheet.extract_text().split())
        assert all(caution in text for caution in CAUTIONS)
        sides = sorted(float(side) / 72 * 25.4 for side in (sheet.mediabox.width, sheet.mediabox.height))
        assert [round(side) for side in sides] in ([210, 297], [297, 420])


@pytest.mark.slow
@pytest.mark.parametrize("name", SLOW_BUT_ONE)
def test_every_drawing_is_printed_on_one_sheet_at_its_scale(browser: Browser, tmp_path: Path, name: str) -> None:
    """With all of its title block on the same sheet."""
    page = browser.new_page()
    page.goto((_written(tmp_path, name) / "index.html").as_uri())
    printed = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True)))
    texts = [" ".join(sheet.extract_text().split()) for sheet in printed.pages]
    drawn = [text for text in texts if "revision" in text]

    assert len(drawn) == len(packed(name).sheets)
    for sheet, text in zip(packed(name).sheets, drawn, strict=True):
        assert sheet.frame and sheet.frame.block.shows in text
        assert f"{sheet.frame.block.number} of {len(drawn)}" in text
    page.close()


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in SOLVED if name != "tiny-trailer"])
def test_the_other_packs_are_accessible_and_quiet(browser: Browser, tmp_path: Path, name: str) -> None:
    page, complaints = browser.new_page(), list[str]()
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto((_written(tmp_path, name) / "index.html").as_uri())
    page.locator('.chart .point[data-options~="2"]').click()

    found = Axe().run(page).response["violations"]

    assert complaints == []
    assert [(rule["id"], [node["target"] for node in rule["nodes"]][:3]) for rule in found] == []
    page.close()
