"""What was read of a case folder, for checks across its files."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from pydantic import BaseModel

from optimiser.case import Brief
from optimiser.catalogue import Catalogue
from optimiser.connections import POINTS
from optimiser.reading.brief import FILE, BriefText, dotted
from optimiser.reading.problems import Gathered
from optimiser.reading.sheets import Sheet

T = TypeVar("T", bound=BaseModel)


@dataclass(frozen=True)
class Survey:
    """Brief and tables as far as they could be read. ``catalogue`` is None where it has problems of its own."""

    text: BriefText
    sheets: dict[str, Sheet[Any]]
    catalogue: Catalogue | None
    problems: Gathered

    @property
    def brief(self) -> Brief | None:
        """The brief, None where something in it is wrong."""
        return self.text.value

    def rows(self, key: str, kind: type[T]) -> Iterator[tuple[int, T]]:
        """Line and row of the rows of a table that are well in themselves."""
        for line, row in self.sheets[key].good:
            if isinstance(row, kind):
                yield line, row

    def cells(self, key: str, column: str) -> list[tuple[int, str]] | None:
        """Line and cell of a column, of faulty rows too; None where it could not be read."""
        return self.sheets[key].column(column)

    def names(self, key: str, column: str = "name") -> set[str] | None:
        """What stands in a column; None where it could not be read."""
        cells = self.cells(key, column)
        return None if cells is None else {cell for _, cell in cells if cell}

    def note(self, key: str, line: int, column: str, message: str) -> None:
        """A problem in a table."""
        self.problems.add(self.sheets[key].file, line, column, message)

    def note_brief(self, path: tuple[str | int, ...], message: str) -> None:
        """A problem in case.toml."""
        self.problems.add(FILE, self.text.line(*path), dotted(path), message)


def points(brief: Brief) -> dict[tuple[str | int, ...], str]:
    """Key of case.toml -> the node of the ways that it names."""
    found: dict[tuple[str | int, ...], str] = {("dc_panel_point",): brief.dc_panel_point}
    for name in POINTS:
        if table := getattr(brief, name):
            found[name, "point"] = table.point
    for number, entry in enumerate(brief.pass_throughs):
        found["pass_throughs", number, "point"] = entry.point
    for number, outlet in enumerate(brief.circuits):
        if outlet.point and not outlet.wired:
            found["circuits", number, "point"] = outlet.point
    for number, circuit in enumerate(brief.dc_circuits):
        if circuit.point and not circuit.wired:
            found["dc_circuits", number, "point"] = circuit.point
    return found
