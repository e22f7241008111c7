"""``compare``: the front as a sheet, as JSON and as files; what is kept between runs, and what is not."""

import json
import re
import signal
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest

from optimiser.builds import from_json
from optimiser.cautions import CAUTIONS
from optimiser.fitted import cost_and_mass
from optimiser.pipeline import EXIT_CODES, Inputs, read
from optimiser.pipeline.comparing import State
from optimiser.solve import Point, Unanswered
from tests.cli_help import command, run
from tests.comparing_help import EARLIER, POINTS, Asked, Solves, compared, never, rows
from tests.conftest import Folders
from tests.reading_help import change

pytestmark = pytest.mark.usefixtures("shelf")


def inputs_of(fronted: Folders) -> Inputs:
    return read(str(fronted.case), [str(fronted.catalogue)])


def breached(number: int, found: Asked) -> Asked:
    """From the second on, a build that says it costs a cent."""
    if number == 1 or not isinstance(found, Point):
        return found
    build = found.found.build
    assert build is not None
    return replace(found, found=replace(found.found, build=replace(build, claim=replace(build.claim, cost_cents=1))))


# --- the sheet, the object, the files --------------------------------------------------------------------


def steps(sheet: str) -> list[tuple[int, int, int, int]]:
    """From, to, cents and grams of each step; long ones are wrapped."""
    text = sheet.partition("From each to the next:")[2].partition("findings checked")[0].replace("\n", " ")
    found = re.findall(r"(\d+) to (\d+): .*?: ([+-]\d+\.\d\d) cu, ([+-]\d+\.\d+) kg", text)
    return [(int(a), int(b), round(100 * float(cost)), round(1000 * float(mass))) for a, b, cost, mass in found]


def test_the_whole_front_as_a_sheet_and_as_builds(fronted: Folders, tmp_path: Path) -> None:
    result = compared(fronted, "--out", tmp_path / "builds")

    assert result.exit_code == 0
    assert "Status: proven: the whole front of cost and mass, 4 points\n" in result.stdout
    assert rows(result.stdout) == POINTS
    assert set(CAUTIONS) <= set(result.stdout.splitlines())
    assert all(len(line) <= 100 and "…" not in line for line in result.stdout.splitlines())
    assert "requirements checked by the audit over all points; all are met." in result.stdout
    points = [line for line in result.stderr.splitlines() if re.match(r"point \d: \d", line)]
    assert points == [f"point {k}: {c / 100:.2f} cu, {g / 1000:.3f} kg" for k, (c, g) in enumerate(POINTS, start=1)]
    files = sorted((tmp_path / "builds").iterdir())
    assert [file.name for file in files] == [f"point-{k}.json" for k in range(1, 5)]
    assert f"4 builds written in {tmp_path / 'builds'}\n" in result.stderr
    inputs, audited = inputs_of(fronted), []
    for file in files:
        check = run("audit", fronted.case, file, "--catalogue", fronted.catalogue)
        assert (check.exit_code, check.stderr) == (0, "")
        audited.append(cost_and_mass(inputs.case, inputs.catalogue, from_json(file.read_text(encoding="utf-8"))))
    assert audited == POINTS
    assert steps(result.stdout) == [
        (k, k + 1, other.cents - one.cents, other.grams - one.grams)
        for k, (one, other) in enumerate(pairwise(audited), start=1)
    ]
    assert "1 to 2: alternator-charger-30-light for alternator-charger-30" in result.stdout


def test_the_bar_grows_from_the_worst_to_the_best(fronted: Folders) -> None:
    bars = re.findall(r"kg ?( #+)?$", compared(fronted).stdout.partition("From each")[0], re.MULTILINE)

    assert [bar.count("#") for bar in bars] == [round(24 * (15_410 - mass) / 500) for _, mass in POINTS]


