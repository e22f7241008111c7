"""Tables of the JSON that commands print."""

from typing import Any

from pydantic import TypeAdapter

from optimiser.printing.objects import OBJECTS
from optimiser.printing.objects_built import FindingObject
from optimiser.reference.columns import Columns, keys

_APART = frozenset({"FindingObject", "Build", "Way", "Existing"})  # have tables of their own


def object_tables() -> dict[str, Columns]:
    """``JSON of COMMAND`` -> its keys and what they mean."""
    found = {f"JSON of {command}": keys(_schema(kind), _APART) for command, kind in OBJECTS.items()}
    return found | {"JSON of a finding": keys(_schema(FindingObject))}


def _schema(kind: Any) -> dict[str, Any]:
    return TypeAdapter(kind).json_schema(mode="serialization")
