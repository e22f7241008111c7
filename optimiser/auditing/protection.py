"""Fuses, isolator, busbars and mains box: what a fault and a load ask of them."""

from collections.abc import Iterator, Mapping
from math import ceil, inf
from typing import NamedTuple

from optimiser.auditing.converters import bank_ohm
from optimiser.auditing.finding import Finding, checked
from optimiser.basis import volts
from optimiser.case import Trailer
from optimiser.fitted.drawn import between_mm
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import standing_in
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs, source_v_of
from optimiser.parts import Busbar, Fuse, Holder, Isolator, MainsBox
from optimiser.physics import cable

COPPER_C = 20.0  # cold: it is before a fault that the copper holds back most of it
UPSTREAM = {"bank": (), "busbar": ("main",), "panel": ("main", "dc_loads")}
"""Feed -> runs between the bank's terminal and a fuse fed there, where the bank itself drives the fault."""


class Fault(NamedTuple):
    """The most that can flow through a fuse [A], and the system voltage of what drives it."""

    amps: float
    system_v: int


def check(fit: Fit) -> Iterator[Finding]:
    """Every fuse that is there, and the parts that runs share."""
    laid, wanted = routed_runs(fit), required_runs(fit)
    for name, run in laid.items():
        if name in wanted and run.fuse:
            yield from _fuse(fit, wanted[name], run.fuse, laid)
    yield from _fuse_distance(fit)
    yield from _tail_distance(fit)
    yield from _shared(fit, wanted, laid.get("main"))


# --- fuses -------------------------------------------------------------------------------------------


def _fuse(fit: Fit, wanted: RequiredRun, fuse: Fuse, laid: Mapping[str, RoutedRun]) -> Iterator[Finding]:
    fault = _fault(fit, wanted, laid)
    if fault is None:
        return  # fed from nowhere, reported as such
    yield checked("run.fuse_breaking", wanted.name, limit=fault.amps, actual=fuse.breaking_a(fault.system_v))
    yield checked("run.fuse_voltage", wanted.name, limit=volts.full_v(fault.system_v), actual=fuse.volt_max_v)
    if wanted.feed != "panel" or not fit.dc_panel:  # a way of the panel holds it
        yield checked("run.fuse_holder", wanted.name, limit=fuse.rating_a, actual=_held_a(fit, wanted, fuse))


def _held_a(fit: Fit, wanted: RequiredRun, fuse: Fuse) -> float:
    """What its holder is for there: one that is bolted to a battery's terminal is for nothing elsewhere, and the
    starter battery that charges a trailer is not at the trailer's end of the plug."""
    holder, towed = fit.part(fuse.holder, Holder), isinstance(fit.case.brief.vehicle, Trailer)
    at_terminal = wanted.feed == "bank" or (wanted.feed == "alternator" and not towed)
    return holder.rating_max_a if at_terminal or not holder.on_terminal else 0.0


def _fault(fit: Fit, wanted: RequiredRun, laid: Mapping[str, RoutedRun]) -> Fault | None:
    """Through cells and copper upstream alone: what lies behind the fuse is not there when the fault is at its end."""
    alternator, source_v = fit.case.brief.alternator, source_v_of(fit, wanted)
    if wanted.feed == "alternator":
        return Fault(volts.starter_fault_a(alternator), source_v) if alternator else None
    if wanted.feed == "":
        return None
    if wanted.feed == "panel" and fit.system_v != 12:
        return Fault(volts.step_down_fault_a(fit.step_down), source_v) if fit.step_down else None
    ohm = bank_ohm(fit) + sum(laid[run].least_loop_ohm(COPPER_C) for run in UPSTREAM[wanted.feed] if run in laid)
    return Fault(cable.fault_current_a(volt=volts.full_v(source_v), resistance_ohm=ohm), source_v)


# --- distances: what stands before a fuse is not guarded by it -------------------------------------------


def _fuse_distance(fit: Fit) -> Iterator[Finding]:
    """Conductor that no fuse guards at its source, as long as it may be: nobody surveyed where terminals are.

    Where each string has a fuse on its terminal, that guards it, and bodies are only kept near. Links between the
    modules of one string, or of a bank whose strings have no fuses, are counted nowhere (common practice, no source).
    """
    if not fit.main_holder or not fit.bay("bank") or not fit.bay("main_fuse"):
        return  # reported as missing
    distance = 0.0 if fit.main_holder.on_terminal else _apart_mm(fit, "bank", "main_fuse")
    if not fit.main_holder.on_terminal and not fit.build.bank.fuse:
        distance = _far_corners_mm(fit)
    if fit.bay("bank") is not fit.bay("main_fuse"):
        distance = inf
    yield checked("run.fuse_distance", limit=fit.case.rules["fuse_distance_mm"], actual=distance)


def _far_corners_mm(fit: Fit) -> float:
    """Along the board, across it, and off it as far as the higher of both with its clearance; no board but the bank's
    is known to be near."""
    bank, fuse = (standing_in(fit)[slot] for slot in ("bank", "main_fuse"))
    if bank.board.place != fuse.board.place:
        return inf
    return bank.rect.far_corners(fuse.rect) + max(bank.foot.depth_mm, fuse.foot.depth_mm)


def _tail_distance(fit: Fit) -> Iterator[Finding]:
    if fit.row_runs and fit.bay("busbar") and fit.bay("fuse_row"):
        distance = _apart_mm(fit, "busbar", "fuse_row") + ceil(2 * fit.case.rules["end_mm"])  # along the conductor
        yield checked("run.tail_distance", limit=fit.case.rules["tail_distance_mm"], actual=distance)


def _apart_mm(fit: Fit, one: str, other: str) -> float:
    """From edge to edge, in one bay: along its faces, or its cable allowance where boards are not surveyed."""
    found = standing_in(fit)
    return between_mm(fit, found[one], found[other]) if fit.bay(one) is fit.bay(other) else inf


# --- parts that runs share ---------------------------------------------------------------------------


def _shared(fit: Fit, wanted: Mapping[str, RequiredRun], main: RoutedRun | None) -> Iterator[Finding]:
    """Isolator and busbars carry what the main fuse lets through for long, whatever the loads ask."""
    brief = fit.case.brief
    isolator, busbar, box = fit.at("isolator", Isolator), fit.at("busbar", Busbar), fit.at("mains_box", MainsBox)
    through_a = max(fit.main_a, main.fuse.rating_a if main and main.fuse else 0.0)
    if isolator:
        yield checked("protect.isolator", limit=through_a, actual=isolator.rating_a)
    if busbar:
        yield checked("protect.busbar", limit=through_a, actual=busbar.rating_a)
        circuits = sum("busbar" in run.ends for name, run in wanted.items() if name != "main")
        yield checked("protect.studs", limit=circuits, actual=busbar.studs)
    if box:
        yield checked("protect.mains_box", limit=max(len(brief.circuits), 1), actual=box.circuits)
        if brief.inlet:
            yield checked("protect.inlet_breaker", limit=brief.inlet.rating_a, actual=box.inlet_a)
