"""Schedules as files: each as CSV, all of them with the quotation as one workbook."""

import csv
from collections.abc import Iterable
from datetime import datetime
from io import BytesIO, StringIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from openpyxl import Workbook
from openpyxl.writer.excel import ExcelWriter

from optimiser.cautions import CAUTIONS
from optimiser.schedules.pages import cover_page, quotation_page, schedule_page
from optimiser.schedules.quotation import Quotation
from optimiser.schedules.table import Schedule

_NONE = "-"  # alone it is no formula
_FORMULA = ("=", "+", "-", "@", "\t", "\r")
_NEVER = datetime(2000, 1, 1)  # in place of the clock, so that equal schedules give equal files
_ZIP_NEVER = (1980, 1, 1, 0, 0, 0)


def to_csv(schedule: Schedule) -> str:
    """A schedule as CSV: headers with units, rows, totals, then notes and cautions as lines that start with ``#``.

    A text that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(safe(header) for header in schedule.headers)
    for row in (*schedule.rows, *([schedule.totals] if schedule.totals else [])):
        cells = zip(schedule.columns, schedule.shown(row), strict=True)
        writer.writerow(safe(text) if column.kind == "text" else text for column, text in cells)
    for line in (schedule.title, *schedule.notes, *CAUTIONS):
        out.write(f"# {' '.join(line.split())}\n")
    return out.getvalue()


def safe(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) and text != _NONE else text


def to_xlsx(schedules: Iterable[Schedule], quotation: Quotation) -> bytes:
    """One workbook: a cover, the quotation, a sheet each schedule. Equal inputs give equal bytes."""
    every = tuple(schedules)
    book = Workbook()
    book.properties.creator = "optimiser"
    book.properties.title = quotation.title
    book.properties.created = book.properties.modified = _NEVER
    for sheet in book.worksheets:
        book.remove(sheet)
    cover_page(book.create_sheet("cover"), quotation, every)
    quotation_page(book.create_sheet("quotation"), quotation)
    for schedule in every:
        schedule_page(book.create_sheet(schedule.key), schedule, quotation.title)
    draft = BytesIO()
    # Not Workbook.save, which would put the clock into the properties.
    ExcelWriter(book, ZipFile(draft, "w", ZIP_DEFLATED)).save()
    return _timeless(draft.getvalue())


def _timeless(archive: bytes) -> bytes:
    """The same archive with one date on all its files, and footers with line ends that every spreadsheet knows."""
    out = BytesIO()
    with ZipFile(BytesIO(archive)) as old, ZipFile(out, "w", ZIP_DEFLATED) as new:
        for name in old.namelist():
            info = ZipInfo(name, _ZIP_NEVER)
            info.compress_type = ZIP_DEFLATED
            new.writestr(info, _plain(old.read(name)) if name.startswith("xl/worksheets/") else old.read(name))
    return out.getvalue()


def _plain(sheet: bytes) -> bytes:
    """A sheet's XML without the escape that openpyxl puts for a line end; texts of cells stand in another file."""
    return sheet.replace(b"_x000a_", b"\n")
