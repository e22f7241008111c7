"""The catalogue as a list: a class of parts, those that pass some tests, some of its columns."""

import operator
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from optimiser.catalogue import Catalogue
from optimiser.parts import PARTS, Part
from optimiser.pipeline.inputs import Unusable, catalogue_folders
from optimiser.reading import read_catalogue
from optimiser.reading.wording import among

_TESTS: dict[str, Callable[[Any, Any], bool]] = {
    ">=": operator.ge, "<=": operator.le, "!=": operator.ne, "=": operator.eq, ">": operator.gt, "<": operator.lt,
}  # fmt: skip
_TEST = re.compile(r"(?P<column>\w+)(?P<test>>=|<=|!=|=|>|<)(?P<value>.+)")
_YES_NO = {"yes": True, "no": False}


@dataclass(frozen=True)
class Listed:
    """Rows of a class of parts."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]
    names: frozenset[str]  # of the parts


def read_parts(catalogues: Sequence[str]) -> Catalogue:
    """The catalogue of these folders, the shipped one if none is named.

    Raises
    ------
    CaseProblems
        With every problem of every file.
    """
    return read_catalogue(*catalogue_folders(catalogues))


def list_parts(catalogue: Catalogue, kind: str, wanted: Iterable[str], shown: str | None) -> Listed:
    """Parts of a class that pass every test (``watt_w>=200``), in the catalogue's order.

    Raises
    ------
    Unusable
        If there is no such class or column, or a test cannot be read.
    """
    if kind not in PARTS:
        raise Unusable(f"{kind}: no such class of parts; expected {among(kind, PARTS)}")
    known = tuple(PARTS[kind].model_fields)
    columns = tuple(shown.split(",")) if shown else known
    for column in columns:
        _check(column, known)
    tests = [_test(text, known) for text in wanted]
    rows = [part for part in catalogue.of(kind).values() if all(test(part) for test in tests)]
    cells = tuple(tuple(_plain(getattr(part, column)) for column in columns) for part in rows)
    return Listed(columns, cells, frozenset(part.name for part in rows))


def _test(text: str, known: Sequence[str]) -> Callable[[Part], bool]:
    found = _TEST.fullmatch(text)
    if not found:
        raise Unusable(f"{text!r} is no test; expected as watt_w>=200 or kind=rigid")
    column, test, value = found["column"], _TESTS[found["test"]], found["value"]
    _check(column, known)

    def passes(part: Part) -> bool:
        here = getattr(part, column)
        if isinstance(here, bool):
            return test(here, _YES_NO.get(value))
        if isinstance(here, int | float):
            return test(here, _number(text, value))
        return test(str(_plain(here)), value)

    return passes


def _number(text: str, value: str) -> float:
    try:
        return float(value)
    except ValueError:
        raise Unusable(f"{text!r}: {value!r} is not a number; expected one, since that column holds them") from None


def _check(column: str, known: Sequence[str]) -> None:
    if column not in known:
        raise Unusable(f"{column}: no such column; expected {among(column, known)}")


def _plain(value: Any) -> Any:
    """As it stands in the file."""
    return " ".join(map(str, value)) if isinstance(value, tuple) else value
