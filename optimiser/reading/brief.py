"""case.toml: from text to the brief, every problem noted with its dotted key and line."""

import json
import math
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from optimiser.case import Brief
from optimiser.quantities import YEAR_MONTH
from optimiser.reading.problems import Gathered
from optimiser.reading.text import read_text
from optimiser.reading.wording import Schema, expected, single, unknown_field
from optimiser.texts import EXPECTED, odd_texts

FILE = "case.toml"

Step = str | int
_HEADER = re.compile(r"\s*(\[\[?)\s*([\w.\- ]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(r"\s*([\w.-]+)\s*=")
_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


@dataclass(frozen=True)
class BriefText:
    """The brief, None where something in it is wrong, the line of each key, and what stands in the file."""

    value: Brief | None
    lines: dict[tuple[Step, ...], int]
    data: dict[str, Any] = field(default_factory=dict)

    def line(self, *path: Step) -> int:
        """Line of a key, or of the table it belongs to; 0 if neither stands in the text."""
        return next((self.lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self.lines), 0)


def read_brief(folder: Path, problems: Gathered) -> BriefText:
    """Read case.toml."""
    try:
        return _read(folder, problems)
    except RecursionError:
        problems.add(FILE, 0, "", "brackets in brackets without end; expected the tables of a case")
        return BriefText(None, {})


def _read(folder: Path, problems: Gathered) -> BriefText:
    text = read_text(folder / FILE, FILE, problems)
    if text is None:
        return BriefText(None, {})
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        _note_malformed(str(error), text, problems)
        return BriefText(None, {})
    except ValueError:
        problems.add(FILE, 0, "", "a number of thousands of digits; expected numbers a person would write")
        return BriefText(None, {})
    brief = BriefText(None, dict(_lines_of_keys(text)), data)
    before = len(problems)
    for path in _not_finite(data):
        problems.add(FILE, brief.line(*path), dotted(path), "not finite; expected a number")
    for path in odd_texts(data):
        problems.add(FILE, brief.line(*path), dotted(path), f"cannot be printed as it is; {EXPECTED}")
    try:
        # Strict JSON takes a list for a tuple and 3 for 3.0, but neither "3" for 3 nor true for 1.
        value = Brief.model_validate_json(json.dumps(data, default=str), strict=True)
    except ValidationError as error:
        _note_all(error, data, brief, problems)
        return brief
    return replace(brief, value=value) if len(problems) == before else brief


def catalogues_named(folder: Path) -> tuple[str, ...]:
    """The catalogues a case is fitted out from, as its brief names them; none where that cannot be read."""
    named = read_brief(folder, Gathered()).data.get("catalogue", ())
    return tuple(name for name in named if isinstance(name, str)) if isinstance(named, list) else ()


def dotted(path: tuple[Step, ...]) -> str:
    """``limits.budget``, ``circuits.2.name``: entries of a list count from 1, as people do."""
    return ".".join(str(step + 1) if isinstance(step, int) else step for step in path)


def _note_malformed(message: str, text: str, problems: Gathered) -> None:
    found = _AT.search(message)
    end = text.count("\n") + 1
    line, column = (found[1] or end, found[2] or "") if found else (0, "")
    problems.add(FILE, int(line), column, f"{_AT.sub('', message)}; expected a key = value or a [table] there")


def _lines_of_keys(text: str) -> Iterator[tuple[tuple[Step, ...], int]]:
    """Path -> line of each table header and key. Keys of tables written in one line have none of their own."""
    table: tuple[Step, ...] = ()
    counts: dict[tuple[Step, ...], int] = {}
    for number, line in enumerate(text.split("\n"), start=1):
        if header := _HEADER.match(line):
            table = tuple(step.strip() for step in header[2].split("."))
            if header[1] == "[[":
                entry = counts.get(table, 0)
                counts[table] = entry + 1
                table = (*table, entry)
            yield table, number
        elif key := _KEY.match(line):
            yield (*table, *key[1].split(".")), number


def _not_finite(data: Any, path: tuple[Step, ...] = ()) -> Iterator[tuple[Step, ...]]:
    if isinstance(data, float) and not math.isfinite(data):
        yield path
    elif isinstance(data, dict | list):
        for step, item in data.items() if isinstance(data, dict) else enumerate(data):
            yield from _not_finite(item, (*path, step))


def _note_all(error: ValidationError, data: Any, brief: BriefText, problems: Gathered) -> None:
    """Note the complaints of the type check. A key that was misspelt is not missing as well."""
    meant: set[tuple[Step, ...]] = set()
    for item in error.errors():
        if item["type"] == "extra_forbidden":
            path, _, _, siblings = _follow(item["loc"], data)
            message, close = unknown_field(str(path[-1]), siblings)
            problems.add(FILE, brief.line(*path), dotted(path), message)
            meant.add((*path[:-1], close))
    for item in error.errors():
        if item["type"] != "extra_forbidden" and _follow(item["loc"], data)[0] not in meant:
            _note(item["type"], item["loc"], data, brief, problems)


def _note(kind: str, loc: tuple[Step, ...], data: Any, brief: BriefText, problems: Gathered) -> None:
    """One complaint about the value of a key, in the words of the file."""
    path, value, schema, _ = _follow(loc, data)
    if kind.startswith("union_tag"):
        path, value = (*path, "kind"), value.get("kind") if isinstance(value, dict) else None
        kind = "missing" if value is None else kind
        schema = {"enum": sorted(schema["discriminator"]["mapping"])}
    if kind == "missing":
        message = f"missing key; expected {expected(schema)}"
    elif isinstance(value, float) and not math.isfinite(value):
        return  # noted already
    else:
        plain = isinstance(value, str | int | float)
        shown = str(value) if isinstance(value, date) else repr(value if plain else type(value).__name__)
        message = f"{shown} is not allowed; expected {expected(schema)}"
        if schema.get("format") == YEAR_MONTH and not isinstance(value, str):
            message += ", in quotes"  # a date of TOML has a day too
    problems.add(FILE, brief.line(*path), dotted(path), message)


@cache
def _whole_schema() -> Schema:
    return Brief.model_json_schema()


def _follow(loc: tuple[Step, ...], data: Any) -> tuple[tuple[Step, ...], Any, Schema, list[str]]:
    """Walk data and schema along a location: path in the file, value there, its schema, keys of its table."""
    root = _whole_schema()
    schema: Schema = root
    path: list[Step] = []
    siblings: list[str] = []
    for step in loc:
        if "discriminator" in schema and step in schema["discriminator"]["mapping"]:
            schema = single({"$ref": schema["discriminator"]["mapping"][step]}, root["$defs"])
            continue  # the kind of vehicle, which is not a step in the file
        path.append(step)
        siblings = list(schema.get("properties", {}))
        below = schema["items"] if isinstance(step, int) else schema.get("properties", {}).get(step, {})
        schema = single(below, root["$defs"])
        inside = isinstance(data, list) or (isinstance(data, dict) and step in data)
        data = data[step] if inside else None
    return tuple(path), data, schema, siblings
