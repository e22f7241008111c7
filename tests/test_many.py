"""Many vehicles: every case with every setting, a row each, and a second call that goes on where the first ended."""

import csv
import json
import shutil
from collections import Counter
from collections.abc import Mapping
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from pydantic import TypeAdapter

from optimiser import library
from optimiser.cli import main
from optimiser.pipeline import Unusable
from optimiser.pipeline.many import crews, sweeping, tasks
from optimiser.pipeline.many.rows import Row, row_of
from optimiser.pipeline.many.solving import solve_task
from optimiser.pipeline.many.tasks import Task, combinations
from optimiser.printing.objects import OBJECTS
from optimiser.solve import Stop
from tests.cli_help import run
from tests.conftest import Folders
from tests.many_help import answered, here, swept
from tests.reading_help import change
from tests.trying_help import refused

THREE = ("payload_kg=+0,-5,-10",)


# --- settings ----------------------------------------------------------------------------------------


def test_every_combination_of_values_and_ranges() -> None:
    assert combinations(()) == ((),)
    assert combinations(("payload_kg=+0,-10", "autonomy_days=1:2:0.5")) == tuple(
        (f"payload_kg={first}", f"autonomy_days={second}") for first in ("+0", "-10") for second in ("1", "1.5", "2")
    )
    below = combinations(("place.record_low_c=-10:0:5",))  # put there, and not taken away
    assert [text for (text,) in below] == [f"place.record_low_c={end}" for end in ("=-10", "=-5", "0")]


@pytest.mark.parametrize(
    ("sets", "wanted"),
    [
        (("payload_kg",), "'payload_kg': no '='; expected address=change"),
        (("payload_kg=1,,2",), "payload_kg=1,,2: nothing between two commas; expected values"),
        (("autonomy_days=1:2",), "'1:2' is not a sweep; expected from:to:step"),
        (("payload_kg=1", "payload_kg=2"), "payload_kg=2: payload_kg is set twice; expected all of its values at once"),
        (("payload_kg=1:200:1", "budget=1:200:1", "autonomy_days=1:9:1"), "more than 100000 combinations"),
    ],
)
def test_what_reads_like_no_setting_is_refused(sets: tuple[str, ...], wanted: str) -> None:
    assert wanted in " ".join(refused(lambda: combinations(sets)))


