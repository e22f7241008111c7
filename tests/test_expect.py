"""`expect`: what meters should show, by hand, by the trade and beside the audit."""

from dataclasses import replace
from datetime import datetime
from math import hypot

import pytest

from optimiser.builds import Fitted
from optimiser.case import Load
from optimiser.commissioning import CLEAR, OVERCAST, Moment, clock_time, expected, sky_of
from optimiser.commissioning.expecting import all_expected
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.hours import trace_of
from tests import handmade
from tests.commission_help import NOON, bench, fit, row
from tests.knobs import changed
from tests.packing_help import SOLVED, shipped
from tests.references import clear_sky, trade
from tests.test_commission_rows import SUN_ON_THE_CHARGER

# --- by hand -----------------------------------------------------------------------------------------

# Sandia, close mount of glass: 25 + 1000 exp(-2.98 - 0.0471) + 1 = 74.456 C; 49.456 K above 25.
WARM_K = 49.456


def test_a_string_by_hand() -> None:
    found = bench(fit())

    voc, vmp, amps = (row(found, f"a.1.{key}") for key in ("voc_v", "vmp_v", "current_a"))
    assert voc.value == pytest.approx(2 * 24 * (1 - 0.003 * WARM_K), abs=0.005)
    assert vmp.value == pytest.approx(2 * 20 * (1 - 0.0036 * WARM_K), abs=0.005)
    assert amps.value == pytest.approx(0.95 * 5, abs=1e-6)  # power and voltage fall alike: 5 A less dirt and wiring


def test_the_band_of_a_string_by_hand() -> None:
    """Ratings 3 %, 8 K of cells at 0.3 %/K; full sun, so that voltage loses nothing to dim light."""
    voc = row(bench(fit()), "a.1.voc_v")
    assert voc.low == pytest.approx(voc.value * (1 - hypot(0.03, 0.024)))
    assert voc.high == pytest.approx(voc.value * (1 + hypot(0.03, 0.024)))


def test_dim_light_lowers_the_band_of_voltage_on_its_low_side_only() -> None:
    """Diode law, from memory: 1.1 x 25.7 mV of 0.65 V a cell for each e-fold: 4.4 %, ln(1000 / 100) = 2.303 of them."""
    voc = row(bench(fit(), irradiance_w_m2=100.0), "a.1.voc_v")
    assert voc.low == pytest.approx(voc.value * (1 - hypot(0.03, 0.024, 0.044 * 2.302585)))
    assert voc.high == pytest.approx(voc.value * (1 + hypot(0.03, 0.024)))


def test_sources_loads_and_total_by_hand() -> None:
    found = bench(fit(), running=("fridge", "kettle"))

    solar = 200 * (1 - 0.0036 * WARM_K) * 0.95 * 0.97 / 13
    assert row(found, "regulator_1.current_a").value == pytest.approx(solar, abs=0.005)
    assert row(found, "fridge.current_a").value == pytest.approx(60 / 13)
    assert row(found, "kettle.current_a").value == pytest.approx(600 / 0.9 / 13)
    # inverter 5, alternator charger 0.5, mains charger 1, display 0.5, regulator 0.2, shunts 0.5, modules 0.4
    assert row(found, "idle.current_a").value == pytest.approx(8.1 / 13)
    assert found.total.value == pytest.approx(solar - 60 / 13 - 600 / 0.9 / 13 - 8.1 / 13, abs=0.005)


def test_the_total_s_band_adds_squares() -> None:
    found = bench(fit(), running=("fridge",))
    solar, fridge, idle = (row(found, f"{n}.current_a") for n in ("regulator_1", "fridge", "idle"))

    down = hypot(solar.value - solar.low, fridge.high - fridge.value, idle.high - idle.value)
    up = hypot(solar.high - solar.value, fridge.value - fridge.low, idle.value - idle.low)
    assert found.total.low == pytest.approx(found.total.value - down)
    assert found.total.high == pytest.approx(found.total.value + up)


