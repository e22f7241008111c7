"""Where a run lies, what its cable stands there, and how warm its copper gets."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from optimiser.fitted.fit import Fit
from optimiser.fitted.wiring import RoutedRun
from optimiser.parts import Cable
from optimiser.physics import cable

OnWay = Mapping[str, Sequence[RoutedRun]]  # way -> runs that lie in it


class Surroundings(NamedTuple):
    """Of a piece of a run: a bay, or a way."""

    air_c: float
    in_duct: bool


def stands_a(fit: Fit, run: RoutedRun, on_way: OnWay) -> float:
    """What its cable stands where it lies worst, in the company it keeps [A].

    A cable of panels, in the sun all day, stands no more than a share of the table's figure before any correction.
    """
    grouping, places = _grouping(fit, run, on_way), _along(fit, run)
    corrected = min(_ampacity_a(run.cable, place, grouping) for place in places)
    if run.cable.kind != "solar":
        return corrected
    by_the_table = min(_table_a(run.cable, place) for place in places)
    return min(corrected, by_the_table / fit.case.rules["solar_continuous_factor"])


def copper_c(fit: Fit, run: RoutedRun, on_way: OnWay, current_a: float) -> float:
    """Temperature of its copper where it lies worst, while that current flows [C]."""
    grouping = _grouping(fit, run, on_way)
    return max(
        cable.copper_c(
            ambient_c=place.air_c,
            insulation_c=run.cable.insulation_c,
            current_a=current_a,
            ampacity_a=_ampacity_a(run.cable, place, grouping),
        )
        for place in _along(fit, run)
    )


def at_terminals_a(fit: Fit, of: Cable) -> float:
    """What a cable carries without warming the terminals at its ends beyond what they stand [A]."""
    limit_c = fit.case.rules["terminal_c"]
    return cable.at_conductor_a(base_a=of.ampacity_a, insulation_c=of.insulation_c, conductor_c=limit_c)


def _along(fit: Fit, run: RoutedRun) -> set[Surroundings]:
    """The bays it starts, ends and passes through, and the ways between them."""
    nodes = {run.run.start, run.run.end, *(node for way in run.ways for node in (way.start, way.end))}
    in_ways = {Surroundings(way.temp_c, way.closed) for way in run.ways}
    if in_ways and nodes.isdisjoint(fit.case.bay_of):
        return in_ways
    return in_ways | {Surroundings(fit.case.limits.bay_air_max_c, in_duct=False)}


def _ampacity_a(of: Cable, place: Surroundings, grouping: float) -> float:
    if place.air_c >= of.insulation_c:
        return 0.0
    ambient = cable.ambient_factor(insulation_c=of.insulation_c, ambient_c=place.air_c)
    return cable.ampacity_a(base_a=_table_a(of, place), ambient_factor=ambient, grouping_factor=grouping)


def _table_a(of: Cable, place: Surroundings) -> float:
    return of.in_duct_a if place.in_duct else of.ampacity_a


def _grouping(fit: Fit, run: RoutedRun, on_way: OnWay) -> float:
    """By the length over which it lies with any other power run, on whichever ways; a lone run lies with none."""
    rules = fit.case.rules
    together_mm = sum(
        way.length_mm
        for way in run.ways
        if any(other is not run and other.cable.kind != "data" for other in on_way[way.name])
    )
    return cable.grouping_factor(
        circuits=2 if together_mm else 1,
        length_mm=together_mm,
        factor=rules["bundle_factor"],
        from_length_mm=rules["bundle_from_mm"],
    )
