"""Bank, currents and the trade's loads."""

from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.physics import energy
from tests.references import trade

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


def air_conditioner_a() -> float:
    """Current of the running air conditioner, inverter at 90 %."""
    return energy.dc_current_a(power_w=trade.AIR_CONDITIONER_W, efficiency=0.90, volt=trade.BANK_V)


def test_current_through_a_converter() -> None:
    """By hand: 900 W through 90 % is 1000 W, 80 A at 12.5 V."""
    assert energy.dc_current_a(power_w=900, efficiency=0.9, volt=12.5) == pytest.approx(80)


def test_air_conditioner_current() -> None:
    """Common practice, no source: within 15 %."""
    assert air_conditioner_a() == pytest.approx(trade.AIR_CONDITIONER_A, rel=0.15)


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
}


@pytest.mark.parametrize("reason", REFUSED)
def test_out_of_range_is_refused(reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        REFUSED[reason]()
