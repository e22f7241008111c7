"""What cannot be, or may be a slip of the tape: zones, bays, boards and openings, just possible and just not."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.checking import overview
from optimiser.moves import Move, MoveProblem, moved
from optimiser.reading import read_case, shipped_cases, write_starter
from tests.reading_help import change, loosen, problems_of
from tests.test_checking import altered

GARAGE = "garage,1300,1000,650,700,0,1100,850,"
ROOF = "roof,roof,1000,-650,3400,1300,0,0,75,200,0,right,80,15,yes,roof_gland\n"
SECOND = ROOF.replace("roof,roof,1000", "rear,roof,{}").replace("3400", "700")
BESIDE = SECOND.replace("{},-650", "1000,{}")
EXISTING = "name,kind,part,board,x_mm,y_mm,length_mm,width_mm,depth_mm,heat_w,cells,capacity_ah\n"
CUPBOARD = "cupboard,600,450,1000,2800,-650,850,510,cabin,yes,no,yes,40,5,8,3,700,200,900,300,600"
ABOVE = CUPBOARD.replace("2800,-650", "700,0").replace("300,600", "300,{}")  # the garage reaches from 560 to 1210
BENCH = "bench,950,500,380,3600,550,810,420,sealed,yes,yes,yes,90,5,8,3,250,100,900,300,560"
UNDER = BENCH.replace("3600,550", "700,0").replace("300,560", "300,{}")
SOLID = f"{EXISTING}a,fixture,,garage.floor,0,0,100,100,9,3,0,0\n"
LOWER = SOLID.replace("floor,0,0", "floor,0,100")

EDGES = {  # file, what stands there, just possible, just not, and the column and what is said of that
    "zones": ("zones.csv", ROOF, ROOF + SECOND.format(300), ROOF + SECOND.format(301), "x_mm",
              "'rear' lies over 'roof' of row 4; expected zones beside each other"),
    "zones, the second ahead": ("zones.csv", ROOF, ROOF + SECOND.format(4400), ROOF + SECOND.format(4399), "x_mm",
                                "'rear' lies over 'roof' of row 4"),
    "zones side by side": ("zones.csv", ROOF, ROOF + BESIDE.format(650), ROOF + BESIDE.format(649), "x_mm",
                                "'rear' lies over 'roof' of row 4"),
    "zones on the other side": ("zones.csv", ROOF, ROOF + BESIDE.format(-1950), ROOF + BESIDE.format(-1949), "x_mm",
                                "'rear' lies over 'roof' of row 4"),
    "floor too long": ("boards.csv", "floor,floor,900,600,400", "floor,floor,1300,600,400", "floor,floor,1301,600,400",
                       "length_mm", "'garage.floor' is 1301 x 600 with 400 mm before it; expected at most 1300, as its "
                       "bay is (1300 x 1000 with 650 mm before it)"),
    "floor too wide": ("boards.csv", "floor,floor,900,600,400", "floor,floor,900,1000,400", "floor,floor,900,1001,400",
                       "width_mm", "expected at most 1000"),
    "floor too deep": ("boards.csv", "floor,floor,900,600,400", "floor,floor,900,600,650", "floor,floor,900,600,651",
                       "depth_mm", "expected at most 650"),
    "wall too high": ("boards.csv", "wall,wall,900,450,250", "wall,wall,900,650,250", "wall,wall,900,651,250",
                      "width_mm", "expected at most 650"),
    "wall too long": ("boards.csv", "wall,wall,900,450,250", "wall,wall,1300,450,250", "wall,wall,1301,450,250",
                      "length_mm", "1000 x 650 with 1300 mm before it"),
    "room before a long wall": ("boards.csv", "wall,wall,900,450,250", "wall,wall,1100,450,1000",
                                "wall,wall,1100,450,1001", "depth_mm", "what one side of its bay has room for"),
    "opening too long": ("bays.csv", GARAGE, "garage,1300,1000,650,700,0,1300,850,",
                         "garage,1300,1000,650,700,0,1301,850,", "opening_length_mm",
                         "1301 is more than 'garage' has; expected at most 1300 of its largest side"),
    "opening too wide": ("bays.csv", GARAGE, "garage,1300,1000,650,700,0,1100,1000,",
                         "garage,1300,1000,650,700,0,1100,1001,", "opening_width_mm", "expected at most 1000"),
    # The cupboard is 600 x 450 at 2800, -650, the garage 1300 x 1000 at 700, 0; both stand on the floor.
    "bays": ("bays.csv", "cupboard,600,450,1000,2800,", "cupboard,600,450,1000,1650,", "cupboard,600,450,1000,1649,",
             "x_mm", "'cupboard' takes room that 'garage' of row 5 has; expected bays apart"),
    "bays side by side": ("bays.csv", "cupboard,600,450,1000,2800,-650,", "cupboard,600,450,1000,700,-725,",
                          "cupboard,600,450,1000,700,-724,", "x_mm", "'cupboard' takes room that 'garage'"),
    "bays above each other": ("bays.csv", CUPBOARD, ABOVE.format(1210), ABOVE.format(1209), "x_mm",
                              "'cupboard' takes room that 'garage'"),
    "bays of which one's height is not known": ("bays.csv", CUPBOARD, ABOVE.format(""), ABOVE.format(1209), "x_mm",
                              "'cupboard' takes room that 'garage'"),
    "bays below each other": ("bays.csv", BENCH, UNDER.format(180), UNDER.format(181), "x_mm",
                              "'bench' takes room that 'garage'"),
    "what stays, to the end of its board": (
        "existing.csv", EXISTING, f"{EXISTING}a,fixture,,garage.floor,800,500,100,100,400,3,0,0\n",
        f"{EXISTING}a,fixture,,garage.floor,801,500,100,100,400,3,0,0\n", "x_mm", "reaches 901 mm"),
    "what stays, side by side": (
        "existing.csv", EXISTING, f"{SOLID}b,fixture,,garage.floor,0,100,9,9,9,3,0,0\n",
        f"{SOLID}b,fixture,,garage.floor,0,99,9,9,9,3,0,0\n", "x_mm",
        "'b' overlaps 'a'"),
    "what stays, on the other side": (
        "existing.csv", EXISTING, f"{LOWER}b,fixture,,garage.floor,0,91,9,9,9,3,0,0\n",
        f"{LOWER}b,fixture,,garage.floor,0,92,9,9,9,3,0,0\n", "x_mm", "'b' overlaps 'a'"),
    "what only takes space is no part": (
        "existing.csv", EXISTING, SOLID,
        f"{EXISTING}a,fixture,inverter-12-1000,garage.floor,0,0,100,100,9,3,0,0\n", "part",
        "stands beside kind fixture"),
    "a second part that cannot go on": (
        "existing.csv", EXISTING, f"{EXISTING}a,fixture,,garage.wall,0,0,120,130,70,3,0,0\n",
        f"{EXISTING}a,part,isolator-100,garage.wall,0,0,120,130,70,0,0,0\n", "part",
        "'isolator-100' cannot go on working; expected one of inverter, alternator charger, mains "
        "charger, mains box, or kind fixture with its heat_w"),
}  # fmt: skip


@pytest.mark.parametrize("name", EDGES)
def test_what_cannot_be_is_refused(name: str, catalogue: Catalogue, tmp_path: Path) -> None:
    file, old, possible, impossible, column, says = EDGES[name]
    for folder, text in (("well", possible), ("wrong", impossible)):
        write_starter(tmp_path / folder)
        loosen(tmp_path / folder)
        change(tmp_path / folder / file, old, text)
    read_case(tmp_path / "well", catalogue)
    (problem,) = problems_of(lambda: read_case(tmp_path / "wrong", catalogue))
    assert (problem.file, problem.column) == (file, column)
    assert says in problem.message


@pytest.mark.parametrize("key", ["isolators", "busbars", "regulators", "displays", "switches", "holders", "shunts"])
def test_only_what_has_a_slot_stays_as_a_part(key: str, catalogue: Catalogue, tmp_path: Path) -> None:
    name = next(iter(catalogue.tables[key]))
    write_starter(tmp_path / "van")
    change(tmp_path / "van" / "existing.csv", EXISTING, f"{EXISTING}old,part,{name},garage.wall,0,0,50,50,50,0,0,0\n")
    (problem,) = problems_of(lambda: read_case(tmp_path / "van", catalogue))
    assert problem.column == "part" and "cannot go on working" in problem.message


@pytest.mark.parametrize(
    ("move", "says"),
    [("board.garage.floor.length_mm=1301", "at most 1300"), ("bay.garage.opening_length_mm=1301", "at most 1300")],
)
def test_a_moved_value_cannot_break_out_of_its_bay(move: str, says: str, catalogue: Catalogue, tmp_path: Path) -> None:
    write_starter(tmp_path / "van")
    loosen(tmp_path / "van")
    case = read_case(tmp_path / "van", catalogue)
    address, _, value = move.partition("=")
    moved(case, catalogue, Move(address, f"={int(value) - 1}"))
    with pytest.raises(MoveProblem, match=says):
        moved(case, catalogue, Move(address, f"={value}"))


# --- odd ---------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def trailer(catalogue: Catalogue) -> Case:
    """A body 2850 x 1600 mm from 420 to 1700 mm, with a box on the drawbar outside it."""
    return read_case(shipped_cases() / "tiny-trailer", catalogue)


def zone_at(case: Case, **where: int) -> Case:
    """Its roof elsewhere."""
    return replace(case, zones=altered(case.zones, "roof", **where))


def bay_at(case: Case, name: str, **where: int | str | None) -> Case:
    """A bay elsewhere."""
    return replace(case, bays=altered(case.bays, name, **where))


ODD: dict[str, tuple[Callable[[Case], Case], Callable[[Case], Case], str]] = {
    "zone too far ahead": (lambda k: zone_at(k, x_mm=1350), lambda k: zone_at(k, x_mm=1351), "zone roof"),
    "zone too far aside": (lambda k: zone_at(k, y_mm=-400), lambda k: zone_at(k, y_mm=-399), "zone roof"),
    "zone behind the rear": (lambda k: zone_at(k, x_mm=0), lambda k: zone_at(k, x_mm=-1), "zone roof"),
    "bay behind the rear": (
        lambda k: bay_at(k, "galley_base", x_mm=225), lambda k: bay_at(k, "galley_base", x_mm=224), "bay galley_base"
    ),
    "bay through the roof": (
        lambda k: bay_at(k, "side_locker", z_mm=1300), lambda k: bay_at(k, "side_locker", z_mm=1301), "bay side_locker"
    ),
    "bay under the floor": (
        lambda k: bay_at(k, "side_locker", z_mm=420), lambda k: bay_at(k, "side_locker", z_mm=419), "bay side_locker"
    ),
    "only outside is a bay beyond the body": (
        lambda k: k, lambda k: bay_at(k, "drawbar_box", air="closed"), "bay drawbar_box"
    ),
    # the locker is 600 x 280 at 1750, 450, the galley 450 x 600 at 450, -300
    "bays over each other, heights unknown": (
        lambda k: bay_at(k, "side_locker", x_mm=975, y_mm=-300, z_mm=None),
        lambda k: bay_at(k, "side_locker", x_mm=974, y_mm=-300, z_mm=None),
        "bay side_locker",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_what_may_be_a_slip_is_odd(name: str, trailer: Case, catalogue: Catalogue) -> None:
    possible, odd, place = ODD[name]
    assert [o.text for o in overview(possible(trailer), catalogue).oddities if o.place == place] == []
    assert [o.place for o in overview(odd(trailer), catalogue).oddities if o.place == place] == [place]
