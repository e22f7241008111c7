"""The fuse and isolator schedule: each thing that protects or parts a circuit, with the figures it was held to."""

from collections.abc import Iterable, Iterator, Mapping
from math import isinf

from optimiser.auditing import Finding
from optimiser.basis import volts
from optimiser.connections import connection_of
from optimiser.fitted import Fit
from optimiser.fitted.drawn import tail_mm
from optimiser.fitted.numbers import run_numbers
from optimiser.fitted.wiring import RoutedRun, required_runs, routed_runs, source_v_of
from optimiser.parts import Body, Busbar, Fuse, Isolator, MainsBox
from optimiser.requirements import MOST, REGISTER
from optimiser.schedules.ends import fuse_place, holder_of, module_fuse_place, place_of
from optimiser.schedules.table import Cell, Column, Row, Schedule
from optimiser.units import at_least, at_most

SELECTIVE = 1.6  # one fuse blows before another of so many times its rating (gG fuses, IEC 60269 from memory)

STANDS = ("run.ampacity", "run.terminal_heat")
"""What a cable stands where it lies, and on its terminals; a fuse lets no more through than either."""

Found = Mapping[str, Finding]  # requirement with its place -> finding

_COLUMNS = (
    Column("what"),
    Column("part"),
    Column("family"),
    Column("rating", "A", "number", None),
    Column("required at least", "A", "number", None),
    Column("allowed at most", "A", "number", None),
    Column("breaks", "A", "number", None),
    Column("prospective fault current", "A", "number", None),
    Column("voltage the fuse is for", "V", "number", None),
    Column("voltage of the bus", "V", "number", None),
    Column("holder"),
    Column("where"),
    Column("protects run"),
    Column("run no."),
    Column("cable"),
    Column("carries", "A", "number", None),
    Column("cable rating", "A", "number", None),
    Column("remark"),
)


def protection(fit: Fit, findings: Iterable[Finding]) -> Schedule:
    """Each run once, with its fuse or why it has none, then what runs share."""
    found = {finding.requirement: finding for finding in findings}
    return Schedule(
        key="protection",
        title="Fuses, isolator and mains box",
        columns=_COLUMNS,
        rows=tuple(_filled(cells) for of in (_modules, _strings, _runs, _shared, _mains) for cells in of(fit, found)),
        notes=tuple(_notes(fit)),
    )


def _notes(fit: Fit) -> Iterator[str]:
    yield (
        "Limits are the audit's, rounded to the safe side; it checks them unrounded. Without one, none applies. "
        "voltage of the bus: with its battery full; at alternator_feed that is the starter battery."
    )
    yield "where: board, and corner of the body or of the row from the board's lower left corner, mm."
    if fit.row_runs:
        yield "The order of the holders in the fuse row is proposed: as the runs are listed."
        yield _tails(fit)
    yield (
        f"either may blow: below {SELECTIVE:g} to 1 (fuses of class gG, from memory) a fault in a circuit may "
        "disconnect the whole bank. It is reported, not required; of other classes the makers' curves decide."
    )
    if wired := ", ".join(circuit.name for circuit in fit.case.brief.dc_circuits if circuit.wired):
        yield f"Wired already, with a way of the fuse panel each; their cables and fuses are not calculated: {wired}."
    if wired := ", ".join(circuit.name for circuit in fit.case.brief.circuits if circuit.wired):
        yield f"Wired already; their cables and breakers are not calculated: {wired}."
    yield "A spare fuse is of the same family, rating and breaking capacity."
    if fit.case.brief.fills_mains_box:
        yield (
            "Devices in the mains box break both live conductors. The order is: main device, residual-current device "
            "of the side, devices of its runs. How they trip one before the other, loop impedances, earthing and the "
            "bond of neutral and earth are a licensed electrician's to settle and to test."
        )
        return
    yield (
        "A mains box is taken to have breakers of its own for the inlet and for each feed of a charger, beside its "
        "circuits; the catalogue gives no ratings of them. Breakers, residual-current devices, what protects the "
        "cable from the inverter, and earthing of the mains are a licensed electrician's to settle."
    )


