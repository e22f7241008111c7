"""Boards and cable openings on the faces of their bays: just possible and just not, and what is said of it."""

from pathlib import Path

import pytest

from optimiser.basis.faces import opening_point, patch
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves import Move, MoveProblem, moved
from optimiser.reading import read_case, write_starter
from tests.reading_help import change, loosen, problems_of

BOARDS, HOLES = "boards.csv", "cable_openings.csv"
# The garage is 1300 x 1000 x 650 inside, the bench 950 x 500 x 380, the cupboard 600 x 450 x 1000.
FLOOR = "garage,floor,floor,900,600,400,yes,no,no,floor,360,360"
WALL = "garage,wall,wall,900,450,250,yes,yes,yes,right,200,100"
BACK = "cupboard,back,wall,580,900,350,yes,yes,yes,right,0,40"
SIDE = "cupboard,side,wall,430,900,250,yes,yes,no,front,0,40"
UNDER = "garage,low,wall,900,{},250,yes,yes,no,right,200,0"
FOOT = "cupboard_foot,cupboard,floor,120,360,"
REAR = "floor_rear,garage,front,700,100,"


def board(old: str, **new: str) -> str:
    """Its row with the end put otherwise: face, left, bottom."""
    cells = old.split(",")
    for name, value in new.items():
        cells[("face", "left", "bottom").index(name) - 3] = value
    return ",".join(cells)


