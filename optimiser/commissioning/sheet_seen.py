"""Rows of the test sheet for what is looked at and what is set."""

from collections.abc import Iterator, Mapping

from optimiser.auditing.finding import Finding
from optimiser.commissioning.check import Check
from optimiser.commissioning.monitor import NO_MONITOR, monitor_of
from optimiser.commissioning.sheet_sources import GROUP as CHARGING
from optimiser.commissioning.spread import COMMON
from optimiser.fitted.fit import Fit
from optimiser.fitted.links import in_words, links_of

SEEN, LIVE, HANDOVER = "Visual checks, power off", "First live, low voltage", "Handover"
_LOCAL = f"{COMMON}; local codes decide"


def seen_checks(fit: Fit, found: Mapping[str, Finding]) -> Iterator[Check]:
    """Before anything is live."""
    yield _done(SEEN, "seen.torque", "every terminal torqued and marked",
                "torque list of the makers, a witness mark on each")  # fmt: skip
    yield _done(SEEN, "seen.crimps", "every crimp sound", "pull each by hand; none moves")
    yield _done(SEEN, "seen.restraint", "bank fixed against moving in every direction, its terminals covered",
                "pull and push each way; restraint is not in the build: the module maker's sheet and local codes say "
                "what it must withstand; the list Forces on fixings gives a figure", _LOCAL)  # fmt: skip
    yield _done(SEEN, "seen.cables", "cables clipped, edges covered, no end hangs from its terminal",
                "along each run: clips, a grommet at each edge, strain relief at each entry, gland, body")  # fmt: skip
    yield _done(SEEN, "seen.polarity", "polarity right everywhere on the low voltage side, dead",
                "by continuity, no fuse in, nothing that gives current connected: each conductor from end to end, plus "
                "on plus, minus on minus; open between the poles of the busbar")  # fmt: skip
    yield _done(SEEN, "seen.negative", "negative joined to the chassis, or kept apart from it, as local codes require",
                "continuity from the negative busbar to the chassis; joined in one place at most; write down where",
                _LOCAL)  # fmt: skip
    yield from _distance(fit, found)
    yield from _module_fuses(fit)
    yield from _links(fit)
    yield _done(SEEN, "seen.labels", "labels fixed",
                "by the list of labels: both ends of each run, fuses with their ratings, isolator")  # fmt: skip
    yield _done(SEEN, "seen.spares", "spare fuses in the vehicle",
                "one of each family and rating of the fuse schedule; spares are not in the build")  # fmt: skip
    yield _done(SEEN, "seen.clear", "gas and vents left clear",
                "no cable on a gas pipe, nothing that sparks where gas is kept, every vent of the vehicle and of the "
                "bays free", _LOCAL)  # fmt: skip


def _distance(fit: Fit, found: Mapping[str, Finding]) -> Iterator[Check]:
    distance = found.get("run.fuse_distance")
    if not distance:
        return
    figure, holder = fit.case.rules.figures["fuse_distance_mm"], fit.main_holder
    start, counted = ("the bank's terminal", "to the far corners of both, as terminals are not surveyed")
    if fit.build.bank.fuse:
        start, counted = ("where the strings' links meet", "from body to body, behind each string's own fuse")
    how = (
        f"tape along it, bends too, from {start} to the terminal of the fuse's holder; the audit's "
        f"{distance.actual:.0f} mm are {counted}"
    )
    if holder is not None and holder.on_terminal:
        how = "0 where its holder sits on the terminal itself, as the catalogue says; else tape along it, bends too"
    yield Check(
        group=SEEN, id="seen.fuse_distance", what="conductor from the bank's terminal to the main fuse", how=how,
        unit="mm", high=figure.value, basis="rules.fuse_distance_mm", source=f"{figure.source} ({figure.state})",
    )  # fmt: skip


def _module_fuses(fit: Fit) -> Iterator[Check]:
    if fit.build.bank.fuse:
        strings = fit.build.bank.parallel
        yield _done(SEEN, "seen.module_fuses", "each string of modules has its own fuse, on its terminal",
                    f"{strings} holders for {fit.build.bank.fuse}, nothing between terminal and holder, no link past a "
                    "fuse; the fuses themselves go in as the order of work says")  # fmt: skip


def _links(fit: Fit) -> Iterator[Check]:
    if links_of(fit):
        last, kind = fit.build.bank.parallel, ", ".join(in_words(fit))
        taken = f"; + is taken off at string 1, - at string {last}" if last > 1 else ""
        yield _done(SEEN, "seen.links", "links of the bank as in the cutting list, those of one kind equally long",
                    f"{kind}; each by its mark, the module covered while the next is joined{taken}")  # fmt: skip


def live_checks(fit: Fit) -> Iterator[Check]:
    """As soon as the bank feeds the busbar, then the outlets."""
    yield _done(LIVE, "live.busbar", "polarity at the busbar",
                "voltmeter, main fuse in, isolator closed, every fuse of the row out: the bank's voltage, plus on "
                "plus; then the isolator off again")  # fmt: skip
    if any(load.supply == "dc" for load in fit.case.loads):
        yield _done(LIVE, "live.outlets", "polarity at each low-voltage outlet",
                    "voltmeter, its fuse in, before a load is on it: plus on plus")  # fmt: skip


