"""Catalogue folders: parts and rule sets, later folders laid over earlier ones."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field

from optimiser import older
from optimiser.catalogue import Catalogue
from optimiser.parts import PARTS, Cable, Fuse, Holder, Part
from optimiser.reading.problems import Gathered
from optimiser.reading.sense import faults
from optimiser.reading.sheets import Sheet, read_sheet
from optimiser.reading.shipped import shipped_catalogue
from optimiser.reading.text import note_strangers
from optimiser.reading.wording import among, expected, nearest
from optimiser.rules import DEFAULT, KNOWN, Edition, Known, RuleFigure, RuleSet, State

RULE_SETS, EDITIONS = "rule_sets", "editions"
_FILES = (*PARTS, RULE_SETS, EDITIONS)
_LATER = ("string_fuses", "dc_panels", "breakers", EDITIONS)  # files that catalogues of earlier versions do not have
_LAY_OVER = (
    "some files of a catalogue only, and it stands alone; expected it laid over a whole one: "
    "--catalogue shipped --catalogue and this folder"
)


class _RuleRow(BaseModel):
    """One row of rule_sets.csv."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    rule_set: str = Field(pattern=r"^[a-z0-9][a-z0-9_-]*$")
    figure: str = Field(pattern=r"^[a-z0-9][a-z0-9_]*$")
    value: float
    unit: str
    source: str
    state: State


def gather_catalogue(folders: Sequence[Path], problems: Gathered) -> Catalogue:
    """What can be read of the folders laid over each other, problems noted."""
    layers = _Layers(problems)
    for folder in folders:
        if not folder.is_dir():
            problems.add(str(folder), 0, "", "no such folder; expected a catalogue folder")
            continue
        note_strangers(folder, _FILES, "a catalogue file", problems, prefix=f"{folder}/")
        if folder == folders[0] and _overlay(folder):
            problems.add(str(folder), 0, "", _LAY_OVER)
            continue
        for key in _FILES:
            path = folder / f"{key}.csv"
            # Only the first folder is a whole catalogue; the others hold what differs.
            if not path.exists() and (folder != folders[0] or key in _LATER):
                continue
            if key == RULE_SETS:
                layers.lay_rules(read_sheet(path, str(path), _RuleRow, problems))
            elif key == EDITIONS:
                layers.lay_editions(read_sheet(path, str(path), Edition, problems))
            else:
                layers.lay_parts(key, read_sheet(path, str(path), PARTS[key], problems))
    layers.check()
    editions = layers.editions
    rule_sets = {name: RuleSet(name, figures, editions.get(name)) for name, figures in layers.rules.items()}
    return Catalogue(layers.tables, rule_sets, tuple(problems.notes))


def _overlay(folder: Path) -> bool:
    """Whether a folder holds a few catalogue files, and most are missing: rows to lay over a whole catalogue."""
    there = sum((folder / f"{key}.csv").exists() for key in _FILES)
    return 0 < there <= len(PARTS) // 2


def _wanted(known: Known) -> str:
    """What a figure may be, as a catalogue writes it."""
    yes_or_no = known.takes is bool
    return "0 for no or 1 for yes" if yes_or_no else f"{expected(known.adapter.json_schema())} [{known.unit}]"


def _faults_of_edition(row: Edition) -> Iterator[tuple[str, str]]:
    """Column and message: months the wrong way round, or without where they are from; that without months."""
    if row.built_from and row.built_to and row.built_to < row.built_from:
        yield "built_to", f"{row.built_to} is before built_from; expected {row.built_from} or later"
    for column in ("source", "state"):
        if row.months and not getattr(row, column):
            yield column, f"empty cell though a month is given; expected the {column} of built_from and built_to"
        if getattr(row, column) and not row.months:
            yield column, f"{getattr(row, column)!r} though no month is given; expected built_from, or an empty cell"


