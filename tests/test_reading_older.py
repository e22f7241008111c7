"""Cases, catalogue and a build as they were written for an earlier version (tests/old/), read with notes."""

import json
import shutil
from pathlib import Path

import pytest

from optimiser import older, pipeline
from optimiser.auditing import audit, breaches
from optimiser.parts import PARTS, Body, Wired
from optimiser.reading import (
    OlderFile,
    input_hash,
    read_catalogue,
    read_inputs,
    shipped_cases,
    shipped_catalogue,
    write_starter,
)  # fmt: skip
from optimiser.solve import Question, Solved, Stop
from tests.cli_help import run
from tests.reading_help import change, problems_of

OLD = Path(__file__).parent / "old"
CATALOGUE = OLD / "catalogue"
CASES = [path.name for path in sorted((OLD / "cases").iterdir())]


def test_the_old_cases_are_those_that_are_shipped() -> None:
    assert [path.name for path in sorted(shipped_cases().iterdir()) if path.name != "older-caravan"] == CASES


@pytest.mark.parametrize("name", CASES)
def test_an_old_case_is_read_with_the_old_catalogue(name: str) -> None:
    with pytest.warns(OlderFile):
        case, _ = read_inputs(OLD / "cases" / name, CATALOGUE)
    today, _ = read_inputs(shipped_cases() / name, shipped_catalogue())

    assert case.brief.title == today.brief.title
    assert list(case.roof_planes) == list(today.roof_planes)
    assert {b.place: b.outside_wall for b in case.boards}.items() <= {
        b.place: b.outside_wall for b in today.boards
    }.items()
    assert {b.name: b.cable_allowance_mm for b in case.bays}.items() <= {
        b.name: b.cable_allowance_mm for b in today.bays
    }.items()
    assert [note.partition("written for")[2] for note in case.notes] == [
        " an earlier version: light is roof_plane now",
        " an earlier version: lead_mm is cable_allowance_mm now",
        " an earlier version: skin is outside_wall now",
        " an earlier version: keep.csv is existing.csv now",
        " an earlier version: spots.csv is node_positions.csv now",
        " an earlier version: fault_a of the alternator is taken as 5000 A",
    ]
    assert [k.name for k in case.existing] == [k.name for k in today.existing]
    assert {n.node for n in case.node_positions} == {n.node for n in today.node_positions}


def test_each_old_file_of_the_catalogue_has_one_note() -> None:
    with pytest.warns(OlderFile) as warned:
        catalogue = read_catalogue(CATALOGUE)

    assert [str(w.message) for w in warned] == list(catalogue.notes)
    notes = {Path(note.partition(".csv:")[0]).name: note for note in catalogue.notes}
    bodies = {name for name in PARTS if issubclass(PARTS[name], Body)}
    assert notes.keys() == bodies | {"cables", "fuses", "rule_sets"}
    assert len(catalogue.notes) == len(notes) + 2  # no cable of kind solar, and a second rule set
    assert {"stands is orientations now; turns is rotatable now" in notes[name] for name in bodies} == {True}
    assert notes["fuses"].endswith(
        "breaking_a is breaking_12v_a now; breaking_24v_a is taken as 0, as it is not known; "
        "breaking_48v_a is taken as 0, as it is not known"
    )


def test_a_catalogue_without_places_of_terminals_is_read_with_a_note(tmp_path: Path) -> None:
    """Of a version that knew all of a module but where its terminals are."""
    folder = Path(shutil.copytree(shipped_catalogue(), tmp_path / "catalogue"))
    for name in PARTS:
        _without(folder / f"{name}.csv", "terminal_sides", "terminal_offset_mm", "lug_room_mm", "stud_mm", "mains_side")
    with pytest.warns(OlderFile):
        found = read_catalogue(folder)

    told = "is taken as not known, so anywhere on the body"
    wired = {name for name in PARTS if issubclass(PARTS[name], Wired)}
    mains = {name for name in PARTS if "mains_side" in PARTS[name].model_fields}
    assert mains == {"inverters", "inverter_chargers", "mains_chargers", "mains_boxes"}
    notes = {Path(note.partition(".csv:")[0]).name: note.partition("version: ")[2] for note in found.notes}
    assert notes == {
        name: "; ".join(
            f"{column} {told}" for column, there in (("terminal_sides", wired), ("mains_side", mains)) if name in there
        )
        for name in wired | mains
    }
    assert len(found.notes) == len(notes)
    today = read_catalogue(shipped_catalogue())
    bare = {"terminal_sides": (), "terminal_offset_mm": None, "lug_room_mm": None, "stud_mm": None, "mains_side": None}
    for name in PARTS:
        known = {key: part.model_dump() for key, part in today.of(name).items()}
        assert {key: part.model_dump() for key, part in found.of(name).items()} == {
            key: row | {column: cell for column, cell in bare.items() if column in row} for key, row in known.items()
        }


