"""How long a run is: by its ways and allowances, or from edge to edge of the bodies it goes by, whichever is more.

In the world by hand all but the bank stands on the locker's wall; its runs inside the locker are cut to 2 x 300 mm.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import pytest

from optimiser.auditing import audit
from optimiser.basis import faces
from optimiser.basis.money import STEP_MM, cut_steps
from optimiser.builds import from_json
from optimiser.case import CableOpening, Existing, Face
from optimiser.fitted import Fit
from optimiser.fitted.drawn import by_allowance, reach_mm
from optimiser.fitted.wiring import routed_runs
from optimiser.model.assemble import assemble
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue
from optimiser.solve import Stop
from optimiser.solve.search import Infeasible, search
from tests import handmade
from tests.asking import Change, Changes, broken, cut_to, finding, long_enough, taken, world
from tests.edges import OFF_TERMINAL
from tests.edges_places import MUCH_DROP
from tests.handmade import World, way
from tests.packing_help import shipped

SHORT: Changes = (("bays.locker.cable_allowance_mm", 0), ("bays.box.cable_allowance_mm", 0))


def needed_mm(run: str, *changes: Change) -> float:
    return finding(world(*changes), f"run.length[{run}]").actual


@pytest.mark.parametrize(
    ("run", "by_hand_mm"),
    [
        ("regulator_1", 50 + 200),  # (50..150, 200..300), fuse row (50..200, 350..410), busbar (50..150, 50..150)
        ("alternator", 150 + 50 + 200),  # (350..450, 200..300) by the fuse row; 50 and 300 by the shunt row
        ("mains_charger", 300 + 50 + 200),  # (500..600, 200..300) by the fuse row; 50 + 50 and 300 by the shunt row
        ("inverter_out", 350 + 50),  # box (650..750, 50..150), inverter (200..300, 200..300)
        ("solar_a", 2000 + 100 + 50),  # no fuse; ways of 2000, then from the shunt row to the regulator
        ("dc_loads", 1500 + 100 + 200),  # from the busbar to the shunt row (250..450, 350..450), then ways of 1500
        ("display", 200),  # shunt row to display (350..450, 50..150)
        ("switch", 200 + 50),  # inverter to switch (500..600, 50..150)
        ("main", 1000 + 50),  # the fuse is on the bank; isolator (200..300) to busbar, ways of 1000
    ],
)
def test_what_a_run_needs_as_drawn_is_measured_from_edge_to_edge(run: str, by_hand_mm: int) -> None:
    assert needed_mm(run, *SHORT) == by_hand_mm


@pytest.mark.parametrize(
    ("run", "by_hand_mm"),
    [
        ("regulator_1", 250 + 4 * 50),  # cut for its fuse; the other core is one piece
        ("alternator", 400 + 4 * 50),  # cut for its fuse, and the other core for its shunt
        ("solar_a", 2150 + 4 * 50),
        ("inverter_out", 400 + 2 * 50),
        ("switch", 250 + 2 * 50),
        ("main", 1050 + 4 * 50),  # cut for the isolator, not for a fuse that is on the bank
        ("pass_aerial", 800 + 2 * 50),
    ],
)
def test_each_end_of_a_piece_takes_as_much_as_the_rule_set_says(run: str, by_hand_mm: int) -> None:
    assert needed_mm(run, *SHORT, ("bays.nose.cable_allowance_mm", 0), ("rules.end_mm", 50)) == by_hand_mm


def test_a_fuse_on_a_board_takes_two_ends_more() -> None:
    assert needed_mm("main", *SHORT, OFF_TERMINAL, ("rules.end_mm", 50)) == 1150 + 6 * 50


@pytest.mark.parametrize(("limit_mm", "holds"), [(300, True), (299, False)])
def test_tails_are_as_long_as_their_conductor(limit_mm: int, holds: bool) -> None:
    """200 from the busbar to the row of fuses, and two ends of 50."""
    at = long_enough(world(("rules.end_mm", 50), ("rules.tail_distance_mm", limit_mm), *MUCH_DROP))

    assert broken(at) == (set() if holds else {"run.tail_distance"})
    assert taken(at) is holds


@pytest.mark.parametrize(("end_mm", "holds"), [(87.5, True), (87.6, False)])
def test_what_ends_take_a_cable_has_or_not(end_mm: float, holds: bool) -> None:
    """Two pieces, with 250 between the bodies and 600 of cable; two ends are rounded up to a millimetre."""
    at = cut_to(long_enough(world(("rules.end_mm", end_mm), *MUCH_DROP)), "regulator_1", 600)

    assert broken(at) == (set() if holds else {"run.length[regulator_1]"})
    assert taken(at) is holds


def test_allowances_of_the_bays_count_where_they_are_more() -> None:
    assert needed_mm("regulator_1") == 2 * 300
    assert needed_mm("solar_a") == 2000 + 300


def test_a_fuse_on_a_board_is_on_the_way_of_the_main_run() -> None:
    """Bank (50..670, from 100), fuse (770..870, from 100): 100; the isolator (200..300) to the busbar 50 or 550."""
    assert needed_mm("main", *SHORT, OFF_TERMINAL) == 1000 + 100 + 50
    assert needed_mm("main", *SHORT, OFF_TERMINAL, ("fitted.busbar.x_mm", 850)) == 1000 + 100 + 550


@pytest.mark.parametrize(
    ("slot", "requirement", "changes"),
    [
        ("busbar", "run.length[regulator_1]", SHORT),
        ("main_fuse", "run.length[main]", SHORT),  # which is on the bank, and takes no board
        ("busbar", "run.tail_distance", ()),
        ("bank", "run.fuse_distance", (OFF_TERMINAL,)),
        ("main_fuse", "run.fuse_distance", (OFF_TERMINAL,)),
    ],
)
def test_a_fixture_with_the_name_of_a_slot_is_not_taken_for_it(slot: str, requirement: str, changes: Changes) -> None:
    at = world(*changes)
    row = {"kind": "fixture", "x_mm": 800, "y_mm": 320, "length_mm": 50, "width_mm": 50, "depth_mm": 50}
    board = "locker.wall" if slot == "busbar" else "box.floor"
    named = Existing.model_validate({"name": slot, "board": board, **row})
    other = World(replace(at.case, existing=(*at.case.existing, named)), at.catalogue, at.build)

    assert finding(other, requirement).actual == finding(at, requirement).actual


# --- cut to so much ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cut_mm", "holds"), [(600, False), (700, True)])
@pytest.mark.parametrize("run", ["regulator_1", "mains_charger"])
def test_a_cable_reaches_where_it_is_cut_to_what_its_bodies_are_apart(run: str, cut_mm: int, holds: bool) -> None:
    """At 650 either is 450 and 50 mm from the fuse row, which is 200 mm above the busbar."""
    at = cut_to(world((f"fitted.{run}.x_mm", 650)), run, cut_mm)

    assert finding(at, f"run.length[{run}]").actual == 450 + 50 + 200
    assert broken(at) == (set() if holds else {f"run.length[{run}]"})
    assert taken(at) is holds


def test_runs_of_a_build_that_was_once_called_proven_are_refused() -> None:
    """The lightest build of the van as it was when a cable was cut to its ways and allowances, whatever was drawn.

    Main: 500; from the bank (x 30..530, y 25..495 of a floor) to the hole at 295, 0, 465 25 + 465; from that at 605,
    260, 0 to the isolator (x 925..1015, z 265..355 of the right wall) 320 + 260 + 265, on to the busbar 250 + 165. The
    inlet: 700; from 0, 260, 220 to the box (x 925..1055, z 45..245) 925 + 260. Each end takes 50: two of the inlet's
    cable, four of a core that is cut for a fuse, or for the isolator.
    """
    case, catalogue = read_inputs(shipped_cases() / "grey-month-van", shipped_catalogue())
    build = from_json((Path(__file__).parent / "builds" / "cut-too-short.json").read_text(encoding="utf-8"))
    short = {f.place: (f.limit, f.actual) for f in audit(case, catalogue, build) if f.name == "run.length" and not f.ok}

    assert short["main"] == (1100, 500 + 490 + 845 + 415 + 4 * 50)
    assert short["mains_inlet"] == (1000, 700 + 1185 + 2 * 50)
    within = {"inverter": (600, 814), "regulator_1": (600, 1110), "regulator_2": (600, 890)}  # the bay, by its bodies
    by_holes = {"solar_array_1", "solar_array_2", "alternator", "alternator_feed", "mains_charger", "mains_feed"}
    assert within.items() <= short.items()
    assert short.keys() == {"main", "mains_inlet", "dc_loads", *within, *by_holes}


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van", "travelling-clinic"])
def test_in_a_best_build_no_cable_is_a_step_longer_than_it_must_be(name: str, want: str) -> None:
    fit = shipped(name, want)
    cut = {run: laid.core_steps for run, laid in routed_runs(fit).items()}

    assert cut == {run: tuple(map(cut_steps, reach_mm(fit, laid))) for run, laid in routed_runs(fit).items()}


def test_a_fault_is_held_back_by_no_more_cable_than_there_must_be() -> None:
    """A cable that is cut too long may be cut shorter by the one who lays it."""
    at = world(("rules.drop_share_inverter", 0.05))
    long = cut_to(at, "main", 1800)
    name = "run.fuse_breaking[inverter]"

    assert finding(long, name).limit == finding(at, name).limit
    assert finding(long, "run.drop[inverter]").actual > finding(at, "run.drop[inverter]").actual
    assert taken(long)


def test_a_row_reaches_no_further_than_what_is_in_it() -> None:
    """A shunt that is not there brings the row no nearer to what a run goes to."""
    at = world()
    ctx = assemble(at.case, at.catalogue)
    used = [flag for flags in ctx.d.rows["shunt_row"].lengths.values() for flag in flags]
    ctx.m.add_bool_or(used)
    for count in ctx.d.shunts.values():
        ctx.m.add(count == 0)

    assert isinstance(search(ctx.m, None, stop=Stop(20, workers=1)), Infeasible)


@pytest.mark.parametrize("surveyed", ["", "wall"])
def test_from_board_to_board_of_a_bay_it_is_as_far_as_its_allowance(surveyed: str) -> None:
    """Also where only one of the two is surveyed."""
    other = handmade.case().board_of["locker.wall"].model_copy(update={"name": "back"})
    boards = ("boards", (*handmade.case().boards, other))
    known = on_left() if surveyed else ()
    moved = world(boards, ("bays.locker.cable_allowance_mm", 250), ("fitted.regulator_1.board", "locker.back"), *known)
    fit = Fit(moved.case, moved.catalogue, moved.build)

    assert [run for run, laid in routed_runs(fit).items() if by_allowance(fit, laid)] == ["regulator_1", "solar_a"]
    assert finding(moved, "run.length[solar_a]").actual == 2000 + 250
    assert finding(moved, "run.length[regulator_1]").actual == 2 * 250


def test_from_board_to_board_that_are_surveyed_nothing_is_by_allowance() -> None:
    moved = world(*regulator_on("rear", 600, 20, 180))
    fit = Fit(moved.case, moved.catalogue, moved.build)

    assert not any(by_allowance(fit, laid) for laid in routed_runs(fit).values())


# --- square along the faces that are surveyed -----------------------------------------------------------


class Piece(NamedTuple):
    """A piece of a run that is just as long as its cable is cut, and a millimetre longer."""

    run: str
    cut_mm: int
    at: Callable[[int], Changes]
    inside: int
    outside: int


def hole(way: str, bay: str, face: Face, left_mm: int, bottom_mm: int) -> CableOpening:
    place = {"left_mm": left_mm, "bottom_mm": bottom_mm, "bore_mm": 20}
    return CableOpening.model_validate({"way": way, "bay": bay, "face": face, **place})


def on_left(*holes: CableOpening) -> Changes:
    """The locker (1000 x 600 x 800) with its wall on its left side: along it x forward, z up."""
    face = (("boards.wall.face", "left"), ("boards.wall.left_mm", 0), ("boards.wall.bottom_mm", 0))
    return (*face, ("cable_openings", holes), ("rules.drop_share", 0.2), ("rules.drop_share_inverter", 0.2))


def regulator_on(face: Face, length_mm: int, x_mm: int, y_mm: int) -> Changes:
    """On a wall of its own, all of another face of the locker; no hole is surveyed."""
    wall = handmade.case().board_of["locker.wall"]
    at = {"name": "other", "face": face, "left_mm": 0, "bottom_mm": 0, "length_mm": length_mm}
    place = (("board", "locker.other"), ("x_mm", x_mm), ("y_mm", y_mm))
    moved = ((f"fitted.regulator_1.{key}", value) for key, value in place)
    return (("boards", (*handmade.case().boards, wall.model_copy(update=at))), *on_left(), *moved)


def through_the_box(bottom_mm: int) -> Changes:
    """The aerial's cable goes by the battery box: in at 100, 100 of its floor, out 300 from the left of its rear."""
    ways = (way("nose_way", "nose", "box", 500, 25), way("tv_way", "box", "tv_point", 800, 25))
    holes = (hole("nose_way", "box", "floor", 100, 100), hole("tv_way", "box", "rear", 300, bottom_mm))
    kept = (w for w in handmade.case().ways if w.name != "tv_way")
    return (("ways", (*kept, *ways)), ("cable_openings", holes), ("runs.pass_aerial.ways", ("nose_way", "tv_way")))


