"""Panels of several zones on one roof: an edge between zones stops neither a panel, a shadow nor an open lid."""

from dataclasses import replace
from pathlib import Path
from random import Random
from shutil import copytree
from typing import Any

import pytest

from optimiser import builds as b
from optimiser.auditing import audit, breaches
from optimiser.case import Case, Obstacle, Zone
from optimiser.model import roof
from optimiser.model.context import FitOut
from optimiser.model.packing import Fits, Sheet, fits
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from optimiser.solve import Solved, Stop, optimise
from optimiser.tables import Tables
from tests import handmade
from tests.asking import Changes, broken, taken, world
from tests.handmade import World
from tests.knobs import altered
from tests.packing_help import shipped
from tests.placing import Field, Rect, Thing, place
from tests.reading_help import problems_of

ROOF, HATCH = handmade.case().zones[0], handmade.case().obstacles[0]
BEHIND = ROOF.model_copy(update={"name": "behind", "length_mm": 1100, "front_set_back_mm": 0})  # panels to x 1600
AHEAD = ROOF.model_copy(update={"name": "ahead", "length_mm": 1500, "set_back_mm": 0, "front_set_back_mm": 0})
UNBALANCED: Changes = (("vehicle.balance_max_kg", 100),)


def two_zones(x_mm: int, obstacles: tuple[Obstacle, ...] = (), **ahead: Any) -> World:
    """The trailer with a panel on each of two zones, the second of which begins where its panel does."""
    panels = (
        b.PlacedPanel("behind", "panel-100", 600, 200, rotated=False, string="a.1"),
        b.PlacedPanel("ahead", "panel-100", x_mm, 200, rotated=False, string="a.1"),
    )
    zone = AHEAD.model_copy(update={"x_mm": x_mm, **ahead})
    changes: Changes = (("zones", (BEHIND, zone)), ("obstacles", obstacles), ("panels", panels))
    return world(*changes)


def test_panels_of_two_zones_keep_the_gap() -> None:
    inside, outside = two_zones(1625), two_zones(1624)
    assert broken(inside) == set() and taken(inside)
    assert broken(outside) == {"roof.panel_gap[behind]", "roof.panel_gap[ahead]"} and not taken(outside)


def test_panels_of_two_zones_do_not_overlap_even_where_gaps_are_given_up() -> None:
    inside, outside = two_zones(1600), two_zones(1599)
    assert "roof.overlap[ahead]" not in broken(inside)
    assert {"roof.overlap[behind]", "roof.overlap[ahead]"} <= broken(outside)
    for at, holds in ((inside, True), (outside, False)):
        assert taken(at, lambda name: not name.startswith("roof.panel_gap")) is holds


@pytest.mark.parametrize(
    ("column", "requirement"),
    [("clear_mm", "roof.obstacle"), ("height_mm", "roof.shadow"), ("lid_reach_mm", "roof.lid")],
)
def test_an_obstacle_of_another_zone_counts(column: str, requirement: str) -> None:
    """The hatch is entered under the zone ahead and stands 400 mm right of the panel behind; tan 45 = 1."""
    for value, holds in ((400, True), (401, False)):
        entered = HATCH.model_copy(update={"zone": "ahead", "x_mm": 700, column: value})
        at = two_zones(1625, (entered,))
        assert broken(at) == (set() if holds else {f"{requirement}[hatch]"})
        assert taken(at) is holds


# --- something over an edge between zones, or beside all of them ------------------------------------------


@pytest.mark.parametrize("nearer", [0, 1])
@pytest.mark.parametrize(
    ("zone", "column", "requirement"),
    [
        (None, "clear_mm", "roof.obstacle"),
        (None, "height_mm", "roof.shadow"),
        (None, "lid_reach_mm", "roof.lid"),
        ("behind", "clear_mm", "roof.obstacle"),
        ("ahead", "clear_mm", "roof.obstacle"),
    ],
)
def test_what_stands_over_an_edge_counts_on_both_sides(
    zone: str | None, column: str, requirement: str, nearer: int
) -> None:
    """The hatch, x 1400 to 1800, is under both panels, which begin at 1600 and 1625; one is 400 from it, one 450."""
    for value, holds in ((400, True), (401, False)):
        entered = HATCH.model_copy(update={"zone": zone, "x_mm": 1400, column: value})
        at = altered(two_zones(1625, (entered,)), (f"panels.{1 - nearer}.y_mm", 250))
        assert broken(at) == (set() if holds else {f"{requirement}[hatch]"})
        assert taken(at) is holds


