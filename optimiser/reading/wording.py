"""What a field expects, in words, read off the JSON schema of its type."""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

from optimiser.older import NOW
from optimiser.quantities import YEAR_MONTH

Schema = dict[str, Any]

# Endings that name a unit: ours, and those people write instead.
_UNITS = frozenset(
    (
        "mm", "cm", "m", "in", "inch", "ft", "mm2", "cm2", "m2", "l", "kg", "g", "lb", "w", "kw",
        "v", "mv", "a", "ma", "ah", "wh", "kwh", "h", "min", "s", "c", "f", "k", "pct", "deg", "rad", "mohm", "ohm",
    )
)  # fmt: skip


def single(schema: Schema, defs: Schema) -> Schema:
    """The schema behind references and "or nothing"."""
    while True:
        if "$ref" in schema:
            schema = defs[schema["$ref"].rpartition("/")[2]]
        elif "anyOf" in schema:
            schema = next(option for option in schema["anyOf"] if option.get("type") != "null")
        else:
            return schema


def expected(schema: Schema) -> str:
    """What the field takes: ``a whole number above 0``, ``one of floor, wall``."""
    if "enum" in schema or "const" in schema:
        options = [str(option) for option in schema.get("enum", [schema.get("const")])]
        return options[0] if len(options) == 1 else f"one of {', '.join(options)}"
    kind = schema.get("type")
    if kind in ("integer", "number"):
        return ("a whole number" if kind == "integer" else "a number") + _range(schema)
    if kind == "boolean":
        return "yes or no"
    if kind == "array":
        return expected(schema["items"])
    if kind == "object":
        return "a table with its keys"
    if schema.get("format") == YEAR_MONTH:
        return "a year and a month as 2026-03"
    if "pattern" in schema:
        mark = "_" if "_" in schema["pattern"] else ". or -"
        return f"a name of lower-case letters, digits and {mark}{_most(schema)}"
    return f"text{_most(schema)}"


def _most(schema: Schema) -> str:
    return f", at most {schema['maxLength']} letters" if "maxLength" in schema else ""


def _range(schema: Schema) -> str:
    low, above = schema.get("minimum"), schema.get("exclusiveMinimum")
    high, below = schema.get("maximum"), schema.get("exclusiveMaximum")
    if low is not None and high is not None:
        return f" from {low:.12g} to {high:.12g}"
    ends = []
    if low is not None:
        ends.append(f"of at least {low:.12g}")
    if above is not None:
        ends.append(f"above {above:.12g}")
    if high is not None:
        ends.append(f"at most {high:.12g}")
    if below is not None:
        ends.append(f"below {below:.12g}")
    return f" {' and '.join(ends)}" if ends else ""


def nearest(word: str, options: Iterable[str]) -> str:
    """The option that ``word`` was a name of, or is most like, or an empty string."""
    options = sorted(options)
    if (now := NOW.get(word)) in options:
        return now
    return next(iter(get_close_matches(word, options, n=1, cutoff=0.65)), "")


def among(word: str, options: Iterable[str]) -> str:
    """Words for "one of these", the nearest first where one is near."""
    known = sorted(options)
    if not known:
        return "nothing: there is none"
    close = nearest(word, known)
    others = ", ".join(option for option in known if option != close)
    return f"{close}, or one of {others}" if close and others else close or others


def unknown_field(word: str, fields: Iterable[str]) -> tuple[str, str]:
    """The message for an unknown column or key, and the field it was meant to be (or an empty string)."""
    known = list(fields)
    stem, _, unit = word.rpartition("_")
    for field in known:
        field_stem, _, field_unit = field.rpartition("_")
        if field_unit not in _UNITS:
            continue
        if unit in _UNITS and stem == field_stem:
            return f"wrong unit {unit} in {word!r}; expected {field_unit}: {field}", field
        if word == field_stem and word not in known:
            return f"no unit in {word!r}; expected {field_unit}: {field}", field
    close = nearest(word, known)
    return f"unknown {word!r}; expected {close or 'one of ' + ', '.join(known)}", close
