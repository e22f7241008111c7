"""Part types: what one row of each catalogue file says.

Units are in the names. Every part has a price, a mass, minutes to fit and sundries (screws, sealant,
ties). A part that stands in a bay is a `Body`: length x width x height, the ways it may stand, and the
clearance it wants along each of its own axes.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from optimiser.quantities import (
    Amperes,
    Area,
    Capacity,
    Count,
    Efficiency,
    Flow,
    Gap,
    Idle,
    InSeries,
    Millimetres,
    Milliohms,
    Minutes,
    NoAmperes,
    NoMilliohms,
    NotNegative,
    NoVolts,
    NoWatts,
    Outside,
    PartMass,
    Percent,
    Positive,
    Price,
    Section,
    Voltages,
    Volts,
    Watts,
    words,
)
from optimiser.quantities import Voltage as Voltage

Stance = Literal["flat", "side", "end"]  # which body axis points away from the board: height, width, length
Stances = Annotated[tuple[Stance, ...], BeforeValidator(words), Field(min_length=1)]


_UNKNOWN_IN_DUCT = 0.75  # of free air; 120 mm2 keeps 0.77, thinner cables more (common practice, no source)


class Part(BaseModel):
    """What every part has."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.-]*$")]
    price: Price
    sundries: Price
    mass_kg: PartMass
    minutes: Minutes


class Body(Part):
    """A part that stands on a board in a bay."""

    length_mm: Millimetres
    width_mm: Millimetres
    height_mm: Millimetres
    stands: Stances  # flat: height away from the board; side: width away; end: length away
    mounts: Literal["floor", "wall", "either"]
    turns: bool  # may be turned a quarter on a wall (on a floor every part may)
    clear_length_mm: Gap  # free space wanted beyond each end, along the length
    clear_width_mm: Gap
    clear_height_mm: Gap  # away from the face it stands on
    heat_w: NoWatts  # at its rated load
    terminal_mm2: Section  # largest conductor its terminals take; 0: no power terminals


class Panel(Part):
    """A photovoltaic panel at standard test conditions, with its mounting kit."""

    kind: Literal["rigid", "flexible", "portable"]
    length_mm: Millimetres
    width_mm: Millimetres
    height_mm: Millimetres  # of the panel alone
    watt_w: Annotated[float, Field(gt=0, le=2_000)]
    voc_v: Annotated[float, Field(gt=0, le=200)]
    vmp_v: Annotated[float, Field(gt=0, le=200)]
    isc_a: Annotated[float, Field(gt=0, le=50)]
    imp_a: Annotated[float, Field(gt=0, le=50)]
    voc_pct_k: Annotated[float, Field(ge=-0.6, le=-0.1)]
    power_pct_k: Annotated[float, Field(ge=-0.8, le=-0.1)]
    isc_pct_k: Annotated[float, Field(ge=0, le=0.2)]
    bend_radius_mm: Gap  # smallest radius it may be bent to; 0 for rigid panels
    mount_height_mm: Gap
    mount_mass_kg: PartMass
    mount_price: Price


class Regulator(Body):
    """A maximum-power-point solar regulator."""

    system_v: Voltages
    pv_v_max: Volts
    pv_isc_max_a: Amperes
    out_a: Amperes
    start_above_v: Annotated[float, Field(gt=0, le=50)]  # the string must be this far above the bank to start
    efficiency_pct: Efficiency
    idle_w: Idle
    over_panel_ratio: Annotated[float, Field(ge=1, le=10)]  # panel watts allowed per watt of rated output


class Module(Body):
    """A lithium iron phosphate battery module with its own management system."""

    nominal_v: Annotated[float, Field(ge=2, le=60)]
    capacity_ah: Capacity
    discharge_a: Amperes
    surge_a: Amperes
    charge_a: Amperes
    parallel_max: InSeries
    series_max: InSeries
    resistance_mohm: Milliohms
    charge_min_c: Annotated[float, Field(ge=-40, le=30)]  # no charging below this cell temperature
    idle_w: Idle
    charge_max_c: Annotated[float, Field(ge=35, le=70)] = 45  # nor above this
    cold_charge_a: NoAmperes | None = None  # most it takes below 10 C; None: a fifth of its capacity an hour
    heater_w: NoWatts = 0  # of a heated module while it is cold; 0: none
    capacity_0c_pct: Percent = 80  # of its capacity that it gives at 0 C (a table of the trade), at 25 C all of it
    capacity_minus_20c_pct: Percent = 50  # likewise

    @property
    def cold_a(self) -> float:
        """The most it takes when it is cold [A]; a fifth of its capacity an hour unless its maker says another."""
        return 0.2 * self.capacity_ah if self.cold_charge_a is None else self.cold_charge_a


class Inverter(Body):
    """An inverter; with ``charge_a`` above 0 an inverter-charger with a transfer switch."""

    system_v: Voltage
    watt_25c_w: Watts
    watt_40c_w: Watts
    surge_w: Watts
    efficiency_pct: Efficiency
    idle_w: Idle
    cut_off_v: Volts
    charge_a: NoAmperes = 0
    transfer_a: NoAmperes = 0

    @property
    def transfers(self) -> bool:
        """Whether hook-up reaches its circuits without going through the bank."""
        return self.charge_a > 0


