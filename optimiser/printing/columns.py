"""Tables within a width that never break a name: columns share it, or rows stand below each other."""

from collections.abc import Iterator, Sequence
from copy import copy

from rich.cells import cell_len
from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Column, Table

_BETWEEN = 2  # characters between two columns


def within(table: Table, width: int) -> Iterator[RenderableType]:
    """The table in lines of at most so many characters; where its longest words have no room, each row as text."""
    columns = [[str(column.header), *map(str, column.cells)] for column in table.columns]
    least = [max(cell_len(word) for text in texts for word in text.split(" ")) for texts in columns]
    most = [max(cell_len(line) for text in texts for line in text.split("\n")) for texts in columns]
    room = width - _BETWEEN * len(columns) - 1
    if sum(least) > room:
        yield from within(_one_side(table), width) if _two_sides(columns) else _stacked(table)
        return
    for column, share in zip(table.columns, _shares(least, most, room), strict=True):
        column.width = share
    yield table


def _two_sides(columns: Sequence[Sequence[str]]) -> bool:
    """Whether the same columns stand twice, with an empty one between."""
    half = len(columns) // 2
    heads = [column[0] for column in columns]
    return len(columns) % 2 == 1 and not any(columns[half]) and heads[:half] == heads[half + 1 :]


def _one_side(table: Table) -> Table:
    """The right side below the left one."""
    half = len(table.columns) // 2
    rows = [*zip(*(column.cells for column in table.columns), strict=True)]
    made = copy(table)
    made.columns, made.rows = [], []
    for column in table.columns[:half]:
        made.add_column(column.header, justify=column.justify, overflow=column.overflow)
    for row in (*(row[:half] for row in rows), *(row[half + 1 :] for row in rows if any(row[half + 1 :]))):
        made.add_row(*row)
    return made


def _shares(least: Sequence[int], most: Sequence[int], room: int) -> list[int]:
    """Widths of columns: the narrowest grow first, none beyond what it holds."""
    shares = list(least)
    for _ in range(room - sum(least)):
        growing = [k for k, share in enumerate(shares) if share < most[k]]
        if not growing:
            break
        shares[min(growing, key=shares.__getitem__)] += 1
    return shares


def _stacked(table: Table) -> Iterator[RenderableType]:
    yield f"{table.title}"
    for first, *cells in zip(*(column.cells for column in table.columns), strict=True):
        told = (_named(column, str(cell)) for column, cell in zip(table.columns[1:], cells, strict=True) if cell)
        yield Padding(str(first), (0, 0, 0, 2))
        yield Padding("; ".join(told), (0, 0, 0, 4))


def _named(column: Column, cell: str) -> str:
    return f"{column.header} {cell}" if column.header else cell
