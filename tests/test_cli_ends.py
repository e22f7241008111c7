"""How a command ends: a Ctrl-C once all is written, options given twice, and where to go from an impossible case."""

import contextlib
import signal
import tomllib
from pathlib import Path

import pytest

from optimiser.builds import to_json
from optimiser.cli import reporting
from tests import handmade
from tests.cli_help import command, run
from tests.conftest import Folders
from tests.reading_help import change


@pytest.mark.slow
def test_a_ctrl_c_once_the_pack_is_written_changes_nothing(trailer: Folders, tmp_path: Path) -> None:
    (tmp_path / "build.json").write_text(to_json(handmade.build()), encoding="utf-8")
    out = tmp_path / "pack"
    process = command(
        "pack", trailer.case, tmp_path / "build.json", "--out", out, "--alone", "--catalogue", trailer.catalogue
    )
    assert process.stdout is not None and process.stderr is not None

    said = process.stdout.readline()
    while process.poll() is None:  # from its first line to its very end
        with contextlib.suppress(ProcessLookupError):
            process.send_signal(signal.SIGINT)

    assert "job pack in" in said and (out / "index.html").exists()
    told = process.stderr.read()
    assert process.wait() == 0 and "stopped" not in told and "Traceback" not in told


def test_a_ctrl_c_is_heard_until_all_is_settled(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reporting, "_settled", type(reporting._settled)())
    with pytest.raises(KeyboardInterrupt):
        reporting.heard()

    reporting.settled()

    reporting.heard()


@pytest.mark.parametrize(
    ("arguments", "option"),
    [
        (("build", "tiny-trailer", "--want", "cheapest", "--seconds", "5", "--seconds", "6"), "--seconds"),
        (("build", "tiny-trailer", "--want", "cheapest", "--want", "lightest"), "--want"),
        (("compare", "tiny-trailer", "--points", "3", "--points", "3"), "--points"),
        (("check", "tiny-trailer", "--json", "--json"), "--json"),
    ],
)
def test_an_option_given_twice_is_a_slip(arguments: tuple[str, ...], option: str) -> None:
    result = run(*arguments)

    assert (result.exit_code, result.stdout) == (2, "")
    assert f"Error: {option} is given 2 times; expected it once" in result.stderr


def test_what_may_be_repeated_may_be() -> None:
    result = run("check", "tiny-trailer", "--catalogue", "nowhere", "--catalogue", "neither")

    assert "nowhere" in result.stderr and "times" not in result.stderr


def test_an_impossible_case_says_where_to_go_on(trailer: Folders) -> None:
    shipped = run("build", "impossible-teardrop", "--want", "cheapest")
    change(trailer.case / "case.toml", "payload_kg = 120", "payload_kg = 1")
    own = run("build", trailer.case, "--catalogue", trailer.catalogue, "--want", "cheapest")

    assert shipped.exit_code == own.exit_code == 3
    assert "\n`optimiser explain impossible-teardrop` says what conflicts" in shipped.stdout
    assert "\n  payload: 1 kg there, " in own.stdout or "in the way is not known yet" in own.stdout  # on a slow machine
    assert f"`optimiser explain {trailer.case}`" in own.stdout.replace("\n", " ").replace("explain  ", "explain ")


def test_each_dependency_has_an_upper_end() -> None:
    project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))["project"]

    assert all("<" in name or "==" in name for name in project["dependencies"])
    assert "ortools==9.15.6755" in project["dependencies"]
