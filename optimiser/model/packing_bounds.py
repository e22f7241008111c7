"""Rectangles on a sheet with blocked parts: what is wrong with a packing, and cheap limits on how many there can be.

Everything is integer millimetres. The gap between two items is had by enlarging each item by ``gap`` on its far (right,
top) sides, and the sheet with it: two items keep the gap exactly when the enlarged ones do not overlap. Blocked
rectangles want no gap, so they are compared with the true item, never with the enlarged one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from operator import itemgetter
from typing import Literal

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
