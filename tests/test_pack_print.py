"""The pack's page on paper: no head without its rows, no page that is nearly blank, no more pages than needed."""

import re
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from unicodedata import normalize

import pytest
from playwright.sync_api import Browser
from pypdf import PageObject, PdfReader

from tests.packed_help import page_of
from tests.packing_help import SLOW_BUT_ONE

pytestmark = pytest.mark.slow

FOOT_MM = 17.0  # the margin in which the cautions stand
LINE_MM = 1.2  # texts no farther apart in height stand on one line
BEGIN = ("Order of work", "Quotation", "Commissioning: test sheet")
"""What is handed out by itself."""
FILLED = 0.2  # of a page's height at least


@dataclass(frozen=True)
class Line:
    """What stands at one height of a page [mm from its foot]."""

    up_mm: float
    texts: tuple[str, ...]
    bold: bool


@dataclass(frozen=True)
class Sheet:
    """A printed page, its lines from the top."""

    text: str
    high_mm: float
    lines: tuple[Line, ...]

    @property
    def filled(self) -> float:
        """The share of its height down to the last line."""
        return 1 - self.lines[-1].up_mm / self.high_mm


@dataclass(frozen=True)
class Printed:
    """All pages, and what may not stand alone at a page's foot."""

    sheets: tuple[Sheet, ...]
    heads: frozenset[str]  # of tables and sections, words of each
    apart: int  # pages there would be with one for each section
    groups: tuple[tuple[str, ...], ...]  # first cells of the rows of each table of the test sheet


@pytest.fixture(scope="module", params=SLOW_BUT_ONE)
def name(request: pytest.FixtureRequest) -> str:
    """Each shipped case that has a build."""
    return str(request.param)


@pytest.fixture(scope="module")
def printed(name: str, browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """The page printed once for all tests."""
    return _printed(name, browser, tmp_path_factory.mktemp(name))


def _printed(name: str, browser: Browser, folder: Path) -> Printed:
    (folder / "index.html").write_text(page_of(name), encoding="utf-8")
    page = browser.new_page()
    page.goto((folder / "index.html").as_uri())
    heads = page.eval_on_selector_all("h2, h3, caption, th[scope=col]", "all => all.map((one) => one.textContent)")
    groups = page.eval_on_selector_all(
        "#checks table", "all => all.map((one) => [...one.tBodies[0].rows].map((row) => row.cells[0].textContent))"
    )
    made = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True)))
    page.add_style_tag(content="@media print { section { break-before: page !important } }")
    apart = len(PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages)
    page.close()
    words = frozenset(" ".join(head.split()) for head in heads)
    return Printed(tuple(map(_sheet, made.pages)), words, apart, tuple(map(tuple, groups)))


def _sheet(page: PageObject) -> Sheet:
    found: list[tuple[float, str, bool]] = []

    def see(text: str, at: list[float], line: list[float], font: dict[str, str] | None, _: float) -> None:
        up_mm = (at[5] + at[3] * line[5]) / 72 * 25.4
        if text.strip() and up_mm > FOOT_MM:
            found.append((up_mm, _plain(text), "Bold" in str((font or {}).get("/BaseFont", ""))))

    text = _plain(page.extract_text(visitor_text=see))
    lines: list[Line] = []
    for up_mm, words, bold in sorted(found, key=lambda one: -one[0]):
        if lines and lines[-1].up_mm - up_mm < LINE_MM:
            last = lines.pop()
            lines.append(Line(last.up_mm, (*last.texts, words), last.bold and bold))
        else:
            lines.append(Line(up_mm, (words,), bold))
    return Sheet(text, float(page.mediabox.height) / 72 * 25.4, tuple(lines))


def _plain(text: str) -> str:
    """With letters that a font joins, as in "find", apart again."""
    return " ".join(normalize("NFKC", text).split())


def _drawn(sheet: Sheet) -> bool:
    return "revision" in sheet.text


def test_no_head_stands_alone_at_the_foot_of_a_page(printed: Printed) -> None:
    """A section's or a table's: its last line is no line of bold words that all are of heads."""
    alone = [
        (number, sheet.lines[-1].texts)
        for number, sheet in enumerate(printed.sheets, start=1)
        if not _drawn(sheet) and sheet.lines[-1].bold and _of_heads(sheet.lines[-1].texts, printed.heads)
    ]

    assert alone == []


def _of_heads(texts: tuple[str, ...], heads: frozenset[str]) -> bool:
    return all(any(re.search(rf"(^| ){re.escape(text)}( |$)", head) for head in heads) for text in texts)


def test_no_row_of_the_test_sheet_stands_alone_on_a_page(printed: Printed) -> None:
    alone = []
    for group in printed.groups:
        held = [[row for row in group if _has(sheet, row)] for sheet in printed.sheets]
        assert sum(map(len, held)) >= len(group)
        alone += [rows for rows in held if len(rows) == 1 and len(group) > 1]

    assert alone == []


def _has(sheet: Sheet, row: str) -> bool:
    """As the first thing of a line, and no part of another row's name."""
    return any(text == row or text.startswith(f"{row} ") for line in sheet.lines for text in line.texts)


def test_no_page_is_nearly_blank_but_two_where_the_next_begins_anew(printed: Printed) -> None:
    """Which they are lies with how long the tables are; more than two would be the layout's fault."""
    bare = [n for n, sheet in enumerate(printed.sheets) if not _drawn(sheet) and sheet.filled < FILLED]

    assert [n + 1 for n in bare if not _ends(printed, n)] == []
    assert len(bare) <= 2


def _ends(printed: Printed, place: int) -> bool:
    """Whether nothing that could share the page follows it."""
    here, after = printed.sheets[place], printed.sheets[place + 1 : place + 2]
    return not after or after[0].lines[0].texts[0] in BEGIN or here.high_mm != after[0].high_mm or _drawn(after[0])


@pytest.mark.parametrize(("words", "last"), [("Quotation", "Build file:"), ("Order of work", "ferrules, clips")])
def test_quotation_and_order_of_work_are_one_page_each(printed: Printed, words: str, last: str) -> None:
    begun = next(sheet for sheet in printed.sheets if sheet.lines[0].texts[0] == words)

    assert last in begun.text


def test_short_sections_share_pages(printed: Printed) -> None:
    """Beside the page for each section that it was."""
    assert len(printed.sheets) <= printed.apart - 2


def test_what_is_handed_out_begins_a_page(printed: Printed) -> None:
    for words in BEGIN:
        begins = [sheet for sheet in printed.sheets if sheet.lines[0].texts[0] == words]
        assert len(begins) == 1, words