@pytest.mark.parametrize("zone", [None, "behind"])
@pytest.mark.parametrize(("reach_mm", "holds"), [(125, True), (126, False)])
def test_a_lid_opens_into_the_next_zone(zone: str | None, reach_mm: int, holds: bool) -> None:
    """From x 1500, all of it in the zone behind, to the panel ahead at 1625."""
    lid = {"lid_side": "front", "lid_reach_mm": reach_mm, "height_mm": 50}
    entered = HATCH.model_copy(update={"zone": zone, "x_mm": 1100, **lid})
    at = altered(two_zones(1625, (entered,)), ("panels.1.y_mm", -500), *UNBALANCED)

    assert broken(at) == (set() if holds else {"roof.lid[hatch]"})
    assert taken(at) is holds


@pytest.mark.parametrize(("column", "requirement"), [("clear_mm", "roof.obstacle"), ("height_mm", "roof.shadow")])
def test_what_stands_between_zones_on_neither_counts_for_both(column: str, requirement: str) -> None:
    """A mast from x 1650 to 1675: 50 from the panel that ends at 1600, and from the one that begins at 1725."""
    for value, holds in ((50, True), (51, False)):
        sizes = {"y_mm": 300, "length_mm": 25, "width_mm": 100, "height_mm": 20, "clear_mm": 20, "lid_side": "none"}
        mast = HATCH.model_copy(update={"name": "mast", "zone": None, "x_mm": 1650, **sizes, column: value})
        for at in (two_zones(1725, (mast,)), two_zones(1726, (mast,))):  # the second panel further: the first is near
            assert broken(at) == (set() if holds else {f"{requirement}[mast]"})
            assert taken(at) is holds


@pytest.mark.parametrize("zone", [None, "shed"])
@pytest.mark.parametrize(("clear_mm", "holds"), [(200, True), (201, False)])
def test_another_roof_plane_stops_nothing(zone: str | None, clear_mm: int, holds: bool) -> None:
    """A mast from y 910 on a tilted plane beside the zone ahead, whose panel ends at y 710."""
    tilted = {"name": "shed", "roof_plane": "shed", "tilt_deg": 15, "y_mm": 900, "width_mm": 600, "walkway_mm": 0}
    sizes = {"x_mm": 2000, "y_mm": 910, "length_mm": 100, "width_mm": 100, "height_mm": 20, "lid_side": "none"}
    mast = HATCH.model_copy(update={"name": "mast", "zone": zone, "clear_mm": clear_mm, **sizes})
    at = two_zones(1625, (mast,))
    shed = AHEAD.model_copy(update={"x_mm": 1625, **tilted})
    at = altered(at, ("zones", (*at.case.zones, shed)))

    assert broken(at) == (set() if holds else {"roof.obstacle[mast]"})
    assert taken(at) is holds


def surveyed(tmp_path: Path, *rows: str) -> Path:
    """The tiny trailer, whose zone is x 900 to 2400 and y -600 to 600, with another table of obstacles."""
    folder = copytree(shipped_cases() / "tiny-trailer", tmp_path / "trailer")
    (folder / "obstacles.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    "rows",
    [
        ("name,x_mm,y_mm,length_mm,width_mm,height_mm,clear_mm", "mast,2450,0,100,100,60,40"),
        ("name,zone,x_mm,y_mm,length_mm,width_mm,height_mm,clear_mm", "mast,,2450,0,100,100,60,40"),
    ],
)
def test_a_survey_may_say_no_zone(tmp_path: Path, rows: tuple[str, ...]) -> None:
    case = read_case(surveyed(tmp_path, *rows), read_catalogue(shipped_catalogue()))
    assert [(o.name, o.zone, o.x_mm) for o in case.obstacles] == [("mast", None, 2450)]


@pytest.mark.parametrize(("x_mm", "read"), [(2399, True), (2400, False), (801, True), (800, False)])
def test_a_zone_that_is_named_is_a_check_of_the_place(tmp_path: Path, x_mm: int, read: bool) -> None:
    """100 long, at least a mm of it on the zone."""
    head = "name,zone,x_mm,y_mm,length_mm,width_mm,height_mm,clear_mm"
    folder, parts = surveyed(tmp_path, head, f"mast,roof,{x_mm},0,100,100,60,40"), read_catalogue(shipped_catalogue())
    if read:
        assert read_case(folder, parts).obstacles[0].zone == "roof"
    else:
        assert [str(p) for p in problems_of(lambda: read_case(folder, parts))] == [
            f"obstacles.csv:2:x_mm: {x_mm} lies off zone 'roof'; expected above 800 and below 2400, or no zone for "
            "what stands beside all of them"
        ]


# --- two zones in one place ------------------------------------------------------------------------------


