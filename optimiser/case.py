"""A case: the brief and the survey of one vehicle, as read from its folder.

Coordinates are in mm: x forward from the rear of the vehicle, y to the left from the centre line, z up.
One class a table of the folder; the column headers are the field names.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from optimiser.quantities import (
    Amperes,
    Area,
    Bore,
    Budget,
    Celsius,
    Coordinate,
    Gap,
    Hour,
    Kelvin,
    Mass,
    Millimetres,
    NoCapacity,
    NoMass,
    NoWatts,
    Percent,
    Positive,
    Voltage,
    Wage,
    Watts,
    words,
)
from optimiser.rules import RuleFigure as RuleFigure
from optimiser.rules import RuleSet as RuleSet

Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_]*$", max_length=40)]  # as long as a label can be
Names = Annotated[tuple[str, ...], BeforeValidator(words)]
Side = Literal["front", "rear", "left", "right"]
Choice = Literal["must", "may", "no"]


class Table(BaseModel):
    """A frozen row; unknown columns are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")


# --- case.toml -------------------------------------------------------------------------------------


class Place(Table):
    """Where the vehicle is used at its worst, and the mains there."""

    latitude: Annotated[float, Field(ge=-66, le=66)] = Field(description="where it is used at its worst; south below 0")
    longitude: Annotated[float, Field(ge=-180, le=180)] = Field(description="west below 0")
    utc_offset_h: Annotated[float, Field(ge=-12, le=14)] = Field(description="of the clock that the hours are given in")
    altitude_m: Annotated[float, Field(ge=-100, le=4000)] = Field(0, description="above the sea")
    mains_v: Annotated[float, Field(ge=100, le=250)] = Field(230, description="of hook-up and of the inverter")
    record_low_c: Celsius = Field(description="coldest morning the strings must survive")
    record_high_c: Celsius = Field(description="hottest air the strings must still charge in")
    cabin_rise_k: Annotated[float, Field(ge=0, le=30)] = Field(
        5,
        description="air of the cabin above outside air on a hot day, before any cooling: what bays open to it breathe",
    )


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
    hitch_min_kg: NoMass = Field(description="wanted for a steady tow")
    hitch_max_kg: Mass = Field(description="allowed")
    balance_max_kg: Mass = Field(description="difference of the wheel loads that the fit-out may make")


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


class Limits(Table):
    """What the customer and the shop hold the build to, beyond the rule set."""

    autonomy_days: Annotated[float, Field(ge=0, le=30)] = Field(
        0, description="days without sun, driving and hook-up that the usable bank carries; 0: not asked"
    )
    autonomy_scenario: str = Field("", description="whose loads those days have; the first if left out")
    budget: Budget | None = Field(None, description="most the fit-out may cost, labour included")
    recharge_h: Annotated[float, Field(gt=0, le=240)] | None = Field(
        None, description="from the floor to full on hook-up"
    )
    bay_air_max_c: Annotated[float, Field(ge=25, le=60)] = Field(
        50, description="air in a bay on the hottest day; parts are derated to it"
    )
    soc_floor_pct: Annotated[float, Field(ge=0, le=60)] = Field(15, description="the bank never falls below this share")
    capacity_kept_pct: Annotated[float, Field(ge=50, le=100)] = Field(
        90, description="of the nominal capacity, after ageing"
    )
    regulators_at_most: Annotated[int, Field(ge=1, le=4)] = Field(2, description="solar regulators")
    panel_gap_mm: Gap = Field(25, description="between panels")
    crown_gap_mm: Gap = Field(30, description="under a rigid panel on a curved roof")


class Alternator(Table):
    """The engine's alternator, or the feed of the towing vehicle."""

    rating_a: Annotated[float, Field(gt=0, le=1_000)] = Field(
        description="of the engine's alternator, or of the towing vehicle's feed"
    )
    system_v: Voltage = Field(12, description="of the vehicle")
    point: Name = Field(description="node where the feed starts")
    plug_a: Amperes | None = Field(None, description="what the plug or the feed's own wiring is rated for")
    cranking_a: Amperes | None = Field(
        None,
        description="cold-cranking amperes printed on the starter battery; they tell its prospective fault current: "
        "1500 A up to 650, 3000 A up to 1100, 5000 A above",
    )
    fault_a: Positive | None = Field(
        None, description="that current itself, where it is known; with neither it is taken as 5000 A"
    )


