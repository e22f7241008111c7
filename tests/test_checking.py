"""What ``check`` says: figures against sums by hand, and each oddity from the smallest change that makes it."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

import pytest
from pydantic import BaseModel

from optimiser.case import Case, Circuit, Obstacle, PassThrough, Portable, Way
from optimiser.catalogue import Catalogue
from optimiser.checking import Oddity, overview
from optimiser.printing import overview_lines
from optimiser.reading import read_case, write_starter

Row = TypeVar("Row", bound=BaseModel)


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory, catalogue: Catalogue) -> Case:
    """The starter case."""
    folder = tmp_path_factory.mktemp("cases") / "van"
    write_starter(folder)
    return read_case(folder, catalogue)


def altered(rows: tuple[Row, ...], name: str, **changes: object) -> tuple[Row, ...]:
    """The rows with one of them changed."""
    assert any(row.model_dump()["name"] == name for row in rows)
    return tuple(row.model_copy(update=changes) if row.model_dump()["name"] == name else row for row in rows)


def test_energy_is_what_a_sum_by_hand_gives(case: Case, catalogue: Catalogue) -> None:
    summer, autumn = overview(case, catalogue).scenarios

    # 48 h: fridge 50 x 35 % x 48, lights 20 x 10, pump 5 x 28, phones 15 x 8, fan 9 x 16; kettle 200 x 2
    assert summer.hours == 48
    assert summer.dc_wh == pytest.approx(840 + 200 + 140 + 120 + 144)
    assert (summer.inverter_wh, summer.hook_up_wh) == pytest.approx((400, 0))
    # 72 h, heater 15 x 14 h a night; laptop 39 x 9; water 400 x 2 h a day, hooked up from 18 to 24
    assert autumn.dc_wh == pytest.approx(1260 + 300 + 210 + 180 + 15 * 42)
    assert (autumn.inverter_wh, autumn.hook_up_wh) == pytest.approx((600 + 39 * 9, 400 * 6))


def test_hook_up_loads_count_only_while_hooked_up(case: Case, catalogue: Catalogue) -> None:
    late = replace(case, scenarios=altered(case.scenarios, "autumn_tour", hook_up_from_h=21))

    assert overview(late, catalogue).scenarios[1].hook_up_wh == pytest.approx(400 * 3)


def obstacle(
    name: str, *, x_mm: int, y_mm: int, length_mm: int, width_mm: int, zone: str | None = "roof", **other: object
) -> Obstacle:
    """An obstacle of the starter's roof, which is 3400 x 1300 from (1000, -650)."""
    size = {"length_mm": length_mm, "width_mm": width_mm, "height_mm": 50, "clear_mm": 50}
    return Obstacle.model_validate({"name": name, "zone": zone, "x_mm": x_mm, "y_mm": y_mm, **size, **other})


def mast(x_mm: int, **other: object) -> Obstacle:
    """One of no zone."""
    return obstacle("mast", x_mm=x_mm, y_mm=0, length_mm=50, width_mm=50, zone=None, **other)


def test_roof_area_free_of_obstacles_counts_overlaps_once(case: Case, catalogue: Catalogue) -> None:
    (zone,) = overview(case, catalogue).zones
    assert (zone.area_m2, zone.free_m2) == pytest.approx((4.42, 4.42 - 0.48**2))

    crowded = (
        obstacle("fan", x_mm=2000, y_mm=0, length_mm=400, width_mm=400),
        obstacle("frame", x_mm=2200, y_mm=200, length_mm=400, width_mm=400),  # 200 x 200 of it on the fan
        obstacle("inside", x_mm=2050, y_mm=50, length_mm=100, width_mm=100),  # all of it on the fan
        obstacle("rail", x_mm=900, y_mm=-700, length_mm=200, width_mm=100),  # 100 x 50 of it on the zone
    )
    (zone,) = overview(replace(case, obstacles=crowded), catalogue).zones
    assert zone.area_m2 - zone.free_m2 == pytest.approx(0.16 + 0.16 - 0.04 + 0.005)


def test_bays_and_boards(case: Case, catalogue: Catalogue) -> None:
    garage = overview(case, catalogue).bays[0]

    assert garage.name == "garage"
    assert garage.volume_l == pytest.approx(13 * 10 * 6.5)
    assert [(board.name, board.kind, board.depth_mm) for board in garage.boards] == [
        ("floor", "floor", 400),
        ("wall", "wall", 250),
    ]
    assert [board.area_m2 for board in garage.boards] == pytest.approx([0.54, 0.405])


