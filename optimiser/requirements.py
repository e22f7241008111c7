"""THE register of requirements: every limit a build is held to, by name.

The model posts these names, the audit checks them, explanations quote their sentences. A place may be
added to a name, as in ``bay.heat[left_seat]``. ``limit`` says where the limit is set: a field of the case,
a figure of the rule set or a column of the catalogue; ``step`` is the move that eases it, which its price is
quoted for. A requirement whose source is "definition" says what a build is and cannot be given up, though a value of
the survey may ease it: a body lies inside its board, and the board may be made longer.
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
class Requirement:
    """One named limit."""

    name: str
    sense: Sense
    unit: str
    limit: str
    step: float | None
    source: str
    sentence: str  # with {place}, {limit}, {actual}

    @property
    def is_definition(self) -> bool:
        """Whether it is always true of a build rather than wanted of it."""
        return self.source == "definition"

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
                "every panel of {place} lies inside the zone: {actual} mm to spare, {limit} mm wanted"),
    Requirement("roof.overlap", LEAST, "mm", "", None, "definition",
                "panels of {place} do not overlap: smallest gap {actual} mm, above {limit} mm wanted"),
    Requirement("roof.panel_gap", LEAST, "mm", "limits.panel_gap_mm", -5, "common practice, no source",
                "panels of {place} stand {actual} mm apart, {limit} mm wanted"),
    Requirement("roof.set_back", LEAST, "mm", "zones.set_back_mm", -10, "common practice, no source",
                "panels of {place} keep {actual} mm from its side and rear edges, {limit} mm wanted"),
    Requirement("roof.front_set_back", LEAST, "mm", "zones.front_set_back_mm", -10, "common practice, no source",
                "panels of {place} keep {actual} mm from its front edge, {limit} mm wanted"),
    Requirement("roof.body", LEAST, "mm", "", None, "definition",
                "panels lie beside {place}, not over it: {actual} mm from it, {limit} mm wanted"),
    Requirement("roof.obstacle", LEAST, "mm", "obstacles.clear_mm", -10, "common practice, no source",
                "panels keep {actual} mm from {place}, {limit} mm wanted"),
    Requirement("roof.lid", LEAST, "mm", "obstacles.lid_reach_mm", -10, "survey",
                "the lid of {place} has {actual} mm to open into, {limit} mm wanted"),
    Requirement("roof.shadow", LEAST, "mm", "rules.shadow_elevation_deg", 5, "rule set",
                "panels keep {actual} mm from {place} for its shadow, {limit} mm wanted"),
    Requirement("roof.walkway", LEAST, "mm", "zones.walkway_mm", -25, "brief",
                "the walkway of {place} is {actual} mm wide, {limit} mm wanted"),
    Requirement("roof.mass", MOST, "kg", "zones.mass_max_kg", 5, "survey",
                "panels on {place} weigh {actual} kg, {limit} kg allowed"),
    Requirement("roof.crown", MOST, "mm", "limits.crown_gap_mm", 5, "common practice, no source",
                "rigid panels of {place} stand {actual} mm off the curved skin, {limit} mm allowed"),
    Requirement("roof.bend", LEAST, "mm", "panels.bend_radius_mm", -100, "maker's sheet",
                "flexible panels of {place} are bent to a radius of {actual} mm, {limit} mm wanted"),
    Requirement("roof.rigid", MOST, "panels", "zones.rigid", 1, "survey",
                "rigid panels on {place}: {actual}, {limit} allowed"),
    Requirement("roof.types", MOST, "types", "", None, "common practice, no source",
                "types of panel on {place}: {actual}, {limit} allowed"),
    Requirement("string.complete", LEAST, "panels", "", None, "definition",
                "panels of {place} of its type and light: {actual}, {limit} wanted"),
    Requirement("string.regulators", MOST, "regulators", "limits.regulators_at_most", 1, "brief",
                "regulators fitted: {actual}, {limit} allowed"),
    Requirement("string.parallel", MOST, "strings", "rules.string_fuse_from", 1, "rule set",
                "strings of {place} in parallel: {actual}, {limit} allowed without a fuse each"),
    Requirement("string.cold_voltage", MOST, "V", "regulators.pv_v_max", 5, "maker's sheet and rule set",
                "{place} reaches {actual} V on the coldest morning, {limit} V allowed by its regulator"),
    Requirement("string.ceiling", MOST, "V", "rules.solar_ceiling_v", 10, "rule set",
                "{place} reaches {actual} V on the coldest morning, {limit} V allowed on the roof"),
    Requirement("string.start_voltage", LEAST, "V", "regulators.start_above_v", -1, "maker's sheet",
                "{place} stands at {actual} V when hot, {limit} V needed to start its regulator"),
    Requirement("string.hot_voltage", LEAST, "V", "place.record_high_c", None, "maker's sheet from memory",
                "{place} gives {actual} V when hot, {limit} V needed to go on charging"),
    Requirement("string.short_circuit", MOST, "A", "regulators.pv_isc_max_a", 5, "maker's sheet",
                "{place} can drive {actual} A, {limit} A allowed into its regulator"),
    Requirement("string.over_panelling", MOST, "W", "regulators.over_panel_ratio", 0.2, "maker's sheet",
                "{place} has {actual} W of panels, {limit} W allowed on its regulator"),
    Requirement("string.system_voltage", MOST, "misfits", "", None, "definition",
                "parts that do not suit the system voltage: {actual}, {limit} allowed"),
    Requirement("string.portable", LEAST, "inputs", "", None, "brief",
                "inputs for the portable panel: {actual}, {limit} wanted"),
    Requirement("battery.voltage", MOST, "V", "system_voltages", None, "brief",
                "the bank is of {actual} V, the brief allows {limit} V"),
    Requirement("battery.parallel", MOST, "modules", "modules.parallel_max", 1, "maker's sheet",
                "modules in parallel: {actual}, {limit} allowed"),
    Requirement("battery.series", MOST, "modules", "modules.series_max", 1, "maker's sheet",
                "modules in series: {actual}, {limit} allowed"),
    Requirement("battery.discharge", MOST, "A", "modules.discharge_a", 10, "maker's sheet",
                "loads that run together draw {actual} A, the bank gives {limit} A"),
    Requirement("battery.surge", MOST, "A", "modules.surge_a", 20, "maker's sheet",
                "the largest start draws {actual} A, the bank gives {limit} A for a moment"),
    Requirement("battery.charge", MOST, "A", "modules.charge_a", 10, "maker's sheet",
                "chargers together give {actual} A at most, the bank takes {limit} A"),
    Requirement("battery.cold", LEAST, "C", "bays.cold_rise_k", 1, "maker's sheet",
                "the bank's bay falls to {actual} C, {limit} C needed for charging"),
    Requirement("battery.place", MOST, "breaches", "bays.battery", 1, "survey and rule set",
                "rules against the bank in {place}: {actual}, {limit} allowed"),
    Requirement("battery.module_fuse", LEAST, "fuses", "rules.module_fuse_from_ah", 50, "rule set",
                "fuses of each string of modules: {actual}, {limit} wanted"),
    Requirement("battery.module_over_load", LEAST, "A", "rules.fuse_over_load", -0.05, "rule set",
                "the fuse of each string of modules is {actual} A, {limit} A wanted at least for its share"),
    Requirement("battery.module_under_main", MOST, "A", "", None, "common practice, no source",
                "the fuse of each string of modules is {actual} A, {limit} A is the main fuse"),
    Requirement("battery.module_breaking", LEAST, "A", "fuses.breaking_12v_a", 100, "maker's sheet",
                "the fuse of each string of modules breaks {actual} A, {limit} A can flow"),
    Requirement("battery.lead_acid", MOST, "breaches", "bays.air", None, "NEC 552.10(D) of 2008 and rule set",
                "what stands with the lead-acid battery in {place}, and air from there to the room: {actual}, "
                "{limit} allowed"),
    Requirement("inverter.present", LEAST, "inverters", "", None, "brief",
                "inverters for the inverter circuits: {actual}, {limit} wanted"),
    Requirement("inverter.power", LEAST, "W", "loads.watt_w", -50, "maker's sheet",
                "the inverter gives {actual} W in a hot bay, {limit} W wanted together"),
    Requirement("inverter.surge", LEAST, "W", "loads.surge_w", -100, "maker's sheet",
                "the inverter gives {actual} W for a moment, the largest start wants {limit} W"),
    Requirement("inverter.sag", LEAST, "V", "inverters.cut_off_v", -0.1, "maker's sheet",
                "the largest start leaves {actual} V at the inverter, it cuts off at {limit} V"),
    Requirement("inverter.transfer", MOST, "A", "inverter_chargers.transfer_a", 4, "maker's sheet",
                "the inlet passes {actual} A through the inverter-charger, {limit} A allowed"),
    Requirement("charge.alternator", MOST, "A", "rules.alternator_share", 0.05, "rule set",
                "the alternator charger draws {actual} A, {limit} A allowed of the alternator"),
    Requirement("charge.plug", MOST, "A", "alternator.plug_a", 5, "survey",
                "the alternator charger draws {actual} A through the feed's plug, {limit} A allowed"),
    Requirement("charge.inlet", MOST, "A", "inlet.rating_a", 1, "survey",
                "hook-up gives {actual} A, the inlet allows {limit} A"),
    Requirement("charge.recharge", MOST, "h", "limits.recharge_h", 1, "brief",
                "hook-up fills the bank in {actual} h, {limit} h wanted"),
    Requirement("charge.wanted", LEAST, "chargers", "", None, "brief",
                "the {place} that the brief asks for: {actual} fitted, {limit} wanted"),
    Requirement("charge.step_down", LEAST, "A", "step_downs.out_a", 1, "maker's sheet",
                "the step-down gives {actual} A, the 12 V loads want {limit} A"),
    Requirement("bay.board", LEAST, "mm", "boards.length_mm", 10, "definition",
                "{place} lies inside its board: {actual} mm to spare, {limit} mm wanted"),
    Requirement("bay.stands", MOST, "breaches", "", None, "maker's sheet",
                "how {place} stands, against its maker's sheet: {actual} breaches, {limit} allowed"),
    Requirement("bay.depth", MOST, "mm", "boards.depth_mm", 10, "definition",
                "{place} stands {actual} mm off its board with its clearance, {limit} mm free"),
    Requirement("bay.opening", MOST, "breaches", "bays.opening_length_mm", 10, "definition",
                "{place} through the opening of its bay: {actual} breaches, {limit} allowed"),
    Requirement("bay.clearance", LEAST, "mm", "parts.clear_mm", -5, "maker's sheet",
                "{place} has {actual} mm to its nearest neighbour or wall, {limit} mm wanted"),
    Requirement("bay.heat", MOST, "W", "limits.bay_air_max_c", 1, "common practice, no source",
                "parts in {place} give {actual} W, its walls and vents carry {limit} W"),
    Requirement("bay.vents", MOST, "cm2", "bays.cut_out_max_cm2", 50, "survey",
                "vents cut {actual} cm2 out of {place}, {limit} cm2 allowed"),
    Requirement("bay.vent_place", LEAST, "mm", "bays.length_mm", 10, "survey and common practice, no source",
                "the vents cut in {place} have {actual} mm of free wall that is high enough, {limit} mm wanted"),
    Requirement("bay.hydrogen", LEAST, "cm2", "bays.vent_cm2", 10, "rule set",
                "{place} holds a lead-acid battery: each opening is {actual} cm2, {limit} cm2 wanted"),
    Requirement("bay.electronics", MOST, "breaches", "bays.electronics", 1, "survey and rule set",
                "where {place} stands, against the places for electronics: {actual} breaches, {limit} allowed"),
    Requirement("bay.reach", MOST, "breaches", "boards.reach", 1, "common practice, no source",
                "{place} within a person's reach: {actual} breaches, {limit} allowed"),
    Requirement("bay.sight", MOST, "breaches", "boards.sight", 1, "common practice, no source",
                "{place} within sight: {actual} breaches, {limit} allowed"),
    Requirement("bay.mass", MOST, "kg", "bays.mass_max_kg", 5, "survey",
                "parts in {place} weigh {actual} kg, {limit} kg allowed"),
    Requirement("run.complete", MOST, "breaks", "", None, "definition",
                "{place} is there, and its ways join its ends: {actual} breaks, {limit} allowed"),
    Requirement("run.length", MOST, "mm", "bays.lead_mm", 50, "survey",
                "the ends of {place} stand {actual} mm apart on their board, its cable is cut to {limit} mm"),
    Requirement("run.section", LEAST, "mm2", "rules.dc_section_min_mm2", -0.5, "rule set",
                "{place} has {actual} mm2, {limit} mm2 wanted at least"),
    Requirement("run.ampacity", MOST, "A", "cables.ampacity_a", 5, "rule set",
                "{place} carries {actual} A, its cable stands {limit} A there"),
    Requirement("run.terminal_heat", MOST, "A", "rules.terminal_c", 5, "rule set",
                "{place} is loaded or fused with {actual} A, on its terminals its cable stands {limit} A"),
    Requirement("run.copper", MOST, "C", "cables.insulation_c", 15, "maker's sheet",
                "the copper of {place} reaches {actual} C at its fuse's current, its insulation stands {limit} C"),
    Requirement("run.drop", MOST, "V", "rules.drop_share", 0.005,
                "rule set; from the bank to what draws, and each source's run by itself",
                "{place} with the runs that feed it loses {actual} V, {limit} V allowed"),
    Requirement("run.terminal", MOST, "mm2", "parts.terminal_mm2", 5, "maker's sheet",
                "{place} has {actual} mm2, its terminals take {limit} mm2"),
    Requirement("run.fuse_over_load", LEAST, "A", "rules.fuse_over_load", -0.05, "rule set",
                "the fuse of {place} is {actual} A, {limit} A wanted at least for its load"),
    Requirement("run.fuse_under_cable", MOST, "A", "rules.fuse_of_ampacity", 0.05, "rule set",
                "the fuse of {place} is {actual} A, {limit} A protects its cable"),
    Requirement("run.fuse_breaking", LEAST, "A", "fuses.breaking_12v_a", 100, "maker's sheet",
                "the fuse of {place} breaks {actual} A, {limit} A can flow"),
    Requirement("run.fuse_voltage", LEAST, "V", "fuses.volt_max_v", 1, "maker's sheet",
                "the fuse of {place} is for {actual} V, {limit} V can stand on it"),
    Requirement("run.fuse_holder", LEAST, "A", "holders.rating_max_a", 10, "maker's sheet",
                "the holder of the fuse of {place} is for {actual} A there, the fuse is {limit} A"),
    Requirement("run.fuse_distance", MOST, "mm", "rules.fuse_distance_mm", 20, "rule set",
                "the main fuse is {actual} mm from the bank (to the far corners, as terminals are not surveyed, unless "
                "each string has its own fuse), {limit} mm allowed"),
    Requirement("run.tail_distance", MOST, "mm", "rules.tail_distance_mm", 20, "rule set",
                "the row of fuses is {actual} mm from the busbars, {limit} mm allowed"),
    Requirement("way.fill", MOST, "mm2", "ways.bore_mm", 2, "rule set",
                "cables fill {actual} mm2 of {place}, {limit} mm2 allowed"),
    Requirement("way.apart", MOST, "cables", "ways.divided", 1, "rule set",
                "cables in {place} beside others of the other voltage: {actual}, {limit} allowed"),
    Requirement("way.carries", MOST, "cables", "ways.carries", 1, "survey",
                "cables of a kind that may not take {place}: {actual}, {limit} allowed"),
    Requirement("protect.isolator", LEAST, "A", "isolators.rating_a", 10, "maker's sheet",
                "the isolator is for {actual} A, {limit} A can flow or pass the main fuse"),
    Requirement("protect.busbar", LEAST, "A", "busbars.rating_a", 10, "maker's sheet",
                "the busbars are for {actual} A, {limit} A can flow or pass the main fuse"),
    Requirement("protect.studs", LEAST, "studs", "busbars.studs", 1, "maker's sheet",
                "the busbars have {actual} studs beside the main run's, {limit} circuits need one"),
    Requirement("protect.mains_box", LEAST, "circuits", "mains_boxes.circuits", 1, "maker's sheet",
                "the mains box takes {actual} circuits beside inlet and feeds of chargers, {limit} wanted"),
    Requirement("protect.inlet_breaker", LEAST, "A", "mains_boxes.inlet_a", 1, "maker's sheet",
                "the mains box is for {actual} A, the inlet is {limit} A"),
    Requirement("measure.channels", LEAST, "channels", "shunts.channels", 1, "brief",
                "{actual} channels of {place} or more, {limit} currents to measure behind fuses of so much"),
    Requirement("measure.display", LEAST, "channels", "displays.channels", 1, "brief",
                "the display shows {actual} channels, {limit} wanted"),
    Requirement("measure.switch", LEAST, "switches", "", None, "brief",
                "switches for the inverter: {actual}, {limit} wanted"),
    Requirement("entry.sealing", LEAST, "IP", "entries.ip_class", 1, "brief",
                "the entry for {place} is sealed to IP{actual}, IP{limit} wanted"),
    Requirement("entry.cables", LEAST, "cables", "entries.cables", 1, "maker's sheet",
                "the entries for {place} take {actual} cables that thick, {limit} go through"),
    Requirement("entry.skin", MOST, "breaches", "boards.skin", 1, "survey",
                "the entry for {place} on an outside wall: {actual} breaches, {limit} allowed"),
    Requirement("energy.floor", LEAST, "%", "limits.soc_floor_pct", -5, "brief",
                "in {place} the bank falls to {actual} %, {limit} % wanted: its floor, or what cold keeps back"),
    Requirement("energy.returns", LEAST, "%", "scenarios.start_pct", -5, "brief",
                "{place} ends with the bank at {actual} %, it began at {limit} %"),
    Requirement("energy.autonomy", LEAST, "days", "limits.autonomy_days", -0.25, "brief",
                "the bank carries {actual} days without sun, {limit} wanted"),
    Requirement("mass.payload", MOST, "kg", "vehicle.payload_kg", 5, "survey",
                "the fit-out weighs {actual} kg, {limit} kg may be added"),
    Requirement("mass.axle", MOST, "kg", "vehicle.axle_max_kg", 10, "survey",
                "the {place} carries {actual} kg, {limit} kg allowed"),
    Requirement("mass.hitch_low", LEAST, "kg", "vehicle.hitch_min_kg", -2, "brief",
                "the hitch carries {actual} kg, {limit} kg wanted at least"),
    Requirement("mass.hitch_high", MOST, "kg", "vehicle.hitch_max_kg", 2, "survey",
                "the hitch carries {actual} kg, {limit} kg allowed"),
    Requirement("mass.balance", MOST, "kg", "vehicle.balance_max_kg", 5, "brief",
                "the fit-out loads one side {actual} kg more than the other, {limit} kg allowed"),
    Requirement("money.budget", MOST, "money", "limits.budget", 100, "brief",
                "the fit-out costs {actual}, {limit} allowed"),
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
