"""The parts in their slots, and where they stand."""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple, TypeVar

from optimiser.builds import Build, Fitted
from optimiser.connections import CHARGERS, ROWS
from optimiser.differences.change import Change, Order, listed, plain, plural, swapped

UNNAMED = ("bank", *ROWS)  # slots that carry no single part

_ORDER = {"inverter": Order.INVERTER, "step_down": Order.CHARGER, **dict.fromkeys(CHARGERS, Order.CHARGER)}


class Pair(NamedTuple):
    """A slot that both builds fill."""

    before: Fitted
    after: Fitted


def pairs(before: Build, after: Build) -> dict[str, Pair]:
    """Slot -> what the one and what the other have there."""
    found = {fitted.slot: fitted for fitted in after.fitted}
    return {fitted.slot: Pair(fitted, found[fitted.slot]) for fitted in before.fitted if fitted.slot in found}


def changes(before: Build, after: Build) -> Iterator[Change]:
    """Other parts, parts in one build only, and parts that stand elsewhere."""
    both = pairs(before, after)
    ambiguous = _ambiguous(both)
    for slot, pair in both.items():
        was, now = _named(pair.before), _named(pair.after)
        if pair.before.existing != pair.after.existing:
            was, now = (f"{_named(fitted)} ({'existing' if fitted.existing else 'bought'})" for fitted in pair)
        if was != now:
            label = _label(slot, ambiguous, pair.before.part, pair.after.part)
            yield Change("slot", f"{label}{now} for {was}", order_of(slot))
    for build, what in ((after, "added"), (before, "dropped")):
        for fitted in build.fitted:
            if fitted.slot not in both:
                label = "" if fitted.slot in UNNAMED else _label(fitted.slot, False, fitted.part)
                yield Change("slot", f"{label}{_named(fitted)} {what}", order_of(fitted.slot))
    yield from _places(both)


def bay(fitted: Fitted) -> str:
    """The bay a body stands in."""
    return fitted.board.rpartition(".")[0]


def _named(fitted: Fitted) -> str:
    return plain(fitted.slot) if fitted.slot in UNNAMED else fitted.part


def order_of(slot: str) -> Order:
    """When a change of what is in a slot is told."""
    return Order.REGULATOR if slot.startswith("regulator_") else _ORDER.get(slot, Order.SMALL)


def _label(slot: str, ambiguous: bool, *parts: str) -> str:
    """What a slot is called before the part, unless the parts' own names say it."""
    kind = "regulator" if slot.startswith("regulator_") else slot
    if ambiguous and kind != slot:
        return f"{plain(slot)}: "
    return "" if all(kind.replace("_", "-") in part for part in parts) else f"{plain(kind)} "


def _ambiguous(both: dict[str, Pair]) -> bool:
    """Whether parts alone do not say which regulator is meant: one is bought for another, and that one elsewhere."""
    swaps = [
        pair for slot, pair in both.items() if slot.startswith("regulator_") and pair.before.part != pair.after.part
    ]
    parts = [fitted.part for pair in swaps for fitted in pair]
    return len(set(parts)) < len(parts)


# --- places ------------------------------------------------------------------------------------------


def _places(both: dict[str, Pair]) -> Iterator[Change]:
    moved: dict[tuple[str, str], list[str]] = {}
    for slot, (before, after) in both.items():
        if before.board != after.board:
            same_bay = bay(before) == bay(after)
            move = f"{'on' if same_bay else 'in'} {_where(after, same_bay)}", _where(before, same_bay)
            moved.setdefault(move, []).append(plain(slot))
    for (now, was), slots in moved.items():
        yield Change("place", f"{listed(slots)} {now} for {was}", Order.PLACE)
    shifted = sum(_shifted(pair) for pair in both.values())
    if shifted:
        bays = "its bay" if shifted == 1 else "their bays"
        yield Change("place", f"{plural(shifted, 'part')} moved within {bays}", Order.SHIFT)


def _where(fitted: Fitted, same_bay: bool) -> str:
    return plain(fitted.board if same_bay else bay(fitted))


def _shifted(pair: Pair) -> bool:
    """Whether a body stands on the same board in another place, or another way round."""
    before, after = ((f.x_mm, f.y_mm, f.orientation, f.rotated) for f in pair)
    return pair.before.board == pair.after.board and before != after


# --- shunts, vents and entries: counts of small things ------------------------------------------------


T = TypeVar("T")


def small_changes(before: Build, after: Build) -> Iterator[Change]:
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
