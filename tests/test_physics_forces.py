"""Wind, crash, glue and bends against outside figures."""

from collections.abc import Callable

import pytest

from optimiser.physics import forces
from tests.references import trade, wind


def test_air_is_that_of_the_standard_atmosphere() -> None:
    assert forces.AIR_KG_M3 == wind.DENSITY_KG_M3


@pytest.mark.parametrize("speed_km_h", [36, 110, 191])
def test_pressure_of_a_building_code(speed_km_h: float) -> None:
    """0.613 v^2, which is cut to three figures."""
    ours = forces.dynamic_pressure_pa(air_speed_km_h=speed_km_h)
    assert ours == pytest.approx(wind.CODE_PA * (speed_km_h / 3.6) ** 2, rel=1e-3)


def test_pressure_on_a_motorway() -> None:
    """By hand: 110 km/h are 30.556 m/s, 1.225 x 933.64 / 2 = 571.9 Pa."""
    assert forces.dynamic_pressure_pa(air_speed_km_h=110) == pytest.approx(571.9, abs=0.1)


def test_a_panel_on_a_motorway() -> None:
    """By hand: 571.86 Pa x 1.9527 m2 = 1116.7 N, half as much again 1675.1 N; 22 kg weigh 215.7 N."""
    q = forces.dynamic_pressure_pa(air_speed_km_h=wind.SPEED_KM_H)
    area_m2 = wind.PANEL_MM[0] * wind.PANEL_MM[1] / 1e6
    lift = [forces.uplift_n(pressure_pa=q, suction=c, area_m2=area_m2, mass_kg=wind.PANEL_KG) for c in wind.SUCTION]
    assert lift == pytest.approx([901, 1459.3], abs=0.5)


def test_a_panel_in_still_air_lies_by_its_weight() -> None:
    assert forces.uplift_n(pressure_pa=0, suction=1.5, area_m2=2, mass_kg=20) == 0
    assert forces.uplift_n(pressure_pa=100, suction=1, area_m2=2, mass_kg=20.4) == 0  # 200.06 N of weight
    assert forces.uplift_n(pressure_pa=100, suction=1, area_m2=2, mass_kg=20.3) == pytest.approx(0.925, abs=1e-3)


def test_a_bank_in_a_crash() -> None:
    """By hand: 92 kg x 20 x 9.80665 = 18 kN."""
    assert forces.restraint_n(mass_kg=92, times_gravity=20) == pytest.approx(18_044, abs=1)


def test_glue() -> None:
    """By hand: 1000 N, twice, at 0.1 N/mm2 are 20,000 mm2."""
    assert forces.glue_cm2(force_n=1000, safety=2, stress_n_mm2=0.1) == pytest.approx(200)


def test_a_cable_for_panels_where_it_is_fixed() -> None:
    radius = forces.bend_radius_mm(outside_mm=trade.PV_OUTSIDE_MM, times_outside=trade.PV_BEND)
    assert radius == pytest.approx(24.4)


WRONG: list[Callable[[], float]] = [
    lambda: forces.dynamic_pressure_pa(air_speed_km_h=-1),
    lambda: forces.uplift_n(pressure_pa=-1, suction=1, area_m2=1, mass_kg=1),
    lambda: forces.uplift_n(pressure_pa=1, suction=-1, area_m2=1, mass_kg=1),
    lambda: forces.uplift_n(pressure_pa=1, suction=1, area_m2=-1, mass_kg=1),
    lambda: forces.uplift_n(pressure_pa=1, suction=1, area_m2=1, mass_kg=-1),
    lambda: forces.restraint_n(mass_kg=-1, times_gravity=1),
    lambda: forces.restraint_n(mass_kg=1, times_gravity=-1),
    lambda: forces.glue_cm2(force_n=-1, safety=1, stress_n_mm2=1),
    lambda: forces.glue_cm2(force_n=1, safety=-1, stress_n_mm2=1),
    lambda: forces.glue_cm2(force_n=1, safety=1, stress_n_mm2=0),
    lambda: forces.bend_radius_mm(outside_mm=-1, times_outside=1),
    lambda: forces.bend_radius_mm(outside_mm=1, times_outside=-1),
]


@pytest.mark.parametrize("wrong", WRONG)
def test_what_cannot_be_is_refused(wrong: Callable[[], float]) -> None:
    with pytest.raises(ValueError, match=r"cannot be negative|must be above 0"):
        wrong()
