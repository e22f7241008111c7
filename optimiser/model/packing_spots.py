"""Where copies of items can lie on a sheet: the spots that are enough, and which of them are in each other's way.

A *spot* is one item at one position, one way round. In any packing each item can be pushed left and then down until it
meets the sheet edge, a blocked rectangle or another item, so the spots at such positions (normal patterns) are enough
to pack as much as can be packed at all.

There may be many thousands. So a set of spots is a row of bits, 64 to a number, and sets are compared many at a time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from optimiser.model.packing_bounds import Item, Sheet

_Ints = NDArray[np.int64]
_Flags = NDArray[np.bool_]
_Sets = NDArray[np.uint64]  # a row of bits a set; several sets are several rows
_MOST_AT_ONCE = 1 << 20  # numbers of 64 bits in one comparison: 8 MB


class Spot(NamedTuple):
    """A place where one copy of item number ``item`` could lie; ``dx`` and ``dy`` are its true extents."""

    item: int
    x: int
    y: int
    dx: int
    dy: int
    rotated: bool


@dataclass(frozen=True)
class Spots:
    """Many spots: of each its item number, corner, true extents and way round, in one order."""

    item: _Ints
    x: _Ints
    y: _Ints
    dx: _Ints
    dy: _Ints
    rotated: _Ints

    def __len__(self) -> int:
        return len(self.item)

    def only(self, which: _Flags | _Ints) -> Spots:
        """Some of them."""
        return Spots(*(column[which] for column in self._columns))

    def each(self) -> list[Spot]:
        """They one by one."""
        rows = zip(*(column.tolist() for column in self._columns), strict=True)
        return [Spot(item, x, y, dx, dy, bool(rotated)) for item, x, y, dx, dy, rotated in rows]

    @property
    def _columns(self) -> tuple[_Ints, ...]:
        return self.item, self.x, self.y, self.dx, self.dy, self.rotated


def normal_spots(sheet: Sheet, items: Sequence[Item], copies: Sequence[int], gap: int, *, limit: int) -> Spots | None:
    """Every spot at a chain of items from a sheet edge or a blocked edge; None if there are more than ``limit``."""
    blocked = sheet.blocked
    from_x = [0, *(r.right for r in blocked if 0 < r.right < sheet.length and r.y < sheet.width and r.top > 0)]
    from_y = [0, *(r.top for r in blocked if 0 < r.top < sheet.width and r.x < sheet.length and r.right > 0)]
    found: list[_Ints] = [np.zeros((6, 0), dtype=np.int64)]
    for k, item in enumerate(items):
        if not copies[k]:
            continue
        others = [number - (j == k) for j, number in enumerate(copies)]
        sizes = [[it.extent(rotated) for rotated in it.ways] for it in items]
        xs = _reach(from_x, [({e[0] + gap for e in s}, n) for s, n in zip(sizes, others, strict=True)], sheet.length)
        ys = _reach(from_y, [({e[1] + gap for e in s}, n) for s, n in zip(sizes, others, strict=True)], sheet.width)
        for rotated in item.ways:
            dx, dy = item.extent(rotated)
            x, y = _free(sheet, xs[xs + dx <= sheet.length], ys[ys + dy <= sheet.width], dx, dy)
            found.append(np.stack(np.broadcast_arrays(k, x, y, dx, dy, int(rotated))))
            if sum(spots.shape[1] for spots in found) > limit:
                return None
    return Spots(*np.hstack(found))


def _free(sheet: Sheet, xs: _Ints, ys: _Ints, dx: int, dy: int) -> tuple[_Ints, _Ints]:
    """Corners from which a rectangle lies on nothing blocked."""
    taken = np.zeros((len(xs), len(ys)), dtype=bool)
    for r in sheet.blocked:
        taken |= np.outer((r.x < xs + dx) & (xs < r.right), (r.y < ys + dy) & (ys < r.top))
    across, along = np.nonzero(~taken)
    return xs[across], ys[along]


def _reach(starts: Iterable[int], steps: Iterable[tuple[set[int], int]], end: int) -> _Ints:
    """All positions up to ``end`` reached from a start by chains; a step is (sizes, how often at most)."""
    mask = (1 << end + 1) - 1
    reached = reduce(or_, (1 << start for start in starts))
    for sizes, often in steps:
        for _ in range(often):
            grown = reached
            for size in sizes:
                grown |= reached << size
            if grown & mask == reached:
                break
            reached = grown & mask
    as_bytes = np.frombuffer(reached.to_bytes(end // 8 + 1, "little"), dtype=np.uint8)
    return np.flatnonzero(np.unpackbits(as_bytes, bitorder="little"))


def enough(sheet: Sheet, spots: Spots, gap: int, gains: _Ints, *, compared: int) -> Spots:
    """Without the spots that nothing holds, and without those that another can stand in for.

    ``compared`` is up to how many every two are compared, not only neighbours.
    """
    in_x, in_y = _overlaps(spots, gap)
    alive = _supported(sheet, spots, gap, in_x, in_y)
    clash = in_x & in_y
    alive = _undominated(clash, gains, alive, lambda standing: _neighbours(spots, standing))
    if alive.sum() <= compared:
        alive = _undominated(clash, gains, alive, lambda standing: _rivals(spots, standing))
    return spots.only(alive)


def conflicts(spots: Spots, gap: int) -> _Sets:
    """For each spot the spots it cannot be used together with (itself included)."""
    in_x, in_y = _overlaps(spots, gap)
    return in_x & in_y


def _overlaps(spots: Spots, gap: int) -> tuple[_Sets, _Sets]:
    """For each spot the spots it overlaps, enlarged, in x, and those it overlaps in y (itself included)."""
    return _meeting(spots.x, spots.x + spots.dx + gap), _meeting(spots.y, spots.y + spots.dy + gap)


def _meeting(starts: _Ints, ends: _Ints) -> _Sets:
    """For each span the spans that overlap it. Few spans differ, so each is looked at once."""
    _, first, which = np.unique(starts << 32 | ends, return_index=True, return_inverse=True)
    return _sets((starts < ends[first, None]) & (ends > starts[first, None]))[which]


def _sets(flags: _Flags) -> _Sets:
    """Rows of flags as rows of bits."""
    number = flags.shape[-1]
    padded = np.zeros((*flags.shape[:-1], -(-number // 64) * 64), dtype=bool)
    padded[..., :number] = flags
    return np.packbits(padded, axis=-1, bitorder="little").view(np.uint64)


def _supported(sheet: Sheet, spots: Spots, gap: int, in_x: _Sets, in_y: _Sets) -> _Flags:
    """Which an item can rest in after all were pushed left and down: something holds it on both sides.

    What holds it is an edge, a blocked rectangle beside it, or an item in a spot that is itself supported.
    """
    left, low = _ending(spots.x, spots.x + spots.dx + gap), _ending(spots.y, spots.y + spots.dy + gap)
    left &= in_y
    low &= in_x
    beside, above = spots.x == 0, spots.y == 0
    for r in sheet.blocked:
        beside |= (spots.x == r.right) & (r.y < spots.y + spots.dy) & (spots.y < r.top)
        above |= (spots.y == r.top) & (r.x < spots.x + spots.dx) & (spots.x < r.right)
    alive, before = np.full(len(spots), True), -1
    while (number := int(alive.sum())) != before:
        before, standing = number, _sets(alive)
        alive &= (beside | (left & standing).any(axis=1)) & (above | (low & standing).any(axis=1))
    return alive


def _ending(starts: _Ints, ends: _Ints) -> _Sets:
    """For each the ones that end where it starts."""
    places, which = np.unique(starts, return_inverse=True)
    return _sets(ends == places[:, None])[which]


def _undominated(clash: _Sets, gains: _Ints, alive: _Flags, pairs: Callable[[_Ints], tuple[_Ints, _Ints]]) -> _Flags:
    """Which are left when those fall that another of the same item can stand in for: no new conflict, no less gained.

    To stand in for another is passed on, so all that fall to one that stands may fall at once; of equals the first
    stays. ``pairs`` gives those of the standing that are compared.
    """
    while True:
        one, other = pairs(np.flatnonzero(alive))
        better = gains[one] >= gains[other]
        one, other = one[better], other[better]
        standing = _sets(alive)
        inside = _within(clash, one, other, standing)
        one, other = one[inside], other[inside]
        equal = (gains[one] == gains[other]) & _within(clash, other, one, standing)
        fallen = other[~equal | (one < other)]
        if not len(fallen):
            return alive
        alive[fallen] = False


def _within(clash: _Sets, one: _Ints, other: _Ints, standing: _Sets) -> _Flags:
    """Of each two: whether all standing that the one conflicts with are in the way of the other as well."""
    found, step = np.zeros(len(one), dtype=bool), max(1, _MOST_AT_ONCE // max(1, clash.shape[1]))
    for k in range(0, len(one), step):
        part = slice(k, k + step)
        found[part] = ~(clash[one[part]] & ~clash[other[part]] & standing).any(axis=1)
    return found


def _rivals(spots: Spots, standing: _Ints) -> tuple[_Ints, _Ints]:
    """Every two of one item, either first."""
    item = spots.item[standing]
    same = item == item[:, None]
    np.fill_diagonal(same, False)
    one, other = np.nonzero(same)
    return standing[one], standing[other]


def _neighbours(spots: Spots, standing: _Ints) -> tuple[_Ints, _Ints]:
    """Every two that lie next to each other in a row or column of one item and way round, either first."""
    kind = 2 * spots.item[standing] + spots.rotated[standing]
    x, y = spots.x[standing], spots.y[standing]
    below, right = _following(kind << 32 | x, y), _following(kind << 32 | y, x)
    one, other = (standing[np.concatenate(ends)] for ends in zip(below, right, strict=True))
    return np.concatenate([one, other]), np.concatenate([other, one])


def _following(line: _Ints, place: _Ints) -> tuple[_Ints, _Ints]:
    """Each and the one after it on the same line."""
    order = np.lexsort((place, line))
    same = line[order[1:]] == line[order[:-1]]
    return order[:-1][same], order[1:][same]
