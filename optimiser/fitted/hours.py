"""The bank hour by hour in a scenario, and how long it lasts without sun."""

from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from optimiser.basis import bank, loads, sun, volts
from optimiser.builds import PanelArray
from optimiser.case import Scenario
from optimiser.connections import SLOTS
from optimiser.fitted.fit import Fit
from optimiser.parts import Vent
from optimiser.physics.energy import battery_step_wh

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class ScenarioTrace:
    """What a scenario does to the bank, an entry an hour; means over the hour, charge at its end."""

    hour: NDArray[np.int_]  # from midnight before the start, so that 25 is 1 o'clock of the second day
    soc_pct: Floats  # below 0 by what the bank could not give
    given_w: dict[str, Floats]  # by the sun, the alternator, hook-up
    loads_w: Floats  # at the bank, own draw of what is fitted included


def days_without_sun(fit: Fit) -> float:
    """How long a full bank carries the loads down to the floor, with nothing coming in."""
    usable_wh, drawn_w = without_sun(fit)
    return usable_wh / (24 * drawn_w) if drawn_w > 0 else inf


def without_sun(fit: Fit) -> tuple[float, float]:
    """What a full bank gives down to the floor [Wh], and what is drawn of it on days without sun [W]."""
    dc_w, inverter_w = loads.autonomy_day(fit.case)
    scenario = loads.autonomy_scenario(fit.case)
    drawn_w = volts.dc_loads_w(dc_w, fit.step_down) + inverter_w / inverter_efficiency(fit) + idle_w(fit)
    drawn_w += heater_w(fit, scenario)
    return capacity_wh(fit) * above_floor(fit, scenario.temp_min_c) * volts.DISCHARGE_EFFICIENCY, drawn_w


def trace_of(fit: Fit, scenario: Scenario) -> ScenarioTrace:
    """The bank through a scenario."""
    hours = loads.hourly(fit.case, scenario)
    bus_v = volts.nominal_v(fit.system_v)
    given = {array.name: _array_w(fit, scenario, array, hours) for array in fit.build.arrays}
    solar = sum(given.values(), np.zeros(scenario.hours))
    amps = {slot: charger.charge_a for slot, charger in fit.chargers.items()} | {"mains_charger": fit.mains_charge_a}
    charged = {slot: share * fit.derate * amps.get(slot, 0.0) * bus_v for slot, share in hours.gives.items()}
    charger = fit.alternator_charger
    if charger and fit.solar_on_alternator:  # one output: what the sun gives leaves so much less for the engine
        own_sun = sum((given[a.name] for a in fit.build.arrays if a.regulator == "alternator_charger"), 0.0 * solar)
        output_w = fit.derate * volts.alternator_output_a(charger, with_solar=True) * bus_v
        charged["alternator_charger"] = np.minimum(charged["alternator_charger"], output_w - own_sun)
    through = fit.inverter is not None and fit.inverter.passed and fit.case.brief.inlet is not None
    at_sockets = np.where(hours.hooked_up & through, 0.0, hours.inverter_w) / inverter_efficiency(fit)
    step_down_share = volts.dc_loads_w(1.0, fit.step_down)
    drawn = hours.dc_w * step_down_share + at_sockets + idle_w(fit)
    drawn = drawn + heater_w(fit, scenario)
    soc = _charge_pct(fit, scenario, sum(charged.values(), solar) - drawn)
    hour = scenario.start_h + np.arange(scenario.hours)
    sources = {"sun": solar} | {SLOTS[slot].fed_by: watts for slot, watts in charged.items()}
    return ScenarioTrace(hour, soc, sources, drawn)


def short_wh(fit: Fit, scenario: Scenario) -> float:
    """What is missing from the bank in a scenario, as if it could be drawn below empty [Wh].

    At its lowest, beneath the floor; or at the end beneath where it began, if it must return there.
    """
    trace, capacity, takes_w = trace_of(fit, scenario), capacity_wh(fit), _takes_w(fit, scenario)
    begun = min(capacity * scenario.start_pct / 100, capacity)
    stored, lowest = begun, inf
    for net_w, most_w in zip(sum(trace.given_w.values()) - trace.loads_w, takes_w, strict=True):
        gained, drawn = min(net_w, most_w) * volts.CHARGE_EFFICIENCY, net_w / volts.DISCHARGE_EFFICIENCY
        stored = min(stored + float(gained if net_w >= 0 else drawn), capacity)
        lowest = min(lowest, stored)
    floor = capacity * (1 - above_floor(fit, scenario.temp_min_c))
    return max(0.0, floor - lowest, begun - stored if scenario.returns else 0.0)


