"""The brief: what case.toml says, a class a table of it; the keys are the field names."""

from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from optimiser.quantities import (
    Amperes,
    Budget,
    Celsius,
    Coordinate,
    Gap,
    Mass,
    Millimetres,
    NoAmperes,
    NoCapacity,
    NoMass,
    NoWatts,
    Positive,
    Voltage,
    Wage,
    Watts,
    YearMonth,
    words,
)
from optimiser.rules import DEFAULT
from optimiser.rules import RuleFigure as RuleFigure
from optimiser.rules import RuleSet as RuleSet

Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_]*$", max_length=40)]  # as long as a label can be
Names = Annotated[tuple[str, ...], BeforeValidator(words)]
Side = Literal["front", "rear", "left", "right"]
Choice = Literal["must", "may", "no"]

ANYWHERE = "anywhere"
CONTROLS = ("display", "isolator", "switch", "mains_box")
"""Slots of what a person works or reads, which a shop may want at a place of its own."""


class Table(BaseModel):
    """A frozen row; unknown columns are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


# --- case.toml -------------------------------------------------------------------------------------


class Place(Table):
    """Where the vehicle is used at its worst, and the mains there."""

    latitude: Annotated[float, Field(ge=-66, le=66)] = Field(description="where it is used at its worst; south below 0")
    longitude: Annotated[float, Field(ge=-180, le=180)] = Field(description="west below 0")
    utc_offset_h: Annotated[float, Field(ge=-12, le=14)] = Field(description="of the clock that the hours are given in")
    altitude_m: Annotated[float, Field(ge=-100, le=4000)] = Field(default=0, description="above the sea")
    mains_v: Annotated[float, Field(ge=100, le=250)] = Field(default=230, description="of hook-up and of the inverter")
    record_low_c: Celsius = Field(description="coldest morning the strings must survive")
    record_high_c: Celsius = Field(description="hottest air the strings must still charge in")
    cabin_rise_k: Annotated[float, Field(ge=0, le=30)] = Field(
        default=5,
        description="air of the cabin above outside air on a hot day, before any cooling: what bays open to it breathe",
    )


class Support(NamedTuple):
    """What carries a part of a vehicle's weight: where it is, its load before the fit-out, and the one allowed."""

    name: str
    x_mm: int
    base_kg: float
    most_kg: float


class Trailer(Table):
    """A vehicle towed on a coupling, with one axle (or a close pair, taken at its middle)."""

    kind: Literal["trailer"] = Field(description="towed on a coupling, one axle or a close pair")
    coupling_x_mm: Coordinate = Field(description="from the rear")
    axle_x_mm: Coordinate = Field(description="of the axle, or the middle of the pair")
    track_mm: Millimetres = Field(description="from wheel to wheel")
    payload_kg: Mass = Field(description="left for the fit-out")
    base_axle_kg: Mass = Field(description="weighed before the fit-out, loaded as it travels")
    base_hitch_kg: NoMass = Field(description="likewise")
    axle_max_kg: Mass = Field(description="allowed")
    hitch_min_kg: NoMass = Field(description="required for a steady tow")
    hitch_max_kg: Mass = Field(description="allowed")
    balance_max_kg: Mass = Field(description="difference of the wheel loads that the fit-out may make")

    @property
    def axles(self) -> tuple[Support, ...]:
        """On which its wheels are."""
        return (Support("axle", self.axle_x_mm, self.base_axle_kg, self.axle_max_kg),)

    @property
    def supports(self) -> tuple[Support, ...]:
        """All that carries its weight."""
        return (*self.axles, Support("hitch", self.coupling_x_mm, self.base_hitch_kg, self.hitch_max_kg))