class Inlet(Table):
    """The hook-up inlet."""

    rating_a: Annotated[float, Field(gt=0, le=125)] = Field(description="of the hook-up inlet")
    point: Name = Field(description="node where it is")


class Circuit(Table):
    """A mains circuit, fed from the inverter or from hook-up only."""

    name: Name = Field(description="that loads name")
    source: Literal["inverter", "hook_up"] = Field(description="what feeds it")


class PassThrough(Table):
    """A weatherproof entry for something outside, and where its cable ends."""

    name: Name = Field(description="of what is outside")
    carries: Literal["data", "power"] = Field(description="over its cable")
    ip_class: Annotated[int, Field(ge=44, le=69)] = Field(description="sealing wanted")
    point: Name = Field(description="node where its cable ends")
    current_a: Annotated[float, Field(ge=0, le=500)] = Field(
        0,
        description="of a power cable: it counts beside the worst of the 12 V loads; what it takes over a day is a "
        "load of its own",
    )


class Portable(Table):
    """A portable panel the customer has, and where it plugs in."""

    panel: str = Field(description="a portable panel of the catalogue that the customer has")
    point: Name = Field(description="node where it plugs in")


class Outline(Table):
    """The vehicle's body as drawings show it; nothing is reckoned from it."""

    length_mm: Millimetres = Field(description="from the rear")
    width_mm: Millimetres = Field(description="of the body")
    floor_mm: Millimetres = Field(description="above the ground")
    roof_mm: Millimetres = Field(description="likewise")
    wheel_mm: Millimetres = Field(650, description="diameter")


class Brief(Table):
    """case.toml as a whole."""

    title: Annotated[str, Field(max_length=80)] = Field(description="as it stands on the sheet")
    currency: str = Field("cu", description="printed beside amounts")
    labour_per_h: Wage = Field(description="of the shop, in the currency")
    rule_set: str = Field("default", description="a rule set of the catalogue")
    catalogue: tuple[str, ...] = Field(
        (), description="folders beside the case, laid over each other; the shipped one if left out"
    )
    system_voltages: Annotated[tuple[Voltage, ...], Field(min_length=1)] = Field(
        (12,), description="of the bank, those that are acceptable"
    )
    alternator_charger: Choice = Field("may", description="whether there must, may or may not be one")
    mains_charger: Choice = Field("may", description="likewise; an inverter-charger counts")
    dc_panel_point: Name = Field(description="node where the fuse panel of the 12 V loads is")
    place: Place
    vehicle: Annotated[Trailer | Van, Field(discriminator="kind")]
    limits: Limits = Limits()
    alternator: Alternator | None = None
    inlet: Inlet | None = None
    portable: Portable | None = None
    outline: Outline | None = None
    circuits: tuple[Circuit, ...] = ()
    pass_throughs: tuple[PassThrough, ...] = ()


# --- the CSV tables ----------------------------------------------------------------------------------


class Load(Table):
    """Something that draws power between two hours of the day (``to_h`` may pass midnight)."""

    name: Name = Field(description="of the load")
    supply: Literal["dc", "mains"] = Field(description="the 12 V panel or a mains circuit")
    circuit: str = Field("", description="of case.toml, for mains loads")
    watt_w: Watts = Field(description="while it draws")
    surge_w: NoWatts = Field(0, description="on starting, in place of watt_w; 0: none")
    duty_pct: Percent = Field(100, description="share of the time it draws")
    from_h: Hour = Field(description="hour of the day it may first be on")
    to_h: Hour = Field(description="hour it is off again; may pass midnight")
    scenarios: Names = Field(("all",), description="names with blanks between, or all")


class Scenario(Table):
    """A span of hours with its weather, driving and hook-up."""

    name: Name = Field(description="of the scenario")
    month: Annotated[int, Field(ge=1, le=12)] = Field(description="that it starts in")
    day: Annotated[int, Field(ge=1, le=31)] = Field(description="of the month")
    start_h: Annotated[int, Field(ge=0, le=23)] = Field(description="hour of the day it starts at")
    hours: Annotated[int, Field(ge=1, le=120)] = Field(description="it lasts")
    clearness: Annotated[float, Field(ge=0, le=1)] = Field(
        description="share of a clear sky's light: 0.3 dull, 0.7 mixed, 1 clear"
    )
    temp_min_c: Celsius = Field(description="of the air")
    temp_max_c: Celsius = Field(description="of the air")
    start_pct: Percent = Field(description="charge of the bank at the start")
    returns: bool = Field(description="whether the bank must end no lower than it began")
    drive_from_h: Hour | None = Field(None, description="the engine runs from")
    drive_to_h: Hour | None = Field(None, description="to")
    hook_up_from_h: Hour | None = Field(None, description="mains is there from")
    hook_up_to_h: Hour | None = Field(None, description="to")
    portable_from_h: Hour | None = Field(None, description="the portable panel is out from")
    portable_to_h: Hour | None = Field(None, description="to")


