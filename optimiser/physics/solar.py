"""Sun, sky and panels: from the sun's position to a panel's power.

Position, clear sky, transposition and cell temperature are pvlib's; this file fixes which of its models
are used for a panel on a vehicle roof. Coordinates are in degrees, north and east positive; times carry a
time zone; arrays hold one value an instant.
"""

from typing import Literal, NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray
from pvlib import clearsky, irradiance, solarposition, temperature  # type: ignore[import-untyped]

Floats = NDArray[np.float64]
Times = pd.DatetimeIndex

OVERCAST_CLEARNESS = 0.40
"""Share of clear-sky irradiance left on a warm, humid, overcast day.

Kasten and Czeplak 1980 (second hand): ``1 - 0.75 (N / 8)^3.4`` with N oktas of cloud: 0.25 under a closed
layer (8), 0.52 at 7. A day that reaches the low thirties is heated through its cloud, so a closed layer all
day is ruled out: 7.5 oktas, 0.40. Larson et al. 2016, as in pvlib, gives the same: 0.35 + 0.65 (1 - N / 8).
"""

_MOUNTINGS = {"gap": "close_mount_glass_glass", "glued": "insulated_back_glass_polymer"}


class SunPosition(NamedTuple):
    """Where the sun stands. [degree]"""

    elevation_deg: Floats  # true
    apparent_elevation_deg: Floats  # as refracted by the air
    azimuth_deg: Floats  # clockwise from north


def sun_position(*, latitude: float, longitude: float, times: Times, altitude_m: float = 0.0) -> SunPosition:
    """Position of the sun, by the NREL algorithm (Reda and Andreas, NREL/TP-560-34302). [degree]

    Examples
    --------
    The report's own example: azimuth 194.340241.

    >>> then = pd.DatetimeIndex(["2003-10-17 12:30:30-07:00"])
    >>> sun = sun_position(latitude=39.742476, longitude=-105.1786, times=then, altitude_m=1830.14)
    >>> round(float(sun.azimuth_deg[0]), 4)
    194.3402
    """
    _within("latitude", latitude, -90, 90)
    _within("longitude", longitude, -180, 180)
    if times.tz is None:
        raise ValueError("times need a time zone: without one the sun is hours out of place")
    sun = solarposition.get_solarposition(times, latitude, longitude, altitude=altitude_m)
    return SunPosition(*(_floats(sun[name]) for name in ("elevation", "apparent_elevation", "azimuth")))


def clear_sky(*, latitude: float, longitude: float, times: Times, altitude_m: float = 0.0) -> Floats:
    """Global horizontal irradiance under a cloudless sky, 0 at night. [W/m2]

    Haurwitz 1945, ``GHI = 1098 cos z exp(-0.059 / cos z)``, takes no account of altitude
    but for how the air bends the light.

    Examples
    --------
    With the sun overhead 1035.1 W/m2 (Haurwitz's formula).

    >>> noon = pd.DatetimeIndex(["2023-12-21 12:00+10:00"])
    >>> clear_sky(latitude=-23.4, longitude=149.6, times=noon).round(1)
    array([1035.1])
    """
    sun = sun_position(latitude=latitude, longitude=longitude, times=times, altitude_m=altitude_m)
    zenith = 90 - sun.apparent_elevation_deg
    return _floats(clearsky.haurwitz(pd.Series(zenith, index=times))["ghi"])


def overcast(*, ghi: ArrayLike, clearness: ArrayLike) -> Floats:
    """Irradiance under cloud: the share ``clearness`` (0 to 1) of the clear sky's ``ghi``. [W/m2]"""
    share = _floats(clearness)
    for end in (share.min(), share.max()):
        _within("clearness", float(end), 0, 1)
    return _floats(ghi) * share


