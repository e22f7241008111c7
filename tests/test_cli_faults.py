"""Faults of the program itself, and surroundings that are not as usual: streams, folder names, pipes, HOME."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from optimiser import FAULT, pipeline, printing
from optimiser.builds import from_json, to_json
from optimiser.cli import main
from optimiser.cli.crashing import SHOW
from optimiser.reading import read_inputs
from optimiser.texts import plain
from tests import handmade
from tests.cli_help import command, run
from tests.conftest import Folders

ODD = os.fsdecode(b"van\xff\x1b[31m")  # no UTF-8, and what turns a terminal red


# --- faults of the program -----------------------------------------------------------------------------


def failing(monkeypatch: pytest.MonkeyPatch) -> Result:
    def fails(*_: object) -> None:
        raise ZeroDivisionError("by \x1b[31m zero")

    monkeypatch.setattr(pipeline, "read", fails)
    return CliRunner().invoke(main, ["check", "tiny-trailer"])


def test_a_fault_has_a_code_and_a_line_of_its_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    result = failing(monkeypatch)

    (line,), (file,) = result.stderr.splitlines(), tmp_path.iterdir()
    assert (result.exit_code, result.stdout) == (FAULT, "")
    assert line.startswith("FAULT OF THE PROGRAM, not of your case or catalogue (ZeroDivisionError: by ")
    assert "report it with the case, the catalogue" in line and line.endswith(f"and {file}")
    assert "\x1b" not in line
    assert "Traceback" in file.read_text(encoding="utf-8") and "in fails" in file.read_text(encoding="utf-8")


@pytest.mark.parametrize("why", ["asked for", "no place for a file"])
def test_the_traceback_is_shown_where_it_is_wanted_or_cannot_be_kept(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, why: str
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / ("" if why == "asked for" else "missing")))
    if why == "asked for":
        monkeypatch.setenv(SHOW, "1")

    result = failing(monkeypatch)

    assert result.exit_code == FAULT
    assert "Traceback" in result.stderr and result.stderr.rstrip().endswith("and the traceback above")
    assert list(tmp_path.iterdir()) == []


def test_a_failure_while_it_solves_is_a_fault_too(monkeypatch: pytest.MonkeyPatch, trailer: Folders) -> None:
    def fails(*_: object, **__: object) -> None:
        raise RuntimeError("in a thread of its own")

    monkeypatch.setattr("optimiser.pipeline.answers.optimise", fails)
    result = CliRunner().invoke(
        main, ["build", str(trailer.case), "--catalogue", str(trailer.catalogue), "--want", "cheapest"]
    )

    assert result.exit_code == FAULT and "RuntimeError: in a thread of its own" in result.stderr


def test_wrong_usage_is_no_fault() -> None:
    assert (
        run("explain", "tiny-trailer", "--set", "payload_kg=+1", "--want", "cheapest", "--want", "lightest").exit_code
        == 2
    )


# --- streams -------------------------------------------------------------------------------------------


def _shell(line: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["bash", "-c", f"set -o pipefail; {line}"], capture_output=True, text=True, timeout=60)


OURS = f"{sys.executable} -m optimiser"


@pytest.mark.parametrize("closed", ["<&- >&-", *(pytest.param(one, marks=pytest.mark.slow) for one in (">&-", "<&-"))])
def test_closed_streams_change_no_exit_code(closed: str) -> None:
    process = _shell(f"{OURS} check tiny-trailer {closed}")

    assert (process.returncode, process.stderr) == (0, "")
    assert (process.stdout == "") is (">&-" in closed)


@pytest.mark.slow
def test_notes_do_not_get_among_the_json_where_stderr_is_closed() -> None:
    process = _shell(f"{OURS} check no-such-case --json 2>&-")

    assert (process.returncode, process.stdout) == (2, "")


@pytest.mark.slow
def test_a_reader_of_one_line_is_enough() -> None:
    process = _shell(f"{OURS} check tiny-trailer | head -1")

    assert (process.returncode, process.stdout, process.stderr) == (0, "Tiny trailer (tiny-trailer)\n", "")


def test_a_build_that_cannot_be_printed_is_written(trailer: Folders, tmp_path: Path) -> None:
    out = tmp_path / "build.json"
    options = f"--catalogue {trailer.catalogue} --want cheapest --out {out}"

    process = _shell(f"{OURS} build {trailer.case} {options} > /dev/full")

    assert process.returncode == 2 and "No space left" in process.stderr
    assert from_json(out.read_text(encoding="utf-8")).case == "handmade"


# --- names of folders ------------------------------------------------------------------------------------


def test_a_folder_of_an_odd_name_loses_no_solve(trailer: Folders, tmp_path: Path) -> None:
    folder, out = tmp_path / ODD, tmp_path / f"{ODD}.json"
    shutil.copytree(trailer.case, folder)

    result = run("build", folder, "--catalogue", trailer.catalogue, "--want", "cheapest", "--out", out)

    assert result.exit_code == 0
    assert "Status: proven" in result.stdout and "\x1b" not in result.output
    name = read_inputs(folder, trailer.catalogue)[0].name
    assert (
        from_json(out.read_text(encoding="utf-8")).case
        == name
        == "van\N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}[31m"
    )
    assert run("audit", folder, out, "--catalogue", trailer.catalogue).exit_code == 0


def test_nothing_that_a_terminal_obeys_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    printing.note(f"{ODD}: no such folder")
    printing.show(f"{ODD} is there\n\tand more")
    with printing.progress_line("cheapest", "cost", currency="cu", limit_s=1) as line:
        line.say(ODD)

    out, err = capsys.readouterr()
    assert "\x1b" not in out + err and "[31m" in out and "[31m" in err
    assert "is there\n" in out


def test_plain_text_stays_as_it_is() -> None:
    assert plain("grüne Wände 中 1°\n\tm²") == "grüne Wände 中 1°\n\tm²"
    assert plain("a\nb\x9b\x7f", keep="") == "a\N{REPLACEMENT CHARACTER}b" + 2 * "\N{REPLACEMENT CHARACTER}"


# --- pipes, and the home folder ---------------------------------------------------------------------------


@contextmanager
def in_time(seconds: int) -> Iterator[None]:
    """What waits longer fails."""

    def late(*_: object) -> None:
        raise TimeoutError(f"waited for {seconds} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


@pytest.mark.parametrize("of", ["build", "table", "readings"])
def test_a_pipe_is_not_waited_for(trailer: Folders, tmp_path: Path, of: str) -> None:
    build = tmp_path / "build.json"
    build.write_text(to_json(handmade.build()), encoding="utf-8")
    pipe = {"build": build, "table": trailer.case / "loads.csv", "readings": tmp_path / "readings.csv"}[of]
    pipe.unlink(missing_ok=True)
    os.mkfifo(pipe)
    arguments = ["commission" if of == "readings" else "audit", trailer.case, build]

    with in_time(20):
        result = run(*arguments, *([pipe] if of == "readings" else []), "--catalogue", trailer.catalogue)

    assert result.exit_code == 2 and "no ordinary file" in result.stderr


@pytest.mark.slow
def test_a_home_that_cannot_be_used_is_done_without(tmp_path: Path) -> None:
    """Below a file there is no folder, whoever asks; libraries that load may not fail for it."""
    (tmp_path / "file").write_text("", encoding="utf-8")
    home = {"HOME": str(tmp_path / "file" / "home")}
    env = {key: value for key, value in os.environ.items() if not key.startswith("XDG_")} | home
    process = command("compare", "tiny-trailer", "--seconds", "1", "--json", env=env)

    stdout, stderr = process.communicate(timeout=120)

    assert process.returncode in (0, 4)
    assert stderr.startswith("HOME cannot be used; ") and "Traceback" not in stderr
    assert json.loads(stdout)["status"]
    assert [path.name for path in tmp_path.iterdir()] == ["file"]