def _without(path: Path, *columns: str) -> None:
    lines = path.read_text(encoding="utf-8").split("\n")
    header = next(line for line in lines if line.startswith("name,")).split(",")
    kept = [k for k, name in enumerate(header) if name not in columns]
    cut = [line if line.startswith("#") or not line else ",".join(line.split(",")[k] for k in kept) for line in lines]
    path.write_text("\n".join(cut), encoding="utf-8")


def test_what_an_old_fuse_breaks_is_known_for_12_v_alone() -> None:
    with pytest.warns(OlderFile):
        fuses = read_catalogue(CATALOGUE).of("fuses")

    assert {f.family: [f.breaking_a(v) for v in (12, 24, 48)] for f in fuses.values()} == {
        "blade": [1000, 0, 0],
        "bolt-in": [2000, 0, 0],
        "stud": [10_000, 0, 0],
        "class-t": [20_000, 0, 0],
    }


def test_an_old_rule_set_gets_the_shipped_figures_it_has_not() -> None:
    with pytest.warns(OlderFile):
        old = read_catalogue(CATALOGUE).rule_sets
    today = read_catalogue(shipped_catalogue()).rule_sets

    assert {name: set(rules.figures) for name, rules in old.items()} == {
        name: set(today[name].figures) for name in ("default", "small-craft")
    }
    assert [rules.edition for rules in old.values()] == [None, None]  # had no such file
    assert old["default"].figures["terminal_c"] == today["default"].figures["terminal_c"]
    assert [note for note in read_notes() if "terminal_c 75 C" in note]


