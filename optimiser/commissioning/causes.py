"""What a reading out of its band is likely to come from: the cause tree a fitter follows (common practice, no source).

A guess is marked as one: it says where to look first, and a value out of band needs its cause found before handover.
"""

from collections.abc import Callable, Iterable, Iterator
from fnmatch import fnmatchcase

from optimiser.commissioning.judged import Cause, JudgedReading
from optimiser.commissioning.log import sources
from optimiser.fitted.fit import Fit

Readings = dict[str, list[JudgedReading]]  # id -> what was read, in order

_THIRD, _NEAR = 1 / 3, 0.13  # of a panel, and how near to it a shortfall counts as it
UNKNOWN = "no likely cause known: find it before handover"
LICENSED = "work for a licensed electrician: out of use until it is found"
_SHUNT = (
    "a load or a charger wired on the wrong side of the shunt",
    "the monitor's capacity, efficiency or zero set wrongly",
)
_LOAD = {
    "low": "part load, or less than the brief says",
    "high": "another load on the same circuit, or more than the brief says",
}
_DONE = ("not done, or not right: put it right before anything else is tested",)


def causes(fit: Fit, held: Iterable[JudgedReading]) -> tuple[Cause, ...]:
    """One or more for each thing that reads out of its band, in the order of the readings."""
    readings: Readings = {}
    for one in held:
        readings.setdefault(one.id, []).append(one)
    found: list[Cause] = []
    for id, ours in readings.items():
        for side in dict.fromkeys(one.side for one in ours if one.side):
            first = next(one for one in ours if one.side == side)
            texts = list(_texts(fit, first, readings))
            found += [Cause(id, text) for text in texts or [UNKNOWN]]
    return tuple(found)


def _texts(fit: Fit, held: JudgedReading, readings: Readings) -> Iterator[str]:
    rule = next((texts for ids, texts in _RULES if fnmatchcase(held.id, ids)), None) or _channel(fit, held.id)
    if isinstance(rule, dict):
        yield rule[held.side]
    elif rule:
        yield from rule if isinstance(rule, tuple) else rule(fit, held, readings)


def _is(readings: Readings, id: str, verdict: str) -> bool:
    return any(one.verdict == verdict for one in readings.get(id, []))


# --- strings -----------------------------------------------------------------------------------------


def _voc(fit: Fit, held: JudgedReading, _: Readings) -> Iterator[str]:
    assert held.measured is not None and held.design is not None  # or it were not out of band
    array = next(a for a in fit.build.arrays if held.id.startswith(f"string.{a.name}."))
    if held.side == "high":
        yield "more panels in series than designed, another type of panel, or cells colder than noted"
        return
    if held.measured < 0:
        yield "the string, or its plugs, reversed"
        return
    missing = (held.design - held.measured) / (held.design / array.series)
    if min(abs(missing - _THIRD), abs(missing - 2 * _THIRD)) < _NEAR:
        yield f"{missing:.2f} of a panel missing, near thirds: a bypass diode that conducts, or a panel reversed"
    elif abs(missing - 1) < _NEAR:
        yield "about one panel missing: left out, bridged, or its diodes all conduct"
    elif abs(missing - 2) < 2 * _NEAR:
        yield "about two panels missing: one panel reversed takes its own voltage off twice"
    else:
        yield "cells warmer than noted, or a poor plug"


def _power(fit: Fit, held: JudgedReading, readings: Readings) -> Iterator[str]:
    array = next(a for a in fit.build.arrays if held.id == f"solar.{a.name}.power_w")
    names = [f"string.{array.name}.{n}.{key}" for n in range(1, array.parallel + 1) for key in ("voc_v", "isc_a")]
    if held.side == "high":
        yield "light metered too low or out of the panels' plane"
    elif any(_is(readings, name, "out of band") for name in names):
        yield "follows from its strings: mend what their voltage and current show first"
    elif all(_is(readings, name, "in band") for name in names):
        yield "strings are good: the bank near full, or the regulator at its limit of current"
    else:
        yield "measure its strings open and short-circuited; if good, the bank near full or a limit of current"


def _array(fit: Fit, held: JudgedReading, readings: Readings) -> Iterator[str]:
    name, _, key = held.id.partition(".")
    if key == "volt_v":
        yield (
            "above its best point: its regulator limits, with the bank near full or at its limit of current"
            if held.side == "high"
            else "shade, a bypass diode that conducts, or a panel reversed"
        )
    elif held.side == "low":
        yield from _held_back(name, readings)
    else:
        yield "light metered too low or out of the panels' plane, or light reflected onto them"


def _held_back(array: str, readings: Readings) -> Iterator[str]:
    """Why an array gives too little, by its voltage."""
    volts = readings.get(f"{array}.volt_v", [])
    if any(one.side == "high" for one in volts):
        yield "its regulator limits: the bank near full, or a limit of current"
    elif any(one.verdict == "in band" for one in volts):
        yield "voltage is good: shade or dirt"
    else:
        yield "shade or dirt; or the bank near full, or the regulator at its limit of current"


# --- charging ----------------------------------------------------------------------------------------


