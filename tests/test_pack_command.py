"""The command that makes a job pack: what it writes and refuses, and what may be said of a build's being the best."""

import csv
import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from optimiser.builds import Claim, from_json
from optimiser.fitted import cost_and_mass
from optimiser.measures import Measure
from optimiser.packing import Wanted, make
from optimiser.packing.options import options, proven_as
from optimiser.packing.page import page
from optimiser.pipeline import claimed_as
from optimiser.solve import Stop
from tests.cli_help import run
from tests.packed_help import compared, files_of, inputs, packed, page_of
from tests.packing_help import FOLDER
from tests.parsed import parsed


def _build(name: str) -> Path:
    return FOLDER / f"{name}-cheapest.json"


def test_the_command_writes_the_whole_folder(tmp_path: Path) -> None:
    out = tmp_path / "pack"

    result = run("pack", "tiny-trailer", _build("tiny-trailer"), "--out", out, "--alone", "--json")

    assert result.exit_code == 0
    told = json.loads(result.stdout)
    written = sorted(str(path.relative_to(out)) for path in out.rglob("*") if path.is_file())
    assert told["files"] == written
    assert told["options"] == 1
    assert not [path for path in tmp_path.iterdir() if path != out]
    page = parsed((out / "index.html").read_text(encoding="utf-8"))
    assert "Only this build was asked for" in page.sections["options"]
    assert from_json((out / "build.json").read_text()) == from_json(_build("tiny-trailer").read_text())