def test_one_json_object_and_nothing_else(fronted: Folders) -> None:
    result = compared(fronted, "--json")

    answer = json.loads(result.stdout)
    assert result.exit_code == 0
    assert list(answer) == ["status", "measures", "why", "confirmed", "apart", "points", "steps", "caution"]
    assert (answer["status"], answer["measures"], answer["why"]) == ("whole front", ["cost", "mass"], "")
    for point, (cents, grams) in zip(answer["points"], POINTS, strict=True):
        assert set(point) == {"cost", "mass", "proven", "best_in", "main_parts", "build", "findings"}
        assert (point["cost"], point["mass"], point["proven"]) == (cents / 100, grams / 1000, True)
        claim = point["build"]["claim"]
        assert (claim["cost_cents"], claim["mass_g"], claim["status"]) == (cents, grams, "proven")
        assert point["findings"] and all(finding["ok"] for finding in point["findings"])
    for step, (one, other) in zip(answer["steps"], pairwise(POINTS), strict=True):
        assert set(step) == {"line", "cost", "mass"}
        assert step["cost"] == pytest.approx((other[0] - one[0]) / 100)
        assert step["mass"] == pytest.approx((other[1] - one[1]) / 1000)
    assert answer["caution"] == " ".join(CAUTIONS)


@pytest.mark.slow  # each point of this front is a proof of some seconds
def test_another_pair_of_measures_shows_them_beside_cost_and_mass(fronted: Folders) -> None:
    result = compared(fronted, "--measures", "cost, annual_surplus")
    answer = json.loads(compared(fronted, "--measures", "cost,annual_surplus", "--json").stdout)

    assert "the whole front of cost and annual surplus of the sun, 4 points" in result.stdout
    surplus = [float(x) for x in re.findall(r"^ +\d+ .* kg +(-?\d+\.\d) kWh", result.stdout, re.MULTILINE)]
    assert surplus == sorted(surplus) and len(surplus) == 4
    assert answer["measures"] == ["cost", "annual_surplus"]
    assert [point["annual_surplus"] for point in answer["points"]] == pytest.approx(surplus, abs=0.05)
    costs = [point["cost"] for point in answer["points"]]
    assert costs == sorted(costs)


def test_the_first_measure_is_where_it_starts(fronted: Folders) -> None:
    assert rows(compared(fronted, "--measures", "mass,cost").stdout) == POINTS[::-1]


def test_so_many_points(fronted: Folders) -> None:
    result = compared(fronted, "--points", "2")

    assert result.exit_code == 0
    assert "Status: proven: 2 points of the front of cost and mass, both ends among them\n" in result.stdout
    assert rows(result.stdout) == [POINTS[0], POINTS[-1]]
    assert rows(compared(fronted, "--points", "3").stdout) == [POINTS[0], POINTS[2], POINTS[3]]  # at 15.16 kg or less


def test_a_front_of_one_point(trailer: Folders) -> None:
    result = compared(trailer)

    assert "the whole front of cost and mass, 1 point\n" in result.stdout
    assert "From each to the next" not in result.stdout and rows(result.stdout) == POINTS[:1]


# --- what is refused -------------------------------------------------------------------------------------


@pytest.mark.parametrize("given", ["cost", "cost,cost", "cost,price", "", "cost,mass,days_without_sun", "cost mass"])
def test_measures_that_are_none(fronted: Folders, solves: Solves, given: str) -> None:
    solves.instead = never

    result = compared(fronted, "--measures", given)

    assert (result.exit_code, result.stdout) == (2, "")
    told = " ".join(re.sub(r"[│╭╮╰╯─]", " ", result.stderr).split())
    known = "cost, mass, days_without_sun, spare_payload, annual_surplus"
    assert f"'--measures': {given!r}; expected two of {known} with a comma between" in told


@pytest.mark.parametrize("option", [("--points", "1"), ("--points", "0"), ("--seconds", "0"), ("--want", "cheapest")])
def test_wrong_usage_is_code_2(fronted: Folders, option: tuple[str, str]) -> None:
    result = compared(fronted, *option)

    assert (result.exit_code, result.stdout) == (2, "")
    assert option[0] in result.stderr


def test_a_folder_in_use_is_refused_before_the_solve(fronted: Folders, solves: Solves, tmp_path: Path) -> None:
    solves.instead = never
    (tmp_path / "file").write_text("mine", encoding="utf-8")

    for target in (fronted.case, tmp_path / "file", tmp_path / "none" / "builds"):
        result = compared(fronted, "--out", target)

        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith(f"{target}: ") and "expected" in result.stderr
    (tmp_path / "empty").mkdir()
    solves.instead = lambda _, found: found
    assert compared(fronted, "--out", tmp_path / "empty").exit_code == 0
    assert len(list((tmp_path / "empty").iterdir())) == 4


