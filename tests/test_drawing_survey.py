"""The survey drawn before anything is solved: everything entered is there to scale, and what is wrong is marked."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from optimiser.cli import main
from optimiser.drawing import Sheet
from optimiser.drawing.shapes import Box
from optimiser.drawing.shapes import Path as Line
from optimiser.drawing.survey import Marks
from optimiser.pipeline.surveying import sketched as in_sheets
from optimiser.reading import Sketch, read_sketch, shipped_cases, shipped_catalogue

CASES = sorted(folder.name for folder in shipped_cases().iterdir() if folder.is_dir())


def sketched(folder: Path) -> Sketch:
    return read_sketch(folder, shipped_catalogue())


def drawn(sketch: Sketch) -> tuple[dict[str, Sheet], Marks]:
    sheets, marks = in_sheets(sketch)
    return {sheet.key: sheet for sheet in sheets}, marks


def boxes(sheet: Sheet, layer: str) -> list[tuple[float, float, float, float]]:
    closed = [shape for shape in sheet.shapes if isinstance(shape, Line) and shape.closed and shape.layer == layer]
    around = [Box(*shape.points[0], *shape.points[2]) for shape in closed]
    return [(box.x0, box.y0, box.x1, box.y1) for box in around]


@pytest.fixture(params=CASES)
def sketch(request: pytest.FixtureRequest) -> Sketch:
    return sketched(shipped_cases() / str(request.param))


def test_no_text_covers_another(sketch: Sketch) -> None:
    assert all(sheet.clashes() == [] for sheet in drawn(sketch)[0].values())


def test_zones_obstacles_and_bays_lie_where_they_were_entered(sketch: Sketch) -> None:
    sheets, _ = drawn(sketch)

    for zone in sketch.zones:
        expected = (zone.x_mm, zone.y_mm, zone.x_mm + zone.length_mm, zone.y_mm + zone.width_mm)
        assert expected in boxes(sheets["survey-roof"], "zone")
    for it in sketch.obstacles:
        expected = (it.x_mm, it.y_mm, it.x_mm + it.length_mm, it.y_mm + it.width_mm)
        assert expected in boxes(sheets["survey-roof"], "obstacle")
        around = Box(*expected).grown(it.clear_mm)
        assert (around.x0, around.y0, around.x1, around.y1) in boxes(sheets["survey-roof"], "clearance")
    for bay in sketch.bays:
        x, y = bay.length_mm / 2, bay.width_mm / 2
        inside = (bay.x_mm - x, bay.y_mm - y, bay.x_mm + x, bay.y_mm + y)
        assert inside in boxes(sheets["survey-vehicle"], "body")
        sizes = [(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes(sheets[f"survey-bay-{bay.name}"], "outline")]
        assert (bay.opening_length_mm, bay.opening_width_mm) in sizes


# --- faults --------------------------------------------------------------------------------------------


def _replace(file: str, old: str, new: str) -> Callable[[Path], None]:
    def change(folder: Path) -> None:
        text = (folder / file).read_text(encoding="utf-8")
        assert old in text
        (folder / file).write_text(text.replace(old, new), encoding="utf-8")

    return change


def _second_zone(folder: Path) -> None:
    with (folder / "zones.csv").open("a", encoding="utf-8") as table:
        table.write("\nroof2,flat,1400,-400,1500,1200,0,0,50,150,0,right,28,30,yes,roof_gland\n")


FAULTY: dict[str, tuple[Callable[[Path], None], str, str]] = {  # change, sheet, what is marked in it
    "zones over each other": (_second_zone, "survey-roof", "zone roof2"),
    "a board of 49 m": (
        _replace("boards.csv", "drawbar_box,floor,floor,460", "drawbar_box,floor,floor,49000"),
        "survey-bay-drawbar_box", "board drawbar_box.floor",
    ),
    "an obstacle off its zone": (
        _replace("obstacles.csv", "vent_dome,roof,2250", "vent_dome,roof,22500"), "survey-roof", "obstacle vent_dome",
    ),
    "a way that leads nowhere": (
        _replace("ways.csv", "roof_drop,roof_gland", "roof_drop,roof_glans"), "survey-vehicle", "way roof_drop",
    ),
    "an opening larger than its bay": (
        _replace("bays.csv", "3150,0,650,330", "3150,0,6500,330"), "survey-bay-drawbar_box", "bay drawbar_box",
    ),
}  # fmt: skip


@pytest.fixture
def trailer(tmp_path: Path) -> Path:
    return Path(shutil.copytree(shipped_cases() / "tiny-trailer", tmp_path / "trailer"))


@pytest.mark.parametrize("fault", FAULTY)
def test_a_fault_is_marked_where_it_is(trailer: Path, fault: str) -> None:
    change, key, place = FAULTY[fault]
    assert "fixing" not in {shape.layer for shape in drawn(sketched(trailer))[0][key].shapes if isinstance(shape, Line)}
    change(trailer)

    sheets, marks = drawn(sketched(trailer))

    number = next(k for k, remark in enumerate(marks.remarks, start=1) if remark.place == place)
    assert number in marks.shown
    assert f"({number})" in [placed.text for placed in sheets[key].texts()]
    assert "fixing" in {shape.layer for shape in sheets[key].shapes if isinstance(shape, Line)}
    assert any(line.startswith(f"({number}) {place}: ") for line in sheets[key].notes)
    assert all(sheet.clashes() == [] for sheet in sheets.values())


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("bays.csv", "galley_base,450,600", "galley_base,450,-600"),
        ("case.toml", "latitude", "latitud"),
        ("case.toml", "[vehicle]", "[vehicle"),
    ],
)
def test_what_cannot_be_drawn_is_said(trailer: Path, file: str, old: str, new: str) -> None:
    """A bay of no width is in no picture; the rest of the vehicle is, whatever is wrong with the brief."""
    _replace(file, old, new)(trailer)

    sketch = sketched(trailer)
    sheets, marks = drawn(sketch)

    assert sketch.problems and {"survey-roof", "survey-vehicle"} <= sheets.keys()
    assert marks.lines()[0].endswith("(in no picture)")


def test_a_survey_of_which_nothing_can_be_read_is_drawn_empty(tmp_path: Path) -> None:
    sheets, marks = drawn(sketched(tmp_path))

    assert "No zone could be read." in sheets["survey-roof"].notes
    assert any("missing file" in line for line in marks.lines())


# --- the command -----------------------------------------------------------------------------------------


def test_check_draws_a_case_and_one_with_faults(trailer: Path, tmp_path: Path) -> None:
    well = CliRunner().invoke(main, ["check", "tiny-trailer", "--draw", str(tmp_path / "well")])
    _second_zone(trailer)
    faulty = CliRunner().invoke(main, ["check", str(trailer), "--draw", str(tmp_path / "faulty")])

    assert (well.exit_code, faulty.exit_code) == (0, 2)
    assert "zones.csv:4:x_mm: 'roof2' lies over" in faulty.stderr
    for name in ("well", "faulty"):
        page = (tmp_path / name / "survey.html").read_text(encoding="utf-8")
        assert page.count("<svg") == len(list((tmp_path / name).glob("*.svg"))) == 5
        assert ("Nothing is wrong; no warnings." in page) == (name == "well")
        assert "can kill" in page


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")

    result = CliRunner().invoke(main, ["check", "tiny-trailer", "--draw", str(tmp_path)])

    assert result.exit_code == 2 and [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