def test_a_build_of_other_inputs_is_not_called_proven(tmp_path: Path) -> None:
    shutil.copytree(inputs("tiny-trailer").folder, tmp_path / "tiny-trailer")
    brief = tmp_path / "tiny-trailer" / "case.toml"
    brief.write_text(brief.read_text().replace("autonomy_days = 1.5", "autonomy_days = 0.5"))

    result = run("pack", tmp_path / "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path / "pack", "--alone")

    assert result.exit_code == 0
    html = (tmp_path / "pack" / "index.html").read_text(encoding="utf-8")
    assert "Whether it is the best is not known: case or catalogue have changed since the build was made" in html
    assert "Proven the cheapest" not in html
    assert "Proven the cheapest" in page_of("tiny-trailer")


@pytest.mark.parametrize(
    "claim",
    [
        {"cost_cents": None, "mass_g": None},
        {"inputs": ""},
        {"bound": None},
        {"want": "safest"},
        {"status": "Complies with every rule"},
    ],
    ids=lambda claim: next(iter(claim)),
)
def test_a_claim_that_does_not_cover_the_build_is_not_repeated(claim: dict[str, Any]) -> None:
    made = packed("tiny-trailer")
    build = replace(made.fit.build, claim=replace(made.fit.build.claim, **claim))

    assert claimed_as(made.inputs, made.fit.build) == "the cheapest"
    assert claimed_as(made.inputs, build) == ""


def test_of_a_build_without_a_claim_it_is_not_known_to_be_the_best() -> None:
    made = packed("tiny-trailer")
    fit = replace(made.fit, build=replace(made.fit.build, claim=Claim(status="Complies with every rule")))

    html = page(replace(made, fit=fit, proven="", claimed=claimed_as(made.inputs, fit.build)), None)

    assert f"Whether it is the best is not known. {len(made.findings)} requirements checked" in html
    assert "Complies" not in html and "Proven the cheapest" not in html


def test_a_build_altered_by_hand_is_not_called_proven() -> None:
    """A thicker cable, and a claim without cost and mass, so that the audit has nothing to hold against it."""
    made = packed("tiny-trailer")
    runs = tuple(replace(run, cable="cable-dc-10") if run.name == "dc_loads" else run for run in made.fit.build.runs)
    bare = replace(made.fit.build.claim, cost_cents=None, mass_g=None)
    its = cost_and_mass(made.inputs.case, made.inputs.catalogue, replace(made.fit.build, runs=runs))
    forged = replace(bare, cost_cents=its.cents, mass_g=its.grams)

    for claim in (bare, forged):  # the bound is still the cheapest build's
        assert claimed_as(made.inputs, replace(made.fit.build, runs=runs, claim=claim)) == ""


def test_a_point_of_a_front_says_what_it_is_proven_to_be() -> None:
    made = packed("tiny-trailer")
    claim = replace(made.fit.build.claim, want="front of cost and mass")

    assert (
        claimed_as(made.inputs, replace(made.fit.build, claim=claim)) == "to be a point of the front of cost and mass"
    )


def test_the_word_of_a_file_is_told_as_no_more_than_that() -> None:
    made = replace(packed("tiny-trailer"), claimed="the lightest")

    alone, beside = page(replace(made, proven=""), None), page(replace(made, proven="the cheapest"), None)

    assert "Its file says that it was proven the lightest; that is not proven again here. " in alone
    assert "Proven the" not in alone
    assert "Proven the cheapest; " in beside and "the lightest; " not in beside


def test_a_claim_written_by_hand_proves_nothing() -> None:
    """The cheapest build, called the lightest with all that goes with it, packed without a solve."""
    content = json.loads(_build("tiny-trailer").read_text())
    made = packed("tiny-trailer")
    its = cost_and_mass(made.inputs.case, made.inputs.catalogue, made.fit.build)
    content["claim"] |= {"want": "lightest", "bound": its.grams, "cost_cents": its.cents, "mass_g": its.grams}
    build = from_json(json.dumps(content))

    forged, front = make(
        made.inputs, build, Wanted(None, False), Stop(), lambda _: None, lambda _: None, lambda _: None, lambda _: None,
    )  # fmt: skip

    assert forged.proven == "" and "Proven the" not in page(forged, front)


@pytest.mark.parametrize(
    ("want", "best_in", "expected"),
    [
        ("cheapest", ("cost",), "the cheapest"),
        ("lightest", ("mass",), "the lightest"),
        ("cheapest", ("cost", "mass"), "the cheapest"),
        ("lightest", (), "to be a point of the front of cost and mass"),
        ("cheapest", (), "to be a point of the front of cost and mass"),
    ],
)
def test_what_the_front_of_this_run_proves(want: str, best_in: tuple[Measure, ...], expected: str) -> None:
    """No more than of which measure it is the best: of a front to a tolerance an end may be left out."""
    made, front = packed("tiny-trailer", want), compared("tiny-trailer")
    found = replace(front, choices=tuple(replace(choice, best_in=best_in) for choice in front.choices))
    unproven = replace(found, choices=tuple(replace(choice, proven=False) for choice in found.choices))

    assert proven_as(made.options, found) == expected
    assert proven_as(made.options, None) == ""
    assert proven_as(options(made.inputs, made.fit.build, unproven, {}), unproven) == ""


def test_a_build_with_a_breach_gets_no_pack(tmp_path: Path) -> None:
    build = json.loads(_build("tiny-trailer").read_text())
    build["panels"][0]["x_mm"] += 2000
    (tmp_path / "wrong.json").write_text(json.dumps(build))

    result = run("pack", "tiny-trailer", tmp_path / "wrong.json", "--out", tmp_path / "pack", "--alone")

    assert result.exit_code == 1
    assert "breach: roof.inside[roof]" in result.stderr
    assert not (tmp_path / "pack").exists()


def test_a_page_of_a_build_that_does_not_hold_says_so() -> None:
    """No command writes it, and no call may make it look whole."""
    made = packed("tiny-trailer")
    broken = replace(made, findings=(replace(made.findings[0], ok=False), *made.findings[1:]))

    assert "requirements checked, all are met." in page(made, None)
    told = page(broken, None)
    assert "requirements checked, 1 are NOT met." in told and "all are met." not in told


def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")

    result = run("pack", "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path, "--alone")

    assert result.exit_code == 2
    assert "expected an empty folder" in result.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_readings_join_the_pack(tmp_path: Path) -> None:
    """Own draw far too high, all else left blank."""
    head = [line for line in _sheet_lines() if line.startswith("#")]
    lines = list(csv.reader(line for line in _sheet_lines() if not line.startswith("#")))
    idle = next(row for row in lines if row[0] == "idle.current_a")
    idle[lines[0].index("measured")] = "99"
    with (tmp_path / "filled.csv").open("w", newline="") as file:
        file.write("".join(f"{line}\n" for line in head))
        csv.writer(file).writerows(lines)

    result = run(
        "pack", "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path / "pack", "--alone",
        "--readings", tmp_path / "filled.csv",
    )  # fmt: skip

    assert result.exit_code == 1, result.stderr  # as commission has it
    assert "Readings: 0 in band, 1 out of band" in result.stdout
    table = parsed((tmp_path / "pack" / "index.html").read_text(encoding="utf-8")).table("report")
    verdicts = {row[0]: row[7] for row in table.body}
    assert verdicts.pop("idle.current_a") == "out of band (high)"
    assert set(verdicts.values()) == {"not tested"}


def _sheet_lines() -> list[str]:
    return files_of("tiny-trailer")["test-sheet.csv"].decode().splitlines()


def test_pack_alone_goes_without_points(tmp_path: Path) -> None:
    result = run("pack", "tiny-trailer", _build("tiny-trailer"), "--out", tmp_path / "p", "--alone", "--points", "3")

    assert result.exit_code == 2
    assert "--alone" in result.stderr