class Van(Table):
    """A vehicle on two axles of its own."""

    kind: Literal["van"] = Field(description="on two axles of its own")
    front_axle_x_mm: Coordinate = Field(description="from the rear of the vehicle")
    rear_axle_x_mm: Coordinate = Field(description="likewise")
    track_mm: Millimetres = Field(description="from wheel to wheel")
    payload_kg: Mass = Field(description="left for the fit-out")
    base_front_kg: Mass = Field(description="weighed before the fit-out, loaded as it travels")
    base_rear_kg: Mass = Field(description="likewise")
    front_max_kg: Mass = Field(description="allowed")
    rear_max_kg: Mass = Field(description="allowed")
    balance_max_kg: Mass = Field(description="difference of the wheel loads that the fit-out may make")

    @property
    def axles(self) -> tuple[Support, ...]:
        """On which its wheels are, the front one first."""
        return (
            Support("front axle", self.front_axle_x_mm, self.base_front_kg, self.front_max_kg),
            Support("rear axle", self.rear_axle_x_mm, self.base_rear_kg, self.rear_max_kg),
        )

    @property
    def supports(self) -> tuple[Support, ...]:
        """All that carries its weight."""
        return self.axles


class Limits(Table):
    """What the customer and the shop hold the build to, beyond the rule set."""

    autonomy_days: Annotated[float, Field(ge=0, le=30)] = Field(
        default=0, description="days without sun, driving and hook-up that the usable bank carries; 0: not asked"
    )
    autonomy_scenario: str = Field(default="", description="whose loads those days have; the first if left out")
    budget: Budget | None = Field(default=None, description="most the fit-out may cost, labour included")
    recharge_h: Annotated[float, Field(gt=0, le=240)] | None = Field(
        default=None, description="from the floor to full on hook-up"
    )
    mains_charge_a: NoAmperes = Field(
        default=0,
        description="least that hook-up must give the bank: mains charger and inverter-charger together, as they are "
        "derated to bay_air_max_c, at the bank's own voltage; 0: not asked",
    )
    solar_w: NoWatts = Field(
        default=0,
        description="least of panels on the roof, by their nameplates; a portable panel does not count; 0: not asked",
    )
    bank_ah: NoCapacity = Field(
        default=0,
        description="least of the bank, nominal and counted at 12 V: those of a 24 V bank count twice, of a 48 V bank "
        "four times; 0: not asked",
    )
    inverter_w: NoWatts = Field(
        default=0,
        description="least that the inverter is rated for, inverter-charger or not: its nameplate at 25 C, not what it "
        "gives in a hot bay; 0: not asked",
    )
    bay_air_max_c: Annotated[float, Field(ge=25, le=60)] = Field(
        default=50, description="air in a bay on the hottest day; parts are derated to it"
    )
    soc_floor_pct: Annotated[float, Field(ge=0, le=60)] = Field(
        default=15, description="the bank never falls below this share"
    )
    capacity_kept_pct: Annotated[float, Field(ge=50, le=100)] = Field(
        default=90, description="of the nominal capacity, after ageing"
    )
    regulators_at_most: Annotated[int, Field(ge=1, le=4)] = Field(default=2, description="solar regulators")
    panel_gap_mm: Gap = Field(default=25, description="between panels")
    crown_gap_mm: Gap = Field(default=30, description="under a rigid panel on a curved roof")


Spot = Annotated[str, Field(min_length=1, max_length=81)]  # bay.board, each as long as a name


class Preferences(Table):
    """How the shop likes to build. None is a matter of safety, each can be given up, and none is asked if left out."""

    wanted: tuple[str, ...] = Field(default=(), description="parts, or kinds of part, of which there must be one")
    banned: tuple[str, ...] = Field(default=(), description="parts, or kinds of part, of which there must be none")
    solar_section_mm2: Annotated[float, Field(gt=0, le=95)] | None = Field(
        default=None, description="least section of cables of panels"
    )
    twins_alike: bool = Field(default=False, description="whether all regulators must be of one type")
    panel_types_at_most: Annotated[int, Field(ge=1, le=20)] | None = Field(
        default=None, description="types of panel on the whole roof"
    )
    display_at: Spot = Field(default=ANYWHERE, description="bay, or bay.board, that it must be on")
    isolator_at: Spot = Field(default=ANYWHERE, description="likewise")
    switch_at: Spot = Field(default=ANYWHERE, description="likewise")
    mains_box_at: Spot = Field(default=ANYWHERE, description="likewise")
    spare_studs: Annotated[int, Field(ge=0, le=20)] = Field(
        default=0, description="of the busbars, beside those of the circuits"
    )
    spare_circuits: Annotated[int, Field(ge=0, le=20)] = Field(
        default=0, description="of the mains box, beside those of the brief"
    )
    spare_ways: Annotated[int, Field(ge=0, le=20)] = Field(
        default=0, description="of the fuse panel, where the brief has 12 V circuits, beside those that are taken"
    )

    @property
    def places(self) -> dict[str, str]:
        """Slot -> the bay or board that it must be on, of those that may not be anywhere."""
        asked = {slot: getattr(self, f"{slot}_at") for slot in CONTROLS}
        return {slot: place for slot, place in asked.items() if place != ANYWHERE}


