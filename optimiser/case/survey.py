"""The survey and the days it must work on: one class a CSV table, whose headers are the field names.

Coordinates are in mm: x forward from the rear of the vehicle, y to the left from the centre line, z up.
"""

from typing import Annotated, Any, Literal

from pydantic import Field

from optimiser.case.brief import Name, Names, Side, Table
from optimiser.quantities import (
    Area,
    Bore,
    Celsius,
    Coordinate,
    Gap,
    Hour,
    Kelvin,
    Mass,
    Millimetres,
    Minutes,
    NoCapacity,
    NoMass,
    NoWatts,
    Percent,
    Price,
    Watts,
)
from optimiser.rules import RuleFigure as RuleFigure
from optimiser.rules import RuleSet as RuleSet

BoardFace = Literal["floor", "front", "rear", "left", "right"]
Face = Literal["floor", "ceiling", "front", "rear", "left", "right"]

# --- the CSV tables ----------------------------------------------------------------------------------


class Load(Table):
    """Something that draws power between two hours of the day (``to_h`` may pass midnight)."""

    name: Name = Field(description="of the load")
    supply: Literal["dc", "mains"] = Field(description="the 12 V panel or a mains circuit")
    circuit: str = Field(default="", description="of case.toml, for mains loads")
    watt_w: Watts = Field(description="while it draws")
    surge_w: NoWatts = Field(default=0, description="on starting, in place of watt_w; 0: none")
    duty_pct: Percent = Field(default=100, description="share of the time it draws")
    from_h: Hour = Field(description="hour of the day it may first be on")
    to_h: Hour = Field(description="hour it is off again; may pass midnight")
    scenarios: Names = Field(default=("all",), description="names with blanks between, or all")


class LoadSpan(Table):
    """What a row of loads.csv says of its own, where a load has several: hours, their duty and scenarios."""

    load: Name = Field(description="whose hours they are")
    number: Annotated[int, Field(ge=1)] = Field(description="of its rows, the first is 1")
    duty_pct: Percent = Field(default=100, description="share of the time it draws")
    from_h: Hour = Field(description="hour of the day it may first be on")
    to_h: Hour = Field(description="hour it is off again; may pass midnight")
    scenarios: Names = Field(default=("all",), description="names with blanks between, or all")

    @property
    def name(self) -> str:
        """``load.number``, as addresses name it."""
        return f"{self.load}.{self.number}"

    @property
    def own(self) -> dict[str, Any]:
        """What it says of its own, as columns of a load."""
        return {column: getattr(self, column) for column in SPAN_COLUMNS}


SPAN_COLUMNS = ("duty_pct", "from_h", "to_h", "scenarios")
"""Columns of loads.csv that each row of a load has of its own; in all others its rows are alike."""


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
    drive_from_h: Hour | None = Field(default=None, description="the engine runs from")
    drive_to_h: Hour | None = Field(default=None, description="to")
    hook_up_from_h: Hour | None = Field(default=None, description="mains is there from")
    hook_up_to_h: Hour | None = Field(default=None, description="to")
    portable_from_h: Hour | None = Field(default=None, description="the portable panel is out from")
    portable_to_h: Hour | None = Field(default=None, description="to")
    generator_from_h: Hour | None = Field(default=None, description="the generator runs from, as hook-up otherwise")
    generator_to_h: Hour | None = Field(default=None, description="to")


class Zone(Table):
    """A rectangle of roof. Zones in one ``roof_plane`` lie alike; they may share a string, and share an entry."""

    name: Name = Field(description="of the zone")
    roof_plane: Name = Field(description="zones in one lie alike, and may share a string and an entry")
    x_mm: Coordinate = Field(description="of its rear right corner")
    y_mm: Coordinate = Field(description="of its rear right corner")
    length_mm: Millimetres = Field(description="along x")
    width_mm: Millimetres = Field(description="along y")
    tilt_deg: Annotated[float, Field(ge=0, le=30)] = Field(default=0, description="from flat")
    azimuth_deg: Annotated[float, Field(ge=0, lt=360)] = Field(
        default=0, description="compass bearing it tilts to; 0 north, 90 east"
    )
    set_back_mm: Gap = Field(description="panels keep this from its sides and rear")
    front_set_back_mm: Gap = Field(description="and this from its front")
    walkway_mm: Gap = Field(default=0, description="kept free along one side")
    walkway_side: Side = Field(default="right", description="which")
    mass_max_kg: Mass = Field(description="of panels with their mounts")
    crown_mm: Gap = Field(default=0, description="rise of the roof over its width")
    rigid: bool = Field(default=True, description="whether rigid panels may be fixed here")
    entry: Name = Field(description="node where its cables come in")


