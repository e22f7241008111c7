"""The pack's page on a laptop and on a phone: what is too wide says so, the test sheet is cards."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.packed_help import page_of
from tests.packing_help import SOLVED

PHONE, LAPTOP = 390, 1366

BOXES = """all => all.filter((box) => box.checkVisibility()).map((box) => {
    const before = box.previousElementSibling;
    const said = before.matches('.sideways') && before.checkVisibility() ? before.innerText : '';
    return {name: box.getAttribute('aria-label'), wider: box.scrollWidth > box.clientWidth + 1, said,
            scrolls: getComputedStyle(box).overflowX === 'auto', right: box.getBoundingClientRect().right};
})"""
COLUMNS = """table => [...table.tBodies[0].rows].map((row) => [...row.cells].map((cell) => [
    getComputedStyle(cell, '::before').content, cell.textContent, cell.checkVisibility(),
    cell.getBoundingClientRect().right]))"""


@pytest.fixture(scope="module", params=[SOLVED[0], pytest.param(SOLVED[1], marks=pytest.mark.slow), SOLVED[2]])
def opened(
    request: pytest.FixtureRequest, browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Page]:
    """The page of each shipped case that has a build, opened once."""
    file = tmp_path_factory.mktemp(request.param) / "index.html"
    file.write_text(page_of(request.param), encoding="utf-8")
    page = browser.new_page()
    page.goto(file.as_uri())
    yield page
    page.close()


@pytest.fixture
def page(opened: Page) -> Page:
    """The same on a screen, with nothing picked."""
    opened.emulate_media(media="screen")
    opened.locator('input[name=option][value="1"]').check()
    return opened


def _boxes(page: Page, width: int) -> list[dict[str, Any]]:
    page.set_viewport_size({"width": width, "height": 800})
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    found: list[dict[str, Any]] = page.eval_on_selector_all(".scroll", BOXES)
    return found


def test_a_laptop_shows_drawings_and_the_bill_whole_and_says_where_a_table_goes_on(page: Page) -> None:
    boxes = _boxes(page, LAPTOP)
    wider = {box["name"] for box in boxes if box["wider"]}

    drawings = set(page.locator(".drawing .scroll").evaluate_all("all => all.map((one) => one.ariaLabel)"))
    assert len(boxes) > 20 and len(drawings) > 4
    assert not wider & {*drawings, "Bill of materials"}
    assert [box["name"] for box in boxes if box["wider"] != box["said"].startswith("More to the right")] == []


def test_on_a_phone_what_is_wider_scrolls_in_its_own_box_and_says_so(page: Page) -> None:
    boxes = _boxes(page, PHONE)
    wider = [box for box in boxes if box["wider"]]

    assert {"Bill of materials", "Cable runs", "Cutting list, piece by piece"} <= {box["name"] for box in wider}
    assert [box["name"] for box in boxes if box["wider"] != box["said"].startswith("More to the right")] == []
    assert all(box["scrolls"] and box["right"] <= PHONE for box in wider)


@pytest.mark.parametrize("width", [PHONE, LAPTOP])
def test_what_is_touched_is_high_enough_for_a_finger(page: Page, width: int) -> None:
    """24 px at least, what WCAG 2.2 asks of a target; words before a link need not be."""
    _boxes(page, width)
    high = page.eval_on_selector_all(
        "a:not(.skip), summary, label, .chart .reach",
        "all => all.filter((one) => one.checkVisibility()).map((one) => "
        "[one.textContent, one.getBoundingClientRect().height])",
    )

    assert len(high) > 40
    assert [one for one in high if one[1] < 24] == []


def test_links_stand_under_headings(page: Page) -> None:
    """Each section of the page once, under no more than five words."""
    headings = page.locator("nav p").all_text_contents()
    assert headings == ["For the customer", "For the work", "Drawings", "Lists", "Tests and limits"]
    assert page.locator("nav ul").count() == len(headings)
    sections = page.locator("main section").evaluate_all("all => all.map((one) => `#${one.id}`)")
    links = page.locator("nav a").evaluate_all("all => all.map((one) => one.getAttribute('href'))")
    assert sorted(links) == sorted(sections)


def test_a_box_of_an_option_picked_says_so_too(page: Page) -> None:
    _boxes(page, PHONE)
    page.locator('input[name=option][value="2"]').check()
    drawing = page.locator("#option-drawings .scroll").first

    expect(drawing.locator("xpath=preceding-sibling::p[1]")).to_have_text("More to the right: scroll this sideways.")
    expect(drawing.locator("xpath=preceding-sibling::p[1]")).to_be_visible()


def test_rows_of_the_test_sheet_are_cards_with_the_names_of_their_columns(page: Page) -> None:
    _boxes(page, PHONE)

    for table in page.locator("#checks table").all():
        names = table.locator("thead th").all_text_contents()
        for row in table.evaluate(COLUMNS):
            shown = [cell for cell in row if cell[2]]
            assert [cell[0] for cell in row if cell[2]] == [
                f'"{name}: "' for name, cell in zip(names, row, strict=True) if cell[2]
            ]
            assert all(cell[1].strip() == "" for cell in row if not cell[2])  # only what is empty is left out
            assert {"measured", "yes or no"} & {names[place] for place, cell in enumerate(row) if cell[2]}
            assert all(cell[3] <= PHONE for cell in shown)


def test_cards_stay_tables_to_those_who_hear_the_page(page: Page) -> None:
    _boxes(page, PHONE)
    table = page.get_by_role("table", name="Visual checks, power off")

    expect(table.get_by_role("columnheader").first).to_have_text("no.")
    expect(table.get_by_role("rowheader").first).to_have_text("seen.torque")


@pytest.mark.parametrize("width", [PHONE, LAPTOP])
def test_remarks_do_not_stand_a_word_a_line(page: Page, width: int) -> None:
    """Of more than 45 letters: 256 px wide at least, some thirty letters a line."""
    _boxes(page, width)
    cells = page.eval_on_selector_all(
        "section[id^=schedule] td", "all => all.map((one) => [one.textContent, one.getBoundingClientRect().width])"
    )
    remarks = [cell for cell in cells if len(cell[0]) > 45]

    assert len(remarks) > 20
    assert [cell for cell in remarks if cell[1] < 255.9] == []


def test_boxes_of_the_test_sheet_have_room_for_a_pen_on_paper(page: Page) -> None:
    """6 mm at least, 96 px an inch."""
    page.emulate_media(media="print")
    high = page.eval_on_selector_all("td.blank", "all => all.map((one) => one.getBoundingClientRect().height)")

    assert len(high) > 100
    assert min(high) >= 6 / 25.4 * 96


def test_on_paper_nothing_scrolls(page: Page) -> None:
    page.emulate_media(media="print")

    assert page.eval_on_selector_all(".sideways", "all => all.filter((one) => one.checkVisibility()).length") == 0
    assert set(page.eval_on_selector_all(".scroll", "all => all.map((one) => getComputedStyle(one).overflowX)")) == {
        "visible"
    }