def test_the_starter_has_nothing_odd_and_says_so(case: Case, catalogue: Catalogue) -> None:
    seen = overview(case, catalogue)

    assert seen.oddities == ()
    assert [*overview_lines(seen)][-2:] == ["Nothing existing stays.", "No warnings."]


def _without_ways(case: Case, *names: str) -> tuple[Way, ...]:
    return tuple(way for way in case.ways if way.name not in names)


def _with_brief(case: Case, **changes: object) -> Case:
    return replace(case, brief=case.brief.model_copy(update=changes))


ANTENNA = PassThrough(name="antenna", carries="data", ip_class=66, point="dc_panel")
COFFEE = Circuit(name="coffee", source="inverter")

ODD: dict[str, tuple[Callable[[Case], Case], str, str]] = {
    "hook-up never": (
        lambda c: replace(c, scenarios=altered(c.scenarios, "autumn_tour", hook_up_from_h=None, hook_up_to_h=None)),
        "load water_heater",
        "circuit water is on hook-up, but no scenario has hook-up hours",
    ),
    "load never on": (
        lambda c: replace(c, loads=altered(c.loads, "water_heater", from_h=8, to_h=9)),
        "load water_heater",
        "never on in any scenario",
    ),
    "circuit unused": (
        lambda c: _with_brief(c, circuits=(*c.brief.circuits, COFFEE)),
        "circuit coffee",
        "fed by the inverter, but no load is on it",
    ),
    "scenario idle": (
        lambda c: replace(c, loads=tuple(x.model_copy(update={"scenarios": ("autumn_tour",)}) for x in c.loads[:4])),
        "scenario summer_weekend",
        "nothing draws power in it",
    ),
    "zone too narrow": (
        lambda c: replace(c, zones=altered(c.zones, "roof", width_mm=600)),
        "zone roof",
        "no panel of the catalogue fits between its set-backs",
    ),
    "obstacle out of reach": (
        lambda c: replace(c, obstacles=(mast(4450),)),
        "obstacle mast",
        "neither it nor its clearance, lid or shadow reaches a zone; expected a place beside one",
    ),
    "board too small": (
        lambda c: replace(c, boards=altered(c.boards, "end", depth_mm=10)),
        "board bench.end",
        "no part of the catalogue fits on it",
    ),
    "nothing to see": (
        lambda c: replace(c, boards=tuple(b.model_copy(update={"sight": not b.reach}) for b in c.boards)),
        "boards",
        "none is both reached and seen, as a display must be",
    ),
    "no battery": (
        lambda c: replace(c, bays=tuple(b.model_copy(update={"battery": False}) for b in c.bays)),
        "bays",
        "none allows a battery",
    ),
    "no outside wall": (
        lambda c: _with_brief(
            replace(c, boards=tuple(b.model_copy(update={"outside_wall": False}) for b in c.boards)),
            pass_throughs=(ANTENNA,),
        ),
        "boards",
        "none is an outside wall, though a pass-through is asked for",
    ),
    "bay cut off": (
        lambda c: replace(c, ways=_without_ways(c, "gland_drop", "cupboard_foot")),
        "bay cupboard",
        "no way leads from it to bench, garage",
    ),
    "way too short": (
        lambda c: _inlet_at(c, -1701),
        "way inlet_hole",
        "1200 mm long, and its ends are 1201 mm apart",
    ),
    "node cut off": (
        lambda c: replace(c, ways=_without_ways(c, "gland_drop", "cupboard_foot")),
        "node dc_panel",
        "no way leads from it to bench, garage",
    ),
}


def _inlet_at(case: Case, y_mm: int) -> Case:
    """The garage reaches to 500 mm right of the centre line, and the way from it to the inlet is 500 mm long."""
    moved = tuple(s.model_copy(update={"y_mm": y_mm}) if s.node == "inlet" else s for s in case.node_positions)
    return replace(case, node_positions=moved)


@pytest.mark.parametrize(
    ("x_mm", "other", "odd"),
    [
        (4449, {}, False),  # the roof ends at x 4400, clearance and shadow are 50
        (4450, {}, True),
        (4459, {"height_mm": 60}, False),
        (4460, {"height_mm": 60}, True),
        (4500, {"lid_side": "rear", "lid_reach_mm": 101}, False),
        (4500, {"lid_side": "rear", "lid_reach_mm": 100}, True),
        (4500, {"lid_side": "front", "lid_reach_mm": 101}, True),
    ],
)
def test_an_obstacle_of_no_zone_is_odd_where_nothing_of_it_reaches_one(
    x_mm: int, other: dict[str, object], odd: bool, case: Case, catalogue: Catalogue
) -> None:
    seen = overview(replace(case, obstacles=(mast(x_mm, **other),)), catalogue)

    assert [oddity.place for oddity in seen.oddities] == ["obstacle mast"] * odd


