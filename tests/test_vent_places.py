"""Vents that are cut have a place: two openings each on a wall without board or hole there, else nothing holds."""

from dataclasses import replace
from itertools import product
from random import Random
from typing import Any

import pytest

from optimiser import builds as b
from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.basis.vents import stretches, wall_mm
from optimiser.fitted import fit_of
from optimiser.fixings import fixings
from optimiser.solve import Impossible, Solved, Stop, optimise
from tests import handmade
from tests.asking import Changes, broken, taken, world
from tests.test_twins import case as tiny
from tests.test_twins import catalogue as tiny_parts

CASE = handmade.case()
LOCKER = next(bay for bay in CASE.bays if bay.name == "locker")  # 1000 x 600 x 800, its wall board 1000 long, 100 deep
WALL = next(board for board in CASE.boards if board.bay == "locker")


def with_walls(*walls: tuple[int, int]) -> Changes:
    """The locker with more wall boards: how long and how deep."""
    more = [
        WALL.model_copy(update={"name": f"wall_{k}", "length_mm": long, "width_mm": 100, "depth_mm": deep})
        for k, (long, deep) in enumerate(walls)
    ]
    return (("boards", (*CASE.boards, *more)),)


def grilles(count: int) -> Changes:
    """So many grilles of 150 x 150 mm openings in the locker: they want 30 + 180 mm each."""
    return (("vents", (b.FittedVent("locker", "grille", count),)), ("bays.locker.cut_out_max_cm2", 450 * count))


def beside(long_mm: int) -> Changes:
    """The locker's wall surveyed on the left, and so long a board on the right; ends between them of 389 mm."""
    on = {"left_mm": 0, "bottom_mm": 0}
    back = WALL.model_copy(update={"face": "left", **on})
    other = WALL.model_copy(update={"name": "other", "face": "right", "length_mm": long_mm, "depth_mm": 111, **on})
    return (("boards", (*(x for x in CASE.boards if x.bay != "locker"), back, other)),)


def holed(left_mm: int, bore_mm: int | None = 20, *, long_mm: int = 500, **other: Any) -> Changes:
    """The same with a way's hole in the right wall, on which a board is up to 500; the way is 25 wide, and unused."""
    where: dict[str, Any] = {"bay": "locker", "face": "right", "bottom_mm": 400} | other
    opening = c.CableOpening(way="spare_way", left_mm=left_mm, bore_mm=bore_mm, **where)
    spare = handmade.way("spare_way", where["bay"], "spare_point", 500, 25)
    return (*grilles(2), *beside(long_mm), ("ways", (*CASE.ways, spare)), ("cable_openings", (opening,)))