def test_what_is_measured_as_one_by_hand() -> None:
    """Fridge and lamps, 60 and 30 W; kettle 600 W at 90 % and the inverter's own 5 W; 10 %, 1 % and squares."""
    found = bench(fit(), running=("fridge", "lamps", "kettle"))
    loads, inverter = (row(found, f"measured.{name}_a") for name in ("dc_loads", "inverter"))

    assert loads.value == pytest.approx(90 / 13)
    assert loads.high == pytest.approx(90 / 13 + hypot(0.10, 0.01) * hypot(60, 30) / 13)
    assert inverter.value == pytest.approx((600 / 0.9 + 5) / 13)
    kettle = hypot(0.10, 0.01) * 600 / 0.9 / 13
    assert inverter.low == pytest.approx(inverter.value - hypot(kettle, hypot(0.50, 0.01) * 5 / 13))
    assert inverter.high == pytest.approx(inverter.value + hypot(kettle, hypot(0.20, 0.01) * 5 / 13))


def test_what_is_measured_as_one_is_not_added_twice() -> None:
    found = bench(fit(), running=("fridge", "kettle"))
    once = sum(one.value for one in found.sources) - sum(one.value for one in found.loads)
    assert found.measured and found.total.value == pytest.approx(once)


def test_loads_with_pauses_may_all_be_on_or_all_off() -> None:
    """A pause is no tolerance: with the fridge off the channel shows the lamps alone, and that is no wonder."""
    found = expected(fit(), Moment(at=datetime(2027, 1, 15, 20, 30), sky=CLEAR, bank_v=13.0))
    fridge, lamps, idle = (row(found, f"{name}.current_a") for name in ("fridge", "lamps", "idle"))
    both = row(found, "measured.dc_loads_a")

    assert (fridge.pauses, lamps.pauses) == (True, False)
    assert both.low == pytest.approx(lamps.low)
    assert both.high == pytest.approx(fridge.high + lamps.high)
    up = fridge.value + hypot(lamps.value - lamps.low, idle.value - idle.low)
    assert found.total.high == pytest.approx(found.total.value + up)


def test_what_no_channel_shows_alone_is_left_out() -> None:
    """An inverter-charger on hook-up charges, and 12 V loads behind a step-down are measured at another voltage."""
    charging = fit(**{"parts__inverter-1500__charge_a": 40.0})
    assert [one.id for one in bench(charging, hook_up=True).measured] == ["measured.dc_loads_a"]
    step_down = Fitted("step_down", "step-down-24", "locker.wall", 650, 200)
    doubled = fit(build__system_v=24, build__fitted=(*handmade.build().fitted, step_down))
    assert [one.id for one in bench(doubled, bank_v=26.0).measured] == ["measured.inverter_a"]
    bare = fit(build__fitted=tuple(one for one in handmade.build().fitted if one.slot != "inverter"))
    assert [one.id for one in bench(bare).measured] == ["measured.dc_loads_a"]


def test_the_bank_s_own_current_is_not_promised() -> None:
    assert "none is in the build" in bench(fit()).total.what


def test_chargers_work_when_something_feeds_them() -> None:
    """30 A each, 5 %; bays of up to 50 C take 25 % off."""
    dark = {"irradiance_w_m2": 0.0}
    assert [one.id for one in bench(fit(), **dark).sources] == ["regulator_1.current_a"]

    both = bench(fit(), **dark, driving=True, hook_up=True)
    for slot in ("alternator_charger", "mains_charger"):
        one = row(both, f"{slot}.current_a")
        assert one.value == 30
        assert one.low == pytest.approx(30 * (1 - hypot(0.05, 0.25)))
        assert one.high == pytest.approx(31.5)


def test_a_regulator_at_its_limit_holds_its_string_back() -> None:
    small = fit(**{"parts__regulator-20__out_a": 5.0})
    free, held = bench(fit()), bench(small)

    assert row(held, "regulator_1.current_a").value == 5
    share = 5 / row(free, "regulator_1.current_a").value
    assert row(held, "a.1.current_a").value == pytest.approx(share * 4.75)
    assert row(held, "a.1.vmp_v").high == row(held, "a.1.voc_v").high
    assert "limit of 5 A" in row(held, "regulator_1.current_a").note


def test_a_bank_near_full_may_take_nothing() -> None:
    nearly, full = bench(fit(), soc_pct=94.9), bench(fit(), soc_pct=95.0)
    assert row(nearly, "regulator_1.current_a").low > 5
    assert row(full, "regulator_1.current_a").low == 0
    assert row(full, "a.1.current_a").low == 0