class _Layers:
    """Tables so far, and where each row came from."""

    def __init__(self, problems: Gathered) -> None:
        self.tables: dict[str, dict[str, Part]] = {key: {} for key in PARTS}
        self.rules: dict[str, dict[str, RuleFigure]] = {}
        self.editions: dict[str, Edition] = {}
        self._problems = problems
        self._origin: dict[str, tuple[str, str, int]] = {}  # part -> key, file, line
        self._rule_origin: dict[str, tuple[str, int]] = {}
        self._edition_origin: dict[str, tuple[str, int]] = {}
        self._told: set[tuple[str, str]] = set()  # rule set and figure of every row, faulty or not

    def lay_parts(self, key: str, sheet: Sheet[Part]) -> None:
        """Add the rows of one file, or put them in place of earlier ones of the same name."""
        for line, part in sheet.good:
            old_key, old_file, old_line = self._origin.get(part.name, ("", "", 0))
            if old_file == sheet.file or old_key not in ("", key):
                message = f"{part.name!r} stands in {old_file} row {old_line} too; expected each name once"
                self._problems.add(sheet.file, line, "name", message)
                continue
            self.tables[key][part.name] = part
            self._origin[part.name] = (key, sheet.file, line)

    def lay_rules(self, sheet: Sheet[_RuleRow]) -> None:
        """Add the figures of one file, or put them in place of earlier ones."""
        # A figure with a fault is not missing as well.
        self._told |= {(row.cells.get("rule_set", ""), row.cells.get("figure", "")) for row in sheet.rows}
        seen: set[tuple[str, str]] = set()
        for line, row in sheet.good:
            self._check_figure(sheet.file, line, row)
            if (row.rule_set, row.figure) in seen:
                message = f"{row.figure!r} stands twice in rule set {row.rule_set!r}; expected once"
                self._problems.add(sheet.file, line, "figure", message)
            seen.add((row.rule_set, row.figure))
            figures = self.rules.setdefault(row.rule_set, {})
            figures[row.figure] = RuleFigure(row.value, row.unit, row.source, row.state)
            self._rule_origin[row.rule_set] = (sheet.file, line)

    def lay_editions(self, sheet: Sheet[Edition]) -> None:
        """Add what one file says of rule sets, or put it in place of what an earlier one said."""
        for line, row in sheet.good:
            file, other = self._edition_origin.get(row.rule_set, ("", 0))
            if file == sheet.file:
                message = f"{row.rule_set!r} stands in row {other} too; expected each rule set once"
                self._problems.add(file, line, "rule_set", message)
            for column, message in _faults_of_edition(row):
                self._problems.add(sheet.file, line, column, message)
            self.editions[row.rule_set] = row
            self._edition_origin[row.rule_set] = (sheet.file, line)

    def check(self) -> None:
        """What one file must say about another, and amounts that must come out in whole cents."""
        for table in self.tables.values():
            for part in table.values():
                for column, message in faults(part):
                    self._note(part.name, column, message)
                if isinstance(part, Fuse):
                    self._check_holder(part)
        self._check_solar()
        for name, origin in self._edition_origin.items():
            if name not in self.rules and not any(name == told for told, _ in self._told):
                message = f"no rule set {name!r} in {RULE_SETS}.csv; expected {among(name, self.rules)}"
                self._problems.add(*origin, "rule_set", message)
        for name in self.rules:
            self._bring_up_to_date(name)
            for figure, known in KNOWN.items():
                if (name, figure) not in self._told:
                    message = f"rule set {name!r} has no {figure!r}; expected {_wanted(known)}: {known.says}"
                    self._problems.add(*self._rule_origin[name], "figure", message)

    def _bring_up_to_date(self, name: str) -> None:
        """Give a rule set of an earlier version the shipped figures of what it had not, with a note."""
        groups = (older.FIGURES, older.LATER_FIGURES)
        missing = [
            figure for group in groups if not any((name, each) in self._told for each in group) for figure in group
        ]
        if not missing:
            return
        shipped = _Layers(Gathered())
        shipped.lay_rules(read_sheet(shipped_catalogue() / f"{RULE_SETS}.csv", "", _RuleRow, Gathered()))
        like = name if name in shipped.rules else DEFAULT
        taken = {figure: shipped.rules[like][figure] for figure in missing}
        self.rules[name] |= taken
        self._told |= {(name, figure) for figure in taken}
        listed = ", ".join(f"{figure} {row.value:g} {row.unit}" for figure, row in taken.items())
        message = f"rule set {name!r} was written for an earlier version; from the shipped {like!r} come {listed}"
        self._problems.note(*self._rule_origin[name], "", message)

    def _check_solar(self) -> None:
        """Earlier versions took cables of kind dc from the roof, and had no others."""
        cables = self.tables["cables"]
        if cables and not any(isinstance(cable, Cable) and cable.kind == "solar" for cable in cables.values()):
            file = self._origin[next(iter(cables))][1]
            message = (
                "no cable of kind solar, the only kind for runs from panels; expected rows of it, or this catalogue "
                "laid over the shipped one: --catalogue shipped --catalogue and this folder"
            )
            self._problems.note(file, 0, "", message)

    def _check_figure(self, file: str, line: int, row: _RuleRow) -> None:
        known = KNOWN.get(row.figure)
        if known is None:
            message = f"unknown {row.figure!r}; expected {nearest(row.figure, KNOWN) or among(row.figure, KNOWN)}"
            self._problems.add(file, line, "figure", message)
            return
        if row.unit != known.unit:
            self._problems.add(
                file, line, "unit", f"{row.unit!r} is not the unit of {row.figure}; expected {known.unit}"
            )
        if not known.allows(row.value):
            message = f"{row.value:g} is not allowed for {row.figure}; expected {_wanted(known)}"
            self._problems.add(file, line, "value", message)

    def _note(self, part: str, column: str, message: str) -> None:
        _, file, line = self._origin[part]
        self._problems.add(file, line, column, message)

    def _check_holder(self, fuse: Fuse) -> None:
        holders = self.tables["holders"]
        holder = holders.get(fuse.holder)
        if not isinstance(holder, Holder):
            self._note(fuse.name, "holder", f"no holder {fuse.holder!r}; expected {among(fuse.holder, holders)}")
            return
        if holder.family != fuse.family:
            self._note(
                fuse.name, "family", f"{fuse.family!r} is not the family of its holder; expected {holder.family}"
            )
        if fuse.rating_a > holder.rating_max_a:
            message = f"{fuse.rating_a:g} is above the rating of its holder; expected at most {holder.rating_max_a:g}"
            self._note(fuse.name, "rating_a", message)
