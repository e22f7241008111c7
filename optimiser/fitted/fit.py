"""What a build consists of, looked up in the catalogue: parts by slot, and the currents between them."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property, wraps
from typing import Any, TypeVar

from optimiser.basis import air, loads, mains, volts
from optimiser.builds import Build, BuildProblem, PanelArray, PlacedPanel, Run
from optimiser.case import Bay, Case, Zone
from optimiser.catalogue import Catalogue
from optimiser.connections import POINTS, ROWS, SLOTS, connection_of
from optimiser.parts import (
    AlternatorCharger,
    Body,
    Breaker,
    ChangedOver,
    Charger,
    DcPanel,
    Fuse,
    Holder,
    Inverter,
    MainsCharger,
    Module,
    Panel,
    Part,
    Regulator,
    Shunt,
    StepDown,
    StringFuse,
)
from optimiser.physics import heat

P = TypeVar("P", bound=Part)
T = TypeVar("T")

WORKS = {"alternator_charger": ("driving",), "mains_charger": ("hook_up",)}
"""Slot of a charger -> when it can charge."""


@dataclass(frozen=True)
class SolarInput:
    """Where an array's strings end: a regulator or the solar input of an alternator charger."""

    volt_max_v: float
    isc_max_a: float
    out_a: float
    start_above_v: float
    over_panel_ratio: float
    efficiency: float
    terminal_mm2: float


@dataclass(frozen=True)
class Content:
    """Some alike parts in a slot. ``bay`` None: fitted in none (the engine bay, or its slot is missing)."""

    slot: str  # or the run, of a fuse that stands at its feed
    part: Part
    count: int
    bay: Bay | None
    existing: bool