class Obstacle(Table):
    """Something on the roof that panels of every zone keep clear of, as seen from above: an edge between zones stops
    neither a clearance nor a lid nor a shadow, nor does another roof plane."""

    name: Name = Field(description="of the obstacle")
    zone: Name | None = Field(
        default=None,
        description="it stands on, at least partly, as a check of its place; empty: over an edge of zones or beside "
        "them; panels of every zone that it, its clearance, lid or shadow reaches keep clear of it all the same",
    )
    x_mm: Coordinate = Field(description="of its rear right corner")
    y_mm: Coordinate = Field(description="of its rear right corner")
    length_mm: Millimetres = Field(description="along x")
    width_mm: Millimetres = Field(description="along y")
    height_mm: Gap = Field(
        description="that shades: above the roof around it; where a zone that its shadow reaches lies lower or tilts, "
        "above the lowest place there"
    )
    clear_mm: Gap = Field(description="panels keep from it")
    lid_side: Literal["none", "front", "rear", "left", "right"] = Field(
        default="none", description="where its open lid lies"
    )
    lid_reach_mm: Gap = Field(default=0, description="how far")


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
    u_w_m2k: Annotated[float, Field(gt=0, le=20)] = Field(default=3, description="heat through its walls")
    stack_mm: Gap = Field(default=300, description="height between low and high vents")
    vent_cm2: Area = Field(default=0, description="free area there is already, of each of two openings")
    cut_out_max_cm2: Area = Field(default=0, description="wall area that may be cut for vents")
    cable_allowance_mm: Gap = Field(
        default=300,
        description="of cable inside the bay, from its node to a part: what is cut for it at that end at least, and "
        "from board to board where these are not surveyed",
    )
    z_mm: Gap | None = Field(default=None, description="of its floor above the ground, for drawings")

    @property
    def inside(self) -> tuple[int, int, int]:
        """Length, width and height."""
        return self.length_mm, self.width_mm, self.height_mm


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
    outside_wall: bool = Field(default=False, description="whether it is one: pass-throughs may go through it")
    face: BoardFace | None = Field(
        default=None, description="of the bay that it is on: front is the wall towards the front; empty: not surveyed"
    )
    left_mm: Gap | None = Field(
        default=None,
        description="from the left edge of that face to the board, looking at it from inside the bay; on a floor, from "
        "the rear wall",
    )
    bottom_mm: Gap | None = Field(
        default=None, description="from the lower edge of that face to the board; on a floor, from the right wall"
    )

    @property
    def place(self) -> str:
        """``bay.board``, as builds name it."""
        return f"{self.bay}.{self.name}"

    @property
    def corner(self) -> tuple[BoardFace, int, int] | None:
        """Its face, and on that its lower left corner as seen from inside the bay; None where not surveyed."""
        if self.face is None or self.left_mm is None or self.bottom_mm is None:
            return None
        return self.face, self.left_mm, self.bottom_mm


class Way(Table):
    """A segment that cables can take between two nodes: bays, entries, points and junctions."""

    name: Name = Field(description="of the way")
    start: Name = Field(description="node")
    end: Name = Field(description="node")
    length_mm: Millimetres = Field(description="along the way")
    bore_mm: Bore = Field(description="inside diameter, or of the round hole that would hold as much")
    temp_c: Celsius = Field(default=40, description="air along it on a hot day")
    carries: Literal["any", "low", "mains"] = Field(default="any", description="what may go in it")
    divided: bool = Field(default=False, description="two channels, so that mains and low voltage may share it")
    closed: bool = Field(
        default=True, description="duct or trunking shut all round, in which cables carry less; no: clipped in free air"
    )


