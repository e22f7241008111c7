"""What is wrong with a case or a catalogue, gathered over all files and raised once."""

import re
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """One thing to put right. ``row`` is the line a text editor shows, 0 for the file as a whole."""

    file: str
    row: int
    column: str  # header of the table, dotted key of case.toml; "" for the row as a whole
    message: str  # what is wrong, with the value; what was expected

    def __str__(self) -> str:
        place = [self.file, *([str(self.row)] if self.row or self.column else []), self.column]
        return f"{':'.join(step for step in place if step)}: {self.message}"


class CaseProblems(Exception):
    """Every problem of every file that was read."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: (problem.file, problem.row)))
        super().__init__("\n".join(str(problem) for problem in self.problems))


_MOST = 60  # letters of a cell, a key or a name that are shown
_LONG = re.compile(rf"'[^']{{{_MOST + 1},}}'")


def _clipped(text: str) -> str:
    return text if len(text) <= _MOST else f"{text[: _MOST - 3]}..."


class Gathered:
    """Problems found so far, and notes of what was read otherwise than it is written."""

    def __init__(self) -> None:
        self._problems: list[Problem] = []
        self.notes: list[str] = []

    def add(self, file: str, row: int, column: str, message: str) -> None:
        """Note a problem and carry on."""
        self._problems.append(Problem(file, row, _clipped(column), _LONG.sub(lambda m: _clipped(m[0]) + "'", message)))

    def note(self, file: str, row: int, column: str, message: str) -> None:
        """Note what is no problem, but worth knowing."""
        self.notes.append(str(Problem(file, row, column, message)))

    def __len__(self) -> int:
        return len(self._problems)

    def sorted(self) -> tuple[Problem, ...]:
        """By file and row."""
        return CaseProblems(self._problems).problems

    def raise_any(self) -> None:
        """Raise what was gathered, if anything was.

        Raises
        ------
        CaseProblems
            With all of it.
        """
        if self._problems:
            raise CaseProblems(self._problems)
