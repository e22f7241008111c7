"""Several cases or builds at once: one after the other, a headline each, the worst exit code."""

import json
import shutil
import signal
from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.builds import to_json
from tests import handmade
from tests.cli_help import command, run
from tests.conftest import Folders
from tests.reading_help import change


@pytest.fixture
def two(trailer: Folders) -> tuple[Path, Path]:
    """The trailer made by hand, and another of it that cannot carry anything."""
    other = Path(shutil.copytree(trailer.case, trailer.case.with_name("weak")))
    change(other / "case.toml", "payload_kg = 120", "payload_kg = 1")
    return trailer.case, other


def test_each_has_its_headline_and_the_worst_code_counts(two: tuple[Path, Path], trailer: Folders) -> None:
    good, weak = two

    both = run("build", good, weak, "--catalogue", trailer.catalogue, "--quiet")

    heads = [line for line in both.stdout.splitlines() if line.startswith(("==", "Status:"))]
    assert heads == [f"== {good}", "Status: proven", f"== {weak}", "Status: impossible"]
    assert both.exit_code == 3


def test_a_fault_of_one_stops_no_other(two: tuple[Path, Path], trailer: Folders) -> None:
    """A problem of the input is worse than what is proven of the others."""
    good, weak = two

    both = run("build", "nowhere", weak, good, "--catalogue", trailer.catalogue, "--quiet", "--json")

    found = json.loads(both.stdout)
    assert both.exit_code == 2
    assert found["nowhere"] is None
    assert [found[str(case)]["status"] for case in (weak, good)] == ["impossible", "proven"]
    assert "== nowhere\nnowhere: no such folder" in both.stderr


def test_several_are_written_by_their_names(two: tuple[Path, Path], trailer: Folders, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()

    run("build", *two, "--catalogue", trailer.catalogue, "--quiet", "--out", out)
    run("check", *two, "--catalogue", trailer.catalogue, "--draw", out)

    assert sorted(path.name for path in out.iterdir()) == ["handmade", "handmade.json", "weak"]
    assert (out / "weak" / "survey.html").exists()


def test_two_of_one_name_are_refused_where_something_is_to_be_written(trailer: Folders, tmp_path: Path) -> None:
    other = Path(shutil.copytree(trailer.case, tmp_path / "other" / "handmade"))

    refused = run("build", trailer.case, other, "--catalogue", trailer.catalogue, "--out", tmp_path)

    assert refused.exit_code == 2 and "two of the cases have one name" in refused.stderr
    assert run("check", trailer.case, other, "--catalogue", trailer.catalogue).exit_code == 0


def test_builds_of_one_case_are_audited_one_after_the_other(trailer: Folders, tmp_path: Path) -> None:
    fine, short = tmp_path / "fine.json", tmp_path / "short.json"
    fine.write_text(to_json(handmade.build()), encoding="utf-8")
    short.write_text(to_json(replace(handmade.build(), runs=handmade.build().runs[1:])), encoding="utf-8")

    both = run("audit", trailer.case, short, fine, "--catalogue", trailer.catalogue, "--json")

    assert both.exit_code == 1
    assert [audited["status"] for audited in json.loads(both.stdout).values()] == ["breach", "pass"]


@pytest.mark.slow
def test_a_ctrl_c_ends_the_row() -> None:
    cases = ("grey-month-van", "travelling-clinic", "tiny-trailer")
    process = command("build", *cases, "--seconds", "200")
    assert process.stderr is not None
    while "best" not in process.stderr.readline():
        pass

    process.send_signal(signal.SIGINT)
    stdout, _ = process.communicate(timeout=200)

    assert stdout.startswith("== grey-month-van") and "== travelling-clinic" not in stdout
    assert process.returncode == 4
