"""THE register of requirements: every limit a build is held to, by name.

The model posts these names, the audit checks them, explanations quote their sentences. A place may be
added to a name, as in ``bay.heat[left_seat]``. ``limit`` says where the limit is set: a field of the case,
a figure of the rule set or a column of the catalogue; ``step`` is the move that eases it, which its price is
quoted for, and ``lever`` says what it is that moves. A requirement whose source is "definition" says what a build
is and cannot be given up, though a value of the survey may ease it: a body lies inside its board, and the board
may be made longer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Sense = Literal["at most", "at least"]
SetBy = Literal["brief and survey", "makers and rules", "definition"]
MOST: Sense = "at most"
LEAST: Sense = "at least"


# What shall be there, as the brief asks for it: nothing has a margin to it.
_ASKED_FOR = frozenset(
    ("string.portable", "inverter.present", "charge.wanted", "measure.channels", "measure.display", "measure.switch")
)
_SETTERS = {"brief": "the brief", "survey": "the survey", "maker": "the maker", "rule set": "a rule"}
# Tables of brief and survey that say how much of a common practice is wanted.
_OF_TABLE = {"limits": "the brief", "zones": "the survey", "obstacles": "the survey"}

ROOF_TYPES = 2  # panel types on one zone: more want a regulator each and odd gaps (common practice, no source)


@dataclass(frozen=True)
class Eases:
    """A value that gives way to a requirement: its address, and the step that eases it.

    ``words`` say what it is, after the step and its unit; ``{}`` is the row of the case or the file of the catalogue.
    """

    address: str
    step: float
    words: str


@dataclass(frozen=True)
class Requirement:
    """One named limit."""

    name: str
    sense: Sense
    unit: str
    limit: str
    step: float | None
    source: str
    sentence: str  # with {place}, {limit}, {actual}
    broken: str = ""  # sentence of one that is met or not, without a measure, where it is not
    lever: str = ""  # what the limit is, where moving it by the step eases it; empty: see `moves/levers.py`
    also: tuple[Eases, ...] = ()  # other values that ease it

    @property
    def yes_no(self) -> bool:
        """Whether it is met or not, and no number belongs to it."""
        return bool(self.broken)

    @property
    def is_definition(self) -> bool:
        """Whether it is always true of a build rather than wanted of it."""
        return self.source == "definition"

    @property
    def eases(self) -> tuple[Eases, ...]:
        """The values that ease it, the limit first."""
        own = (Eases(self.limit, self.step, self.lever),) if self.lever and self.step else ()
        return own + self.also

    @property
    def set_by(self) -> SetBy:
        """Who could give it up: a fitter or customer what they asked for or measured, nobody what a build is.

        Common practice is theirs where brief or survey say how much of it they want.
        """
        if self.is_definition:
            return "definition"
        theirs = self.source in ("brief", "survey")
        wished = self.source.startswith("common practice") and self.limit.partition(".")[0] in _OF_TABLE
        return "brief and survey" if theirs or wished else "makers and rules"

    @property
    def asked_for(self) -> bool:
        """Whether it is a wish of the brief, that something be there, rather than a limit."""
        return self.name in _ASKED_FOR

    @property
    def setter(self) -> str:
        """Who sets its limit, in words: the brief, the survey, the maker, a rule, or two of these."""
        if self.is_definition:
            return "what a build is"
        found = [words for key, words in _SETTERS.items() if key in self.source]
        return " and ".join(found) or _OF_TABLE.get(self.limit.partition(".")[0], "common practice")


# fmt: off
_ALL = (
    Requirement("roof.inside", LEAST, "mm", "", None, "definition",
                "every panel of {place} lies inside the zone: {actual} mm to spare, {limit} mm required"),
    Requirement("roof.overlap", LEAST, "mm", "", None, "definition",
                "panels of {place} do not overlap: smallest gap {actual} mm, above {limit} mm required"),
    Requirement("roof.panel_gap", LEAST, "mm", "limits.panel_gap_mm", -5, "common practice, no source",
                "panels of {place} are {actual} mm apart, {limit} mm required", lever="gap between panels"),
    Requirement("roof.set_back", LEAST, "mm", "zones.set_back_mm", -10, "common practice, no source",
                "panels of {place} keep {actual} mm from its side and rear edges, {limit} mm required",
                lever="set-back of zone {}"),
    Requirement("roof.front_set_back", LEAST, "mm", "zones.front_set_back_mm", -10, "common practice, no source",
                "panels of {place} keep {actual} mm from its front edge, {limit} mm required",
                lever="front set-back of zone {}"),
    Requirement("roof.body", LEAST, "mm", "", None, "definition",
                "panels lie beside {place}, not over it: {actual} mm from it, {limit} mm required"),
    Requirement("roof.obstacle", LEAST, "mm", "obstacles.clear_mm", -10, "common practice, no source",
                "panels keep {actual} mm from {place}, {limit} mm required", lever="clearance around {}"),
    Requirement("roof.lid", LEAST, "mm", "obstacles.lid_reach_mm", -10, "survey",
                "the lid of {place} has {actual} mm to open into, {limit} mm required",
                lever="reach of the lid of {}"),
    Requirement("roof.shadow", LEAST, "mm", "rules.shadow_elevation_deg", 5, "rule set",
                "panels keep {actual} mm from {place} for its shadow, {limit} mm required",
                lever="lowest sun elevation kept free of shadows"),
    Requirement("roof.walkway", LEAST, "mm", "zones.walkway_mm", -25, "brief",
                "the walkway of {place} is {actual} mm wide, {limit} mm required", lever="walkway of zone {}"),
    Requirement("roof.mass", MOST, "kg", "zones.mass_max_kg", 5, "survey",
                "panels on {place} weigh {actual} kg, {limit} kg allowed", lever="load allowed on zone {}"),
    Requirement("roof.crown", MOST, "mm", "limits.crown_gap_mm", 5, "common practice, no source",
                "rigid panels of {place} are {actual} mm off the curved roof, {limit} mm allowed",
                lever="gap allowed under rigid panels"),
    Requirement("roof.bend", LEAST, "mm", "panels.bend_radius_mm", -100, "maker's sheet",
                "flexible panels of {place} are bent to a radius of {actual} mm, {limit} mm required",
                lever="bend radius of flexible panels"),
    Requirement("roof.rigid", MOST, "yes/no", "zones.rigid", 1, "survey",
                "{place} carries no rigid panel, as it must not",
                "{place} carries rigid panels ({actual}); it must not", lever="rigid panels allowed on zone {}"),
    Requirement("roof.types", MOST, "types", "", None, "common practice, no source",
                "types of panel on {place}: {actual}, {limit} allowed"),
    Requirement("string.complete", LEAST, "panels", "", None, "definition",
                "panels of {place} of its type, on its roof plane: {actual}, {limit} required"),
    Requirement("string.regulators", MOST, "regulators", "limits.regulators_at_most", 1, "brief",
                "regulators fitted: {actual}, {limit} allowed", lever="regulators allowed"),
    Requirement("string.parallel", MOST, "strings", "rules.string_fuse_from", 1, "rule set",
                "strings of {place} in parallel: {actual}, {limit} allowed without a fuse each",
                lever="strings in parallel before each wants a fuse"),
    Requirement("string.cold_voltage", MOST, "V", "regulators.pv_v_max", 5, "maker's sheet and rule set",
                "{place} reaches {actual} V on the coldest morning, {limit} V allowed by its regulator",
                lever="panel voltage that {} stand",
                also=(Eases("place.record_low_c", 1, "coldest morning"),
                      Eases("alternator_chargers.solar_v_max", 5, "panel voltage that {} stand"))),
    Requirement("string.ceiling", MOST, "V", "rules.solar_ceiling_v", 10, "rule set",
                "{place} reaches {actual} V on the coldest morning, {limit} V allowed on the roof",
                lever="voltage allowed on the roof", also=(Eases("place.record_low_c", 1, "coldest morning"),)),
    Requirement("string.start_voltage", LEAST, "V", "regulators.start_above_v", -1, "maker's sheet",
                "{place} gives {actual} V when hot, {limit} V needed to start its regulator",
                lever="start voltage of {}",
                also=(Eases("place.record_high_c", -1, "hottest air"),
                      Eases("alternator_chargers.solar_start_above_v", -1, "start voltage of {}"))),
    Requirement("string.hot_voltage", LEAST, "V", "place.record_high_c", None, "maker's sheet from memory",
                "{place} gives {actual} V when hot, {limit} V needed to go on charging",
                also=(Eases("place.record_high_c", -1, "hottest air"),)),
    Requirement("string.short_circuit", MOST, "A", "regulators.pv_isc_max_a", 5, "maker's sheet",
                "{place} can drive {actual} A, {limit} A allowed into its regulator",
                lever="panel current that {} stand",
                also=(Eases("alternator_chargers.solar_isc_max_a", 5, "panel current that {} stand"),)),
    Requirement("string.over_panelling", MOST, "W", "regulators.over_panel_ratio", 0.2, "maker's sheet",
                "{place} has {actual} W of panels, {limit} W allowed on its regulator",
                lever="panel watts a watt of {}",
                also=(Eases("alternator_chargers.solar_over_panel_ratio", 0.2, "panel watts a watt of {}"),)),
    Requirement("string.system_voltage", MOST, "yes/no", "", None, "definition",
                "every part suits the system voltage",
                "parts that do not suit the system voltage: {actual}"),
    Requirement("string.portable", LEAST, "yes/no", "", None, "brief",
                "there is one input for the portable panel",
                "there is not one input for the portable panel; there must be"),
    Requirement("battery.voltage", MOST, "V", "system_voltages", None, "brief",
                "the bank is of {actual} V, the brief allows {limit} V"),
    Requirement("battery.parallel", MOST, "modules", "modules.parallel_max", 1, "maker's sheet",
                "modules in parallel: {actual}, {limit} allowed", lever="{} in parallel"),
    Requirement("battery.series", MOST, "modules", "modules.series_max", 1, "maker's sheet",
                "modules in series: {actual}, {limit} allowed", lever="{} in series"),
    Requirement("battery.discharge", MOST, "A", "modules.discharge_a", 10, "maker's sheet",
                "loads that run together draw {actual} A, the bank gives {limit} A", lever="discharge current of {}"),
    Requirement("battery.surge", MOST, "A", "modules.surge_a", 20, "maker's sheet",
                "the largest start draws {actual} A, the bank gives {limit} A for a moment",
                lever="surge current of {}"),
    Requirement("battery.charge", MOST, "A", "modules.charge_a", 10, "maker's sheet",
                "chargers together give {actual} A at most, the bank takes {limit} A", lever="charge current of {}"),
    Requirement("battery.cold", LEAST, "C", "bays.cold_rise_k", 1, "maker's sheet",
                "the bank's bay falls to {actual} C, {limit} C needed for charging"),
    Requirement("battery.place", MOST, "yes/no", "bays.battery", 1, "survey and rule set",
                "the bank may stand in {place}",
                "the bank may not stand in {place}, by the survey or the rule set"),
    Requirement("battery.module_fuse", LEAST, "fuses", "rules.module_fuse_from_ah", 50, "rule set",
                "fuses of each string of modules: {actual}, {limit} required",
                lever="bank that needs no fuse for each module"),
    Requirement("battery.module_over_load", LEAST, "A", "rules.fuse_over_load", -0.05, "rule set",
                "the fuse of each string of modules is {actual} A, {limit} A required at least for its share",
                lever="fuse rating for each ampere of load"),
    Requirement("battery.module_under_main", MOST, "A", "", None, "common practice, no source",
                "the fuse of each string of modules is {actual} A, {limit} A is the main fuse"),
    Requirement("battery.module_breaking", LEAST, "A", "fuses.breaking_12v_a", 100, "maker's sheet",
                "the fuse of each string of modules breaks {actual} A, {limit} A can flow"),
    Requirement("battery.lead_acid", MOST, "yes/no", "bays.air", None, "NEC 552.10(D) of 2008 and rule set",
                "nothing electric stands with the lead-acid battery in {place}, and its air does not reach the room",
                "something stands with the lead-acid battery in {place}, or its air reaches the room; neither may be"),
    Requirement("inverter.present", LEAST, "yes/no", "", None, "brief",
                "there is an inverter for the inverter circuits",
                "there is no inverter for the inverter circuits; there must be"),
    Requirement("inverter.power", LEAST, "W", "loads.watt_w", -50, "maker's sheet",
                "the inverter gives {actual} W in a hot bay, {limit} W required together"),
    Requirement("inverter.surge", LEAST, "W", "loads.surge_w", -100, "maker's sheet",
                "the inverter gives {actual} W for a moment, the largest start takes {limit} W"),
    Requirement("inverter.sag", LEAST, "V", "inverters.cut_off_v", -0.1, "maker's sheet",
                "the largest start leaves {actual} V at the inverter, it cuts off at {limit} V",
                lever="cut-off of {}", also=(Eases("inverter_chargers.cut_off_v", -0.1, "cut-off of {}"),)),
    Requirement("inverter.transfer", MOST, "A", "inverter_chargers.transfer_a", 4, "maker's sheet",
                "the inlet passes {actual} A through the inverter-charger, {limit} A allowed",
                lever="transfer current of {}",
                also=(Eases("inverters.transfer_a", 4, "transfer current of {}"),
                      Eases("inlet.rating_a", -4, "rating of the inlet"))),
    Requirement("charge.alternator", MOST, "A", "rules.alternator_share", 0.05, "rule set",
                "the alternator charger draws {actual} A, {limit} A allowed of the alternator",
                lever="share of the alternator", also=(Eases("alternator.rating_a", 10, "rating of the alternator"),)),
    Requirement("charge.plug", MOST, "A", "alternator.plug_a", 5, "survey",
                "the alternator charger draws {actual} A through the feed's plug, {limit} A allowed",
                lever="rating of the feed's plug"),
    Requirement("charge.inlet", MOST, "A", "inlet.rating_a", 1, "survey",
                "hook-up gives {actual} A, the inlet allows {limit} A", lever="rating of the inlet"),
    Requirement("charge.recharge", MOST, "h", "limits.recharge_h", 1, "brief",
                "hook-up fills the bank in {actual} h, {limit} h required", lever="to fill the bank on hook-up"),
    Requirement("charge.wanted", LEAST, "yes/no", "", None, "brief",
                "there is the {place} that the brief asks for",
                "there is no {place}; the brief asks for one"),
    Requirement("charge.step_down", LEAST, "A", "step_downs.out_a", 1, "maker's sheet",
                "the step-down gives {actual} A, the 12 V loads take {limit} A", lever="output of {}"),
    Requirement("bay.board", LEAST, "mm", "boards.length_mm", 10, "definition",
                "{place} lies inside its board: {actual} mm to spare, {limit} mm required"),
    Requirement("bay.stands", MOST, "yes/no", "", None, "maker's sheet",
                "{place} stands as its maker allows",
                "{place} stands as its maker does not allow"),
    Requirement("bay.depth", MOST, "mm", "boards.depth_mm", 10, "definition",
                "{place} takes {actual} mm in front of its board with its clearance, {limit} mm free"),
    Requirement("bay.opening", MOST, "yes/no", "bays.opening_length_mm", 10, "definition",
                "{place} passes the opening of its bay",
                "{place} does not pass the opening of its bay; it must"),
    Requirement("bay.clearance", LEAST, "mm", "parts.clear_mm", -5, "maker's sheet",
                "{place} has {actual} mm to its nearest neighbour or wall, {limit} mm required"),
    Requirement("bay.heat", MOST, "W", "limits.bay_air_max_c", 1, "common practice, no source",
                "parts in {place} give {actual} W, its walls and vents carry {limit} W", lever="air allowed in bays",
                also=(Eases("bays.cut_out_max_cm2", 50, "vent cut-out allowed in bay {}"),
                      Eases("modules.charge_max_c", 1, "warmest air that {} are charged in"))),
    Requirement("bay.vents", MOST, "cm2", "bays.cut_out_max_cm2", 50, "survey",
                "vents cut {actual} cm2 out of {place}, {limit} cm2 allowed", lever="vent cut-out allowed in bay {}"),
    Requirement("bay.vent_place", LEAST, "mm", "bays.length_mm", 10, "survey and common practice, no source",
                "the vents cut in {place} have {actual} mm of free wall that is high enough, {limit} mm required",
                lever="length of bay {}", also=(Eases("bays.height_mm", 10, "height of bay {}"),)),
    Requirement("bay.hydrogen", LEAST, "cm2", "bays.vent_cm2", 10, "rule set",
                "{place} holds a lead-acid battery: each opening is {actual} cm2, {limit} cm2 required"),
    Requirement("bay.electronics", MOST, "yes/no", "bays.electronics", 1, "survey and rule set",
                "{place} stands where electronics may",
                "{place} stands where electronics may not, by the survey or in sealed air"),
    Requirement("bay.reach", MOST, "yes/no", "boards.reach", 1, "common practice, no source",
                "{place} is within reach",
                "{place} is not within reach; it must be"),
    Requirement("bay.sight", MOST, "yes/no", "boards.sight", 1, "common practice, no source",
                "{place} is visible",
                "{place} is not visible; it must be"),
    Requirement("bay.mass", MOST, "kg", "bays.mass_max_kg", 5, "survey",
                "parts in {place} weigh {actual} kg, {limit} kg allowed", lever="load allowed in bay {}"),
    Requirement("run.complete", MOST, "yes/no", "", None, "definition",
                "{place} is fitted and connected as it must be",
                "{place} is missing, superfluous, in the wrong place or wrongly connected"),
    Requirement("run.length", MOST, "mm", "bays.cable_allowance_mm", 50, "survey",
                "the ends of {place} are {actual} mm apart on their board, its cable is cut to {limit} mm"),
    Requirement("run.section", LEAST, "mm2", "rules.dc_section_min_mm2", -0.5, "rule set",
                "{place} has {actual} mm2, {limit} mm2 required at least"),
    Requirement("run.ampacity", MOST, "A", "cables.ampacity_a", 5, "rule set",
                "{place} carries {actual} A, its cable is rated {limit} A there",
                lever="current that {} stand in free air",
                also=(Eases("cables.duct_ampacity_a", 5, "current that {} stand in a closed duct"),)),
    Requirement("run.terminal_heat", MOST, "A", "rules.terminal_c", 5, "rule set",
                "{place} is loaded or fused with {actual} A, at its terminals its cable is rated {limit} A",
                lever="temperature that terminals stand",
                also=(Eases("cables.ampacity_a", 5, "current that {} stand in free air"),)),
    Requirement("run.copper", MOST, "C", "cables.insulation_c", 15, "maker's sheet",
                "the copper of {place} reaches {actual} C at its fuse's current, its insulation is rated {limit} C",
                lever="temperature that insulation of {} stands"),
    Requirement("run.drop", MOST, "V", "rules.drop_share", 0.005,
                "rule set; from the bank to what draws, and each source's run by itself",
                "{place} with the runs that feed it loses {actual} V, {limit} V allowed"),
    Requirement("run.terminal", MOST, "mm2", "parts.terminal_mm2", 5, "maker's sheet",
                "{place} has {actual} mm2, its terminals take {limit} mm2"),
    Requirement("run.fuse_over_load", LEAST, "A", "rules.fuse_over_load", -0.05, "rule set",
                "the fuse of {place} is {actual} A, {limit} A required at least for its load",
                lever="fuse rating for each ampere of load"),
    Requirement("run.fuse_under_cable", MOST, "A", "rules.fuse_of_ampacity", 0.05, "rule set",
                "the fuse of {place} is {actual} A, {limit} A protects its cable",
                lever="fuse rating for each ampere its cable stands"),
    Requirement("run.fuse_breaking", LEAST, "A", "fuses.breaking_12v_a", 100, "maker's sheet",
                "the fuse of {place} breaks {actual} A, {limit} A can flow"),
    Requirement("run.fuse_voltage", LEAST, "V", "fuses.volt_max_v", 1, "maker's sheet",
                "the fuse of {place} is for {actual} V, {limit} V can reach it", lever="voltage of {}"),
    Requirement("run.fuse_holder", LEAST, "A", "holders.rating_max_a", 10, "maker's sheet",
                "the holder of the fuse of {place} is for {actual} A there, the fuse is {limit} A",
                lever="rating of {}"),
    Requirement("run.fuse_distance", MOST, "mm", "rules.fuse_distance_mm", 20, "rule set",
                "the main fuse is {actual} mm from the bank (to the far corners, as terminals are not surveyed, unless "
                "each string has its own fuse), {limit} mm allowed", lever="from the bank to its main fuse"),
    Requirement("run.tail_distance", MOST, "mm", "rules.tail_distance_mm", 20, "rule set",
                "the row of fuses is {actual} mm from the busbars, {limit} mm allowed",
                lever="from the busbars to the row of fuses"),
    Requirement("way.fill", MOST, "mm2", "ways.bore_mm", 2, "rule set",
                "cables fill {actual} mm2 of {place}, {limit} mm2 allowed", lever="bore of way {}"),
    Requirement("way.apart", MOST, "yes/no", "ways.divided", 1, "rule set",
                "{place} carries mains or low voltage, not both",
                "{place} carries mains and low voltage, and is not divided", lever="way {} divided in two"),
    Requirement("way.carries", MOST, "yes/no", "ways.carries", 1, "survey",
                "every cable in {place} is of a kind it may carry",
                "cables in {place} of a kind it may not carry: {actual}"),
    Requirement("protect.isolator", LEAST, "A", "isolators.rating_a", 10, "maker's sheet",
                "the isolator is for {actual} A, {limit} A can flow or pass the main fuse", lever="rating of {}"),
    Requirement("protect.busbar", LEAST, "A", "busbars.rating_a", 10, "maker's sheet",
                "the busbars are for {actual} A, {limit} A can flow or pass the main fuse", lever="rating of {}"),
    Requirement("protect.studs", LEAST, "studs", "busbars.studs", 1, "maker's sheet",
                "the busbars have {actual} studs beside the main run's, {limit} circuits need one",
                lever="studs on {}"),
    Requirement("protect.mains_box", LEAST, "circuits", "mains_boxes.circuits", 1, "maker's sheet",
                "the mains box takes {actual} circuits beside inlet and feeds of chargers, {limit} required",
                lever="circuits of {}"),
    Requirement("protect.inlet_breaker", LEAST, "A", "mains_boxes.inlet_a", 1, "maker's sheet",
                "the mains box is for {actual} A, the inlet is {limit} A", lever="inlet current of {}"),
    Requirement("measure.channels", LEAST, "channels", "shunts.channels", 1, "brief",
                "{actual} channels of {place} or more, {limit} required, one a current behind such a fuse",
                lever="channels of {}"),
    Requirement("measure.display", LEAST, "channels", "displays.channels", 1, "brief",
                "the display shows {actual} channels, {limit} required", lever="channels of {}"),
    Requirement("measure.switch", LEAST, "yes/no", "", None, "brief",
                "there is a switch for the inverter",
                "there is no switch for the inverter; there must be"),
    Requirement("entry.sealing", LEAST, "IP", "entries.ip_class", 1, "brief",
                "the entry for {place} is sealed to IP{actual}, IP{limit} required", lever="IP class of {}"),
    Requirement("entry.cables", LEAST, "cables", "entries.cables", 1, "maker's sheet",
                "the entries for {place} take {actual} cables that thick, {limit} go through",
                lever="cables through {}"),
    Requirement("entry.outside_wall", MOST, "yes/no", "boards.outside_wall", 1, "survey",
                "the entry for {place} is on an outside wall",
                "the entry for {place} is not on an outside wall; it must be"),
    Requirement("energy.floor", LEAST, "%", "limits.soc_floor_pct", -5, "brief",
                "in {place} the bank falls to {actual} %, {limit} % required: its floor, or what cold takes from it",
                lever="floor of the bank's charge",
                also=(Eases("scenarios.start_pct", 5, "charge at the start of {}"),)),
    Requirement("energy.returns", LEAST, "%", "scenarios.start_pct", -5, "brief",
                "{place} ends with the bank at {actual} %, it began at {limit} %", lever="charge at the start of {}"),
    Requirement("energy.autonomy", LEAST, "days", "limits.autonomy_days", -0.25, "brief",
                "the bank carries {actual} days without sun, {limit} required", lever="days without sun"),
    Requirement("mass.payload", MOST, "kg", "vehicle.payload_kg", 5, "survey",
                "the fit-out weighs {actual} kg, {limit} kg may be added", lever="payload"),
    Requirement("mass.axle", MOST, "kg", "vehicle.axle_max_kg", 10, "survey",
                "the {place} carries {actual} kg, {limit} kg allowed"),
    Requirement("mass.hitch_low", LEAST, "kg", "vehicle.hitch_min_kg", -2, "brief",
                "the hitch carries {actual} kg, {limit} kg required at least", lever="least hitch load wanted"),
    Requirement("mass.hitch_high", MOST, "kg", "vehicle.hitch_max_kg", 2, "survey",
                "the hitch carries {actual} kg, {limit} kg allowed", lever="allowed hitch load"),
    Requirement("mass.balance", MOST, "kg", "vehicle.balance_max_kg", 5, "brief",
                "the fit-out loads one side {actual} kg more than the other, {limit} kg allowed",
                lever="difference allowed between the sides"),
    Requirement("money.budget", MOST, "money", "limits.budget", 100, "brief",
                "the fit-out costs {actual}, {limit} allowed", lever="budget"),
    Requirement("claim.cost", MOST, "money", "", None, "definition",
                "the build says {place}, which is {actual} from what it costs, {limit} allowed"),
    Requirement("claim.mass", MOST, "kg", "", None, "definition",
                "the build says {place}, which is {actual} kg from what it weighs, {limit} allowed"),
)
# fmt: on

REGISTER: dict[str, Requirement] = {r.name: r for r in _ALL}
"""Name -> requirement, in the order reports list them."""


def named(name: str, place: str = "") -> str:
    """A requirement's name with its place.

    Raises
    ------
    KeyError
        If the register does not know the name.
    """
    return f"{REGISTER[name].name}[{place}]" if place else REGISTER[name].name
