"""The fuse and isolator schedule: each thing that protects or parts a circuit, with the figures it was held to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from optimiser.audit import Finding, Fit
from optimiser.audit.fitted import OUTSIDE_ROW
from optimiser.audit.wiring import Laid, laid_runs
from optimiser.parts import Body, Busbar, Fuse, Holder, Isolator, MainsBox
from optimiser.schedules.ends import place_of
from optimiser.schedules.table import Cell, Column, Row, Schedule

Found = Mapping[str, Finding]  # requirement with its place -> finding

_COLUMNS = (
    Column("what"),
    Column("part"),
    Column("family"),
    Column("rating", "A", "number", None),
    Column("wanted at least", "A", "number", 1, "up"),
    Column("allowed at most", "A", "number", 1, "down"),
    Column("breaks", "A", "number", None),
    Column("can flow", "A", "whole", 0, "up"),
    Column("for at most", "V", "number", None),
    Column("can stand", "V", "number", 1, "up"),
    Column("holder"),
    Column("where"),
    Column("protects run"),
    Column("cable"),
    Column("carries", "A", "number", 1, "up"),
    Column("cable stands", "A", "number", 1, "down"),
    Column("remark"),
)


def protection(fit: Fit, findings: Iterable[Finding]) -> Schedule:
    """Each run once, with its fuse or why it has none, then what runs share."""
    found = {finding.requirement: finding for finding in findings}
    return Schedule(
        key="protection",
        title="Fuses, isolator and mains box",
        columns=_COLUMNS,
        rows=tuple(_filled(cells) for cells in (*_runs(fit, found), *_shared(fit, found))),
        notes=(
            "Limits are the audit's, rounded to the safe side in the last figure shown. Without one, none applies.",
            "where: board, and corner of the holder from the board's lower left corner, mm.",
            "The order of the holders in the fuse row is proposed: as the runs are listed.",
            "A spare fuse is of the same family, rating and breaking capacity.",
            "Breakers, residual-current devices and earthing of the mains are a licensed electrician's to settle.",
        ),
    )


def _filled(cells: dict[str, Cell]) -> Row:
    """A row from the cells that have something in them, each under its title."""
    return tuple(cells.get(column.title) for column in _COLUMNS)


# --- runs --------------------------------------------------------------------------------------------


def _runs(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    places = _row_places(fit)
    for name, laid in laid_runs(fit).items():
        if laid.cable.kind == "data":
            continue
        cells = _cable(laid, found)
        if laid.fuse:
            cells |= _fuse(fit, name, laid.fuse, found) | {"where": _where(fit, name, places)}
        else:
            cells |= {"what": "no fuse", "remark": _why_none(fit, laid, found)}
        yield cells


def _cable(laid: Laid, found: Found) -> dict[str, Cell]:
    ampacity = found.get(f"run.ampacity[{laid.run.name}]")
    return {
        "protects run": laid.run.name,
        "cable": laid.cable.name,
        "carries": ampacity.actual if ampacity else None,
        "cable stands": ampacity.limit if ampacity else None,
    }


def _fuse(fit: Fit, name: str, fuse: Fuse, found: Found) -> dict[str, Cell]:
    def limit(requirement: str) -> float | None:
        finding = found.get(f"{requirement}[{name}]")
        return finding.limit if finding else None

    return {
        "what": "main fuse" if name == "main" else "fuse",
        "part": fuse.name,
        "family": fuse.family,
        "rating": fuse.rating_a,
        "wanted at least": limit("run.fuse_over_load"),
        "allowed at most": limit("run.fuse_under_cable"),
        "breaks": fuse.breaking_a,
        "can flow": limit("run.fuse_breaking"),
        "for at most": fuse.volt_max_v,
        "can stand": limit("run.fuse_voltage"),
        "holder": fuse.holder,
    }


def _row_places(fit: Fit) -> dict[str, str]:
    """Run -> place of its holder in the fuse row."""
    inside = [run.name for run in fit.build.runs if run.fuse and run.name not in OUTSIDE_ROW]
    return {name: f"fuse_row, {place} of {len(inside)}" for place, name in enumerate(inside, 1)}


def _where(fit: Fit, name: str, places: Mapping[str, str]) -> str:
    if name == "main":
        return _main_fuse(fit)
    if name == "alternator_feed":
        point = fit.case.brief.alternator.point if fit.case.brief.alternator else "its feed"
        return f"at {point}, close to the starter battery or the feed; the survey gives no board"
    row = fit.build.slot("fuse_row")
    return f"{places[name]}: {place_of(row)}" if row else places[name]


def _main_fuse(fit: Fit) -> str:
    fitted = fit.build.slot("main_fuse")
    if not fitted:
        return ""
    on_terminal = fit.part(fitted.part, Holder).on_terminal
    return f"on the bank's terminal, {fitted.board}" if on_terminal else place_of(fitted)


def _why_none(fit: Fit, laid: Laid, found: Found) -> str:
    name = laid.run.name
    if laid.cable.kind == "mains":
        return "mains: protected by the mains box and by what stands before it"
    if name.startswith("solar_"):
        strings = found.get(f"string.parallel[{name.removeprefix('solar_')}]")
        if strings:
            return f"strings in parallel: {strings.numbers[1]}; without a fuse each {strings.numbers[0]} allowed"
    if name == "dc_loads" and fit.step_down:
        return f"fed by the step-down, which gives {fit.step_down.out_a:g} A at most"
    if name.startswith("pass_"):
        return "no source is surveyed: protect it where it is fed"
    return "none in the build"


# --- what runs share ---------------------------------------------------------------------------------


def _shared(fit: Fit, found: Found) -> Iterator[dict[str, Cell]]:
    isolator, busbar, box = fit.at("isolator", Isolator), fit.at("busbar", Busbar), fit.at("mains_box", MainsBox)
    if isolator:
        cells: dict[str, Cell] = {"protects run": "main", "remark": "parts the bank from all else"}
        yield _slot(fit, "isolator", isolator, isolator.rating_a, found.get("protect.isolator")) | cells
    if busbar:
        cells = {"remark": f"{busbar.studs} studs a bar; {_numbers(found, 'protect.studs')} circuits need one"}
        yield _slot(fit, "busbar", busbar, busbar.rating_a, found.get("protect.busbar")) | cells
    if box:
        remark = f"takes {box.circuits} circuits; {_numbers(found, 'protect.mains_box')} wanted"
        yield _slot(fit, "mains_box", box, box.inlet_a, found.get("protect.inlet_breaker")) | {"remark": remark}
    inlet = fit.case.brief.inlet
    if inlet:
        remark = "the hook-up inlet, as surveyed"
        yield {"what": "inlet", "rating": inlet.rating_a, "where": f"at {inlet.point}", "remark": remark}


def _numbers(found: Found, requirement: str) -> str:
    finding = found.get(requirement)
    return finding.numbers[0] if finding else "no known number of"


def _slot(fit: Fit, slot: str, part: Body, rating_a: float, finding: Finding | None) -> dict[str, Cell]:
    fitted = fit.build.slot(slot)
    return {
        "what": slot,
        "part": part.name,
        "rating": rating_a,
        "wanted at least": finding.limit if finding else None,
        "where": place_of(fitted) if fitted else "",
    }