class Alternator(Table):
    """The engine's alternator, or the feed of the towing vehicle."""

    rating_a: Annotated[float, Field(gt=0, le=1_000)] = Field(
        description="of the engine's alternator, or of the towing vehicle's feed"
    )
    system_v: Voltage = Field(default=12, description="of the vehicle")
    point: Name = Field(description="node where the feed starts")
    plug_a: Amperes | None = Field(default=None, description="what the plug or the feed's own wiring is rated for")
    cranking_a: Amperes | None = Field(
        default=None,
        description="cold-cranking amperes printed on the starter battery; they say its prospective fault current: "
        "1500 A up to 650, 3000 A up to 1100, 5000 A above",
    )
    fault_a: Positive | None = Field(
        default=None, description="that current itself, where it is known; with neither it is taken as 5000 A"
    )


class Inlet(Table):
    """The hook-up inlet."""

    rating_a: Annotated[float, Field(gt=0, le=125)] = Field(description="of the hook-up inlet")
    point: Name = Field(description="node where it is")
    fault_a: Positive = Field(
        default=6000,
        description="prospective fault current there, that breakers must break; 6000 is usual at pitches (common "
        "practice, no source)",
    )


class Generator(Table):
    """A generator that is plugged into the hook-up inlet where there is no hook-up."""

    watt_w: Watts = Field(description="it gives for hours on end where the vehicle is used")


class Circuit(Table):
    """A mains circuit, fed from the inverter or from hook-up only."""

    name: Name = Field(description="that loads name")
    source: Literal["inverter", "hook_up"] = Field(description="what feeds it")
    point: Name | None = Field(
        default=None,
        description="node where its cable ends; given for one, the mains box is filled by the build: each circuit "
        "needs one then, unless it is wired",
    )
    rating_a: NoAmperes = Field(
        default=0,
        description="least of its breaker, where more than its loads may be plugged in; 0: what its loads draw",
    )
    wired: bool = Field(
        default=False,
        description="its cable is there already, with its breaker, which takes two modules of a box that is filled by "
        "the build; nothing of it is calculated, bought or drawn",
    )


class DcCircuit(Table):
    """A 12 V circuit behind the fuse panel, with a way and a fuse there; loads name it."""

    name: Name = Field(description="that loads name; no mains circuit may have it too")
    point: Name | None = Field(default=None, description="node where its cable ends; needed unless it is wired")
    wired: bool = Field(
        default=False,
        description="its cable is there already, with its fuse: it takes a way of the panel, and nothing of it is "
        "calculated, bought or drawn",
    )


class Together(Table):
    """Loads of which only so many run at a time. It lowers what they draw at worst, never what they take in a day."""

    name: Name = Field(description="of the group")
    loads: tuple[Name, ...] = Field(description="two or more, each in one group at most; all spans of one are meant")
    at_most: Annotated[int, Field(ge=1, le=20)] = Field(default=1, description="of them that run at a time")
    by: Literal["interlock", "agreement"] = Field(
        description="what keeps the others off: an interlock (switch, relay or their own controls), which the build "
        "does not have and whoever fits it proves; or no more than an agreement of those who live there"
    )


