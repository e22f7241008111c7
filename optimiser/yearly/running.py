"""A bank through years of weather, hour by hour.

As in a scenario (`fitted.hours`), but that nothing is drawn beneath the floor: what the loads then want is short.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from optimiser.basis import bank, loads, sun, volts, year
from optimiser.builds import PanelArray
from optimiser.connections import SLOTS
from optimiser.fitted.fit import Fit
from optimiser.fitted.hours import capacity_wh, idle_w, inverter_efficiency
from optimiser.physics import solar
from optimiser.yearly.weather import DAY_H, HOURS, Floats, Weather, middles

DRIVES_FROM_H, HOOKED_UP_FROM_H = 10, 18


@dataclass(frozen=True)
class Habits:
    """What is done each day beside the sun: hours driven from ten, hours on hook-up from eighteen o'clock."""

    driving_h: int = 0
    hook_up_h: int = 0
    capacity_pct: float | None = None  # of the nominal; left out, as the brief has it


@dataclass(frozen=True)
class YearRun:
    """What years of weather do to a bank, an entry an hour; charge at the end of it."""

    weather: Weather
    soc_pct: Floats
    given_w: dict[str, Floats]  # by the sun, the alternator, hook-up, as offered
    loads_w: Floats  # at the bank, own draw of what is fitted included
    short_wh: Floats  # wanted of the bank and not given
    spilled_wh: Floats  # offered to it and not taken

    @cached_property
    def good_days(self) -> np.ndarray:
        """Whether nothing was short, a flag a day."""
        return np.asarray(self.short_wh.reshape(-1, DAY_H).sum(axis=1) == 0)


@dataclass(frozen=True)
class Flows:
    """What a run is made of, an entry an hour, and the bank's ends [W], [Wh]."""

    given_w: dict[str, Floats]
    loads_w: Floats
    takes_w: Floats
    floor_wh: Floats
    capacity_wh: float

    @property
    def net_w(self) -> Floats:
        """Sources less loads."""
        return sum(self.given_w.values(), np.zeros(len(self.loads_w))) - self.loads_w


def run(fit: Fit, weather: Weather, habits: Habits | None = None) -> YearRun:
    """All hours, from a full bank on."""
    flows = flows_of(fit, weather, habits or Habits())
    stored, short, spilled = _through(flows)
    return YearRun(weather, 100 * stored / flows.capacity_wh, flows.given_w, flows.loads_w, short, spilled)


def _through(flows: Flows) -> tuple[Floats, Floats, Floats]:
    capacity, stored = flows.capacity_wh, flows.capacity_wh
    charging, discharging = volts.CHARGE_EFFICIENCY, volts.DISCHARGE_EFFICIENCY
    kept, short, spilled = (np.zeros(len(flows.loads_w)) for _ in range(3))
    rows = zip(flows.net_w.tolist(), flows.takes_w.tolist(), flows.floor_wh.tolist(), strict=True)
    for hour, (net, takes, floor) in enumerate(rows):
        if net >= 0:
            gained = min(min(net, takes) * charging, capacity - stored)
            spilled[hour] = max(0.0, net - gained / charging)
            stored += gained
        else:
            drawn = min(-net / discharging, max(0.0, stored - floor))
            short[hour] = -net - drawn * discharging
            stored -= drawn
        kept[hour] = stored
    short[short < 1e-9] = 0.0  # rounding
    return kept, short, spilled


def flows_of(fit: Fit, weather: Weather, habits: Habits) -> Flows:
    """What comes and goes in each hour, whatever the bank holds."""
    bus_v, limits = volts.nominal_v(fit.system_v), fit.case.limits
    clock = np.arange(len(weather.ghi)) % DAY_H
    driving = _window(clock, DRIVES_FROM_H, habits.driving_h) & (fit.case.brief.alternator is not None)
    hooked_up = _window(clock, HOOKED_UP_FROM_H, habits.hook_up_h) & (fit.case.brief.inlet is not None)
    amps = {slot: charger.charge_a for slot, charger in fit.chargers.items()} | {"mains_charger": fit.mains_charge_a}
    when = {"alternator_charger": driving, "mains_charger": hooked_up}
    sunny = {array.name: _array_w(fit, weather, array) for array in fit.build.arrays}
    charged: dict[str, Floats] = {
        slot: flags.astype(np.float64) * (fit.derate * amps.get(slot, 0.0) * bus_v) for slot, flags in when.items()
    }
    charger = fit.alternator_charger
    if charger and fit.solar_on_alternator:  # one output, as in a scenario
        own_sun = sum((sunny[a.name] for a in fit.build.arrays if a.regulator == "alternator_charger"), 0.0 * clock)
        output_w = fit.derate * volts.alternator_output_a(charger, with_solar=True) * bus_v
        charged["alternator_charger"] = np.minimum(charged["alternator_charger"], output_w - own_sun)
    given = {"sun": sum(sunny.values(), np.zeros(len(clock)))}
    given |= {SLOTS[slot].fed_by: watts for slot, watts in charged.items() if watts.any()}
    kept_pct = limits.capacity_kept_pct if habits.capacity_pct is None else habits.capacity_pct
    capacity = capacity_wh(fit) * kept_pct / limits.capacity_kept_pct
    drawn, takes, least = _loads_w(fit, weather, hooked_up), *_bank(fit, weather)
    return Flows(given, drawn, takes, capacity * least, capacity)


