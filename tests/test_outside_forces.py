"""Wind, crash and bends by figures from outside, as a whole build's job pack tells them. Nothing of it is held."""

from dataclasses import replace
from functools import cache
from math import ceil

import pytest

from optimiser.case import Existing
from optimiser.fixings import fixings
from optimiser.fixings.feet import OVERHANG_SHARE
from optimiser.fixings.forces import BEARING_FEET, UNKNOWN
from optimiser.packing.page.work import order_of_work
from optimiser.parts import Panel
from optimiser.reading import read_catalogue, shipped_catalogue
from optimiser.requirements import REGISTER
from optimiser.rules import RuleSet
from optimiser.schedules import TOLD, Schedule, schedules
from optimiser.schedules.cables import cables
from optimiser.schedules.drilling import drilling
from optimiser.schedules.forces import forces
from tests.handmade import world
from tests.knobs import changed
from tests.packed_help import packed, page_of
from tests.packing_help import findings, shipped
from tests.references import trade, wind
from tests.schedules_help import every_build, fit_made, number, only_row, rows_of

G = 9.80665
LIFTED = ("tiny-trailer", "cheapest"), ("travelling-clinic", "cheapest")


@cache
def made_of(name: str, want: str) -> tuple[Schedule, ...]:
    """The schedules of an audited build, as its job pack has them."""
    fit = shipped(name, want)
    return schedules(fit, findings(name, want), fixings(fit))


def schedule(name: str, want: str, key: str) -> Schedule:
    """One of them."""
    return next(one for one in made_of(name, want) if one.key == key)


def rules_of(name: str) -> RuleSet:
    return read_catalogue(shipped_catalogue()).rule_sets[name]


def notes(made: Schedule) -> str:
    return " ".join(made.notes)


# --- wind ------------------------------------------------------------------------------------------------


@pytest.mark.slow
@every_build
def test_uplift_in_the_job_pack_is_that_of_a_building_code(name: str, want: str) -> None:
    """0.613 v^2 c A - m g, with the figures of the rule set."""
    fit, rules = shipped(name, want), shipped(name, want).case.rules
    speed_m_s = (rules["road_speed_km_h"] + rules["gust_km_h"]) / 3.6
    made = schedule(name, want, "forces")
    for k, placed in enumerate(fit.build.panels, start=1):
        panel, row = fit.part(placed.panel, Panel), only_row(made, "what", f"P{k}")
        suction_n = wind.CODE_PA * speed_m_s**2 * rules["roof_suction"] * panel.length_mm * panel.width_mm / 1e6
        lift = number(row["wind uplift"])
        assert lift == pytest.approx(suction_n - panel.mass_kg * G, rel=2e-3)
        if panel.kind == "flexible":
            assert row["uplift a foot"] is row["a foot with safety"] is None
            continue
        assert number(row["uplift a foot"]) == pytest.approx(lift / 4, abs=1)
        assert number(row["a foot with safety"]) == pytest.approx(lift / 4 * rules["fixing_safety"], abs=1)


def test_uplift_by_hand() -> None:
    """The trailer's 1280 x 680 mm and 9.9 kg at 191 km/h, 53.056 m/s: 1724.1 Pa x 1.5 x 0.8704 m2 - 97.1 N."""
    row = only_row(schedule("tiny-trailer", "cheapest", "forces"), "part", "panel-175-rigid")
    assert (row["wind uplift"], row["uplift a foot"], row["a foot with safety"]) == (2154, 539, 1077)
    assert "need 431 cm2" in str(row["remark"]) and "have 192" in str(row["remark"])  # 4308 N; 4 pads of 80 x 60


@pytest.mark.parametrize("which", [0, 1])
def test_a_worked_example_of_the_trade(which: int) -> None:
    """A 435 W panel at 110 km/h: 850 and 1400 N net, 210 and 350 N a foot."""
    made = world()
    for knob, value in (
        ("length_mm", wind.PANEL_MM[0]), ("width_mm", wind.PANEL_MM[1]), ("mass_kg", wind.PANEL_KG),
    ):  # fmt: skip
        made = changed(made, f"parts.panel-100.{knob}", value)
    for rule, value in (("road_speed_km_h", wind.SPEED_KM_H), ("gust_km_h", 0), ("roof_suction", wind.SUCTION[which])):
        made = changed(made, f"rules.{rule}", value)
    row = only_row(forces(fit_made(made)), "what", "P1")
    assert wind.NET_N[which] <= number(row["wind uplift"]) <= wind.NET_N[which] + 70
    assert wind.FOOT_N[which] <= number(row["uplift a foot"]) <= wind.FOOT_N[which] + 20


