"""Addresses: which value of a case or catalogue is meant, and the nearest one where none is.

``table.row.column`` with the table in the singular; ``limits.column`` and the like where a table has one row;
``part.NAME.column`` for one part, ``regulators.column`` for all parts of a catalogue file. So of a load with several
spans ``load_span.NAME.NUMBER.column`` is one span's, and ``load.NAME.duty_pct`` that of all of them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import get_args, get_origin

from pydantic import BaseModel

from optimiser.case import SPAN_COLUMNS, Board, Brief, CableOpening, Case, Table
from optimiser.case import TABLES as CASE_TABLES
from optimiser.catalogue import Catalogue
from optimiser.moves.move import MoveProblem
from optimiser.moves.values import shown_all
from optimiser.parts import PARTS
from optimiser.reading.wording import Schema, among, nearest, single, unknown_field

SPAN = "load_span"
"""Table in an address of what each row of a load with several has of its own: ``load_span.NAME.NUMBER.column``."""

_APART = ("node_positions", "climate")  # for drawings, and for the year run: to move one changes no build
_FILES = {several.removesuffix("s"): several for several in CASE_TABLES if several not in _APART}
ROWS = {"load": "loads", SPAN: "load_spans"} | _FILES
"""Table in an address -> table of the case."""

ITEMS = {"circuit": "circuits", "pass_through": "pass_throughs", "together": "together", "dc_circuit": "dc_circuits"}
"""Table in an address -> list in case.toml."""


def _is_table(annotation: object) -> bool:
    kinds = (annotation, *get_args(annotation)) if get_origin(annotation) is not tuple else ()
    return any(isinstance(kind, type) and issubclass(kind, Table) for kind in kinds)


ONES = tuple(name for name, field in Brief.model_fields.items() if _is_table(field.annotation))
"""Tables of case.toml with one row; some may be missing."""

TABLES = (*ROWS, *ITEMS, *ONES, "case", "rule", "part", *PARTS)

# What a row is and what it is called by, and what its fuse is made for: to change these is another survey or part.
_FIXED = frozenset({"name", "kind", "bay", "way", "family", "holder", "load", "number"})


_BY_SPAN = frozenset(SPAN_COLUMNS) - {"duty_pct"}  # moved for one span of a load at a time


@dataclass(frozen=True)
class Spot:
    """Where a value stands. ``row`` is empty where the table has one row, or all of its rows are meant."""

    table: str
    row: str
    column: str

    @property
    def address(self) -> str:
        """Written out in full."""
        return ".".join(step for step in (self.table, self.row, self.column) if step)


def row_name(row: BaseModel) -> str:
    """What a row is called in addresses."""
    name = row.place if isinstance(row, Board | CableOpening) else getattr(row, "name")  # noqa: B009 (every row has one)
    return str(name)


@cache
def schemas(kind: type[BaseModel]) -> Mapping[str, Schema]:
    """Column -> what it takes."""
    schema = kind.model_json_schema()
    defs = schema.get("$defs", {})
    return {name: single(field, defs) for name, field in schema["properties"].items()}


def find(case: Case, catalogue: Catalogue, address: str) -> Spot:
    """The value an address means.

    Raises
    ------
    MoveProblem
        If there is none, or more than one.
    """
    table, dot, rest = address.partition(".")
    if not dot:
        return _bare(case, address)
    if table not in TABLES:
        named = (f"{one}.{table}.{rest}" for one in (*ROWS, *ITEMS) if table in rows_of(case, one))
        several = (one for one, name in (ROWS | ITEMS).items() if name == table)
        close = next(several, "") or next(named, "") or nearest(table, TABLES)
        raise MoveProblem(f"{address}: no table {table!r}; expected {close or 'one of ' + ', '.join(TABLES)}")
    if table == "rule":
        return _rule(case, address, rest)
    row, _, column = rest.rpartition(".")  # names of boards and parts may hold a dot
    holders = _holders(case, catalogue, table)
    if holders is None:
        raise MoveProblem(f"{address}: the case has no [{table}]; expected one of {', '.join(_present(case))}")
    if table in ROWS or table in ITEMS or table == "part":
        if not row:
            shape = {"board": "BAY.NAME", "cable_opening": "BAY.WAY", SPAN: "NAME.NUMBER"}.get(table, "NAME")
            raise MoveProblem(f"{address}: names no {table}; expected {table}.{shape}.column")
        _check_span(case, address, table, row, column)
        if row not in holders:
            raise MoveProblem(f"{address}: no {table} {row!r}; expected {among(row, holders)}")
    elif row:
        raise MoveProblem(f"{address}: no column {rest!r}; expected {table}.column")
    kinds = {type(holder) for name, holder in holders.items() if name == row or not row}
    if not kinds:
        raise MoveProblem(f"{address}: the catalogue has no {table}; expected a file with parts in it")
    _check_column(address, column, kinds.pop())
    return Spot(table, row, column)


def _check_span(case: Case, address: str, table: str, row: str, column: str) -> None:
    """A load has its hours in one place: in its one row, or in each of several, where only the duty moves as one."""
    load = row.partition(".")[0]
    if table == SPAN and load in rows_of(case, "load") and load not in case.spans_of:
        raise MoveProblem(f"{address}: load {load!r} has one span; expected load.{load}.{column}")
    if table == "load" and column in _BY_SPAN and row in case.spans_of:
        each = ", ".join(Spot(SPAN, span.name, column).address for span in case.spans_of[row])
        raise MoveProblem(f"{address}: load {row!r} has several spans; expected one of {each}")


def of_load_row(case: Case, place: int, column: str) -> str:
    """The address of a column of a row of loads.csv, by its place among all of them."""
    name = case.load_rows[place].name
    if name in case.spans_of and column in SPAN_COLUMNS:
        before = sum(row.name == name for row in case.load_rows[:place])
        return Spot(SPAN, case.spans_of[name][before].name, column).address
    return Spot("load", name, column).address


def rows_of(case: Case, table: str) -> dict[str, BaseModel]:
    """Name -> row of a table of the case that has several."""
    if table == SPAN:
        return {span.name: span for spans in case.spans_of.values() for span in spans}
    rows: Iterable[BaseModel] = getattr(case, ROWS[table]) if table in ROWS else getattr(case.brief, ITEMS[table])
    return {row_name(row): row for row in rows}


def _holders(case: Case, catalogue: Catalogue, table: str) -> Mapping[str, BaseModel] | None:
    """Name -> what has the columns of a table; None where the case does not have the table."""
    if table in ROWS or table in ITEMS:
        return rows_of(case, table)
    if table == "part":
        return {name: part for parts in catalogue.tables.values() for name, part in parts.items()}
    if table in PARTS:
        return catalogue.of(table)
    one = case.brief if table == "case" else getattr(case.brief, table)
    return None if one is None else {"": one}


def addresses(case: Case) -> list[tuple[str, str]]:
    """Every address of brief and survey, with its value as it is written; those of catalogue and rules go without."""
    found = []
    for table in (*ROWS, *ITEMS, "case", *_present(case)):
        holders = rows_of(case, table) if table in ROWS or table in ITEMS else {"": table_of(case, table)}
        for row, holder in holders.items():
            for column in _plain(type(holder)):
                spans = case.spans_of.get(row, ()) if table == "load" and column in SPAN_COLUMNS else ()
                if not (spans and column in _BY_SPAN):
                    value = shown_all([getattr(span, column) for span in spans or (holder,)])
                    found.append((Spot(table, row, column).address, value))
    return found


def table_of(case: Case, table: str) -> BaseModel:
    """A table of case.toml with one row, or all of it."""
    one: BaseModel = case.brief if table == "case" else getattr(case.brief, table)
    return one


def _present(case: Case) -> list[str]:
    return [table for table in ONES if getattr(case.brief, table) is not None]


def _plain(kind: type[BaseModel]) -> list[str]:
    """Columns that hold a value a move may change."""
    return [name for name, schema in schemas(kind).items() if _is_value(schema) and name not in _FIXED]


def _is_value(schema: Schema) -> bool:
    several = schema.get("type") == "array" and "$ref" in schema.get("items", {})
    return schema.get("type") != "object" and "discriminator" not in schema and not several


def _check_column(address: str, column: str, kind: type[BaseModel]) -> None:
    plain = _plain(kind)
    if column in plain:
        return
    if column in _FIXED and column in kind.model_fields:
        raise MoveProblem(f"{address}: {column} says what it is and cannot move; expected one of {', '.join(plain)}")
    if column in kind.model_fields:
        table = next((one for one, several in ITEMS.items() if several == column), column)
        raise MoveProblem(f"{address}: {column} is a table of its own; expected {table}. before its column")
    message, _ = unknown_field(column, plain)
    raise MoveProblem(f"{address}: {message}")


def _rule(case: Case, address: str, figure: str) -> Spot:
    if figure not in case.rules.figures:
        known = among(figure, case.rules.figures)
        raise MoveProblem(f"{address}: no figure {figure!r} in rule set {case.rules.name!r}; expected {known}")
    return Spot("rule", "", figure)


def _bare(case: Case, column: str) -> Spot:
    """A column by itself, of the tables with one row."""
    spots = [Spot("rule", "", figure) for figure in case.rules.figures]
    spots += [Spot("case", "", name) for name in _plain(Brief)]
    spots += [Spot(table, "", name) for table in _present(case) for name in _plain(type(getattr(case.brief, table)))]
    meant = [spot for spot in spots if spot.column == column]
    if len(meant) == 1:
        return meant[0]
    if meant:
        raise MoveProblem(f"{column}: stands in several tables; expected {' or '.join(s.address for s in meant)}")
    if column in TABLES:
        raise MoveProblem(f"{column}: is a table; expected {column}. before a name or a column, as bay.NAME.width_mm")
    close = nearest(column, {spot.column for spot in spots})
    wanted = close or f"table.row.column, as bay.left_seat.width_mm; tables are {', '.join(TABLES)}"
    raise MoveProblem(f"{column}: no such value; expected {wanted}")