def _window(clock: np.ndarray, from_h: int, hours: int) -> np.ndarray:
    return np.asarray((clock - from_h) % DAY_H < hours)


def _array_w(fit: Fit, weather: Weather, array: PanelArray) -> Floats:
    """What an array gives the bank [W]; a portable panel lies out in the hours of its scenarios."""
    ends, panel = fit.input_of(array), fit.panel_of(array)
    if ends is None:
        return np.zeros(len(weather.ghi))

    def one(tilt_deg: float, azimuth_deg: float) -> Floats:
        light = _plane(fit, weather, tilt_deg, azimuth_deg)
        return sun.panel_w(panel, light, sun.cell_c(panel, light, weather.air_c))

    if array.roof_plane:
        zones = [fit.zone_of[p.zone] for p in fit.roof_panels(array) if p.panel == array.panel]
        each = {(z.tilt_deg, z.azimuth_deg): one(z.tilt_deg, z.azimuth_deg) for z in zones}
        offered = sum((each[z.tilt_deg, z.azimuth_deg] for z in zones), np.zeros(len(weather.ghi)))
    else:
        offered = one(0.0, 0.0) * _by_months(fit, weather, lambda day: day.portable.astype(np.float64))
    most = fit.derate * ends.out_a * volts.nominal_v(fit.system_v)
    return np.minimum(offered * ends.efficiency, most)


def _plane(fit: Fit, weather: Weather, tilt_deg: float, azimuth_deg: float) -> Floats:
    """Light in a plane [W/m2]: year by year, since the sun's way is the same in each."""
    if tilt_deg == 0:
        return weather.ghi
    place, times = fit.case.brief.place, middles(fit.case.brief.place)
    years = weather.ghi.reshape(-1, HOURS)
    return np.concatenate(
        [
            solar.plane_irradiance(
                latitude=place.latitude, longitude=place.longitude, times=times, ghi=ghi, tilt_deg=tilt_deg,
                azimuth_deg=azimuth_deg,
            )
            for ghi in years
        ]
    )  # fmt: skip


def _by_months(fit: Fit, weather: Weather, of: loads.OfDay) -> Floats:
    """A figure of each hour of the day that changes from month to month."""
    days = {day.month: of(loads.hourly(fit.case, day)) for _, day in year.months(fit.case)}
    return np.concatenate([days[int(month)] for month in weather.month_of_day])


def _loads_w(fit: Fit, weather: Weather, hooked_up: np.ndarray) -> Floats:
    """What is drawn at the bank [W]."""
    through = fit.inverter is not None and fit.inverter.passed
    sockets = _by_months(fit, weather, lambda day: day.inverter_w) / inverter_efficiency(fit)
    drawn = _by_months(fit, weather, lambda day: day.dc_w) * volts.dc_loads_w(1.0, fit.step_down)
    return drawn + np.where(hooked_up & through, 0.0, sockets) + idle_w(fit) + _heaters_w(fit, weather)


def _heaters_w(fit: Fit, weather: Weather) -> Floats:
    bay = fit.bay("bank")
    if bay is None:
        return np.zeros(len(weather.ghi))
    cold = weather.coldest_c + bay.cold_rise_k
    return np.repeat(np.where(cold < bank.HEATED_BELOW_C, fit.modules * fit.module.heater_w, 0.0), DAY_H)


def _bank(fit: Fit, weather: Weather) -> tuple[Floats, Floats]:
    """What it takes in each hour [W], and the share of it that is not drawn."""
    bay, strings = fit.bay("bank"), fit.build.bank.parallel
    floor = fit.case.limits.soc_floor_pct / 100
    many = strings * volts.sharing(fit.case, strings) * volts.nominal_v(fit.system_v)
    if bay is None:
        hours = len(weather.ghi)
        return np.full(hours, fit.module.charge_a * many), np.full(hours, floor)
    coldest = weather.coldest_c
    cold = np.repeat(coldest + bay.cold_rise_k, DAY_H)
    amps = bank.charge_at_a(fit.module, coldest_c=cold, hours_c=weather.air_c + bay.rise_k)
    gives = np.array([bank.drawable_share(fit.module, float(c), bay) for c in coldest])
    return amps * many, np.repeat(np.maximum(1 - gives, floor), DAY_H)
