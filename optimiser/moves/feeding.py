"""Values of brief and survey that feed limits of makers and rules, each moved as far as is worth a try.

Not levers of those limits: nobody says a fuse is too large because of a smaller inlet. But where makers and rules leave
no build, one of these may give way to them: an inlet, a voltage, a choice, a count, a draw, the air.
"""

from collections.abc import Iterable, Iterator

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.moves.levers import levers
from optimiser.moves.move import Lever
from optimiser.parts import AlternatorCharger, MainsBox

_AS_SUCH = (
    "charge.asked_for",
    "battery.voltage",
    "string.system_voltage",
    "inverter.present",
)  # their levers are words
_INLETS_A = (6.0, 10.0, 16.0)  # usual inlets and site supplies (common practice, no source)
_MAINS_V = (120.0, 230.0)
_LARGER_MM = 100
_AIR_K, _OUTSIDE_K = (5, 10), 10


def feeding(case: Case, catalogue: Catalogue) -> tuple[Lever, ...]:
    """All of them, each with the value it is to be tried at."""
    chosen = [lever for name in _AS_SUCH for lever in levers(case, catalogue, name) if lever.act]
    sources = (*_feeds(case, catalogue), *_inlets(case, catalogue))
    made = (*chosen, *sources, *_counts(case), *_air(case), *_starts(case), *_draws(case), *_bays(case, catalogue))
    return tuple(dict.fromkeys(made))


def _set(address: str, words: str, values: Iterable[float], unit: str, *, now: float) -> Iterator[Lever]:
    """One value at each of several others, the nearest first."""
    for value in sorted(set(values), key=lambda value: abs(value - now)):
        if value != now:
            told = f"{words} {value:g} {unit}".rstrip()
            yield Lever(address, None, "", told, act=True, to=f"{value:g}")


def _feeds(case: Case, catalogue: Catalogue) -> Iterator[Lever]:
    feed = case.brief.alternator
    if feed is None:
        return
    made_for = [c.input_v for c in catalogue.of("alternator_chargers").values() if isinstance(c, AlternatorCharger)]
    yield from _set("alternator.system_v", "an alternator of", made_for, "V", now=feed.system_v)
    for column, words in (("rating_a", "an alternator rated"), ("plug_a", "a plug of the feed rated")):
        rating = getattr(feed, column)
        if rating is not None:
            yield from _set(f"alternator.{column}", words, (rating / 2, rating * 2), "A", now=rating)


def _inlets(case: Case, catalogue: Catalogue) -> Iterator[Lever]:
    inlet, mains_v = case.brief.inlet, case.brief.place.mains_v
    if inlet is not None:
        boxes = [box.inlet_a for box in catalogue.of("mains_boxes").values() if isinstance(box, MainsBox)]
        yield from _set("inlet.rating_a", "an inlet of", {*_INLETS_A, *boxes}, "A", now=inlet.rating_a)
    if inlet is not None or case.brief.circuits:
        yield from _set("place.mains_v", "mains of", _MAINS_V, "V", now=mains_v)


def _counts(case: Case) -> Iterator[Lever]:
    most = case.limits.regulators_at_most
    yield from _set("limits.regulators_at_most", "regulators allowed:", (most + 1, most + 2), "", now=most)
    for outside in case.brief.pass_throughs:
        address = f"pass_through.{outside.name}"
        yield from _set(f"{address}.ip_class", f"pass-through {outside.name} of IP", (44,), "", now=outside.ip_class)
        half = outside.current_a / 2
        yield from _set(f"{address}.current_a", f"pass-through {outside.name} for", (half,), "A", now=outside.current_a)


def _air(case: Case) -> Iterator[Lever]:
    """Hotter air in bays lets more heat out and lets cables and inverters do less: it cuts both ways."""
    air, place = case.limits.bay_air_max_c, case.brief.place
    either = [air + sign * kelvin for kelvin in _AIR_K for sign in (-1, 1)]
    yield from _set("limits.bay_air_max_c", "air allowed in bays:", either, "C", now=air)
    hottest, coldest = place.record_high_c, place.record_low_c
    yield from _set("place.record_high_c", "hottest air:", (hottest - _OUTSIDE_K,), "C", now=hottest)
    yield from _set("place.record_low_c", "coldest morning:", (coldest + _OUTSIDE_K,), "C", now=coldest)


def _starts(case: Case) -> Iterator[Lever]:
    """A bank that must end where it began takes by day no more than it lacks then; another may not last the night."""
    floor = case.limits.soc_floor_pct
    for scenario in case.scenarios:
        now = scenario.start_pct
        value = round((floor + now) / 2) if scenario.returns else 100
        if value > floor:
            yield from _set(f"scenario.{scenario.name}.start_pct", f"{scenario.name} begun at", (value,), "%", now=now)


def _draws(case: Case) -> Iterator[Lever]:
    for load in case.loads:
        half = round(load.watt_w / 2, 1)
        yield from _set(f"load.{load.name}.watt_w", f"load {load.name} drawing", (half,), "W", now=load.watt_w)


def _bays(case: Case, catalogue: Catalogue) -> Iterator[Lever]:
    """Larger bays, where a larger board wants one: more room, and more wall for heat to leave through."""
    for name in ("bay.board", "bay.depth"):
        for lever in levers(case, catalogue, name):
            table, bay, *_, column = lever.address.split(".")
            if table == "bay":
                now = getattr(case.bay_of[bay], column)
                words = f"{column.removesuffix('_mm')} of bay {bay}"
                yield from _set(lever.address, words, (now + _LARGER_MM,), "mm", now=now)
