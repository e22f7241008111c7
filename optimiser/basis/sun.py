"""What the sun gives a panel of a zone, hour by hour, and what a string reads at its extremes."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from optimiser.basis.loads import clock_hours
from optimiser.case import Case, Place, Scenario, Zone
from optimiser.parts import Panel
from optimiser.physics import solar

Floats = NDArray[np.float64]

YEAR = 2026  # any year serves: the sun's place on a date moves by minutes between years
FIELD_SHARE = 0.95  # left after dirt, mismatch and roof wiring (common practice, no source)
FULL_SUN_W_M2 = 1000.0


def air_c(scenario: Scenario) -> Floats:
    """Air temperature at the middle of each hour: a sine, coldest at 3, hottest at 15 o'clock [C]."""
    middle = (scenario.temp_min_c + scenario.temp_max_c) / 2
    swing = (scenario.temp_max_c - scenario.temp_min_c) / 2
    return middle + swing * np.cos(2 * np.pi * (clock_hours(scenario) + 0.5 - 15) / 24)


def _mounting(panel: Panel) -> Literal["gap", "glued"]:
    return "glued" if panel.kind == "flexible" else "gap"


@lru_cache(maxsize=256)
def _irradiance(place: Place, scenario: Scenario, tilt_deg: float, azimuth_deg: float) -> Floats:
    start = pd.Timestamp(year=YEAR, month=scenario.month, day=scenario.day, hour=scenario.start_h, minute=30)
    utc = start - pd.Timedelta(hours=place.utc_offset_h)
    times = pd.date_range(utc, periods=scenario.hours, freq="h", tz="UTC")
    clear = solar.clear_sky(
        latitude=place.latitude, longitude=place.longitude, times=times, altitude_m=place.altitude_m
    )
    ghi = solar.overcast(ghi=clear.ghi, clearness=scenario.clearness)
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
    cell = solar.cell_temperature_c(irradiance=irradiance, air_c=air_c(scenario), mounting=_mounting(panel))
    return FIELD_SHARE * solar.panel_power_w(
        watt_w=panel.watt_w, power_pct_k=panel.power_pct_k, irradiance=irradiance, cell_c=cell
    )


def cold_voc_v(case: Case, panel: Panel) -> float:
    """Open-circuit voltage of one panel on the coldest morning [V]."""
    cold = min(case.brief.place.record_low_c, 25.0)
    return solar.voltage_at(volt=panel.voc_v, pct_k=panel.voc_pct_k, cell_c=cold)


def hot_vmp_v(case: Case, panel: Panel) -> float:
    """Voltage at maximum power of one panel in full sun and the hottest air [V].

    Vmp falls with the power coefficient (its current hardly moves), so that one is used.
    """
    cell = solar.cell_temperature_c(
        irradiance=np.array([FULL_SUN_W_M2]),
        air_c=np.array([case.brief.place.record_high_c]),
        mounting=_mounting(panel),
    )
    return solar.voltage_at(volt=panel.vmp_v, pct_k=panel.power_pct_k, cell_c=float(cell[0]))
