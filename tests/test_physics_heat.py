"""Heat, ventilation and hydrogen against published figures."""

from collections.abc import Callable
from math import sqrt

import pytest

from optimiser.physics import heat
from tests.references import iec_62485 as gas
from tests.references import nec, ventilation

FOOT_M = 0.3048
CFM_M3_H = FOOT_M**3 * 60


def test_stack_flow_of_the_texts() -> None:
    area, height, inside, outside, coefficient, flow = ventilation.STACK
    ours = heat.stack_flow_m3_s(
        free_area_m2=area, stack_m=height, inside_c=inside, outside_c=outside, discharge=coefficient
    )
    assert ours == pytest.approx(flow, abs=5e-7)


def us_stack_flow_cfm(*, area_ft2: float, height_ft: float, dt_f: float) -> float:
    """The American rule for equal inlet and outlet."""
    return ventilation.US_FACTOR * area_ft2 * sqrt(height_ft * dt_f)


@pytest.mark.parametrize(("area_ft2", "height_ft", "dt_f"), [(0.1, 1, 18), (0.2, 3, 9), (1, 10, 20)])
def test_stack_flow_agrees_with_the_american_rule(area_ft2: float, height_ft: float, dt_f: float) -> None:
    """Two equal openings of coefficient 0.65 in series, at 70 F inside: 0.460 against the rule's 0.450, within 3 %."""
    inside_c = (70 - 32) / 1.8
    ours = heat.stack_flow_m3_s(
        free_area_m2=area_ft2 * FOOT_M**2 / sqrt(2),
        stack_m=height_ft * FOOT_M,
        inside_c=inside_c,
        outside_c=inside_c - dt_f / 1.8,
        discharge=0.65,
    )
    theirs = us_stack_flow_cfm(area_ft2=area_ft2, height_ft=height_ft, dt_f=dt_f)
    assert ours * 3600 / CFM_M3_H == pytest.approx(theirs, rel=0.03)


def test_stack_flow_agrees_with_the_stack_pressure() -> None:
    """The flow through a nozzle of coefficient 1 gives its driving pressure back: 1/2 rho v^2, rho of outside air."""
    height, outside, inside, pressure = ventilation.STACK_PRESSURE
    speed = heat.stack_flow_m3_s(free_area_m2=1, stack_m=height, inside_c=inside, outside_c=outside, discharge=1)
    density = 101_325 / (287.05 * (outside + 273.15))
    assert density * speed**2 / 2 == pytest.approx(pressure, rel=0.002)


def test_vent_heat_grows_as_rise_to_the_power_of_one_and_a_half() -> None:
    """Common practice, no source. Air is taken as hot both times, so the exponent is exact."""
    low, high = (heat.stack_heat_w(free_area_cm2=100, stack_mm=300, air_c=50, outside_c=50 - rise) for rise in (10, 20))
    assert high / low == pytest.approx(2**1.5)


def test_vents_carry_nothing_without_a_rise() -> None:
    assert heat.stack_heat_w(free_area_cm2=100, stack_mm=300, air_c=40, outside_c=40) == 0


def test_fan_heat() -> None:
    """0.01 m3/s at 10 K: 120.6 W (from memory, CIBSE/ASHRAE); the American rule gives 1207 J/m3K."""
    assert heat.fan_heat_w(flow_m3_h=36, rise_k=10) == pytest.approx(120.6)
    assert heat.fan_heat_w(flow_m3_h=3600, rise_k=1) == pytest.approx(ventilation.US_AIR_J_M3K, rel=0.002)


@pytest.mark.parametrize(("rise", "flow"), [(15, 21), (10, 31)])
def test_fan_flow_for_100_w(rise: float, flow: float) -> None:
    """Common practice, no source; the trade adds a little for warm, thin air."""
    assert heat.fan_heat_w(flow_m3_h=flow, rise_k=rise) == pytest.approx(100, rel=0.06)


def test_shut_and_vented_plywood_box() -> None:
    """Common practice, no source: 400 x 300 x 300 mm at 15 K sheds 30 W shut, 70 W with two vents of 100 cm2."""
    shut = 15 * heat.wall_loss_w_per_k(length_mm=400, width_mm=300, height_mm=300, u_w_m2k=3)
    assert shut == pytest.approx(30, rel=0.05)
    vented = shut + heat.stack_heat_w(free_area_cm2=100, stack_mm=300, air_c=50, outside_c=35)
    assert vented == pytest.approx(70, rel=0.05)


def test_wall_loss_counts_the_smallest_faces() -> None:
    """A 1000 x 500 x 200 mm box: two faces of 0.5, two of 0.2 and two of 0.1 m2."""
    counted = [
        heat.wall_loss_w_per_k(length_mm=1000, width_mm=500, height_mm=200, u_w_m2k=1, faces=faces)
        for faces in range(7)
    ]
    assert counted == pytest.approx([0, 0.1, 0.2, 0.4, 0.6, 1.1, 1.6])


@pytest.mark.parametrize(("efficiency", "watts"), [(90, 222), (88, 273)])
def test_inverter_heat(efficiency: float, watts: float) -> None:
    """Common practice, no source: 2 kW at 88 to 90 % is 220 to 270 W of heat."""
    assert heat.converter_loss_w(load_w=2000, efficiency_pct=efficiency, idle_w=0) == pytest.approx(watts, abs=0.5)
    assert heat.converter_loss_w(load_w=0, efficiency_pct=efficiency, idle_w=14) == 14


