"""Looking things up: what the catalogue holds, and what every file, column, requirement and key means."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rich.console import RenderableType

from optimiser import pipeline, printing
from optimiser.checking.odd_values import odd_catalogue, odd_parts
from optimiser.library.results import Result
from optimiser.printing.wording import table
from optimiser.reading.wording import among
from optimiser.reference import PAGES, all_tables, page, schemas


@dataclass(frozen=True)
class Names(Result):
    """What there is, by kind."""

    names: dict[str, Any]
    below: tuple[str, ...] = ()

    def sheet(self) -> Sequence[RenderableType]:
        named = (f"{kind}: {', '.join(of) if isinstance(of, list) else of}" for kind, of in self.names.items())
        return [*named, *self.below]

    def object(self) -> Any:
        return self.names


@dataclass(frozen=True)
class Page(Result):
    """A page of the reference or a schema, as it is written."""

    written: str
    schema: Any = None

    def text(self, width: int = printing.WIDTH) -> str:
        return self.written

    def sheet(self) -> Sequence[RenderableType]:
        return [self.written]

    def object(self) -> Any:
        return self.schema or self.written


@dataclass(frozen=True)
class Listed(Result):
    """A table, and lines below it."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]
    below: tuple[str, ...] = ()

    def sheet(self) -> Sequence[RenderableType]:
        made = table(self.title, *self.columns)
        for row in self.rows:
            made.add_row(*map(str, row))
        return [made, *self.below]

    def object(self) -> Any:
        return [dict(zip(self.columns, row, strict=True)) for row in self.rows]


@dataclass(frozen=True)
class Beside(pipeline.SideBySide, Result):
    """Rule sets side by side."""

    def sheet(self) -> Sequence[RenderableType]:
        return printing.rule_sets_sheet(self)

    def object(self) -> Any:
        return printing.rule_sets_object(self)


def look_up(name: str | None = None) -> Result:
    """A page, a table or a schema of the reference; what there is of each if no name is given.

    Raises
    ------
    Unusable
        If there is none of that name.
    """
    known, tables, made = sorted(path.stem for path in PAGES.glob("*.md")), all_tables(), schemas()
    if name is None:
        return Names({"pages": known, "tables": [*tables], "schemas": [*made]})
    if name in known:
        return Page(page(name))
    if name in made:
        return Page(json.dumps(made[name], indent=1) + "\n", made[name])
    if name in tables:
        return Listed(name, tables[name].heads, tables[name].rows)
    raise pipeline.Unusable(f"{name}: no such page or table; expected {among(name, [*known, *tables, *made])}")


def list_parts(
    kind: str | None = None, where: Sequence[str] = (), columns: str | None = None, catalogue: Sequence[str] = ()
) -> Result:
    """Parts of a class with what its columns mean and what is odd of them; how many of each if no class is given.

    Parameters
    ----------
    where : Only rows that pass each: ``watt_w>=200``, ``kind=rigid``.
    columns : Only these, with commas between.
    catalogue : As of `read`.

    Raises
    ------
    Unusable
        If there is no such class or column, or a test cannot be read.
    CaseProblems
        With every problem of the catalogue.
    """
    read = pipeline.read_parts(catalogue)
    if kind is None:
        odd = tuple(f"Warning: {place}: {text}" for place, text in odd_catalogue(read))
        return Names({key: len(rows) for key, rows in read.tables.items()}, odd)
    listed, tables = pipeline.list_parts(read, kind, where, columns), all_tables()
    means = {row[0]: row[3] for name in ("every part", "every body", kind) for row in tables[name].rows}
    meant = (f"{column}: {means[column]}" for column in listed.columns)
    about = (f"Warning: {name}: {text}" for name, text in odd_parts(read) if name in listed.names)
    return Listed(kind, listed.columns, listed.rows, (*meant, *about))


def list_rules(name: str | None = None, differs: bool = False, catalogue: Sequence[str] = ()) -> Beside:
    """All rule sets of the catalogue side by side, or the one of that name, with what differs from the default.

    Parameters
    ----------
    differs : Only figures that differ from the default's, in value or in source.
    catalogue : As of `read`.

    Raises
    ------
    Unusable
        If there is none of that name.
    CaseProblems
        With every problem of the catalogue.
    """
    found = pipeline.side_by_side(pipeline.read_parts(catalogue), name, differs)
    return Beside(found.base, found.rule_sets, found.figures, found.alone)
