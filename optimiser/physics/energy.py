"""Energy through a bank hour by hour, and current through a converter."""

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