class AlternatorCharger(Body):
    """A charger fed by the engine's alternator; some also take a solar string."""

    system_v: Voltage
    input_v: Voltage
    charge_a: Amperes
    efficiency_pct: Efficiency
    idle_w: Idle
    solar_v_max: NoVolts = 0  # 0: no solar input
    solar_isc_max_a: NoAmperes = 0
    solar_out_a: NoAmperes = 0
    solar_start_above_v: Annotated[float, Field(ge=0, le=50)] = 0
    solar_over_panel_ratio: Annotated[float, Field(ge=0, le=10)] = 0


class MainsCharger(Body):
    """A charger fed from hook-up."""

    system_v: Voltage
    charge_a: Amperes
    efficiency_pct: Efficiency
    idle_w: Idle


class StepDown(Body):
    """A converter that feeds 12 V loads from a 24 or 48 V bank."""

    system_v: Voltage
    out_a: Amperes
    efficiency_pct: Efficiency
    idle_w: Idle


class Cable(Part):
    """A cable by the metre: one core for direct current and for panels, a sheathed cable for mains and data.

    ``price``, ``sundries``, ``mass_kg`` and ``minutes`` are per metre of one core (of the whole cable
    for mains and data); ``end_price`` and ``end_minutes`` are for each end of one core.
    """

    kind: Literal["dc", "solar", "mains", "data"]  # solar: double insulated, for sun and weather
    section_mm2: NotNegative  # of one conductor; 0 for data
    outside_mm: Positive
    ohm_per_km: NotNegative  # at 20 C
    ampacity_a: NotNegative  # single circuit in free air at 30 C
    insulation_c: Positive
    end_price: NotNegative
    end_minutes: NotNegative
    duct_ampacity_a: NotNegative = 0  # single circuit in a closed duct at 30 C; 0: not known

    @property
    def paired(self) -> bool:
        """Whether a run of it is two single cores, there and back."""
        return self.kind in ("dc", "solar")

    @property
    def in_duct_a(self) -> float:
        """What it carries in a closed duct [A]; where that is not known, a share that is low for any section."""
        return self.duct_ampacity_a or _UNKNOWN_IN_DUCT * self.ampacity_a


class Holder(Body):
    """A fuse holder; several stand side by side along their width in one row."""

    family: str
    rating_max_a: Amperes
    on_terminal: bool  # sits on the battery terminal itself: no cable between them


class Fuse(Part):
    """A fuse of one rating, with the holder it goes in."""

    family: str
    rating_a: Positive
    breaking_12v_a: NotNegative  # of a fault that a full bank of that voltage drives; 0: not for it
    breaking_24v_a: NotNegative
    breaking_48v_a: NotNegative
    volt_max_v: Positive  # printed on it, direct current
    holder: str

    def breaking_a(self, system_v: int) -> float:
        """The current it breaks where a full bank (or starter battery) of that voltage drives it [A]."""
        return {12: self.breaking_12v_a, 24: self.breaking_24v_a, 48: self.breaking_48v_a}[system_v]


class Isolator(Body):
    """A battery isolator."""

    rating_a: Amperes
    resistance_mohm: NoMilliohms


class Busbar(Body):
    """A pair of busbars, positive and negative, on one base."""

    rating_a: Amperes
    studs: Count  # circuits on each bar, beside the main run


class Shunt(Body):
    """A shunt or a hub of several, each channel measuring one current."""

    channels: Count
    rating_a: Amperes  # of each channel
    idle_w: Idle


class Display(Body):
    """Shows the measured currents."""

    channels: Count
    idle_w: Idle


class Switch(Body):
    """A remote switch for the inverter."""


class MainsBox(Body):
    """Residual-current device and breakers for the mains circuits."""

    circuits: Count  # beside breakers of its own for the inlet and for feeds of chargers
    inlet_a: Amperes


class Entry(Part):
    """A roof gland or a weatherproof wall pass-through."""

    kind: Literal["gland", "pass_through"]
    carries: Literal["data", "power", "any"]
    ip_class: Annotated[int, Field(ge=0, le=69)]
    cables: Count
    outside_max_mm: Outside  # thickest cable it seals on
    length_mm: Millimetres  # of its footprint on the skin
    width_mm: Millimetres


class Vent(Part):
    """A pair of grilles, low and high, or a fan with its inlet grille."""

    kind: Literal["grille", "fan"]
    free_area_cm2: Area  # of each of the two openings
    flow_m3_h: Flow  # fans only
    watt_w: NoWatts
    cut_out_cm2: Annotated[float, Field(gt=0, le=20_000)]  # wall area it needs altogether


PARTS: dict[str, type[Part]] = {
    "panels": Panel,
    "regulators": Regulator,
    "modules": Module,
    "inverters": Inverter,
    "inverter_chargers": Inverter,
    "alternator_chargers": AlternatorCharger,
    "mains_chargers": MainsCharger,
    "step_downs": StepDown,
    "cables": Cable,
    "holders": Holder,
    "fuses": Fuse,
    "isolators": Isolator,
    "busbars": Busbar,
    "shunts": Shunt,
    "displays": Display,
    "switches": Switch,
    "mains_boxes": MainsBox,
    "entries": Entry,
    "vents": Vent,
}
"""Catalogue file (without .csv) -> the type of its rows."""