class Zone(Table):
    """A rectangle of roof. Zones with the same ``light`` may share a string, and share an entry."""

    name: Name = Field(description="of the zone")
    light: Name = Field(description="zones in the same light may share a string and an entry")
    x_mm: Coordinate = Field(description="of its rear right corner")
    y_mm: Coordinate = Field(description="of its rear right corner")
    length_mm: Millimetres = Field(description="along x")
    width_mm: Millimetres = Field(description="along y")
    tilt_deg: Annotated[float, Field(ge=0, le=30)] = Field(0, description="from flat")
    azimuth_deg: Annotated[float, Field(ge=0, lt=360)] = Field(
        0, description="compass bearing it tilts to; 0 north, 90 east"
    )
    set_back_mm: Gap = Field(description="panels keep this from its sides and rear")
    front_set_back_mm: Gap = Field(description="and this from its front")
    walkway_mm: Gap = Field(0, description="kept free along one side")
    walkway_side: Side = Field("right", description="which")
    mass_max_kg: Mass = Field(description="of panels with their mounts")
    crown_mm: Gap = Field(0, description="rise of the skin over the width")
    rigid: bool = Field(True, description="whether rigid panels may be fixed here")
    entry: Name = Field(description="node where its cables come in")


class Obstacle(Table):
    """Something on a zone that panels keep clear of."""

    name: Name = Field(description="of the obstacle")
    zone: Name = Field(description="it stands on")
    x_mm: Coordinate = Field(description="of its rear right corner")
    y_mm: Coordinate = Field(description="of its rear right corner")
    length_mm: Millimetres = Field(description="along x")
    width_mm: Millimetres = Field(description="along y")
    height_mm: Gap = Field(description="that shades")
    clear_mm: Gap = Field(description="panels keep from it")
    lid_side: Literal["none", "front", "rear", "left", "right"] = Field("none", description="where its open lid lies")
    lid_reach_mm: Gap = Field(0, description="how far")


class Bay(Table):
    """A space that parts stand in; its boards are the faces they are fixed to."""

    name: Name = Field(description="of the bay, and of its node")
    length_mm: Millimetres = Field(description="inside")
    width_mm: Millimetres = Field(description="inside")
    height_mm: Millimetres = Field(description="inside")
    x_mm: Coordinate = Field(description="of its middle")
    y_mm: Coordinate = Field(description="of its middle")
    opening_length_mm: Millimetres = Field(description="that parts must pass")
    opening_width_mm: Millimetres = Field(description="likewise")
    air: Literal["cabin", "closed", "sealed", "outside"] = Field(
        description="open to the cabin, closed, sealed from it and vented outside, or outside"
    )
    habitable: bool = Field(description="part of the living space unless sealed from it")
    battery: bool = Field(description="whether the bank may stand here")
    electronics: bool = Field(description="whether electronics may")
    mass_max_kg: Mass = Field(description="it carries")
    rise_k: Kelvin = Field(description="above outside air on a hot day, before any heat of the parts")
    cold_rise_k: Kelvin = Field(description="above outside air on a cold night")
    u_w_m2k: Annotated[float, Field(gt=0, le=20)] = Field(3, description="heat through its walls")
    stack_mm: Gap = Field(300, description="height between low and high vents")
    vent_cm2: Area = Field(0, description="free area there is already, of each of two openings")
    cut_out_max_cm2: Area = Field(0, description="wall area that may be cut for vents")
    lead_mm: Gap = Field(300, description="of cable inside the bay, from its node to a part")
    z_mm: Gap | None = Field(None, description="of its floor above the ground, for drawings")