WORLDS: list[tuple[str, Changes, bool]] = [
    ("beside a board that is surveyed", (*grilles(2), *beside(610)), True),  # 390 of 390
    ("the same, a mm longer", (*grilles(2), *beside(611)), False),
    ("a hole before the far end of the wall", holed(900), True),  # from the board at 500 to 890
    ("the same, a mm nearer to the board", holed(899), False),
    ("a hole near the board", holed(600), True),  # from 610 to 1000
    ("the same, a mm further", holed(601), False),
    ("a hole as wide as its way, half a mm taken whole", holed(903, None), True),  # up to 890 of 890.5
    ("the same, a mm nearer to the board", holed(902, None), False),
    ("a hole high up", holed(899, bottom_mm=780), False),
    ("a hole where the board is", holed(300, long_mm=610), True),
    ("a hole half under the board", holed(600, long_mm=600), True),  # from 610 on
    ("the same, a mm further", holed(601, long_mm=600), False),
    ("a hole in the ceiling", holed(899, face="ceiling", bottom_mm=300), True),
    ("a hole in another bay", holed(899, bay="nose"), True),
    ("a side opposite the wall", grilles(4), True),  # 750 of 1000
    ("both long sides taken, an end between two of them", (*grilles(2), *with_walls((1000, 110))), True),  # 390 of 390
    ("the same, a mm deeper", (*grilles(2), *with_walls((1000, 111))), False),
    # as long as the bay is wide: on an end, and the long side opposite the wall is left but for its depth
    ("a board on an end", (*grilles(4), *with_walls((600, 250))), True),  # 750 of 750
    ("the same, a mm deeper", (*grilles(4), *with_walls((600, 251))), False),
    # 500 mm fill neither side: it may be opposite the wall as well, and then an end between them is all there is
    ("a board of which nobody knows", (*grilles(2), *with_walls((500, 110))), True),
    ("the same, a mm deeper", (*grilles(2), *with_walls((500, 111))), False),
    # 80 mm of battens and rims: it fills an end; shorter, it may be opposite the wall and leave an end of 250 mm
    ("a board in a frame on an end", (*grilles(4), *with_walls((520, 250))), True),
    ("the same, a mm shorter", (*grilles(4), *with_walls((519, 250))), False),
    ("six boards on long sides", (*grilles(2), *with_walls(*[(1000, 50)] * 5)), True),  # 450 of an end
    ("a seventh, more than are told apart", (*grilles(2), *with_walls(*[(1000, 50)] * 6)), False),
    ("all four sides taken", (*grilles(1), *with_walls((1000, 50), (600, 50), (600, 50))), False),
    (
        "openings one into the other",
        (*grilles(1), ("bays.locker.stack_mm", 69)),
        False,
    ),  # 150 high, or 40 with 30 between
    ("a slot between them", (*grilles(1), ("bays.locker.stack_mm", 70)), True),  # 40 high, 563 long
    (
        "a round frame keeps its shape",
        (*grilles(1), ("parts.grille.kind", "fan"), ("bays.locker.stack_mm", 591)),
        False,
    ),
    ("a round frame that fits", (*grilles(1), ("parts.grille.kind", "fan"), ("bays.locker.stack_mm", 590)), True),
]


@pytest.mark.parametrize(("changes", "holds"), [pytest.param(x[1], x[2], id=x[0]) for x in WORLDS])
def test_vents_have_a_place_or_nothing_holds(changes: Changes, holds: bool) -> None:
    at = world(("parts.grille.flow_m3_h", 50), *changes)
    assert broken(at) == (set() if holds else {"bay.vent_place[locker]"})
    assert taken(at) is holds


def test_no_kind_of_vent_is_too_high_beside_another() -> None:
    """Beside a grille, made as low as the bay wants it, a round fan with 150 mm openings 591 mm apart."""
    apart: Changes = (("bays.locker.stack_mm", 591), ("bays.locker.cut_out_max_cm2", 900))
    both = (b.FittedVent("locker", "grille", 1), b.FittedVent("locker", "fan", 1))
    for vents, holds in ((both[:1], True), (both, False)):
        at = world(*apart, ("vents", vents))
        grille = at.catalogue.of("vents")["grille"]
        fan = grille.model_copy(update={"name": "fan", "kind": "fan", "flow_m3_h": 50})
        tables = {**at.catalogue.tables, "vents": {"grille": grille, "fan": fan}}
        at = replace(at, catalogue=replace(at.catalogue, tables=tables))
        assert broken(at) == (set() if holds else {"bay.vent_place[locker]"})
        assert taken(at) is holds


def test_a_low_opening_is_as_near_the_floor_as_a_handbook_wants_it() -> None:
    """Openings of a battery's compartment within 50 mm (2 in) of its bottom: NEC 552.10(D), 2008, as quoted."""
    made = handmade.world()
    (low,) = (f for f in fixings(fit_of(made.case, made.catalogue, made.build)) if f.name == "V1-low")
    assert low.y_mm is not None
    assert 0 < low.y_mm - low.width_mm / 2 <= 50


def test_without_wall_boards_the_longest_side_is_free() -> None:
    box = CASE.bay_of["box"]
    assert wall_mm(CASE, box) == 1000
    assert wall_mm(CASE, box.model_copy(update={"width_mm": 1200})) == 1200


# --- where the survey says on which wall boards are ---------------------------------------------------------


def hung(*boards: tuple[str, int, int, int]) -> c.Case:
    """The locker with boards: the face, from its left, how long, how deep."""
    on = [
        WALL.model_copy(
            update={"name": f"w{k}", "face": face, "left_mm": left, "bottom_mm": 0, "length_mm": long, "depth_mm": deep}
        )
        for k, (face, left, long, deep) in enumerate(boards)
    ]
    return replace(CASE, boards=(*(x for x in CASE.boards if x.bay != "locker"), *on))


