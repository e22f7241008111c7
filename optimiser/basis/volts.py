"""Voltages of a lithium iron phosphate bank, and the currents parts draw at them."""

from optimiser.case import Alternator, Case
from optimiser.parts import AlternatorCharger, Inverter, MainsCharger, Module, Panel, StepDown
from optimiser.physics import cable
from optimiser.physics.energy import dc_current_a

CHARGE_EFFICIENCY = 0.975  # in and out together about 95 % (weak sources, see the reference tests)
DISCHARGE_EFFICIENCY = 0.975
# Lugs, fuse and isolator contacts of the battery path (common practice, no source). They count where a voltage sags;
# a fault is taken to find none of them, as nobody measured them.
JOINTS_MOHM = 0.75
# Cold-cranking amperes up to which a starter battery drives no more than that fault (ABYC E-11 table V-A of an older
# edition, as quoted elsewhere: main fuses of 12 and 24 V)
STARTER_FAULTS_A = ((650.0, 1500.0), (1100.0, 3000.0))
STARTER_FAULT_MOST_A = 5000.0  # above these, or where nothing is known of the battery
# A converter holds a fault at 1.0 to 1.5 times its rating; its capacitors drive more for milliseconds (memory)
STEP_DOWN_FAULT = 1.5
FEED_V = 12.3  # what a 12 V starter battery gives under load (common practice, no source)


def nominal_v(system_v: float) -> float:
    """Four cells of 3.2 V for each 12 V of system voltage [V]."""
    return system_v / 12 * 12.8


RUN_ABOVE_V = 1.0  # a regulator goes on while its string is so far above the bank (makers' sheets, from memory)


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


def starter_fault_a(alternator: Alternator) -> float:
    """Prospective fault current of the starter battery, the most there is where the survey does not tell [A]."""
    if alternator.fault_a is not None:
        return alternator.fault_a
    if alternator.cranking_a is not None:
        for up_to_a, fault_a in STARTER_FAULTS_A:
            if alternator.cranking_a <= up_to_a:
                return fault_a
    return STARTER_FAULT_MOST_A


def step_down_fault_a(step_down: StepDown) -> float:
    """The most a step-down drives into a fault behind it for longer than its capacitors last [A]."""
    return STEP_DOWN_FAULT * step_down.out_a


def inverter_input_a(inverter: Inverter, power_w: float) -> float:
    """Current at the lowest voltage the system is calculated on, its nominal figure [A]."""
    return dc_current_a(power_w=power_w, efficiency=inverter.efficiency_pct / 100, volt=inverter.system_v)


def dc_loads_w(dc_w: float, step_down: StepDown | None) -> float:
    """What the 12 V loads take from the bank [W]."""
    return dc_w / (step_down.efficiency_pct / 100) if step_down else dc_w


def feed_current_a(charger: AlternatorCharger) -> float:
    """What an alternator charger draws from the vehicle at full output [A]."""
    output_w = charger.charge_a * charging_v(charger.system_v)
    return dc_current_a(power_w=output_w, efficiency=charger.efficiency_pct / 100, volt=FEED_V * charger.input_v / 12)


def alternator_output_a(charger: AlternatorCharger, *, with_solar: bool) -> float:
    """The most an alternator charger gives, with a string on its solar input or without: one output for both [A]."""
    return max(charger.charge_a, charger.solar_out_a) if with_solar else charger.charge_a


def conversion_loss_w(out_a: float, system_v: float, efficiency_pct: float) -> float:
    """Heat of a charger or regulator at an output current into a charging bank [W]."""
    return out_a * charging_v(system_v) * (100 / efficiency_pct - 1)


def sharing(case: Case, parallel: int) -> float:
    """Share of their sum that modules in parallel give or take, as one always carries more than the others."""
    return case.rules["parallel_share"] if parallel > 1 else 1.0


def mains_input_w(charger: MainsCharger | Inverter) -> float:
    """What a mains charger (or an inverter-charger charging) takes from hook-up [W]."""
    return charger.charge_a * charging_v(charger.system_v) / (charger.efficiency_pct / 100)


def surge_current_a(case_surge_w: float, dc_w: float, inverter: Inverter) -> float:
    """Bank current while the largest load starts, at the inverter's cut-off voltage [A]."""
    return (case_surge_w / (inverter.efficiency_pct / 100) + dc_w) / inverter.cut_off_v


def solar_current_a(case: Case, panel: Panel, *, parallel: int) -> float:
    """Design current of strings in parallel [A]."""
    return parallel * panel.isc_a * case.rules["solar_current_factor"]


def string_fuse_a(case: Case, panel: Panel) -> float:
    """Least rating of the fuse of one string [A]; NEC 690.9(B), second hand: 156 % of Isc, a device as a conductor."""
    return solar_current_a(case, panel, parallel=1) * case.rules["solar_continuous_factor"]