@pytest.mark.parametrize(
    ("air", "watts"), [(-10, 2000), (25, 2000), (32.5, 1875), (40, 1750), (50, 1250), (59, 800), (60, 0), (80, 0)]
)
def test_inverter_derates(air: float, watts: float) -> None:
    """Common practice, no source: 2000 W at 25 C, 1750 W at 40 C, then 2.5 % of the rating a kelvin, off at 60 C."""
    assert heat.derated_w(watt_25c=2000, watt_40c=1750, air_c=air) == pytest.approx(watts)


def test_inverter_never_delivers_less_than_nothing() -> None:
    assert heat.derated_w(watt_25c=2000, watt_40c=200, air_c=55) == 0


@pytest.mark.parametrize(("air", "share"), [(20, 1), (40, 1), (44, 0.9), (58, 0.55), (60, 0), (70, 0)])
def test_charger_derates(air: float, share: float) -> None:
    """Common practice, no source: full to 40 C, then 2 to 3 % a kelvin, limit 60 C."""
    assert heat.charger_derate(air_c=air) == pytest.approx(share)


@pytest.mark.parametrize(("cells", "capacity", "gassing", "flow", "area"), gas.EXAMPLES)
def test_hydrogen_examples(cells: int, capacity: float, gassing: float, flow: float, area: float) -> None:
    assert heat.hydrogen_flow_m3_h(cells=cells, capacity_ah=capacity, gas_ma_per_ah=gassing) == pytest.approx(flow)
    vent = heat.hydrogen_vent_cm2(cells=cells, capacity_ah=capacity, gas_ma_per_ah=gassing)
    assert vent == pytest.approx(area)
    assert flow / 3600 / (area / 1e4) >= 0.0992 - 1e-4  # the standard's air speed of 0.1 m/s


def test_hydrogen_constant_follows_from_faraday() -> None:
    """One cell gassing one ampere: Faraday's litres, thinned below the explosive limit, times the safety factor."""
    flow = heat.hydrogen_flow_m3_h(cells=1, capacity_ah=1000, gas_ma_per_ah=1)
    by_faraday = gas.DILUTION * gas.LITRES_PER_AH_0C / 1000 * gas.SAFETY
    assert flow == pytest.approx(by_faraday, rel=0.01)


def test_hydrogen_of_the_military_example() -> None:
    """Its own constants (1 % hydrogen, no safety factor) in place of the standard's give its printed 32 cfm."""
    flow = heat.hydrogen_flow_m3_h(cells=gas.UFC_CELLS, capacity_ah=gas.UFC_AH, gas_ma_per_ah=gas.UFC_MA_PER_AH)
    constant = gas.UFC_DILUTION * gas.UFC_FT3_PER_AH * FOOT_M**3
    cfm = flow / 0.05 * constant / CFM_M3_H
    assert cfm == pytest.approx(gas.UFC_CFM, rel=0.01)
    assert 1.05 < flow / (cfm * CFM_M3_H) < 1.15  # the standard asks for about a tenth more


def test_hydrogen_opening_of_a_battery_box() -> None:
    """The American code's fixed opening serves 65 Ah of vented 12 V battery under boost."""
    vent = heat.hydrogen_vent_cm2(cells=6, capacity_ah=65, gas_ma_per_ah=20)
    assert vent * 100 == pytest.approx(nec.RV_BATTERY_OPENING_MM2, rel=0.01)


REFUSED: dict[str, Callable[[], object]] = {
    "cannot be negative": lambda: heat.converter_loss_w(load_w=-1, efficiency_pct=90, idle_w=0),
    "efficiency": lambda: heat.converter_loss_w(load_w=1, efficiency_pct=0, idle_w=0),
    "rating": lambda: heat.derated_w(watt_25c=1000, watt_40c=1100, air_c=30),
    "stop temperature": lambda: heat.derated_w(watt_25c=1000, watt_40c=900, air_c=30, stop_c=40),
    "length, width": lambda: heat.wall_loss_w_per_k(length_mm=0, width_mm=1, height_mm=1, u_w_m2k=3),
    "transmission": lambda: heat.wall_loss_w_per_k(length_mm=1, width_mm=1, height_mm=1, u_w_m2k=-1),
    "faces": lambda: heat.wall_loss_w_per_k(length_mm=1, width_mm=1, height_mm=1, u_w_m2k=3, faces=7),
    "stack flow": lambda: heat.stack_heat_w(free_area_cm2=1, stack_mm=1, air_c=20, outside_c=25),
    "discharge": lambda: heat.stack_heat_w(free_area_cm2=1, stack_mm=1, air_c=30, outside_c=25, discharge=0),
    "temperature rise": lambda: heat.fan_heat_w(flow_m3_h=1, rise_k=-1),
    "at least one cell": lambda: heat.hydrogen_vent_cm2(cells=0, capacity_ah=1, gas_ma_per_ah=1),
    "gassing": lambda: heat.hydrogen_flow_m3_h(cells=1, capacity_ah=1, gas_ma_per_ah=-1),
}


@pytest.mark.parametrize("reason", REFUSED)
def test_out_of_range_is_refused(reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        REFUSED[reason]()