@pytest.mark.parametrize("rules", ["default", "small-craft"])
def test_the_air_is_a_fast_drive_into_a_near_gale_and_more_than_a_storm(rules: str) -> None:
    figures = rules_of(rules)
    assert figures["gust_km_h"] == wind.NEAR_GALE_KM_H[1]
    assert figures["road_speed_km_h"] + figures["gust_km_h"] > wind.STORM_KM_H[1]
    assert figures["roof_suction"] == max(wind.SUCTION)


def test_the_four_outer_feet_are_those_to_count_on() -> None:
    """Two equal spans with overhangs, three moments (statics): 4 M = -q l^2 / 2 + 2 q a^2 / 2 at the middle support."""
    a, span = OVERHANG_SHARE, 0.5 - OVERHANG_SHARE
    at_end = -(a**2) / 2
    at_middle = (-(span**2) / 2 - 2 * at_end) / 4
    middle = span + 2 * (at_end - at_middle) / span
    assert 0 < middle < 0.1
    assert (1 - middle) / 4 <= 1 / BEARING_FEET


def test_a_longer_panel_shares_over_four_of_its_six_feet() -> None:
    made = changed(world(), "parts.panel-100.length_mm", 1960)
    row = only_row(forces(fit_made(made)), "what", "P1")
    assert number(row["uplift a foot"]) == pytest.approx(number(row["wind uplift"]) / 4, abs=1)


@pytest.mark.parametrize(("name", "want"), LIFTED)
def test_roof_sheet_drilling_list_and_order_of_work_say_the_same(name: str, want: str) -> None:
    rows = [row for row in rows_of(schedule(name, want, "forces")) if row["uplift a foot"] is not None]
    most = max(number(row["a foot with safety"]) for row in rows)
    sheet = next(one for one in packed(name, want).sheets if one.key == "roof")
    told = " ".join(text.text for text in sheet.texts()).partition("Wind at 191 km/h")[2]
    for row in rows:
        assert f"{row['what']}" in told
        assert f"{row['wind uplift']} N a panel, {row['uplift a foot']} N a foot, with safety" in told
    assert f"up to {most} N" in notes(schedule(name, want, "drilling"))
    steps = [step for step in order_of_work(shipped(name, want)) if "never by glue alone" in step]
    assert len(steps) == 1 and f"{most} N a foot" in steps[0] and "sealed" in steps[0]
    for text in (told, notes(schedule(name, want, "drilling")), steps[0]):
        assert UNKNOWN in text


def test_glued_panels_are_held_mechanically_too() -> None:
    """The trailer's lightest has flexible panels of 1000 x 530 mm, 1.4 kg: 1370.7 - 13.7 N, twice at 0.1 N/mm2."""
    row = only_row(schedule("tiny-trailer", "lightest", "forces"), "what", "P1")
    assert row["wind uplift"] == 1357
    assert "272 cm2" in str(row["remark"]) and "of 5300" in str(row["remark"])
    assert "strips or screws" in str(row["remark"])
    (step,) = [s for s in order_of_work(shipped("tiny-trailer", "lightest")) if "glue alone" in s]
    assert "2714 N a glued panel" in step and "a foot" not in step
    assert "Wind" not in notes(schedule("tiny-trailer", "lightest", "drilling"))


def test_without_panels_nothing_is_lifted() -> None:
    made = changed(changed(changed(world(), "build.panels", ()), "build.arrays", ()), "runs.solar_a", None)
    fit = fit_made(made)
    assert "wind" not in notes(forces(fit)) and "Wind" not in notes(drilling(fit, ()))
    assert not [step for step in order_of_work(fit) if "wind" in step]


# --- crash -----------------------------------------------------------------------------------------------


def test_a_bank_of_92_kg_at_20_g() -> None:
    """Two modules of 46 kg: 18 kN forward and rearward, 8 g the other ways."""
    made = changed(world(), "parts.module-100.mass_kg", 46)
    row = only_row(forces(fit_made(made)), "what", "bank")
    assert (row["restraint forward and rearward"], row["restraint sideways and upward"]) == (18_045, 7_218)
    assert row["mass"] == 92


