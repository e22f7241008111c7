"""Physics evaluated over part x place, as whole numbers rounded to the safe side, once and here.

Limits of the case are never applied here: a table says what a part does, not whether it may. Units are
in the names: mv mV, ma mA, mwh mWh (and mw mW), nohm nano-ohm, g grams.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import pi
from typing import NamedTuple

from optimiser.basis import air, loads, money, sun, volts
from optimiser.case import Bay, Case, Scenario, Zone
from optimiser.catalogue import Catalogue
from optimiser.parts import (
    AlternatorCharger,
    Cable,
    Charger,
    Fuse,
    Holder,
    Inverter,
    MainsCharger,
    Module,
    Panel,
    Part,
    Regulator,
    StepDown,
)
from optimiser.physics import cable, heat
from optimiser.units import MILLI, at_least, at_most

NANO = 1_000_000_000
COPPER_C = 20.0  # the temperature cable resistance is listed at


class Surroundings(NamedTuple):
    """What a piece of a cable lies in: a bay, or a way."""

    air_c: float
    in_duct: bool


@dataclass(frozen=True)
class HourTable:
    """One scenario, an entry an hour."""

    dc_mw: tuple[int, ...]
    inverter_w: tuple[float, ...]  # at the sockets; each inverter rounds its own input
    driving: tuple[bool, ...]
    hooked_up: tuple[bool, ...]
    portable: tuple[bool, ...]
    gives: dict[str, tuple[float, ...]]  # slot of a charger -> share of its output


class Tables:
    """All tables of one case and catalogue; each is made when first asked for."""

    def __init__(self, case: Case, catalogue: Catalogue) -> None:
        self.case = case
        self.catalogue = catalogue

    # --- money and mass ---------------------------------------------------------------------------

    def cost_and_mass(self, part: Part) -> money.CostAndMass:
        """Cost and mass of a part, fitted."""
        return money.part_worth(part, self.case.brief.labour_per_h)

    def core_step(self, part: Cable) -> money.CostAndMass:
        """Cost and mass of 100 mm of one core, or of a cable of several."""
        return money.core_worth_a_step(part, self.case.brief.labour_per_h)

    def cable_end(self, part: Cable) -> money.CostAndMass:
        """Cost of an end of a piece of one core."""
        return money.cable_end_worth(part, self.case.brief.labour_per_h)

    def holder_of(self, fuse: Fuse) -> Holder:
        """The holder a fuse goes in."""
        holder = self.catalogue.of("holders")[fuse.holder]
        assert isinstance(holder, Holder)
        return holder

    # --- strings -----------------------------------------------------------------------------------

    def cold_voc_mv(self, panel: Panel) -> int:
        """Open-circuit voltage on the coldest morning."""
        return at_least(sun.cold_voc_v(self.case, panel), MILLI)

    def hot_vmp_mv(self, panel: Panel) -> int:
        """Voltage at maximum power when hottest."""
        return at_most(sun.hot_vmp_v(self.case, panel), MILLI)

    def hot_voc_mv(self, panel: Panel) -> int:
        """Open-circuit voltage when hottest."""
        return at_most(sun.hot_voc_v(self.case, panel), MILLI)

    def solar_ma(self, panel: Panel, parallel: int) -> int:
        """Design current of strings in parallel."""
        return at_least(volts.solar_current_a(self.case, panel, parallel=parallel), MILLI)

    # --- hours -------------------------------------------------------------------------------------

    @cached_property
    def peaks(self) -> loads.Peaks:
        """The worst that runs together."""
        return loads.peaks(self.case)

    @cached_property
    def hours(self) -> dict[str, HourTable]:
        """Scenario -> its hours."""
        return {scenario.name: self._hours(scenario) for scenario in self.case.scenarios}

    def _hours(self, scenario: Scenario) -> HourTable:
        hourly = loads.hourly(self.case, scenario)
        return HourTable(
            dc_mw=tuple(at_least(float(w), MILLI) for w in hourly.dc_w),
            inverter_w=tuple(float(w) for w in hourly.inverter_w),
            driving=tuple(bool(x) for x in hourly.driving),
            hooked_up=tuple(bool(x) for x in hourly.hooked_up),
            portable=tuple(bool(x) for x in hourly.portable),
            gives={slot: tuple(float(x) for x in shares) for slot, shares in hourly.gives.items()},
        )

    def panel_mw(self, scenario: Scenario, zone: Zone | None, panel: Panel) -> tuple[int, ...]:
        """What one panel gives in each hour."""
        return tuple(at_most(float(w), MILLI) for w in sun.panel_hour_w(self.case, scenario, zone, panel))

    @cached_property
    def derate(self) -> float:
        """Share of its rated output a charger keeps at the warmest air a bay may reach."""
        return heat.charger_derate(air_c=self.case.limits.bay_air_max_c)

    def charge_mw(self, amps: float, system_v: float) -> int:
        """Charging power of a source at bay temperature."""
        return at_most(self.derate * amps * volts.nominal_v(system_v), MILLI)

    # --- banks -------------------------------------------------------------------------------------

    def bank_mwh(self, module: Module, series: int, parallel: int) -> int:
        """Energy of a bank after ageing."""
        return at_most(volts.bank_capacity_wh(self.case, module, series=series, parallel=parallel), MILLI)

    def bank_nohm(self, module: Module, series: int, parallel: int) -> float:
        """Resistance of a bank; rounded where it is used, since either side may be the safe one."""
        return volts.bank_resistance_ohm(module, series=series, parallel=parallel) * NANO

    # --- currents ----------------------------------------------------------------------------------

    def inverter_ma(self, inverter: Inverter) -> int:
        """Bank current at the inverter's rating."""
        return at_least(volts.inverter_input_a(inverter, inverter.watt_25c_w), MILLI)

    def inverter_loads_ma(self, inverter: Inverter, watt: float) -> int:
        """Bank current at a load on the sockets."""
        return at_least(volts.inverter_input_a(inverter, watt), MILLI)

    def inverter_loads_mw(self, inverter: Inverter, watt: float) -> int:
        """Bank power at a load on the sockets."""
        return at_least(watt / (inverter.efficiency_pct / 100), MILLI)

    def feed_ma(self, charger: AlternatorCharger) -> int:
        """Draw of an alternator charger."""
        return at_least(volts.feed_current_a(charger), MILLI)

    def mains_input_ma(self, charger: MainsCharger | Inverter) -> int:
        """Draw of a mains charger from hook-up."""
        return at_least(volts.mains_input_w(charger) / self.case.brief.place.mains_v, MILLI)

    def dc_loads_ma(self, system_v: float, step_down: StepDown | None) -> int:
        """Bank current of the 12 V loads at their peak."""
        return at_least(volts.dc_loads_w(self.peaks.dc_w, step_down) / system_v, MILLI)

    # --- cables ------------------------------------------------------------------------------------

    def step_nohm(self, part: Cable, conductor_c: float) -> int:
        """Resistance of 100 mm of one conductor, rounded up."""
        ohm = cable.resistance_ohm(
            ohm_per_km_20c=part.ohm_per_km, length_m=money.STEP_MM / 1000, conductor_c=conductor_c
        )
        return at_least(ohm, NANO)

    def step_drop_nv(self, part: Cable, amps_ma: int) -> int:
        """What a current loses in 100 mm of one conductor, rounded up [nV]."""
        return self._loses_nv(part, amps_ma, money.STEP_MM)

    def core_nohm(self, part: Cable, conductor_c: float) -> int:
        """Resistance of 1 mm of one conductor, rounded up."""
        ohm = cable.resistance_ohm(ohm_per_km_20c=part.ohm_per_km, length_m=0.001, conductor_c=conductor_c)
        return at_least(ohm, NANO)

    def core_drop_nv(self, part: Cable, amps_ma: int) -> int:
        """What a current loses in 1 mm of one conductor, rounded up [nV]."""
        return self._loses_nv(part, amps_ma, 1)

    def _loses_nv(self, part: Cable, amps_ma: int, length_mm: int) -> int:
        hot_c = self.case.rules["conductor_c"]
        ohm = cable.resistance_ohm(ohm_per_km_20c=part.ohm_per_km, length_m=length_mm / 1000, conductor_c=hot_c)
        return at_least(ohm * amps_ma / MILLI, NANO)

    def step_nohm_cold(self, part: Cable) -> int:
        """The same at 20 C, rounded down: what still holds back a fault."""
        ohm = cable.resistance_ohm(ohm_per_km_20c=part.ohm_per_km, length_m=money.STEP_MM / 1000, conductor_c=COPPER_C)
        return at_most(ohm, NANO)

    def ampacity_ma(self, part: Cable, *, around: Iterable[Surroundings], grouped: bool) -> int:
        """What a cable carries where it lies worst, alone or with others; one of panels less than its table says."""
        grouping = self.case.rules["bundle_factor"] if grouped else 1.0
        places = list(around)
        amps = min(_ampacity_a(part, place, grouping) for place in places)
        if part.kind == "solar":
            factor = self.case.rules["solar_continuous_factor"]
            amps = min(amps, *(_base_a(part, place) / factor for place in places))
        return at_most(amps, MILLI)

    def at_terminals_ma(self, part: Cable) -> int:
        """What a cable carries with its copper no warmer than the terminals at its ends may be."""
        limit_c = self.case.rules["terminal_c"]
        amps = cable.at_conductor_a(base_a=part.ampacity_a, insulation_c=part.insulation_c, conductor_c=limit_c)
        return at_most(amps, MILLI)

    def area_mm2(self, part: Cable) -> int:
        """What the cables of one run take of a bore, in hundredths of mm2."""
        return at_least(pi / 4 * part.outside_mm**2 * money.cores(part), 100)

    def bore_mm2(self, bore_mm: float, share: float) -> int:
        """What may be filled of a bore, in hundredths of mm2."""
        return at_most(pi / 4 * bore_mm**2 * share, 100)

    # --- heat --------------------------------------------------------------------------------------

    def heat_mw(self, part: Part, count: int = 1) -> int:
        """Heat of a part at its load."""
        if isinstance(part, Inverter):
            load = loads.hottest_inverter_w(self.case)
            loss = heat.converter_loss_w(load_w=load, efficiency_pct=part.efficiency_pct, idle_w=part.idle_w)
            return at_least(loss, MILLI)
        if isinstance(part, Charger):
            return self.charging_heat_mw(part)
        return at_least(getattr(part, "heat_w", 0.0) * count, MILLI)

    def charging_heat_mw(self, part: Charger | Inverter) -> int:
        """Heat of what charges the bank, by all it converts."""
        lost_w = volts.conversion_loss_w(part.charge_a, part.system_v, part.efficiency_pct)
        return at_least(max(part.heat_w, lost_w), MILLI)

    def regulator_heat_mw(self, part: Regulator, system_v: int) -> int:
        """Heat of a regulator at its rated output into a bank of that voltage."""
        return at_least(max(part.heat_w, volts.conversion_loss_w(part.out_a, system_v, part.efficiency_pct)), MILLI)

    def alternator_heat_mw(self, part: AlternatorCharger, *, with_solar: bool) -> int:
        """Heat of an alternator charger by all it converts."""
        out_a = volts.alternator_output_a(part, with_solar=with_solar)
        loss = volts.conversion_loss_w(out_a, part.system_v, part.efficiency_pct)
        return at_least(max(part.heat_w, loss), MILLI)

    def bay_walls_mw(self, bay: Bay, air_c: float) -> int:
        """Heat the walls of a bay carry off with its air at ``air_c``; below 0 what they let in."""
        rise = air_c - air.hottest_c(self.case) - bay.rise_k
        per_k = heat.wall_loss_w_per_k(
            length_mm=bay.length_mm, width_mm=bay.width_mm, height_mm=bay.height_mm, u_w_m2k=bay.u_w_m2k
        )
        return at_most(per_k * rise, MILLI)

    def stack_mw(self, bay: Bay, free_area_cm2: float, air_c: float) -> int:
        """Heat two openings of that free area carry off with the bay's air at ``air_c``."""
        intake_c = air.intake_c(self.case, bay)
        if air_c <= intake_c or free_area_cm2 <= 0:
            return 0
        watt = heat.stack_heat_w(
            free_area_cm2=free_area_cm2,
            stack_mm=bay.stack_mm,
            air_c=air_c,
            outside_c=intake_c,
            discharge=self.case.rules["fan_discharge"],
        )
        return at_most(watt, MILLI)

    def fan_mw(self, bay: Bay, flow_m3_h: float, air_c: float) -> int:
        """Heat a fan carries off with the bay's air at ``air_c``."""
        rise = max(0.0, air_c - air.intake_c(self.case, bay))
        return at_most(heat.fan_heat_w(flow_m3_h=flow_m3_h, rise_k=rise), MILLI)

    def inverter_hot_w(self, inverter: Inverter) -> int:
        """Continuous power in the warmest bay."""
        return at_most(
            heat.derated_w(
                watt_25c=inverter.watt_25c_w, watt_40c=inverter.watt_40c_w, air_c=self.case.limits.bay_air_max_c
            )
        )

    def solar_out(self, part: Regulator | AlternatorCharger) -> float:
        """Rated output of a solar input [A]."""
        return part.out_a if isinstance(part, Regulator) else part.solar_out_a


def _ampacity_a(part: Cable, place: Surroundings, grouping: float) -> float:
    if place.air_c >= part.insulation_c:
        return 0.0
    ambient = cable.ambient_factor(insulation_c=part.insulation_c, ambient_c=place.air_c)
    return cable.ampacity_a(base_a=_base_a(part, place), ambient_factor=ambient, grouping_factor=grouping)


def _base_a(part: Cable, place: Surroundings) -> float:
    return part.in_duct_a if place.in_duct else part.ampacity_a