class PassThrough(Table):
    """A weatherproof entry for something outside, and where its cable ends."""

    name: Name = Field(description="of what is outside")
    carries: Literal["data", "power"] = Field(description="over its cable")
    ip_class: Annotated[int, Field(ge=44, le=69)] = Field(description="sealing required")
    point: Name = Field(description="node where its cable ends")
    current_a: Annotated[float, Field(ge=0, le=500)] = Field(
        default=0,
        description="of a power cable: it counts beside the worst of the 12 V loads; what it takes over a day is a "
        "load of its own",
    )


class Portable(Table):
    """A portable panel the customer has, and where it plugs in."""

    panel: str = Field(description="a portable panel of the catalogue that the customer has")
    point: Name = Field(description="node where it plugs in")


class Outline(Table):
    """The vehicle's body as drawings show it; nothing is calculated from it."""

    length_mm: Millimetres = Field(description="from the rear")
    width_mm: Millimetres = Field(description="of the body")
    floor_mm: Millimetres = Field(description="above the ground")
    roof_mm: Millimetres = Field(description="likewise")
    wheel_mm: Millimetres = Field(default=650, description="diameter")


class Brief(Table):
    """case.toml as a whole."""

    title: Annotated[str, Field(max_length=80)] = Field(description="as it stands on the sheet")
    currency: str = Field(default="cu", description="printed beside amounts")
    labour_per_h: Wage = Field(description="of the shop, in the currency")
    rule_set: str = Field(default=DEFAULT, description="a rule set of the catalogue")
    built: YearMonth | None = Field(
        default=None, description="when it is fitted out, in quotes; check warns if the rule set does not serve that"
    )
    catalogue: tuple[str, ...] = Field(
        default=(), description="folders beside the case, laid over each other; the shipped one if left out"
    )
    system_voltages: Annotated[tuple[Voltage, ...], Field(min_length=1)] = Field(
        default=(12,), description="of the bank, those that are acceptable"
    )
    alternator_charger: Choice = Field(default="may", description="whether there must, may or may not be one")
    mains_charger: Choice = Field(default="may", description="likewise; an inverter-charger counts")
    changeover: Choice = Field(
        default="no",
        description="whether hook-up must, may or may not feed the inverter's circuits by a changeover in a mains box "
        "that the build fills; an inverter-charger does so by itself, and counts",
    )
    monitor: Literal["must", "no"] = Field(
        default="no",
        description="whether the bank's own current is measured, by a shunt in its negative that nothing goes by: what "
        "a monitor counts its charge from; no: only what charges it and draws from it",
    )
    dc_panel_point: Name = Field(description="node where the fuse panel of the 12 V loads is")
    place: Place = Field(description="where it is used")
    vehicle: Trailer | Van = Field(discriminator="kind", description="what is fitted out")
    limits: Limits = Field(default=Limits(), description="what the fit-out is checked against")
    preferences: Preferences = Field(default=Preferences(), description="of the shop")
    alternator: Alternator | None = Field(default=None, description="that the engine charges with")
    inlet: Inlet | None = Field(default=None, description="for hook-up")
    generator: Generator | None = Field(default=None, description="plugged into the inlet in place of hook-up")
    portable: Portable | None = Field(default=None, description="panel that is put out by hand")
    outline: Outline | None = Field(default=None, description="of the body, for drawings")
    circuits: tuple[Circuit, ...] = Field(default=(), description="of mains")
    dc_circuits: tuple[DcCircuit, ...] = Field(
        default=(), description="of the 12 V loads; left out, all that lies behind the fuse panel is another's"
    )
    together: tuple[Together, ...] = Field(default=(), description="loads that may not all run at a time")
    pass_throughs: tuple[PassThrough, ...] = Field(default=(), description="cables through walls")

    @property
    def fills_mains_box(self) -> bool:
        """Whether the build fills the mains box, and has cables to what circuits feed."""
        return any(circuit.point for circuit in self.circuits)

    @property
    def panel_ways(self) -> int:
        """Ways of the fuse panel that are taken: a circuit each, and each cable through a wall that draws."""
        return len(self.dc_circuits) + sum(p.carries == "power" and p.current_a > 0 for p in self.pass_throughs)
