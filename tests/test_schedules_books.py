"""Schedules as CSV and as a workbook, read back by others' code and held against the schedules they were made from."""

import csv
from dataclasses import replace
from io import BytesIO
from xml.etree import ElementTree
from zipfile import ZipFile

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from optimiser.auditing import Finding
from optimiser.cautions import CAUTIONS
from optimiser.fitted import Fit, cost_and_mass
from optimiser.fixings import fixings
from optimiser.schedules import Column, OptionLine, Quotation, Schedule, quotation, schedules, to_csv, to_xlsx
from optimiser.schedules.drilling import drilling
from tests.handmade import world
from tests.packing_help import findings, shipped
from tests.schedules_help import every_build, fit_made, found_in

DANGEROUS = ("=1+1", "+1", "-1", "@sum(a1)")
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def _of(fit: Fit, found: tuple[Finding, ...]) -> tuple[tuple[Schedule, ...], Quotation]:
    options = (OptionLine("lightest", 12_345, -1_000, "other panels"),)
    return schedules(fit, found, fixings(fit)), quotation(fit, found, options=options, version="abc")


def _handmade() -> tuple[tuple[Schedule, ...], Quotation]:
    made = world()
    return _of(fit_made(made), found_in(made))


def _book(every: tuple[Schedule, ...], offer: Quotation) -> Workbook:
    return load_workbook(BytesIO(to_xlsx(every, offer)))


def _one(*texts: str, title: str = "t") -> Schedule:
    rows = tuple((text, number) for number, text in enumerate(texts))
    return Schedule("one", title, (Column("text"), Column("number", "", "whole")), rows, notes=("a note",))


def _sheet(book: Workbook, name: str) -> Worksheet:
    sheet = book[name]
    assert isinstance(sheet, Worksheet)
    return sheet


def _parsed(text: str) -> tuple[list[list[str]], list[str]]:
    lines = text.splitlines()
    notes = [line.removeprefix("# ") for line in lines if line.startswith("# ")]
    return list(csv.reader(line for line in lines if not line.startswith("#"))), notes


# --- CSV -----------------------------------------------------------------------------------------------


@every_build
def test_csv_parses_back_to_the_schedule(name: str, want: str) -> None:
    for schedule in _of(shipped(name, want), findings(name, want))[0]:
        (header, *rows), notes = _parsed(to_csv(schedule))
        cells = [*schedule.rows, *([schedule.totals] if schedule.totals else [])]

        assert header == list(schedule.headers)
        assert len(rows) == len(cells)
        for row, own in zip(rows, cells, strict=True):
            for text, cell, column in zip(row, own, schedule.columns, strict=True):
                if isinstance(cell, str) or cell is None:
                    assert text == (cell or "")
                else:
                    assert float(text) == pytest.approx(float(column.figure(cell) or 0), abs=1e-9)
        assert notes == [schedule.title, *schedule.notes, *CAUTIONS]


@every_build
def test_the_bills_last_row_is_the_audits_sum(name: str, want: str) -> None:
    fit = shipped(name, want)
    total = cost_and_mass(fit.case, fit.catalogue, fit.build)
    (header, *rows), _ = _parsed(to_csv(_of(fit, findings(name, want))[0][0]))
    last = dict(zip(header, rows[-1], strict=True))

    assert (last["total [cu]"], last["mass [kg]"]) == (f"{total.cents / 100:.2f}", f"{total.grams / 1000:.3f}")


def test_csv_ends_with_the_cautions() -> None:
    assert to_csv(_one("a")).endswith("".join(f"# {line}\n" for line in CAUTIONS))


def test_no_text_of_a_csv_is_taken_for_a_formula() -> None:
    (_, *rows), _ = _parsed(to_csv(_one(*DANGEROUS, "-", "safe")))

    assert [row[0] for row in rows] == [*(f"'{text}" for text in DANGEROUS), "-", "safe"]


def test_a_note_of_several_lines_stays_a_comment() -> None:
    text = to_csv(_one("a", title="one\ntwo"))

    assert "# one two\n" in text
    assert "\ntwo" not in text


def test_csv_carries_commas_quotes_and_other_alphabets() -> None:
    texts = ('a, "b"', "câble", "кабель")
    (_, *rows), _ = _parsed(to_csv(_one(*texts)).encode().decode("utf-8"))

    assert [row[0] for row in rows] == list(texts)


# --- workbook ------------------------------------------------------------------------------------------


@every_build
def test_every_figure_of_the_workbook_is_the_schedules(name: str, want: str) -> None:
    every, offer = _of(shipped(name, want), findings(name, want))
    book = _book(every, offer)

    assert book.sheetnames == ["cover", "quotation", *(schedule.key for schedule in every)]
    for schedule in every:
        sheet = _sheet(book, schedule.key)
        assert [cell.value for cell in sheet[1]] == list(schedule.headers)
        cells = [*schedule.rows, *([schedule.totals] if schedule.totals else [])]
        for number, own in enumerate(cells, 2):
            for place, (cell, column) in enumerate(zip(own, schedule.columns, strict=True), 1):
                found = sheet.cell(number, place)
                if isinstance(cell, str) or cell is None:
                    assert found.value == (cell or None)
                else:
                    assert found.data_type == "n"
                    assert found.value == pytest.approx(float(column.figure(cell) or 0), abs=1e-9)
                    assert found.number_format == ("General" if column.decimals is None else found.number_format)
        below = [row[0].value for row in sheet.iter_rows(min_row=len(cells) + 3)]
        assert below == [schedule.title, *schedule.notes, *CAUTIONS]


