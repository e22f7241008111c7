"""The sheets of the workbook: how they look on screen and on paper."""

from collections.abc import Iterable
from textwrap import wrap

from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell, MergedCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from optimiser.cautions import CAUTIONS
from optimiser.schedules.quotation import Quotation
from optimiser.schedules.table import Column, Schedule
from optimiser.units import CENTS, GRAMS

_BOLD = Font(bold=True)
_TITLE = Font(bold=True, size=14)
_GREY = PatternFill("solid", fgColor="FFE7E7E7")
_LINE = Side(style="thin", color="FF808080")
_WRAPPED = Alignment(wrap_text=True, vertical="top")
_RIGHT = Alignment(horizontal="right", vertical="top")
_FORMULA = ("=", "+", "-", "@")
_FOLD_LEAST, _FOLD_MOST = 14, 60  # letters in a line of text
_CELL_MARGIN = 2  # letters
_WIDE = 0.82  # share of a column's letters to count on when it is filled with words
_PAGE_WIDTH = 150  # letters across A4 landscape that are still easily read
_FOOTER_MOST = 250  # letters of a header or footer, with codes; a spreadsheet allows 255
_TEXT_WIDTH, _TITLE_WIDTH, _AMOUNT_WIDTH = 90, 60, 16
_LINE_HEIGHT, _SMALL = 15, 8  # points
_MONEY = "#,##0.00##"


def schedule_page(sheet: Worksheet, schedule: Schedule, title: str) -> None:
    """A schedule: header frozen, figures as numbers, then notes and cautions."""
    _cells(sheet, 1, schedule.headers)
    for cell in sheet[1]:
        cell.font, cell.fill, cell.border = _BOLD, _GREY, Border(bottom=_LINE)
        cell.alignment = Alignment(wrap_text=True, vertical="bottom")
    for number, row in enumerate(schedule.rows, 2):
        _row(sheet, number, schedule, row)
    last = len(schedule.rows) + 1
    if schedule.totals:
        last += 1
        _row(sheet, last, schedule, schedule.totals)
        for cell in sheet[last]:
            cell.font, cell.border = _BOLD, Border(top=_LINE)
    widths = _widths(sheet, schedule)
    for number, line in enumerate((schedule.title, *schedule.notes, *CAUTIONS), last + 2):
        _note(sheet, number, line, widths)
    sheet.freeze_panes = "B2"
    sheet.print_title_rows = "1:1"
    _paper(sheet, title, schedule.title)


def quotation_page(sheet: Worksheet, quotation: Quotation) -> None:
    """The quotation, to be read from top to bottom; amounts in a column of their own."""
    rows = _Rows(sheet)
    rows.title(f"Quotation: {quotation.title}")
    rows.text("Date: ")
    rows.text("Valid until: ")
    rows.heading("What is fitted")
    rows.texts(quotation.what)
    rows.heading(f"Price in {quotation.currency}")
    for price in quotation.prices:
        rows.amount(price.name, price.cents, "money", bold=price is quotation.prices[-1])
    rows.amount("mass of the fit-out, kg", quotation.mass_kg, "kg")
    rows.texts(quotation.notes)
    if quotation.options:
        rows.heading(f"Instead: difference of price in {quotation.currency}, of mass in kg")
        for option in quotation.options:
            rows.amount(f"{option.name}: {option.line}", option.cents, "money change")
            rows.beside(option.grams / GRAMS)
    rows.heading("Left out")
    rows.texts(quotation.exclusions)
    rows.heading("Checked")
    rows.texts(quotation.checked)
    rows.heading("Version")
    rows.texts((quotation.version, f"sha256 of the build: {quotation.build}"))
    rows.heading("Cautions")
    rows.texts(CAUTIONS)
    _paper(sheet, quotation.title, "Quotation")


def cover_page(sheet: Worksheet, quotation: Quotation, schedules: Iterable[Schedule]) -> None:
    """Title, cautions, and what is on which sheet."""
    rows = _Rows(sheet)
    rows.title(quotation.title)
    rows.text("Date: ")
    rows.heading("Cautions")
    rows.texts(CAUTIONS)
    rows.heading("Checked")
    rows.texts(quotation.checked)
    rows.heading("Sheets")
    rows.text("quotation: Quotation")
    rows.texts(f"{schedule.key}: {schedule.title}" for schedule in schedules)
    rows.heading("Version")
    rows.texts((quotation.version, f"sha256 of the build: {quotation.build}"))
    _paper(sheet, quotation.title, "Cover")


class _Rows:
    """A sheet of text filled from the top."""

    def __init__(self, sheet: Worksheet) -> None:
        self.sheet, self.number = sheet, 0
        sheet.column_dimensions["A"].width = _TEXT_WIDTH
        sheet.column_dimensions["B"].width = sheet.column_dimensions["C"].width = _AMOUNT_WIDTH

    def text(self, line: str) -> Cell:
        self.number += 1
        cell = _put(self.sheet.cell(self.number, 1), line)
        cell.alignment = _WRAPPED
        # A spreadsheet finds the height of wrapped text only when a person edits it.
        self.sheet.row_dimensions[self.number].height = _LINE_HEIGHT * _lines(line, _TEXT_WIDTH)
        return cell

    def texts(self, lines: Iterable[str]) -> None:
        for line in lines:
            self.text(line)

    def title(self, line: str) -> None:
        self.text(line).font = _TITLE
        self.sheet.row_dimensions[self.number].height = 1.5 * _LINE_HEIGHT * _lines(line, _TITLE_WIDTH)

    def heading(self, line: str) -> None:
        self.number += 1
        self.text(line).font = _BOLD

    def amount(self, line: str, figure: float, kind: str, *, bold: bool = False) -> None:
        self.text(line).font = Font(bold=bold)
        cell = self.sheet.cell(self.number, 2, figure if kind == "kg" else figure / CENTS)
        cell.number_format = {"money": "#,##0.00", "money change": "+#,##0.00;-#,##0.00;0.00", "kg": "0.000"}[kind]
        cell.font, cell.alignment = Font(bold=bold), _RIGHT

    def beside(self, mass_kg: float) -> None:
        cell = self.sheet.cell(self.number, 3, mass_kg)
        cell.number_format, cell.alignment = "+0.000;-0.000;0.000", _RIGHT


