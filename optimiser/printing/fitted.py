"""What is fitted where: roof, strings, bank, parts, runs and the small things."""

from itertools import zip_longest

from rich.table import Table

from optimiser.auditing import Finding
from optimiser.builds import Build, Fitted
from optimiser.fitted import ScenarioTrace, fit_of, trace
from optimiser.fitted.old_parts import old_uses
from optimiser.fitted.wiring import routed_runs
from optimiser.pipeline import Inputs
from optimiser.printing.wording import table, yes

ROOF_NOTE = "x, y: the panel's corner nearest rear and right, vehicle's mm; rotated 90°: its length lies across."
PARTS_NOTE = (
    "x, y: from the lower left corner of the board, mm; orientation: flat, on its side or on its end, with its height, "
    "width or length off the board; rotated: by 90°."
)
RUNS_NOTE = "cut: of a d.c. run its cores + and -, one figure where alike. fuse: at the end the current comes from."


def roof_table(build: Build) -> Table:
    """Where each panel lies."""
    made = table("Roof", "zone", "panel", ">x mm", ">y mm", "rotated 90°", "string")
    for panel in build.panels:
        made.add_row(panel.zone, panel.panel, str(panel.x_mm), str(panel.y_mm), yes(panel.rotated), panel.string)
    return made


def array_table(build: Build, findings: tuple[Finding, ...]) -> Table:
    """What is strung to what (series x parallel), and how near a cold morning comes to what the regulator stands."""
    found = {finding.requirement: finding for finding in findings}
    made = table("Strings", "array", "panel", "s x p", "roof plane", "regulator", "part", ">cold Voc V", ">allowed V")
    for array in build.arrays:
        fitted, cold = build.slot(array.regulator), found.get(f"string.cold_voltage[{array.name}]")
        made.add_row(
            array.name,
            array.panel,
            f"{array.series} x {array.parallel}{f', {array.fuse} each' if array.fuse else ''}",
            array.roof_plane or "portable",
            array.regulator,
            fitted.part if fitted else "",
            *(reversed(cold.numbers) if cold else ("", "")),
        )
    return made


def bank_line(inputs: Inputs, build: Build) -> str:
    """The bank in words."""
    bank, module = build.bank, inputs.catalogue.of("modules")[build.bank.module]
    return (
        f"Bank: {bank.series * bank.parallel} x {bank.module} ({bank.series} in series, {bank.parallel} in parallel), "
        f"{bank.rows} row{'s' * (bank.rows != 1)} of {bank.columns}, for {build.system_v} V; "
        f"{module.capacity_ah * bank.parallel:g} Ah nominal"
        f"{f', {bank.fuse} on each string' if bank.fuse else ''}"
    )


def parts_table(build: Build) -> Table:
    """Where each part stands."""
    made = table("Parts", "slot", "part", "bay", "board", ">x mm", ">y mm", "orientation", "existing")
    for fitted in build.fitted:
        bay, _, board = fitted.board.rpartition(".")
        made.add_row(
            fitted.slot,
            fitted.part or _contents(build, fitted),
            bay,
            board,
            str(fitted.x_mm),
            str(fitted.y_mm),
            f"{fitted.orientation}{', rotated' * fitted.rotated}",
            yes(fitted.existing),
        )
    return made


def _contents(build: Build, fitted: Fitted) -> str:
    if fitted.slot == "bank":
        return f"{build.bank.series * build.bank.parallel} x {build.bank.module}"
    if fitted.slot == "shunt_row":
        return ", ".join(f"{row.count} x {row.shunt}" for row in build.measuring)
    return "fuses of the runs"


def run_table(inputs: Inputs, build: Build) -> Table:
    """Each run with its way and what protects it."""
    made = table("Runs", "run", "from", "to", "ways", ">mm2", ">cut m +/-", "cable", "fuse")
    for laid in routed_runs(fit_of(inputs.case, inputs.catalogue, build)).values():
        run, cable, fuse = laid.run, laid.cable, laid.fuse
        section = f"{cable.section_mm2:g}" if cable.section_mm2 else cable.kind
        protected = f"{fuse.rating_a:g} A {fuse.family}" if fuse else "none"
        ways, cut = ", ".join(run.ways), laid.cut_words
        made.add_row(run.name, run.start, run.end, ways, section, cut, cable.name, protected)
    return made


def small_table(inputs: Inputs, build: Build) -> Table:
    """Vents, entries, shunts, the fuse panel and what the mains box is filled with."""
    made = table("Vents, entries, measuring", "what", "where", "part", ">count")
    if build.dc_panel:
        made.add_row("fuse panel", "12 V loads", build.dc_panel, "1")
    for use in old_uses(fit_of(inputs.case, inputs.catalogue, build)):
        for count, what in ((use.again, "fitted again"), (use.gone, "taken out")):
            if count:
                made.add_row(f"old part, {what}", use.row.name, use.row.part, str(count))
    for device in build.breakers:
        made.add_row("mains box", device.place, device.breaker, "1")
    for vent in build.vents:
        made.add_row("vent", vent.bay, vent.vent, str(vent.count))
    for entry in build.entries:
        made.add_row("entry", f"{entry.purpose} {entry.board}".strip(), entry.entry, str(entry.count))
    for shunt in build.measuring:
        made.add_row("measuring", "shunt_row", shunt.shunt, str(shunt.count))
    return made


# --- the bank hour by hour in the scenario that takes it lowest ---------------------------------------


_COLUMNS = ("day", ">hour", ">bank %", ">solar", ">engine", ">mains", ">loads")


def tightest_hours(inputs: Inputs, build: Build) -> Table:
    """Its hours, the second half beside the first."""
    case = inputs.case
    traces = {s.name: trace(case, inputs.catalogue, build, s) for s in case.scenarios}
    name = min(traces, key=lambda scenario: float(traces[scenario].soc_pct.min()))
    rows = _rows(traces[name])
    half = (len(rows) + 1) // 2
    title = f"Tightest scenario, {name}: bank at the end of each hour, solar to loads in W over it"
    made = table(title, *_COLUMNS, "", *_COLUMNS)
    for left, right in zip_longest(rows[:half], rows[half:], fillvalue=()):
        made.add_row(*left, "", *right)
    return made


def _rows(found: ScenarioTrace) -> list[tuple[str, ...]]:
    flows = (*found.given_w.values(), found.loads_w)
    return [
        (
            str(int(hour) // 24 + 1),
            str(int(hour) % 24),
            f"{found.soc_pct[number]:.1f}",
            *(f"{flow[number]:.0f}" for flow in flows),
        )
        for number, hour in enumerate(found.hour)
    ]