EDGES = {  # file, what stands there, just possible, just not, and the column and what is said of that
    "left edge": (BOARDS, FLOOR, board(FLOOR, left="400"), board(FLOOR, left="401"), "left_mm",
                  "'garage.floor' reaches 1301 mm on the floor of its bay, which has 1300; expected at most 400"),
    "top": (BOARDS, FLOOR, board(FLOOR, bottom="400"), board(FLOOR, bottom="401"), "bottom_mm",
            "'garage.floor' reaches 1001 mm on the floor of its bay, which has 1000; expected at most 400"),
    "right edge of a wall": (BOARDS, WALL, board(WALL, left="400"), board(WALL, left="401"), "left_mm",
                             "expected at most 400"),
    "top of a wall": (BOARDS, WALL, board(WALL, bottom="200"), board(WALL, bottom="201"), "bottom_mm",
                      "expected at most 200"),
    "end of a front": (BOARDS, SIDE, board(SIDE, left="20"), board(SIDE, left="21"), "left_mm", "expected at most 20"),
    "end of a rear": (BOARDS, SIDE, board(SIDE, face="rear", left="20"), board(SIDE, face="rear", left="21"), "left_mm",
                      "'cupboard.side' reaches 451 mm on the rear of its bay, which has 450"),
    "length of the face it is on": (
        BOARDS, BACK, board(BACK, face="left"), board(BACK, face="rear"), "length_mm",
        "'cupboard.back' is 580 x 900 with 350 mm before it; expected at most 450, as its bay is (450 x 1000 with "
        "600 mm before it)"),
    "room before the face it is on": (
        BOARDS, SIDE, SIDE.replace(",250,", ",600,"), SIDE.replace(",250,", ",601,"), "depth_mm",
        "expected at most 600"),
    "room before another face": (
        BOARDS, SIDE, board(SIDE, face="left").replace(",250,", ",450,"),
        board(SIDE, face="left").replace(",250,", ",451,"), "depth_mm", "expected at most 450"),
    "boards of one face": (
        BOARDS, WALL, f"{WALL}\n{UNDER.format(100)}", f"{WALL}\n{UNDER.format(101)}", "left_mm",
        "'garage.low' overlaps 'garage.wall' of row 7 on the right of their bay; expected boards beside each other"),
    "boards of two faces": (
        BOARDS, WALL, f"{WALL}\n{UNDER.format(101).replace('right', 'left')}", f"{WALL}\n{UNDER.format(101)}",
        "left_mm", "'garage.low' overlaps"),
    "floor on a wall": (BOARDS, FLOOR, FLOOR, board(FLOOR, face="left"), "face",
                        "'left' for kind floor; expected floor"),
    "wall on the floor": (BOARDS, WALL, WALL, board(WALL, face="floor"), "face",
                          "'floor' for kind wall; expected front, rear, left or right"),
    "no board on the ceiling": (BOARDS, WALL, WALL, board(WALL, face="ceiling"), "face",
                                "expected one of floor, front, rear, left, right"),
    "no face": (BOARDS, WALL, board(WALL, face="", left="", bottom=""), board(WALL, face=""), "face",
                "empty cell though left_mm is 200; expected all of face, left_mm, bottom_mm, or none"),
    "no left": (BOARDS, WALL, WALL, board(WALL, left=""), "left_mm",
                "empty cell though face is right; expected all of"),
    "no bottom": (BOARDS, WALL, WALL, board(WALL, bottom=""), "bottom_mm", "empty cell though face is right"),
    "negative": (BOARDS, WALL, board(WALL, left="0"), board(WALL, left="-1"), "left_mm", "from 0 to 50000"),
    "hole at the left edge": (  # of 70 mm, as its way is
        HOLES, FOOT, FOOT.replace("120", "35"), FOOT.replace("120", "34"), "left_mm",
        "34 puts a hole of 70 mm off the floor of 'cupboard'; expected 35 to 565"),
    "hole at the right edge": (HOLES, FOOT, FOOT.replace("120", "565"), FOOT.replace("120", "566"), "left_mm",
                               "expected 35 to 565"),
    "hole at the bottom": (HOLES, FOOT, FOOT.replace("360", "35"), FOOT.replace("360", "34"), "bottom_mm",
                           "expected 35 to 415"),
    "hole at the top": (HOLES, FOOT, FOOT.replace("360", "415"), FOOT.replace("360", "416"), "bottom_mm",
                        "expected 35 to 415"),
    "hole with a bore of its own": (HOLES, FOOT, f"{FOOT}180", f"{FOOT}181", "bottom_mm",
                                    "360 puts a hole of 181 mm off the floor of 'cupboard'; expected 91 to 359"),
    "hole larger than its face": (HOLES, FOOT, FOOT, FOOT.replace("120", "300") + "451", "bottom_mm",
                                  "expected a bore of at most 450, as the face is"),
    "holes beside each other": (  # of 70 and 80 mm
        HOLES, REAR, REAR.replace("700", "275"), REAR.replace("700", "274"), "left_mm",
        "the hole of 'bench_garage' overlaps that of 'floor_rear' of row 7; expected holes beside each other"),
    "a way that ends elsewhere": (
        HOLES, REAR, REAR, REAR.replace("garage,front,700", "cupboard,left,500"), "bay",
        "'floor_rear' does not end in 'cupboard'; expected garage"),
    "a way twice": (HOLES, REAR, REAR, f"{REAR}\n{REAR.replace('700', '900')}", "way",
                    "'floor_rear' comes into 'garage' in row 7 too; expected each once"),
    "an unknown way": (HOLES, REAR, REAR, REAR.replace("floor_rear", "flor_rear"), "way",
                       "no way 'flor_rear'; expected floor_rear, or one of"),
    "an unknown bay": (HOLES, REAR, REAR, REAR.replace("garage", "garrage"), "bay",
                       "no bay 'garrage'; expected garage, or one of"),
    "an unknown face": (HOLES, REAR, REAR.replace("front", "ceiling"), REAR.replace("front", "top"), "face",
                        "expected one of floor, ceiling, front, rear, left, right"),
}  # fmt: skip


@pytest.mark.parametrize("name", EDGES)
def test_what_cannot_be_is_refused(name: str, catalogue: Catalogue, tmp_path: Path) -> None:
    file, old, possible, impossible, column, says = EDGES[name]
    for folder, text in (("well", possible), ("wrong", impossible)):
        write_starter(tmp_path / folder)
        change(tmp_path / folder / file, old, text)
    read_case(tmp_path / "well", catalogue)
    (problem,) = problems_of(lambda: read_case(tmp_path / "wrong", catalogue))
    assert (problem.file, problem.column) == (file, column)
    assert says in problem.message


