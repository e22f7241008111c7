"""The reference: every file, column, requirement and key, from the code that reads, checks and prints them.

Its pages ship with the program. The tables in them are made, never written: see `filled`.
"""

import re
from collections.abc import Mapping
from pathlib import Path

from optimiser.reference.columns import Columns, tables
from optimiser.reference.objects import object_tables
from optimiser.reference.schemas import schemas

PAGES = Path(__file__).parent / "pages"
_TABLE = re.compile(r"(<!-- table: (?P<name>.+?) -->\n).*?(?=<!-- end -->)", re.DOTALL)


def all_tables() -> dict[str, Columns]:
    """Name -> table, of files, requirements and the JSON of each command."""
    return tables() | object_tables()


def page(name: str) -> str:
    """A page as it ships."""
    return (PAGES / f"{name}.md").read_text(encoding="utf-8")


def filled(text: str, known: Mapping[str, Columns]) -> str:
    """The page with its tables made anew, between their marks.

    Raises
    ------
    KeyError
        If there is no such table.
    """
    return _TABLE.sub(lambda found: f"{found[1]}{known[found['name']].markdown()}\n", text)
