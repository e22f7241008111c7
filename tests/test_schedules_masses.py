"""Masses, shares and limits of the mass schedules, held against the audit's findings and against paper."""

from collections import Counter

import pytest

from optimiser.basis import money
from optimiser.case import Trailer
from optimiser.fitted import links
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Panel
from optimiser.schedules.masses import axle_loads, masses
from optimiser.units import GRAMS, at_least
from tests.handmade import world
from tests.knobs import changed
from tests.packing_help import findings, shipped
from tests.schedules_help import every_build, fit_made, found_in, number, only_row, rows_of, total


@every_build
def test_shares_of_all_items_come_to_what_the_audit_finds(name: str, want: str) -> None:
    fit, found = shipped(name, want), {f.requirement: f.actual for f in findings(name, want)}
    schedule, vehicle = masses(fit), fit.case.brief.vehicle

    assert total(schedule, "mass") == pytest.approx(found["mass.payload"])
    assert abs(number(total(schedule, "left over right"))) == pytest.approx(found["mass.balance"])
    if isinstance(vehicle, Trailer):
        axle, hitch = number(total(schedule, "on the axle")), number(total(schedule, "on the hitch"))
        assert vehicle.base_axle_kg + axle == pytest.approx(found["mass.axle[axle]"])
        assert vehicle.base_hitch_kg + hitch == pytest.approx(found["mass.hitch_low"])
    else:
        front, rear = number(total(schedule, "on the front axle")), number(total(schedule, "on the rear axle"))
        assert vehicle.base_front_kg + front == pytest.approx(found["mass.axle[front axle]"])
        assert vehicle.base_rear_kg + rear == pytest.approx(found["mass.axle[rear axle]"])


@every_build
def test_each_mass_stands_beside_its_own_name(name: str, want: str) -> None:
    fit, build = shipped(name, want), shipped(name, want).build
    expected: Counter[str] = Counter()
    for placed in build.panels:
        panel = fit.part(placed.panel, Panel)
        grams = at_least(panel.mass_kg, GRAMS) + at_least(panel.mount_mass_kg, GRAMS)
        expected[f"panel {panel.name} of {placed.string}, {placed.zone}"] += grams
    for content in fit.contents:
        expected[f"{content.slot}: {content.part.name}"] += at_least(content.part.mass_kg, GRAMS) * content.count
    for run, laid in routed_runs(fit).items():
        expected[f"cable of {run}"] += money.core_worth_a_step(laid.cable, 1).grams * sum(laid.core_steps)
    expected["links of the bank"] += links.worth(fit).grams
    for where, part, count in [
        *((f"vents of {v.bay}: {v.vent}", v.vent, v.count) for v in build.vents),
        *((f"entry {e.purpose}: {e.entry}", e.entry, e.count) for e in build.entries),
    ]:
        found = fit.catalogue.find(part)
        assert found
        expected[where] += at_least(found.mass_kg, GRAMS) * count

    shown: Counter[str] = Counter()
    for row in rows_of(masses(fit)):
        shown[str(row["what"])] += round(number(row["mass"]) * GRAMS)

    assert shown == +expected


def test_the_arm_of_a_panel_worked_by_hand() -> None:
    panels = [row for row in rows_of(masses(fit_made(world()))) if str(row["what"]).startswith("panel")]
    rear = min(panels, key=lambda row: number(row["x"]))

    # 0.5 kg and a kit of 0.5 kg; x 600 + 500, y 200 + 255; axle at 2000, coupling at 5000, track 1800
    assert (rear["mass"], rear["x"], rear["y"], rear["ahead of the axle"]) == (1, 1100, 455, -900)
    assert rear["on the hitch"] == pytest.approx(-0.3) and rear["on the axle"] == pytest.approx(1.3)
    assert rear["left over right"] == pytest.approx(2 * 455 / 1800)


def test_arms_of_a_van_are_told_from_each_axle() -> None:
    """The front axle at 5000, the rear one at 1000; the middle of garage_wall at 800."""
    found = {row["x"]: row for row in rows_of(masses(shipped("grey-month-van")))}

    assert found[800]["ahead of the front axle"] == -4200
    assert found[800]["ahead of the rear axle"] == -200


@every_build
def test_axle_loads_are_the_findings(name: str, want: str) -> None:
    fit = shipped(name, want)
    found = [f for f in findings(name, want) if f.name.startswith("mass.")]
    rows = rows_of(axle_loads(fit, findings(name, want)))

    assert [(row["after"], row["limit"], row["room"]) for row in rows] == [(f.actual, f.limit, f.margin) for f in found]
    assert {row["met"] for row in rows} == {"yes"}
    assert [row["limit is"] for row in rows if row["what"] == "load on the hitch"] in ([], ["at least", "at most"])
    others = {row["limit is"] for row in rows if row["what"] != "load on the hitch"}
    assert others == {"at most"}
    before = [row["before"] for row in rows if str(row["what"]).startswith("load on")]
    trailer = fit.case.brief.vehicle
    if isinstance(trailer, Trailer):
        assert before == [trailer.base_axle_kg, trailer.base_hitch_kg, trailer.base_hitch_kg]


def test_axles_of_a_van_stand_with_what_each_weighed_before() -> None:
    """1520 kg in front and 1560 kg behind, as the survey has them."""
    schedule = axle_loads(shipped("grey-month-van"), findings("grey-month-van"))

    assert only_row(schedule, "what", "load on the front axle")["before"] == 1520
    assert only_row(schedule, "what", "load on the rear axle")["before"] == 1560


def test_a_load_that_is_too_high_says_no() -> None:
    made = changed(world(), "vehicle.axle_max_kg", 910)
    row = only_row(axle_loads(fit_made(made), found_in(made)), "what", "load on the axle")

    assert row["met"] == "NO" and number(row["room"]) < 0
