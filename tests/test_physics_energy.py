"""Bank, battery laws and the trade's loads."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.physics import energy
from tests.references import peukert, trade

step = partial(
    energy.battery_step_wh,
    capacity_wh=1000,
    charge_efficiency=0.9,
    discharge_efficiency=0.8,
    charge_max_w=300,
    discharge_max_w=400,
)


@pytest.mark.parametrize(
    ("stored", "net", "hours", "after", "curtailed", "short"),
    [
        (500, 200, 1, 680, 0, 0),
        (500, 200, 0.5, 590, 0, 0),
        (500, 500, 1, 770, 200, 0),  # 300 W taken of 500
        (955, 200, 1, 1000, 150, 0),  # room for 45 Wh, 50 at the terminals
        (955, 500, 1, 1000, 450, 0),  # both limits met: all beyond the 50 is left over
        (500, -200, 1, 250, 0, 0),
        (500, -600, 1, 0, 0, 200),  # 400 W given: just empty
        (100, -200, 1, 0, 0, 120),  # 80 Wh given of 200
        (1000, 0, 1, 1000, 0, 0),
        (0, -1, 1, 0, 0, 1),
    ],
)
def test_battery_step(stored: float, net: float, hours: float, after: float, curtailed: float, short: float) -> None:
    """Arithmetic by hand: 0.9 in, 0.8 out, 1000 Wh, 300 W in, 400 W out."""
    assert step(stored_wh=stored, net_w=net, hours=hours) == pytest.approx((after, curtailed, short))


def test_nothing_is_curtailed_or_short_by_rounding() -> None:
    """The noise of a float would show as a finding where there is none."""
    for net in (0.1, 0.3, 7.7, -0.1, -0.3, -7.7):
        moved = step(stored_wh=500, net_w=net, hours=1 / 3)
        assert (moved.curtailed_wh, moved.short_wh) == (0.0, 0.0)


@settings(max_examples=200, derandomize=True, deadline=None, database=None)
@given(
    stored=st.floats(0, 1000),
    net=st.floats(-3000, 3000),
    hours=st.floats(0, 24),
    charge=st.floats(0.5, 1),
    discharge=st.floats(0.5, 1),
)
def test_energy_is_neither_made_nor_lost(
    stored: float, net: float, hours: float, charge: float, discharge: float
) -> None:
    after, curtailed, short = energy.battery_step_wh(
        stored_wh=stored, net_w=net, hours=hours, capacity_wh=1000, charge_efficiency=charge,
        discharge_efficiency=discharge, charge_max_w=900, discharge_max_w=1500,
    )  # fmt: skip
    assert 0 <= after <= 1000
    assert curtailed >= -1e-6
    assert short >= -1e-6
    gained = after - stored
    through = gained / charge if net >= 0 else gained * discharge
    assert through + curtailed - short == pytest.approx(net * hours, abs=1e-6)


def test_round_trip() -> None:
    """Charging and drawing the same again returns the product of both efficiencies."""
    full = step(stored_wh=0, net_w=200, hours=1).stored_wh
    assert step(stored_wh=full, net_w=-144, hours=1) == pytest.approx((0, 0, 0))  # 200 x 0.9 x 0.8


def test_peukert_in_the_one_ampere_form() -> None:
    capacity, k, current, hours = peukert.ONE_AMP
    ours = energy.peukert_one_amp_hours(capacity=capacity, k=k, current_a=current)
    assert ours == pytest.approx(hours, abs=5e-5)


@pytest.mark.parametrize(("capacity", "rated", "current", "k", "hours"), peukert.HOUR_RATE)
def test_peukert_in_the_hour_rate_form(capacity: float, rated: float, current: float, k: float, hours: float) -> None:
    ours = energy.peukert_hours(capacity_ah=capacity, rated_hours=rated, current_a=current, k=k)
    assert ours == pytest.approx(hours, abs=5e-5)


def test_the_two_forms_are_different_ratings() -> None:
    """The same 100 at 5 A is 20 h by one and 14.5 h by the other; converted, they agree."""
    one_amp = 20 * (100 / 20) ** 1.2  # H (C / H)^k
    by_hours = energy.peukert_hours(capacity_ah=100, rated_hours=20, current_a=8, k=1.2)
    assert energy.peukert_one_amp_hours(capacity=one_amp, k=1.2, current_a=8) == pytest.approx(by_hours)


DUTY_PCT = [
    (ambient, humidity, low, high)
    for ambient, row in trade.DUTY_PCT.items()
    for humidity, (low, high) in zip((40, 60, 80), row, strict=True)
]


@pytest.mark.parametrize(("ambient", "humidity", "low", "high"), DUTY_PCT)
def test_air_conditioner_duty_at_the_printed_points(ambient: float, humidity: float, low: float, high: float) -> None:
    """Common practice, no source: the middle of each printed range."""
    duty = energy.air_conditioner_duty(ambient_c=ambient, humidity_pct=humidity)
    assert 100 * duty == pytest.approx((low + high) / 2)


def test_air_conditioner_duty_between_and_beyond() -> None:
    duty = energy.air_conditioner_duty
    assert duty(ambient_c=30, humidity_pct=50) == pytest.approx((0.3 + 0.4 + 0.5 + 0.6) / 4)
    assert duty(ambient_c=15, humidity_pct=20) == pytest.approx(0.3)
    assert duty(ambient_c=48, humidity_pct=95) == pytest.approx(1.0)
    hotter = [duty(ambient_c=ambient, humidity_pct=70) for ambient in range(20, 50)]
    assert hotter == sorted(hotter)


def air_conditioner_a() -> float:
    """Current of the running air conditioner, inverter at 90 %."""
    return energy.dc_current_a(power_w=trade.AIR_CONDITIONER_W, efficiency=0.90, volt=trade.BANK_V)


def humid_day_duty() -> float:
    """Low thirties and humid: 32 C, 80 %."""
    return energy.air_conditioner_duty(ambient_c=32, humidity_pct=80)


def test_current_through_a_converter() -> None:
    """By hand: 900 W through 90 % is 1000 W, 80 A at 12.5 V."""
    assert energy.dc_current_a(power_w=900, efficiency=0.9, volt=12.5) == pytest.approx(80)


def test_air_conditioner_current() -> None:
    """Common practice, no source: within 15 %."""
    assert air_conditioner_a() == pytest.approx(trade.AIR_CONDITIONER_A, rel=0.15)


def test_air_conditioner_day() -> None:
    """Common practice, no source: within 15 %, over ten hours."""
    assert 10 * humid_day_duty() * air_conditioner_a() == pytest.approx(trade.AIR_CONDITIONER_AH, rel=0.15)


def test_a_small_source_cannot_carry_air_conditioning() -> None:
    """Common practice, no source. Shown on an hour of the bank: it ends lower than it began."""
    source_w = trade.SMALL_SOURCE_A * trade.CHARGING_V
    draw_w = humid_day_duty() * trade.AIR_CONDITIONER_W / 0.90
    assert source_w < draw_w
    assert step(stored_wh=900, net_w=source_w - draw_w, hours=1).stored_wh < 900


@pytest.mark.parametrize(
    ("duty", "amperes"),
    [(trade.FRIDGE_COOL_DUTY, trade.FRIDGE_COOL_A), (trade.FRIDGE_HOT_DUTY, trade.FRIDGE_HOT_A)],
)
def test_fridge_current(duty: float, amperes: float) -> None:
    """Common practice, no source: within 15 %."""
    average = energy.dc_current_a(power_w=trade.FRIDGE_W * duty, efficiency=1, volt=trade.BANK_V)
    assert average == pytest.approx(amperes, rel=0.15)


REFUSED: dict[str, Callable[[], object]] = {
    "efficiency 1.2": lambda: energy.dc_current_a(power_w=1, efficiency=1.2, volt=12),
    "efficiency 0": lambda: step(stored_wh=1, net_w=1, hours=1, charge_efficiency=0),
    "between 0 and the capacity": lambda: step(stored_wh=1001, net_w=1, hours=1),
    "limits cannot": lambda: step(stored_wh=1, net_w=1, hours=-1),
    "cannot draw": lambda: energy.dc_current_a(power_w=-1, efficiency=1, volt=12),
    "voltage": lambda: energy.dc_current_a(power_w=1, efficiency=1, volt=0),
    "Peukert": lambda: energy.peukert_hours(capacity_ah=1, rated_hours=1, current_a=1, k=0.9),
    "above 0": lambda: energy.peukert_one_amp_hours(capacity=1, k=1.1, current_a=0),
    "humidity": lambda: energy.air_conditioner_duty(ambient_c=30, humidity_pct=101),
    "ambient": lambda: energy.air_conditioner_duty(ambient_c=70, humidity_pct=50),
}


@pytest.mark.parametrize("reason", REFUSED)
def test_out_of_range_is_refused(reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        REFUSED[reason]()
