"""One thing that is otherwise in another build, and the words it is told in."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import Literal

Role = Literal[
    "system", "bank", "roof zone", "array", "slot", "vents", "shunts", "entries", "run", "fuse", "place", "number"
]


class Order(IntEnum):
    """What is told first: what costs and weighs most, then what a fitter would rather hear early."""

    SYSTEM = 0
    BANK = 1
    PANELS = 2
    INVERTER = 3
    REGULATOR = 4
    CHARGER = 5
    STRINGS = 6  # how panels are strung, and on which zone they lie
    SMALL = 7
    CABLE = 8
    FUSE = 9
    WAY = 10
    PLACE = 11  # in another bay or on another board
    SHIFT = 12  # elsewhere on the same board or zone
    NUMBER = 13  # the same thing under another number

    @property
    def of(self) -> str:
        """What it is a change of, in a word."""
        return _OF[self]


_OF = {
    Order.SYSTEM: "voltage", Order.BANK: "bank", Order.PANELS: "panels", Order.INVERTER: "inverter",
    Order.REGULATOR: "regulators", Order.CHARGER: "chargers", Order.STRINGS: "strings", Order.SMALL: "small parts",
    Order.CABLE: "cables", Order.FUSE: "fuses", Order.WAY: "ways", Order.PLACE: "places", Order.SHIFT: "places",
    Order.NUMBER: "numbers",
}  # fmt: skip


@dataclass(frozen=True)
class Change:
    """What is otherwise, after for before: ``one 280 Ah module for two of 150 Ah``."""

    role: Role
    text: str
    order: Order


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_NAMED = 3  # things named one by one; of more, the first two are


def number(count: int) -> str:
    """A count as a word up to ten."""
    return _NUMBERS[count] if count < len(_NUMBERS) else str(count)


def plural(count: int, noun: str) -> str:
    """``one panel``, ``two panels``."""
    return f"{number(count)} {noun}{'s' * (count != 1)}"


def plain(name: str) -> str:
    """A name of the survey as it is spoken."""
    return name.replace("_", " ").replace(".", " ")


def listed(names: Sequence[str], others: str = "others") -> str:
    """``a``, ``a and b``, ``a, b and c``, ``a, b and 2 others``."""
    if len(names) > _NAMED:
        names = [*names[: _NAMED - 1], f"{len(names) - _NAMED + 1} {others}"]
    return " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)


def swapped(before: Counter[str], after: Counter[str], at: str = "", place: str = "") -> str:
    """What of several alike things is bought in place of what; empty where the counts agree.

    ``at`` and ``place`` say where: ``on``, ``rear roof``.
    """
    gained, lost = after - before, before - after
    where = f" {at} {place}" if place else ""
    if gained and lost:
        counts = max([*gained.values(), *lost.values()]) > 1
        return f"{_counted(gained, counts)} for {_counted(lost, counts)}{where}"
    if not gained and not lost:
        return ""
    changed = gained or lost
    if len(changed) == 1:
        (name,) = changed
        if before[name] and after[name]:  # some stay: both totals say more than the difference
            return f"{after[name]} {name} for {before[name]}{where}"
    text = _counted(changed, max(changed.values()) > 1)
    return f"{text} added{where}" if gained else f"{text} dropped{' from ' + place if place else ''}"


def _counted(names: Counter[str], counts: bool) -> str:
    return listed([f"{count} {name}" if counts else name for name, count in names.items()])
