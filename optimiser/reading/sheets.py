"""One CSV table: from cells to typed rows, every problem noted with its line and column.

Accepts what spreadsheets save: ``;`` between cells and then decimal commas, a byte order mark, empty
cells at the end of rows. Lines that start with # are comments.
"""

import csv
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ValidationError

from optimiser import older
from optimiser.reading.problems import Gathered
from optimiser.reading.text import read_text
from optimiser.reading.wording import Schema, expected, single, unknown_field

T = TypeVar("T", bound=BaseModel)

_COMMENT = re.compile(r'\s*"?#')  # a spreadsheet quotes a comment that holds a comma
# No thousands: 1,000 and 1.000 mean different things to different people.
_WHOLE = re.compile(r"[+-]?\d{1,18}")
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_YES_NO = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}
_KINDS = {"boolean": "yes or no", "integer": "a whole number", "number": "a number"}


@dataclass(frozen=True)
class Row(Generic[T]):
    """A row; ``value`` is None where something in it is wrong, ``cells`` are there all the same."""

    line: int
    cells: dict[str, str]
    value: T | None


@dataclass(frozen=True)
class Sheet(Generic[T]):
    """What could be read of a table."""

    file: str
    header: tuple[str, ...]  # known columns
    rows: tuple[Row[T], ...]

    @property
    def good(self) -> list[tuple[int, T]]:
        """Line and value of the rows without a problem."""
        return [(row.line, row.value) for row in self.rows if row.value is not None]

    def column(self, name: str) -> list[tuple[int, str]] | None:
        """Line and cell, of faulty rows too; None where the column could not be read."""
        return [(row.line, row.cells.get(name, "")) for row in self.rows] if name in self.header else None


def read_sheet(path: Path, file: str, model: type[T], problems: Gathered, *, may_be_empty: bool = False) -> Sheet[T]:
    """Read one table; ``file`` is what to call it in problems."""
    text = read_text(path, file, problems)
    if text is None:
        return Sheet(file, (), ())
    lines = ["" if _COMMENT.match(line) else line for line in text.split("\n")]
    separator = _separator(lines)
    records = _records(lines, separator, file, problems)
    line, header = next(records, (0, []))
    if not header:
        problems.add(file, 0, "", f"nothing in the file; expected the headers {', '.join(model.model_fields)}")
        return Sheet(file, (), ())
    while not header[-1]:
        header = header[:-1]
    header, added, note = older.today(path.stem, header)
    if note:
        problems.note(file, line, "", note)
    columns = _columns(line, header, file, model, problems)
    reader = _RowReader(file, model, columns, added, problems, separator == ";")
    rows = tuple(reader.row(number, cells) for number, cells in records)
    if not rows and not may_be_empty:
        problems.add(file, line, "", "no rows below the headers; expected at least one")
        return Sheet(file, (), ())
    return Sheet(file, tuple(name for name in columns if name), rows)


def _separator(lines: list[str]) -> str:
    first = next((line for line in lines if line.strip(" ,;\t")), "")
    return ";" if first.count(";") > first.count(",") else ","


def _records(lines: list[str], separator: str, file: str, problems: Gathered) -> Iterator[tuple[int, list[str]]]:
    """Rows that hold something, each with the line it starts on."""
    reader = csv.reader((line + "\n" for line in lines), delimiter=separator, skipinitialspace=True, strict=True)
    while True:
        line = reader.line_num + 1
        try:
            cells = [cell.strip() for cell in next(reader)]
        except StopIteration:
            return
        except csv.Error as error:
            problems.add(
                file, line, "", f"not readable from here on ({error}); expected quotes around whole cells only"
            )
            return
        if any(cells):
            yield line, cells


def _columns(line: int, header: list[str], file: str, model: type[BaseModel], problems: Gathered) -> list[str]:
    """The field of each column, "" where there is none."""
    fields = model.model_fields
    meant: set[str] = set()
    columns: list[str] = []
    for place, name in enumerate(header, start=1):
        if name in fields and name not in columns:
            columns.append(name)
            continue
        columns.append("")
        if not name:
            problems.add(file, line, "", f"no header above column {place}; expected one of {', '.join(fields)}")
        elif name in fields:
            problems.add(file, line, name, f"{name!r} heads two columns; expected one")
        else:
            message, close = unknown_field(name, fields)
            problems.add(file, line, name, message)
            meant.add(close)
    for name, info in fields.items():
        if info.is_required() and name not in columns and name not in meant:
            problems.add(file, line, name, f"no column {name!r}; expected it among the headers")
    return columns


@cache
def _schemas(model: type[BaseModel]) -> tuple[dict[str, Schema], frozenset[str]]:
    """What each column takes, and which must be filled in: once a table, as it takes longer than most reading."""
    schema = model.model_json_schema()
    takes = {name: single(field, {}) for name, field in schema["properties"].items()}
    return takes, frozenset(schema.get("required", ()))


class _RowReader(Generic[T]):
    """Turns the cells of one table into rows."""

    def __init__(
        self, file: str, model: type[T], columns: list[str], added: list[str], problems: Gathered, decimal_comma: bool
    ) -> None:
        self.file, self.model, self.columns, self.problems = file, model, columns, problems
        self.added = added  # cells of the last columns, which the file has not
        self.decimal_comma = decimal_comma
        self.schemas, self.required = _schemas(model)

    def row(self, line: int, cells: list[str]) -> Row[T]:
        """Read one row."""
        before, width = len(self.problems), len(self.columns) - len(self.added)
        while len(cells) > width and not cells[-1]:
            cells = cells[:-1]
        padded = [*cells, *self.added] if len(cells) == width else cells
        named = {name: cell for name, cell in zip(self.columns, padded, strict=False) if name}
        if len(cells) != width:
            where = self.columns[min(len(cells), width - 1)]
            self.problems.add(self.file, line, where, f"{len(cells)} cells in the row; expected {width}, one a header")
            return Row(line, named, None)
        values: dict[str, Any] = {}
        for name, cell in named.items():
            if cell or name in self.required:
                self._put(line, name, cell, values)
        value = self._typed(line, named, values)
        return Row(line, named, value if len(self.problems) == before else None)

    def _put(self, line: int, name: str, cell: str, values: dict[str, Any]) -> None:
        """Add what the cell says to the values, or note why it says nothing."""
        schema = self.schemas[name]
        value = self._value(schema.get("type", ""), cell)
        if value is None:
            what = f"{cell!r} is not {_KINDS[schema['type']]}" if cell else "empty cell"
            self.problems.add(self.file, line, name, f"{what}; expected {expected(schema)}")
        else:
            values[name] = value

    def _value(self, kind: str, cell: str) -> str | float | None:
        if kind == "boolean":
            return _YES_NO.get(cell.lower())
        if kind == "integer":
            return int(cell) if _WHOLE.fullmatch(cell) else None
        if kind == "number":
            text = cell.replace(",", ".") if self.decimal_comma else cell
            return float(text) if _NUMBER.fullmatch(text) and math.isfinite(float(text)) else None
        return cell or None

    def _typed(self, line: int, cells: dict[str, str], values: dict[str, Any]) -> T | None:
        """The row as its type. Cells left out of the values have been complained of already."""
        try:
            return self.model.model_validate(values)
        except ValidationError as error:
            for name in dict.fromkeys(str(item["loc"][0]) for item in error.errors() if item["type"] != "missing"):
                wanted = expected(self.schemas[name])
                self.problems.add(self.file, line, name, f"{cells[name]!r} is not allowed; expected {wanted}")
            return None
