"""Rows of loads.csv that name one load."""

from pathlib import Path

import pytest

from optimiser.case import LoadSpan
from optimiser.catalogue import Catalogue
from optimiser.reading import read_case, read_catalogue, shipped_catalogue, write_starter
from tests.cli_help import run, write_case
from tests.conftest import Folders
from tests.load_spans_help import two_spans
from tests.reading_help import change, problems_of

KETTLE = "kettle,mains,galley,800,0,25,7,8,all\n"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(shipped_catalogue())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_starter(tmp_path / "van")
    return tmp_path / "van"


def with_rows(folder: Path, *hours: str) -> None:
    """Rows more of the kettle: duty, hours and scenarios."""
    more = "".join(f"kettle,mains,galley,800,0,{own}\n" for own in hours)
    change(folder / "loads.csv", KETTLE, KETTLE + more)


def test_rows_of_one_name_are_one_load(folder: Path, catalogue: Catalogue) -> None:
    before = read_case(folder, catalogue)
    with_rows(folder, "10,18,19,autumn_tour", "50,12,13,summer_weekend")

    case = read_case(folder, catalogue)

    assert case.loads == before.loads and before.load_rows == before.loads
    assert case.load_spans == (
        LoadSpan(load="kettle", number=2, duty_pct=10, from_h=18, to_h=19, scenarios=("autumn_tour",)),
        LoadSpan(load="kettle", number=3, duty_pct=50, from_h=12, to_h=13, scenarios=("summer_weekend",)),
    )
    assert [span.number for span in case.spans_of["kettle"]] == [1, 2, 3]


@pytest.mark.parametrize(
    ("hours", "says"),
    [
        ("25,8,9,all", ""),  # begins when the first ends
        ("25,6,8,all", "from 6 to 8 'kettle' is on from 7 to 8 already, in all scenarios"),
        ("25,22,7,all", ""),  # over midnight, until the first begins
        ("25,22,8,all", "from 22 to 8 'kettle' is on from 7 to 8 already, in all scenarios"),
        ("25,0,24,autumn_tour", "from 0 to 24 'kettle' is on from 7 to 8 already, in autumn_tour"),
    ],
)
def test_spans_of_one_load_do_not_overlap(hours: str, says: str, folder: Path, catalogue: Catalogue) -> None:
    with_rows(folder, hours)

    if not says:
        assert len(read_case(folder, catalogue).spans_of["kettle"]) == 2
        return
    (problem,) = problems_of(lambda: read_case(folder, catalogue))
    assert (problem.file, problem.column) == ("loads.csv", "from_h")
    assert problem.message.startswith(f"{says}; expected hours or scenarios that another row of the name has not")


@pytest.mark.parametrize(("hours", "ends"), [("25,9,9,all", 9), ("25,24,0,all", 0), ("25,24,24,all", 24)])
def test_a_span_that_ends_when_it_begins_is_told_as_that_alone(
    hours: str, ends: int, folder: Path, catalogue: Catalogue
) -> None:
    with_rows(folder, hours)

    (problem,) = problems_of(lambda: read_case(folder, catalogue))
    assert (problem.column, problem.message.partition(";")[0]) == ("to_h", f"{ends} is when it begins too")


def test_spans_of_different_scenarios_may_have_the_same_hours(folder: Path, catalogue: Catalogue) -> None:
    change(folder / "loads.csv", KETTLE, KETTLE.replace(",all", ",summer_weekend"))
    path = folder / "loads.csv"
    text = path.read_text(encoding="utf-8")
    for scenarios, faults in (("autumn_tour", 0), ("autumn_tour summer_weekend", 1)):
        path.write_text(f"{text}kettle,mains,galley,800,0,60,7,8,{scenarios}\n", encoding="utf-8")
        if faults:
            (problem,) = problems_of(lambda: read_case(folder, catalogue))
            assert "already, in summer_weekend; expected" in problem.message
        else:
            assert read_case(folder, catalogue).spans_of["kettle"][1].duty_pct == 60


def test_a_case_with_spans_is_read_as_it_was_written(tmp_path: Path, trailer: Folders) -> None:
    case = two_spans().case
    written = write_case(tmp_path / "twice", case)

    again = read_case(written, read_catalogue(trailer.catalogue))

    assert (again.loads, again.load_spans) == (case.loads, case.load_spans)
    assert run("check", written, "--catalogue", trailer.catalogue).exit_code == 0
