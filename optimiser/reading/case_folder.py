"""A case folder: brief and tables, checked in themselves and against each other."""

from hashlib import sha256
from pathlib import Path
from typing import Any

from optimiser import older
from optimiser.basis.volts import STARTER_FAULT_MOST_A
from optimiser.case import TABLES, Case
from optimiser.catalogue import Catalogue
from optimiser.reading.brief import FILE, BriefText, read_brief
from optimiser.reading.checks import check
from optimiser.reading.problems import Gathered
from optimiser.reading.sheets import Sheet, read_sheet
from optimiser.reading.spans import apart
from optimiser.reading.survey import Survey
from optimiser.reading.text import note_strangers, plain_bytes
from optimiser.texts import plain

_MAY_BE_EMPTY = (
    "obstacles",
    "existing",
    "node_positions",
    "cable_openings",
    "climate",
    "old_parts",
)  # and may be left out


def gather_case(folder: Path, catalogue: Catalogue | None, problems: Gathered) -> Case | None:
    """The case, or None with problems noted. Without a catalogue, what names its parts is not checked."""
    if not folder.is_dir():
        problems.add(str(folder), 0, "", "no such folder; expected a case folder")
        return None
    before = len(problems)
    survey = gather_survey(folder, catalogue, problems)
    return case_of(folder, survey) if len(problems) == before else None


def gather_survey(folder: Path, catalogue: Catalogue | None, problems: Gathered) -> Survey:
    """Brief and tables as far as they can be read, checked against each other, with problems noted."""
    text = read_brief(folder, problems)
    paths = {key: older.file_of(folder, f"{key}.csv") for key in TABLES}
    note_strangers(folder, (*TABLES, *(path.stem for path in paths.values())), "a table of a case", problems)
    noted = len(problems.notes)
    survey = Survey(text, {key: _sheet(path, key, problems) for key, path in paths.items()}, catalogue, problems)
    if len(problems.notes) > noted:
        _note_fault(text, problems)
    check(survey)
    return survey


def _note_fault(text: BriefText, problems: Gathered) -> None:
    """Earlier versions knew no fault current of a starter battery."""
    alternator = text.value and text.value.alternator
    if alternator and alternator.fault_a is None and alternator.cranking_a is None:
        says = older.noted({}, f"fault_a of the alternator is taken as {STARTER_FAULT_MOST_A:g} A")
        problems.note(FILE, text.line("alternator"), "", says)


def case_of(folder: Path, survey: Survey) -> Case | None:
    """What was read without a problem as a case; None without its brief or a catalogue."""
    if survey.brief is None or survey.catalogue is None:
        return None
    tables: dict[str, Any] = {key: tuple(row for _, row in sheet.good) for key, sheet in survey.sheets.items()}
    tables["loads"], tables["load_spans"] = apart(tables["loads"])
    rules = survey.catalogue.rule_sets[survey.brief.rule_set]
    notes = tuple(note for note in survey.problems.notes if note not in survey.catalogue.notes)
    return Case(name=plain(folder.resolve().name, keep=""), brief=survey.brief, rules=rules, notes=notes, **tables)


def _sheet(path: Path, key: str, problems: Gathered) -> Sheet[Any]:
    """A table of the folder."""
    may_be_empty = key in _MAY_BE_EMPTY
    if path.name in older.FILES:
        problems.note(path.name, 0, "", older.noted({path.name: f"{key}.csv"}))
    if may_be_empty and not path.exists():
        if path.is_symlink():
            problems.add(path.name, 0, "", "a link that leads nowhere; expected a table, or no such file")
        return Sheet(path.name, tuple(TABLES[key].model_fields), ())
    return read_sheet(path, path.name, TABLES[key], problems, may_be_empty=may_be_empty)


def input_hash(folder: Path, catalogue: Catalogue) -> str:
    """SHA-256 over what a run is made from: the case files, line ends aside, and the catalogue."""
    return sha256(_files(folder) + catalogue.digest.encode()).hexdigest()


def case_hash(folder: Path) -> str:
    """SHA-256 over the case files alone, line ends aside."""
    return sha256(_files(folder)).hexdigest()


def _files(folder: Path) -> bytes:
    found = b""
    for name in (FILE, *(f"{key}.csv" for key in TABLES)):
        path = older.file_of(folder, name)
        content = plain_bytes(path) if path.exists() else b""
        found += f"{name} {len(content)}\n".encode() + content
    return found