def test_a_way_that_joins_no_bay_opens_into_none(catalogue: Catalogue, tmp_path: Path) -> None:
    write_starter(tmp_path / "van")
    change(tmp_path / "van" / "ways.csv", "inlet_hole,inlet,garage", "inlet_hole,inlet,floor_middle")
    (problem,) = problems_of(lambda: read_case(tmp_path / "van", catalogue))
    assert (problem.file, problem.column) == (HOLES, "bay")
    assert "'inlet_hole' does not end in 'garage'; expected a way that does: this one joins no bay" in problem.message


@pytest.fixture
def van(catalogue: Catalogue, tmp_path: Path) -> Case:
    write_starter(tmp_path / "van")
    return read_case(tmp_path / "van", catalogue)


def test_what_is_not_surveyed_is_read_as_such(van: Case, catalogue: Catalogue, tmp_path: Path) -> None:
    """And everything else as it is with it."""
    loosen(tmp_path / "van")
    loose = read_case(tmp_path / "van", catalogue)
    assert loose.cable_openings == () and {board.corner for board in loose.boards} == {None}
    unknown = {"face": None, "left_mm": None, "bottom_mm": None}
    assert loose.boards == tuple(board.model_copy(update=unknown) for board in van.boards)
    assert (loose.bays, loose.ways, loose.notes) == (van.bays, van.ways, ())

    at = "garage.floor", (0, 0), (0, 0)
    assert patch(van, *at) and opening_point(van, "garage", "floor_rear")
    assert patch(loose, *at) is None and opening_point(loose, "garage", "floor_rear") is None


@pytest.mark.parametrize(
    ("address", "change", "says"),
    [
        ("board.garage.floor.left_mm", "=400", "=401"),
        ("board.garage.wall.face", "=left", "=front"),
        ("cable_opening.garage.floor_rear.left_mm", "+265", "+266"),
        ("cable_opening.garage.floor_rear.bore_mm", "=200", "=201"),
        ("way.floor_rear.bore_mm", "+130", "+131"),
        ("bay.garage.height_mm", "-100", "-101"),
    ],
)
def test_a_moved_value_keeps_to_its_face(van: Case, catalogue: Catalogue, address: str, change: str, says: str) -> None:
    assert moved(van, catalogue, Move(address, change)).address == address
    with pytest.raises(MoveProblem, match="expected"):
        moved(van, catalogue, Move(address, says))


@pytest.mark.parametrize(
    ("address", "change", "also"),
    [
        ("board.garage.floor.length_mm", "+40", ()),
        ("board.garage.floor.length_mm", "+100", (("board.garage.floor.left_mm", "360", "300"),)),
        ("board.garage.floor.width_mm", "+400", (("board.garage.floor.bottom_mm", "360", "0"),)),
        (
            "bay.bench.height_mm", "+40",
            (("board.bench.floor.depth_mm", "350", "390"), ("board.bench.end.width_mm", "350", "390")),
        ),
        ("bay.cupboard.length_mm", "+40", (("board.cupboard.back.length_mm", "580", "620"),)),
    ],
)  # fmt: skip
def test_a_board_that_grows_moves_back_along_its_face(
    van: Case, catalogue: Catalogue, address: str, change: str, also: tuple[tuple[str, str, str], ...]
) -> None:
    found = moved(van, catalogue, Move(address, change))
    assert found.also == also
    boards = found.case.board_of
    assert {
        a: str(getattr(boards[a.split(".", 1)[1].rpartition(".")[0]], a.rpartition(".")[2])) for a, _, _ in also
    } == {a: after for a, _, after in also}


def test_it_grows_no_further_than_its_face(van: Case, catalogue: Catalogue) -> None:
    with pytest.raises(MoveProblem, match="at most 1300"):
        moved(van, catalogue, Move("board.garage.floor.length_mm", "+401"))


def test_an_opening_cannot_be_of_another_way(van: Case, catalogue: Catalogue) -> None:
    with pytest.raises(MoveProblem, match="says what it is and cannot move"):
        moved(van, catalogue, Move("cable_opening.garage.floor_rear.way", "=cab_floor"))
    with pytest.raises(MoveProblem, match=r"expected cable_opening\.BAY\.WAY\.column"):
        moved(van, catalogue, Move("cable_opening.left_mm", "+1"))
