"""What ``check`` says of a case that has no problems: what it amounts to, and what looks odd."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.basis import loads
from optimiser.case import Case, Kept, Way
from optimiser.catalogue import Catalogue
from optimiser.checking.figures import BayRoom, ScenarioTotals, ZoneArea, bay_room, scenario_totals, zone_area
from optimiser.checking.oddities import Oddity, oddities

__all__ = ["BayRoom", "Oddity", "Overview", "ScenarioTotals", "ZoneArea", "lines", "oddities", "overview"]


@dataclass(frozen=True)
class Overview:
    """A case in figures."""

    title: str
    scenarios: tuple[ScenarioTotals, ...]
    zones: tuple[ZoneArea, ...]
    bays: tuple[BayRoom, ...]
    ways: tuple[Way, ...]
    kept: tuple[Kept, ...]
    oddities: tuple[Oddity, ...]
    driven: str = ""  # what charging by the engine rests on, where a scenario drives
    notes: tuple[str, ...] = ()  # of files that an earlier version wrote otherwise


def overview(case: Case, catalogue: Catalogue) -> Overview:
    """Reckon what a case amounts to."""
    return Overview(
        title=f"{case.brief.title} ({case.name})",
        scenarios=tuple(scenario_totals(case, scenario) for scenario in case.scenarios),
        zones=tuple(zone_area(case, zone) for zone in case.zones),
        bays=tuple(bay_room(case, bay) for bay in case.bays),
        ways=case.ways,
        kept=case.keep,
        oddities=oddities(case, catalogue),
        driven=_driven(case),
        notes=(*catalogue.notes, *case.notes),
    )


def _driven(case: Case) -> str:
    """Nobody surveyed how hot and how slow the engine runs: one share of its alternator stands for both."""
    hours = {s.name: int(loads.hourly(case, s).driving.sum()) for s in case.scenarios}
    names = ", ".join(f"{name} ({count} h)" for name, count in hours.items() if count)
    if not names or case.brief.alternator is None or case.brief.alternator_charger == "no":
        return ""
    share = f"{100 * case.rules['alternator_share']:g} % of the alternator's rating"
    return f"{names}: at most {share} is drawn, on the road; an engine that idles for long or runs hot gives less"


def lines(seen: Overview) -> list[str]:
    """The overview as lines of text."""
    return list(_lines(seen))


def _lines(seen: Overview) -> Iterator[str]:
    yield seen.title
    yield "What the loads take over each scenario:"
    for s in seen.scenarios:
        mains = f"{s.inverter_wh:.0f} Wh at the inverter's sockets, {s.hook_up_wh:.0f} Wh on hook-up only"
        yield f"  {s.name}, {s.hours} h: {s.dc_wh:.0f} Wh at 12 V, {mains}"
    if seen.driven:
        yield "Charging while driving:"
        yield f"  {seen.driven}"
    yield "Roof zones:"
    for z in seen.zones:
        yield f"  {z.name} (light {z.light}): {z.area_m2:.2f} m2, {z.free_m2:.2f} m2 of it free of obstacles"
    yield "Bays and their boards:"
    for b in seen.bays:
        boards = ", ".join(f"{x.name} ({x.kind}) {x.area_m2:.2f} m2 x {x.depth_mm} mm" for x in b.boards)
        yield f"  {b.name}: {b.volume_l:.0f} l; {boards}"
    yield "Cable ways:"
    for w in seen.ways:
        takes = "mains or low voltage" if w.carries == "any" else "mains" if w.carries == "mains" else "low voltage"
        channels = ", two channels" if w.divided else ""
        yield f"  {w.name}: {w.start} to {w.end}, {w.length_mm} mm, bore {w.bore_mm} mm{channels}, for {takes}"
    yield "What stays:" if seen.kept else "Nothing stays of what is fitted now."
    for k in seen.kept:
        yield f"  {k.name} ({k.part or k.kind}) on {k.board}: {k.length_mm} x {k.width_mm} x {k.depth_mm} mm"
    if seen.notes:
        yield "Older files:"
        yield from (f"  {note}" for note in seen.notes)
    yield "Odd, worth a look:" if seen.oddities else "Nothing looks odd."
    for oddity in seen.oddities:
        yield f"  {oddity.place}: {oddity.text}"
