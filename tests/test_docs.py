"""README.md and DEVELOPERS.md against the code: what a newcomer sees first is what the program does now."""

import csv
import re
from pathlib import Path
from typing import get_args

import pytest

from optimiser import FAULT, INTERRUPTED
from optimiser.cautions import CAUTIONS
from optimiser.cli import main
from optimiser.pipeline import EXIT_CODES, Status
from optimiser.reading import shipped_cases
from optimiser.reference import page
from tests.pages import readme
from tests.pictures import FOLDER, pictures

TOP = Path(__file__).resolve().parents[1]
README = (TOP / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
CI = (TOP / ".ci" / "run").read_text(encoding="utf-8")
MOST_LINES = 220


def test_the_readme_begins_with_the_job_and_the_two_lines_that_ci_runs() -> None:
    paragraphs = [block for block in README.split("\n\n") if not block.startswith("#")]

    job, _, main_job, _, tests = paragraphs[:5]
    assert "proves" in job
    assert all(line.startswith("```sh\n(python3 -m venv .venv") for line in (main_job, tests))
    assert main_job.endswith("optimiser build cases/tiny-trailer --want cheapest\n```")
    assert tests.endswith("-m pytest -q -n 2\n```")
    assert README.count("\n(python3 -m venv") == 2
    assert "< <(grep '^(python3 -m venv' README.md)" in CI


def test_the_readme_is_short_and_names_every_command_and_case() -> None:
    assert README.count("\n") <= MOST_LINES
    assert all(f"optimiser {name}" in README for name in main.commands)
    assert all(path.name in README for path in shipped_cases().iterdir())
    assert all(caution in README for caution in CAUTIONS)


@pytest.mark.slow
def test_what_the_readme_shows_is_what_a_fresh_run_prints() -> None:
    """Figures of cost and mass to the digit; where others lie may differ from run to run, of builds as good."""
    made = readme()

    assert [_plain(line) for line in made.splitlines()] == [_plain(line) for line in README.splitlines()]
    assert made.count("```console") >= 3


def _plain(line: str) -> str:
    if line.startswith(("Cost:", "Mass:")):
        return line
    return re.sub(r"( |─)+", r"\1", re.sub(r"\d+(\.\d+)?", "N", line))  # columns are as wide as their figures


def test_exit_codes_are_listed() -> None:
    told = {cells[0]: cells[1] for cells in re.findall(r"^\| `(\d+)` \| (.*?) \|$", page("commands"), re.MULTILINE)}

    assert set(told) == {"0", "1", "2", "3", "4", str(FAULT), str(INTERRUPTED)}
    for status in get_args(Status):
        assert status in told[str(EXIT_CODES[status])]


def test_developers_know_every_file() -> None:
    for path in sorted((TOP / "optimiser").iterdir()):
        if (path.suffix == ".py" and not path.name.startswith("__")) or (path / "__init__.py").exists():
            assert f"`{path.name}`" in DEVELOPERS or f"`{path.name}/`" in DEVELOPERS, path.name


def test_the_pictures_are_what_the_program_draws() -> None:
    """Of the stored builds, which test_cases.py holds to be as good as a fresh one."""
    stored = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.iterdir()}

    assert stored == pictures()
    for name in stored:
        assert f"(.pictures/{name})" in README


@pytest.mark.parametrize(
    ("shape", "table", "name"),
    [("zone", "cases/tiny-trailer/zones.csv", "roof"), ("panel", "catalogue/panels.csv", "panel-175-rigid")],
)
def test_a_picture_measures_what_survey_and_catalogue_say(shape: str, table: str, name: str) -> None:
    """With a ruler on the stored file, at the scale it names [mm]."""
    lines = [line for line in (TOP / table).read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    row = next(row for row in csv.DictReader(lines) if row["name"] == name)
    svg = (FOLDER / "tiny-trailer-roof.svg").read_text(encoding="utf-8")
    (scale,) = re.findall(r'style="width:[\d.]+mm"[^>]* data-scale="(\d+)"', svg)

    paths = re.findall(rf'<path d="M([\d. L]+) Z"[^>]*class="{shape}"', svg)
    assert len(paths) == 1
    xs, ys = zip(*(map(float, point.split()) for point in paths[0].split("L")), strict=True)
    drawn = [int(scale) * (max(values) - min(values)) for values in (xs, ys)]
    assert drawn == pytest.approx([int(row["length_mm"]), int(row["width_mm"])], abs=0.5)
