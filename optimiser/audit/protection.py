"""Fuses, isolator, busbars and mains box: what a fault and a load ask of them."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from optimiser.audit.converters import bank_ohm, main_ohm
from optimiser.audit.finding import Finding, held
from optimiser.audit.fitted import Fit
from optimiser.audit.standing import standing
from optimiser.audit.wiring import Laid, Wanted, laid_runs, wanted_runs
from optimiser.basis import volts
from optimiser.parts import Busbar, Fuse, Isolator, MainsBox


def check(fit: Fit) -> Iterator[Finding]:
    """Every fuse that is there, and the parts that runs share."""
    laid, wanted = laid_runs(fit), wanted_runs(fit)
    for name, run in laid.items():
        if name in wanted and wanted[name].feed and run.fuse:
            yield from _fuse_ratings(fit, wanted[name], run.fuse, laid.get("main"))
    yield from _fuse_distance(fit)
    yield from _shared(fit, wanted)


# --- fuses -------------------------------------------------------------------------------------------


def _fuse_ratings(fit: Fit, wanted: Wanted, fuse: Fuse, main: Laid | None) -> Iterator[Finding]:
    alternator, full_v = fit.case.brief.alternator, volts.full_v(fit.system_v)
    if wanted.feed == "bank":
        fault_a = full_v / bank_ohm(fit)
    elif wanted.feed == "busbar":
        fault_a = full_v / main_ohm(fit, main)
    elif alternator:
        fault_a, full_v = alternator.fault_a, volts.full_v(alternator.system_v)
    else:
        return  # a feed from nowhere, reported as such
    yield held("run.fuse_breaking", wanted.name, limit=fault_a, actual=fuse.breaking_a)
    yield held("run.fuse_voltage", wanted.name, limit=full_v, actual=fuse.volt_max_v)


def _fuse_distance(fit: Fit) -> Iterator[Finding]:
    holder, bank_bay, fuse_bay = fit.main_holder, fit.bay("bank"), fit.bay("main_fuse")
    if not holder or not bank_bay or not fuse_bay:
        return  # reported as missing
    found = {s.slot: s for s in standing(fit) if s.slot in ("bank", "main_fuse")}
    if bank_bay is not fuse_bay:
        distance = inf
    elif holder.on_terminal:
        distance = 0.0
    elif found["bank"].board.place == found["main_fuse"].board.place:
        distance = found["bank"].rect.around_corner(found["main_fuse"].rect)
    else:
        distance = bank_bay.lead_mm
    yield held("run.fuse_distance", limit=fit.case.rules["fuse_distance_mm"], actual=distance)


# --- parts that runs share ---------------------------------------------------------------------------


def _shared(fit: Fit, wanted: dict[str, Wanted]) -> Iterator[Finding]:
    brief = fit.case.brief
    isolator, busbar, box = fit.at("isolator", Isolator), fit.at("busbar", Busbar), fit.at("mains_box", MainsBox)
    if isolator:
        yield held("protect.isolator", limit=fit.main_a, actual=isolator.rating_a)
    if busbar:
        yield held("protect.busbar", limit=fit.main_a, actual=busbar.rating_a)
        circuits = sum("busbar" in run.ends for name, run in wanted.items() if name != "main")
        yield held("protect.studs", limit=circuits, actual=busbar.studs)
    if box:
        yield held("protect.mains_box", limit=max(len(brief.circuits), 1), actual=box.circuits)
        if brief.inlet:
            yield held("protect.inlet_breaker", limit=brief.inlet.rating_a, actual=box.inlet_a)
