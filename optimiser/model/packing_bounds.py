"""Where rectangles can lie on a sheet with blocked parts, and cheap limits on how many.

Everything is integer millimetres. A *spot* is one item at one position, one way round. In any packing
each item can be pushed left and then down until it meets the sheet edge, a blocked rectangle or another
item, so the spots at such positions (normal patterns) are enough to pack as much as can be packed at all.
Sets of spots are Python integers used as bit sets: bit k stands for spot k.

The gap between two items is had by enlarging each item by ``gap`` on its far (right, top) sides, and the
sheet with it: two items keep the gap exactly when the enlarged ones do not overlap. Blocked rectangles
want no gap, so they are compared with the true item, never with the enlarged one.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import accumulate, combinations, pairwise
from operator import itemgetter, or_
from typing import Literal, NamedTuple

Axis = Literal["x", "y"]


@dataclass(frozen=True, kw_only=True)
class Rect:
    """A rectangle by its lower left corner, its length along x and its width along y."""

    x: int
    y: int
    length: int
    width: int

    @property
    def right(self) -> int:
        return self.x + self.length

    @property
    def top(self) -> int:
        return self.y + self.width


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """The region from (0, 0) to (length, width) less the blocked rectangles, which may stick out and overlap."""

    length: int
    width: int
    blocked: tuple[Rect, ...] = ()

    def __post_init__(self) -> None:
        if self.length < 0 or self.width < 0 or any(r.length <= 0 or r.width <= 0 for r in self.blocked):
            raise ValueError("a sheet cannot have a negative size, nor a blocked rectangle none")

    def mirrored(self, axis: Axis) -> Sheet:
        def flip(r: Rect) -> Rect:
            return replace(r, x=self.length - r.right) if axis == "x" else replace(r, y=self.width - r.top)

        return replace(self, blocked=tuple(flip(r) for r in self.blocked))


@dataclass(frozen=True, kw_only=True)
class Item:
    """A kind of rectangle: ``turns`` says whether it may lie as it is (False) or rotated 90° (True)."""

    name: str
    length: int
    width: int
    turns: tuple[bool, ...] = (False, True)
    value: int = 1
    most: int | None = None

    def __post_init__(self) -> None:
        if self.length <= 0 or self.width <= 0 or not self.turns:
            raise ValueError(f"{self.name}: an item needs positive sizes and a way to lie")
        if self.value < 0 or (self.most is not None and self.most < 0):
            raise ValueError(f"{self.name}: a value and a number of copies cannot be negative")

    def extent(self, rotated: bool) -> tuple[int, int]:
        """Size along x and along y."""
        return (self.width, self.length) if rotated else (self.length, self.width)

    @property
    def ways(self) -> tuple[bool, ...]:
        """The turns that differ in extent (a square has one)."""
        return tuple({self.extent(rotated): rotated for rotated in reversed(self.turns)}.values())[::-1]


@dataclass(frozen=True, kw_only=True)
class Placed:
    """One item with its lower left corner at (x, y)."""

    name: str
    x: int
    y: int
    rotated: bool


@dataclass(frozen=True, kw_only=True)
class MomentLimit:
    """low <= sum of weight x twice the centre coordinate over the placed items <= high; unnamed items weigh nothing."""

    weight_per_item: Mapping[str, int]
    axis: Axis
    low: int
    high: int

    def miss(self, items: Iterable[Item], placed: Iterable[Placed]) -> int:
        """How far a packing is from the range."""
        kinds, moment = {item.name: item for item in items}, 0
        for put in placed:
            dx, dy = kinds[put.name].extent(put.rotated)
            moment += self.weight_per_item.get(put.name, 0) * (2 * put.x + dx if self.axis == "x" else 2 * put.y + dy)
        return max(self.low - moment, moment - self.high, 0)


class Spot(NamedTuple):
    """A place where one copy of item number ``item`` could lie; ``dx`` and ``dy`` are its true extents."""

    item: int
    x: int
    y: int
    dx: int
    dy: int
    rotated: bool


def bits(mask: int) -> Iterator[int]:
    """The numbers of the bits that are set, rising."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def clashes(sheet: Sheet, items: Iterable[Item], placed: Sequence[Placed], *, gap: int = 0) -> list[str]:
    """All that is wrong with a packing; nothing here relies on how it was found."""
    kinds = {item.name: item for item in items}
    found: list[str] = []
    boxes: list[tuple[str, int, int, int, int]] = []
    for put in placed:
        kind = kinds.get(put.name)
        if kind is None or put.rotated not in kind.turns:
            found.append(f"{put.name}: no such item, or it may not lie that way round")
            continue
        dx, dy = kind.extent(put.rotated)
        boxes.append((f"{put.name} at ({put.x}, {put.y})", put.x, put.y, put.x + dx, put.y + dy))
    for kind in kinds.values():
        if kind.most is not None and sum(put.name == kind.name for put in placed) > kind.most:
            found.append(f"{kind.name}: more than {kind.most} placed")
    for label, left, low, right, top in boxes:
        if left < 0 or low < 0 or right > sheet.length or top > sheet.width:
            found.append(f"{label} sticks out of the sheet")
        for rect in sheet.blocked:
            if left < rect.right and rect.x < right and low < rect.top and rect.y < top:
                found.append(f"{label} lies on a blocked rectangle")
    for (one, left, low, right, top), (two, left2, low2, right2, top2) in combinations(boxes, 2):
        if left < right2 + gap and left2 < right + gap and low < top2 + gap and low2 < top + gap:
            found.append(f"{one} and {two} are closer than {gap}")
    return found