class Board(Table):
    """A face of a bay to fix parts on. Boards of a bay share its space without overlap."""

    bay: Name = Field(description="it belongs to")
    name: Name = Field(description="of the board; builds name it bay.board")
    kind: Literal["floor", "wall"] = Field(description="which way it faces")
    length_mm: Millimetres = Field(description="along the wall, or along x on a floor")
    width_mm: Millimetres = Field(description="up the wall, or along y on a floor")
    depth_mm: Millimetres = Field(description="free space away from the board")
    reach: bool = Field(description="whether a person reaches it without tools")
    sight: bool = Field(description="whether a person sees it")
    skin: bool = Field(False, description="an outside wall: pass-throughs may go through it")

    @property
    def place(self) -> str:
        """``bay.board``, as builds name it."""
        return f"{self.bay}.{self.name}"


class Way(Table):
    """A segment that cables can take between two nodes: bays, entries, points and junctions."""

    name: Name = Field(description="of the way")
    start: Name = Field(description="node")
    end: Name = Field(description="node")
    length_mm: Millimetres = Field(description="along the way")
    bore_mm: Bore = Field(description="inside diameter, or of the round hole that would hold as much")
    temp_c: Celsius = Field(40, description="air along it on a hot day")
    carries: Literal["any", "low", "mains"] = Field("any", description="what may go in it")
    divided: bool = Field(False, description="two channels, so that mains and low voltage may share it")
    closed: bool = Field(
        True, description="duct or trunking shut all round, in which cables stand less; no: clipped in free air"
    )


class Spot(Table):
    """Where a node of the ways is; a bay's own place stands in its row. For drawings and the drilling list only."""

    node: Name = Field(description="of the ways, other than a bay")
    x_mm: Coordinate = Field(description="forward from the rear")
    y_mm: Coordinate = Field(description="to the left of the centre line")
    z_mm: Gap = Field(description="above the ground")


class Kept(Table):
    """Something that stays in the vehicle: a fixture that takes space, a lead-acid battery, or a part."""

    name: Name = Field(description="of what stays")
    kind: Literal["fixture", "lead_acid", "part"] = Field(
        description="takes space only, a lead-acid battery, or a part that goes on working: an inverter, alternator "
        "charger, mains charger or mains box, one of each; anything else is a fixture"
    )
    part: str = Field("", description="catalogue name, for kind part")
    board: str = Field(description="bay.board")
    x_mm: Gap = Field(description="from the lower left corner of the board")
    y_mm: Gap = Field(description="likewise")
    length_mm: Millimetres = Field(description="along the board, as it stands")
    width_mm: Millimetres = Field(description="as it stands")
    depth_mm: Millimetres = Field(description="away from the board")
    heat_w: NoWatts = Field(0, description="it gives off")
    cells: Annotated[int, Field(ge=0, le=48)] = Field(0, description="of a lead-acid battery")
    capacity_ah: NoCapacity = Field(0, description="of a lead-acid battery")


TABLES: dict[str, type[Table]] = {
    "loads": Load,
    "scenarios": Scenario,
    "zones": Zone,
    "obstacles": Obstacle,
    "bays": Bay,
    "boards": Board,
    "ways": Way,
    "keep": Kept,
    "spots": Spot,
}
"""Case file (without .csv) -> the type of its rows. All but obstacles, keep and spots need at least one row."""


@dataclass(frozen=True)
class Case:
    """Brief and survey of one vehicle."""

    name: str = Field(description="of what stays")
    brief: Brief
    rules: RuleSet
    loads: tuple[Load, ...]
    scenarios: tuple[Scenario, ...]
    zones: tuple[Zone, ...]
    obstacles: tuple[Obstacle, ...]
    bays: tuple[Bay, ...]
    boards: tuple[Board, ...]
    ways: tuple[Way, ...]
    keep: tuple[Kept, ...]
    spots: tuple[Spot, ...] = ()

    @property
    def limits(self) -> Limits:
        """Short for ``brief.limits``."""
        return self.brief.limits

    @cached_property
    def lights(self) -> dict[str, tuple[Zone, ...]]:
        """Light condition -> its zones."""
        return {zone.light: tuple(z for z in self.zones if z.light == zone.light) for zone in self.zones}

    @cached_property
    def bay_of(self) -> dict[str, Bay]:
        """Bay name -> bay."""
        return {bay.name: bay for bay in self.bays}

    @cached_property
    def board_of(self) -> dict[str, Board]:
        """``bay.board`` -> board."""
        return {board.place: board for board in self.boards}

    def circuits_from(self, source: str) -> tuple[str, ...]:
        """Names of the mains circuits fed from ``source``."""
        return tuple(c.name for c in self.brief.circuits if c.source == source)