class CableOpening(Table):
    """Where a way comes into a bay: the middle of its hole, on a face of the bay."""

    way: Name = Field(description="that ends in the bay")
    bay: Name = Field(description="it comes into")
    face: Face = Field(description="of the bay that the hole is in")
    left_mm: Gap = Field(
        description="from the left edge of that face to the middle of the hole, looking at it from inside the bay; on "
        "floor and ceiling, from the rear wall"
    )
    bottom_mm: Gap = Field(description="from its lower edge; on floor and ceiling, from the right wall")
    bore_mm: Bore | None = Field(default=None, description="of the hole; empty: as the way")

    @property
    def place(self) -> str:
        """``bay.way``, as addresses name it."""
        return f"{self.bay}.{self.way}"


class NodePosition(Table):
    """Where a node of the ways is; a bay's own place stands in its row. For drawings and the drilling list only."""

    node: Name = Field(description="of the ways, other than a bay")
    x_mm: Coordinate = Field(description="forward from the rear")
    y_mm: Coordinate = Field(description="to the left of the centre line")
    z_mm: Gap = Field(description="above the ground")


class Existing(Table):
    """Something existing that stays: a fixture that takes space, a lead-acid battery, or a part."""

    name: Name = Field(description="of what is existing")
    kind: Literal["fixture", "lead_acid", "part"] = Field(
        description="takes space only, a lead-acid battery, or a part that goes on working: an inverter, alternator "
        "charger, mains charger or mains box, one of each; anything else is a fixture"
    )
    part: str = Field(default="", description="catalogue name, for kind part")
    board: str = Field(description="bay.board")
    x_mm: Gap = Field(description="from the lower left corner of the board")
    y_mm: Gap = Field(description="likewise")
    length_mm: Millimetres = Field(description="along the board, as it stands")
    width_mm: Millimetres = Field(description="as it stands")
    depth_mm: Millimetres = Field(description="away from the board")
    heat_w: NoWatts = Field(default=0, description="it gives off")
    cells: Annotated[int, Field(ge=0, le=48)] = Field(default=0, description="of a lead-acid battery")
    capacity_ah: NoCapacity = Field(default=0, description="of a lead-acid battery")


class OldPart(Table):
    """What comes out of the vehicle. Its mass is in the weights from before the fit-out, and leaves with it."""

    name: Name = Field(description="of what comes out")
    part: str = Field(
        default="",
        description="catalogue name: the build may fit it again, wherever such a part may be, for its sundries and "
        "labour alone; left out: it only goes",
    )
    count: Annotated[int, Field(ge=1, le=20)] = Field(default=1, description="of them, alike")
    mass_kg: NoMass = Field(default=0, description="of each; needed without a part, which knows its own")
    x_mm: Coordinate = Field(description="where it weighs today, forward from the rear")
    y_mm: Coordinate = Field(description="likewise to the left of the centre line")
    value: Price = Field(default=0, description="what each is sold for unless it is fitted again; 0: it goes to waste")
    minutes: Minutes = Field(default=0, description="labour of taking each out")


class Climate(Table):
    """A month as it is on average where the vehicle is used, for the year run; twelve of them or none."""

    month: Annotated[int, Field(ge=1, le=12)] = Field(description="1 to 12")
    clearness: Annotated[float, Field(ge=0, le=1)] = Field(
        description="mean share of a clear sky's light; mostly 0.4 to 0.75"
    )
    temp_min_c: Celsius = Field(description="mean of the days' lowest air")
    temp_max_c: Celsius = Field(description="mean of the days' highest air")


TABLES: dict[str, type[Table]] = {
    "loads": Load,
    "scenarios": Scenario,
    "zones": Zone,
    "obstacles": Obstacle,
    "bays": Bay,
    "boards": Board,
    "ways": Way,
    "existing": Existing,
    "node_positions": NodePosition,
    "cable_openings": CableOpening,
    "climate": Climate,
    "old_parts": OldPart,
}
"""Case file (without .csv) -> the type of its rows. All but the last five and obstacles need at least one row."""