DESK = LOCKER.model_copy(update={"length_mm": 1200, "width_mm": 550})
BACK, END = ("left", 25, 1150, 260), ("right", 20, 500, 160)


@pytest.mark.parametrize(
    ("boards", "free_mm"),
    [
        ((), 1200),
        ((BACK,), 1200),  # the right wall
        ((BACK, END), 680),  # beside the end, 520 to 1200; before and behind both 550 - 260 - 160
        ((BACK, END, ("rear", 0, 100, 90)), 590),  # the rear wall is at the right end of the right one
        ((BACK, END, ("front", 0, 100, 90)), 680),  # the front one at its left, before the end
        ((BACK, ("right", 300, 500, 160)), 400),  # 0 to 300, 800 to 1200
        ((BACK, ("right", 300, 500, 160), ("right", 850, 200, 160)), 300),
        ((BACK, ("right", 0, 1200, 160)), 130),
    ],
)
def test_beside_boards_that_are_surveyed_a_wall_is_free(boards: tuple[Any, ...], free_mm: int) -> None:
    case = hung(*boards)
    assert wall_mm(case, DESK) == free_mm
    free = stretches(case, DESK)
    assert max(it.end - it.start for it in free) == free_mm
    for it in free:  # walked along mm by mm: no board there
        assert not any(it.face == face and left < mm + 0.5 < left + long
                       for face, left, long, _ in boards for mm in range(it.start, it.end))  # fmt: skip


def test_of_one_board_that_is_not_surveyed_every_wall_counts() -> None:
    """Of 400 mm it fills no wall: it may be on the right one, of which nothing is left then."""
    known = hung(BACK, ("right", 20, 400, 160))
    unknown = known.boards[-1].model_copy(update={"face": None, "left_mm": None, "bottom_mm": None})
    case = replace(known, boards=(*known.boards[:-1], unknown))

    assert wall_mm(case, DESK) == 550 - 260 - 160
    assert stretches(case, DESK) == []


@pytest.mark.parametrize(
    ("holes", "free_mm"),
    [
        ((("front", 335),), 130),  # the rear one is whole
        ((("front", 335), ("rear", 225)), 70),  # 260 to 330 of the front one; 160 to 220 and 230 to 290 of the rear one
        ((("front", 335), ("rear", 225), ("right", 600)), 70),
    ],
)
def test_holes_count_wherever_boards_may_be(holes: tuple[tuple[Any, int], ...], free_mm: int) -> None:
    """At worst the unknown board is on the right, and the front wall is free from 260 to 390, the rear one from 160 to
    290, less holes 10 wide."""
    known = hung(BACK, ("right", 20, 400, 160))
    unknown = known.boards[-1].model_copy(update={"face": None, "left_mm": None, "bottom_mm": None})
    openings = tuple(
        c.CableOpening(way=f"way_{k}", bay="locker", face=face, left_mm=left, bottom_mm=50, bore_mm=10)
        for k, (face, left) in enumerate(holes)
    )
    assert wall_mm(replace(known, boards=(*known.boards[:-1], unknown), cable_openings=openings), DESK) == free_mm


# --- against every way boards can be on sides ---------------------------------------------------------------


def naive_mm(sides: tuple[int, ...], walls: list[tuple[int, int]], holes: list[tuple[int, int, int]]) -> int:
    """Least over all ways to hang boards on sides, by walking round the bay to the left, mm by mm from right to left:
    the longest stretch of a bare side. Holes: of which side, how far from its left end, how wide."""
    choices = []
    for long, _ in walls:
        fills = [k for k in range(4) if sides[k] - 80 <= long <= sides[k]]
        choices.append(fills or [k for k in range(4) if long <= sides[k]])
    stretches = []
    for way in product(*choices):
        best = 0
        for side in range(4):
            if side in way:
                continue
            before, after = (side + 3) % 4, (side + 1) % 4
            starts = max([deep for (_, deep), on in zip(walls, way, strict=True) if on == before], default=0)
            ends = sides[side] - max([deep for (_, deep), on in zip(walls, way, strict=True) if on == after], default=0)
            off = [(sides[side] - left, wide / 2) for on, left, wide in holes if on == side]
            run = 0
            for mm in range(starts, ends):
                run = 0 if any(at - half < mm + 1 and mm < at + half for at, half in off) else run + 1
                best = max(best, run)
        stretches.append(best)
    return min(stretches)


