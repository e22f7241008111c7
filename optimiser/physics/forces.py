"""Forces on what is fixed, and how far a cable may be bent: wind that lifts, a crash that throws, glue that holds.

Plain formulas on plain numbers. None of them knows how strong a foot, a glue or a roof is.
"""

AIR_KG_M3 = 1.225
"""Density of air at sea level and 15 C (International Standard Atmosphere)."""

GRAVITY_M_S2 = 9.80665
"""Standard acceleration of free fall (3rd General Conference on Weights and Measures, 1901)."""

_KM_H_IN_M_S = 3.6
_MM2_IN_CM2 = 100


def _not_negative(**quantities: float) -> None:
    for name, value in quantities.items():
        if value < 0:
            raise ValueError(f"{name} cannot be negative, got {value}")


def dynamic_pressure_pa(*, air_speed_km_h: float) -> float:
    """Pressure of air that is brought to rest, ``q = rho v^2 / 2``. [Pa]

    ``air_speed_km_h`` is that of the air over the vehicle: its own speed and the wind against it together.

    Examples
    --------
    At 1 m/s (wind codes write 0.613 v^2, from memory).

    >>> round(dynamic_pressure_pa(air_speed_km_h=3.6), 4)
    0.6125
    """
    _not_negative(air_speed_km_h=air_speed_km_h)
    return AIR_KG_M3 * (air_speed_km_h / _KM_H_IN_M_S) ** 2 / 2


def uplift_n(*, pressure_pa: float, suction: float, area_m2: float, mass_kg: float) -> float:
    """What the wind lifts a panel with beyond its own weight, ``q c A - m g``; 0 where it lies by its weight. [N]

    Parameters
    ----------
    pressure_pa : Dynamic pressure of the air. [Pa]
    suction : Coefficient of suction over the whole panel, without its sign.
    area_m2 : Area of the panel. [m2]
    mass_kg : Mass of what is lifted. [kg]

    Examples
    --------
    >>> uplift_n(pressure_pa=100, suction=1.5, area_m2=2, mass_kg=0)
    300.0
    """
    _not_negative(pressure_pa=pressure_pa, suction=suction, area_m2=area_m2, mass_kg=mass_kg)
    return max(0.0, pressure_pa * suction * area_m2 - mass_kg * GRAVITY_M_S2)


def restraint_n(*, mass_kg: float, times_gravity: float) -> float:
    """What holds a mass while it is braked with so many times gravity, ``m n g``. [N]

    Examples
    --------
    >>> round(restraint_n(mass_kg=10, times_gravity=1), 4)
    98.0665
    """
    _not_negative(mass_kg=mass_kg, times_gravity=times_gravity)
    return mass_kg * times_gravity * GRAVITY_M_S2


def glue_cm2(*, force_n: float, safety: float, stress_n_mm2: float) -> float:
    """Area of glue that carries a force with a safety, ``A = F s / sigma``. [cm2]

    ``stress_n_mm2`` is what the glue is allowed for as long as it is loaded, not what it breaks at. [N/mm2]

    Examples
    --------
    >>> glue_cm2(force_n=1000, safety=2, stress_n_mm2=0.2)
    100.0
    """
    _not_negative(force_n=force_n, safety=safety)
    if stress_n_mm2 <= 0:
        raise ValueError(f"stress_n_mm2 must be above 0, got {stress_n_mm2}")
    return force_n * safety / stress_n_mm2 / _MM2_IN_CM2


def bend_radius_mm(*, outside_mm: float, times_outside: float) -> float:
    """Least radius that a cable is bent to, to the inside of the bend: so many times its outside diameter. [mm]

    Examples
    --------
    PV cable of 6 mm2, fixed: 4 times 6.1 mm (cable makers, as quoted elsewhere).

    >>> round(bend_radius_mm(outside_mm=6.1, times_outside=4), 1)
    24.4
    """
    _not_negative(outside_mm=outside_mm, times_outside=times_outside)
    return outside_mm * times_outside