def _charge(fit: Fit, held: JudgedReading, readings: Readings) -> Iterator[str]:
    slot = held.id.removeprefix("charge.").removesuffix("_idle").removesuffix(".current_a")
    if held.side == "high":
        sun = slot == "alternator_charger" and fit.solar_on_alternator
        yield f"set above its rated output, or a clamp not zeroed{', or its panels not covered' if sun else ''}"
    elif slot == "alternator_charger":
        if _is(readings, "charge.feed_v", "out of band"):
            yield "low voltage at its input: its feed drops too much, see charge.feed_v"
        else:
            yield "low voltage at its input, or heat in its bay"
        if fit.case.towed:
            yield "the towing vehicle's own cable to the plug, which is not in the build: read the voltage at the plug"
        if held.id.endswith("_idle"):
            yield "the alternator gives little at idle: judge by the reading at 2000 rpm"
        yield "the bank near full"
    elif slot in fit.regulators:
        for array in fit.build.arrays:
            if array.regulator == slot:
                yield from _held_back(array.name, readings)
    else:
        yield "the bank near full, heat in its bay, or a limit set for the inlet"


def _drop(_: Fit, held: JudgedReading, __: Readings) -> Iterator[str]:
    if held.id == "charge.feed_v":
        yield "a crimp, a joint or the fuse of alternator_feed: read each in mV, joints as joints.worst_mv"
    elif held.id == "links.worst_mv":
        yield "a crimp of a link, or a link left out of its place: read each link by itself"
        yield "strings that share the current unequally: read the current of each"
    else:
        yield f"a crimp of {held.id.removeprefix('drop.')}: read each piece of it by itself"
        yield "fuse, isolator, shunt or studs in the reading: they are read apart"
    yield "thinner cable than designed, or longer: then calculate its band anew, as the sheet says"


# --- the rest ----------------------------------------------------------------------------------------


def _hold(_: Fit, __: JudgedReading, readings: Readings) -> Iterator[str]:
    bad = [
        name
        for name in ("drop.main", "links.worst_mv", "drop.inverter", "joints.worst_mv")
        if _is(readings, name, "out of band")
    ]
    yield f"a joint of the path to the inverter{f', see {bad[0]}' if bad else ''}"
    yield "the bank cold, or low in charge"


Texts = Callable[[Fit, JudgedReading, Readings], Iterator[str]]
Sides = dict[str, str]  # "low" or "high" -> text
_RULES: tuple[tuple[str, Texts | Sides | tuple[str, ...]], ...] = (
    ("string.*voc_v", _voc),
    (
        "string.*isc_a",
        {
            "low": "shade or dirt on a panel of the string, or light metered out of the panels' plane",
            "high": "light metered too low or out of the panels' plane, or light reflected onto them",
        },
    ),
    ("string.*polarity", ("plugs or labels of the string changed over, or a panel reversed: never connect it so",)),
    ("string.*apart_pct", ("the lower string: a bypass diode that conducts, a reversed panel or a poor plug",)),
    ("solar.*power_w", _power),
    ("solar.*", ("moisture in a plug or gland, or a chafed cable on the roof",)),
    ("drop.*", _drop),
    ("links.worst_mv", _drop),
    ("charge.feed_v", _drop),
    ("joints.worst_mv", ("a loose, dirty or painted joint: clean it and torque it anew",)),
    (
        "charge.alternator_c",
        ("the alternator works too hard: the charger's current set too high, a slipping belt, or no air to it",),
    ),
    ("charge.*", _charge),
    ("inverter.hold_v", _hold),
    ("idle.current_a", ("something left on, or a unit that does not go to standby",)),
    ("shunt.zero_a", ("the channel not zeroed, or something still flowing in its circuit",)),
    ("bank.current_a", _SHUNT),
    ("bank.drift_pct", _SHUNT),
    (
        "bank.volt_v",
        {"low": "discharged too deep, or a poor joint", "high": "a charger set for another kind of bank"},
    ),
    ("bank.soc_pct", ("more drawn or less charged than the brief says, or the monitor not set to full",)),
    ("heat.lugs_k", ("a loose or dirty joint, or a fuse not seated",)),
    ("heat.*", ("a vent blocked or left out, a fan not running, or parts closer than drawn",)),
    (
        "mass.*_before",
        ("loaded otherwise than in the survey, or not level: the weights after the fit-out move with it",),
    ),
    ("mass.*", ("loaded otherwise than in the survey, or parts added, left out or moved since the design",)),
    ("mains.insulation_mohm", ("moisture, a pinched cable, or electronics still connected", LICENSED)),
    ("mains.protective_ohm", ("a loose or painted-over joint of the protective conductor", LICENSED)),
    ("mains.*", (LICENSED,)),
    ("seen.fuse_distance", ("the conductor longer than drawn: cut it, or move the fuse nearer to the bank",)),
    *((f"{group}.*", _DONE) for group in ("seen", "live", "settings", "roof", "handover")),
)
"""By id; the first that matches. Channels that the build or the brief name come after."""


def _channel(fit: Fit, id: str) -> Texts | Sides | None:
    name = id.partition(".")[0]
    if any(array.name == name for array in fit.build.arrays):
        return _array
    if name in sources(fit):
        return _charge
    return _LOAD if any(load.name == name for load in fit.case.loads) else None
