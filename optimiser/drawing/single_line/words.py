"""What a single-line diagram says beside its symbols: taken from the build, the catalogue and the audit."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil, isfinite

from optimiser.auditing import Finding
from optimiser.basis import money
from optimiser.builds import PanelArray
from optimiser.drawing.single_line.fills import BLANK
from optimiser.fitted import Fit
from optimiser.fitted.channels import channels
from optimiser.fitted.currents import currents
from optimiser.fitted.drawn import tail_mm
from optimiser.fitted.links import in_words
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs, source_v_of
from optimiser.parts import AlternatorCharger, Busbar, Display, Entry, Fuse, Isolator, MainsBox

BY_ELECTRICIAN = "Neutral-earth bond, earthing and mains protection: by a licensed electrician."
Lines = list[str]


@dataclass(frozen=True)
class Words:
    """Texts for one build."""

    fit: Fit
    findings: tuple[Finding, ...]

    @property
    def laid(self) -> Mapping[str, RoutedRun]:
        """Name -> run as it lies."""
        return routed_runs(self.fit)

    @property
    def wanted(self) -> Mapping[str, RequiredRun]:
        """Name -> run there must be."""
        return required_runs(self.fit)

    # --- runs and fuses ------------------------------------------------------------------------------

    def run(self, name: str) -> Lines:
        """Number and name, cores and section, cut length, type of cable."""
        laid = self.laid.get(name)
        if laid is None:
            return [name, "not in the build"]
        named = numbered(self.fit, name)
        section = f"{laid.cable.section_mm2:g} mm2, " if laid.cable.section_mm2 else ""
        cores = f"{money.cores(laid.cable)} x " if laid.cable.paired else ""
        return [named, f"{cores}{section}{laid.cut_words} m", laid.cable.name]

    def fuse(self, name: str) -> Lines:
        """Type, rating, family, voltage and what it breaks; that it lacks one, where one is due."""
        laid, wanted = self.laid.get(name), self.wanted.get(name)
        if laid is None:
            return []
        if laid.fuse is None:
            return ["no fuse", "in the build"] if wanted and wanted.feed else []
        return [*_told(laid.fuse, source_v_of(self.fit, wanted) if wanted else None), *self._why(name)]

    def _why(self, name: str) -> Lines:
        """Why it is larger than what its run carries: how the least rating that the audit asks comes about."""
        found = next((f for f in self.findings if (f.name, f.place) == ("run.fuse_over_load", name)), None)
        fuse, wanted = self.laid[name].fuse, self.wanted.get(name)
        if not fuse or not found or not wanted or not 0 < wanted.amps < fuse.rating_a:
            return []
        factor = self.fit.case.rules["fuse_over_load"]
        return [f"at least {factor:g} x {wanted.amps:.3g} A"]

    # --- bodies --------------------------------------------------------------------------------------

    def slot(self, slot: str, size: str = "", *about: str) -> Lines:
        """Slot, part with its size, what else is worth knowing, and the board it stands on."""
        fitted = self.fit.build.slot(slot)
        if fitted is None:
            return [slot, "not in the build"]
        existing = ["existing"] if fitted.existing else []
        part = ", ".join(word for word in (fitted.part, size) if word)
        return [line for line in (slot, part, *about, *existing, f"on {fitted.board}") if line]

    def array(self, array: PanelArray) -> Lines:
        """Panel, how its strings are made, and where it is."""
        brief = self.fit.case.brief
        at = (
            f"roof plane {array.roof_plane}"
            if array.roof_plane
            else f"portable, at {brief.portable.point}"
            if brief.portable
            else ""
        )
        strings = f"{array.series} in series,", f"{array.parallel} in parallel"
        return [array.name, array.panel, *strings, *([at] if at else [])]

    def disconnector(self, array: PanelArray) -> Lines:
        """What a disconnector between panels and regulator is for: the audit's figures, and both rounded up."""
        found = {f.name: f for f in self.findings if f.place == array.name}
        volt, amps = found.get("string.ceiling"), found.get("string.short_circuit")
        factor = self.fit.case.rules["solar_current_factor"]
        least = f"at least {_whole(volt)} V d.c., {_whole(amps)} A"
        told = [f"cold Voc {volt.numbers[1]} V"] if volt else ["not audited"]
        told += [f"{factor:g} x Isc = {amps.numbers[1]} A"] if amps else []
        return ["PV disconnector", f"to be filled in: {BLANK}", *([least] if volt and amps else []), *told]

    def string_fuse(self, array: PanelArray) -> Lines:
        """The fuse of each of its strings."""
        fuse = self.fit.string_fuse(array)
        return [array.fuse, f"{fuse.rating_a:g} A, on each string"] if fuse else []

    def gland(self, array: PanelArray) -> Lines:
        """What its cables come through the roof by."""
        fitted = [e for e in self.fit.build.entries if e.purpose == array.roof_plane]
        parts = dict.fromkeys(self.fit.part(e.entry, Entry) for e in fitted)
        return ["gland", *([line for p in parts for line in (p.name, f"IP{p.ip_class}")] or ["not in the build"])]

    def actual(self, name: str, place: str, unit: str) -> str:
        """What the audit found, as it shows it."""
        found = [f for f in self.findings if (f.name, f.place) == (name, place)]
        return f"{found[0].numbers[1]} {unit}" if found else "not audited"

    def regulator(self, slot: str) -> Lines:
        """A regulator with its limits."""
        part = self.fit.regulators.get(slot)
        return self.slot(slot, f"{part.out_a:g} A, up to {part.pv_v_max:g} V" if part else "")

    def charger(self, slot: str) -> Lines:
        """What charges the bank from a source of its own, with its solar input where that is used."""
        part, solar = self.fit.chargers.get(slot), ""
        if isinstance(part, AlternatorCharger) and self.fit.solar_on_alternator:
            solar = f"solar input up to {part.solar_v_max:g} V" if part.solar_v_max else "no solar input"
        return self.slot(slot, f"{part.charge_a:g} A" if part else "", solar)

    def step_down(self) -> Lines:
        """What feeds the 12 V loads."""
        part = self.fit.step_down
        return self.slot("step_down", f"{part.system_v} V to 12 V, {part.out_a:g} A" if part else "")

    def inverter(self) -> Lines:
        """Inverter or inverter-charger."""
        part = self.fit.inverter
        if part is None:
            return self.slot("inverter")
        power = f"{part.system_v} V, {part.watt_25c_w:g} W"
        if not part.transfers:
            return self.slot("inverter", power)
        return self.slot("inverter", power, f"charges {part.charge_a:g} A", f"transfer switch {part.transfer_a:g} A")

    def bank(self) -> Lines:
        """Modules, voltage and capacity, fuses of strings, links and where both conductors are taken off."""
        bank, module = self.fit.build.bank, self.fit.module
        volt, capacity = bank.series * module.nominal_v, bank.parallel * module.capacity_ah
        modules = f"{bank.series} in series x {bank.parallel} in parallel"
        off = [f"+ off string 1, - off string {bank.parallel}"] if bank.parallel > 1 else []
        first, *kinds = in_words(self.fit) or ["not in the build"]
        links = [f"links: {first}", *kinds] if self.fit.modules > 1 else []
        about = (module.name, modules, *self._module_fuses(), f"{volt:g} V, {capacity:g} Ah", *off, *links)
        return self.slot("bank", *about)

    def _module_fuses(self) -> Lines:
        """The fuse on the terminal of each string of modules."""
        name = self.fit.build.bank.fuse
        return ["each string with", *_told(self.fit.part(name, Fuse), self.fit.system_v)] if name else []

    def isolator(self) -> Lines:
        """The battery isolator."""
        part = self.fit.at("isolator", Isolator)
        return self.slot("isolator", f"{part.rating_a:g} A" if part else "")

    def busbar(self) -> Lines:
        """The pair of busbars."""
        part = self.fit.at("busbar", Busbar)
        about = ("positive of a pair", f"{part.rating_a:g} A, {part.studs} studs") if part else ()
        return self.slot("busbar", "", *about)

    def fuse_row(self) -> str:
        """The fuse row, on a line."""
        fitted = self.fit.build.slot("fuse_row")
        return f"fuse_row, on {fitted.board}" if fitted else "fuse_row, not in the build"

    def tails(self) -> Lines:
        """The tails from busbar to fuse row, with what guards them and how long they may be."""
        found = next((f for f in self.findings if f.name == "run.tail_distance"), None)
        known = found is not None and tail_mm(self.fit) is not None
        drawn = f"{found.numbers[1]} mm or more with ends" if found and known else "length not surveyed"
        allowed = [f"at most {found.numbers[0]} mm allowed"] if found else []
        guard = "behind the main fuse alone"
        return ["tails of the runs", "of their own sections", guard, drawn, *allowed]

    def main_fuse(self) -> Lines:
        """The main fuse in its holder."""
        holder, *place = self.slot("main_fuse")[1:]
        fuse = self.fuse("main") or ["no run"]
        return ["main_fuse", *fuse, f"in {holder}" if place else "no holder in the build", *place]

    def display(self) -> Lines:
        """What shows the currents."""
        part = self.fit.at("display", Display)
        return self.slot("display", f"{part.channels} channels" if part else "")

    def mains_box(self) -> Lines:
        """The mains box with what the catalogue says of it."""
        part = self.fit.at("mains_box", MainsBox)
        about = f"for {part.circuits} circuits, inlet up to {part.inlet_a:g} A" if part else ""
        if part and part.modules:
            about = f"{part.modules} modules, inlet up to {part.inlet_a:g} A"
        return self.slot("mains_box", "", about)

    def breaker(self, place: str) -> Lines:
        """What stands at a place of a mains box that the build fills."""
        device = self.fit.breakers.get(place)
        if device is None:
            return ["nothing here", "in the build"]
        trips = [f"{device.residual_ma:g} mA, type {device.residual_type}"] if device.residual_ma else []
        return [device.name, f"{device.rating_a:g} A", *trips]

    def pass_through(self, purpose: str) -> Lines:
        """The entries of a pass-through."""
        fitted = [e for e in self.fit.build.entries if e.purpose == purpose]
        parts = [(e, self.fit.part(e.entry, Entry)) for e in fitted]
        found = [(f"{e.count} x {part.name}, IP{part.ip_class}", f"on {e.board}") for e, part in parts]
        return ["pass-through", *([line for lines in found for line in lines] or ["no entry in the build"])]

    def entry_bays(self, purpose: str) -> set[str]:
        """Bays whose boards the entries of a pass-through go through."""
        return {e.board.partition(".")[0] for e in self.fit.build.entries if e.purpose == purpose}

    # --- what is measured ----------------------------------------------------------------------------

    def channels_of(self, run: str) -> list[int | None]:
        """Numbers of the channels that measure a run, one for each current in it; None for one that has none."""
        numbers = [channel.number for channel in channels(self.fit) if channel.current and channel.current.run == run]
        wanted = sum(current.run == run for current in currents(self.fit))
        return [*numbers, *[None] * (wanted - len(numbers))]


def _told(fuse: Fuse, source_v: int | None) -> Lines:
    """Name, rating, family and voltage of a fuse, and what it breaks at the voltage of its source; None: no source."""
    breaks_a = fuse.breaking_a(source_v) if source_v is not None else 0
    return [fuse.name, f"{fuse.rating_a:g} A {fuse.family}, {fuse.volt_max_v:g} V", f"breaks {breaks_a / 1000:g} kA"]


def _whole(finding: Finding | None) -> str:
    """What was found, up to the next whole number."""
    return f"{ceil(finding.actual)}" if finding and isfinite(finding.actual) else BLANK
