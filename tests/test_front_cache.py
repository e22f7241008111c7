"""Builds kept between runs: taken over without their word, and left aside where anything is not as it was."""

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from optimiser import pipeline
from optimiser.builds import to_json
from optimiser.fitted import cost_and_mass
from optimiser.solve import Point, Stop, Unanswered
from tests import handmade
from tests.comparing_help import EARLIER, POINTS, Asked, Solves, compared, rows, write_fronted
from tests.conftest import Folders
from tests.reading_help import change

pytestmark = pytest.mark.usefixtures("shelf")

Points = list[dict[str, Any]]


@pytest.fixture(scope="module")
def first_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Case, catalogue and what a first run with them kept."""
    folder = tmp_path_factory.mktemp("first")
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CACHE_HOME", str(folder / "cache"))
        assert rows(compared(write_fronted(folder)).stdout) == POINTS
    return folder


@pytest.fixture
def solved(fronted: Folders, first_run: Path, solves: Solves, shelf: Path) -> Solves:
    """A first run is done."""
    copytree(first_run / "cache" / "optimiser", shelf)
    return solves


def test_a_second_run_takes_over_all_and_proves_it_with_one_question(fronted: Folders, solves: Solves) -> None:
    first = compared(fronted)
    solves.count = 0

    again = compared(fronted)

    assert (again.exit_code, again.stdout) == (0, first.stdout)
    assert [line for line in again.stderr.splitlines() if EARLIER in line] == [
        f"point {k}: {cents / 100:.2f} cu, {grams / 1000:.3f} kg {EARLIER}"
        for k, (cents, grams) in enumerate(POINTS, start=1)
    ]
    assert (solves.count, solves.within) == (1, 4)  # that nothing else is worth showing; within kinds, of the first run
    assert rows(compared(fronted, "--points", "3").stdout) == [POINTS[0], POINTS[2], POINTS[3]]


def test_points_apart_serve_the_whole_front(fronted: Folders, solves: Solves) -> None:
    compared(fronted, "--points", "2")
    solves.count = 0

    whole = compared(fronted)

    assert rows(whole.stdout) == POINTS
    assert whole.stderr.count(EARLIER) == 2
    assert solves.count == 3  # two points, and that the last is the next after them; none beyond the far end


def test_points_are_kept_as_they_are_found(fronted: Folders, shelf: Path, solves: Solves) -> None:
    """Whatever ends the program: the file is written before the point is told."""

    def kept(stop_at: int, *, proven: bool) -> list[int]:
        counts: list[int] = []
        solves.count = 0
        solves.instead = lambda number, found: _ended(found, proven=proven) if number == stop_at else found
        inputs = pipeline.read(str(fronted.case), [str(fronted.catalogue)])
        stop, tell = Stop(60, 1, 1), lambda _: counts.append(len(json.loads(next(shelf.iterdir()).read_bytes())))
        pipeline.compare(inputs, ("cost", "mass"), pipeline.Extent(), stop, lambda _: None, tell)
        return counts

    assert kept(2, proven=False) == [1, 1]  # what is not proven is told, but not kept
    assert kept(3, proven=True) == [1, 2, 3]
    assert kept(0, proven=True) == [3, 3, 3, 4]


def _ended(found: Asked, *, proven: bool) -> Asked:
    if proven or not isinstance(found, Point):
        return Unanswered("time is up")
    return replace(found, proven=False)


def test_fresh_solves_again(fronted: Folders, solved: Solves) -> None:
    again = compared(fronted, "--fresh")

    assert rows(again.stdout) == POINTS and EARLIER not in again.stderr and solved.count == 5
    assert compared(fronted).stderr.count(EARLIER) == 4  # and keeps what it finds


def test_what_was_found_in_other_inputs_is_not_taken_over(fronted: Folders, solved: Solves) -> None:
    change(fronted.case / "case.toml", "payload_kg = 120", "payload_kg = 121")
    other_case = compared(fronted, "--points", "2")
    change(fronted.catalogue / "mains_chargers.csv", "mains-charger-30-light,100", "mains-charger-30-light,101")
    other_parts = compared(fronted, "--points", "2")

    assert EARLIER not in other_case.stderr + other_parts.stderr and solved.count == 4
    assert rows(other_parts.stdout) == [POINTS[0], (POINTS[-1][0] + 100, POINTS[-1][1])]


@pytest.mark.parametrize("measures", ["mass,cost", "cost,spare_payload"])
def test_other_measures_have_a_shelf_of_their_own(fronted: Folders, solved: Solves, measures: str) -> None:
    assert EARLIER not in compared(fronted, "--points", "2", "--measures", measures).stderr
    assert solved.count == 2
    assert compared(fronted).stderr.count(EARLIER) == 4 and solved.count == 3


def test_what_another_program_found_is_not_taken_over(
    fronted: Folders, solved: Solves, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pipeline.front_cache, "program_digest", lambda: "another")

    assert EARLIER not in compared(fronted).stderr and solved.count == 5


# --- files that are not as they were -----------------------------------------------------------------


def _breach(points: Points) -> None:
    points[1]["build"]["fitted"][0]["x_mm"] = 0  # too near the edge of its board


def _dearer(points: Points) -> None:
    points[1]["build"]["claim"]["cost_cents"] = 1


def _unknown_part(points: Points) -> None:
    points[1]["build"]["bank"]["module"] = "module-1000"


def _figure_gone(points: Points) -> None:
    del points[1]["figures"]["mass"]


def _wrong_figure(points: Points) -> None:
    points[1]["figures"]["cost"] -= 1


def _another_build(points: Points) -> None:
    points[1]["build"] = points[2]["build"]


SPOILT: list[Callable[[Points], None]] = [
    _breach, _dearer, _unknown_part, _figure_gone, _wrong_figure, _another_build,
]  # fmt: skip


@pytest.mark.parametrize("spoil", SPOILT, ids=lambda spoil: spoil.__name__)
def test_a_point_that_is_not_what_it_says_is_found_again(
    fronted: Folders, shelf: Path, solved: Solves, spoil: Callable[[Points], None]
) -> None:
    (file,) = shelf.iterdir()
    points = json.loads(file.read_text(encoding="utf-8"))
    assert [(point["figures"]["cost"], point["figures"]["mass"]) for point in points] == POINTS
    spoil(points)
    file.write_text(json.dumps(points), encoding="utf-8")

    again = compared(fronted)

    assert (again.exit_code, rows(again.stdout)) == (0, POINTS)
    assert again.stderr.count(EARLIER) == 3 and solved.count == 2  # it, and that there is no other
    assert compared(fronted).stderr.count(EARLIER) == 4  # the file is whole again


# --- files that say more than they are -----------------------------------------------------------------


def _only_one(points: Points) -> None:
    del points[1:]


def _dominated(points: Points) -> None:
    """A build that holds, and is dearer and heavier than all points, in place of them."""
    world, build = handmade.world(), handmade.build()
    total = cost_and_mass(world.case, world.catalogue, build)
    claim = replace(build.claim, want="front of cost and mass", status="proven", bound=1)
    figures = {"cost": total.cents, "mass": total.grams}
    points[:] = [{"figures": figures, "build": json.loads(to_json(replace(build, claim=claim)))}]


FORGED = [_only_one, _dominated]


@pytest.mark.parametrize("forge", FORGED, ids=lambda forge: forge.__name__)
@pytest.mark.parametrize("marks", [{}, {"under": None, "least": True, "proven": True}], ids=["bare", "marked"])
def test_a_file_is_believed_no_proof(
    fronted: Folders, shelf: Path, solved: Solves, forge: Callable[[Points], None], marks: dict[str, Any]
) -> None:
    (file,) = shelf.iterdir()
    points = json.loads(file.read_text(encoding="utf-8"))
    forge(points)
    file.write_text(json.dumps([{**point, **marks} for point in points]), encoding="utf-8")

    ends, whole = compared(fronted, "--points", "2"), compared(fronted)

    assert (ends.exit_code, rows(ends.stdout)) == (0, [POINTS[0], POINTS[-1]])
    assert "proven: the whole front of cost and mass, 4 points" in whole.stdout
    assert (whole.exit_code, rows(whole.stdout)) == (0, POINTS)


def test_what_was_not_proven_in_this_run_is_not_called_proven(fronted: Folders, solved: Solves) -> None:
    """The solver comes to nothing: builds of an earlier run are shown, each as what was found and no more."""
    solved.instead = lambda *_: Unanswered("time is up")

    again, as_json = compared(fronted), json.loads(compared(fronted, "--json").stdout)

    assert (again.exit_code, rows(again.stdout)) == (4, POINTS)
    assert "part of the front of cost and mass: 4 points, 4 of them best found, not proven" in again.stdout
    assert [point["proven"] for point in as_json["points"]] == [False] * 4
    assert {point["build"]["claim"]["status"] for point in as_json["points"]} == {"best found"}


def _folder(file: Path) -> None:
    file.unlink()
    file.mkdir()


FILES: dict[str, Callable[[Path], Any]] = {
    "cut short": lambda file: file.write_text(file.read_text(encoding="utf-8")[:-100], encoding="utf-8"),
    "empty": lambda file: file.write_bytes(b""),
    "not text": lambda file: file.write_bytes(b"\xff\xfe{"),
    "something else": lambda file: file.write_text('{"points": 4}', encoding="utf-8"),
    "a field less": lambda file: file.write_text(file.read_text(encoding="utf-8").replace('"system_v": 12, ', "", 1)),
    "gone": lambda file: file.unlink(),
    "a folder": _folder,
}


@pytest.mark.parametrize("spoilt", FILES)
def test_a_file_that_cannot_be_used_is_left_aside(fronted: Folders, shelf: Path, solved: Solves, spoilt: str) -> None:
    (file,) = shelf.iterdir()
    FILES[spoilt](file)

    again = compared(fronted, "--points", "2")

    assert (again.exit_code, rows(again.stdout)) == (0, [POINTS[0], POINTS[-1]])
    assert EARLIER not in again.stderr and solved.count == 2
    assert [path for path in shelf.iterdir() if path.name.startswith(".")] == []  # no drafts are left about


def test_a_cache_that_cannot_be_written_is_done_without(
    fronted: Folders, solves: Solves, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "taken").write_text("a file where the folder would be", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "taken"))

    first, again = compared(fronted), compared(fronted)

    assert (first.exit_code, first.stdout) == (0, again.stdout)
    assert rows(again.stdout) == POINTS and EARLIER not in again.stderr and solves.count == 10
    assert "taken" not in first.stderr


def test_without_a_place_of_its_own_the_cache_is_in_the_home_folder(
    fronted: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))

    compared(fronted, "--points", "2")

    (file,) = (tmp_path / "home" / ".cache" / "optimiser").iterdir()
    assert len(json.loads(file.read_text(encoding="utf-8"))) == 2
