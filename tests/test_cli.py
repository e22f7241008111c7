"""The commands: exit codes, what stands on stdout and stderr, what is written."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

from optimiser.builds import Build, Claim, from_json
from optimiser.cautions import CAUTIONS
from optimiser.reading import input_hash, read_catalogue
from optimiser.rules import KNOWN
from optimiser.solve import Outcome, Solved, Undecided
from tests import handmade
from tests.cli_help import run
from tests.conftest import Folders
from tests.reading_help import change


def built(folders: Folders, *options: str | Path) -> Result:
    """``build`` on the handmade trailer."""
    want = () if "--want" in options else ("--want", "cheapest")
    return run("build", folders.case, "--catalogue", folders.catalogue, *want, *options)


def audited(folders: Folders, file: Path, *options: str) -> Result:
    """``audit`` on the handmade trailer."""
    return run("audit", folders.case, file, "--catalogue", folders.catalogue, *options)


def by_hand() -> Build:
    """The build made by hand, with what it costs and weighs."""
    claim = Claim(want="cheapest", status="by hand", cost_cents=72_175, mass_g=20_510, seed=1, workers=1)
    return replace(handmade.build(), claim=claim)


def answers(monkeypatch: pytest.MonkeyPatch, outcome: Outcome | BaseException) -> None:
    """Let the next solve end so."""

    def optimise(*_: Any, **__: Any) -> Outcome:
        if isinstance(outcome, BaseException):
            raise outcome
        return outcome

    monkeypatch.setattr("optimiser.pipeline.answers.optimise", optimise)


# --- new and check ---------------------------------------------------------------------------------------


def test_new_writes_a_case_that_checks(tmp_path: Path) -> None:
    assert run("new", tmp_path / "van").exit_code == 0

    checked = run("check", tmp_path / "van")

    assert checked.exit_code == 0
    assert "Small camper van (van)" in checked.stdout
    assert "What the loads take" in checked.stdout


def test_new_leaves_a_folder_in_use_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")

    again = run("new", tmp_path)

    assert (again.exit_code, again.stdout) == (2, "")
    assert str(tmp_path) in again.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_every_problem_of_a_case_is_a_line(tmp_path: Path) -> None:
    run("new", tmp_path / "van")
    change(tmp_path / "van" / "loads.csv", "fridge,dc,,50,", "fridge,dc,,fifty,")
    change(tmp_path / "van" / "ways.csv", "gland_drop,roof_gland,cupboard,1700", "gland_drop,roof_gland,cupboard,-1")
    change(tmp_path / "van" / "case.toml", "labour_per_h = 70", "labour = 70")

    for arguments in (["check"], ["build", "--want", "cheapest", "--out", str(tmp_path / "out.json")]):
        result = run(*arguments, tmp_path / "van")

        assert (result.exit_code, result.stdout) == (2, "")
        lines = result.stderr.splitlines()
        assert len(lines) == 3
        assert lines[0].startswith("case.toml:")
        assert re.match(r"loads\.csv:\d+:watt_w: 'fifty' .*; expected a number above 0", lines[1])
        assert re.match(r"ways\.csv:\d+:length_mm: .*; expected ", lines[2])
    assert not (tmp_path / "out.json").exists()


def test_a_shipped_case_goes_by_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)

    assert run("check", "travelling-clinic").exit_code == 0
    unknown = run("check", "travelling-clinics")

    assert unknown.exit_code == 2
    assert unknown.stderr.startswith("travelling-clinics: no such folder; expected ")
    assert unknown.stderr.rstrip().endswith("travelling-clinic")


@pytest.mark.parametrize(
    "arguments", [["--wants"], ["--want", "biggest"], *(["--want", "cheapest", "--seconds", s] for s in ("0", "nan"))]
)
def test_wrong_usage_is_code_2(trailer: Folders, arguments: list[str]) -> None:
    result = run("build", trailer.case, *arguments)

    assert (result.exit_code, result.stdout) == (2, "")
    assert "--" in result.stderr


# --- build -----------------------------------------------------------------------------------------------


def test_a_proven_build_is_shown_written_and_passes_its_audit(trailer: Folders, tmp_path: Path) -> None:
    file = tmp_path / "build.json"

    result = built(trailer, "--out", file, "--seed", "7", "--workers", "1")

    assert result.exit_code == 0, result.output
    assert "Status: proven\n" in result.stdout
    assert "Want:   cheapest\n" in result.stdout
    claim = from_json(file.read_text(encoding="utf-8")).claim
    assert claim.cost_cents is not None
    assert claim.mass_g is not None
    assert f"Cost:   {claim.cost_cents / 100:.2f} cu\n" in result.stdout
    assert f"Mass:   {claim.mass_g / 1000:.3f} kg\n" in result.stdout
    assert (claim.status, claim.seed, claim.workers) == ("proven", 7, 1)
    assert claim.inputs == input_hash(trailer.case, read_catalogue(trailer.catalogue))
    assert {"optimiser", "python", "ortools"} <= set(claim.versions)
    again = audited(trailer, file)
    assert (again.exit_code, again.stderr) == (0, "")


def test_the_sheet_reads_without_a_terminal_and_carries_the_cautions(trailer: Folders) -> None:
    lines = built(trailer).stdout.splitlines()

    assert max(map(len, lines)) <= 100
    assert not any("\x1b" in line or "…" in line for line in lines)
    assert set(CAUTIONS) <= set(lines)
    assert any(line.startswith(f"Rule set default: of {len(KNOWN)} figures {len(KNOWN)} memory.") for line in lines)


def test_one_json_object_and_nothing_else(trailer: Folders) -> None:
    result = built(trailer, "--json")

    answer = json.loads(result.stdout)
    assert result.exit_code == 0
    assert (answer["status"], answer["want"], answer["gap"]) == ("proven", "cheapest", 0)
    assert answer["bound"] == answer["cost"] == answer["build"]["claim"]["cost_cents"] / 100
    assert answer["mass"] == answer["build"]["claim"]["mass_g"] / 1000
    assert all(finding["ok"] for finding in answer["findings"])
    assert {"requirement", "limit", "actual", "unit", "margin", "ok", "sentence"} == set(answer["findings"][0])


def test_the_same_inputs_give_the_same_build(trailer: Folders) -> None:
    first, second = (json.loads(built(trailer, "--json", "--workers", "1").stdout) for _ in range(2))

    assert (first["cost"], first["mass"]) == (second["cost"], second["mass"])
    assert first["build"] == second["build"]


def test_the_lightest_weighs_less_and_costs_more(trailer: Folders) -> None:
    path = trailer.catalogue / "mains_chargers.csv"
    header, row = path.read_text(encoding="utf-8").splitlines()
    cells = dict(zip(header.split(","), row.split(","), strict=True))
    light = cells | {"name": "mains-charger-light", "price": "100", "mass_kg": "0.1"}
    path.write_text("\n".join([header, row, ",".join(light.values())]) + "\n", encoding="utf-8")

    cheapest = json.loads(built(trailer, "--json").stdout)
    lightest = json.loads(built(trailer, "--json", "--want", "lightest").stdout)

    assert lightest["status"] == "proven"
    assert (lightest["cost"], lightest["mass"]) == pytest.approx((cheapest["cost"] + 90, cheapest["mass"] - 0.4))


def test_impossible_is_code_3_and_writes_nothing(trailer: Folders, tmp_path: Path) -> None:
    change(trailer.case / "case.toml", "budget = 2000", "budget = 200")

    result = built(trailer, "--out", tmp_path / "build.json")
    as_json = built(trailer, "--json")

    assert (result.exit_code, as_json.exit_code) == (3, 3)
    assert "Status: impossible\n" in result.stdout
    answer = json.loads(as_json.stdout)
    assert [answer[key] for key in ("status", "cost", "mass", "bound", "gap", "build")] == ["impossible", *[None] * 5]
    assert not (tmp_path / "build.json").exists()


def test_undecided_with_a_build_shows_the_gap_and_writes_it(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    claim = replace(by_hand().claim, status="best found", bound=67_001)
    build = replace(by_hand(), claim=claim)
    answers(monkeypatch, Undecided(build, 69_200, 20_510, 67_001, 3.0, "the time limit came"))

    result = built(trailer, "--out", tmp_path / "build.json")
    answer = json.loads(built(trailer, "--json").stdout)

    assert result.exit_code == 4
    assert "Status: best found, gap 3.2 %\n" in result.stdout  # 2199 of 69200 is 3.178 %
    assert "none can be below 670.01 cu; the time limit came" in result.stdout
    assert from_json((tmp_path / "build.json").read_text(encoding="utf-8")).claim.status == "best found"
    assert (answer["status"], answer["bound"], answer["gap"]) == ("best found", 670.01, pytest.approx(2199 / 69_200))


def test_undecided_without_a_build_says_so(trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    answers(monkeypatch, Undecided(None, None, None, 50_000, 3.0, "the time limit came"))

    result = built(trailer, "--out", tmp_path / "build.json")

    assert result.exit_code == 4
    assert "Status: don't know\n" in result.stdout
    assert not (tmp_path / "build.json").exists()
    assert json.loads(built(trailer, "--json").stdout)["build"] is None


def test_a_build_that_fails_its_audit_is_neither_shown_nor_written(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    short = replace(by_hand(), claim=replace(by_hand().claim, cost_cents=1))
    answers(monkeypatch, Solved(short, 1, 20_510, 1.0))

    result = built(trailer, "--out", tmp_path / "build.json")
    as_json = built(trailer, "--json")

    assert (result.exit_code, as_json.exit_code) == (1, 1)
    assert "Status: breach\n" in result.stdout
    assert "inverter-1500" not in result.stdout
    for stderr in (result.stderr, as_json.stderr):
        assert stderr.startswith("FAULT OF THE PROGRAM")
        assert "breach: claim.cost[0.01]: the build says 0.01, which is 721.74 from what it costs" in stderr
    answer = json.loads(as_json.stdout)
    assert [answer[key] for key in ("status", "cost", "mass", "bound", "gap", "build")] == ["breach", *[None] * 5]
    assert not (tmp_path / "build.json").exists()


def test_an_unusable_target_is_refused_before_the_solve(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers(monkeypatch, AssertionError("solved all the same"))

    for target in (tmp_path / "none" / "build.json", tmp_path):
        result = built(trailer, "--out", target)

        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith(f"{target}: ")


def test_a_later_catalogue_is_laid_over_the_first(trailer: Folders, tmp_path: Path) -> None:
    over = tmp_path / "over"
    over.mkdir()
    text = (trailer.catalogue / "mains_chargers.csv").read_text(encoding="utf-8")
    (over / "mains_chargers.csv").write_text(text.replace("mains-charger-30,10", "mains-charger-30,25"), "utf-8")

    plain = json.loads(built(trailer, "--json").stdout)
    dearer = json.loads(built(trailer, "--json", "--catalogue", over).stdout)

    assert dearer["cost"] == pytest.approx(plain["cost"] + 15)
    missing = built(trailer, "--catalogue", tmp_path / "none")
    assert (missing.exit_code, missing.stdout) == (2, "")
    assert missing.stderr.startswith(f"{tmp_path / 'none'}: no such folder")


# --- audit -----------------------------------------------------------------------------------------------


def test_audit_lists_every_finding(trailer: Folders, build_file: Path) -> None:
    result = audited(trailer, build_file)
    answer = json.loads(audited(trailer, build_file, "--json").stdout)

    text = re.sub(r" +", " ", result.stdout)
    assert result.exit_code == 0
    assert "handmade (handmade): 721.75 cu, 20.510 kg\n" in text
    assert "\n mass.payload kg 120 20.5 99.49 pass\n" in text
    assert f"\n{len(answer['findings'])} findings, no breaches.\n" in text
    assert set(CAUTIONS) <= set(result.stdout.splitlines())
    assert (answer["status"], answer["cost"], answer["mass"]) == ("pass", 721.75, 20.51)


def test_a_breach_is_code_1_with_its_sentence(trailer: Folders, build_file: Path) -> None:
    change(build_file, '"x_mm": 1630', '"x_mm": 1620')

    result = audited(trailer, build_file)

    assert result.exit_code == 1
    assert "1 breach:" in result.stdout
    assert "breach: roof.panel_gap[roof]: panels of roof are 20 mm apart, 25 mm required" in result.stdout
    assert re.search(r"roof\.panel_gap\[roof\] +mm +25 +20 +-5 +BREACH", result.stdout)
    answer = json.loads(audited(trailer, build_file, "--json").stdout)
    assert (answer["status"], [f["requirement"] for f in answer["findings"] if not f["ok"]]) == (
        "breach",
        ["roof.panel_gap[roof]"],
    )


def _unknown_part(file: Path) -> None:
    change(file, '"module": "module-100"', '"module": "module-1000"')


def _unknown_field(file: Path) -> None:
    change(file, '"module": "module-100"', '"module": "module-100", "modul": 1')


def _folder_instead(file: Path) -> None:
    file.unlink()
    file.mkdir()


SPOILT: dict[str, tuple[Callable[[Path], Any], str]] = {
    "unknown part": (_unknown_part, "bank: unknown part 'module-1000'"),
    "unknown field": (_unknown_field, "bank.modul: "),
    "cut short": (lambda file: file.write_text('{"case":', encoding="utf-8"), "1:9: not JSON"),
    "no end of brackets": (lambda file: file.write_text("[" * 100_000, encoding="utf-8"), "cannot be read as JSON"),
    "no end of digits": (
        lambda file: file.write_text('{"x": ' + "9" * 5000 + "}", encoding="utf-8"),
        "cannot be read as JSON",
    ),
    "not to be printed": (
        lambda file: change(file, '"module": "module-100"', '"module": "module\\u0001"'),
        "bank.module: cannot be printed as it is; expected text of one line",
    ),
    "not text": (lambda file: file.write_bytes(b"\xff\xfe{"), "not UTF-8"),
    "gone": (lambda file: file.unlink(), "cannot be read (No such file or directory)"),
    "a folder": (_folder_instead, "cannot be read (Is a directory)"),
}


def test_a_name_no_system_takes_is_told(tmp_path: Path) -> None:
    result = run("check", tmp_path / ("a" * 300))

    assert (result.exit_code, result.stdout) == (2, "")
    assert "File name too long; expected a path that can be used" in result.stderr


@pytest.mark.parametrize("fault", SPOILT)
def test_a_build_file_that_cannot_be_used_is_code_2(trailer: Folders, build_file: Path, fault: str) -> None:
    spoil, complaint = SPOILT[fault]
    spoil(build_file)

    result = audited(trailer, build_file)

    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert result.stderr.startswith(f"{build_file}:")
    assert complaint in result.stderr


def test_audit_says_when_the_build_was_made_from_other_inputs(trailer: Folders, tmp_path: Path) -> None:
    file = tmp_path / "build.json"
    built(trailer, "--out", file)
    change(trailer.case / "case.toml", "payload_kg = 120", "payload_kg = 121")

    result = audited(trailer, file)

    assert result.exit_code == 0
    assert result.stderr == f"{file}: case or catalogue have changed since the build was made\n"


def test_audit_says_when_the_build_is_of_another_case(trailer: Folders, build_file: Path) -> None:
    change(build_file, '"case": "handmade"', '"case": "other"')

    result = audited(trailer, build_file)

    assert result.stderr == f"{build_file}: the build is for case 'other'; it is checked against 'handmade' here\n"