def on_the_floor(bottom_mm: int) -> Changes:
    """The bank on the floor of the box, whose hole to the front is 400 from the left: x 1000, y 200."""
    face = (("boards.floor.face", "floor"), ("boards.floor.left_mm", 0), ("boards.floor.bottom_mm", 0))
    box, locker = hole("main_way", "box", "front", 400, bottom_mm), hole("main_way", "locker", "left", 235, 335)
    return (*on_left(box, locker), *face)


def roof(face: Face, left_mm: int, bottom_mm: int) -> Changes:
    return on_left(hole("roof_way", "locker", face, left_mm, bottom_mm))


FUSE_ASIDE: Changes = (OFF_TERMINAL, ("rules.fuse_distance_mm", 1220))
ISOLATOR_ASIDE: Changes = (("fitted.isolator.x_mm", 800), ("fitted.isolator.y_mm", 350))
PIECES = {
    # shunt row (250..450, 350..450) to regulator (50..150, 200..300) 100 + 50, ways of 2000; the hole is 300 above the
    # regulator, and 200 + 150 from the row
    "to a hole in its wall": Piece("solar_a", 2500, lambda at: roof("left", 50, at), 600, 601),
    # at 200, 100 of the rear: 250 + 400 + 250 from the shunt row, which is 100 + 200 from the busbar; ways of 1500
    "round a corner to a hole": Piece(
        "dc_loads", 2700, lambda at: on_left(hole("loads_way", "locker", "rear", at, 100)), 200, 199
    ),
    # in the right wall: 600 across, and from the shunt row to the wall between and back; left there is forward
    "by the ceiling to a hole opposite": Piece(  # 350, 50, and the row begins 150 before the hole
        "solar_a", 3300, lambda at: roof("right", 900, at), 750, 749
    ),
    "by the floor to a hole opposite": Piece("solar_a", 3200, lambda at: roof("right", 700, at), 100, 101),  # 350, 100
    "by the rear to a hole opposite": Piece("solar_a", 3200, lambda at: roof("right", at, 400), 800, 799),  # 250, 200
    "by the front to a hole opposite": Piece(  # 550, 150, and the regulator is 350 + 50 from the row
        "solar_a", 3700, lambda at: (*roof("right", at, 400), ("fitted.regulator_1.x_mm", 800)), 150, 151
    ),
    # busbar (50..150, 50..150) to fuse row (50..200, 350..410) 200, to hole 400; by the shunt row 300 + 150: less
    "by the fuse row to a hole": Piece(
        "dc_loads", 2100, lambda at: on_left(hole("loads_way", "locker", "left", at, 400)), 600, 601
    ),
    # to the shunt row 100 + 200, to the hole 200; by the fuse row 200 and nothing
    "by the shunt row to a hole": Piece(
        "dc_loads", 2000, lambda at: on_left(hole("loads_way", "locker", "left", at, 425)), 50, 49
    ),
    # regulator y 20..120 of the rear, 480 from its left; 50 of that wall, and z 180..280, 70 below the row; 200 on
    "round a corner to a board": Piece("regulator_1", 800, lambda at: regulator_on("rear", 600, 20, at), 180, 179),
    # regulator x 50..150 of the right wall, as high as the row, which is 50 from the rear; 600 across; 200 on
    "by the rear to a board opposite": Piece(
        "regulator_1", 900, lambda at: regulator_on("right", 1000, at, 350), 850, 849
    ),
    # 500 + 800, from hole to hole 100 + 200 + 100, and the nose's allowance of 300
    "from hole to hole of a bay gone through": Piece("pass_aerial", 2000, through_the_box, 100, 101),
    # the bank ends at 670: 330 + 200; ways of 1000; from the hole 85 + 185 to the busbar, by the isolator 185 + 50
    "from the bank to the busbar": Piece("main", 1800, on_the_floor, 200, 201),
    # 330 + 140, the fuse on the bank; isolator (800..900, 350..450) 565 + 15 from the hole, 650 + 200 to the busbar
    "from the bank that its fuse is on": Piece("main", 2900, lambda at: (*ISOLATOR_ASIDE, *on_the_floor(at)), 140, 141),
    # bank to fuse (770..870) 100, on to the hole 130 + 140
    "from a fuse beside the bank": Piece(
        "main", 2800, lambda at: (*FUSE_ASIDE, *ISOLATOR_ASIDE, *on_the_floor(at)), 140, 141
    ),
}