def check_input(items: Sequence[Item], gap: int) -> None:
    if gap < 0 or len({item.name for item in items}) < len(items):
        raise ValueError("the gap is negative, or two items have one name")


def disjoint(rects: Iterable[Rect], *, length: int, width: int) -> list[Rect]:
    """Rectangles without overlap that cover the same part of (0, 0)..(length, width)."""
    cut = [(max(r.x, 0), max(r.y, 0), min(r.right, length), min(r.top, width)) for r in rects]
    cut = [c for c in cut if c[0] < c[2] and c[1] < c[3]]
    done: list[Rect] = []
    for left, right in pairwise(sorted({x for c in cut for x in (c[0], c[2])})):
        covered = 0
        for _, low, _, top in sorted((c for c in cut if c[0] <= left < c[2]), key=itemgetter(1)):
            if top > max(low, covered):
                done.append(Rect(x=left, y=max(low, covered), length=right - left, width=top - max(low, covered)))
                covered = top
    return done


def shrunk(sheet: Sheet, gap: int) -> list[Rect]:
    """The blocked parts as the enlarged items see them: the gap taken off the near (left, lower) sides.

    A rectangle not larger than the gap either way vanishes; it still blocks, but is no rectangle for enlarged items.
    """
    thick = [r for r in sheet.blocked if r.length > gap and r.width > gap]
    rects = [Rect(x=r.x + gap, y=r.y + gap, length=r.length - gap, width=r.width - gap) for r in thick]
    return disjoint(rects, length=sheet.length + gap, width=sheet.width + gap)


def free_area(sheet: Sheet, gap: int) -> int:
    """What the enlarged items can cover at most."""
    return (sheet.length + gap) * (sheet.width + gap) - sum(r.length * r.width for r in shrunk(sheet, gap))


def barnes_bound(length: int, width: int, a: int, b: int) -> int:
    """Most a x b rectangles on a bare length x width sheet, by the waste that bars a x 1 or b x 1 must leave.

    Barnes, Packing the maximum number of m x n tiles in a large p x q rectangle, Discrete Mathematics 26 (1979),
    93-100; from memory, and held against exact counts in the tests.
    """
    waste = 0
    for bar in (a, b):
        r, s = length % bar, width % bar
        waste = max(waste, min(r * s, (bar - r) * (bar - s)))
    return (length * width - waste) // (a * b)


