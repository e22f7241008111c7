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

    latitude: Annotated[float, Field(ge=-66, le=66)]
    longitude: Annotated[float, Field(ge=-180, le=180)]
    utc_offset_h: Annotated[float, Field(ge=-12, le=14)]
    altitude_m: Annotated[float, Field(ge=-100, le=4000)] = 0
    mains_v: Annotated[float, Field(ge=100, le=250)] = 230
    record_low_c: Celsius  # coldest morning the strings must survive
    record_high_c: Celsius  # hottest air the strings must still charge in
    cabin_rise_k: Annotated[float, Field(ge=0, le=30)] = 5  # cabin above outside air on a hot day


class Trailer(Table):
    """A vehicle towed on a coupling, with one axle (or a close pair, taken at its middle)."""

    kind: Literal["trailer"]
    coupling_x_mm: Coordinate
    axle_x_mm: Coordinate
    track_mm: Millimetres
    payload_kg: Mass  # left for the fit-out
    base_axle_kg: Mass  # weighed, before the fit-out, loaded as it travels
    base_hitch_kg: NoMass
    axle_max_kg: Mass
    hitch_min_kg: NoMass
    hitch_max_kg: Mass
    balance_max_kg: Mass  # allowed difference of the wheel loads that the fit-out makes


class Van(Table):
    """A vehicle on two axles of its own."""

    kind: Literal["van"]
    front_axle_x_mm: Coordinate
    rear_axle_x_mm: Coordinate
    track_mm: Millimetres
    payload_kg: Mass
    base_front_kg: Mass
    base_rear_kg: Mass
    front_max_kg: Mass
    rear_max_kg: Mass
    balance_max_kg: Mass


class Limits(Table):
    """What the customer and the shop hold the build to, beyond the rule set."""

    autonomy_days: Annotated[float, Field(ge=0, le=30)] = 0  # days without sun the usable bank must carry; 0: not asked
    autonomy_scenario: str = ""  # whose loads those days have; empty: the first scenario
    budget: Budget | None = None
    recharge_h: Annotated[float, Field(gt=0, le=240)] | None = None  # floor to full on hook-up; None: not asked
    bay_air_max_c: Annotated[float, Field(ge=25, le=60)] = 50
    soc_floor_pct: Annotated[float, Field(ge=0, le=60)] = 15
    capacity_kept_pct: Annotated[float, Field(ge=50, le=100)] = 90  # of nominal, allowed for ageing
    regulators_at_most: Annotated[int, Field(ge=1, le=4)] = 2
    panel_gap_mm: Gap = 25
    crown_gap_mm: Gap = 30  # under the middle or the ends of a rigid panel on a curved roof


class Alternator(Table):
    """The engine's alternator, or the feed of the towing vehicle."""

    rating_a: Annotated[float, Field(gt=0, le=1_000)]
    system_v: Voltage = 12
    point: Name  # node of the ways where the feed starts
    plug_a: Amperes | None = None  # its plug or its own wiring; None: no plug, or not surveyed
    cranking_a: Amperes | None = None  # cold-cranking amperes printed on the starter battery
    fault_a: Positive | None = None  # its prospective fault current where known, in place of what cranking_a tells


class Inlet(Table):
    """The hook-up inlet."""

    rating_a: Annotated[float, Field(gt=0, le=125)]
    point: Name


class Circuit(Table):
    """A mains circuit, fed from the inverter or from hook-up only."""

    name: Name
    source: Literal["inverter", "hook_up"]


class PassThrough(Table):
    """A weatherproof entry for something outside, and where its cable ends."""

    name: Name
    carries: Literal["data", "power"]
    ip_class: Annotated[int, Field(ge=44, le=69)]
    point: Name  # node of the ways where its cable ends
    current_a: Annotated[float, Field(ge=0, le=500)] = 0


class Portable(Table):
    """A portable panel the customer has, and where it plugs in."""

    panel: str
    point: Name


class Outline(Table):
    """The vehicle's body as drawings show it; nothing is reckoned from it."""

    length_mm: Millimetres  # from the rear
    width_mm: Millimetres
    floor_mm: Millimetres  # above the ground
    roof_mm: Millimetres  # likewise
    wheel_mm: Millimetres = 650  # diameter


class Brief(Table):
    """case.toml as a whole."""

    title: Annotated[str, Field(max_length=80)]
    currency: str = "cu"
    labour_per_h: Wage
    rule_set: str = "default"
    catalogue: tuple[str, ...] = ()  # folders beside the case, laid over each other; none: the shipped one
    system_voltages: Annotated[tuple[Voltage, ...], Field(min_length=1)] = (12,)
    alternator_charger: Choice = "may"
    mains_charger: Choice = "may"
    dc_panel_point: Name  # where the 12 V loads' own fuse panel is
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

    name: Name
    supply: Literal["dc", "mains"]
    circuit: str = ""  # mains loads only
    watt_w: Watts
    surge_w: NoWatts = 0  # on starting, in place of watt_w; 0: none
    duty_pct: Percent = 100
    from_h: Hour
    to_h: Hour
    scenarios: Names = ("all",)


