"""Rows of the test sheet that depend on what is fitted: nothing is asked that the build cannot show."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from optimiser import commissioning
from optimiser.case import RuleFigure
from optimiser.commissioning import Check
from tests.asking import finding
from tests.commission_help import checks, filled, held, report, world
from tests.packing_help import SOLVED, WANTS, findings, shipped
from tests.references import commissioning as trade

CHARGER: dict[str, Any] = {"parts__inverter-1500__charge_a": 40.0}  # an inverter-charger with a transfer switch
Knobs = dict[str, Any]


def without(slot: str) -> Knobs:
    """All bodies but one."""
    return {"build__fitted": tuple(one for one in world().build.fitted if one.slot != slot)}


NO_INLET: Knobs = {"brief__inlet": None}


def sheet(**knobs: Any) -> dict[str, Check]:
    """The trailer's sheet by id."""
    return {one.id: one for one in checks(world(**knobs))}


def told(one: Check) -> str:
    """All that a row says."""
    return f"{one.what}: {one.how}"


# --- mains -------------------------------------------------------------------------------------------

BONDS = {
    "stand-alone": ({}, ["mains.bond_on_hook_up", "mains.bond_on_inverter", "mains.sides_apart"]),
    "inverter-charger": (CHARGER, ["mains.bond_on_hook_up", "mains.bond_on_inverter"]),
    "inverter alone": (NO_INLET, ["mains.bond_on_inverter"]),
    "inverter-charger alone": (CHARGER | NO_INLET, ["mains.bond_on_inverter"]),
    "inlet alone": (without("inverter"), ["mains.bond_on_hook_up"]),
    "neither": (without("inverter") | NO_INLET, []),
}


@pytest.mark.parametrize("name", BONDS)
def test_bonds_of_neutral_and_earth_are_those_of_what_is_there(name: str) -> None:
    knobs, ids = BONDS[name]
    rows = sheet(**knobs)
    assert [id for id in rows if id.startswith(("mains.bond", "mains.sides"))] == ids
    for one in (rows[id] for id in ids):
        assert one.licensed and "local codes decide" in one.source


def test_a_stand_alone_inverter_has_one_state_and_an_inverter_charger_two() -> None:
    """Without a transfer switch the inverter's circuits are fed from it on hook-up too: nothing changes over."""
    alone, both = sheet(), sheet(**CHARGER)
    assert "on hook-up and off it alike" in told(alone["mains.neutral_on_inverter"])
    assert "opens" not in told(alone["mains.bond_on_hook_up"])
    assert "opens" in told(both["mains.bond_on_hook_up"])
    assert "closes" in told(both["mains.bond_on_inverter"])


TRIPS = {
    "stand-alone": ({}, ["hook_up.heater", "inverter.sockets"]),
    "inverter-charger": (CHARGER, ["hook_up.sockets", "hook_up.heater", "inverter.sockets"]),
    "inverter alone": (NO_INLET, ["inverter.sockets"]),
    "inlet alone": (without("inverter"), ["hook_up.heater"]),
    "no circuits": ({"brief__circuits": (), **without("inverter")}, ["hook_up"]),
}


@pytest.mark.parametrize("name", TRIPS)
def test_each_circuit_is_tripped_on_what_can_feed_it(name: str) -> None:
    knobs, places = TRIPS[name]
    trips = {id: one for id, one in sheet(**knobs).items() if id.startswith("mains.trip")}
    tried = ("half", "1x_ms", "5x_ms", "button")
    assert list(trips) == [f"mains.trip_{place}.{how}" for place in places for how in tried]
    highs = {"1x_ms": trade.TRIP_MS, "5x_ms": trade.TRIP_5X_MS}
    for id, one in trips.items():
        assert one.high == highs.get(id.rpartition(".")[2])
        assert one.licensed
        if id.count(".") == 3:
            assert id.split(".")[2] in one.what


# --- nothing that is not fitted ----------------------------------------------------------------------


@pytest.mark.parametrize("name", SOLVED)
@pytest.mark.parametrize("want", WANTS)
def test_no_row_takes_a_monitor_of_the_bank_for_granted(name: str, want: str) -> None:
    """What is measured is strings, chargers, inverter and the sum of 12 V loads: not the bank itself."""
    for one in commissioning.test_sheet(shipped(name, want), findings(name, want)):
        if "monitor" in told(one):
            assert "none is in the build" in told(one), one.id
        assert "80 %" not in told(one) or "drawn" in told(one), one.id


def test_a_channel_s_zero_is_read_with_nothing_in_its_own_circuit() -> None:
    """The isolator open may leave the display dead, and the sun on the busbar."""
    zero = sheet()["shunt.zero_a"]
    assert "channel" in zero.what and "fuse out" in zero.how
    assert "isolator" not in told(zero)


