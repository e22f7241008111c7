"""The value a change makes of another, within what its type allows."""

from collections.abc import Sequence
from decimal import Decimal
from math import inf

from optimiser.moves.move import Move, MoveProblem, number
from optimiser.reading.wording import Schema, expected
from optimiser.rules import KNOWN

Value = bool | int | float | str | tuple[str | int, ...] | None

NOTHING = "nothing"  # of a list, or of a value that is left out
_YES_NO = {"yes": True, "no": False}

# Columns of parts (and starts of loads) where 0 says that there is no such thing: a little more than none is
# not a small change, so a relative one leaves it alone.
NONE_AT_ZERO = frozenset(
    [
        *("terminal_mm2", "bend_radius_mm", "charge_a", "transfer_a", "section_mm2", "ampacity_a", "surge_w"),
        *("solar_v_max", "solar_isc_max_a", "solar_out_a", "solar_start_above_v", "solar_over_panel_ratio"),
        *("free_area_cm2", "flow_m3_h", "breaking_12v_a", "breaking_24v_a", "breaking_48v_a", "duct_ampacity_a"),
    ]
)


def shown(value: Value) -> str:
    """A value as it is written in a case folder."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{Decimal(str(value)):f}".removesuffix(".0")
    return (" ".join(map(str, value)) or NOTHING) if isinstance(value, tuple) else str(value)


def shown_all(several: Sequence[Value]) -> str:
    """The values of a column, the least and the most of them where they differ."""
    numbers = [v for v in several if isinstance(v, (int, float)) and not isinstance(v, bool)]
    if len(numbers) == len(several):
        low, high = shown(min(numbers)), shown(max(numbers))
        return low if low == high else f"{low} to {high}"
    return ", ".join(dict.fromkeys(map(shown, several)))


def changed(schema: Schema, old: Value, move: Move) -> Value:
    """What the change makes of the value. Its range is not looked at.

    Raises
    ------
    MoveProblem
        If the change is not of the value's kind, or cannot be added to it.
    """
    if not move.relative:
        return _absolute(schema, move)
    step = number(move.change)
    if schema.get("type") not in ("integer", "number") or "enum" in schema or step is None:
        what = f"{move.change!r} cannot be added to {shown(old)!r}" if step is not None else f"{move.change!r} is not"
        what += " a number" if step is None else ""
        raise MoveProblem(f"{move}: {what}; expected {expected(schema)}")
    if not isinstance(old, (int, float)):
        raise MoveProblem(f"{move}: nothing there to add to; expected a value, as {move.address}=100")
    new = Decimal(str(old)) + step
    if schema["type"] == "integer" and new != int(new):
        raise MoveProblem(f"{move}: {new:f} is not a whole number; expected {expected(schema)}")
    return int(new) if schema["type"] == "integer" else float(new)


def range_of(schema: Schema, column: str, move: Move) -> Schema:
    """The schema a new value is held to: no step takes away what a column says is there."""
    if move.relative and column in NONE_AT_ZERO:
        return {key: value for key, value in schema.items() if key != "minimum"} | {"exclusiveMinimum": 0}
    return schema


def allows(schema: Schema, value: Value) -> bool:
    """Whether a number is within the range of a schema."""
    return not isinstance(value, (int, float)) or (
        schema.get("exclusiveMinimum", -inf) < value < schema.get("exclusiveMaximum", inf)
        and schema.get("minimum", -inf) <= value <= schema.get("maximum", inf)
    )


def at_end(schema: Schema, old: Value, new: Value) -> Value:
    """``new``, or the end of its range if it lies beyond, or ``old`` where the range has no last value."""
    if allows(schema, new) or not isinstance(new, (int, float)):
        return new
    below = new < schema.get("minimum", -inf) or new <= schema.get("exclusiveMinimum", -inf)
    end = schema.get("minimum" if below else "maximum")
    return old if end is None else type(new)(end)


def _absolute(schema: Schema, move: Move) -> Value:
    text, kind = move.value, schema.get("type", "")
    if kind == "array":
        whole = schema["items"].get("type") == "integer"
        words = [] if text == NOTHING else text.split()
        return tuple(int(word) for word in words) if whole and all(w.isdecimal() for w in words) else tuple(words)
    if kind == "boolean":
        if text not in _YES_NO:
            raise MoveProblem(f"{move}: {text!r} is not yes or no; expected one of them")
        return _YES_NO[text]
    if kind not in ("integer", "number"):
        return text
    value = number(text)
    if value is None or (kind == "integer" and value != int(value)):
        what = "a plain number" if kind == "number" else "a whole number"
        raise MoveProblem(f"{move}: {text!r} is not {what}; expected {expected(schema)}")
    return int(value) if kind == "integer" else float(value)


# --- figures of a rule set ---------------------------------------------------------------------------


def figure_changed(figure: str, old: float, move: Move) -> tuple[Value, Value]:
    """A figure of the rule set before and after; yes or no where that is what it says.

    Raises
    ------
    MoveProblem
        If it cannot have that value.
    """
    schema: Schema = KNOWN[figure].adapter.json_schema()
    before: Value = {"boolean": bool, "integer": int, "number": float}[schema["type"]](old)
    after = changed(schema, before, move)
    if not allows(schema, after):
        raise refused(move, schema, after)
    return before, after


def refused(move: Move, schema: Schema, new: Value) -> MoveProblem:
    """The problem of a value outside its range."""
    return MoveProblem(f"{move}: {shown(new)!r} is not allowed; expected {expected(schema)}")
