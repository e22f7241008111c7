"""Tables of the reference, made from the types that read the files: what each column takes and means."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, get_args

from pydantic import BaseModel, TypeAdapter

from optimiser.builds import Build
from optimiser.case import TABLES, Brief, Table
from optimiser.parts import PARTS, Body, Part, Wired
from optimiser.reading.wording import expected, single
from optimiser.requirements import REGISTER
from optimiser.rules import KNOWN, Edition


def _tables_in(annotation: Any) -> list[type[Table]]:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return [annotation]
    return [table for part in get_args(annotation) for table in _tables_in(part)]


_OF_BRIEF = {name: _tables_in(field.annotation) for name, field in Brief.model_fields.items()}
BRIEF: dict[str, type[BaseModel]] = {"case.toml": Brief} | {
    name if len(kinds) == 1 else kind.__name__.lower(): kind for name, kinds in _OF_BRIEF.items() for kind in kinds
}
"""What case.toml and its tables are called in the reference; the vehicle's by its kind."""

_LENGTHS = {" from -50000 to 50000": "", " and at most 50000": "", " from 0 to 50000": " of at least 0"}
"""Bounds that the page gives once, for all lengths."""


Row = tuple[str, ...]


@dataclass(frozen=True)
class Columns:
    """A table of the reference: its headers, and its rows."""

    heads: tuple[str, ...]
    rows: tuple[Row, ...]

    def markdown(self) -> str:
        """As a table of a page; the first cell of each row is code."""
        lines = [f"| {' | '.join(self.heads)} |", f"|{'---|' * len(self.heads)}"]
        for row in self.rows:
            first, *rest = (cell.replace("|", "\\|") for cell in row)
            lines.append(f"| {' | '.join([f'`{first}`', *rest])} |")
        return "\n".join(lines)


def tables() -> dict[str, Columns]:
    """Name -> table: files of a case and of a catalogue, figures of a rule set, requirements, a build."""
    found = {name: _of_model(model) for name, model in (BRIEF | TABLES).items()}
    found["every part"] = _of_model(Part)
    found["every body"] = _of_model(Body, without=Part)
    found["every body with power terminals"] = _of_model(Wired, without=Body)
    for key, kind in PARTS.items():
        found[key] = _of_model(kind, without=next(base for base in (Wired, Body, Part) if issubclass(kind, base)))
    found["rule_sets"] = Columns(("figure", "unit", "what it is"), tuple((k, x.unit, x.says) for k, x in KNOWN.items()))
    found["editions"] = _of_model(Edition)
    found["requirements"] = Columns(
        ("requirement", "limit is", "unit", "where it is set", "source"),
        tuple((r.name, r.sense, r.unit, r.limit, r.source) for r in REGISTER.values()),
    )
    found["build file"] = keys(TypeAdapter(Build).json_schema())
    return found


def _of_model(model: type[BaseModel], without: type[BaseModel] | None = None) -> Columns:
    known = without.model_fields if without else {}
    rows = tuple(row for row in _fields(model) if row[0] not in known)
    return Columns(("name", "takes", "if left out", "meaning"), rows)


def _fields(model: type[BaseModel]) -> Iterator[tuple[str, str, str, str]]:
    schema = model.model_json_schema()
    defs = schema.get("$defs", {})
    for name, info in model.model_fields.items():
        behind = single(schema["properties"][name], defs)
        if behind.get("type") == "object" or "discriminator" in schema["properties"][name]:
            continue  # a table of its own
        if "$ref" in behind.get("items", {}):
            continue  # likewise, [[several]]
        takes = re.sub("^a name of.*", "a name", expected(behind))
        for whole, short in _LENGTHS.items():
            takes = takes.replace(whole, short)
        yield name, takes, "needed" if info.is_required() else _default(info.default), info.description or ""


def _default(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return " ".join(map(str, value))
    return "" if value in (None, "") else f"{value}"


def keys(schema: dict[str, Any], apart: frozenset[str] = frozenset()) -> Columns:
    """Each key, and those of what is in it below it, but of types that are told ``apart``."""
    return Columns(("key", "meaning"), tuple(_keys(schema, schema.get("$defs", {}), apart)))


def _keys(schema: dict[str, Any], defs: dict[str, Any], apart: frozenset[str], above: str = "") -> Iterator[Row]:
    for key, field in schema["properties"].items():
        behind = next((some for some in field.get("anyOf", ()) if some != {"type": "null"}), field)
        kind = behind.get("items", behind).get("$ref", "").rpartition("/")[2]
        yield f"{above}{key}", _means(field)
        if kind and kind not in apart:
            yield from _keys(defs[kind], defs, apart, f"{above}{key}.")


def _means(field: dict[str, Any]) -> str:
    """In words, with the values it may have."""
    values = field.get("enum", [field["const"]] if "const" in field else [])
    return "; ".join(filter(None, (field.get("description", ""), ", ".join(map(str, values)))))
