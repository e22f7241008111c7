"""Case folders: what is read, however it was saved; faults of whole files; writing."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from optimiser.catalogue import Catalogue
from optimiser.files import write_text
from optimiser.reading import CaseProblems, read_case, write_starter
from optimiser.reading.starter import USUAL, starter_files
from tests.reading_help import change, line_of, problems_of

# --- what is read --------------------------------------------------------------------------------------


def test_the_starter_reads_as_written(folder: Path, catalogue: Catalogue) -> None:
    case = read_case(folder, catalogue)

    assert case.name == "van"
    assert [scenario.name for scenario in case.scenarios] == ["summer_weekend", "autumn_tour"]
    assert (len(case.bays), len(case.boards), len(case.existing)) == (3, 6, 0)
    fridge = case.loads[0]
    assert (fridge.name, fridge.watt_w, fridge.duty_pct, fridge.to_h, fridge.circuit) == ("fridge", 50, 35, 24, "")
    assert (case.zones[0].rigid, case.boards[0].sight) == (True, False)
    assert (case.scenarios[0].drive_from_h, case.scenarios[1].hook_up_to_h) == (None, 24)
    assert case.limits.panel_gap_mm == 25, "a key left out keeps the default of its type"
    assert case.rules.name == "default"


def test_empty_cells_and_columns_left_out_take_defaults(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "loads.csv", "fridge,dc,,50,100,35,0,24,all", "fridge,dc,,50,,,0,24,")
    text = (folder / "ways.csv").read_text(encoding="utf-8")
    (folder / "ways.csv").write_text(re.sub(r",(divided|no|yes)$", "", text, flags=re.M), encoding="utf-8")

    case = read_case(folder, catalogue)

    assert (case.loads[0].surge_w, case.loads[0].duty_pct, case.loads[0].scenarios) == (0, 100, ("all",))
    assert not any(way.divided for way in case.ways)


def as_semicolons(text: str) -> str:
    """A table as a spreadsheet of a country with decimal commas saves it."""
    rows = (line if line.startswith("#") else line.replace(",", ";").replace(".", ",") for line in text.split("\n"))
    return "\n".join(rows)


@pytest.mark.parametrize(
    "save",
    [
        lambda text: text.encode("utf-8-sig"),
        lambda text: text.replace("\n", "\r\n").encode(),
        lambda text: text.replace("\n", "\r").encode(),
        lambda text: as_semicolons(text).encode(),
        lambda text: as_semicolons(text).replace("\n", "\r\n").encode("utf-8-sig"),
        lambda text: re.sub(r"^([^#\n].*)$", r"\1,,,", text, flags=re.M).encode(),
        lambda text: re.sub(r"^#(.*)$", r'"#\1"', text, flags=re.M).replace("\n", "\n\n").encode(),
    ],
    ids=["bom", "crlf", "cr", "semicolons", "semicolons-crlf-bom", "padded", "quoted-comments-blank-lines"],
)
def test_tables_read_the_same_however_they_were_saved(
    folder: Path, catalogue: Catalogue, save: Callable[[str], bytes]
) -> None:
    plain = read_case(folder, catalogue)
    for path in folder.glob("*.csv"):
        path.write_bytes(save(path.read_text(encoding="utf-8")))

    assert read_case(folder, catalogue) == plain


def test_a_decimal_comma_is_read_in_semicolon_tables_only(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "scenarios.csv", ",0.4,4,13,", ',"0,4",4,13,')

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert problem.column == "clearness"
    assert "'0,4' is not a number" in problem.message


@pytest.mark.parametrize("cell", ["1.300", "1,300", "1 300", "1_300", "1300.5", "nan", "inf", "1e999", "0x10"])
def test_numbers_that_could_mean_two_things_are_refused(folder: Path, catalogue: Catalogue, cell: str) -> None:
    path = folder / "bays.csv"
    path.write_text(as_semicolons(path.read_text(encoding="utf-8")), encoding="utf-8")
    change(path, "garage;1300;", f"garage;{cell};")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert (problem.column, problem.message) == (
        "length_mm",
        f"{cell!r} is not a whole number; expected a whole number above 0 and at most 50000",
    )


# --- faults of whole files, and many at once --------------------------------------------------------------


def test_missing_files_are_named_each(folder: Path, catalogue: Catalogue) -> None:
    for name in ("case.toml", "zones.csv", "bays.csv"):
        (folder / name).unlink()

    found = problems_of(lambda: read_case(folder, catalogue))

    assert [(p.file, p.row, p.column) for p in found] == [
        ("bays.csv", 0, ""),
        ("case.toml", 0, ""),
        ("zones.csv", 0, ""),
    ]
    assert str(found[0]).startswith("bays.csv: missing file; expected bays.csv in ")


def test_obstacles_and_keep_may_be_left_out_but_not_misspelt(folder: Path, catalogue: Catalogue) -> None:
    (folder / "existing.csv").unlink()
    (folder / "obstacles.csv").unlink()
    assert read_case(folder, catalogue).obstacles == ()

    (folder / "obstacle.csv").write_text(starter_files(USUAL)["obstacles.csv"], encoding="utf-8")
    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert str(problem) == "obstacle.csv: not a table of a case; expected obstacles.csv"


def test_a_case_without_its_folder(tmp_path: Path, catalogue: Catalogue) -> None:
    (problem,) = problems_of(lambda: read_case(tmp_path / "none", catalogue))

    assert "no such folder" in problem.message


def test_other_encodings_are_named_with_their_line(folder: Path, catalogue: Catalogue) -> None:
    path = folder / "bays.csv"
    text = path.read_text(encoding="utf-8").replace("bench,950", "bänch,950")
    path.write_bytes(text.encode("latin-1"))

    (problem,) = (p for p in problems_of(lambda: read_case(folder, catalogue)) if p.file == "bays.csv")

    assert (problem.row, problem.column) == (line_of(text, "bänch"), "")
    assert "not UTF-8 (byte 0xe4)" in problem.message


def test_an_empty_file(folder: Path, catalogue: Catalogue) -> None:
    (folder / "loads.csv").write_text("# nothing yet\n\n", encoding="utf-8")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert (problem.file, problem.row) == ("loads.csv", 0)
    assert "expected the headers name, supply" in problem.message


@pytest.mark.parametrize(("key", "table"), [("mains_charger", "inlet"), ("alternator_charger", "alternator")])
def test_a_charger_that_must_be_needs_what_feeds_it(folder: Path, catalogue: Catalogue, key: str, table: str) -> None:
    text = change(folder / "case.toml", f'{key} = "may"', f'{key} = "must"')
    start = text.index(f"[{table}]")
    (folder / "case.toml").write_text(text[:start] + text[text.index("\n\n", start) :], encoding="utf-8")

    found = {(p.file, p.column): p.message for p in problems_of(lambda: read_case(folder, catalogue))}

    assert f"'must' though there is no [{table}]" in found["case.toml", key]
    window = {"inlet": "hook_up_from_h", "alternator": "drive_from_h"}[table]
    assert f"though case.toml has no [{table}]" in found["scenarios.csv", window]
    assert ("ways.csv", "start") in found, "its point on the ways now leads nowhere"


def test_hitch_range_of_a_trailer(folder: Path, catalogue: Catalogue) -> None:
    text = (folder / "case.toml").read_text(encoding="utf-8")
    trailer = """[vehicle]
