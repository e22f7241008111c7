"""Links of a bank: what joins its modules, from terminal to terminal, as they stand in the block.

Modules all stand the same way round, and are joined in the order in which they lie: one string after the other, row by
row or column by column, on in one direction or back and forth, whichever takes least cable. A link goes square along
the block. From a module to the next of its string it goes from + to -, wherever on them these are; from string to
string it goes from a pole to the same pole. All links in strings are as long as the longest, and all from string to
string likewise, so that strings share the current alike (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import ceil

from optimiser.basis import bodies, money, terminals, volts
from optimiser.basis.money import CostAndMass
from optimiser.case import Case
from optimiser.parts import Cable, Module, Orientation

_MANY = 64  # modules: nobody counts through more; then each link is as long as the block

Spot = tuple[int, int]  # column and row of a module in its block


@dataclass(frozen=True)
class Links:
    """Of a bank of ``series`` x ``parallel`` modules: how long each kind is as drawn, and what ends take. [mm]"""

    series: int
    parallel: int
    in_string_mm: int
    rail_mm: int
    ends_mm: int  # of both ends of one
    order: str = ""  # how the modules are joined, in words

    @property
    def in_strings(self) -> int:
        """How many there are from module to module of a string."""
        return self.parallel * (self.series - 1)

    @property
    def in_rails(self) -> int:
        """How many there are from string to string, of both poles."""
        return 2 * (self.parallel - 1)

    @property
    def count(self) -> int:
        """All of them."""
        return self.in_strings + self.in_rails

    @property
    def ends(self) -> int:
        """Ends to make."""
        return 2 * self.count

    @property
    def total_mm(self) -> int:
        """Of one core, for all of them with their ends."""
        drawn_mm = self.in_strings * self.in_string_mm + self.in_rails * self.rail_mm
        return drawn_mm + self.count * self.ends_mm

    @property
    def steps(self) -> int:
        """The same in steps of 100 mm, as it is bought."""
        return money.cut_steps(self.total_mm)

    def carrying_mm(self, case: Case) -> float:
        """Core in which the whole current would lose as much as on its way through the bank, by whichever string [mm].

        + is taken off at the first string and - at the last. So a link of + carries what the strings behind it give,
        one of - what those before it give: each of these as much as the busiest, but never more than all there is.
        """
        if not self.count:
            return 0.0
        busiest = 1 / (self.parallel * volts.sharing(case, self.parallel))
        carried = [min(1.0, count * busiest) for count in range(1, self.parallel)]  # by so many strings together
        by_string = (sum(carried[::-1][:k]) + sum(carried[k:]) for k in range(self.parallel))
        in_string_mm = busiest * (self.series - 1) * (self.in_string_mm + self.ends_mm)
        return max(by_string) * (self.rail_mm + self.ends_mm) + in_string_mm


def worth(found: Links, cable: Cable, rate_per_h: float) -> CostAndMass:
    """What all of them cost and weigh, of a cable."""
    steps, ends = money.core_worth_a_step(cable, rate_per_h), money.cable_end_worth(cable, rate_per_h)
    both = steps.times(found.steps), ends.times(found.ends)
    return CostAndMass(sum(one.cents for one in both), sum(one.grams for one in both))


def of_bank(
    case: Case, module: Module, *, series: int, parallel: int, rows: int, columns: int, orientation: Orientation
) -> Links:
    """The links of a bank as its block stands; a block that is not of its modules is taken as one row of them."""
    return _of_bank(module, series, parallel, rows, columns, orientation, ceil(2 * case.rules["end_mm"]))


@lru_cache(maxsize=4096)
def _of_bank(
    module: Module, series: int, parallel: int, rows: int, columns: int, orientation: Orientation, ends_mm: int
) -> Links:
    count = series * parallel
    if min(series, parallel) < 1 or count == 1:
        return Links(1, 1, 0, 0, ends_mm)
    if min(rows, columns) < 1 or rows * columns != count:
        rows, columns = 1, count
    one = bodies.block(module, orientation=orientation, rotated=False, rows=1, columns=1)
    pitch = one.length_mm + one.clear_x_mm, one.width_mm + one.clear_y_mm
    across_mm, over_mm = _terminals(module, orientation, rows, columns)
    found = [
        Links(series, parallel, in_string + across_mm + over_mm, rail + over_mm, ends_mm, words)
        for words, (in_string, rail) in _longest(series, parallel, rows, columns, pitch)
    ]
    return min(found, key=lambda links: links.total_mm)


def _terminals(module: Module, orientation: Orientation, rows: int, columns: int) -> tuple[int, int]:
    """The most that two terminals of a module are apart, square along the block; and up and over the next one, where
    they face that with too little room, or where nobody measured them. [mm]"""
    one, whole = (
        (foot, terminals.of_block(module, foot, orientation=orientation, rotated=False, rows=r, columns=c))
        for r, c in ((1, 1), (rows, columns))
        for foot in [bodies.block(module, orientation=orientation, rotated=False, rows=r, columns=c)]
    )
    across_mm = (one[1].x1_mm - one[1].x0_mm) + (one[1].y1_mm - one[1].y0_mm)
    if one[1] == terminals.anywhere_on(one[0]):
        return across_mm, 2 * (one[0].depth_mm - one[0].clear_z_mm)
    return across_mm, whole[1].tail_mm - one[1].tail_mm


def _longest(
    series: int, parallel: int, rows: int, columns: int, pitch: tuple[int, int]
) -> Iterator[tuple[str, tuple[int, int]]]:
    """For each order: the longest step in a string, and from string to string. [mm]"""
    if rows * columns > _MANY:
        yield "in any order", ((columns - 1) * pitch[0] + (rows - 1) * pitch[1],) * 2
        return
    for words, order in _orders(rows, columns):
        strings = [order[k : k + series] for k in range(0, len(order), series)]
        inside = [_apart(pair, pitch) for string in strings for pair in pairwise(string)]
        rails = [_apart((one[end], other[end]), pitch) for one, other in pairwise(strings) for end in (0, -1)]
        yield words, (max(inside, default=0), max(rails, default=0))


def _orders(rows: int, columns: int) -> Iterator[tuple[str, Sequence[Spot]]]:
    by_row = [[(column, row) for column in range(columns)] for row in range(rows)]
    by_column = [[(column, row) for row in range(rows)] for column in range(columns)]
    for words, lines in (("row by row", by_row), ("column by column", by_column)):
        yield words, [spot for line in lines for spot in line]
        back = [line if k % 2 == 0 else line[::-1] for k, line in enumerate(lines)]
        yield f"{words}, back and forth", [spot for line in back for spot in line]


def _apart(pair: tuple[Spot, Spot], pitch: tuple[int, int]) -> int:
    (x0, y0), (x1, y1) = pair
    return abs(x1 - x0) * pitch[0] + abs(y1 - y0) * pitch[1]