def test_a_rule_set_without_what_came_later_gets_that_alone(tmp_path: Path) -> None:
    """It has all that rule sets had before `end_mm`."""
    folder = Path(shutil.copytree(shipped_catalogue(), tmp_path / "parts"))
    rows = (folder / "rule_sets.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [row for row in rows if not row.startswith("small-craft,end_mm,")]
    (folder / "rule_sets.csv").write_text("".join(kept), encoding="utf-8")

    with pytest.warns(OlderFile):
        catalogue = read_catalogue(folder)

    assert len(kept) == len(rows) - 1
    assert (
        catalogue.rule_sets["small-craft"].figures
        == read_catalogue(shipped_catalogue()).rule_sets["small-craft"].figures
    )
    (note,) = [str(note) for note in catalogue.notes]
    assert "rule set 'small-craft' was written for an earlier version" in note and "come end_mm 50 mm" in note


def test_a_rule_set_of_today_without_a_figure_is_refused_as_ever(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(shipped_catalogue(), tmp_path / "catalogue"))
    rows = (folder / "rule_sets.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [row for row in rows if not row.startswith("default,terminal_c")]
    (folder / "rule_sets.csv").write_text("".join(kept), encoding="utf-8")

    found = problems_of(lambda: read_catalogue(folder))
    assert ["rule set 'default' has no 'terminal_c'" in problem.message for problem in found] == [True]


def test_an_old_and_a_new_column_side_by_side_are_a_fault(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(CATALOGUE, tmp_path / "catalogue"))
    change(folder / "fuses.csv", "rating_a,breaking_a,", "rating_a,breaking_a,breaking_12v_a,")

    assert "unknown 'breaking_a'" in "\n".join(str(p) for p in problems_of(lambda: read_catalogue(folder)))


def read_notes() -> tuple[str, ...]:
    """The notes on the old catalogue."""
    with pytest.warns(OlderFile):
        return read_catalogue(CATALOGUE).notes


def test_todays_folders_have_no_note(recwarn: pytest.WarningsRecorder) -> None:
    case, catalogue = read_inputs(shipped_cases() / "tiny-trailer", shipped_catalogue())

    assert all(rules.edition for rules in catalogue.rule_sets.values())
    assert (case.notes, catalogue.notes) == ((), ())
    assert not [w for w in recwarn if issubclass(w.category, OlderFile)]


@pytest.mark.parametrize(
    "command", [["check"], ["parts", "fuses"], ["audit"], ["build", "--seconds", "1"]], ids=lambda c: c[0]
)
def test_every_command_prints_each_note_once(command: list[str]) -> None:
    name, *rest = command
    case = [] if name == "parts" else [str(OLD / "cases" / "tiny-trailer")]
    build = [str(OLD / "tiny-trailer-cheapest.json")] if name == "audit" else []
    done = run(name, *case, *rest, *build, "--catalogue", CATALOGUE, "--json")

    printed = done.stderr.splitlines()
    assert [printed.count(note) for note in read_notes()] == [1] * len(read_notes())
    if name == "check":
        assert json.loads(done.stdout)["notes"][: len(read_notes())] == list(read_notes())  # then those of the case


def test_check_lists_the_notes() -> None:
    lines = run("check", OLD / "cases" / "tiny-trailer", "--catalogue", CATALOGUE).stdout.splitlines()

    assert lines[lines.index("Older files:") + 1].startswith(f"  {CATALOGUE}/regulators.csv:2: written for")


def test_an_old_build_is_read_and_held_to_the_rules_of_today() -> None:
    with pytest.warns(OlderFile):
        inputs = pipeline.read(str(OLD / "cases" / "tiny-trailer"), [str(CATALOGUE)])
    file = OLD / "tiny-trailer-cheapest.json"
    with pytest.warns(OlderFile) as warned:
        build = pipeline.read_build(file)
    assert [str(w.message) for w in warned] == [
        f"{file}: written for an earlier version: light is roof_plane now; turned is rotated now; "
        "stance is orientation now; kept is existing now; measuring_row is shunt_row now"
    ]

    found = {finding.name for finding in breaches(audit(inputs.case, inputs.catalogue, build))}
    assert build.bank.fuse == ""  # had no place in it
    assert [array.roof_plane for array in build.arrays] == ["flat"]  # was light
    assert "run.complete" in found  # its panels are on cables of kind dc
    assert "run.terminal_heat" in found


def test_the_old_catalogue_laid_over_the_shipped_one_makes_a_build() -> None:
    with pytest.warns(OlderFile) as warned:
        inputs = pipeline.read(str(OLD / "cases" / "tiny-trailer"), ["shipped", str(CATALOGUE)])
    assert not [w for w in warned if "solar" in str(w.message) or "rule set" in str(w.message)]

    found = Question(inputs.case, inputs.catalogue).any_build(stop=Stop(60, 1, 1))
    assert isinstance(found, Solved)
    assert not breaches(audit(inputs.case, inputs.catalogue, found.build))


@pytest.mark.parametrize(
    ("address", "now"),
    [
        ("zone.roof.light", "roof_plane"),
        ("bay.drawbar_box.lead_mm", "cable_allowance_mm"),
        ("regulators.stands", "orientations"),
        ("fuses.breaking_a", "breaking_12v_a"),
    ],
)
def test_an_old_name_in_an_address_is_answered_with_that_of_today(address: str, now: str) -> None:
    refused = run("explain", shipped_cases() / "tiny-trailer", "--set", f"{address}=1").stderr

    assert f"{address}: unknown {address.rpartition('.')[2]!r}; expected {now}" in refused


def test_an_old_table_in_an_address_is_answered_with_that_of_today() -> None:
    refused = run("explain", shipped_cases() / "tiny-trailer", "--set", "keep.old.x_mm=1").stderr

    assert "keep.old.x_mm: no table 'keep'; expected existing" in refused


@pytest.mark.parametrize("old", older.REQUIREMENTS)
def test_an_old_requirement_to_drop_is_answered_with_that_of_today(old: str) -> None:
    refused = run("explain", shipped_cases() / "tiny-trailer", "--drop", old).stderr

    assert f"{old}: no such requirement; expected {older.REQUIREMENTS[old]}" in refused


def test_a_fault_in_an_old_file_is_named_as_it_lies_there(tmp_path: Path) -> None:
    case = Path(shutil.copytree(OLD / "cases" / "tiny-trailer", tmp_path / "old"))
    row = "box,fixture,,nowhere.floor,0,0,9,9,9,0,0,0\n"
    (case / "keep.csv").write_text((case / "keep.csv").read_text(encoding="utf-8") + row, encoding="utf-8")

    found = problems_of(lambda: read_inputs(case, shipped_catalogue()))
    assert [(p.file, p.column) for p in found] == [("keep.csv", "board")]


def test_an_old_file_beside_the_new_one_is_a_fault(tmp_path: Path) -> None:
    case = Path(shutil.copytree(shipped_cases() / "tiny-trailer", tmp_path / "case"))
    shutil.copy(case / "existing.csv", case / "keep.csv")

    (problem,) = problems_of(lambda: read_inputs(case, shipped_catalogue()))
    assert str(problem) == "keep.csv: not a table of a case; expected existing.csv"


def test_a_build_is_still_that_of_a_case_whose_file_has_its_name_of_today(tmp_path: Path) -> None:
    case = Path(shutil.copytree(shipped_cases() / "tiny-trailer", tmp_path / "case"))
    known = input_hash(case, read_catalogue(shipped_catalogue()))
    (case / "existing.csv").rename(case / "keep.csv")

    assert input_hash(case, read_catalogue(shipped_catalogue())) == known


def test_a_new_case_like_an_old_one_has_its_files_by_their_names_of_today(tmp_path: Path) -> None:
    old = OLD / "cases" / "travelling-clinic"
    write_starter(tmp_path / "new", like=old)

    assert (tmp_path / "new" / "existing.csv").read_bytes() == (old / "keep.csv").read_bytes()
    assert (tmp_path / "new" / "node_positions.csv").read_bytes() == (old / "spots.csv").read_bytes()


@pytest.mark.parametrize(("known", "noted"), [("", 1), ("cranking_a = 600", 0), ("fault_a = 1200", 0)])
def test_the_fault_of_a_starter_battery_that_an_old_case_does_not_tell_is_noted(
    known: str, noted: int, tmp_path: Path
) -> None:
    folder = Path(shutil.copytree(OLD / "cases" / "tiny-trailer", tmp_path / "old"))
    change(folder / "case.toml", "[alternator]", f"[alternator]\n{known}")

    with pytest.warns(OlderFile):
        case, _ = read_inputs(folder, shipped_catalogue())
    assert sum("5000 A" in note for note in case.notes) == noted