kind = "trailer"
coupling_x_mm = 6500
axle_x_mm = 2500
track_mm = 1900
payload_kg = 200
base_axle_kg = 1100
base_hitch_kg = 80
axle_max_kg = 1500
hitch_min_kg = 110
hitch_max_kg = 100
balance_max_kg = 60

"""
    text = text[: text.index("[vehicle]")] + trailer + text[text.index("[limits]") :]
    (folder / "case.toml").write_text(text, encoding="utf-8")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert (problem.row, problem.column) == (line_of(text, "hitch_min_kg"), "vehicle.hitch_min_kg")
    assert problem.message == "110 is above hitch_max_kg; expected at most 100"


def test_every_problem_of_every_file_is_reported_together(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "case.toml", "payload_kg = 400", "payload_kg = -400")
    change(folder / "loads.csv", "fridge,dc,,50,100,35,0", "fridge,dc,,fifty,100,350,-1")
    change(folder / "loads.csv", "mains,water", "mains,")
    change(folder / "obstacles.csv", "hatch,roof", "hatch,rof")
    change(folder / "zones.csv", "75,200,0,right", "75,200,0,middle")
    change(folder / "boards.csv", "garage,wall,wall", "garrage,wall,wall")

    with pytest.raises(CaseProblems) as caught:
        read_case(folder, catalogue)

    assert str(caught.value).split("\n") == [str(problem) for problem in caught.value.problems]
    assert {(p.file, p.column) for p in caught.value.problems} == {
        ("case.toml", "vehicle.payload_kg"),
        ("loads.csv", "watt_w"),
        ("loads.csv", "duty_pct"),
        ("loads.csv", "from_h"),
        ("obstacles.csv", "zone"),  # checked although the row of the zone itself is faulty
        ("zones.csv", "walkway_side"),
        ("boards.csv", "bay"),
    }, "circuits are checked once case.toml is well"


# --- writing ---------------------------------------------------------------------------------------------


def test_the_starter_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "note.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(FileExistsError, match="not an empty folder"):
        write_starter(tmp_path / "full")
    assert [path.name for path in (tmp_path / "full").iterdir()] == ["note.txt"]

    (tmp_path / "empty").mkdir()
    write_starter(tmp_path / "empty")
    assert {path.name for path in (tmp_path / "empty").iterdir()} == set(starter_files(USUAL))

    monkeypatch.setattr("optimiser.reading.starter_files.EXISTING", "\ud800")  # cannot be encoded: fails there
    with pytest.raises(UnicodeEncodeError):
        write_starter(tmp_path / "new")
    assert {path.name for path in tmp_path.iterdir()} == {"full", "empty"}


def test_the_starter_is_not_written_over_the_folder_one_is_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    with pytest.raises(FileExistsError, match="the folder you are in"):
        write_starter(Path())


def test_writing_a_text_replaces_the_whole_file_or_nothing(tmp_path: Path) -> None:
    path = tmp_path / "build.json"
    write_text(path, "one\n")
    write_text(path, "two\n")
    assert path.read_bytes() == b"two\n"

    with pytest.raises(UnicodeEncodeError):
        write_text(path, "three\ud800")
    assert path.read_bytes() == b"two\n"
    assert list(tmp_path.iterdir()) == [path]