@dataclass(frozen=True)
class Fit:
    """A build whose names are all known, with its parts at hand, and what was worked out of it."""

    case: Case
    catalogue: Catalogue
    build: Build
    known: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)  # see `once`

    def part(self, name: str, kind: type[P]) -> P:
        """A part of the catalogue that must be of a kind."""
        part = self.catalogue.find(name)
        if not isinstance(part, kind):
            raise BuildProblem(f"{name!r}: expected the name of a {kind.__name__}")
        return part

    def at(self, slot: str, kind: type[P]) -> P | None:
        """The part in a slot, or None."""
        fitted = self.build.slot(slot)
        return self.part(fitted.part, kind) if fitted else None

    def bay(self, slot: str) -> Bay | None:
        """The bay a slot's body stands in, or None."""
        fitted = self.build.slot(slot)
        return self.case.bay_of[self.case.board_of[fitted.board].bay] if fitted else None

    def node(self, slot: str) -> str | None:
        """The same as a node of the ways."""
        bay = self.bay(slot)
        return bay.name if bay else None

    # --- parts ---------------------------------------------------------------------------------------

    @property
    def system_v(self) -> int:
        """Nominal voltage of the system [V]."""
        return self.build.system_v

    @cached_property
    def module(self) -> Module:
        """The kind of module in the bank."""
        return self.part(self.build.bank.module, Module)

    @property
    def modules(self) -> int:
        """How many."""
        return self.build.bank.series * self.build.bank.parallel

    @cached_property
    def inverter(self) -> Inverter | None:
        """Inverter or inverter-charger, with the changeover of its circuits, if there is one."""
        part, device = self.at("inverter", Inverter), self.breakers.get("changeover")
        return ChangedOver(**part.model_dump(), changeover=device) if part and device else part

    @cached_property
    def alternator_charger(self) -> AlternatorCharger | None:
        """The charger fed by the engine."""
        return self.at("alternator_charger", AlternatorCharger)

    @cached_property
    def mains_charger(self) -> MainsCharger | None:
        """The charger fed from hook-up, other than an inverter-charger."""
        return self.at("mains_charger", MainsCharger)

    @cached_property
    def chargers(self) -> dict[str, Charger]:
        """Slot -> what charges the bank, beside regulators and an inverter-charger."""
        return {slot: part for slot in WORKS if isinstance(part := self.at(slot, Body), Charger)}

    @cached_property
    def step_down(self) -> StepDown | None:
        """What feeds the 12 V loads of another system voltage."""
        return self.at("step_down", StepDown) if self.system_v != 12 else None

    @cached_property
    def regulators(self) -> dict[str, Regulator]:
        """Slot -> regulator."""
        slots = [f for f in self.build.fitted if f.slot.startswith("regulator_")]
        return {f.slot: self.part(f.part, Regulator) for f in slots}

    @cached_property
    def shunts(self) -> tuple[tuple[Shunt, int], ...]:
        """Shunts and hubs of the shunt row, with their counts."""
        return tuple((self.part(m.shunt, Shunt), m.count) for m in self.build.measuring)

    @cached_property
    def main_holder(self) -> Holder | None:
        """The holder of the main fuse."""
        return self.at("main_fuse", Holder)

    @cached_property
    def module_holder(self) -> Holder | None:
        """The holder of the fuse of each string of modules."""
        fuse = self.build.bank.fuse
        return self.part(self.part(fuse, Fuse).holder, Holder) if fuse else None

    @cached_property
    def dc_panel(self) -> DcPanel | None:
        """The fuse panel of the 12 V loads; none where the brief has no circuits."""
        return self.part(self.build.dc_panel, DcPanel) if self.build.dc_panel else None

    @cached_property
    def breakers(self) -> dict[str, Breaker]:
        """Place in the mains box -> device there; none where the build does not fill it."""
        return {fitted.place: self.part(fitted.breaker, Breaker) for fitted in self.build.breakers}

    @property
    def bond_link(self) -> bool:
        """Whether neutral and earth of the inverter's circuits are joined by a link in a mains box that is filled."""
        return self.case.brief.fills_mains_box and self.inverter is not None and mains.takes_link(self.inverter)

    @cached_property
    def row_runs(self) -> tuple[Run, ...]:
        """The runs whose fuses stand in the fuse row, in its order."""
        return tuple(run for run in self.build.runs if run.fuse and in_row(run.name))

    @cached_property
    def row_holders(self) -> tuple[Holder, ...]:
        """The holders in the fuse row."""
        fuses = [self.part(run.fuse, Fuse) for run in self.row_runs]
        return tuple(self.part(fuse.holder, Holder) for fuse in fuses)

    def panel_of(self, array: PanelArray) -> Panel:
        """The panel type of an array."""
        return self.part(array.panel, Panel)

    def string_fuse(self, array: PanelArray) -> StringFuse | None:
        """The fuse of each of its strings, or None where they have none."""
        return self.part(array.fuse, StringFuse) if array.fuse else None

    def input_of(self, array: PanelArray) -> SolarInput | None:
        """Where an array's strings end, or None if that slot is empty."""
        if array.regulator in self.regulators:
            r = self.regulators[array.regulator]
            sizes = (r.pv_v_max, r.pv_isc_max_a, r.out_a, r.start_above_v, r.over_panel_ratio)
            return SolarInput(*sizes, r.efficiency_pct / 100, r.terminal_mm2)
        a = self.alternator_charger
        if array.regulator == "alternator_charger" and a:
            sizes = (a.solar_v_max, a.solar_isc_max_a, a.solar_out_a, a.solar_start_above_v, a.solar_over_panel_ratio)
            return SolarInput(*sizes, a.efficiency_pct / 100, a.terminal_mm2)
        return None

    @property
    def solar_on_alternator(self) -> bool:
        """Whether an array ends at the alternator charger."""
        return any(array.regulator == "alternator_charger" for array in self.build.arrays)

    # --- what the case asks --------------------------------------------------------------------------

    @cached_property
    def peaks(self) -> loads.Peaks:
        """The worst loads that run together."""
        return loads.peaks(self.case)

    @property
    def hot_c(self) -> float:
        """Hottest outside air of any scenario [C]."""
        return air.hottest_c(self.case)

    @property
    def cold_c(self) -> float:
        """Coldest outside air of any scenario [C]."""
        return min(s.temp_min_c for s in self.case.scenarios)

    @cached_property
    def derate(self) -> float:
        """Share of its current a charger gives in a hot bay."""
        return heat.charger_derate(air_c=self.case.limits.bay_air_max_c)

    # --- currents ------------------------------------------------------------------------------------

    @property
    def mains_charge_a(self) -> float:
        """Of mains charger and inverter-charger together, before derating [A]."""
        charger, inverter = self.mains_charger, self.inverter
        return (charger.charge_a if charger else 0.0) + (inverter.charge_a if inverter else 0.0)

    @property
    def hook_up_a(self) -> float:
        """The same as hook-up gives it in a hot bay, if there is any [A]."""
        return self.derate * self.mains_charge_a if self.case.brief.inlet else 0.0

    @cached_property
    def charge_a(self) -> dict[str, float]:
        """State -> what all chargers that can work in it give the bank at most, as in a bay that is not hot [A]."""
        ends = [(a.regulator, self.input_of(a)) for a in self.build.arrays]
        states = {"driving": 0.0, "hook_up": self.inverter.charge_a if self.inverter else 0.0}
        for state in states:
            working = [slot for slot in self.chargers if state in WORKS[slot]]
            states[state] += sum(self.charger_a(slot) for slot in working)
            states[state] += sum(end.out_a for slot, end in ends if end and slot not in working)
        return {state: amps for state, amps in states.items() if amps}

    def charger_a(self, slot: str) -> float:
        """The most a charger gives [A]."""
        return self.alternator_a if slot == "alternator_charger" else self.chargers[slot].charge_a

    @property
    def alternator_a(self) -> float:
        """The most the alternator charger gives, by engine and sun together [A]."""
        charger = self.alternator_charger
        return volts.alternator_output_a(charger, with_solar=self.solar_on_alternator) if charger else 0.0

    @property
    def loads_a(self) -> float:
        """What the 12 V loads take from the bank at their worst [A]."""
        return volts.dc_loads_w(self.peaks.dc_w, self.step_down) / self.system_v

    @cached_property
    def main_a(self) -> float:
        """The most the battery path carries for long, in or out [A]."""
        return max([self.draw_a, *self.charge_a.values()])

    @cached_property
    def draw_a(self) -> float:
        """The most drawn from the bank for long: the drop that loads feel [A]."""
        inverter = self.inverter
        return self.loads_a + (volts.inverter_input_a(inverter, inverter.watt_25c_w) if inverter else 0.0)

    # --- what is where -------------------------------------------------------------------------------

    @cached_property
    def contents(self) -> tuple[Content, ...]:
        """All parts that stand in slots, with the fuses in their holders."""
        found = [Content("bank", self.module, self.modules, self.bay("bank"), existing=False)]
        if self.module_holder:
            for part in (self.part(self.build.bank.fuse, Fuse), self.module_holder):
                found.append(Content("bank", part, self.build.bank.parallel, self.bay("bank"), existing=False))
        for fitted in self.build.fitted:
            if fitted.slot != "bank" and fitted.slot not in ROWS:
                found.append(
                    Content(fitted.slot, self.part(fitted.part, Body), 1, self.bay(fitted.slot), fitted.existing)
                )
        for run in self.build.runs:
            if run.fuse:
                fuse = self.part(run.fuse, Fuse)
                slot = "main_fuse" if run.name == "main" else "fuse_row" if in_row(run.name) else run.name
                found.append(Content(slot, fuse, 1, self.bay(slot), existing=False))
                in_panel = self.dc_panel and connection_of(run.name).guard == "panel"
                if run.name != "main" and not in_panel:  # the main fuse's holder has a slot of its own
                    found.append(Content(slot, self.part(fuse.holder, Holder), 1, self.bay(slot), existing=False))
        for array in self.build.arrays:
            if array.fuse:
                in_line = self.part(array.fuse, StringFuse)
                found.append(Content(array.name, in_line, array.parallel, None, existing=False))
        if self.dc_panel:
            found.append(Content("dc_panel", self.dc_panel, 1, None, existing=False))
        bay = self.bay("mains_box")
        found += [Content(place, device, 1, bay, existing=False) for place, device in self.breakers.items()]
        bay = self.bay("shunt_row")
        found += [Content("shunt_row", shunt, count, bay, existing=False) for shunt, count in self.shunts]
        return tuple(found)

    @cached_property
    def zone_of(self) -> dict[str, Zone]:
        """Name -> zone."""
        return {zone.name: zone for zone in self.case.zones}

    def roof_panels(self, array: PanelArray) -> list[PlacedPanel]:
        """The panels labelled as an array's, whatever they are."""
        return [p for p in self.build.panels if p.string.rpartition(".")[0] == array.name]