class Scenario(Table):
    """A span of hours with its weather, driving and hook-up."""

    name: Name
    month: Annotated[int, Field(ge=1, le=12)]
    day: Annotated[int, Field(ge=1, le=31)]
    start_h: Annotated[int, Field(ge=0, le=23)]
    hours: Annotated[int, Field(ge=1, le=120)]
    clearness: Annotated[float, Field(ge=0, le=1)]  # of the clear-sky irradiance
    temp_min_c: Celsius
    temp_max_c: Celsius
    start_pct: Percent
    returns: bool  # must end no lower than it began
    drive_from_h: Hour | None = None
    drive_to_h: Hour | None = None
    hook_up_from_h: Hour | None = None
    hook_up_to_h: Hour | None = None
    portable_from_h: Hour | None = None
    portable_to_h: Hour | None = None


class Zone(Table):
    """A rectangle of roof. Zones with the same ``light`` may share a string, and share an entry."""

    name: Name
    light: Name
    x_mm: Coordinate  # rear right corner
    y_mm: Coordinate
    length_mm: Millimetres  # along x
    width_mm: Millimetres  # along y
    tilt_deg: Annotated[float, Field(ge=0, le=30)] = 0
    azimuth_deg: Annotated[float, Field(ge=0, lt=360)] = 0  # compass bearing it tilts to, 0 north
    set_back_mm: Gap
    front_set_back_mm: Gap
    walkway_mm: Gap = 0
    walkway_side: Side = "right"
    mass_max_kg: Mass
    crown_mm: Gap = 0  # rise of the skin over the width
    rigid: bool = True  # rigid panels may be fixed here
    entry: Name  # node of the ways where the cables come in


class Obstacle(Table):
    """Something on a zone that panels keep clear of."""

    name: Name
    zone: Name
    x_mm: Coordinate
    y_mm: Coordinate
    length_mm: Millimetres
    width_mm: Millimetres
    height_mm: Gap
    clear_mm: Gap
    lid_side: Literal["none", "front", "rear", "left", "right"] = "none"  # where an open lid lies
    lid_reach_mm: Gap = 0


class Bay(Table):
    """A space that parts stand in; its boards are the faces they are fixed to."""

    name: Name
    length_mm: Millimetres
    width_mm: Millimetres
    height_mm: Millimetres
    x_mm: Coordinate  # of its middle
    y_mm: Coordinate
    opening_length_mm: Millimetres
    opening_width_mm: Millimetres
    air: Literal["cabin", "closed", "sealed", "outside"]  # sealed: from the living space, vented outside
    habitable: bool  # part of the living space unless sealed from it
    battery: bool  # the survey allows a bank here
    electronics: bool  # the survey allows electronics here
    mass_max_kg: Mass
    rise_k: Kelvin  # above outside air on a hot day, before any heat of the parts
    cold_rise_k: Kelvin  # above outside air on a cold night
    u_w_m2k: Annotated[float, Field(gt=0, le=20)] = 3  # of its walls
    stack_mm: Gap = 300  # between low and high vents
    vent_cm2: Area = 0  # free area there already, of each of two openings
    cut_out_max_cm2: Area = 0  # wall area that may be cut for vents
    lead_mm: Gap = 300  # cable inside the bay, from its node to a part
    z_mm: Gap | None = None  # of its floor above the ground; for drawings only


class Board(Table):
    """A face of a bay to fix parts on. Boards of a bay share its space without overlap."""

    bay: Name
    name: Name
    kind: Literal["floor", "wall"]
    length_mm: Millimetres  # along the wall, or along x on a floor
    width_mm: Millimetres  # up the wall, or along y on a floor
    depth_mm: Millimetres  # free space away from the board
    reach: bool  # a person reaches it without tools
    sight: bool  # a person sees it
    skin: bool = False  # an outside wall: pass-throughs may go through it

    @property
    def place(self) -> str:
        """``bay.board``, as builds name it."""
        return f"{self.bay}.{self.name}"


class Way(Table):
    """A segment that cables can take between two nodes: bays, entries, points and junctions."""

    name: Name
    start: Name
    end: Name
    length_mm: Millimetres
    bore_mm: Bore
    temp_c: Celsius = 40  # air along it on a hot day
    carries: Literal["any", "low", "mains"] = "any"
    divided: bool = False  # two channels: mains and low voltage may share it
    closed: bool = True  # duct or trunking shut all round; not: cables clipped side by side in free air


class Spot(Table):
    """Where a node of the ways is; a bay's own place stands in its row. For drawings and the drilling list only."""

    node: Name
    x_mm: Coordinate
    y_mm: Coordinate
    z_mm: Gap  # above the ground


class Kept(Table):
    """Something that stays in the vehicle: a fixture that takes space, a lead-acid battery, or a part."""

    name: Name
    kind: Literal["fixture", "lead_acid", "part"]
    part: str = ""  # catalogue name, for kind part
    board: str  # bay.board
    x_mm: Gap
    y_mm: Gap
    length_mm: Millimetres  # along the board, as it stands
    width_mm: Millimetres
    depth_mm: Millimetres
    heat_w: NoWatts = 0
    cells: Annotated[int, Field(ge=0, le=48)] = 0  # lead-acid only
    capacity_ah: NoCapacity = 0


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

    name: str
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