def over_each_other(tmp_path: Path) -> Path:
    """The tiny trailer with its roof entered twice, shorter and without its dome."""
    folder = copytree(shipped_cases() / "tiny-trailer", tmp_path / "twice")
    head, row = (folder / "zones.csv").read_text(encoding="utf-8").splitlines()[:2]
    row = row.replace("900,-600,1500,1200", "900,-600,1250,640")
    (folder / "zones.csv").write_text("\n".join([head, row, row.replace("roof,", "roof2,", 1), ""]), encoding="utf-8")
    rows = (folder / "obstacles.csv").read_text(encoding="utf-8").splitlines()
    (folder / "obstacles.csv").write_text(rows[0] + "\n", encoding="utf-8")
    return folder


def test_a_roof_entered_twice_is_refused(tmp_path: Path) -> None:
    catalogue = read_catalogue(shipped_catalogue())
    problems = problems_of(lambda: read_case(over_each_other(tmp_path), catalogue))
    assert [str(p) for p in problems] == [
        "zones.csv:3:x_mm: 'roof2' lies over 'roof' of row 2; expected zones beside each other"
    ]


def test_a_roof_entered_twice_carries_no_more_panels() -> None:
    """Given as objects, past reading: the audit sees the panels in one place, and the model never puts them there."""
    fit = shipped("tiny-trailer")
    once = fit.case.zones[0].model_copy(update={"length_mm": 1250, "width_mm": 640})
    case = replace(fit.case, zones=(once, once.model_copy(update={"name": "roof2"})), obstacles=())
    panels = tuple(
        replace(fit.build.panels[0], zone=name, x_mm=950, y_mm=-550, rotated=False) for name in ("roof", "roof2")
    )
    both = replace(fit.build, panels=panels)
    wrong = {f.requirement for f in breaches(audit(case, fit.catalogue, both))}
    assert {"roof.overlap[roof]", "roof.overlap[roof2]"} <= wrong

    twice = optimise(case, fit.catalogue, "cheapest", stop=Stop(seconds=60, seed=1, workers=2))
    alone = optimise(replace(case, zones=(once,)), fit.catalogue, "cheapest", stop=Stop(seconds=60, seed=1, workers=2))
    assert type(twice) is type(alone)  # with a second panel in the first one's place it would hold more, or for less
    assert not isinstance(twice, Solved) or (isinstance(alone, Solved) and twice.cost_cents == alone.cost_cents)


# --- against trying every place --------------------------------------------------------------------------

PANEL = (260, 140)
NOWHERE: dict[str, Any] = {"zone": None}


def drawn(seed: int, *, anywhere: bool = False) -> Case:
    """A small roof of two zones behind one another, and something on one of them that may reach over the edge.

    ``anywhere``: it is of no zone, and may stand over edges or beside both.
    """
    rng = Random(seed)
    lengths, width, apart = (
        [rng.randrange(280, 620, 20) for _ in "12"],
        rng.randrange(200, 480, 20),
        rng.choice((0, 20)),
    )
    edge: dict[str, Any] = {"walkway_mm": 0, "crown_mm": 0, "width_mm": width, "y_mm": 0}
    zones = []
    for name, length, x_mm in (("one", lengths[0], 0), ("two", lengths[1], lengths[0] + apart)):
        backs = {"set_back_mm": rng.choice((5, 15)), "front_set_back_mm": rng.choice((5, 15))}
        zones.append(ROOF.model_copy(update=edge | backs | {"name": name, "x_mm": x_mm, "length_mm": length}))
    whole = sum(lengths) + apart
    lump = HATCH.model_copy(
        update={
            "zone": rng.choice(("one", "two")), "x_mm": rng.randrange(0, whole - 80, 20), "length_mm": 80,
            "y_mm": rng.randrange(0, width - 60, 20), "width_mm": 60, "height_mm": rng.choice((20, 120)),
            "clear_mm": rng.choice((10, 60)), "lid_side": "none",
        }
    )  # fmt: skip
    if anywhere:
        place_of = {"x_mm": rng.randrange(-100, whole + 40, 20), "y_mm": rng.randrange(-80, width + 40, 20)}
        return replace(handmade.case(), zones=tuple(zones), obstacles=(lump.model_copy(update=NOWHERE | place_of),))
    return replace(handmade.case(), zones=tuple(zones), obstacles=(lump,) if rng.random() < 0.8 else ())


