"""What ``check`` finds of a case that has no problems: a summary, and warnings."""

from dataclasses import dataclass

from optimiser.basis import loads
from optimiser.case import Case, Existing, OldPart, Way
from optimiser.catalogue import Catalogue
from optimiser.checking.figures import BayRoom, ScenarioTotals, ZoneArea, bay_room, scenario_totals, zone_area
from optimiser.checking.odd_rules import built_words
from optimiser.checking.oddities import Oddity, oddities


@dataclass(frozen=True)
class Overview:
    """A case in figures."""

    title: str
    scenarios: tuple[ScenarioTotals, ...]
    zones: tuple[ZoneArea, ...]
    bays: tuple[BayRoom, ...]
    ways: tuple[Way, ...]
    existing: tuple[Existing, ...]
    old_parts: tuple[OldPart, ...]
    oddities: tuple[Oddity, ...]
    built: str = ""  # whether the rule set serves when it is fitted out, where the brief says when
    driven: str = ""  # what charging by the engine rests on, where a scenario drives
    notes: tuple[str, ...] = ()  # of files that an earlier version wrote otherwise


def overview(case: Case, catalogue: Catalogue) -> Overview:
    """Calculate what a case amounts to."""
    return Overview(
        title=f"{case.brief.title} ({case.name})",
        scenarios=tuple(scenario_totals(case, scenario) for scenario in case.scenarios),
        zones=tuple(zone_area(case, zone) for zone in case.zones),
        bays=tuple(bay_room(case, bay) for bay in case.bays),
        ways=case.ways,
        existing=case.existing,
        old_parts=case.old_parts,
        oddities=oddities(case, catalogue),
        built=built_words(case),
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
