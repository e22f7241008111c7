"""Part types: what one row of each catalogue file says.

Units are in the names. Every part has a price, a mass, minutes to fit and sundries (screws, sealant,
ties). A part that stands in a bay is a `Body`: length x width x height, the ways it may stand, and the
clearance it wants along each of its own axes; one with power terminals is `Wired`.
"""

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
    Room,
    Section,
    Stud,
    Voltages,
    Volts,
    Watts,
    words,
)
from optimiser.quantities import Voltage as Voltage

Orientation = Literal["flat", "side", "end"]  # which body axis points away from the board: height, width, length
Orientations = Annotated[tuple[Orientation, ...], BeforeValidator(words), Field(min_length=1)]
Side = Literal["left", "right", "bottom", "top", "front"]
"""Of a body that stands flat, its length from left to right, its width upwards; front faces away from the board."""
Sides = Annotated[tuple[Side, ...], BeforeValidator(words)]
MainsSide = Annotated[
    Side | None, Field(description="side, as of terminal_sides, where its mains cables come in; left out: not known")
]


_UNKNOWN_IN_DUCT = 0.75  # of free air; 120 mm2 keeps 0.77, thinner cables more (common practice, no source)


class Part(BaseModel):
    """What every part has."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9.-]*$")] = Field(
        description="what build and sheets call it: lower-case letters, digits, . and -"
    )
    price: Price = Field(description="in the currency of the case")
    sundries: Price = Field(description="screws, sealant, ties: what else fitting it takes, in the currency")
    mass_kg: PartMass = Field(description="as fitted, without what is counted apart")
    minutes: Minutes = Field(description="labour of fitting it")


class Body(Part):
    """A part that stands on a board in a bay."""

    length_mm: Millimetres = Field(description="of the body, as the maker gives it")
    width_mm: Millimetres = Field(description="likewise")
    height_mm: Millimetres = Field(description="likewise; away from the board when it stands flat")
    orientations: Orientations = Field(
        description="faces it may stand on: flat (height away from the board), side (width away), end (length away)"
    )
    mounts: Literal["floor", "wall", "either"] = Field(description="boards it may be fixed to")
    rotatable: bool = Field(description="whether it may be rotated 90° on a wall; on a floor every part may")
    clear_length_mm: Gap = Field(description="free space required beyond each end of its length")
    clear_width_mm: Gap = Field(description="likewise of its width")
    clear_height_mm: Gap = Field(description="likewise in front of it, away from the face it stands on")
    heat_w: NoWatts = Field(description="given off at its rated load")
    terminal_mm2: Section = Field(description="largest conductor its terminals take; 0: no power terminals")


class Wired(Body):
    """A body with power terminals. On a side other than the front they are no further from its back than half way."""

    terminal_sides: Sides = Field(
        default=(),
        description="sides its power terminals are on as it stands flat, its length from left to right and its width "
        "upwards: left and right are the ends of its length, front faces away from the board; left out: not known",
    )
    terminal_offset_mm: Gap | None = Field(
        default=None,
        description="of the outermost power terminal from the middle of that side, along its width on left and right, "
        "along its length on the others; needed with terminal_sides",
    )
    lug_room_mm: Room | None = Field(
        default=None,
        description="straight out from a terminal, what lug and bend of the largest conductor take; on the front, "
        "where a lug lies flat, what lug and cable stick out; needed with terminal_sides",
    )
    stud_mm: Stud | None = Field(
        default=None,
        description="thread of its studs or bolts, 8 is M8; 0: it clamps conductors; left out: not known",
    )


class Panel(Part):
    """A photovoltaic panel at standard test conditions, with its mounting kit."""

    kind: Literal["rigid", "flexible", "portable"] = Field(
        description="rigid on feet, flexible glued to the roof, portable set out beside the vehicle"
    )
    length_mm: Millimetres = Field(description="of the panel")
    width_mm: Millimetres = Field(description="likewise")
    height_mm: Millimetres = Field(description="of the panel alone, without its feet")
    watt_w: Annotated[float, Field(gt=0, le=2_000)] = Field(description="at standard test conditions")
    voc_v: Annotated[float, Field(gt=0, le=200)] = Field(description="open circuit, at standard test conditions")
    vmp_v: Annotated[float, Field(gt=0, le=200)] = Field(description="at its maximum power")
    isc_a: Annotated[float, Field(gt=0, le=50)] = Field(description="short circuit")
    imp_a: Annotated[float, Field(gt=0, le=50)] = Field(description="at its maximum power")
    voc_pct_k: Annotated[float, Field(ge=-0.6, le=-0.1)] = Field(
        description="change of the open-circuit voltage a kelvin; below 0"
    )
    power_pct_k: Annotated[float, Field(ge=-0.8, le=-0.1)] = Field(description="change of the power a kelvin; below 0")
    isc_pct_k: Annotated[float, Field(ge=0, le=0.2)] = Field(description="change of the short-circuit current a kelvin")
    bend_radius_mm: Gap = Field(description="smallest radius it may be bent to; 0 for rigid panels")
    mount_height_mm: Gap = Field(description="of its feet or glue above the roof")
    mount_mass_kg: PartMass = Field(description="of its feet or glue")
    mount_price: Price = Field(description="likewise, in the currency")
    fuse_max_a: NoAmperes = Field(
        default=0, description="largest fuse that its maker allows in series with it; 0: not known, then none will do"
    )


class Regulator(Wired):
    """A maximum-power-point solar regulator."""

    system_v: Voltages = Field(description="banks it charges")
    pv_v_max: Volts = Field(description="most voltage at its input, on the coldest morning")
    pv_isc_max_a: Amperes = Field(description="most short-circuit current at its input")
    out_a: Amperes = Field(description="most it charges with")
    start_above_v: Annotated[float, Field(gt=0, le=50)] = Field(
        description="how far the string must be above the bank to start"
    )
    efficiency_pct: Efficiency = Field(description="of what comes in")
    idle_w: Idle = Field(description="own draw, day and night")
    over_panel_ratio: Annotated[float, Field(ge=1, le=10)] = Field(
        description="panel watts allowed for each watt of its rated output"
    )


class Module(Wired):
    """A lithium iron phosphate battery module with its own management system."""

    nominal_v: Annotated[float, Field(ge=2, le=60)] = Field(description="of the module")
    capacity_ah: Capacity = Field(description="nominal, at 25 C")
    discharge_a: Amperes = Field(description="most for as long as it lasts")
    surge_a: Amperes = Field(description="most for some seconds")
    charge_a: Amperes = Field(description="most it is charged with")
    parallel_max: InSeries = Field(description="most side by side")
    series_max: InSeries = Field(description="most in series")
    resistance_mohm: Milliohms = Field(description="cells and management system together")
    charge_min_c: Annotated[float, Field(ge=-40, le=30)] = Field(description="no charging below this cell temperature")
    idle_w: Idle = Field(description="own draw of its management system")
    joins_old: bool = Field(default=False, description="whether its maker lets new modules join old ones in a bank")
    charge_max_c: Annotated[float, Field(ge=35, le=70)] = Field(
        default=45, description="no charging above this cell temperature"
    )
    cold_charge_a: NoAmperes | None = Field(
        default=None, description="most it is charged with below 10 C; a fifth of its capacity an hour if left out"
    )
    heater_w: NoWatts = Field(default=0, description="of a heated module while it is cold; 0: none")
    capacity_0c_pct: Percent = Field(default=80, description="of its capacity that cells of 0 C give")
    capacity_minus_20c_pct: Percent = Field(default=50, description="likewise of -20 C")

    @property
    def cold_a(self) -> float:
        """The most it takes when it is cold [A]; a fifth of its capacity an hour unless its maker says another."""
        return 0.2 * self.capacity_ah if self.cold_charge_a is None else self.cold_charge_a


class Breaker(Part):
    """A device on the rail of a mains box that breaks both live conductors."""

    kind: Literal["breaker", "residual", "combined", "manual_changeover", "automatic_changeover"] = Field(
        description="against too much current, against residual current, or against both; or what changes circuits "
        "over from the inverter to hook-up, both poles, by hand or by itself"
    )
    rating_a: Positive = Field(description="it carries continuously")
    breaking_mains_a: Positive = Field(description="fault it breaks, or stands where a breaker breaks it")
    residual_ma: Annotated[float, Field(ge=0, le=1_000)] = Field(
        default=0, description="residual current it trips at; 0: of a breaker alone"
    )
    residual_type: Literal["", "AC", "A", "F", "B"] = Field(
        default="", description="residual currents it sees, as IEC 60755 writes it; empty: of a breaker alone"
    )
    modules: Annotated[int, Field(ge=1, le=12)] = Field(description="of 18 mm that it takes")


class Inverter(Wired):
    """An inverter; with ``charge_a`` above 0 an inverter-charger with a transfer switch."""

    system_v: Voltage = Field(description="bank it runs from")
    watt_25c_w: Watts = Field(description="continuously, in air of 25 C")
    watt_40c_w: Watts = Field(description="likewise at 40 C")
    surge_w: Watts = Field(description="for some seconds")
    efficiency_pct: Efficiency = Field(description="from bank to sockets")
    idle_w: Idle = Field(description="own draw while it is on")
    cut_off_v: Volts = Field(description="bank voltage below which it switches off")
    charge_a: NoAmperes = Field(default=0, description="of an inverter-charger, into the bank; 0: an inverter alone")
    transfer_a: NoAmperes = Field(
        default=0, description="of an inverter-charger, that its switch passes from hook-up to the sockets"
    )
    mains_side: MainsSide = None
    bond: Literal["none", "fixed", "switched"] | None = Field(
        default=None,
        description="of neutral and earth at its output: none, fixed, or switched by a relay that opens it while "
        "hook-up passes; left out: not known",
    )

    @property
    def transfers(self) -> bool:
        """Whether it has a transfer switch, and charges."""
        return self.charge_a > 0

    @property
    def reached(self) -> bool:
        """Whether hook-up can feed its circuits without going through the bank."""
        return self.transfers

    @property
    def passed(self) -> bool:
        """Whether it does so by itself."""
        return self.transfers


class ChangedOver(Inverter):
    """An inverter whose circuits a changeover in the mains box feeds from hook-up."""

    changeover: Breaker

    @property
    def reached(self) -> bool:
        """It always is."""
        return True

    @property
    def passed(self) -> bool:
        """Nobody may have switched it over."""
        return self.changeover.kind == "automatic_changeover"


class AlternatorCharger(Wired):
    """A charger fed by the engine's alternator; some also take a solar string."""

    system_v: Voltage = Field(description="bank it charges")
    input_v: Voltage = Field(description="of the alternator it takes")
    charge_a: Amperes = Field(description="into the bank, from all its inputs together")
    efficiency_pct: Efficiency = Field(description="of what comes in")
    idle_w: Idle = Field(description="own draw")
    solar_v_max: NoVolts = Field(default=0, description="most voltage at its solar input; 0: no such input")
    solar_isc_max_a: NoAmperes = Field(default=0, description="most short-circuit current there")
    solar_out_a: NoAmperes = Field(default=0, description="most it charges with from there")
    solar_start_above_v: Annotated[float, Field(ge=0, le=50)] = Field(
        default=0, description="how far the string must be above the bank to start"
    )
    solar_over_panel_ratio: Annotated[float, Field(ge=0, le=10)] = Field(
        default=0, description="panel watts allowed for each watt of that output"
    )


