"""Tables of the JSON that commands print."""

from pydantic import TypeAdapter

from optimiser.printing.objects import OBJECTS
from optimiser.reference.columns import Columns


def object_tables() -> dict[str, Columns]:
    """``JSON of COMMAND`` -> its keys and what they mean."""
    found = {}
    for command, kind in OBJECTS.items():
        schema = TypeAdapter(kind).json_schema(mode="serialization")
        rows = tuple((key, _means(field)) for key, field in schema["properties"].items())
        found[f"JSON of {command}"] = Columns(("key", "meaning"), rows)
    return found


def _means(field: dict[str, object]) -> str:
    said = str(field.get("description", ""))
    options = field.get("enum")
    words = ", ".join(map(str, options)) if isinstance(options, list) else str(field.get("const", ""))
    return "; ".join(filter(None, (said, words)))
