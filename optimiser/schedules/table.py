"""A schedule: a table with units in its headers and its own notes; how each figure is rounded and shown."""

from dataclasses import dataclass
from typing import Literal

from optimiser.units import CENTS

Kind = Literal["text", "whole", "number", "money"]
Cell = str | int | float | None
Row = tuple[Cell, ...]

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Column:
    """What stands in a column. Money is held in cents and shown in the currency, which is its unit."""

    title: str
    unit: str = ""
    kind: Kind = "text"
    decimals: int | None = 0  # None: as many as the figure has

    @property
    def header(self) -> str:
        """Title with its unit."""
        return f"{self.title} [{self.unit}]" if self.unit else self.title

    def figure(self, cell: Cell) -> Cell:
        """A cell as it is written: a number rounded as the column says, money in the currency, text as it is."""
        if cell is None or isinstance(cell, str):
            return cell
        if self.kind == "money":
            return cell / CENTS
        if self.decimals is None:
            return cell
        rounded = round(cell, self.decimals)
        return round(rounded) if self.kind == "whole" else rounded

    def shown(self, cell: Cell) -> str:
        """A cell as text; empty where there is nothing to say."""
        figure = self.figure(cell)
        if figure is None or isinstance(figure, str):
            return figure or ""
        if self.kind == "money":
            return _money(figure)
        return f"{figure:.10g}" if self.decimals is None else f"{figure:.{self.decimals}f}"


@dataclass(frozen=True)
class Schedule:
    """A table of the job pack.

    Raises
    ------
    ValueError
        If a row has not as many cells as there are columns, or a cell is not of its column's kind.
    """

    key: str  # names files and sheets: lower-case letters and _, at most 31 characters
    title: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    totals: Row | None = None
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for row in (*self.rows, *([self.totals] if self.totals else [])):
            if len(row) != len(self.columns):
                raise ValueError(f"{self.key}: {len(row)} cells in a row of {len(self.columns)} columns: {row}")
            for column, cell in zip(self.columns, row, strict=True):
                if cell is not None and isinstance(cell, str) != (column.kind == "text"):
                    raise ValueError(f"{self.key}: {cell!r} in column {column.header!r} of kind {column.kind}")

    @property
    def headers(self) -> tuple[str, ...]:
        """Titles of the columns with their units."""
        return tuple(column.header for column in self.columns)

    def shown(self, row: Row) -> tuple[str, ...]:
        """A row as text, rounded as its columns say."""
        return tuple(column.shown(cell) for column, cell in zip(self.columns, row, strict=True))

    def column(self, title: str) -> tuple[Cell, ...]:
        """All cells under a title, without the totals."""
        place = [column.title for column in self.columns].index(title)
        return tuple(row[place] for row in self.rows)


def _money(amount: float) -> str:
    """Two decimals; up to four where a price by the metre has them."""
    whole, _, cents = f"{amount:.4f}".partition(".")
    return f"{whole}.{cents[:2]}{cents[2:].rstrip('0')}"
