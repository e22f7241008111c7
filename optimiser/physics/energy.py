"""Energy through a bank hour by hour, battery laws, and the duty of an air conditioner."""

from __future__ import annotations

from bisect import bisect_right
from typing import NamedTuple


class BatteryStep(NamedTuple):
    """What one time step did to a bank; the last two exactly 0 where no limit was met."""

    stored_wh: float  # in the bank afterwards
    curtailed_wh: float  # offered to it and not taken
    short_wh: float  # asked of it and not given


def battery_step_wh(
    *,
    stored_wh: float,
    net_w: float,
    hours: float,
    capacity_wh: float,
    charge_efficiency: float,
    discharge_efficiency: float,
    charge_max_w: float,
    discharge_max_w: float,
) -> BatteryStep:
    """Move a bank through one time step of constant net power. [Wh]

    .. math::

        E' = E + P t \\eta_c \\; (P > 0), \\qquad E' = E - |P| t / \\eta_d \\; (P < 0)

    with P limited by the bank's charge or discharge power, and E' kept between 0 and the capacity.

    Parameters
    ----------
    stored_wh : Energy in the bank beforehand. [Wh]
    net_w : Sources minus loads at the bank's terminals. [W]
    hours : Length of the step. [h]
    capacity_wh : Usable capacity when full. [Wh]
    charge_efficiency, discharge_efficiency : Stored per offered energy, given per drawn energy, above 0 to 1.
    charge_max_w, discharge_max_w : Limits of the bank at its terminals. [W]

    Raises
    ------
    ValueError : If an efficiency is not above 0 and at most 1, the bank holds less than nothing or more than its
        capacity, or a limit or the time is negative.

    Examples
    --------
    >>> battery_step_wh(stored_wh=900, net_w=200, hours=1, capacity_wh=1000, charge_efficiency=0.8,
    ...                 discharge_efficiency=1, charge_max_w=500, discharge_max_w=500)
    BatteryStep(stored_wh=1000, curtailed_wh=75.0, short_wh=0.0)
    """
    for efficiency in (charge_efficiency, discharge_efficiency):
        if not 0 < efficiency <= 1:
            raise ValueError(f"efficiency {efficiency} is not above 0 and at most 1")
    if not 0 <= stored_wh <= capacity_wh:
        raise ValueError(f"{stored_wh} Wh stored is not between 0 and the capacity of {capacity_wh} Wh")
    if min(hours, charge_max_w, discharge_max_w) < 0:
        raise ValueError("time and power limits cannot be negative")
    if net_w >= 0:
        taken_w = min(net_w, charge_max_w)
        gained = taken_w * hours * charge_efficiency
        room = capacity_wh - stored_wh
        if gained > room:
            return BatteryStep(capacity_wh, net_w * hours - room / charge_efficiency, 0.0)
        return BatteryStep(min(stored_wh + gained, capacity_wh), (net_w - taken_w) * hours, 0.0)
    given_w = min(-net_w, discharge_max_w)
    drawn = given_w * hours / discharge_efficiency
    if drawn > stored_wh:
        return BatteryStep(0.0, 0.0, -net_w * hours - stored_wh * discharge_efficiency)
    return BatteryStep(stored_wh - drawn, 0.0, (-net_w - given_w) * hours)


def peukert_hours(*, capacity_ah: float, rated_hours: float, current_a: float, k: float) -> float:
    """Time a lead-acid bank lasts, from a capacity rated at some hours. [h]

    .. math:: t = H \\, (C / (I H))^k

    Peukert's law in the hour-rate form (from memory). Not to be mixed with `peukert_one_amp_hours`.

    Parameters
    ----------
    capacity_ah : Capacity at the rated hours. [Ah]
    rated_hours : Hours of the rating, commonly 20. [h]
    current_a : Current drawn. [A]
    k : Peukert exponent, 1 to 1.6.

    Raises
    ------
    ValueError : If a quantity is not positive or k lies outside 1 to 1.6.

    Examples
    --------
    At the rated current the rating itself comes back.

    >>> peukert_hours(capacity_ah=100, rated_hours=20, current_a=5, k=1.2)
    20.0
    """
    _check_peukert(capacity_ah, rated_hours, current_a, k=k)
    return float(rated_hours * (capacity_ah / (current_a * rated_hours)) ** k)