def value_bound(sheet: Sheet, items: Sequence[Item], copies: Sequence[int], gap: int) -> int:
    """Most value by area alone: the best value per area first, the last copy in part."""
    room = free_area(sheet, gap)
    if len(items) == 1:
        a, b = items[0].length + gap, items[0].width + gap
        most = min(copies[0], room // (a * b), barnes_bound(sheet.length + gap, sheet.width + gap, a, b))
        return most * items[0].value
    sized = [(item.value, (item.length + gap) * (item.width + gap), n) for item, n in zip(items, copies, strict=True)]
    total = 0
    for value, area, number in sorted(sized, key=lambda s: s[0] / s[1], reverse=True):
        whole = min(number, room // area)
        total += whole * value
        room -= whole * area
        if whole < number:
            return total + value * room // area
    return total


def _reach(starts: Iterable[int], steps: Iterable[tuple[set[int], int]], end: int) -> list[int]:
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
    return list(bits(reached))


def normal_spots(
    sheet: Sheet, items: Sequence[Item], copies: Sequence[int], gap: int, *, limit: int
) -> list[Spot] | None:
    """Every spot at a chain of items from a sheet edge or a blocked edge; None if there are more than ``limit``."""
    blocked = sheet.blocked
    from_x = [0, *(r.right for r in blocked if 0 < r.right < sheet.length and r.y < sheet.width and r.top > 0)]
    from_y = [0, *(r.top for r in blocked if 0 < r.top < sheet.width and r.x < sheet.length and r.right > 0)]
    spots: list[Spot] = []
    for k, item in enumerate(items):
        if not copies[k]:
            continue
        others = [number - (j == k) for j, number in enumerate(copies)]
        sizes = [[it.extent(rotated) for rotated in it.ways] for it in items]
        xs = _reach(from_x, [({e[0] + gap for e in s}, n) for s, n in zip(sizes, others, strict=True)], sheet.length)
        ys = _reach(from_y, [({e[1] + gap for e in s}, n) for s, n in zip(sizes, others, strict=True)], sheet.width)
        for rotated in item.ways:
            dx, dy = item.extent(rotated)
            fit_x, fit_y = [x for x in xs if x + dx <= sheet.length], [y for y in ys if y + dy <= sheet.width]
            if not blocked and len(spots) + len(fit_x) * len(fit_y) > limit:
                return None
            for x in fit_x:
                near = [(r.y - dy, r.top) for r in blocked if r.x < x + dx and x < r.right]
                spots += [Spot(k, x, y, dx, dy, rotated) for y in fit_y if not any(low < y < top for low, top in near)]
                if len(spots) > limit:
                    return None
    return spots


def _overlaps(spots: Sequence[Spot], gap: int) -> tuple[list[int], list[int]]:
    """For each spot the spots it overlaps, enlarged, in x, and those it overlaps in y (itself included)."""

    def along(spans: list[tuple[int, int]]) -> list[int]:
        at: defaultdict[tuple[int, int], int] = defaultdict(int)
        for k, span in enumerate(spans):
            at[span] |= 1 << k
        starts, ends = sorted(at), sorted(at, key=itemgetter(1))
        begun = list(accumulate((at[span] for span in starts), or_, initial=0))
        unended = list(accumulate((at[span] for span in reversed(ends)), or_, initial=0))
        meet = {
            span: begun[bisect_left(starts, (span[1],))]
            & unended[len(ends) - bisect_right(ends, span[0], key=itemgetter(1))]
            for span in at
        }
        return [meet[span] for span in spans]

    return along([(s.x, s.x + s.dx + gap) for s in spots]), along([(s.y, s.y + s.dy + gap) for s in spots])


def conflicts(spots: Sequence[Spot], gap: int) -> list[int]:
    """For each spot the spots it cannot be used together with (itself included)."""
    return [x & y for x, y in zip(*_overlaps(spots, gap), strict=True)]


def supported(sheet: Sheet, spots: list[Spot], gap: int) -> list[Spot]:
    """The spots an item can rest in after all were pushed left and down: something holds it on both sides.

    What holds it is an edge, a blocked rectangle beside it, or an item in a spot that is itself supported.
    """
    in_x, in_y = _overlaps(spots, gap)
    ends_x: defaultdict[int, int] = defaultdict(int)
    ends_y: defaultdict[int, int] = defaultdict(int)
    for k, s in enumerate(spots):
        ends_x[s.x + s.dx + gap] |= 1 << k
        ends_y[s.y + s.dy + gap] |= 1 << k
    hanging: list[tuple[int, int]] = []  # a spot, and the spots of which one must hold it
    for k, s in enumerate(spots):
        if s.x and not any(r.right == s.x and r.y < s.y + s.dy and s.y < r.top for r in sheet.blocked):
            hanging.append((k, ends_x[s.x] & in_y[k]))
        if s.y and not any(r.top == s.y and r.x < s.x + s.dx and s.x < r.right for r in sheet.blocked):
            hanging.append((k, ends_y[s.y] & in_x[k]))
    alive = (1 << len(spots)) - 1
    while fallen := reduce(or_, (1 << k for k, holders in hanging if not holders & alive), 0):
        alive &= ~fallen
        hanging = [(k, holders) for k, holders in hanging if alive >> k & 1]
    return [spots[k] for k in bits(alive)]


def undominated(spots: list[Spot], gap: int, gain: Callable[[list[Spot]], int], *, near: bool) -> list[Spot]:
    """Without the spots that another of the same item can stand in for: no new conflict, and no less gained.

    ``near`` looks only at the next ones in the same row and column, which is quick and finds most of them.
    """
    clash, gains = conflicts(spots, gap), [gain([spot]) for spot in spots]
    ways = [((s.item, s.rotated, s.x, -1), (s.item, s.rotated, -1, s.y)) if near else ((s.item,),) for s in spots]
    lines: defaultdict[tuple[int, ...], int] = defaultdict(int)
    for k, key in ((k, key) for k, keys in enumerate(ways) for key in keys):
        lines[key] |= 1 << k
    alive, before = (1 << len(spots)) - 1, 0
    while alive != before:
        before = alive
        for k in bits(alive):
            rivals = [lines[key] & clash[k] & alive & ~(1 << k) for key in ways[k]]
            if near:  # spots stand in rising order, so the next ones are the next bits
                sides = [side for mask in rivals for side in (mask & (1 << k) - 1, mask >> k << k)]
                rivals = [1 << side.bit_length() - 1 if side < 1 << k else side & -side for side in sides if side]
            outside = alive & ~clash[k]
            if any(not clash[j] & outside and gains[j] >= gains[k] for mask in rivals for j in bits(mask)):
                alive ^= 1 << k
    return [spots[k] for k in bits(alive)]


def cliques(spots: Sequence[Spot], gap: int) -> list[int]:
    """Sets of spots of which at most one can be used: those whose enlarged rectangles cover the same point.

    Overlapping spots share the point (greater left edge, greater lower edge), so points on the spots' own left
    and lower edges are enough. A point whose set lies within that of a neighbouring point is left out.
    """
    xs, ys = sorted({s.x for s in spots}), sorted({s.y for s in spots})
    over_x, over_y = [0] * len(xs), [0] * len(ys)
    for k, s in enumerate(spots):
        for i in range(bisect_left(xs, s.x), bisect_left(xs, s.x + s.dx + gap)):
            over_x[i] |= 1 << k
        for j in range(bisect_left(ys, s.y), bisect_left(ys, s.y + s.dy + gap)):
            over_y[j] |= 1 << k
    # A rim of empty sets spares the neighbour test its edge cases.
    over = [[mx & my for my in [*over_y, 0]] for mx in [*over_x, 0]]
    kept: dict[int, None] = {}
    for i in range(len(xs)):
        for j in range(len(ys)):
            mask = over[i][j]
            if mask & (mask - 1) == 0:
                continue
            later, earlier = (over[i + 1][j], over[i][j + 1]), (over[i - 1][j], over[i][j - 1])
            if all(mask & ~m for m in later) and all(mask & ~m or mask == m for m in earlier):
                kept[mask] = None
    return list(kept)


def cover_bound(number: int, sets: Sequence[int]) -> int:
    """Most spots usable together: so many cliques cover them all (largest first, so not always the fewest)."""
    left, used = (1 << number) - 1, 0
    while left:
        best = max(sets, key=lambda mask: (mask & left).bit_count(), default=0)
        if (best & left).bit_count() <= 1:
            return used + left.bit_count()
        left &= ~best
        used += 1
    return used


def greedy(spots: Sequence[Spot], clash: Sequence[int], values: Sequence[int], copies: Sequence[int]) -> list[int]:
    """A packing by taking, again and again, the spot that loses the least value for its own."""
    left = list(copies)
    same: defaultdict[int, int] = defaultdict(int)
    for k, spot in enumerate(spots):
        same[spot.item] |= 1 << k
    alive = (1 << len(spots)) - 1
    taken: list[int] = []
    while alive:
        best = min(bits(alive), key=lambda k: ((clash[k] & alive).bit_count() / values[spots[k].item], k))
        taken.append(best)
        alive &= ~clash[best]
        left[spots[best].item] -= 1
        if not left[spots[best].item]:
            alive &= ~same[spots[best].item]
    return taken