WALLS: tuple[Any, ...] = ("right", "front", "left", "rear")  # as one turns to the left
LONG = ("left", "right")


@pytest.mark.parametrize("seed", range(40))
def test_free_walls_against_all_ways_to_hang_boards(seed: int) -> None:
    rng = Random(seed)
    size = {"length_mm": rng.randrange(300, 1200, 20), "width_mm": rng.randrange(300, 1200, 20)}
    bay = LOCKER.model_copy(update=size)
    walls = [(rng.randrange(100, max(size.values()), 10), rng.randrange(50, 300, 10)) for _ in range(rng.randrange(4))]
    boards = [
        WALL.model_copy(update={"name": f"w{k}", "length_mm": long, "depth_mm": deep})
        for k, (long, deep) in enumerate(walls)
    ]
    case = replace(CASE, boards=(*(x for x in CASE.boards if x.bay != "locker"), *boards))
    sides = (size["length_mm"], size["width_mm"]) * 2
    holes = [(k, rng.randrange(20, sides[k] - 20), rng.randrange(10, 41)) for k in range(4) if rng.random() < 0.6]
    openings = tuple(
        c.CableOpening(way=f"way_{k}", bay="locker", face=WALLS[k], left_mm=left, bottom_mm=100, bore_mm=wide)
        for k, left, wide in holes
    )
    assert wall_mm(case, bay) == naive_mm(sides, walls, [])
    assert wall_mm(replace(case, cable_openings=openings), bay) == naive_mm(sides, walls, holes)


# --- solved -------------------------------------------------------------------------------------------------


def hot(**locker: Any) -> c.Case:
    """A tiny world whose locker wants a vent for its heat."""
    return tiny(locker={"u_w_m2k": 0.05, "vent_cm2": 0, **locker}, nose=False)


def test_a_hot_bay_without_a_wall_for_vents_is_impossible_and_one_with_room_is_not() -> None:
    stop = Stop(seconds=60, seed=1, workers=1)
    parts = tiny_parts()
    cool = optimise(hot(), parts, "cheapest", stop=stop)
    assert isinstance(cool, Solved) and cool.build.vents
    assert breaches(audit(hot(), parts, cool.build)) == ()
    low = hot(height_mm=160, stack_mm=100)  # 2 x 30 and 100 leave nothing
    assert not isinstance(optimise(low, parts, "cheapest", stop=stop), Solved)
    wrong = {f.requirement for f in breaches(audit(low, parts, cool.build))}
    assert "bay.vent_place[locker]" in wrong


def test_holes_of_ways_leave_a_wall_for_vents_or_nothing_is_found() -> None:
    """A locker 300 by 137 whose board may be on any wall: a vent of 78 wants 138 of one of the sides 300 long, which
    are bare or free but for 100; a hole in the middle of each leaves 138, or 137.5."""
    stop, parts = Stop(seconds=60, seed=1, workers=1), tiny_parts()

    def bored(bore_mm: int) -> c.Case:
        middle: dict[str, Any] = {"bay": "locker", "left_mm": 150, "bottom_mm": 400, "bore_mm": bore_mm}
        openings = tuple(c.CableOpening(way=f"way_{face}", face=face, **middle) for face in WALLS if face in LONG)
        return replace(hot(length_mm=300, width_mm=137), cable_openings=openings)

    found = optimise(bored(24), parts, "cheapest", stop=stop)
    assert isinstance(found, Solved) and found.build.vents
    assert breaches(audit(bored(24), parts, found.build)) == ()
    assert isinstance(optimise(bored(25), parts, "cheapest", stop=stop), Impossible)
    assert {f.requirement for f in breaches(audit(bored(25), parts, found.build))} == {"bay.vent_place[locker]"}