def test_at_night_strings_show_nothing() -> None:
    found = expected(fit(), Moment(at=datetime(2027, 1, 15, 23, 0), sky=CLEAR, running=()))
    assert {one.value for one in found.strings} == {0}
    assert found.total.value < 0


def test_loads_of_the_hour_are_on_for_their_share_of_the_time() -> None:
    found = expected(fit(), Moment(at=datetime(2027, 1, 15, 8, 30), sky=CLEAR, bank_v=13.0))

    assert [one.id for one in found.loads] == ["fridge.current_a", "kettle.current_a", "idle.current_a"]
    fridge = row(found, "fridge.current_a")
    assert fridge.value == pytest.approx(0.4 * 60 / 13)
    assert fridge.low == 0
    assert fridge.high == pytest.approx(60 / 13 * (1 + hypot(0.10, 0.01)))
    assert any("summer" in line and "loads" in line for line in found.assumed)


def test_hook_up_carries_sockets_past_an_inverter_charger() -> None:
    world = changed(handmade.world(), "parts.inverter-1500.charge_a", 40.0)
    charging = fit_of(world.case, world.catalogue, world.build)

    assert "kettle.current_a" in {one.id for one in bench(charging, running=("kettle",)).loads}
    found = bench(charging, running=("kettle",), hook_up=True)
    assert "kettle.current_a" not in {one.id for one in found.loads}
    assert row(found, "inverter.current_a").value == 40


def test_12_v_loads_of_a_24_v_bank_go_through_the_step_down() -> None:
    """60 W at 90 % from 26 V: 2.56 A; without a voltmeter it is taken at twice the voltage of a 12 V bank."""
    step_down = Fitted("step_down", "step-down-24", "locker.wall", 650, 200)
    doubled = fit(build__system_v=24, build__fitted=(*handmade.build().fitted, step_down))

    found = bench(doubled, bank_v=26.0, running=("fridge",))
    assert row(found, "fridge.current_a").value == pytest.approx(60 / 0.9 / 26)
    assert bench(doubled, bank_v=None).bank_v == pytest.approx(2 * trade.CHARGING_V)


def test_a_heater_that_hook_up_feeds_takes_nothing_from_the_bank() -> None:
    found = bench(fit(), running=("fire",))
    assert [one.id for one in found.loads] == ["idle.current_a"]
    assert any(line.startswith("fire fed by hook-up") for line in found.assumed)


def test_the_portable_panel_counts_when_it_is_out() -> None:
    grey = shipped("grey-month-van")
    inside, out = (bench(grey, portable=portable) for portable in (False, True))
    (folding,) = (array for array in grey.build.arrays if not array.roof_plane)
    assert not [one for one in inside.strings if one.id.startswith(folding.name)]
    assert row(out, f"{folding.name}.current_a").value > 4
    charged = f"{folding.regulator}.current_a"
    assert row(inside, charged).value == 0 < row(out, charged).value
    assert out.total.value > inside.total.value


def test_an_alternator_charger_has_one_output_for_engine_and_sun() -> None:
    """12 A of sun, as from a regulator, and 30 A of the engine through an output of 30 A; the whole where that is 60.

    Its band is that of a charger at its limit: 5 %, and 25 % less in a bay of 50 C.
    """
    sun = row(bench(fit(**SUN_ON_THE_CHARGER)), "alternator_charger.current_a")
    one = row(bench(fit(**SUN_ON_THE_CHARGER), driving=True), "alternator_charger.current_a")
    assert 10 < sun.value < 14
    assert one.value == 30 and one.high == pytest.approx(30 * 1.05)
    assert one.low == pytest.approx(30 * (1 - hypot(0.05, 0.25))) and "one output" in one.note

    wide = SUN_ON_THE_CHARGER | {"parts__alternator-charger-30__solar_out_a": 60.0}
    both = row(bench(fit(**wide), driving=True), "alternator_charger.current_a")
    assert both.value == pytest.approx(30 + sun.value) and "one output" not in both.note