# --- drops -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("value", "verdict"), [("7.4", "in band"), ("7.6", "out of band")])
def test_a_joint_is_judged_at_the_current_it_was_read_at(tmp_path: Path, value: str, verdict: str) -> None:
    """15 mV at 100 A are 7.5 mV at 50 A."""
    fill = {"joints.worst_mv": {"measured": value, "current_a": "50"}}
    found = report(tmp_path, filled(checks(world()), fill))
    assert held(found, "joints.worst_mv").verdict == verdict
    assert [cause.id for cause in found.causes] == ["joints.worst_mv"] * (verdict == "out of band")


# --- charging ----------------------------------------------------------------------------------------


def test_a_trailer_s_charger_that_starves_may_do_so_by_the_towing_vehicle_s_cable(tmp_path: Path) -> None:
    found = report(tmp_path, filled(checks(world()), {"charge.alternator_charger": {"measured": "20"}}))
    assert any("towing vehicle" in cause.text for cause in found.causes)


SUN_ON_THE_CHARGER: Knobs = {
    **{f"parts__alternator-charger-30__{key}": value for key, value in (
        ("solar_v_max", 75), ("solar_isc_max_a", 20), ("solar_out_a", 20), ("solar_start_above_v", 5),
        ("solar_over_panel_ratio", 1.5),
    )},
    "arrays__a__regulator": "alternator_charger",
}  # fmt: skip


def test_panels_are_covered_where_the_charger_also_takes_the_sun() -> None:
    assert "panels covered" not in told(sheet()["charge.alternator_charger"])
    rows = sheet(**SUN_ON_THE_CHARGER)
    for id in ("charge.alternator_charger", "charge.alternator_charger_idle"):
        assert "panels covered" in rows[id].how
    assert "panels covered" not in rows["charge.mains_charger"].how


def test_a_charger_that_gives_too_much_may_have_the_sun_on_it(tmp_path: Path) -> None:
    fill = {"charge.alternator_charger": {"measured": "60"}}
    for knobs, may in (({}, False), (SUN_ON_THE_CHARGER, True)):
        made = world(**knobs)
        causes = report(tmp_path, filled(checks(made), fill), made).causes
        assert causes and any("panels not covered" in cause.text for cause in causes) == may


def test_the_settings_of_a_charger_with_the_sun_on_it_tell_its_one_output() -> None:
    """30 A from the engine and 20 A from the sun, through one output of 30 A."""
    assert "of both" not in told(sheet()["settings.alternator_charger"])
    how = sheet(**SUN_ON_THE_CHARGER)["settings.alternator_charger"].how
    assert "30 A from the engine and 20 A from the sun, 30 A at most of both" in how


# --- the main fuse -----------------------------------------------------------------------------------


BESIDE = {"parts__holder-main__on_terminal": False}


def test_the_conductor_to_the_main_fuse_is_measured_along_itself() -> None:
    row = sheet(**BESIDE, rules__fuse_distance_mm=178.0)["seen.fuse_distance"]
    assert (row.group, row.unit, row.low, row.high) == ("Visual checks, power off", "mm", None, 178)
    assert "along it" in row.how and "to the far corners of both, as terminals are not surveyed" in row.how
    behind = sheet(**BESIDE, bank__fuse="fuse-125")["seen.fuse_distance"].how
    assert "from where the strings' links meet" in behind and "100 mm are from body to body" in behind
    assert row.basis == "rules.fuse_distance_mm"


def test_the_limit_of_the_conductor_carries_its_source_and_how_sure_that_is() -> None:
    made = world()
    figures = dict(made.case.rules.figures)
    figures["fuse_distance_mm"] = RuleFigure(178, "mm", "a standard", "second hand")
    made = replace(made, case=replace(made.case, rules=replace(made.case.rules, figures=figures)))
    row = next(one for one in checks(made) if one.id == "seen.fuse_distance")
    assert row.source == "a standard (second hand)"


@pytest.mark.parametrize(("value", "verdict"), [("200", "in band"), ("201", "out of band")])
def test_a_fuse_too_far_is_out_of_band(tmp_path: Path, value: str, verdict: str) -> None:
    found = report(tmp_path, filled(checks(world()), {"seen.fuse_distance": {"measured": value}}))
    assert held(found, "seen.fuse_distance").verdict == verdict
    assert all("nearer" in cause.text for cause in found.causes)


def test_the_length_of_that_conductor_is_the_audit_s() -> None:
    made = world(**BESIDE)
    distance = finding(made, "run.fuse_distance")
    assert distance.actual == 1220  # 820 along, 170 across, 230 up
    assert "1220 mm" in sheet(**BESIDE)["seen.fuse_distance"].how