def plane_irradiance(
    *,
    latitude: float,
    longitude: float,
    times: Times,
    ghi: ArrayLike,
    tilt_deg: float,
    azimuth_deg: float,
    albedo: float = 0.2,
) -> Floats:
    """Irradiance on a panel tilted 0 to 90 degrees, facing ``azimuth_deg`` clockwise from north. [W/m2]

    ``ghi`` is split by Erbs et al. 1982; sky diffuse comes equally from all over the sky, the ground reflects
    the share ``albedo`` (Liu and Jordan). A flat panel sees the horizontal irradiance unchanged.
    """
    _within("tilt", tilt_deg, 0, 90)
    _within("albedo", albedo, 0, 1)
    horizontal = _floats(ghi)
    if horizontal.shape != times.shape:
        raise ValueError(f"{horizontal.size} irradiances for {times.size} instants")
    if tilt_deg == 0:
        return horizontal
    sun = sun_position(latitude=latitude, longitude=longitude, times=times)
    zenith = 90 - sun.elevation_deg
    split = irradiance.erbs(horizontal, zenith, times)
    plane = irradiance.get_total_irradiance(
        tilt_deg, azimuth_deg, zenith, sun.azimuth_deg, split["dni"], horizontal, split["dhi"], albedo=albedo
    )
    return _floats(plane["poa_global"])


def cell_temperature_c(
    *, irradiance: ArrayLike, air_c: ArrayLike, wind_m_s: float = 1.0, mounting: Literal["gap", "glued"]
) -> Floats:
    """Temperature of a panel's cells, ``T_a + G exp(a + b w) + dT G / 1000`` (King et al. 2004, Sandia). [C]

    ``gap`` takes the coefficients of a glass panel mounted close to a roof: a van leaves 20 to 60 mm under a
    rigid panel, not an open rack. ``glued`` takes those of a glass-polymer panel with an insulated back.

    Examples
    --------
    900 W/m2, 20 C, 5 m/s (coefficients of King et al. 2004, value computed).

    >>> round(float(cell_temperature_c(irradiance=900, air_c=20, wind_m_s=5, mounting="glued")), 3)
    63.159
    """
    if mounting not in _MOUNTINGS:
        raise ValueError(f"mounting {mounting!r} is neither 'gap' nor 'glued'")
    _within("wind", wind_m_s, 0, 60)
    light = _not_negative("irradiance", irradiance)
    coefficients = temperature.TEMPERATURE_MODEL_PARAMETERS["sapm"][_MOUNTINGS[mounting]]
    return _floats(temperature.sapm_cell(light, _floats(air_c), wind_m_s, **coefficients))


def panel_power_w(*, watt_w: float, power_pct_k: float, irradiance: ArrayLike, cell_c: ArrayLike) -> Floats:
    """Power at a panel's best point, ``P G / 1000 [1 + g (T_c - 25)]`` (PVWatts, Dobos 2014), never negative. [W]"""
    _within("power coefficient", power_pct_k, -1, 0)
    rated = _not_negative("rating", watt_w)
    warm = 1 + power_pct_k / 100 * (_floats(cell_c) - 25)
    return _floats(np.maximum(rated * _not_negative("irradiance", irradiance) / 1000 * warm, 0.0))


def voltage_at(*, volt: float, pct_k: float, cell_c: float) -> float:
    """Voltage of a panel away from 25 C, ``U [1 + b (T_c - 25)]`` (NEC 690.7(A)(1), second hand). [V]

    Examples
    --------
    49.5 V, -0.27 %/K, -10 C, 14 in series: 758.5 V (a plan-review test quoting the NEC).

    >>> round(14 * voltage_at(volt=49.5, pct_k=-0.27, cell_c=-10), 1)
    758.5
    """
    _within("cell temperature", cell_c, -60, 150)
    return volt * (1 + pct_k / 100 * (cell_c - 25))


def _within(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise ValueError(f"{name} {value} is not between {low} and {high}")


def _not_negative(name: str, values: ArrayLike) -> Floats:
    floats = _floats(values)
    if np.any(floats < 0):
        raise ValueError(f"{name} cannot be negative")
    return floats


def _floats(values: ArrayLike) -> Floats:
    return np.asarray(values, dtype=np.float64)
