"""The label list: what to print and where it goes. The texts are ours; a code's own wording is never given."""

from collections import Counter
from collections.abc import Iterator

from optimiser.basis import volts
from optimiser.fitted import Fit
from optimiser.fitted.links import cable_run
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import routed_runs
from optimiser.parts import Fuse
from optimiser.schedules.ends import fuse_place, holder_of, label, module_fuse_place, place_of
from optimiser.schedules.links import link_list
from optimiser.schedules.pieces import cuts
from optimiser.schedules.table import Column, Row, Schedule

BY_CODE = "wording by local code where it fixes one"
_COLUMNS = (
    Column("what"),
    Column("of"),
    Column("where"),
    Column("text"),
    Column("copies", "", "whole"),
    Column("note"),
)


def labels(fit: Fit) -> Schedule:
    """Every label to print, in the order in which a fitter needs them."""
    groups = (
        _runs(fit),
        _links(fit),
        _fuses(fit),
        _breakers(fit),
        _parts(fit),
        _panels(fit),
        _entries(fit),
        _warnings(fit),
    )
    rows = tuple(row for group in groups for row in group)
    return Schedule(
        key="labels",
        title="Labels",
        columns=_COLUMNS,
        rows=rows,
        totals=("total", "", "", "", sum(row[4] for row in rows if isinstance(row[4], int)), ""),
        notes=(
            "The texts are proposals in plain words, not the text of any code. Where a code fixes wording, size, "
            "colour or place of a label, that decides.",
        ),
    )


def _runs(fit: Fit) -> Iterator[Row]:
    for cut in cuts(fit):
        for here, there in ((cut.start, cut.end), (cut.end, cut.start)):
            yield "cable", cut.laid.run.name, here, label(fit, cut.laid, cut.mark, there), 1, ""


def _links(fit: Fit) -> Iterator[Row]:
    """At both ends of each link of the bank."""
    main = cable_run(fit)
    for link in link_list(fit):
        for here, there in ((link.start, link.end), (link.end, link.start)):
            size = f" ({main.cable.section_mm2:g} mm2)" if main else ""
            yield "cable", "bank", f"bank, {here}", f"{link.mark} link: to {there}{size}", 1, ""


def _fuses(fit: Fit) -> Iterator[Row]:
    bank = fit.build.bank
    if bank.fuse:
        fuse = fit.part(bank.fuse, Fuse)
        text = f"module: {fuse.rating_a:g} A {fuse.family}. Replace by the same only."
        yield "fuse", "bank", f"{module_fuse_place(fit)}; {fuse.holder}", text, bank.parallel, ""
    for array in fit.build.arrays:
        if string := fit.string_fuse(array):
            text = f"string of {array.name}: {string.rating_a:g} A, for panels. Not under load: cover the panels first."
            yield "fuse", array.name, "at the fuse of each string, in line", text, array.parallel, ""
    for name, laid in routed_runs(fit).items():
        if laid.fuse:
            fuse = laid.fuse
            text = f"{numbered(fit, name)}: {fuse.rating_a:g} A {fuse.family}. Replace by the same only."
            yield "fuse", name, f"{fuse_place(fit, name)}; {holder_of(fit, name, fuse)}", text, 1, ""


def _breakers(fit: Fit) -> Iterator[Row]:
    sides = {"residual_hook_up": "all on hook-up", "residual_inverter": "all on the inverter",
             "changeover": "inverter's circuits, from hook-up or inverter"}  # fmt: skip
    for place, device in fit.breakers.items():
        of = sides.get(place) or numbered(fit, place)
        trips = f", {device.residual_ma:g} mA. Press its test button each month" if device.residual_ma else ""
        yield "breaker", place, "in the mains box, below the device", f"{of}: {device.rating_a:g} A{trips}.", 1, ""


def _parts(fit: Fit) -> Iterator[Row]:
    for fitted in fit.build.fitted:
        yield "part", fitted.slot, place_of(fit, fitted), _part_text(fit, fitted.slot, fitted.part), 1, ""


