"""Helpers of the reading tests: change a file, see what reading complains of."""

from collections.abc import Callable
from pathlib import Path

import pytest

from optimiser.reading import CaseProblems, Problem


def problems_of(read: Callable[[], object]) -> tuple[Problem, ...]:
    """What reading complains of."""
    with pytest.raises(CaseProblems) as caught:
        read()
    return caught.value.problems


def change(path: Path, old: str, new: str) -> str:
    """Change one place of a file; the new text."""
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} should stand once in {path.name}"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return text.replace(old, new)


def line_of(text: str, piece: str) -> int:
    """The line a text editor shows for the first place of ``piece``."""
    return text[: text.index(piece)].count("\n") + 1


def loosen(folder: Path) -> None:
    """A case folder as one is that says nothing of where boards and openings are in their bays."""
    path = folder / "boards.csv"
    lines = path.read_text(encoding="utf-8").split("\n")
    kept = [line if line.startswith("#") or not line else ",".join(line.split(",")[:-3]) for line in lines]
    path.write_text("\n".join(kept), encoding="utf-8")
    (folder / "cable_openings.csv").unlink()