@pytest.mark.parametrize("name", PIECES)
def test_a_cable_reaches_along_the_faces_or_is_a_millimetre_short(name: str) -> None:
    piece = PIECES[name]
    inside, outside = (world_with(piece, at) for at in (piece.inside, piece.outside))
    requirement = f"run.length[{piece.run}]"

    assert [finding(at, requirement).actual for at in (inside, outside)] == [piece.cut_mm, piece.cut_mm + 1]
    assert [broken(at) for at in (inside, outside)] == [set(), {requirement}]
    assert [taken(at) for at in (inside, outside)] == [True, False]


@pytest.mark.parametrize("name", PIECES)
def test_along_the_faces_a_step_less_is_too_short(name: str) -> None:
    piece = PIECES[name]
    short = cut_to(world_with(piece, piece.inside), piece.run, piece.cut_mm - STEP_MM)

    assert broken(short) == {f"run.length[{piece.run}]"}
    assert not taken(short)


def world_with(piece: Piece, at: int) -> World:
    """All other cables reach."""
    return cut_to(long_enough(world(*piece.at(at))), piece.run, piece.cut_mm)


def test_a_build_that_says_no_length_is_cut_without_what_lies_between_the_holes() -> None:
    piece = PIECES["from hole to hole of a bay gone through"]
    at = world_with(piece, piece.inside)
    runs = tuple(replace(run, cut_mm=None) if run.name == piece.run else run for run in at.build.runs)
    untold = World(at.case, at.catalogue, replace(at.build, runs=runs))

    assert broken(untold) == {f"run.length[{piece.run}]"}
    assert not taken(untold)