@every_build
def test_restraint_in_the_job_pack(name: str, want: str) -> None:
    """20 g along and 8 g across (UN R100, M1 and N1, second hand), of what the masses weigh in their slots."""
    weighed: dict[str, float] = {}
    for row in rows_of(schedule(name, want, "masses")):
        slot = str(row["what"]).partition(":")[0]
        weighed[slot] = weighed.get(slot, 0.0) + number(row["mass"])
    existing = {body.slot for body in shipped(name, want).build.fitted if body.existing}
    rows = {str(row["what"]): row for row in rows_of(schedule(name, want, "forces"))}
    heavy = {body.slot for body in shipped(name, want).build.fitted if weighed.get(body.slot, 0) >= 1}
    assert "bank" in heavy and heavy <= set(rows)
    for slot in set(rows) - existing:
        if not slot.startswith("P"):
            mass = weighed[slot]
            assert rows[slot]["restraint forward and rearward"] == ceil(mass * 20 * G - 1e-6)
            assert rows[slot]["restraint sideways and upward"] == ceil(mass * 8 * G - 1e-6)
    (step,) = [step for step in order_of_work(shipped(name, want)) if step.startswith("The bank is fixed")]
    assert f"{rows['bank']['restraint forward and rearward']} N forward and rearward" in step
    assert f"{rows['bank']['restraint sideways and upward']} N sideways and upward" in step


@pytest.mark.parametrize(("mass_kg", "listed"), [(1.0, True), (0.99, False)])
def test_a_kilogram_is_listed_and_less_is_not(mass_kg: float, listed: bool) -> None:
    made = changed(world(), "parts.inverter-1500.mass_kg", mass_kg)
    assert ("inverter" in forces(fit_made(made)).column("what")) == listed


def test_a_light_bank_is_listed_all_the_same() -> None:
    made = changed(world(), "parts.module-100.mass_kg", 0.3)
    assert "bank" in forces(fit_made(made)).column("what")


def test_what_stays_without_a_mass_is_named() -> None:
    made = world()
    at = {"board": "locker.wall", "x_mm": 0, "y_mm": 0, "length_mm": 50, "width_mm": 50, "depth_mm": 50}
    box = Existing.model_validate({"name": "old_box", "kind": "fixture", **at})
    with_box = replace(made, case=replace(made.case, existing=(box,)))
    assert "no mass of it: old_battery." in notes(forces(fit_made(made)))
    assert "no mass of it: old_box." in notes(forces(fit_made(with_box)))
    assert "no mass" not in notes(forces(fit_made(replace(made, case=replace(made.case, existing=())))))


# --- bends -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("rules", ["default", "small-craft"])
@pytest.mark.parametrize(("section", "outside", "radius"), trade.BENDS)
def test_no_cable_is_bent_tighter_than_the_trade_bends_it(
    rules: str, section: float, outside: float, radius: float
) -> None:
    made = changed(world(), "parts.dc-50.outside_mm", outside)
    made = changed(made, "rules.bend_of_outside", rules_of(rules)["bend_of_outside"])
    told = [row["least bend radius"] for row in rows_of(cables(fit_made(made))) if row["cable"] == "dc-50"]
    assert told and all(number(mm) >= radius for mm in told), section


@every_build
def test_each_cable_of_the_job_pack_has_its_least_radius(name: str, want: str) -> None:
    for row in rows_of(schedule(name, want, "cables")):
        assert row["least bend radius"] == ceil(6 * number(row["outside"]) - 1e-6), row["run"]


def test_by_hand_the_trailer_s_main_run() -> None:
    """95 mm2 is 18.5 mm thick: 111 mm, and 129.5 with its own thickness.

    Of 330 mm the bank on its side takes 240, and the holder on its terminal 70.
    """
    made = schedule("tiny-trailer", "cheapest", "cables")
    assert only_row(made, "run", "main")["least bend radius"] == 111
    assert "main at bank (20 mm before it, a bend takes 130)" in notes(made)


@pytest.mark.parametrize(("depth_mm", "tight"), [(90, False), (89, True)])
def test_room_before_a_body_just_enough_and_just_not(depth_mm: int, tight: bool) -> None:
    """The regulator is 60 mm high and its cable 5 mm thick: five times that to the inside of the bend, and 5 more."""
    said = notes(cables(fit_made(changed(world(), "boards.wall.depth_mm", depth_mm))))
    assert (f"regulator_1 at regulator_1 ({depth_mm - 60} mm before it, a bend takes 30)" in said) == tight


# --- told, not held --------------------------------------------------------------------------------------


def test_the_page_says_that_it_is_told_and_not_held() -> None:
    page = page_of("tiny-trailer")
    assert TOLD[1:] in page and "Forces on fixings" in page and UNKNOWN in page
    assert not [name for name in REGISTER if name.split(".")[-1] in ("uplift", "restraint", "glue")]
