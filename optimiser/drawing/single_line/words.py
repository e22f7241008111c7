"""What a single-line diagram says beside its symbols: taken from the build, the catalogue and the audit."""

from collections.abc import Mapping
from dataclasses import dataclass

from optimiser.auditing import Finding, breaches
from optimiser.basis import money
from optimiser.builds import PanelArray
from optimiser.connections import SLOTS, connection_of, is_regulator
from optimiser.fitted import Fit
from optimiser.fitted.currents import currents
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
        return [named, f"{cores}{section}{laid.cut_m:.1f} m", laid.cable.name]

    def fuse(self, name: str) -> Lines:
        """Type, rating, family, voltage and what it breaks; that it lacks one, where one is due."""
        laid, wanted = self.laid.get(name), self.wanted.get(name)
        if laid is None:
            return []
        if laid.fuse is None:
            return ["no fuse", "in the build"] if wanted and wanted.feed else []
        return _told(laid.fuse, source_v_of(self.fit, wanted) if wanted else None)

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
        """Panel, and where it is."""
        brief = self.fit.case.brief
        at = (
            f"roof plane {array.roof_plane}"
            if array.roof_plane
            else f"portable, at {brief.portable.point}"
            if brief.portable
            else ""
        )
        return [array.name, array.panel, *([at] if at else [])]

    def strings(self, array: PanelArray) -> Lines:
        """Panels in series and parallel, cold voltage and short-circuit current."""
        volt = self.actual("string.ceiling", array.name, "V")
        amps = self.actual("string.short_circuit", array.name, "A")
        factor = self.fit.case.rules["solar_current_factor"]
        strings = f"{array.series} in series x {array.parallel} in parallel"
        return [strings, f"cold Voc {volt}", f"{factor:g} x Isc = {amps}"]

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
        """Modules, voltage and capacity."""
        bank, module = self.fit.build.bank, self.fit.module
        volt, capacity = bank.series * module.nominal_v, bank.parallel * module.capacity_ah
        modules = f"{bank.series} in series x {bank.parallel} in parallel"
        return self.slot("bank", module.name, modules, *self._module_fuses(), f"{volt:g} V, {capacity:g} Ah")

    def _module_fuses(self) -> Lines:
        """The fuse on the terminal of each string of modules."""
        name = self.fit.build.bank.fuse
        return ["each string with", *_told(self.fit.part(name, Fuse), self.fit.system_v)] if name else []

    def isolator(self) -> Lines:
        """The battery isolator."""
        part = self.fit.at("isolator", Isolator)
        return self.slot("isolator", f"{part.rating_a:g} A" if part else "")

    def busbar(self) -> str:
        """The pair of busbars, on a line."""
        part = self.fit.at("busbar", Busbar)
        about = f"pair, {part.rating_a:g} A, {part.studs} studs each" if part else ""
        return ", ".join(self.slot("busbar", about))

    def main_fuse(self) -> Lines:
        """The main fuse in its holder."""
        holder, *place = self.slot("main_fuse")[1:]
        fuse = self.fuse("main") or ["no run"]
        return ["main_fuse", *fuse, f"in {holder}" if place else "no holder in the build", *place]

    def display(self) -> Lines:
        """What shows the currents."""
        part = self.fit.at("display", Display)
        return self.slot("display", f"{part.channels} channels" if part else "")

    def shunt_row(self) -> Lines:
        """Shunts and hubs."""
        shunts = [
            f"{n} x {s.name}: {s.channels} channel{'s' * (s.channels > 1)}, {s.rating_a:g} A"
            for s, n in self.fit.shunts
        ]
        return self.slot("shunt_row", "", *shunts)

    def mains_box(self) -> Lines:
        """The mains box with what the catalogue says of it."""
        part = self.fit.at("mains_box", MainsBox)
        about = f"for {part.circuits} circuits, inlet up to {part.inlet_a:g} A" if part else ""
        return self.slot("mains_box", "", about)

    def pass_through(self, purpose: str) -> Lines:
        """The entries of a pass-through."""
        fitted = [e for e in self.fit.build.entries if e.purpose == purpose]
        parts = [(e, self.fit.part(e.entry, Entry)) for e in fitted]
        found = [(f"{e.count} x {part.name}, IP{part.ip_class}", f"on {e.board}") for e, part in parts]
        return ["pass-through", *([line for lines in found for line in lines] or ["no entry in the build"])]

    def entry_bays(self, purpose: str) -> set[str]:
        """Bays whose boards the entries of a pass-through go through."""
        return {e.board.partition(".")[0] for e in self.fit.build.entries if e.purpose == purpose}

    # --- notes ---------------------------------------------------------------------------------------

    def measured(self) -> list[tuple[str, float]]:
        """What is measured and its design current [A], as the audit counts it."""
        return [(_measured(current.run), current.amps) for current in currents(self.fit)]

    def notes(self) -> Lines:
        """What the picture cannot say, in paragraphs."""
        return [
            "One line stands for both conductors of a d.c. run (2 cores) and for all cores of a mains or data cable; "
            "lengths are those the cable is cut to, one way. Fuses stand in the positive conductor (common practice, "
            "no source). Symbols: shapes of IEC 60617 second hand or from memory, and own ones; conformity is not "
            "claimed. The isolator's symbol does not say that it may be opened under load.",
            f"{self._measured_note()} {self._fuse_row_note()}",
            *([" ".join(mains)] if (mains := self._mains_notes()) else []),
            *self._breach_note(),
        ]

    def _measured_note(self) -> str:
        counted: dict[str, int] = {}
        for name, amps in self.measured():
            line = f"{name} {amps:.1f} A"
            counted[line] = counted.get(line, 0) + 1
        listed = ", ".join(f"{n} x {line}" if n > 1 else line for line, n in counted.items())
        shared = any(array.parallel > 1 for array in self.fit.build.arrays)
        strings = " Strings in parallel share one run: where each is measured is not in the build." if shared else ""
        return (
            f"A: current that must be measured, with its design figure: {listed}. The bank's own current is not "
            "among them. The shunts are in the shunt row; which channel takes which current is not in the "
            f"build.{strings}"
        )

    def _fuse_row_note(self) -> str:
        row = self.fit.row_runs
        fitted = self.fit.build.slot("fuse_row")
        place = f"fuse_row on {fitted.board}" if fitted else "fuse_row, not in the build"
        held = (
            ", ".join(f"{numbered(self.fit, r.name)} ({self.fit.part(r.fuse, Fuse).holder})" for r in row) or "no fuse"
        )
        return f"{place}: the fuses, in their holders, of {held}."

    def _mains_notes(self) -> Lines:
        fit, found = self.fit, []
        if fit.build.slot("mains_box"):
            found.append(
                "Mains box: a residual-current breaker a circuit, taken as 30 mA and double pole, and breakers for "
                "inlet and chargers; not in the build: their ratings, cables of circuits, and what protects the "
                "cable from the inverter."
            )
        if fit.inverter and fit.inverter.transfers:
            found.append(
                "On hook-up the inverter-charger's transfer switch passes the mains on to the inverter circuits; "
                "otherwise its inverter feeds them."
            )
        elif fit.inverter and fit.case.brief.inlet:
            found.append(
                "The build has no changeover: inverter circuits are fed by the inverter alone, also on hook-up, and "
                "hook-up circuits by the inlet alone. The two sides of the mains box must not be joined."
            )
        if fit.inverter or fit.case.brief.inlet:
            found.append(
                "Neutral-earth bond: exactly one at a time, on hook-up and on the inverter (common practice, no "
                "source). What makes it in each state is not in the build."
            )
        return found

    def _breach_note(self) -> Lines:
        found = breaches(self.findings)
        named = ", ".join(f.requirement for f in found)
        return [f"The audit found breaches; do not build from this sheet: {named}."] if found else []


def _measured(run: str) -> str:
    """What is measured in a run."""
    serves = connection_of(run).serves
    if run == "dc_loads":
        return "12 V loads"
    if is_regulator(serves):
        return f"{serves}, output"
    return SLOTS[serves].words if serves else f"a string of {run.removeprefix('solar_')}"


def _told(fuse: Fuse, source_v: int | None) -> Lines:
    """Name, rating, family and voltage of a fuse, and what it breaks at the voltage of its source; None: no source."""
    breaks_a = fuse.breaking_a(source_v) if source_v is not None else 0
    return [fuse.name, f"{fuse.rating_a:g} A {fuse.family}, {fuse.volt_max_v:g} V", f"breaks {breaks_a / 1000:g} kA"]
