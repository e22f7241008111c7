"""The front door for programs and notebooks: typed results, nothing printed, ended from outside."""

import re
import threading
from pathlib import Path

import pytest

from optimiser import library
from optimiser.fitted import cost_and_mass
from optimiser.pipeline import Inputs, Unusable
from optimiser.reading import CaseProblems
from optimiser.reference import page
from tests import handmade
from tests.cli_help import write_case, write_catalogue
from tests.conftest import Folders


@pytest.fixture(scope="module")
def trailer(tmp_path_factory: pytest.TempPathFactory) -> Inputs:
    """The trailer made by hand, as folders."""
    top, world = tmp_path_factory.mktemp("library"), handmade.world()
    parts = write_catalogue(top / "parts", world.catalogue, world.case)
    return library.read(write_case(top / "handmade", world.case), [parts])


def test_the_example_of_the_reference_runs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (code,) = re.findall(r"```python\n(.*?)```", page("library"), re.DOTALL)

    exec(code, {"folder": tmp_path})

    status, checked, files = capsys.readouterr().out.splitlines()[1:]
    assert re.fullmatch(r"proven \d+\.\d+ cu", status)
    assert re.fullmatch(r"\d+ requirements checked, 0 breaches", checked)
    assert int(files.split()[0]) == len([path for path in (tmp_path / "pack").rglob("*") if path.is_file()]) > 10


def test_nothing_is_printed_and_progress_is_told(trailer: Inputs, capfd: pytest.CaptureFixture[str]) -> None:
    heard = list[int | None]()

    best = library.build(trailer, "lightest", progress=lambda now: heard.append(now.best))

    assert best.status == "proven" and best.build is not None
    assert best.best == cost_and_mass(trailer.case, trailer.catalogue, best.build).grams
    assert best.best in heard
    assert capfd.readouterr() == ("", "")


# --- ended from outside: what is done is kept, what is not begun is left ----------------------------------


class Ender:
    """Says stop once it has heard of something, and holds up the work until it was asked."""

    def __init__(self) -> None:
        self.heard = list[object]()
        self._asked = threading.Event()

    def hear(self, what: object) -> None:
        self.heard.append(what)
        assert self._asked.wait(60), "never asked"

    def stop(self) -> bool:
        if self.heard:
            self._asked.set()
        return bool(self.heard)


def test_a_stop_from_outside_ends_a_build() -> None:
    best = library.build(library.read("travelling-clinic"), stop=lambda: True)

    assert best.status in ("don't know", "best found")


def test_a_stop_leaves_the_second_half_of_a_trial(trailer: Inputs) -> None:
    end = Ender()

    tried = library.what_if(trailer, ["payload_kg=+5"], step=end.hear, stop=end.stop)

    assert end.heard == ["as asked"]
    assert (tried.after.status, tried.rows) == ("don't know", ())


def test_a_stop_keeps_the_values_that_are_solved(trailer: Inputs) -> None:
    end = Ender()

    curve = library.sweep(trailer, "autonomy_days=0.5:1.5:0.1", found=end.hear, stop=end.stop)

    assert list(curve.rows) == end.heard and len(curve.rows) == 1
    assert (curve.state, curve.asked) == ("part", 11)
    assert curve.rows[0].answer.status == "proven"


@pytest.mark.slow
def test_a_stop_ends_the_options_of_a_pack_and_writes_it(fronted: Folders, tmp_path: Path, shelf: Path) -> None:
    case, end, begun = library.read(fronted.case, [fronted.catalogue]), Ender(), list[str]()
    best = library.build(case).build
    assert best is not None

    packed = library.pack(
        case,
        best,
        tmp_path / "pack",
        options=True,
        whole=True,
        explained=True,
        found=end.hear,
        begun=begun.append,
        stop=end.stop,
    )

    assert packed.front is not None and packed.front.state == "part of the front"
    assert (len(end.heard), begun) == (1, [])
    assert (tmp_path / "pack" / "index.html").is_file() and packed.code == 4


def test_a_front_and_what_decides(trailer: Inputs) -> None:
    found = list[object]()

    front = library.compare(trailer, fresh=True, whole=True, found=found.append)
    why = library.explain(trailer, ["cheapest"])

    assert front.state == "whole front" and len(found) == len(front.choices)
    assert why.verdict == "possible" and [deciding.want for deciding in why.deciding] == ["cheapest"]


def test_results_show_themselves_with_the_cautions(trailer: Inputs) -> None:
    best = library.build(trailer)
    assert best.build is not None
    shown = (best, library.audit(trailer, best.build), library.compare(trailer, points=2), library.check(trailer))

    for result in shown:
        html = result._repr_html_()
        assert html.startswith("<pre") and "<script" not in html
        assert "can kill" in html or result is shown[-1]  # a check sizes nothing


def test_a_build_with_a_breach_is_told_and_gets_no_pack(trailer: Inputs, tmp_path: Path) -> None:
    fine = handmade.build()
    spoilt = type(fine)(**{**fine.__dict__, "runs": fine.runs[1:]})

    assert library.audit(trailer, spoilt).breaches
    with pytest.raises(Unusable, match=r"breach: run\.complete"):
        library.pack(trailer, spoilt, tmp_path / "pack")
    assert not (tmp_path / "pack").exists()


def test_problems_are_raised_not_printed(tmp_path: Path) -> None:
    with pytest.raises(Unusable, match="no such folder"):
        library.read("nowhere")
    with pytest.raises(CaseProblems, match="missing file"):
        library.read(tmp_path)