def test_a_bay_on_the_way_is_gone_through_from_hole_to_hole() -> None:
    """The trailer's side locker: from 540, 60 of its floor to 60, 60 of its rear wall."""
    case, _ = read_inputs(shipped_cases() / "tiny-trailer", shipped_catalogue())
    of = {way.name: way for way in case.ways}

    assert faces.ways_mm(case, [of["under_floor"], of["side_wall"]]) == 1500 + 1200 + 540 + 60


def test_what_stands_on_one_board_counts_wherever_that_is() -> None:
    """Bay not surveyed, ways of 1500: busbar to fuse row 200, or to shunt row 100 + 200; to a hole nothing."""
    assert needed_mm("dc_loads", *SHORT) == 1500 + 300
    assert needed_mm("dc_loads", *SHORT, ("cable_openings", (hole("loads_way", "locker", "rear", 0, 0),))) == 1500 + 300


def test_to_a_hole_that_is_not_surveyed_it_is_nothing() -> None:
    """As far as the allowances: the hole that is surveyed is that of another way."""
    assert finding(world(*roof("rear", 0, 0)), "run.length[dc_loads]").actual == 1500 + 300
    assert finding(world(*roof("rear", 0, 0)), "run.length[solar_a]").actual == 2000 + 150 + 250 + 600 + 350
