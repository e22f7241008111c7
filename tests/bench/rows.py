"""Rows of a part of the bench, as dataclasses: CSV as they come, and a line on the screen."""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any, TypeVar

T = TypeVar("T")


def columns(kind: type[Any]) -> list[str]:
    """The header of a kind of row."""
    return [field.name for field in fields(kind)]


def cells(row: Any) -> list[str]:
    """A row as it is written: three decimals are enough, and what there is not is an empty cell."""
    return [_cell(getattr(row, name)) for name in columns(type(row))]


def _cell(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:.3f}" if isinstance(value, float) else str(value)


def kept(kind: type[T], rows: Iterable[T], file: Path) -> Iterator[T]:
    """Pass rows on. Each is in the file before the next is asked for: an end midway loses nothing."""
    with file.open("w", encoding="utf-8", newline="") as opened:
        writer = csv.writer(opened)
        writer.writerow(columns(kind))
        for row in rows:
            writer.writerow(cells(row))
            opened.flush()
            yield row
