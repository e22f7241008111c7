"""Whether everything is there: the slots a build must fill, and each run from end to end."""

from collections import Counter
from collections.abc import Iterator

from optimiser.auditing.breakers import CHANGES, SIDES
from optimiser.auditing.finding import Finding, checked
from optimiser.fitted.fit import Fit, slot_of
from optimiser.fitted.places import existing_row
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs
from optimiser.parts import Fuse, MainsBox

ALWAYS = ("bank", "main_fuse", "isolator", "busbar", "fuse_row", "shunt_row", "display")
AT_BUSBAR = ("shunt_row", "fuse_row", "step_down", "isolator")  # joined to it without a cable of their own


def check(fit: Fit) -> Iterator[Finding]:
    """Slots and runs; a run called like the slot it serves is counted with it."""
    laid, wanted = routed_runs(fit), required_runs(fit)
    breaks = Counter(_slot_breaks(fit))
    for name in [*wanted, *(name for name in laid if name not in wanted)]:
        breaks[name] += _run_breaks(fit, wanted.get(name), laid.get(name))
    for place in dict.fromkeys([*ALWAYS, *(f.slot for f in fit.build.fitted), *breaks]):
        yield checked("run.complete", place, limit=0, actual=breaks[place])


def _slot_breaks(fit: Fit) -> Iterator[str]:
    """A slot's name for each thing that is wrong with it."""
    brief, build = fit.case.brief, fit.build
    must = dict.fromkeys(ALWAYS, True)
    must |= {
        "mains_box": bool(brief.circuits or brief.inlet),
        "switch": fit.inverter is not None and build.slot("switch") is not None,  # that there is one is asked for
        "step_down": fit.system_v != 12,
    }
    for slot, wanted in must.items():
        fitted = build.slot(slot)
        if wanted != (fitted is not None) and not (fitted and fitted.existing):
            yield slot
    busbar = fit.bay("busbar")
    for slot in AT_BUSBAR:
        if busbar and build.slot(slot) and fit.bay(slot) is not busbar:
            yield slot
    if fit.module_holder and not fit.module_holder.on_terminal:
        yield "bank"  # it would need a place of its own
    yield from _existing_breaks(fit)
    yield from _panel_breaks(fit)
    yield from _mains_box_breaks(fit)
    main, fuse_slot, bank = build.run("main"), build.slot("main_fuse"), build.slot("bank")
    if main and main.fuse and fuse_slot and fit.part(main.fuse, Fuse).holder != fuse_slot.part:
        yield "main_fuse"
    if fit.main_holder and fit.main_holder.on_terminal and fuse_slot and bank:
        if fuse_slot.board != bank.board:
            yield "main_fuse"
        if build.bank.fuse:  # its holder is on that terminal, and two do not share one
            yield "main_fuse"


def _panel_breaks(fit: Fit) -> Iterator[str]:
    """A fuse panel is there with circuits alone, and its fuses are of its form."""
    if bool(fit.case.brief.dc_circuits) != (fit.dc_panel is not None):
        yield "dc_panel"
    laid = routed_runs(fit)
    for name, wanted in required_runs(fit).items():
        fuse = laid[name].fuse if name in laid and wanted.feed == "panel" else None
        if fuse and fit.dc_panel and fuse.family != fit.dc_panel.family:
            yield name


def _mains_box_breaks(fit: Fit) -> Iterator[str]:
    """A box to be filled is there with something to fill it alone; each run at it has its device, each of a kind."""
    fills, box = fit.case.brief.fills_mains_box, fit.at("mains_box", MainsBox)
    if box and bool(box.modules) != fills:
        yield "mains_box"
    at_box = {name for name, run in required_runs(fit).items() if run.kind == "mains"} if fills else set()
    for place in sorted(at_box.symmetric_difference(set(fit.breakers).difference(SIDES, (CHANGES,)))):
        yield place
    for place, device in fit.breakers.items():
        if (device.kind == "residual") != (place in SIDES) or device.kind.endswith("_changeover") != (place == CHANGES):
            yield place
        if place == CHANGES and not ({"mains_inlet", "inverter_out"} <= at_box and "inverter_in" not in at_box):
            yield place
        if place == CHANGES and fit.case.brief.changeover == "no":
            yield place
        if place in SIDES and not at_box & {SIDES[place][0]}:
            yield place


def _existing_breaks(fit: Fit) -> Iterator[str]:
    """What stays must be where the survey found it, and nothing else may count as staying."""
    for existing in fit.case.existing:
        slot = slot_of(fit.catalogue.find(existing.part)) if existing.kind == "part" else None
        fitted = fit.build.slot(slot) if slot else None
        if slot and not (fitted and existing_row(fit, fitted) is existing):
            yield slot
    for fitted in fit.build.fitted:
        if fitted.existing and not existing_row(fit, fitted):
            yield fitted.slot


def _run_breaks(fit: Fit, wanted: RequiredRun | None, laid: RoutedRun | None) -> int:
    if wanted is None or laid is None:
        return 1  # missing, or there for nothing
    run = laid.run
    breaks = (run.start != wanted.start) + (run.end != wanted.end)
    breaks += not _joins(laid)
    breaks += laid.cable.kind != wanted.kind
    breaks += run.back_mm is not None and not laid.cable.paired  # it has no core that is cut by itself
    breaks += bool(run.fuse) != bool(wanted.feed)
    if wanted.name.startswith("solar_"):
        breaks += _shares_input(fit, wanted.name.removeprefix("solar_"))
    return breaks


def _joins(laid: RoutedRun) -> bool:
    """Whether the ways lead from start to end without passing a node twice."""
    node, seen = laid.run.start, {laid.run.start}
    for way in laid.ways:
        if node not in (way.start, way.end):
            return False
        node = way.end if node == way.start else way.start
        if node in seen:
            return False
        seen.add(node)
    return node == laid.run.end


def _shares_input(fit: Fit, name: str) -> bool:
    """Whether an earlier array already ends at this array's regulator."""
    arrays = fit.build.arrays
    place = next(i for i, array in enumerate(arrays) if array.name == name)
    return any(array.regulator == arrays[place].regulator for array in arrays[:place])
