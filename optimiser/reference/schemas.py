"""JSON Schemas (draft 2020-12) of what is read and written: the brief, the tables, a build, every ``--json``."""

from typing import Any

from pydantic import BaseModel, TypeAdapter

from optimiser.builds import Build
from optimiser.case import TABLES, Brief
from optimiser.parts import PARTS
from optimiser.printing.objects import OBJECTS
from optimiser.rules import Edition

_DRAFT = "https://json-schema.org/draft/2020-12/schema"


def schemas() -> dict[str, dict[str, Any]]:
    """File name -> schema. A table's is that of one row, with its numbers as numbers and yes or no as true or false."""
    models: dict[str, type[BaseModel]] = {"case": Brief, **TABLES, **PARTS, "editions": Edition}
    found = {name: model.model_json_schema() for name, model in models.items()}
    found["build"] = TypeAdapter(Build).json_schema()
    for command, kind in OBJECTS.items():
        found[f"json-{command.replace(' --', '-')}"] = TypeAdapter(kind).json_schema(mode="serialization")
    return {f"{name}.schema.json": {"$schema": _DRAFT, **schema} for name, schema in found.items()}