def peukert_one_amp_hours(*, capacity: float, k: float, current_a: float) -> float:
    """Time a lead-acid bank lasts, from its capacity at a current of one ampere. [h]

    .. math:: t = C / I^k

    Parameters
    ----------
    capacity : Peukert capacity: the Ah given at 1 A. [A^k h]
    k : Peukert exponent, 1 to 1.6.
    current_a : Current drawn. [A]

    Raises
    ------
    ValueError : If a quantity is not positive or k lies outside 1 to 1.6.

    Examples
    --------
    100, 1.2 and 5 A: 14.5 h (Peukert's law, general text).

    >>> round(peukert_one_amp_hours(capacity=100, k=1.2, current_a=5), 1)
    14.5
    """
    _check_peukert(capacity, current_a, k=k)
    return float(capacity / current_a**k)


def _check_peukert(*quantities: float, k: float) -> None:
    if min(quantities) <= 0:
        raise ValueError("capacity, rated hours and current must be above 0")
    if not 1 <= k <= 1.6:
        raise ValueError(f"Peukert exponent {k} is outside 1 to 1.6")


def dc_current_a(*, power_w: float, efficiency: float, volt: float) -> float:
    """Current that feeds a load through a converter. [A]

    .. math:: I = P / (\\eta U)

    Parameters
    ----------
    power_w : Power at the load. [W]
    efficiency : Of the converter between, above 0 to 1; 1 for none.
    volt : Voltage on the feeding side. [V]

    Raises
    ------
    ValueError : If the power is negative, the efficiency not above 0 and at most 1, or the voltage not positive.

    Examples
    --------
    >>> dc_current_a(power_w=900, efficiency=0.9, volt=12.5)
    80.0
    """
    if power_w < 0:
        raise ValueError(f"a load cannot draw {power_w} W")
    if not 0 < efficiency <= 1:
        raise ValueError(f"efficiency {efficiency} is not above 0 and at most 1")
    if volt <= 0:
        raise ValueError(f"voltage must be above 0, got {volt}")
    return power_w / (efficiency * volt)


DUTY_AMBIENT_C = (28.0, 32.0, 36.0, 40.0)
DUTY_HUMIDITY_PCT = (40.0, 60.0, 80.0)
DUTY = (
    (0.30, 0.40, 0.50),
    (0.50, 0.60, 0.70),
    (0.70, 0.80, 0.90),
    (0.925, 0.975, 1.0),
)
"""Compressor share by ambient (rows) and humidity: common practice, no source; shaded white van held at 22-24 C."""


def air_conditioner_duty(*, ambient_c: float, humidity_pct: float) -> float:
    """Share of time an air conditioner's compressor runs (common practice, no source).

    Bilinear in the table `DUTY`, held constant beyond its edges. Below 28 C that overstates the demand, which
    is the safe side; above 40 C or at a higher humidity the unit runs all or nearly all the time anyway.

    Parameters
    ----------
    ambient_c : Air outside, -40 to 60. [C]
    humidity_pct : Relative humidity, 0 to 100. [%]

    Raises
    ------
    ValueError : If the humidity or the ambient lies outside its range.

    Examples
    --------
    >>> round(air_conditioner_duty(ambient_c=30, humidity_pct=70), 3)
    0.55
    """
    if not 0 <= humidity_pct <= 100:
        raise ValueError(f"relative humidity {humidity_pct} is not between 0 and 100 %")
    if not -40 <= ambient_c <= 60:
        raise ValueError(f"ambient {ambient_c} C is outside -40 to 60 C")
    row, down = _place(DUTY_AMBIENT_C, ambient_c)
    column, along = _place(DUTY_HUMIDITY_PCT, humidity_pct)
    upper, lower = (DUTY[r][column] * (1 - along) + DUTY[r][column + 1] * along for r in (row, row + 1))
    return upper * (1 - down) + lower * down


def _place(edges: tuple[float, ...], value: float) -> tuple[int, float]:
    """Cell of a table a value falls in, and how far through it (0 to 1)."""
    cell = min(max(bisect_right(edges, value) - 1, 0), len(edges) - 2)
    share = (value - edges[cell]) / (edges[cell + 1] - edges[cell])
    return cell, min(max(share, 0.0), 1.0)