def _tails(fit: Fit) -> str:
    """What stands between busbar and fuse row, and the choice that is left."""
    apart_mm, main = tail_mm(fit), routed_runs(fit).get("main")
    section = f" ({main.cable.section_mm2:g} mm2)" if main else ""
    length = "of a length that is not surveyed" if apart_mm is None else f"at least {apart_mm} mm each as drawn"
    return (
        f"The tails from the busbar to the fuse row, {length}, are behind the main fuse only: a piece of each "
        "circuit's own section, in the cutting list and in the price. Keep them as short as local codes ask. Where "
        f"these want more, one link or cable of the main run's section{section} at least goes to a bar that feeds all "
        "holders of the row, or the holders go on the busbar's studs: neither is in the build."
    )


def _filled(cells: dict[str, Cell]) -> Row:
    """A row from the cells that have something in them, each under its title."""
    return tuple(cells.get(column.title) for column in _COLUMNS)


# --- modules -----------------------------------------------------------------------------------------


def _modules(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    """The fuse of each string of modules, once for all of them."""
    bank = fit.build.bank
    if not bank.fuse:
        return
    fuse = fit.part(bank.fuse, Fuse)
    yield {
        "what": "module fuse",
        "part": fuse.name,
        "family": fuse.family,
        "rating": fuse.rating_a,
        "required at least": _limit(found.get("battery.module_over_load")),
        "allowed at most": _limit(found.get("battery.module_under_main")),
        "breaks": fuse.breaking_a(fit.system_v),
        "prospective fault current": _limit(found.get("battery.module_breaking")),
        "voltage the fuse is for": fuse.volt_max_v,
        "voltage of the bus": volts.full_v(fit.system_v),
        "holder": fuse.holder,
        "where": module_fuse_place(fit),
        "remark": f"{bank.parallel} of them, one for each string of modules; links behind them are in the cutting list",
    }


# --- strings -----------------------------------------------------------------------------------------


def _strings(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    """The fuse of each string of an array, once for all of them."""
    for array in fit.build.arrays:
        if fuse := fit.string_fuse(array):
            yield {
                "what": "string fuse",
                "part": fuse.name,
                "rating": fuse.rating_a,
                "protects run": f"solar_{array.name}",
                "required at least": _limit(found.get(f"string.fuse_over_load[{array.name}]")),
                "allowed at most": _limit(found.get(f"string.fuse_under_panel[{array.name}]")),
                "voltage the fuse is for": fuse.volt_max_v,
                "voltage of the bus": _limit(found.get(f"string.fuse_voltage[{array.name}]")),
                "where": "in line, in the positive core of each string, before they join",
                "remark": f"{array.parallel} of them, one for each string of {array.name}",
            }


# --- runs --------------------------------------------------------------------------------------------


def _runs(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    for name, laid in routed_runs(fit).items():
        if laid.cable.kind == "data":
            continue
        cells = _cable(fit, laid, found)
        if laid.fuse:
            cells |= _fuse(fit, name, laid.fuse, found) | {"where": fuse_place(fit, name)}
            told = _apart(fit, laid), _two_on_one(fit, name), _lead(fit, laid), _towed(fit, name)
            remarks = (*told, _either(fit, name, laid.fuse))
            cells |= {"remark": "; ".join(filter(None, remarks))}
        else:
            cells |= {"what": "no fuse", "remark": _why_none(fit, laid, found)}
        yield cells


def _cable(fit: Fit, laid: RoutedRun, found: Found) -> dict[str, Cell]:
    name = laid.run.name
    return {
        "protects run": name,
        "run no.": run_numbers(fit)[name],
        "cable": laid.cable.name,
        "carries": _actual(found.get(f"run.ampacity[{name}]")),
        "cable rating": _least(found.get(f"{requirement}[{name}]") for requirement in STANDS),
    }


def _least(findings: Iterable[Finding | None]) -> float | None:
    """The least of their limits, of those that have one."""
    return min((limit for finding in findings if (limit := _limit(finding)) is not None), default=None)


def _limit(finding: Finding | None) -> float | None:
    """In the digits the finding shows, to the safe side: what is allowed down, what is wanted up."""
    if finding is None or isinf(finding.limit):
        return None
    return _rounded(finding.limit, finding.numbers[0], up=REGISTER[finding.name].sense != MOST)


def _actual(finding: Finding | None) -> float | None:
    """The same of what a build does: what may be too much up, what may be too little down."""
    if finding is None or isinf(finding.actual):
        return None
    return _rounded(finding.actual, finding.numbers[1], up=REGISTER[finding.name].sense == MOST)


def _rounded(value: float, shown: str, *, up: bool) -> float:
    scale = 10 ** len(shown.partition(".")[2])
    whole = at_least(value, scale) if up else at_most(value, scale)
    return float(whole / scale)


def _fuse(fit: Fit, name: str, fuse: Fuse, found: Found) -> dict[str, Cell]:
    def limit(requirement: str) -> float | None:
        return _limit(found.get(f"{requirement}[{name}]"))

    return {
        "what": "main fuse" if name == "main" else "fuse",
        "part": fuse.name,
        "family": fuse.family,
        "rating": fuse.rating_a,
        "required at least": limit("run.fuse_over_load"),
        "allowed at most": _least(found.get(f"{held}[{name}]") for held in ("run.fuse_under_cable", *STANDS)),
        "breaks": fuse.breaking_a(source_v_of(fit, required_runs(fit)[name])),
        "prospective fault current": limit("run.fuse_breaking"),
        "voltage the fuse is for": fuse.volt_max_v,
        "voltage of the bus": limit("run.fuse_voltage"),
        "holder": holder_of(fit, name, fuse),
    }


def _apart(fit: Fit, laid: RoutedRun) -> str:
    """How far its holder is from the busbar, of a fuse in the row."""
    if laid.run not in fit.row_runs:
        return ""
    apart_mm = tail_mm(fit)
    if apart_mm is None:
        return "on another board than the busbar: distance not surveyed"
    return f"{apart_mm} mm or more from the busbar as drawn"


def _two_on_one(fit: Fit, name: str) -> str:
    """That the main fuse sits where a string of modules has its own fuse already."""
    if name != "main" or not fit.build.bank.fuse or not fit.main_holder or not fit.main_holder.on_terminal:
        return ""
    return "one terminal holds both a string's fuse and this one: whether their holders fit is the makers' to say"


def _lead(fit: Fit, laid: RoutedRun) -> str:
    """That what the 12 V panel feeds does not end there."""
    panel = fit.case.brief.dc_panel_point
    if not laid.run.name.startswith("pass_") or laid.run.end == panel:
        return ""
    return f"its cable ends at {laid.run.end}: the lead from {panel} to there, behind the fuse, is not in the build"


def _towed(fit: Fit, name: str) -> str:
    """That the fuse at a trailer's plug leaves the towing vehicle's cable to its own."""
    if name != "alternator_feed" or not fit.case.towed:
        return ""
    return (
        "guards the cable from the plug on; the towing vehicle's own cable to the plug needs a fuse by its starter "
        "battery, which is not in the build"
    )


def _either(fit: Fit, name: str, fuse: Fuse) -> str:
    """That a fault in this circuit may take the fuse before it as well, and what then goes dark."""
    before = {"main_fuse": "", "feed": "", "panel": "dc_loads"}.get(connection_of(name).guard, "main")
    laid = routed_runs(fit).get(before)
    if not laid or not laid.fuse or SELECTIVE * fuse.rating_a <= laid.fuse.rating_a:
        return ""
    return f"the fuse of {before} is {laid.fuse.rating_a:g} A, less than {SELECTIVE:g} times this one: either may blow"


def _why_none(fit: Fit, laid: RoutedRun, found: Found) -> str:
    name = laid.run.name
    if laid.cable.kind == "mains" and name in fit.breakers:
        return f"mains: {fit.breakers[name].name} in the mains box"
    if laid.cable.kind == "mains":
        in_box = connection_of(name).guard == "mains_box" and fit.build.slot("mains_box") is not None
        has = "the mains box has a breaker for it, of no rating in the catalogue"
        return f"mains: {has if in_box else 'what protects it is not in the build'}; a licensed electrician settles it"
    if name.startswith("solar_"):
        array = name.removeprefix("solar_")
        if any(a.name == array and a.fuse for a in fit.build.arrays):
            return "each string has a fuse of its own"
        strings = found.get(f"string.parallel[{array}]")
        if strings:
            return f"strings in parallel: {strings.numbers[1]}; without a fuse each {strings.numbers[0]} allowed"
    if name == "dc_loads" and fit.step_down:
        return f"fed by the step-down, which is rated for {fit.step_down.out_a:g} A"
    if name.startswith("pass_"):
        return "no current is asked of it: protect it where it is fed"
    return "none in the build"


# --- what runs share ---------------------------------------------------------------------------------


def _shared(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    isolator, busbar, box = fit.at("isolator", Isolator), fit.at("busbar", Busbar), fit.at("mains_box", MainsBox)
    if isolator:
        cells: dict[str, Cell] = {
            "protects run": "main",
            "run no.": run_numbers(fit).get("main"),
            "remark": "parts the bank from all else",
        }
        yield _slot(fit, "isolator", isolator, isolator.rating_a, found.get("protect.isolator")) | cells
    if busbar:
        wanted = _numbers(found, "protect.studs")
        circuits = "circuit needs" if wanted == "1" else "circuits need"
        cells = {"remark": f"{busbar.studs} studs a bar beside the main run's; {wanted} {circuits} one"}
        yield _slot(fit, "busbar", busbar, busbar.rating_a, found.get("protect.busbar")) | cells
    if box:
        takes = f"takes {box.circuits} circuits beside its breakers for inlet and feeds of chargers"
        remark = f"{takes}; {_numbers(found, 'protect.mains_box')} required: {_ways_left(fit, box)}"
        if taken := found.get("breaker.modules"):
            remark = f"{taken.numbers[1]} of its {box.modules} modules are taken"
        yield _slot(fit, "mains_box", box, box.inlet_a, found.get("protect.inlet_breaker")) | {"remark": remark}
    inlet = fit.case.brief.inlet
    if inlet:
        remark = "the hook-up inlet, as surveyed"
        yield {"what": "inlet", "rating": inlet.rating_a, "where": f"at {inlet.point}", "remark": remark}


DEVICES = {
    "breaker": "breaker",
    "residual": "residual-current device",
    "combined": "breaker with residual-current device",
    "manual_changeover": "changeover, by hand",
    "automatic_changeover": "changeover, by itself",
}
_SIDES = {
    "residual_hook_up": "for all on the hook-up side, behind the main device",
    "residual_inverter": "for all on the inverter's side, behind its breaker and any changeover",
    "changeover": "feeds the inverter's side from the inverter's breaker or from the hook-up side, both poles",
}


def _mains(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    """What the mains box is filled with."""
    for place, device in fit.breakers.items():
        trips = f"{device.residual_ma:g} mA, type {device.residual_type}" if device.residual_ma else ""
        yield {
            "what": DEVICES[device.kind],
            "part": device.name,
            "rating": device.rating_a,
            "required at least": _limit(found.get(f"breaker.over_load[{place}]")),
            "allowed at most": _limit(found.get(f"breaker.under_cable[{place}]")),
            "breaks": device.breaking_mains_a,
            "prospective fault current": _limit(found.get(f"breaker.breaking[{place}]")),
            "where": "in the mains box",
            "protects run": "" if place in _SIDES else place,
            "run no.": run_numbers(fit).get(place),
            "remark": "; ".join(filter(None, (trips, _SIDES.get(place, "")))),
        }


def _ways_left(fit: Fit, box: MainsBox) -> str:
    """Ways of the mains box beside those of the circuits."""
    left = max(box.circuits - max(len(fit.case.brief.circuits), 1), 0)
    if left:
        return "1 way is left" if left == 1 else f"{left} ways are left"
    return "no way is left: a main residual-current device, or whatever else is required in it, needs a larger box"


def _numbers(found: Found, requirement: str) -> str:
    finding = found.get(requirement)
    return finding.numbers[0] if finding else "no known number of"


def _slot(fit: Fit, slot: str, part: Body, rating_a: float, finding: Finding | None) -> dict[str, Cell]:
    fitted = fit.build.slot(slot)
    return {
        "what": slot,
        "part": part.name,
        "rating": rating_a,
        "required at least": _limit(finding),
        "where": place_of(fit, fitted) if fitted else "",
    }
