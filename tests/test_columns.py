"""Tables take the width there is, and never break a name."""

from pathlib import Path

import pytest
from rich.table import Table

from optimiser import library, printing
from optimiser.pipeline import Answer
from optimiser.printing.columns import within
from optimiser.printing.wording import table
from optimiser.solve import Solved

BUILDS = Path(__file__).parent / "builds"


def words_of(part: object) -> set[str]:
    return (
        {word for column in part.columns for cell in column.cells for word in str(cell).split()}
        if (isinstance(part, Table))
        else set()
    )


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van", "travelling-clinic"])
def test_no_name_is_broken_and_no_line_is_too_long(name: str, width: int) -> None:
    audited = library.audit(library.read(name), BUILDS / f"{name}-cheapest.json")
    answer = Answer("cheapest", Solved(audited.build, 0, 0, 1.0), audited.build, audited.findings)

    listed = (library.list_parts("fuses"), library.list_rules())
    for sheet in (printing.answer_sheet(audited.inputs, answer), audited.sheet(), *(one.sheet() for one in listed)):
        whole = {word for part in sheet for word in words_of(part)}
        lines = printing.rendered(sheet, width).split("\n")
        assert len(whole) > 50 and max(map(len, lines)) <= width
        assert [word for word in whole if not any(word in line for line in lines)] == []


def rendered(made: Table, width: int) -> list[str]:
    return printing.rendered([made], width).strip("\n").split("\n")


def two_columns() -> Table:
    made = table("Two", "name", ">kg")
    made.add_row("a-name-of-20-letters", "12.5")
    return made


def test_columns_stand_side_by_side_where_their_longest_words_have_room() -> None:
    """20 and 4 letters, two between columns and one at the edge: 29."""
    assert rendered(two_columns(), 29)[-1].split() == ["a-name-of-20-letters", "12.5"]
    assert rendered(two_columns(), 28) == ["Two", "  a-name-of-20-letters", "    kg 12.5"]


def test_what_stands_twice_side_by_side_goes_below_itself() -> None:
    made = table("Hours", "hour", ">W", "", "hour", ">W")
    made.add_row("first", "1", "", "third", "3")
    made.add_row("second", "2", "", "", "")

    (part,) = within(made, 20)

    assert isinstance(part, Table) and [list(column.cells) for column in part.columns] == [
        ["first", "second", "third"],
        ["1", "2", "3"],
    ]
