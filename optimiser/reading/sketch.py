"""What can be drawn of a survey, faults and all: a slip of the tape is seen sooner than read."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, TypeAdapter, ValidationError

from optimiser.case import (
    Bay,
    Board,
    CableOpening,
    Case,
    Existing,
    NodePosition,
    Obstacle,
    Outline,
    Trailer,
    Van,
    Way,
    Zone,
)
from optimiser.catalogue import Catalogue
from optimiser.reading.case_folder import case_of, gather_survey
from optimiser.reading.catalogue_folder import gather_catalogue
from optimiser.reading.problems import Gathered, Problem
from optimiser.reading.survey import Survey

T = TypeVar("T", bound=BaseModel)

_VEHICLE: TypeAdapter[Trailer | Van] = TypeAdapter(Trailer | Van)
_DRAWN = {
    "zones": "zone", "obstacles": "obstacle", "bays": "bay", "boards": "board", "ways": "way",
    "existing": "existing", "node_positions": "node", "cable_openings": "opening",
}  # fmt: skip


@dataclass(frozen=True)
class Remark:
    """Something wrong or odd. ``place`` has the kind of thing first: ``bay front_boot``; ``drawn``: it can be seen."""

    place: str
    text: str
    drawn: bool = True


@dataclass(frozen=True)
class Sketch:
    """Brief and survey as far as they could be read. ``case``: all of it, where nothing is wrong."""

    title: str
    vehicle: Trailer | Van | None
    outline: Outline | None
    zones: tuple[Zone, ...]
    obstacles: tuple[Obstacle, ...]
    bays: tuple[Bay, ...]
    boards: tuple[Board, ...]
    ways: tuple[Way, ...]
    node_positions: tuple[NodePosition, ...]
    cable_openings: tuple[CableOpening, ...]
    existing: tuple[Existing, ...]
    case: Case | None
    catalogue: Catalogue | None
    faults: tuple[Remark, ...]
    problems: tuple[Problem, ...]


def read_sketch(folder: Path, *catalogue_folders: Path) -> Sketch:
    """A case folder as far as it can be read; its problems are in the answer, none is raised."""
    problems = Gathered()
    catalogue = gather_catalogue(catalogue_folders, problems)
    known = None if len(problems) else catalogue
    survey = gather_survey(folder, known, problems)
    found = problems.sorted()
    return Sketch(
        title=str(survey.text.data.get("title", folder.resolve().name))[:80],
        vehicle=survey.brief.vehicle if survey.brief else _part(survey, "vehicle", _VEHICLE),
        outline=survey.brief.outline if survey.brief else _part(survey, "outline", TypeAdapter(Outline)),
        zones=_rows(survey, "zones", Zone),
        obstacles=_rows(survey, "obstacles", Obstacle),
        bays=_rows(survey, "bays", Bay),
        boards=_rows(survey, "boards", Board),
        ways=_rows(survey, "ways", Way),
        node_positions=_rows(survey, "node_positions", NodePosition),
        cable_openings=_rows(survey, "cable_openings", CableOpening),
        existing=_rows(survey, "existing", Existing),
        case=None if found else case_of(folder, survey),
        catalogue=known,
        faults=tuple(_faults(survey, found)),
        problems=found,
    )


def _rows(survey: Survey, key: str, kind: type[T]) -> tuple[T, ...]:
    return tuple(row for _, row in survey.rows(key, kind))


def _part(survey: Survey, key: str, kind: TypeAdapter[Any]) -> Any:
    """A table of case.toml that is well in itself, though another is not."""
    try:
        return kind.validate_python(survey.text.data[key])
    except (KeyError, ValidationError):
        return None


def _faults(survey: Survey, problems: tuple[Problem, ...]) -> Iterator[Remark]:
    for problem in problems:
        key = next((key for key, sheet in survey.sheets.items() if sheet.file == problem.file), "")
        kind = _DRAWN.get(key)
        row = next((row for row in survey.sheets[key].rows if row.line == problem.row), None) if kind else None
        if row is None:
            place, _, text = str(problem).partition(": ")
            yield Remark(place, text, drawn=False)
            continue
        name = row.cells.get("node" if key == "node_positions" else "name", "")
        if key in ("boards", "cable_openings"):
            name = f"{row.cells.get('bay', '')}.{name if key == 'boards' else row.cells.get('way', '')}"
        yield Remark(f"{kind} {name}", f"{problem.column}: {problem.message}", drawn=row.value is not None)