# --- cells -------------------------------------------------------------------------------------------


def _put(cell: Cell | MergedCell, value: str | int | float | None) -> Cell:
    """A value in a cell; text stays text, whatever it begins with."""
    assert isinstance(cell, Cell)  # cells are merged after they are filled
    if isinstance(value, str):
        cell.value = ILLEGAL_CHARACTERS_RE.sub("", value)
        cell.data_type = "s"
        cell.quotePrefix = value.startswith(_FORMULA)
    else:
        cell.value = value
    return cell


def _cells(sheet: Worksheet, number: int, values: Iterable[str | int | float | None]) -> None:
    for place, value in enumerate(values, 1):
        if value is not None and value != "":
            _put(sheet.cell(number, place), value)
        else:
            sheet.cell(number, place)


def _row(sheet: Worksheet, number: int, schedule: Schedule, row: Iterable[str | int | float | None]) -> None:
    figures = [column.figure(cell) for column, cell in zip(schedule.columns, row, strict=True)]
    _cells(sheet, number, figures)
    for cell, column in zip(sheet[number], schedule.columns, strict=True):
        cell.alignment = _WRAPPED if column.kind == "text" else _RIGHT
        if column.kind != "text":
            cell.number_format = _format(column)


def _format(column: Column) -> str:
    if column.kind == "money":
        return _MONEY
    if column.decimals is None:
        return "General"
    return "0." + "0" * column.decimals if column.decimals else "0"


def _note(sheet: Worksheet, number: int, line: str, widths: list[int]) -> None:
    """A line of text across the whole table, folded at its edge."""
    _put(sheet.cell(number, 1), line).alignment = _WRAPPED
    sheet.merge_cells(start_row=number, end_row=number, start_column=1, end_column=len(widths))
    sheet.row_dimensions[number].height = _LINE_HEIGHT * _lines(line, sum(widths))


def _widths(sheet: Worksheet, schedule: Schedule) -> list[int]:
    """Columns as wide as what is in them, texts folded as far as the paper asks; rows as high as that makes them."""
    rows = [schedule.shown(row) for row in (*schedule.rows, *([schedule.totals] if schedule.totals else []))]
    caps = range(_FOLD_MOST, _FOLD_LEAST - 1, -1)
    tried = (_widths_folded(schedule, rows, cap) for cap in caps)
    widths = next((w for w in tried if sum(w) <= _PAGE_WIDTH), _widths_folded(schedule, rows, _FOLD_LEAST))
    for place, width in enumerate(widths, 1):
        sheet.column_dimensions[get_column_letter(place)].width = width
    for number, texts in enumerate((schedule.headers, *rows), 1):
        lines = max(_lines(text, width) for text, width in zip(texts, widths, strict=True))
        sheet.row_dimensions[number].height = _LINE_HEIGHT * lines
    return widths


def _widths_folded(schedule: Schedule, rows: list[tuple[str, ...]], cap: int) -> list[int]:
    """Width of each column if no text is wider than ``cap`` letters; a figure is never cut short."""
    widths = []
    for place, column in enumerate(schedule.columns):
        longest = max((len(row[place]) for row in rows), default=0)
        texts = [column.header]
        if column.kind == "text":
            longest = min(longest, cap)
            texts += [row[place] for row in rows]
        word = max((len(word) for text in texts for word in text.replace("-", "- ").split()), default=0)
        widths.append(max(longest + (column.kind == "money"), word) + _CELL_MARGIN)  # money: its comma
    return widths


def _lines(text: str, width: float) -> int:
    """Lines a text takes in a column, with room for letters that are wider than most."""
    return max(1, len(wrap(text, max(int(width * _WIDE), 1))))


# --- paper -------------------------------------------------------------------------------------------


def _paper(sheet: Worksheet, title: str, what: str) -> None:
    """A4 landscape, one page wide, title and cautions at the foot of each page."""
    sheet.page_setup.paperSize = 9  # A4
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.print_options.gridLines = True
    sheet.page_margins.left = sheet.page_margins.right = 0.4
    sheet.page_margins.top, sheet.page_margins.bottom = 0.7, 0.9
    sheet.oddHeader = _strip(left=_escaped(what), right="&P / &N")
    sheet.oddFooter = _strip(left=_footer(title))


def _strip(*, left: str, right: str = "") -> HeaderFooterItem:
    parts = (_HeaderFooterPart(text, size=_SMALL) if text else None for text in (left, right))
    return HeaderFooterItem(left=next(parts), right=next(parts))


def _footer(title: str) -> str:
    cautions = _escaped("\n".join(CAUTIONS))
    room = _FOOTER_MOST - len(cautions) - len("&L&8\n ")
    short = _escaped(title)
    while len(short) > room:
        title = title[:-1]
        short = f"{_escaped(title.rstrip())}..."
    return f"{short}\n{cautions}"


def _escaped(text: str) -> str:
    return ILLEGAL_CHARACTERS_RE.sub("", text).replace("&", "&&")
