"""`optimiser explain`: exit codes, what stands on stdout and stderr, and usage that teaches."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.cautions import CAUTIONS
from optimiser.explaining import Refused
from optimiser.pipeline import Inputs
from optimiser.solve import Outcome, Undecided
from tests.cli_help import run
from tests.conflicting import heat_and_inverter
from tests.conftest import Folders


@pytest.fixture
def hot(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Folders:
    """A vehicle without any build: its locker is too hot for its inverter. Its catalogue lacks whole classes of parts,
    which no folder may; so it is given as it is."""
    return _hot(tmp_path, monkeypatch)


def _hot(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Folders:
    built = heat_and_inverter()
    inputs = Inputs(folder, built.case, built.catalogue)
    monkeypatch.setattr("optimiser.pipeline.read", lambda *_: inputs)
    return Folders(folder, folder)


def explain(folders: Folders, *options: str) -> tuple[int, str, str]:
    result = run("explain", folders.case, "--catalogue", folders.catalogue, *options)
    return result.exit_code, result.stdout, result.stderr


def loaded(folders: Folders, *options: str) -> dict[str, Any]:
    found = json.loads(explain(folders, "--json", *options)[1])
    assert isinstance(found, dict)
    return found


def test_an_impossible_case_ends_with_its_conflict_and_code_3(hot: Folders) -> None:
    code, out, err = explain(hot)

    assert code == 3
    assert "Status: impossible, proven, " in out
    assert "no second look" not in out
    assert "a smallest conflict (proven), 3 of " in " ".join(out.split())
    assert "bay.heat[locker]: " in out
    assert "inverter.power: " in out
    assert "load.kettle.watt_w: 700 to 500" in " ".join(out.split())
    assert all(caution in " ".join(out.split()) for caution in CAUTIONS)
    assert "Traceback" not in err


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """The object of that vehicle, asked for once."""
    with pytest.MonkeyPatch.context() as patched:
        return loaded(_hot(tmp_path_factory.mktemp("hot"), patched))


def test_the_json_of_an_impossible_case(told: dict[str, Any]) -> None:
    found = told

    assert found["status"] == "impossible"
    conflict = found["conflict"]
    assert [row["requirement"] for row in conflict["requirements"]] == [
        "inverter.present",
        "inverter.power",
        "bay.heat[locker]",
    ]
    assert conflict["proven"] == {"minimal": True, "smallest": True}
    assert conflict["undecided"] == []
    assert all(row["in_every_conflict"] and not row["missed_by"]["ok"] for row in conflict["requirements"])
    change = next(c for c in found["changes"] if c["moves"][0]["address"] == "load.kettle.watt_w")
    assert (change["moves"][0]["before"], change["moves"][0]["after"]) == ("700", "500")
    assert change["moves"][0]["steps"] == 4
    assert change["least_proven"] is True
    assert all(finding["ok"] for finding in change["findings"])


def test_a_change_that_was_named_makes_the_case_solve(hot: Folders, told: dict[str, Any]) -> None:
    for change in told["changes"]:
        move = change["moves"][0]
        code, out, _ = explain(hot, "--set", f"{move['address']}={move['after']}")
        assert code == 0, out
        assert "As asked: impossible" in " ".join(out.split())
        assert "Changed: proven" in " ".join(out.split())


@pytest.mark.slow
def test_a_possible_case_ends_with_what_decides_and_code_0(trailer: Folders) -> None:
    found = loaded(trailer, "--by", "0")

    assert found["status"] == "possible"
    assert [deciding["want"] for deciding in found["deciding"]] == ["cheapest", "lightest"]
    for deciding in found["deciding"]:
        assert deciding["proven"] == {"minimal": True, "smallest": True}
        assert {row["requirement"].partition("[")[0] for row in deciding["requirements"]} == {
            *("inverter.present", "charge.asked_for", "measure.switch", "measure.channels"),  # wishes as such
            "energy.autonomy",
        }
        assert deciding["room"]
        assert {price["status"] for price in deciding["prices"]} <= {"proven", "impossible"}
        assert {limit["better_by_at_most"] for limit in deciding["limits"]} == {0}  # proven to save nothing
        assert deciding["no_room"] and {finding["margin"] for finding in deciding["no_room"]} == {0}
    assert found["deciding"][0]["margin"] == 0.01
    code, out, err = explain(trailer, "--want", "lightest", "--by", "0")
    assert code == 0
    told = [line for line in err.splitlines() if line.startswith("lightest: ")]
    assert told[0].startswith("lightest: Met with nothing to spare: ")  # at once, with a bound for all limits
    assert re.search(r"Given up by itself, saves at most \(bound\) [\d.]+ kg: .*energy\.autonomy", told[0])
    assert any(re.fullmatch(r"lightest: without it [\d.]+ kg less \(proven\): energy.autonomy", line) for line in told)
    assert "The lightest build" in out
    assert "The cheapest build" not in out
    assert "Nothing is 0.001 kg or more lighter because of these, a smallest set (proven):" in " ".join(out.split())


def _proven(found: Any) -> Any:
    """What is proven, without where things stand: of builds as good, either run may show another."""
    [deciding] = found["deciding"]
    limits = {limit["requirement"]: limit["better_by_at_most"] for limit in deciding["limits"]}
    kept = {key: value for key, value in deciding.items() if key not in ("limits", "room", "no_room")}
    return {**found, "earlier": 0, "seconds": 0, "deciding": (limits, kept)}


def test_a_second_run_takes_over_what_the_first_proved(
    trailer: Folders, monkeypatch: pytest.MonkeyPatch, shelf: Path
) -> None:
    first = loaded(trailer, "--want", "cheapest")

    def none(*_: Any, **__: Any) -> Outcome:
        return Undecided(None, None, None, 0, 1.0, "not asked: only what was proven is known")

    monkeypatch.setattr("optimiser.pipeline.explaining._Solver._best", none)
    monkeypatch.setattr("optimiser.pipeline.explaining.optimise", none)
    again = loaded(trailer, "--want", "cheapest")

    assert first["earlier"] == 0
    assert again["earlier"] > 0
    assert _proven(again) == _proven(first)


def test_undecided_is_neither_possible_nor_impossible(trailer: Folders, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(case: Case, catalogue: Catalogue, want: str, **_: Any) -> Outcome:
        return Undecided(None, None, None, 0, 1.0, "the time limit came before any build")

    monkeypatch.setattr("optimiser.pipeline.explaining.optimise", stopped)

    code, out, _ = explain(trailer, "--fresh")  # nothing that an earlier run proved

    assert code == 4
    assert "Status: don't know" in out
    assert "The cheapest build is undecided: the time limit came before any build." in " ".join(out.split())
    assert "proven" not in out


def test_a_fault_of_the_program_is_loud_and_shows_nothing(hot: Folders, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: Any) -> None:
        raise Refused(())

    monkeypatch.setattr("optimiser.pipeline.explaining.why_impossible", refused)

    code, out, _ = explain(hot)

    assert code == 1
    assert "did not pass the audit" in out


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--set", "payload_kg"], "expected"),
        (["--set", "payload_kgs=+5"], "payload_kg"),
        (["--drop", "mass.paylod"], "mass.payload"),
        (["--sweep", "autonomy_days=3:1:0.5"], "expected"),
        (["--sweep", "autonomy_days=1:2:1", "--set", "payload_kg=+5"], "--sweep goes by itself"),
        (["--set", "payload_kg=+5", "--want", "cheapest", "--want", "lightest"], "has one --want"),
        (["--by", "-1"], "0<=x<=50"),
    ],
)
def test_usage_that_cannot_be_meant_is_told(trailer: Folders, options: list[str], told: str) -> None:
    code, out, err = explain(trailer, *options)

    assert code == 2
    assert told in err
    assert out == ""
    assert "Traceback" not in err


def test_a_sweep_on_the_command_line(trailer: Folders) -> None:
    found = loaded(trailer, "--sweep", "autonomy_days=0.5:1:0.5")

    assert found["status"] == "whole"
    assert [row["value"] for row in found["rows"]] == [0.5, 1.0]
    costs = [row["cost"] for row in found["rows"]]
    assert costs == sorted(costs)
    _, _, err = explain(trailer, "--sweep", "autonomy_days=0.5:1:0.5")
    assert "proven, " in err