def test_impossible_is_code_3_and_writes_nothing(fronted: Folders, tmp_path: Path) -> None:
    change(fronted.case / "case.toml", "budget = 2000", "budget = 200")

    result = compared(fronted, "--out", tmp_path / "builds")
    answer = json.loads(compared(fronted, "--points", "3", "--json").stdout)

    assert result.exit_code == 3
    nothing = "No build of this catalogue meets every requirement of the case; proven, "
    assert f"Status: impossible\n{nothing}" in result.stdout
    assert (answer["status"], answer["points"], answer["steps"]) == ("impossible", [], [])
    assert not (tmp_path / "builds").exists()


# --- what ends it early ----------------------------------------------------------------------------------


def test_undecided_before_any_point(fronted: Folders, solves: Solves, tmp_path: Path) -> None:
    solves.instead = lambda *_: Unanswered("the time limit came before any build")

    result = compared(fronted, "--out", tmp_path / "builds")

    assert result.exit_code == 4
    assert "Status: don't know\nNo build found, and no proof of none: the time limit came before any build.\n" in (
        result.stdout
    )
    assert not (tmp_path / "builds").exists()


def test_undecided_after_a_point_keeps_it(fronted: Folders, solves: Solves, tmp_path: Path) -> None:
    solves.instead = lambda number, found: found if number == 1 else Unanswered("time is up")

    result = compared(fronted, "--out", tmp_path / "builds")

    assert result.exit_code == 4
    assert "Status: part of the front of cost and mass: 1 point, each proven; time is up\n" in result.stdout
    assert rows(result.stdout) == POINTS[:1]
    assert [file.name for file in (tmp_path / "builds").iterdir()] == ["point-1.json"]
    solves.instead, solves.count = lambda _, found: found, 0
    again = compared(fronted)
    assert rows(again.stdout) == POINTS
    assert again.stderr.count(EARLIER) == 1 and solves.count == 4  # three points, and that there is no other


def test_a_point_that_is_not_proven_says_so_and_is_not_kept(fronted: Folders, solves: Solves) -> None:
    def unsure(number: int, found: Asked) -> Asked:
        return replace(found, proven=False) if number == 2 and isinstance(found, Point) else found

    solves.instead = unsure

    result = compared(fronted)

    assert result.exit_code == 4
    assert "part of the front of cost and mass: 2 points, 1 of them best found, not proven; " in (
        result.stdout.replace("\n", " ")
    )
    assert re.search(r"^ +2 +585\.75 cu .*best found$", result.stdout, re.MULTILINE)
    assert "point 2: 585.75 cu, 15.310 kg (best found)\n" in result.stderr
    solves.count = 0
    answer = json.loads(compared(fronted, "--fresh", "--json").stdout)
    assert [point["proven"] for point in answer["points"]] == [True, False]
    solves.instead, solves.count = lambda _, found: found, 0
    assert compared(fronted).stderr.count(EARLIER) == 1
    assert solves.count == 4


def test_a_build_that_fails_its_audit_is_neither_shown_nor_kept(
    fronted: Folders, solves: Solves, shelf: Path, tmp_path: Path
) -> None:
    solves.instead = breached

    result = compared(fronted, "--out", tmp_path / "builds")
    solves.count = 1
    as_json = compared(fronted, "--fresh", "--json")

    assert (result.exit_code, as_json.exit_code) == (1, 1)
    assert "Status: breach\nWhat was found did not pass the audit: it is neither shown nor kept.\n" in result.stdout
    assert rows(result.stdout) == [] and "585.75" not in result.output
    assert "FAULT OF THE PROGRAM" in result.stderr and "claim.cost[0.01]" in result.stderr
    answer = json.loads(as_json.stdout)
    assert (answer["status"], answer["points"], answer["steps"]) == ("breach", [], [])
    assert not (tmp_path / "builds").exists()
    assert not any('"cost_cents": 1,' in file.read_text(encoding="utf-8") for file in shelf.iterdir())


@pytest.mark.slow
def test_ctrl_c_keeps_the_points_and_a_later_run_goes_on(fronted: Folders) -> None:
    process = command("compare", fronted.case, "--catalogue", fronted.catalogue, "--workers", "1", "--all")
    assert process.stderr is not None
    assert any(re.match(r"point 1: \d", line) for line in process.stderr)
    process.send_signal(signal.SIGINT)
    stdout, stderr = process.communicate(timeout=60)
    if process.returncode == 0:
        pytest.skip("done before it could be interrupted")

    assert process.returncode == 4
    assert "Traceback" not in stderr
    assert "Status: part of the front of cost and mass: " in stdout
    found = rows(stdout)
    assert found and found == POINTS[: len(found)]
    again = compared(fronted)
    assert (again.exit_code, rows(again.stdout)) == (0, POINTS)
    assert again.stderr.count(EARLIER) == sum("best found" not in line for line in table_lines(stdout))


