"""What a reading out of its band is likely to come from: each cause of the tree provoked on a filled sheet."""

from pathlib import Path

import pytest

from tests.commission_help import Fill, as_designed, checks, filled, log, report, two_strings, world

GOOD: Fill = {"string.a.1.voc_v": {"measured": "48", "cell_c": "25"},
              "string.a.1.isc_a": {"measured": "5.2", "irradiance_w_m2": "1000"}}  # fmt: skip
LOW_POWER = {"solar.a.power_w": {"measured": "60", "irradiance_w_m2": "1000", "cell_c": "25"}}
SHADED = {"string.a.1.isc_a": {"measured": "3", "irradiance_w_m2": "1000"}}
CAUSES: list[tuple[Fill, str]] = [
    ({"string.a.1.voc_v": {"measured": "40", "cell_c": "25"}}, "bypass diode that conducts, or a panel reversed"),
    ({"string.a.1.voc_v": {"measured": "32", "cell_c": "25"}}, "bypass diode"),
    ({"string.a.1.voc_v": {"measured": "24", "cell_c": "25"}}, "about one panel missing"),
    ({"string.a.1.voc_v": {"measured": "0", "cell_c": "25"}}, "one panel reversed"),
    ({"string.a.1.voc_v": {"measured": "-48", "cell_c": "25"}}, "plugs, reversed"),
    ({"string.a.1.voc_v": {"measured": "45", "cell_c": "25"}}, "warmer than noted, or a poor plug"),
    ({"string.a.1.voc_v": {"measured": "72", "cell_c": "25"}}, "more panels in series"),
    (SHADED, "shade or dirt"),
    ({"string.a.1.isc_a": {"measured": "8", "irradiance_w_m2": "1000"}}, "metered too low"),
    ({**GOOD, **LOW_POWER}, "bank near full, or the regulator at its limit of current"),
    (
        {**GOOD, **LOW_POWER, "string.a.1.isc_a": {"measured": "3", "irradiance_w_m2": "1000"}},
        "follows from its strings",
    ),
    (LOW_POWER, "measure its strings open and short-circuited"),
    ({"solar.a.insulation_mohm": {"measured": "0.2"}}, "moisture in a plug"),
    ({"drop.main": {"measured": "900", "current_a": "100"}}, "a crimp of main"),
    ({"links.worst_mv": {"measured": "90", "current_a": "140"}}, "a crimp of a link"),
    ({"joints.worst_mv": {"measured": "16", "current_a": "100"}}, "a loose, dirty or painted joint"),
    ({"seen.fuse_distance": {"measured": "900"}}, "move the fuse nearer"),
    ({"charge.alternator_charger": {"measured": "20"}}, "low voltage at its input, or heat"),
    ({"charge.alternator_charger": {"measured": "20"}, "charge.feed_v": {"measured": "3"}}, "see charge.feed_v"),
    ({"charge.alternator_charger_idle": {"measured": "20"}}, "little at idle"),
    ({"charge.mains_charger": {"measured": "20"}}, "bank near full, heat in its bay"),
    ({"charge.mains_charger": {"measured": "40"}}, "set above its rated output"),
    ({"charge.alternator_c": {"measured": "105"}}, "works too hard"),
    ({"inverter.hold_v": {"measured": "10"}}, "a joint of the path"),
    ({"inverter.hold_v": {"measured": "10"}, "drop.main": {"measured": "900", "current_a": "100"}}, "see drop.main"),
    ({"idle.current_a": {"measured": "3"}}, "something left on"),
    ({"shunt.zero_a": {"measured": "1"}}, "not zeroed"),
    ({"heat.locker": {"measured": "60", "air_c": "30"}}, "a vent blocked"),
    ({"heat.lugs_k": {"measured": "50"}}, "loose or dirty joint"),
    ({"mass.hitch_before": {"measured": "90"}}, "loaded otherwise"),
    ({"mass.hitch_after": {"measured": "20"}}, "added, left out or moved"),
    ({"mains.insulation_mohm": {"measured": "0.3"}}, "licensed electrician"),
    ({"mains.trip_hook_up.heater.1x_ms": {"measured": "900"}}, "licensed electrician"),
    ({"mains.protective_ohm": {"measured": "9"}}, "joint of the protective conductor"),
    ({"seen.crimps": {"done": "no"}}, "put it right before"),
]


@pytest.mark.parametrize(("fill", "text"), CAUSES)
def test_each_cause_is_named_and_marked_as_a_guess(tmp_path: Path, fill: Fill, text: str) -> None:
    found = report(tmp_path, filled(checks(world()), fill))
    assert found.status == "out of band"
    assert text in " / ".join(cause.text for cause in found.causes)
    assert {cause.mark for cause in found.causes} == {"likely, check"}


def test_strings_apart_name_their_cause(tmp_path: Path) -> None:
    made = two_strings()
    fill = {f"string.a.{n}.voc_v": {"measured": v, "cell_c": "25"} for n, v in ((1, "24"), (2, "23"))}
    found = report(tmp_path, filled(checks(made), fill), made)
    assert "the lower string" in found.causes[0].text


def test_every_check_out_of_its_band_has_a_cause(tmp_path: Path) -> None:
    sheet = checks(world())
    fill = as_designed(sheet)
    for one in sheet:
        _, low, high = one.printed
        far = low - 1 - abs(low) if low is not None else 10 * (high or 0)
        fill[one.id] |= {"done": "no"} if one.rule == "done" else {"measured": f"{far:g}"}
    found = report(tmp_path, filled(sheet, fill))

    assert {one.verdict for one in found.held} == {"out of band"}
    assert {cause.id for cause in found.causes} == {one.id for one in sheet}
    assert not [cause for cause in found.causes if "no likely cause" in cause.text]


def test_a_load_named_as_a_slot_that_gives_nothing_is_a_load(tmp_path: Path) -> None:
    made = world(loads__lamps__name="display")
    found = report(tmp_path, log({"time": "2027-01-15T20:00", "bank.volt_v": 13, "display.current_a": 9}), made)
    assert [cause.text for cause in found.causes] == ["another load on the same circuit, or more than the brief says"]
