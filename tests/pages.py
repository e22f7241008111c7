"""The pages and schemas of the reference, made by the program: ``python -m tests.pages`` writes them anew."""

from __future__ import annotations

import json
from pathlib import Path

from optimiser.cli import main
from optimiser.cli.reference import option_tables
from optimiser.reference import PAGES, all_tables, filled, schemas

SCHEMAS = PAGES.parent / "schemas"


def pages() -> dict[Path, str]:
    """File -> content: the hand-written words of each page with its tables made anew, and every schema."""
    known = all_tables() | option_tables(main)
    found = {path: filled(path.read_text(encoding="utf-8"), known) for path in PAGES.glob("*.md")}
    made = {SCHEMAS / name: json.dumps(schema) + "\n" for name, schema in schemas().items()}
    return found | made


if __name__ == "__main__":
    SCHEMAS.mkdir(exist_ok=True)
    for path, content in pages().items():
        path.write_text(content, encoding="utf-8")
