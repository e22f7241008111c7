"""Shunts, vents and entries: counts of small things."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import TypeVar

from optimiser.builds import Build
from optimiser.differences.change import Change, Order, listed, plain, swapped

T = TypeVar("T")


def changes(before: Build, after: Build) -> Iterator[Change]:
    """What is measured with, what is cut into bays, roof and walls."""
    old, new = (_counts((m.shunt, m.count) for m in build.measuring) for build in (before, after))
    shunts = swapped(old, new)
    if shunts:
        yield Change("shunts", shunts, Order.SMALL)
    for bay in dict.fromkeys(vent.bay for vent in (*before.vents, *after.vents)):
        was, now = (_counts((v.vent, v.count) for v in build.vents if v.bay == bay) for build in (before, after))
        vents = swapped(was, now, "in", plain(bay))
        if vents:
            yield Change("vents", vents, Order.SMALL)
    for purpose in dict.fromkeys(entry.purpose for entry in (*before.entries, *after.entries)):
        yield from _entries(before, after, purpose)


def _entries(before: Build, after: Build, purpose: str) -> Iterator[Change]:
    rows = [[entry for entry in build.entries if entry.purpose == purpose] for build in (before, after)]
    was, now = (_counts((e.entry, e.count) for e in found) for found in rows)
    bought = swapped(was, now)
    if bought:
        yield Change("entries", f"{plain(purpose)} entry: {bought}", Order.SMALL)
        return
    old, new = (_counts(((e.entry, e.board), e.count) for e in found) for found in rows)
    if old != new:
        yield Change("place", f"{plain(purpose)} entry on {_boards(new - old)} for {_boards(old - new)}", Order.PLACE)


def _boards(entries: Counter[tuple[str, str]]) -> str:
    return listed(list(dict.fromkeys(plain(board) or "the roof" for _, board in entries)))


def _counts(rows: Iterable[tuple[T, int]]) -> Counter[T]:
    found: Counter[T] = Counter()
    for what, count in rows:
        found[what] += count
    return found