def _part_text(fit: Fit, slot: str, part: str) -> str:
    if slot == "bank":
        bank, module = fit.build.bank, fit.module
        size = f"{fit.system_v} V, {module.capacity_ah * bank.parallel:g} Ah"
        return f"battery: lithium iron phosphate, {size}, {fit.modules} x {module.name}"
    if slot == "isolator":
        live = ["panels"] if fit.build.arrays else []
        live += ["chargers"] if fit.mains_charge_a or fit.alternator_charger else []
        stay = f" The {' and '.join(live)} stay live." if live else ""
        return f"battery isolator: off here.{stay}"
    if slot in ("fuse_row", "shunt_row"):
        return {"fuse_row": "fuses", "shunt_row": "shunts"}[slot]
    arrays = ", ".join(array.name for array in fit.build.arrays if array.regulator == slot)
    return f"{slot}: {part}{f', panels of {arrays}' if arrays else ''}"


def _panels(fit: Fit) -> Iterator[Row]:
    strings = Counter(panel.string for panel in fit.build.panels)
    seen: Counter[str] = Counter()
    for number, panel in enumerate(fit.build.panels, 1):
        seen[panel.string] += 1
        text = f"P{number}: {panel.string}, panel {seen[panel.string]} of {strings[panel.string]}: {panel.panel}"
        yield "panel", f"P{number}", f"under the panel, {panel.zone}, x {panel.x_mm}, y {panel.y_mm}", text, 1, ""
    if fit.case.brief.portable:
        portable = fit.case.brief.portable
        yield "socket", "portable panel", f"at {portable.point}", f"portable panel only: {portable.panel}", 1, ""


def _entries(fit: Fit) -> Iterator[Row]:
    for entry in fit.build.entries:
        where = entry.board or f"roof plane {entry.purpose}"
        runs = [
            f"solar_{array.name}" for array in fit.build.arrays if array.roof_plane == entry.purpose and not entry.board
        ]
        yield (
            "entry",
            entry.purpose,
            f"{where}, inside",
            ", ".join(numbered(fit, run) for run in runs or [f"pass_{entry.purpose}"]),
            entry.count,
            "",
        )
    for vent in fit.build.vents:
        yield "vent", vent.bay, f"{vent.bay}, at each opening", "keep clear: ventilation", 2 * vent.count, ""


def _warnings(fit: Fit) -> Iterator[Row]:
    def warning(of: str, where: str, text: str) -> Row:
        return "warning", of, where, text, 1, BY_CODE

    bank, box, mains_v = fit.build.slot("bank"), fit.build.slot("mains_box"), fit.case.brief.place.mains_v
    if bank:
        full = volts.full_v(fit.system_v)
        yield warning("bank", bank.board, f"battery up to {full:g} V: large currents, do not short the terminals")
    charger = fit.build.slot("alternator_charger")
    if charger:
        text = "live from the engine's side too, also with the battery isolator off"
        yield warning("alternator_charger", charger.board, text)
    for array in fit.build.arrays:
        fitted = fit.build.slot(array.regulator)
        text = f"panels of {array.name}: live in daylight. Cover the panels before you part this cable."
        yield warning(array.name, fitted.board if fitted else array.regulator, text)
    if box:
        yield warning("mains_box", box.board, f"mains {mains_v:g} V")
        if fit.case.brief.inlet and fit.inverter:
            yield warning("mains_box", box.board, "two sources: hook-up and inverter. Switch off both before work.")
    if fit.inverter:
        fitted = fit.build.slot("inverter")
        text = f"inverter: gives {mains_v:g} V from the battery, also without hook-up"
        yield warning("inverter", fitted.board if fitted else "", text)
    for group in fit.case.brief.together:
        names = ", ".join(group.loads).replace("_", " ")
        yield warning(group.name, "at the switches or sockets of each", f"only {group.at_most} at a time: {names}")
    if fit.case.brief.inlet:
        inlet = fit.case.brief.inlet
        yield warning("inlet", f"at {inlet.point}", f"mains inlet {mains_v:g} V, {inlet.rating_a:g} A")