class MainsCharger(Wired):
    """A charger fed from hook-up."""

    system_v: Voltage = Field(description="bank it charges")
    charge_a: Amperes = Field(description="into the bank")
    efficiency_pct: Efficiency = Field(description="from the mains to the bank")
    idle_w: Idle = Field(description="own draw")
    mains_side: MainsSide = None


Charger = AlternatorCharger | MainsCharger
"""What charges the bank from a source that the brief names."""


class StepDown(Wired):
    """A converter that feeds 12 V loads from a 24 or 48 V bank."""

    system_v: Voltage = Field(description="bank it runs from")
    out_a: Amperes = Field(description="at 12 V")
    efficiency_pct: Efficiency = Field(description="of what comes in")
    idle_w: Idle = Field(description="own draw")


class Cable(Part):
    """A cable by the metre: one core for direct current and for panels, a sheathed cable for mains and data.

    ``price``, ``sundries``, ``mass_kg`` and ``minutes`` are per metre of one core (of the whole cable
    for mains and data); ``end_price`` and ``end_minutes`` are for each end of one core.
    """

    kind: Literal["dc", "solar", "mains", "data"] = Field(description="what it is for")
    section_mm2: NotNegative = Field(description="of one conductor; 0 for data")
    outside_mm: Positive = Field(description="diameter of what is drawn in")
    ohm_per_km: NotNegative = Field(description="of one conductor at 20 C")
    ampacity_a: NotNegative = Field(description="single circuit in free air at 30 C")
    insulation_c: Positive = Field(description="its insulation is rated for")
    end_price: NotNegative = Field(description="lug, gland or plug for each end of one core, in the currency")
    end_minutes: NotNegative = Field(description="labour of that end")
    duct_ampacity_a: NotNegative = Field(
        default=0, description="single circuit in a closed duct at 30 C; 0: not known, then three quarters of free air"
    )

    @property
    def paired(self) -> bool:
        """Whether a run of it is two single cores, there and back."""
        return self.kind in ("dc", "solar")

    @property
    def in_duct_a(self) -> float:
        """What it carries in a closed duct [A]; where that is not known, a share that is low for any section."""
        return self.duct_ampacity_a or _UNKNOWN_IN_DUCT * self.ampacity_a


