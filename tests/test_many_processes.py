"""A sweep in processes of its own and on a cluster, with workers that are killed midway."""

import csv
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from optimiser.pipeline.many import cluster, crews
from tests.cli_help import command
from tests.conftest import Folders
from tests.many_help import MARKS, answered, dies, swept, worked
from tests.trying_help import refused

SETS = ("payload_kg=+0,+1,+2",)  # `dies` ends its process once for +1, and always for +2


@pytest.fixture
def marks(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where works leave marks; processes begun from now on know of it."""
    (tmp_path / "marks").mkdir()
    monkeypatch.setenv(MARKS, str(tmp_path / "marks"))
    return tmp_path / "marks"


@pytest.mark.slow
def test_a_child_killed_midway_is_replaced_and_its_row_tried_again(
    trailer: Folders, tmp_path: Path, marks: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked(monkeypatch, dies)
    monkeypatch.setattr(crews, "TRIES", 2)

    found = swept(trailer, tmp_path / "out", SETS, processes=2)

    assert [(row.status, row.tries) for row in found.rows] == [("proven", 1), ("proven", 2), ("fault", 2)]
    assert found.rows[0].cost == found.rows[1].cost is not None  # a kilogram of payload more changes nothing
    assert len([*marks.iterdir()]) == 2


@pytest.mark.slow
def test_ctrl_c_keeps_what_is_done_and_a_killed_parent_leaves_nobody(trailer: Folders, tmp_path: Path) -> None:
    out = tmp_path / "out"
    of = ("sweep", trailer.case, "--set", "payload_kg=1:60:1", "--catalogue", trailer.catalogue, "--out", out)

    code, stdout = _ended(command(*of), signal.SIGINT)

    done = _rows(out)
    assert code == 4 and 0 < len(done) < 60
    assert re.search(rf"^Status: part of the sweep, {len(done)} of 60 rows; stopped; the same", stdout, re.MULTILINE)
    again = command(*of)
    _ended(again, signal.SIGKILL)
    assert len(_rows(out)) >= len(done)
    assert not [path for path in out.rglob("*") if path.suffix not in (".csv", ".json") and path.is_file()]


def _ended(process: subprocess.Popen[str], by: signal.Signals) -> tuple[int, str]:
    """The code and the sheet of a sweep that gets a signal once it tells of a row; no child of it is left."""
    assert process.stderr is not None
    assert any(re.search(r"\d of 60 rows: \d", line) for line in process.stderr)
    children = _children(process.pid)
    assert children
    process.send_signal(by)
    stdout, _ = process.communicate(timeout=120)
    deadline = time.monotonic() + 60
    while any(Path(f"/proc/{child}").exists() for child in children):
        assert time.monotonic() < deadline, "a child lives on"
        time.sleep(0.1)
    return process.returncode, stdout


def _children(parent: int) -> list[str]:
    path = Path(f"/proc/{parent}/task/{parent}/children")
    if not path.exists():
        pytest.skip("this system does not tell the children of a process")
    return path.read_text().split()


def _rows(out: Path) -> list[dict[str, str]]:
    with (out / "rows.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# --- a cluster ---------------------------------------------------------------------------------------


@pytest.fixture
def scheduler(marks: Path) -> Iterator[Any]:
    """A scheduler of this machine with two workers, begun once the environment is as they shall know it."""
    distributed = pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    import dask

    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 1}),
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=True
        ) as found,
    ):
        yield found


@pytest.mark.slow
def test_a_cluster_gives_the_same_rows_though_a_worker_is_killed_midway(
    trailer: Folders, tmp_path: Path, marks: Path, scheduler: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = swept(trailer, tmp_path / "here", ("payload_kg=+0,+1",), processes=1)
    worked(monkeypatch, dies)

    found = swept(trailer, tmp_path / "there", ("payload_kg=+0,+1",), scheduler=scheduler.scheduler_address)

    figures = [[(row.status, row.cost, row.mass, row.bank) for row in one.rows] for one in (found, here)]
    assert figures[0] == figures[1] and len([*marks.iterdir()]) == 1
    assert (found.processes, found.code) == (None, 0)


@pytest.mark.slow
def test_a_row_that_kills_every_worker_says_so(
    trailer: Folders, tmp_path: Path, scheduler: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked(monkeypatch, dies)
    monkeypatch.setattr(cluster, "_TRIES", 1)

    (row,) = swept(trailer, tmp_path / "out", ("payload_kg=+2",), scheduler=scheduler.scheduler_address).rows

    assert (row.status, row.tries) == ("fault", 1) and "its worker was ended from outside 1 times" in row.why


@pytest.mark.slow
def test_a_scheduler_that_goes_ends_it_with_what_is_done(
    trailer: Folders, tmp_path: Path, scheduler: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked(monkeypatch, answered)
    monkeypatch.setattr(cluster, "_ANSWER_S", 5)

    found = swept(
        trailer, tmp_path / "out", ("payload_kg=1:40:1",), scheduler=scheduler.scheduler_address,
        found=lambda tally, row: scheduler.close(),
    )  # fmt: skip

    assert (found.state, found.why, found.code) == ("part", "the scheduler is gone", 4)
    assert {row.status for row in found.rows} == {"proven"} and len(_rows(tmp_path / "out")) == len(found.rows)


@pytest.mark.parametrize(
    ("digest", "wanted"),
    [("another", "runs another program"), (ModuleNotFoundError("no optimiser"), "cannot run the program (no opt")],
)
def test_workers_of_another_program_are_refused(digest: object, wanted: str) -> None:
    class Client:
        def run(self, asked: Any, on_error: str) -> dict[str, object]:
            return {"tcp://good": asked(), "tcp://bad": digest}

    (line,) = refused(lambda: cluster._check(Client(), "tcp://there"))  # type: ignore[arg-type]

    assert line.startswith(f"tcp://there: worker tcp://bad {wanted}") and "expected the same release" in line


def test_a_scheduler_that_nobody_is_at_is_refused(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    monkeypatch.setattr(cluster, "_ANSWER_S", 1)

    for address in ("tcp://127.0.0.1:9", "nothing"):
        (line,) = refused(lambda address=address: swept(trailer, tmp_path / "out", scheduler=address))  # type: ignore[misc]
        assert line.startswith(f"{address}: no scheduler answers (") and "expected one, as tcp://" in line


def test_without_its_package_a_cluster_is_refused(
    trailer: Folders, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)

    (line,) = refused(lambda: swept(trailer, tmp_path / "out", scheduler="tcp://127.0.0.1:9"))

    assert line.endswith("expected pip install 'optimiser[cluster]'")