def most_by_trying(case: Case) -> int:
    """Panels on both zones, by trying every place of each; all that lies in no zone's reach is taken."""
    one, two = case.zones
    length, width = two.x_mm + two.length_mm, one.width_mm
    free = [(z.x_mm + z.set_back_mm, z.x_mm + z.length_mm - z.front_set_back_mm, z.set_back_mm) for z in (one, two)]
    strips = [(0, free[0][0]), (free[0][1], free[1][0]), (free[1][1], length)]
    off = [Rect(x0, 0, x1 - x0, width) for x0, x1 in strips]
    for x0, x1, side in free:
        off += [Rect(x0, 0, x1 - x0, side), Rect(x0, width - side, x1 - x0, side)]
    for lump in case.obstacles:
        by = max(lump.clear_mm, lump.height_mm)
        off.append(Rect(lump.x_mm - by, lump.y_mm - by, lump.length_mm + 2 * by, lump.width_mm + 2 * by))
    field, gap = Field(length, width, tuple(off)), case.limits.panel_gap_mm
    number = 0
    while any(
        place(field, tuple(Thing(*(PANEL if k else PANEL[::-1]), gap, gap, walls=False) for k in mix))
        for rotated in range(number + 2)
        for mix in [[i >= rotated for i in range(number + 1)]]
    ):
        number += 1
    return number


def sheets(case: Case) -> tuple[FitOut, list[tuple[Sheet, tuple[int, int]]]]:
    """What the model may cover of each zone."""
    catalogue = handmade.catalogue()
    small = catalogue.of("panels")["panel-100"].model_copy(
        update=dict(zip(("length_mm", "width_mm"), PANEL, strict=True))
    )
    catalogue = replace(catalogue, tables={**catalogue.tables, "panels": {small.name: small}})
    ctx = FitOut(case, catalogue, Tables(case, catalogue))
    return ctx, [roof.sheet_of(ctx, zone) for zone in case.zones]


def laid_as_the_model_would(case: Case) -> tuple[int, bool]:
    """How many panels it puts on both zones at most, and whether the audit finds nothing against that roof."""
    ctx, areas = sheets(case)
    panel, gap, placed = ctx.catalogue.of("panels")["panel-100"], case.limits.panel_gap_mm, []
    for zone, (sheet, (x0, y0)) in zip(case.zones, areas, strict=True):
        item = roof.item_of(ctx, zone, panel)
        assert item is not None
        layout = fits(sheet, {item: roof.most_of(sheet, item, gap)}, gap=gap)
        assert isinstance(layout, Fits)
        placed += [b.PlacedPanel(zone.name, panel.name, p.x + x0, p.y + y0, p.rotated, "a.1") for p in layout.placed]
    made = World(case, ctx.catalogue, replace(handmade.build(), panels=tuple(placed)))
    return len(placed), not [f for f in audited_roof(made) if f.startswith("roof.")]


def audited_roof(at: World) -> list[str]:
    """Names of what does not hold on the roof."""
    return [f.name for f in breaches(audit(at.case, at.catalogue, at.build))]


@pytest.mark.parametrize(("seed", "anywhere"), [(k, False) for k in range(60)] + [(k, True) for k in range(40)])
def test_two_small_zones_against_trying_every_place(seed: int, anywhere: bool) -> None:
    case = drawn(seed, anywhere=anywhere)
    most, well = laid_as_the_model_would(case)
    assert well
    one, two = case.zones
    strip = two.x_mm + two.set_back_mm - (one.x_mm + one.length_mm - one.front_set_back_mm)
    if strip >= case.limits.panel_gap_mm:
        assert most == most_by_trying(case)
    else:  # the zone ahead keeps the gap to all that panels behind may cover, also where none lies
        assert most <= most_by_trying(case)


def test_the_drawn_roofs_meet_both_kinds_of_strip_and_an_obstacle_that_reaches_over() -> None:
    strips, over = set(), 0
    for seed in range(60):
        (one, two), obstacles = drawn(seed).zones, drawn(seed).obstacles
        strips.add(two.x_mm + two.set_back_mm - (one.x_mm + one.length_mm - one.front_set_back_mm) >= 25)
        for lump in obstacles:
            other: Zone = two if lump.zone == "one" else one
            by = max(lump.clear_mm, lump.height_mm)
            over += lump.x_mm - by < other.x_mm + other.length_mm and other.x_mm < lump.x_mm + lump.length_mm + by
    assert strips == {True, False} and over > 5


def test_those_of_no_zone_stand_on_none_at_times_and_take_room_all_the_same() -> None:
    beside = taking = 0
    for seed in range(40):
        case = drawn(seed, anywhere=True)
        (lump,) = case.obstacles
        on = [
            lump.x_mm < z.x_mm + z.length_mm and z.x_mm < lump.x_mm + lump.length_mm
            and lump.y_mm < z.y_mm + z.width_mm and z.y_mm < lump.y_mm + lump.width_mm
            for z in case.zones
        ]  # fmt: skip
        beside += not any(on)
        taking += not any(on) and any(sheet.blocked for sheet, _ in sheets(replace(case, zones=case.zones[:1]))[1])
    assert beside > 5 and taking > 0