class Holder(Wired):
    """A fuse holder; several stand side by side along their width in one row."""

    family: str = Field(description="of the fuses it takes")
    rating_max_a: Amperes = Field(description="largest fuse it takes")
    on_terminal: bool = Field(description="whether it sits on the battery terminal itself, with no cable between them")


class Fuse(Part):
    """A fuse of one rating, with the holder it goes in."""

    family: str = Field(description="its form, which its holder must be of")
    rating_a: Positive = Field(description="it carries continuously")
    breaking_12v_a: NotNegative = Field(description="fault it breaks where a full 12 V bank drives it; 0: not for it")
    breaking_24v_a: NotNegative = Field(description="likewise of 24 V")
    breaking_48v_a: NotNegative = Field(description="likewise of 48 V")
    volt_max_v: Positive = Field(description="printed on it, direct current")
    holder: str = Field(description="the holder it goes in, by name")

    def breaking_a(self, system_v: int) -> float:
        """The current it breaks where a full bank (or starter battery) of that voltage drives it [A]."""
        return {12: self.breaking_12v_a, 24: self.breaking_24v_a, 48: self.breaking_48v_a}[system_v]


class StringFuse(Part):
    """A fuse in line with one string of panels, in its positive core, with holder and plugs."""

    rating_a: Positive = Field(description="it carries continuously")
    volt_max_v: Positive = Field(description="printed on it, direct current")


