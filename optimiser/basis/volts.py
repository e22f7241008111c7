"""Voltages of a lithium iron phosphate bank, and the currents parts draw at them."""

from __future__ import annotations

from optimiser.case import Case
from optimiser.parts import AlternatorCharger, Inverter, MainsCharger, Module, Panel, StepDown
from optimiser.physics import cable
from optimiser.physics.energy import dc_current_a

CHARGE_EFFICIENCY = 0.975  # in and out together about 95 % (weak sources, see the reference tests)
DISCHARGE_EFFICIENCY = 0.975
JOINTS_MOHM = 0.75  # lugs, fuse and isolator contacts of the battery path (common practice, no source)
FEED_V = 12.3  # what a 12 V starter battery gives under load (common practice, no source)


def nominal_v(system_v: float) -> float:
    """Four cells of 3.2 V for each 12 V of system voltage [V]."""
    return system_v / 12 * 12.8


def charging_v(system_v: float) -> float:
    """While being charged [V]."""
    return system_v / 12 * 14.4


def full_v(system_v: float) -> float:
    """The most the bank can show: 3.65 V a cell [V]."""
    return system_v / 12 * 14.6


def bank_capacity_wh(case: Case, module: Module, *, series: int, parallel: int) -> float:
    """Nominal energy, less the allowance for ageing [Wh]."""
    nominal = module.nominal_v * series * module.capacity_ah * parallel
    return nominal * case.limits.capacity_kept_pct / 100


def bank_resistance_ohm(module: Module, *, series: int, parallel: int) -> float:
    """Of the modules alone [ohm]."""
    return cable.bank_resistance_ohm(module_mohm=module.resistance_mohm, series=series, parallel=parallel)


def inverter_input_a(inverter: Inverter, power_w: float) -> float:
    """Current at the lowest voltage the system is reckoned on, its nominal figure [A]."""
    return dc_current_a(power_w=power_w, efficiency=inverter.efficiency_pct / 100, volt=inverter.system_v)


def dc_loads_w(dc_w: float, step_down: StepDown | None) -> float:
    """What the 12 V loads take from the bank [W]."""
    return dc_w / (step_down.efficiency_pct / 100) if step_down else dc_w


def feed_current_a(charger: AlternatorCharger) -> float:
    """What an alternator charger draws from the vehicle at full output [A]."""
    output_w = charger.charge_a * charging_v(charger.system_v)
    return dc_current_a(power_w=output_w, efficiency=charger.efficiency_pct / 100, volt=FEED_V * charger.input_v / 12)


def mains_input_w(charger: MainsCharger | Inverter) -> float:
    """What a mains charger (or an inverter-charger charging) takes from hook-up [W]."""
    return charger.charge_a * charging_v(charger.system_v) / (charger.efficiency_pct / 100)


def surge_current_a(case_surge_w: float, dc_w: float, inverter: Inverter) -> float:
    """Bank current while the largest load starts, at the inverter's cut-off voltage [A]."""
    return (case_surge_w / (inverter.efficiency_pct / 100) + dc_w) / inverter.cut_off_v


def solar_current_a(case: Case, panel: Panel, *, parallel: int) -> float:
    """Design current of strings in parallel [A]."""
    return parallel * panel.isc_a * case.rules["solar_current_factor"]
