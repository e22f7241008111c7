"""The commands as processes: streams, terminals, pipes and Ctrl-C."""

import os
import pty
import re
import signal
import time
from pathlib import Path

import pytest

from optimiser.builds import to_json
from tests import handmade
from tests.cli_help import command, run
from tests.conftest import Folders


def test_progress_is_on_stderr_and_the_sheet_on_stdout(trailer: Folders) -> None:
    result = run("build", trailer.case, "--catalogue", trailer.catalogue, "--want", "lightest")

    assert result.exit_code == 0
    assert result.stdout.startswith("handmade (handmade)\n")
    told = re.compile(r"lightest: best (none yet|\d+\.\d{3} kg), bound .* s, solver limit 300 s$")
    assert all(told.match(line) for line in result.stderr.splitlines())
    assert result.stderr


def test_progress_is_one_line_on_a_terminal(trailer: Folders) -> None:
    ours, theirs = pty.openpty()
    options = {"stderr": theirs, "env": os.environ | {"TERM": "xterm", "COLUMNS": "100"}}
    process = command("build", trailer.case, "--catalogue", trailer.catalogue, "--want", "cheapest", **options)
    os.close(theirs)
    process.communicate(timeout=60)

    written = os.read(ours, 100_000).decode()

    assert process.returncode == 0
    assert "cheapest: best " in written
    assert written.count("\n") <= 1


def test_a_reader_that_stops_early_does_not_change_the_exit_code(trailer: Folders, tmp_path: Path) -> None:
    file = tmp_path / "by_hand.json"
    file.write_text(to_json(handmade.build()), encoding="utf-8")
    reading, writing = os.pipe()
    os.close(reading)
    process = command("audit", trailer.case, file, "--catalogue", trailer.catalogue, stdout=writing)
    os.close(writing)

    _, stderr = process.communicate(timeout=60)

    assert (process.returncode, stderr) == (0, "")


def test_ctrl_c_while_it_loads_is_no_traceback() -> None:
    codes = []
    for delay_s in (0.3, 0.6, 0.9):  # Python is up, the libraries are not all
        process = command("--version")
        time.sleep(delay_s)
        process.send_signal(signal.SIGINT)
        _, stderr = process.communicate(timeout=60)
        codes.append(process.returncode)
        assert stderr == ""
    assert set(codes) <= {130, 0, -signal.SIGINT}, codes  # 0: done before; the signal itself: before Python was up
    assert 130 in codes


def interrupted(case: str, file: Path, after: re.Pattern[str]) -> tuple[int, str]:
    """Start a long solve, interrupt it at the first line of progress that matches; code and stdout."""
    process = command("build", case, "--want", "cheapest", "--out", file)
    assert process.stderr is not None
    if not any(after.search(line) for line in process.stderr):
        pytest.skip("solved before it could be interrupted")
    process.send_signal(signal.SIGINT)
    stdout, _ = process.communicate(timeout=90)
    return process.returncode, stdout


def test_ctrl_c_ends_the_search(tmp_path: Path) -> None:
    code, stdout = interrupted("grey-month-van", tmp_path / "build.json", re.compile("best none yet"))

    assert code == 4
    assert re.search(r"^Status: (don't know|best found, gap \d+\.\d %)$", stdout, re.MULTILINE)


@pytest.mark.slow
def test_ctrl_c_keeps_the_best_build(tmp_path: Path) -> None:
    code, stdout = interrupted("travelling-clinic", tmp_path / "build.json", re.compile(r"best \d+\.\d\d"))

    assert code == 4
    assert "Status: best found, gap " in stdout
    assert run("audit", "travelling-clinic", tmp_path / "build.json").exit_code == 0