@pytest.mark.slow
def test_ctrl_c_in_the_middle_of_a_solve() -> None:
    """Seconds of work are left after the first point, so that here there is no being done before."""
    process = command("compare", "tiny-trailer", "--all")
    try:
        assert process.stderr is not None
        assert any(re.match(r"point 1: \d", line) for line in process.stderr)
        process.send_signal(signal.SIGINT)
        stdout, _ = process.communicate(timeout=15)
    finally:
        process.kill()

    assert process.returncode == 4
    assert "Status: part of the front of cost and mass: " in stdout
    again = compared(("tiny-trailer", "shipped"), "--seconds", "1")
    assert rows(again.stdout)[0] == rows(stdout)[0]  # it is still there, and not proven by that
    if again.exit_code == 4:  # a quick machine proves all of it anew in that second
        assert "Status: part of the front of cost and mass: " in again.stdout
        assert all("best found" in line for line in table_lines(again.stdout))
    else:
        assert again.exit_code == 0 and "Status: proven: the whole front" in again.stdout


def table_lines(sheet: str) -> list[str]:
    return [line for line in sheet.splitlines() if re.match(r" +\d+ +\d+\.\d\d cu", line)]


# --- the JSON of the other commands ----------------------------------------------------------------------


def test_check_as_json(fronted: Folders) -> None:
    result = run("check", fronted.case, "--catalogue", fronted.catalogue, "--json")

    seen = json.loads(result.stdout)
    assert result.exit_code == 0
    assert set(seen) == {
        "status",
        "title",
        "scenarios",
        "zones",
        "bays",
        "built",
        "ways",
        "existing",
        "old_parts",
        "driven",
        "oddities",
        "notes",
    }
    assert (seen["title"], seen["status"]) == ("handmade (handmade)", "odd" if seen["oddities"] else "read")
    (summer,) = seen["scenarios"]
    assert (summer["name"], summer["hours"]) == ("summer", 48)
    assert (summer["dc_wh"], summer["inverter_wh"], summer["hook_up_wh"]) == (2 * 726, 2 * 600, 2 * 1000)
    assert [zone["name"] for zone in seen["zones"]] == ["roof"]
    assert seen["zones"][0]["area_m2"] == pytest.approx(3 * 1.8)
    assert [bay["name"] for bay in seen["bays"]] == ["box", "locker", "nose"]
    assert {way["name"]: way["length_mm"] for way in seen["ways"]}["tow_way"] == 6000
    assert [kept["name"] for kept in seen["existing"]] == ["old_battery"]
    for oddity in seen["oddities"]:
        assert set(oddity) == {"place", "text"}


def test_new_as_json(tmp_path: Path) -> None:
    result = run("new", tmp_path / "van", "--json")

    told = json.loads(result.stdout)
    assert (result.exit_code, result.stderr) == (0, "")
    assert told == {
        "status": "written",
        "folder": str(tmp_path / "van"),
        "files": sorted(path.name for path in (tmp_path / "van").iterdir()),
    }
    assert {"case.toml", "loads.csv"} <= set(told["files"])
    checked = json.loads(run("check", tmp_path / "van", "--json").stdout)
    assert checked["title"] == "Small camper van (van)" and checked["status"] in ("read", "odd")
    again = run("new", tmp_path / "van", "--json")
    assert (again.exit_code, again.stdout) == (2, "")


def test_check_as_json_of_a_case_with_problems(fronted: Folders) -> None:
    change(fronted.case / "loads.csv", "fridge,dc", "fridge,steam")

    result = run("check", fronted.case, "--catalogue", fronted.catalogue, "--json")

    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("loads.csv:")


def test_every_state_has_its_code() -> None:
    assert {state: EXIT_CODES[state] for state in get_args(State)} == {
        "front to a tolerance": 0, "whole front": 0, "points of the front": 0, "breach": 1, "impossible": 3,
        "part of the front": 4, "don't know": 4,
    }  # fmt: skip
