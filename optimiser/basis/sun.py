"""What the sun gives a panel of a zone, hour by hour, and what a string reads at its extremes."""

from functools import lru_cache
from typing import Literal

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from optimiser.basis.loads import clock_hours
from optimiser.case import Case, Place, Scenario, Zone
from optimiser.parts import Panel
from optimiser.physics import solar

Floats = NDArray[np.float64]

YEAR = 2026  # any year serves: the sun's place on a date moves by minutes between years
HOTTEST_H = 15  # of a day
FIELD_SHARE = 0.95  # left after dirt, mismatch and roof wiring (common practice, no source)
FULL_SUN_W_M2 = 1000.0


def air_c(scenario: Scenario) -> Floats:
    """Air temperature at the middle of each hour [C]."""
    return air_at_c(scenario, clock_hours(scenario) + 0.5)


def air_at_c(scenario: Scenario, clock_h: ArrayLike) -> Floats:
    """Air temperature at hours of the day: a sine, coldest at 3, hottest at 15 o'clock [C]."""
    middle = (scenario.temp_min_c + scenario.temp_max_c) / 2
    swing = (scenario.temp_max_c - scenario.temp_min_c) / 2
    return np.asarray(middle + swing * np.cos(2 * np.pi * (np.asarray(clock_h) - HOTTEST_H) / 24))


def _mounting(panel: Panel) -> Literal["gap", "glued"]:
    return "glued" if panel.kind == "flexible" else "gap"


@lru_cache(maxsize=256)
def _irradiance(place: Place, scenario: Scenario, tilt_deg: float, azimuth_deg: float) -> Floats:
    start = pd.Timestamp(year=YEAR, month=scenario.month, day=scenario.day, hour=scenario.start_h, minute=30)
    utc = start - pd.Timedelta(hours=place.utc_offset_h)
    times = pd.date_range(utc, periods=scenario.hours, freq="h", tz="UTC")
    return irradiance_w_m2(place, times, clearness=scenario.clearness, tilt_deg=tilt_deg, azimuth_deg=azimuth_deg)


def irradiance_w_m2(
    place: Place, times: pd.DatetimeIndex, *, clearness: ArrayLike, tilt_deg: float, azimuth_deg: float
) -> Floats:
    """Irradiance on a tilted plane at instants with a time zone, under a share of a clear sky's light [W/m2]."""
    clear = solar.clear_sky(
        latitude=place.latitude, longitude=place.longitude, times=times, altitude_m=place.altitude_m
    )
    ghi = solar.overcast(ghi=clear, clearness=clearness)
    return solar.plane_irradiance(
        latitude=place.latitude,
        longitude=place.longitude,
        times=times,
        ghi=ghi,
        tilt_deg=tilt_deg,
        azimuth_deg=azimuth_deg,
    )


def panel_hour_w(case: Case, scenario: Scenario, zone: Zone | None, panel: Panel) -> Floats:
    """What one panel gives in each hour [W]; ``zone`` None: the portable panel, laid flat."""
    tilt, azimuth = (zone.tilt_deg, zone.azimuth_deg) if zone else (0.0, 0.0)
    irradiance = _irradiance(case.brief.place, scenario, tilt, azimuth)
    return panel_w(panel, irradiance, cell_c(panel, irradiance, air_c(scenario)))


def cell_c(panel: Panel, irradiance: ArrayLike, air: ArrayLike) -> Floats:
    """Temperature of a panel's cells on a roof, in light [W/m2] and air [C] [C]."""
    return solar.cell_temperature_c(irradiance=irradiance, air_c=air, mounting=_mounting(panel))


def panel_w(panel: Panel, irradiance: ArrayLike, cell: ArrayLike) -> Floats:
    """What a panel gives at its best point in light [W/m2] with cells at a temperature [C], in the field [W]."""
    return FIELD_SHARE * solar.panel_power_w(
        watt_w=panel.watt_w, power_pct_k=panel.power_pct_k, irradiance=irradiance, cell_c=cell
    )


def cold_voc_v(case: Case, panel: Panel) -> float:
    """Open-circuit voltage of one panel on the coldest morning [V]."""
    cold = min(case.brief.place.record_low_c, 25.0)
    return voc_v(panel, cold)


def hot_vmp_v(case: Case, panel: Panel) -> float:
    """Voltage at maximum power of one panel in full sun and the hottest air [V].

    Vmp falls with the power coefficient (its current hardly moves), so that one is used.
    """
    hot = float(cell_c(panel, FULL_SUN_W_M2, case.brief.place.record_high_c))
    return vmp_v(panel, hot)


def hot_voc_v(case: Case, panel: Panel) -> float:
    """Open-circuit voltage of one panel in full sun and the hottest air [V]."""
    return voc_v(panel, float(cell_c(panel, FULL_SUN_W_M2, case.brief.place.record_high_c)))


def vmp_v(panel: Panel, cell: float) -> float:
    """Voltage at maximum power of one panel, its cells at a temperature [C] [V]."""
    return solar.voltage_at(volt=panel.vmp_v, pct_k=panel.power_pct_k, cell_c=cell)


def voc_v(panel: Panel, cell: float) -> float:
    """Open-circuit voltage of one panel, its cells at a temperature [C] [V]."""
    return solar.voltage_at(volt=panel.voc_v, pct_k=panel.voc_pct_k, cell_c=cell)