def test_a_way_as_long_as_its_ends_are_apart_is_nothing_odd(case: Case, catalogue: Catalogue) -> None:
    assert overview(_inlet_at(case, -1000), catalogue).oddities == ()


def test_without_heights_nothing_is_said_of_lengths(case: Case, catalogue: Catalogue) -> None:
    flat = tuple(bay.model_copy(update={"z_mm": None}) for bay in case.bays)

    assert overview(replace(_inlet_at(case, -5000), bays=flat), catalogue).oddities == ()


@pytest.mark.parametrize("name", ODD)
def test_an_oddity_is_seen_and_shown(name: str, case: Case, catalogue: Catalogue) -> None:
    change, place, text = ODD[name]

    seen = overview(change(case), catalogue)

    assert Oddity(place, text) in seen.oddities
    assert f"  {place}: {text}" in [*overview_lines(seen)]


def test_a_zone_that_takes_no_rigid_panels_wants_a_flexible_one(case: Case, catalogue: Catalogue) -> None:
    soft = replace(case, zones=altered(case.zones, "roof", rigid=False))
    panels = {name: panel for name, panel in catalogue.of("panels").items() if panel.kind != "flexible"}

    assert overview(soft, catalogue).oddities == ()
    without = replace(catalogue, tables={**catalogue.tables, "panels": panels})
    assert [oddity.place for oddity in overview(soft, without).oddities] == ["zone roof"]


def test_what_charging_while_driving_rests_on_is_told(case: Case, catalogue: Catalogue) -> None:
    still = replace(case, scenarios=tuple(s.model_copy(update={"drive_from_h": None}) for s in case.scenarios))
    first, *others = still.scenarios
    at_ten = first.model_copy(update={"start_h": 0, "hours": 24, "drive_from_h": 10, "drive_to_h": 13})
    driven = replace(still, scenarios=(at_ten, *others))

    text = "\n".join(overview_lines(overview(driven, catalogue)))
    assert f"{first.name} (3 h): at most 50 % of the alternator's rating is drawn, on the road" in text
    assert "an engine that idles for long or runs hot gives less" in text
    for quiet in (still, _with_brief(driven, alternator_charger="no")):
        assert "while driving" not in "\n".join(overview_lines(overview(quiet, catalogue)))


def test_a_portable_panel_that_starts_nothing_in_the_heat_is_odd(case: Case, catalogue: Catalogue) -> None:
    folding = Portable(panel="panel-120-folding", point="dc_panel")
    with_alternator = _with_brief(case, portable=folding)
    alone = _with_brief(with_alternator, alternator_charger="no")

    # an alternator charger's solar input starts lower, but none goes on where a panel gives no more than the bank has
    assert len(overview(with_alternator, catalogue).oddities) == 1
    (odd,) = overview(alone, catalogue).oddities
    assert odd.place == "portable panel-120-folding"
    # Vmp 19.8 V at 25 C falls 0.36 % a K; lying flat in full sun, cells are 20 to 55 K above the hottest air
    given = float(odd.text.removeprefix("gives ").partition(" V")[0])
    hottest = case.brief.place.record_high_c
    assert 19.8 * (1 - 0.0036 * (hottest + 55 - 25)) < given < 19.8 * (1 - 0.0036 * (hottest + 20 - 25))
    assert odd.text.endswith("too little for any solar input while the bank charges at 14.4 V")


def test_in_the_cold_a_portable_panel_is_nothing_odd(case: Case, catalogue: Catalogue) -> None:
    cold = case.brief.place.model_copy(update={"record_high_c": -10.0})
    folding = Portable(panel="panel-120-folding", point="dc_panel")
    assert overview(_with_brief(case, portable=folding, alternator_charger="no", place=cold), catalogue).oddities == ()


def test_a_bay_that_takes_nothing_of_ours_needs_no_way(case: Case, catalogue: Catalogue) -> None:
    cut_off = replace(case, ways=_without_ways(case, "gland_drop", "cupboard_foot"))
    taken = replace(cut_off, bays=altered(cut_off.bays, "cupboard", battery=False, electronics=False))
    assert "bay cupboard" not in {odd.place for odd in overview(taken, catalogue).oddities}