@pytest.mark.parametrize(("fridge_w", "volt"), [(375.8, trade.CHARGING_V), (376, trade.BANK_V)])
def test_one_output_for_engine_and_sun_says_whether_the_bank_takes_charge(fridge_w: float, volt: float) -> None:
    """30 A at 12.8 V by both together: 384 W, of which own draw takes 8.1 W; sun beside the engine would be 530 W."""
    shared = fit(**SUN_ON_THE_CHARGER, loads__fridge__watt_w=fridge_w)
    found = bench(shared, bank_v=None, driving=True, running=("fridge",))
    assert found.bank_v == pytest.approx(volt)


def test_a_bank_that_is_not_metered_is_taken_by_which_way_current_flows() -> None:
    """Common practice, no source: 13.3 V taking charge, 12.8 V under load."""
    assert bench(fit(), bank_v=None).bank_v == pytest.approx(trade.CHARGING_V)
    assert bench(fit(), bank_v=None, running=("kettle",)).bank_v == pytest.approx(trade.BANK_V)


def test_many_moments_are_reckoned_as_one_by_one() -> None:
    """A tilted zone, so that light does not simply scale with the sky's clearness."""
    tilted = fit(zones__roof__tilt_deg=20.0)
    moments = [Moment(at=NOON.replace(hour=9 + n), sky=sky_of(0.3 * n), running=()) for n in range(4)]
    moments.insert(2, Moment(at=NOON, irradiance_w_m2=500.0, running=()))

    together = list(all_expected(tilted, moments))
    for found, moment in zip(together, moments, strict=True):
        alone = expected(tilted, moment)
        assert found.light_w_m2["roof"] == pytest.approx(alone.light_w_m2["roof"])
        assert found.total.value == pytest.approx(alone.total.value)
    assert together[2].light_w_m2["roof"] == 500


def test_a_moment_without_any_light_is_refused() -> None:
    with pytest.raises(ValueError, match="neither a sky nor a metered light"):
        expected(fit(), Moment(at=NOON))


def test_the_band_of_a_source_by_hand() -> None:
    """Light 5 %, 8 K at 0.36 %/K, ratings 3 %, dirt from 85 to 98 of 95 %, the bank between 12.8 and 14.4 V."""
    amps = row(bench(fit(), bank_v=None), "regulator_1.current_a")
    assert amps.low == pytest.approx(amps.value * (1 - hypot(0.05, 0.0288, 0.03, 1 - 0.85 / 0.95, 1 - 13.3 / 14.4)))
    assert amps.high == pytest.approx(amps.value * (1 + hypot(0.05, 0.0288, 0.03, 0.98 / 0.95 - 1, 13.3 / 12.8 - 1)))


def test_an_overcast_sky_is_as_sure_as_seven_or_eight_oktas() -> None:
    """Kasten and Czeplak 1980, second hand: 0.25 and 0.52 of a clear sky, 0.40 calculated with."""
    light = OVERCAST.spread
    assert 0.40 * (1 - light.below) == pytest.approx(clear_sky.KASTEN_CZEPLAK[8], abs=0.005)
    assert 0.40 * (1 + light.above) == pytest.approx(clear_sky.KASTEN_CZEPLAK[7], abs=0.005)


def test_a_time_with_an_offset_is_moved_to_the_clock_of_the_case() -> None:
    assert clock_time("2027-01-14T07:30+00:00", 2) == datetime(2027, 1, 14, 9, 30)
    assert clock_time("2027-01-14T09:30", 2) == datetime(2027, 1, 14, 9, 30)
    with pytest.raises(ValueError, match="1927"):
        clock_time("1927-01-14T09:30", 2)


