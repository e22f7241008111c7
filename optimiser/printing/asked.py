"""What an impossible case asks for and what can be had, as two tables and a line on how to read them."""

from collections.abc import Iterator
from math import ceil, floor

from rich.console import RenderableType

from optimiser.explaining import Asked, AskedEnergy, AskedPlace
from optimiser.printing.findings import figures
from optimiser.printing.wording import table

_WITHOUT_SUN = "days without sun"
_DAY_H = 24
_MET = "-"
_NOTHING_WH = 0.05
_LOADS = "Loads: what they draw themselves; what converters lose and what is fitted draws comes on top."
_READ = (
    "That build: the one above. At most: none that misses nothing else than that one gives more; at least: none lacks "
    f"less (bounds, each by itself, which a build need not reach). {_LOADS}"
)
_READ_ALONE = (
    "At most: no build gives more, at least: none lacks less, whatever else is given up (bounds, each by itself, which "
    f"a build need not reach). {_LOADS}"
)


def asked_words(asked: Asked) -> Iterator[RenderableType]:
    """Energy by scenario, then what is carried, place by place."""
    alone = not asked.places
    if asked.energy:
        title = "What each scenario asks, and what it can have at most [Wh]"
        made = table(title, "scenario", ">h", ">loads", ">a day", ">sun", ">chargers", ">bank", ">missing")
        for row in asked.energy:
            made.add_row(*_energy(row))
        yield made
    if asked.places:
        title = "What each place asks or allows, and what that build makes of it"
        made = table(title, "requirement", "unit", ">asked or allowed", ">that build", ">missing", ">at least")
        for place in asked.places:
            made.add_row(*_place(place))
        yield made
    if asked.energy or asked.places:
        yield _READ_ALONE if alone else _READ


def _energy(row: AskedEnergy) -> tuple[str, ...]:
    """A scenario. What would come of less than a day in a day is nothing that is asked."""
    best = row.best
    given = (best.sun_wh, best.chargers_wh, best.bank_wh) if best else (None, None, None)
    a_day = f"{row.asked_wh * _DAY_H / row.hours:.0f}" if row.hours >= _DAY_H else ""
    name = row.scenario or _WITHOUT_SUN
    return (name, f"{row.hours:g}", f"{row.asked_wh:.0f}", a_day, *map(_at_most, given), _missing(row))


def _at_most(wh: float | None) -> str:
    return "not known" if wh is None else f"{ceil(wh)}"


def _missing(row: AskedEnergy) -> str:
    """What every build lacks, and what the one at hand does."""
    least = row.best.short_wh if row.best else None
    has = row.has.short_wh if row.has else None
    if has is not None and has < _NOTHING_WH:
        return _MET
    known = "" if least is None or floor(least) == 0 else f"at least {floor(least)}"
    above = "" if has is None else f"that build {ceil(has)}"
    return ", ".join(word for word in (known, above) if word) or "not known"


def _place(row: AskedPlace) -> tuple[str, ...]:
    finding, least = row.finding, row.missing_at_least
    limit, actual, margin = figures(finding)
    missing = _MET if finding.ok else margin.removeprefix("-")
    at_least = f"{_down(least):g}" if least and _down(least) else "not known"
    return finding.requirement, finding.unit, limit, actual, missing, "" if finding.ok else at_least


def _down(least: float) -> float:
    """Rounded so that no more is called proven than is."""
    return floor(least * 1000) / 1000