def handover_checks(fit: Fit) -> Iterator[Check]:
    """What the user is shown, and that loads are held apart that may not run together."""
    for group in fit.case.brief.together:
        names = ", ".join(group.loads)
        if group.by == "interlock":
            yield _done(HANDOVER, f"handover.together.{group.name}", f"only {group.at_most} at a time of {names}",
                        "switch on one after the other: what is one too many stays off, or goes off; the interlock is "
                        "not in the build, its maker's sheet says for what it is")  # fmt: skip
        else:
            yield _done(HANDOVER, f"handover.together.{group.name}", f"only {group.at_most} at a time of {names}: "
                        "the user knows, and a notice is at each switch",
                        "nothing holds them apart: say what switches off where it is forgotten")  # fmt: skip
    yield _done(HANDOVER, "handover.shut_down", "user shown how to shut down, and has done it once",
                "by the last line of the order of work; the bank itself stays live")  # fmt: skip


def _done(group: str, id: str, what: str, how: str, source: str = COMMON) -> Check:
    return Check(group=group, id=id, what=what, how=how, rule="done", source=source)


# --- what is set in each unit: by the makers' sheets, with what the build knows beside it -------------


GROUP = "Settings"
_WRITE = "charge voltage, float, low-voltage cut-off, low-temperature lock: write what was set"
_READ = "simulated, or read from the settings"


def settings_checks(fit: Fit) -> Iterator[Check]:
    """Every unit that is set, then what protects the bank: before anything charges it."""
    for slot, known in _units(fit):
        how = f"{_WRITE}; {known}; {_bank(fit)}"
        yield _set(f"settings.{slot}", f"{slot} set by the module maker's sheet, and written down", how,
                   "sheets of unit and module", written=True)  # fmt: skip
    if by := monitor_of(fit):
        yield _set("settings.monitor", f"monitor of the bank set to {_ah(fit):g} Ah and its shunt's rating",
                   f"{by}; charged voltage 0.2 V below what the chargers hold, tail current 2 to 4 % of its Ah, "
                   "charge above 0: with loads alone it reads below 0", COMMON)  # fmt: skip
    if fit.inverter:
        yield _set("settings.low_voltage",
                   f"inverter stops at {fit.inverter.cut_off_v:g} V, or above it by the module maker's sheet", _READ,
                   "inverter's sheet")  # fmt: skip
    yield _set("settings.low_temperature", f"charging stops below {fit.module.charge_min_c:g} C", _READ,
               "module's sheet")  # fmt: skip


def full_checks(fit: Fit) -> Iterator[Check]:
    """The bank brought to full by its chargers, once they work."""
    yield Check(
        group=CHARGING, id="settings.bank", rule="done",
        what="bank brought to full before anything is judged by its charge",
        how="loads off, until what its chargers give, by their own readings, falls below 2 to 4 % of its "
        f"{_ah(fit):g} Ah; or by the modules' own displays, if they have any; what counts its charge "
        f"({monitor_of(fit) or NO_MONITOR}) set to 100 % then",
        basis="module's sheet", source=COMMON,
    )  # fmt: skip


def _set(id: str, what: str, how: str, basis: str, *, written: bool = False) -> Check:
    return Check(group=GROUP, id=id, what=what, how=how, rule="done", basis=basis, source=COMMON, written=written)


def _ah(fit: Fit) -> float:
    return fit.module.capacity_ah * fit.build.bank.parallel


def _bank(fit: Fit) -> str:
    charge_a = fit.module.charge_a * fit.build.bank.parallel
    return (
        f"bank {_ah(fit):g} Ah, {fit.system_v} V, takes {charge_a:g} A at most from all together; "
        f"bays up to {fit.case.limits.bay_air_max_c:g} C"
    )


def _units(fit: Fit) -> Iterator[tuple[str, str]]:
    """Slot and what the build knows of it, of each unit with settings."""
    for slot, regulator in fit.regulators.items():
        yield slot, f"it gives {regulator.out_a:g} A"
    inlet, engine, most_a = fit.case.brief.inlet, fit.alternator_charger, fit.alternator_a
    limit = f", inlet {inlet.rating_a:g} A of mains" if inlet else ""
    told = {"alternator_charger": " from the engine", "mains_charger": limit}
    if engine and fit.solar_on_alternator:
        told["alternator_charger"] += f" and {engine.solar_out_a:g} A from the sun, {most_a:g} A at most of both"
    for slot, charger in fit.chargers.items():
        yield slot, f"it gives {charger.charge_a:g} A{told.get(slot, '')}"
    if fit.inverter:
        charges = f", charges with {fit.inverter.charge_a:g} A{limit}" if fit.inverter.transfers else ""
        yield "inverter", f"it cuts off at {fit.inverter.cut_off_v:g} V{charges}"