@every_build
def test_the_workbooks_sums_are_the_audits(name: str, want: str) -> None:
    fit = shipped(name, want)
    total = cost_and_mass(fit.case, fit.catalogue, fit.build)
    every, offer = _of(fit, findings(name, want))
    book = _book(every, offer)

    sheet = _sheet(book, "materials")
    header = [cell.value for cell in sheet[1]]
    last = {title: cell.value for title, cell in zip(header, sheet[len(every[0].rows) + 2], strict=True)}
    assert last["total [cu]"] == total.cents / 100
    assert last["mass [kg]"] == total.grams / 1000
    amounts = {row[0].value: row[1].value for row in _sheet(book, "quotation").iter_rows() if row[1].value is not None}
    assert amounts["total"] == total.cents / 100
    assert amounts["mass of the fit-out, kg"] == total.grams / 1000
    assert amounts["lightest: other panels"] == 123.45
    lighter = [row[2].value for row in _sheet(book, "quotation").iter_rows() if row[2].value is not None]
    assert lighter == [-1.0]
    parts, sundries, labour = (amounts[name] for name in ("parts", "sundries", "labour"))
    assert sum(round(float(str(a)) * 100) for a in (parts, sundries, labour)) == total.cents


def test_no_cell_is_a_formula() -> None:
    every, offer = _handmade()
    archive = ZipFile(BytesIO(to_xlsx((*every, _one(*DANGEROUS)), offer)))
    sheets = [name for name in archive.namelist() if name.startswith("xl/worksheets/")]

    assert len(sheets) == len(every) + 3
    for name in sheets:
        assert not list(ElementTree.fromstring(archive.read(name)).iter(f"{_MAIN}f")), name
    sheet = _sheet(load_workbook(BytesIO(to_xlsx((_one(*DANGEROUS),), offer))), "one")
    assert [(cell.value, cell.data_type) for cell in sheet["A"][1:5]] == [(text, "s") for text in DANGEROUS]
    assert all(cell.quotePrefix for cell in sheet["A"][1:5])


def test_equal_inputs_give_equal_bytes_without_a_clock() -> None:
    first, second = to_xlsx(*_handmade()), to_xlsx(*_handmade())
    archive = ZipFile(BytesIO(first))

    assert first == second
    assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    properties = load_workbook(BytesIO(first)).properties
    assert properties.created == properties.modified
    assert properties.created is not None and properties.created.year == 2000


def test_every_sheet_prints_on_a4_across_with_title_and_cautions() -> None:
    every, offer = _handmade()
    book = _book(every, offer)
    for name in book.sheetnames:
        sheet = _sheet(book, name)
        assert (sheet.page_setup.paperSize, sheet.page_setup.orientation) == (9, "landscape")
        assert sheet.sheet_properties.pageSetUpPr is not None and sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
        assert sheet.oddFooter is not None
        foot = sheet.oddFooter.left.text or ""
        assert foot.startswith("handmade") and all(line in foot for line in CAUTIONS)
    for schedule in every:
        sheet = _sheet(book, schedule.key)
        assert (sheet.freeze_panes, sheet.print_title_rows) == ("B2", "$1:$1")


@pytest.mark.parametrize("title", ["R&D " * 60, "&" * 300, "a\x07b", "ok"])
def test_a_footer_stays_within_what_a_spreadsheet_takes(title: str) -> None:
    _, offer = _handmade()
    made = Quotation(**(vars(offer) | {"title": title}))
    archive = ZipFile(BytesIO(to_xlsx((_one("a"),), made)))
    for name in archive.namelist():
        if name.startswith("xl/worksheets/"):
            for foot in ElementTree.fromstring(archive.read(name)).iter(f"{_MAIN}oddFooter"):
                assert foot.text and len(foot.text) <= 255
                assert foot.text.split("\n")[1:] == list(CAUTIONS)


def test_figures_are_never_wider_than_their_column() -> None:
    every, offer = _of(shipped("travelling-clinic"), findings("travelling-clinic"))
    book = _book(every, offer)
    for schedule in every:
        sheet = _sheet(book, schedule.key)
        for place, column in enumerate(schedule.columns):
            width = sheet.column_dimensions[chr(ord("A") + place)].width
            if column.kind != "text":
                assert max(len(column.shown(row[place])) for row in schedule.rows) < width


def test_cautions_and_sheets_stand_on_the_cover() -> None:
    every, offer = _handmade()
    lines = [row[0].value for row in _sheet(_book(every, offer), "cover").iter_rows()]

    assert lines[0] == "handmade"
    assert all(line in lines for line in CAUTIONS)
    assert all(f"{schedule.key}: {schedule.title}" in lines for schedule in every)
    assert "abc" in lines


def test_a_schedule_without_rows_is_still_a_sheet_and_a_file() -> None:
    bare = replace(fit_made(world()), build=replace(world().build, runs=(), arrays=()))
    empty = drilling(bare, ())
    assert not empty.rows
    sheet = _sheet(load_workbook(BytesIO(to_xlsx((empty,), _handmade()[1]))), "drilling")

    assert [cell.value for cell in sheet[1]] == list(empty.headers)
    assert _parsed(to_csv(empty))[0] == [list(empty.headers)]