def once(work_out: Callable[[Fit], T]) -> Callable[[Fit], T]:
    """What is worked out of a fit the first time it is asked for, and kept with the fit; not to be changed."""

    @wraps(work_out)
    def kept(fit: Fit) -> T:
        if work_out not in fit.known:
            fit.known[work_out] = work_out(fit)
        found: T = fit.known[work_out]
        return found

    return kept


def in_row(run: str) -> bool:
    """Whether a run's fuse, if a build gives it one, stands in the fuse row: all but the bank's, and those at feeds."""
    return connection_of(run).guard not in ("main_fuse", "feed", "panel")


def breaker_places(case: Case) -> tuple[str, ...]:
    """All places of devices in a mains box that the build fills."""
    runs = (
        "mains_inlet",
        "mains_feed",
        "inverter_in",
        "inverter_out",
        *(f"outlet_{c.name}" for c in case.brief.circuits),
    )
    return (*runs, "residual_hook_up", "residual_inverter", "changeover")


def slot_of(part: Part | None) -> str | None:
    """The slot an existing part fills, or None if no such part can be kept."""
    return next((name for name, slot in SLOTS.items() if slot.stays and isinstance(part, slot.part)), None)


def node_names(case: Case) -> frozenset[str]:
    """All nodes a run can start or end at."""
    brief = case.brief
    points = [brief.dc_panel_point, *(p.point for p in brief.pass_throughs)]
    points += [circuit.point for circuit in brief.circuits if circuit.point]
    points += [circuit.point for circuit in brief.dc_circuits if circuit.point]
    points += [x.point for x in (getattr(brief, table) for table in POINTS) if x]
    ends = [node for way in case.ways for node in (way.start, way.end)]
    return frozenset([*points, *ends, *case.bay_of, *(zone.entry for zone in case.zones)])
