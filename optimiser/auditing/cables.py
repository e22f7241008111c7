"""Runs and the ways they take: sections, currents, drops, terminals, fill."""

from collections.abc import Iterator, Mapping
from math import pi

from optimiser.auditing.finding import Finding, checked
from optimiser.auditing.surroundings import at_terminals_a, copper_c, stands_a
from optimiser.basis import money
from optimiser.case import Way
from optimiser.fitted.drawn import reach_mm
from optimiser.fitted.fit import Fit
from optimiser.fitted.links import as_one_way_m
from optimiser.fitted.wiring import RequiredRun, RoutedRun, required_runs, routed_runs, terminals
from optimiser.parts import Cable, Fuse, Holder
from optimiser.physics import cable


def check(fit: Fit) -> Iterator[Finding]:
    """Every run that is there, and every way with something in it."""
    laid, wanted = routed_runs(fit), required_runs(fit)
    on_way = {way.name: [r for r in laid.values() if way in r.ways] for way in fit.case.ways}
    for name, run in laid.items():
        if name in wanted:
            yield _length(fit, run)
            yield from _run(fit, wanted[name], run, on_way)
    for way in fit.case.ways:
        if on_way[way.name]:
            yield from _way(fit, way, on_way[way.name])


# --- runs --------------------------------------------------------------------------------------------


def drop(
    fit: Fit, wanted: RequiredRun, of: Cable, one_way_m: float, before_m: Mapping[str, float] | None = None
) -> Finding:
    """The drop from the bank to the end of a run, of that cable and that long one way [m], against its limit.

    The links of the bank are of the main run, and lose with it.

    ``before_m`` has lengths of the runs between, where they are other than cut [m].
    """
    links_m = as_one_way_m(fit) if wanted.name == "main" else 0.0
    drop_v = own_drop_v(fit, wanted, of, one_way_m + links_m) + drop_before_v(fit, wanted, before_m or {})
    return checked("run.drop", wanted.name, limit=wanted.share * wanted.volt, actual=drop_v)


def own_drop_v(fit: Fit, wanted: RequiredRun, of: Cable, one_way_m: float) -> float:
    """The drop along a run alone [V]."""
    return _drop_v(fit, wanted.amps if wanted.drop_a is None else wanted.drop_a, of, one_way_m)


def drop_before_v(fit: Fit, wanted: RequiredRun, before_m: Mapping[str, float]) -> float:
    """What is lost between the bank and a run's start, in the runs that are there [V]."""
    laid, links_m = routed_runs(fit) if wanted.behind else {}, {"main": as_one_way_m(fit)}
    return sum(
        _drop_v(fit, amps, laid[name].cable, before_m.get(name, laid[name].one_way_m) + links_m.get(name, 0.0))
        for name, amps in wanted.behind
        if name in laid
    )


def _drop_v(fit: Fit, current_a: float, of: Cable, one_way_m: float) -> float:
    return cable.voltage_drop_v(
        current_a=current_a,
        ohm_per_km_20c=of.ohm_per_km,
        one_way_m=one_way_m,
        conductor_c=fit.case.rules["conductor_c"],
    )


def ends_mm2(fit: Fit, wanted: RequiredRun, fuse: Fuse | None) -> list[float]:
    """What each terminal of a run takes at most, with those of its fuse's holder [mm2]."""
    in_panel = wanted.feed == "panel" and fit.dc_panel is not None
    holder = [fit.part(fuse.holder, Holder).terminal_mm2] if fuse and not in_panel else []
    return [*terminals(fit, wanted), *(taken for taken in holder if taken > 0)]


def _length(fit: Fit, run: RoutedRun) -> Finding:
    """Whether its cable reaches: the core with less to spare, where it is a pair."""
    cut = [steps * money.STEP_MM for steps in run.core_steps]
    cores = list(zip(cut, reach_mm(fit, run), _cores(run), strict=True))
    cut_mm, needed_mm, words = min(cores, key=lambda core: core[0] - core[1])
    if len({core[:2] for core in cores}) < len(cores):
        words = f"each core of {run.run.name}"
    return checked("run.length", run.run.name, limit=cut_mm, actual=needed_mm, of=words)


def _cores(run: RoutedRun) -> list[str]:
    """What its cores are called, in their order; a cable of several is one length."""
    name = run.run.name
    return [f"the {pole} core of {name}" for pole in "+-"] if run.cable.paired else [f"the cable of {name}"]


def _run(fit: Fit, wanted: RequiredRun, run: RoutedRun, on_way: dict[str, list[RoutedRun]]) -> Iterator[Finding]:
    rules, name, section = fit.case.rules, wanted.name, run.cable.section_mm2
    if wanted.kind == "data":
        return
    least = rules["main_section_min_mm2" if wanted.kind == "mains" else "dc_section_min_mm2"]
    yield checked("run.section", name, limit=least, actual=section)
    ampacity, carried = stands_a(fit, run, on_way), max(wanted.amps, wanted.stands_a)
    rating = run.fuse.rating_a if run.fuse else 0.0
    yield checked("run.ampacity", name, limit=ampacity, actual=carried)
    yield checked("run.terminal_heat", name, limit=at_terminals_a(fit, run.cable), actual=max(carried, rating))
    yield drop(fit, wanted, run.cable, run.one_way_m)
    ends = ends_mm2(fit, wanted, run.fuse)
    if ends:
        yield checked("run.terminal", name, limit=min(ends), actual=section)
    if wanted.feed:
        yield checked("run.fuse_over_load", name, limit=rules["fuse_over_load"] * wanted.amps, actual=rating)
    if wanted.feed and run.fuse:
        yield checked("run.fuse_under_cable", name, limit=rules["fuse_of_ampacity"] * ampacity, actual=rating)
        yield checked("run.copper", name, limit=run.cable.insulation_c, actual=copper_c(fit, run, on_way, rating))


# --- ways --------------------------------------------------------------------------------------------


def _way(fit: Fit, way: Way, runs: list[RoutedRun]) -> Iterator[Finding]:
    rules = fit.case.rules
    outside_mm = [run.cable.outside_mm for run in runs for _ in range(money.cores(run.cable))]
    share = cable.fill_limit(cables=len(outside_mm), few=rules["fill_few"], many=rules["fill_many"])
    bore_mm2 = pi / 4 * way.bore_mm**2
    filled = cable.duct_fill(outside_mm=outside_mm, bore_mm=way.bore_mm) * bore_mm2
    yield checked("way.fill", way.name, limit=share * bore_mm2, actual=filled)
    mains = sum(run.cable.kind == "mains" for run in runs)
    low = len(runs) - mains
    if not way.divided:
        yield checked("way.apart", way.name, limit=0, actual=min(mains, low))
    strangers = {"any": 0, "low": mains, "mains": low}[way.carries]
    yield checked("way.carries", way.name, limit=0, actual=strangers)