def test_what_no_case_has_is_a_slip_and_what_one_has_is_not(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    crew = here(monkeypatch, lambda task: solve_task(replace(task, stop=replace(task.stop, seconds=0.001))))
    other = Path(shutil.copytree(trailer.case, tmp_path / "other"))
    for path in other.iterdir():
        path.write_text(path.read_text().replace("locker", "trunk"))

    assert "payload_kgs: no such value" in refused(lambda: swept(trailer, tmp_path / "out", ("payload_kgs=+1",)))[0]
    assert not (tmp_path / "out").exists() and not crew.asked
    found = swept(trailer, tmp_path / "out", ("bay.locker.width_mm=+1",), other)
    assert [row.status for row in found.rows] == ["don't know", "unusable"]
    assert "no bay 'locker'" in found.rows[1].why


# --- rows --------------------------------------------------------------------------------------------


def test_a_row_for_each_case_with_each_setting(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here(monkeypatch)
    other = Path(shutil.copytree(trailer.case, tmp_path / "=other"))

    found = swept(trailer, tmp_path / "out", THREE, other, "nowhere", other, seed=7)

    settings = [f"payload_kg={step}" for step in ("+0", "-5", "-10")]
    assert [(row.case, row.setting) for row in found.rows] == [
        (str(case), setting) for case in (trailer.case, other, "nowhere") for setting in settings
    ]
    assert found.counts == {"proven": 6, "unusable": 3} and (found.state, found.code) == ("whole", 2)
    assert "no such folder" in found.rows[-1].why
    rows = _table(tmp_path / "out")
    assert [float(row["cost"]) for row in rows[:6]] == [float(len(row["setting"])) for row in rows[:6]]
    assert {(row["seed"], row["workers"], row["seconds_at_most"], row["tries"]) for row in rows[:6]} == {
        ("7", "1", "300.0", "1")
    }


def test_a_text_that_a_spreadsheet_would_take_for_a_formula(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here(monkeypatch)
    monkeypatch.chdir(tmp_path)
    shutil.copytree(trailer.case, tmp_path / "=1+1")

    swept(trailer, tmp_path / "out", (), "=1+1")

    assert [row["case"] for row in _table(tmp_path / "out")] == [str(trailer.case), "'=1+1"]


def test_figures_are_those_of_single_runs(trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of `build` as it is, of `explain --set` with something set."""
    here(monkeypatch, solve_task)
    weak = Path(shutil.copytree(trailer.case, tmp_path / "weak"))
    change(weak / "case.toml", "payload_kg = 120", "payload_kg = 1")
    of = ("--catalogue", trailer.catalogue, "--quiet", "--json")

    many = run("sweep", trailer.case, weak, "--set", "autonomy_days=+0,0.5", "--out", tmp_path / "out", *of)

    found = json.loads(many.stdout)
    assert many.exit_code == 0 and found["counts"] == {"proven": 2, "impossible": 2}
    for case, row, changed in zip((trailer.case, weak), found["rows"][::2], found["rows"][1::2], strict=True):
        single = json.loads(run("build", case, *of).stdout)
        trial = json.loads(run("explain", case, "--set", "autonomy_days=0.5", *of).stdout)["changed"]
        for ours, theirs in ((row, single), (changed, trial)):
            assert [ours[key] for key in _FIGURES] == [theirs[key] for key in _FIGURES]
    bank = json.loads(run("build", trailer.case, *of).stdout)["build"]["bank"]
    assert found["rows"][0]["bank"] == f"{bank['series'] * bank['parallel']} x {bank['module']}"
    assert found["rows"][1]["values"] == {"limits.autonomy_days": "0.5"}
    rows = _table(tmp_path / "out")
    assert [row["limits.autonomy_days"] for row in rows] == ["1.0", "0.5"] * 2
    assert [row["system_v"] for row in rows] == ["12", "12", "", ""]
    TypeAdapter(OBJECTS["sweep"]).validate_json(many.stdout, strict=True)


_FIGURES = ("status", "cost", "mass", "bound", "gap")


def test_a_rule_moved_is_only_to_compare(trailer: Folders, tmp_path: Path) -> None:
    inputs = library.read(trailer.case, [trailer.catalogue])
    (task, *_) = tasks.plan(
        [str(trailer.case)], ["rule.drop_share=0.04"], [str(trailer.catalogue)], "cheapest", limits(0.001)
    ).tasks

    assert solve_task(task).only_to_compare
    assert not solve_task(replace(task, settings=(), inputs=inputs)).only_to_compare


def limits(seconds: float) -> Stop:
    return Stop(seconds, 1, 1)


def test_parquet_holds_the_same(trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("pyarrow")
    pandas = pytest.importorskip("pandas")
    here(monkeypatch)

    swept(trailer, tmp_path / "out", THREE, parquet=True)

    frame = pandas.read_parquet(tmp_path / "out" / "rows.parquet")
    assert list(frame["setting"]) == [f"payload_kg={step}" for step in ("+0", "-5", "-10")]
    assert list(frame["cost"]) == [float(len(text)) for text in frame["setting"]]
    assert [path.name for path in (tmp_path / "out").iterdir() if path.is_file()] == ["rows.parquet"]


def test_without_its_package_parquet_is_refused_before_anything(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sweeping, "find_spec", lambda name: None)

    assert (
        "pip install 'optimiser[parquet]', or CSV" in refused(lambda: swept(trailer, tmp_path / "out", parquet=True))[0]
    )
    assert not (tmp_path / "out").exists()


def _table(out: Path) -> list[dict[str, str]]:
    with (out / "rows.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# --- gone on with ------------------------------------------------------------------------------------


def test_a_second_call_redoes_nothing(trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    crew = here(monkeypatch)
    first = swept(trailer, tmp_path / "out", THREE)

    second = swept(trailer, tmp_path / "out", ("payload_kg=-5,-10,-15",))

    assert len(crew.asked) == 4
    assert (second.taken_over, second.left_aside, dict(second.anew)) == (2, 1, {})
    assert second.rows[:2] == first.rows[1:]


def test_ctrl_c_keeps_what_is_done(trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    crew = here(monkeypatch)

    def pressed(tally: library.Tally, row: Row) -> None:
        if tally.done == 2:
            raise KeyboardInterrupt

    found = swept(trailer, tmp_path / "out", THREE, found=pressed)

    assert (found.state, found.code, found.why, len(found.rows)) == ("part", 4, "stopped", 2)
    assert "part of the sweep, 2 of 3 rows" in found.text()
    assert len(_table(tmp_path / "out")) == 2
    again = swept(trailer, tmp_path / "out", THREE)
    assert len(crew.asked) == 3 and (again.state, again.taken_over) == ("whole", 2)


def test_a_stop_from_outside_keeps_them_too(trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    crew = here(monkeypatch)

    found = swept(trailer, tmp_path / "out", THREE, stop=lambda: len(crew.asked) == 1)

    assert (found.state, len(found.rows), len(_table(tmp_path / "out"))) == ("part", 1, 1)


@pytest.mark.parametrize("what", ["case", "catalogue", "program"])
def test_what_has_changed_is_said_and_solved_anew(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    crew, told = here(monkeypatch), list[Mapping[str, int]]()
    other = Path(shutil.copytree(trailer.case, tmp_path / "other"))
    swept(trailer, tmp_path / "out", (), other)

    if what == "case":
        change(other / "case.toml", "payload_kg = 120", "payload_kg = 119")
    elif what == "catalogue":
        change(trailer.catalogue / "rule_sets.csv", "shadow_elevation_deg,45", "shadow_elevation_deg,44")
    else:
        monkeypatch.setattr(tasks, "program_digest", lambda: "another")
    found = swept(trailer, tmp_path / "out", (), other, begun=lambda tally, anew: told.append(dict(anew)))

    anew = 1 if what == "case" else 2
    assert told == [{what: anew}] and len(crew.asked) == 2 + anew
    assert found.taken_over == 2 - anew


def test_other_limits_redo_only_what_was_undecided(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    crew = here(monkeypatch, lambda task: row_of(task, "don't know" if task.setting.endswith("-5") else "impossible"))
    swept(trailer, tmp_path / "out", THREE)

    assert swept(trailer, tmp_path / "out", THREE).taken_over == 3
    longer = swept(trailer, tmp_path / "out", THREE, seconds=600)

    assert dict(longer.anew) == {"limits of the search": 1}
    assert [text.rpartition("=")[2] for text in crew.asked] == ["+0", "-5", "-10", "-5"]


def test_a_file_that_cannot_be_read_is_left_aside(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    crew = here(monkeypatch)
    swept(trailer, tmp_path / "out", THREE)
    spoilt, *_ = sorted((tmp_path / "out" / "done").iterdir())
    spoilt.write_text(spoilt.read_text()[:40])

    assert swept(trailer, tmp_path / "out", THREE).taken_over == 2 and len(crew.asked) == 4


def test_a_folder_of_something_else_is_refused(trailer: Folders, tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").touch()

    for folder, wanted in ((tmp_path / "mine", "there already"), (tmp_path / "no" / "where", "cannot be made")):
        (line,) = refused(lambda folder=folder: swept(trailer, folder))  # type: ignore[misc]
        assert wanted in line and "; expected" in line
    assert [path.name for path in (tmp_path / "mine").iterdir()] == ["letter.txt"]


# --- faults ------------------------------------------------------------------------------------------


def test_a_worker_that_dies_is_replaced_and_not_for_ever(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = Counter[str]()

    def work(task: Task) -> Row:
        begun[task.setting] += 1
        if task.setting.endswith("-10") or (task.setting.endswith("-5") and begun[task.setting] == 1):
            raise BrokenProcessPool
        return answered(task)

    here(monkeypatch, work)
    found = swept(trailer, tmp_path / "out", THREE)

    assert [(row.status, row.tries) for row in found.rows] == [("proven", 1), ("proven", 2), ("fault", crews.TRIES)]
    assert "ended from outside 3 times" in found.rows[2].why and found.code == 70
    assert "1 fault: its worker was ended from outside" in found.text()
    again = swept(trailer, tmp_path / "out", THREE)
    assert (again.taken_over, dict(again.anew), begun["payload_kg=-10"]) == (2, {"fault": 1}, 2 * crews.TRIES)


def test_a_fault_of_the_program_is_a_row_and_stops_no_other(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(inputs: Any, *_: Any, **__: Any) -> None:
        raise ZeroDivisionError("what\nfor")

    monkeypatch.setattr("optimiser.pipeline.many.solving.solved", broken)
    here(monkeypatch, solve_task)

    found = swept(trailer, tmp_path / "out", THREE)

    assert [row.status for row in found.rows] == ["fault"] * 3
    assert found.rows[0].why == "ZeroDivisionError: what for (test_many.py:" + found.rows[0].why.rpartition(":")[2]


def test_a_worker_with_another_program_solves_nothing(trailer: Folders, tmp_path: Path) -> None:
    (task,) = tasks.plan([str(trailer.case)], (), [str(trailer.catalogue)], "cheapest", limits(10)).tasks

    row = solve_task(replace(task, rests_on=replace(task.rests_on, program="0" * 16)))

    assert (row.status, row.cost) == ("fault", None) and "another program" in row.why


def test_nothing_to_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Unusable, match="nowhere: no such folder"):
        library.sweep_many(["nowhere"], out=tmp_path / "out")


# --- the command -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "wanted"),
    [
        (("tiny-trailer", "impossible-teardrop"), "--out DIR is left out"),
        (("tiny-trailer", "--set", "autonomy_days=1:2:1", "--processes", "2"), "expected --out with --processes"),
        (("tiny-trailer", "--out", "out", "--processes", "2", "--scheduler", "tcp://x"), "expected either them or"),
    ],
)
def test_what_does_not_go_together_is_refused(arguments: tuple[str, ...], wanted: str) -> None:
    result = run("sweep", *arguments)

    assert result.exit_code == 2 and wanted in result.stderr


def test_one_case_and_one_range_is_the_curve(trailer: Folders) -> None:
    of = (trailer.case, "--catalogue", trailer.catalogue, "--json", "--quiet")

    curve = json.loads(run("sweep", *of, "--set", "autonomy_days=0.5:1:0.5").stdout)

    same = json.loads(run("explain", *of, "--sweep", "autonomy_days=0.5:1:0.5").stdout)
    alike = ("value", "as_asked", *_FIGURES)  # of two builds as good, each may show another
    assert [[row[key] for key in alike] for row in curve["rows"]] == [
        [row[key] for key in alike] for row in same["rows"]
    ]
    assert curve.keys() == same.keys() and len(curve["rows"]) == 2


def test_progress_counts_and_says_what_failed(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here(monkeypatch, lambda task: row_of(task, "fault", "why not") if task.setting.endswith("-5") else answered(task))
    of = ("sweep", trailer.case, "--set", *THREE, "--catalogue", trailer.catalogue, "--out", tmp_path / "out")

    first, second = (CliRunner().invoke(main, [*map(str, of)]) for _ in range(2))

    assert first.exit_code == second.exit_code == 70
    assert "1 of 3 rows: 1 proven, 0 s\n" in first.stderr
    assert f"{trailer.case} payload_kg=-5: fault: why not\n" in first.stderr
    assert "2 of 3 rows are there already and are taken over\n1 solved anew: they failed before\n" in second.stderr
    assert "Status: whole sweep of 3 rows: 2 proven, 1 fault\n" in second.stdout
    assert "seed 1, at most 300 s a row; 2 rows taken over" in second.stdout