def in_bank_wh(fit: Fit, scenario: Scenario) -> float:
    """What a bank as it is when a scenario starts gives down to its floor [Wh]."""
    above = above_floor(fit, scenario.temp_min_c) - max(0.0, 1 - scenario.start_pct / 100)
    return max(0.0, above * capacity_wh(fit) * volts.DISCHARGE_EFFICIENCY)


def idle_w(fit: Fit) -> float:
    """What everything fitted draws for itself, always on [W]."""
    parts = sum(getattr(content.part, "idle_w", 0.0) * content.count for content in fit.contents)
    return float(parts + sum(fit.part(fan.vent, Vent).watt_w * fan.count for fan in fit.build.vents))


def heater_w(fit: Fit, scenario: Scenario) -> float:
    """What the heaters of the bank draw in a scenario [W]."""
    bay = fit.bay("bank")
    return fit.modules * bank.heater_w(fit.module, scenario, bay) if bay else 0.0


def inverter_efficiency(fit: Fit) -> float:
    """Share of what it draws that the sockets get; without one nothing feeds them, and they draw nothing."""
    return fit.inverter.efficiency_pct / 100 if fit.inverter else inf


def capacity_wh(fit: Fit) -> float:
    """Energy in a full bank, as aged as the brief has it [Wh]."""
    series, parallel = fit.build.bank.series, fit.build.bank.parallel
    return volts.bank_capacity_wh(fit.case, fit.module, series=series, parallel=parallel)


def above_floor(fit: Fit, outside_c: float) -> float:
    """Share of the bank that the loads may draw: down to the floor, or as far as the cold outside lets them."""
    bay = fit.bay("bank")
    gives = bank.drawable_share(fit.module, outside_c, bay) if bay else 1.0
    return min(gives, 1 - fit.case.limits.soc_floor_pct / 100)


def _array_w(fit: Fit, scenario: Scenario, array: PanelArray, hours: loads.HourLoads) -> Floats:
    """What an array gives the bank in each hour [W]."""
    ends, panel = fit.input_of(array), fit.panel_of(array)
    if ends is None:
        return np.zeros(scenario.hours)
    if array.roof_plane:
        zones = [fit.zone_of[p.zone] for p in fit.roof_panels(array) if p.panel == array.panel]
        each = {z.name: sun.panel_hour_w(fit.case, scenario, z, panel) for z in zones}
        offered = sum((each[z.name] for z in zones), np.zeros(scenario.hours))
    else:
        offered = hours.portable * sun.panel_hour_w(fit.case, scenario, None, panel)
    most = fit.derate * ends.out_a * volts.nominal_v(fit.system_v)
    return np.minimum(offered * ends.efficiency, most)


def _takes_w(fit: Fit, scenario: Scenario) -> Floats:
    """What the bank takes in each hour, by the temperature of its bay [W]."""
    strings, bay = fit.build.bank.parallel, fit.bay("bank")
    full = np.full(scenario.hours, fit.module.charge_a)
    each = bank.charge_a(fit.module, scenario, bay) if bay else full
    return each * strings * volts.sharing(fit.case, strings) * volts.nominal_v(fit.system_v)


def _charge_pct(fit: Fit, scenario: Scenario, net_w: Floats) -> Floats:
    capacity = capacity_wh(fit)
    stored = min(capacity * scenario.start_pct / 100, capacity)
    takes_w = _takes_w(fit, scenario)
    pct = np.zeros(len(net_w))
    for hour, watts in enumerate(net_w):
        step = battery_step_wh(
            stored_wh=stored,
            net_w=float(watts),
            hours=1.0,
            capacity_wh=capacity,
            charge_efficiency=volts.CHARGE_EFFICIENCY,
            discharge_efficiency=volts.DISCHARGE_EFFICIENCY,
            charge_max_w=float(takes_w[hour]),
            discharge_max_w=inf,
        )
        stored = step.stored_wh
        pct[hour] = 100 * (stored - step.short_wh / volts.DISCHARGE_EFFICIENCY) / capacity
    return pct