class Isolator(Wired):
    """A battery isolator."""

    rating_a: Amperes = Field(description="it carries continuously")
    resistance_mohm: NoMilliohms = Field(description="of its contacts")


class Busbar(Wired):
    """A pair of busbars, positive and negative, on one base."""

    rating_a: Amperes = Field(description="of each bar")
    studs: Count = Field(description="circuits on each bar, beside the main run")


class Shunt(Wired):
    """A shunt or a hub of several, each channel measuring one current."""

    channels: Count = Field(description="currents it measures")
    rating_a: Amperes = Field(description="of each channel")
    idle_w: Idle = Field(description="own draw")


class Display(Body):
    """Shows the measured currents."""

    channels: Count = Field(description="currents it shows")
    idle_w: Idle = Field(description="own draw")


class Switch(Body):
    """A remote switch for the inverter."""


class MainsBox(Body):
    """Residual-current device and breakers for the mains circuits."""

    circuits: Count = Field(
        description="it has breakers for, beside those of inlet and chargers; of an empty one, most"
    )
    inlet_a: Amperes = Field(description="largest inlet it may be fed from")
    mains_side: MainsSide = None
    modules: Annotated[int, Field(ge=0, le=100)] = Field(
        default=0, description="of 18 mm that an empty one takes; 0: it comes with breakers of its own"
    )


class DcPanel(Part):
    """A fuse panel of 12 V loads, fixed at its point; it stands in no bay."""

    ways: Count = Field(description="fuses it takes")
    way_max_a: Amperes = Field(description="largest fuse of a way")
    rating_a: Amperes = Field(description="of all of it")
    family: str = Field(description="of the fuses it takes")
    terminal_mm2: Section = Field(description="largest conductor of a way; 0: any")
    feed_mm2: Section = Field(description="largest conductor that feeds it; 0: any")


class Entry(Part):
    """A roof gland or a weatherproof wall pass-through."""

    kind: Literal["gland", "pass_through"] = Field(description="through the roof or through a wall")
    carries: Literal["data", "power", "any"] = Field(description="what its cables are for")
    ip_class: Annotated[int, Field(ge=0, le=69)] = Field(description="as IEC 60529 writes it")
    cables: Count = Field(description="it takes")
    outside_max_mm: Outside = Field(description="thickest cable it seals on")
    length_mm: Millimetres = Field(description="of its footprint on the outside wall")
    width_mm: Millimetres = Field(description="likewise")


class Vent(Part):
    """A pair of grilles, low and high, or a fan with its inlet grille."""

    kind: Literal["grille", "fan"] = Field(description="a pair of grilles low and high, or a fan with its inlet grille")
    free_area_cm2: Area = Field(description="of each of the two openings")
    flow_m3_h: Flow = Field(description="of a fan; 0 for grilles")
    watt_w: NoWatts = Field(description="a fan draws")
    cut_out_cm2: Annotated[float, Field(gt=0, le=20_000)] = Field(description="wall area it needs altogether")


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
    "string_fuses": StringFuse,
    "isolators": Isolator,
    "busbars": Busbar,
    "shunts": Shunt,
    "displays": Display,
    "switches": Switch,
    "mains_boxes": MainsBox,
    "breakers": Breaker,
    "dc_panels": DcPanel,
    "entries": Entry,
    "vents": Vent,
}
"""Catalogue file (without .csv) -> the type of its rows."""