# --- beside the audit --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SOLVED)
def test_sun_and_loads_are_the_audit_s(name: str) -> None:
    """In the middle of an hour of a scenario, at the voltage the audit takes, below every limit of current."""
    fitted = shipped(name)
    dull = min(fitted.case.scenarios, key=lambda s: s.clearness)
    away = dict.fromkeys([f"{what}_{end}_h" for what in ("drive", "hook_up", "portable") for end in ("from", "to")])
    scenario = dull.model_copy(update={**away, "clearness": 0.3, "start_h": 0, "hours": 24})
    trace = trace_of(fitted, scenario)
    own = replace(fitted.case, scenarios=(scenario,))
    alone = Fit(own, fitted.catalogue, fitted.build)
    nominal = 12.8 * fitted.system_v / 12

    for hour, solar, drawn in zip(trace.hour, trace.given_w["sun"], trace.loads_w, strict=True):
        at = datetime(2026, scenario.month, scenario.day, int(hour), 30)
        found = expected(alone, Moment(at=at, sky=sky_of(scenario.clearness), bank_v=nominal))
        assert sum(one.value for one in found.sources) * nominal == pytest.approx(solar, rel=1e-6, abs=1e-6)
        assert sum(one.value for one in found.loads) * nominal == pytest.approx(drawn, rel=1e-6)
    assert trace.given_w["sun"].max() > 0


# --- facts of the trade ------------------------------------------------------------------------------


def per_100_w(fitted: Fit, moment: Moment) -> tuple[float, float, float]:
    """Charge from the sun for each 100 W of panel, at 12 V as the trade has it: expected, lowest, highest [A].

    No regulator may be at its limit: what it clips is no fact of the sun.
    """
    found = expected(fitted, moment)
    hundreds = sum(a.series * a.parallel * fitted.panel_of(a).watt_w for a in fitted.build.arrays) / 100
    assert all(array.roof_plane for array in fitted.build.arrays) and not any(one.note for one in found.sources)
    at_12_v = fitted.system_v / 12
    value, low, high = (at_12_v * sum(getattr(one, key) for one in found.sources) for key in ("value", "low", "high"))
    return value / hundreds, low / hundreds, high / hundreds


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
def test_a_clear_morning_and_midday_of_the_trade_are_in_the_band(want: str) -> None:
    """Common practice, no source. Early summer at 30.5 S, air 22 and 26 C, the sun highest at 11:45 by the clock there.

    The expected value is within 10 % too, as that of the physics alone.
    """
    clinic = shipped("travelling-clinic", want)
    for hour, minute, air, fact in ((9, 30, 22.0, trade.MORNING_A), (11, 45, 26.0, trade.MIDDAY_A)):
        moment = Moment(at=datetime(2026, 12, 5, hour, minute), sky=CLEAR, air_c=air, running=())
        value, low, high = per_100_w(clinic, moment)
        assert low < fact < high
        assert value == pytest.approx(fact, rel=0.10)


def test_an_overcast_day_of_the_trade_is_in_the_band() -> None:
    """Common practice, no source: averaged from 8 to 18 in the low thirties, and within 15 % of what is expected."""
    clinic = shipped("travelling-clinic")
    day = [Moment(at=datetime(2026, 12, 5, hour, 30), sky=OVERCAST, air_c=32.0, running=()) for hour in range(8, 18)]
    value, low, high = (
        sum(figures) / len(day) for figures in zip(*(per_100_w(clinic, moment) for moment in day), strict=True)
    )
    assert low < trade.OVERCAST_A < high
    assert value == pytest.approx(trade.OVERCAST_A, rel=0.15)


def test_the_air_conditioner_of_the_trade_is_in_the_band() -> None:
    """Common practice, no source: 58 A from a 12 V bank, so half of it from one of 24 V."""
    clinic = shipped("travelling-clinic")
    found = expected(clinic, Moment(at=NOON, irradiance_w_m2=0.0, running=("air_conditioner",)))
    one = row(found, "air_conditioner.current_a")
    assert one.low < trade.AIR_CONDITIONER_A * 12 / clinic.system_v < one.high


@pytest.mark.parametrize(
    ("duty", "amperes"),
    [(trade.FRIDGE_COOL_DUTY, trade.FRIDGE_COOL_A), (trade.FRIDGE_HOT_DUTY, trade.FRIDGE_HOT_A)],
)
def test_the_fridge_of_the_trade(duty: float, amperes: float) -> None:
    """Common practice, no source: within 15 %, averaged over its pauses."""
    fridge = Load(name="fridge", supply="dc", watt_w=trade.FRIDGE_W, duty_pct=100 * duty, from_h=0, to_h=24)
    found = expected(fit(loads=(fridge,)), Moment(at=NOON, irradiance_w_m2=0.0))
    assert row(found, "fridge.current_a").value == pytest.approx(amperes, rel=0.15)
