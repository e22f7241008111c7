"""Panels by zone, and how they are strung."""

from collections import Counter
from collections.abc import Callable, Iterator
from typing import TypeVar

from optimiser.builds import Build, PanelArray, PlacedPanel
from optimiser.differences.change import Change, Order, plain, plural, swapped

T = TypeVar("T")

Kinds = Counter[tuple[str, str]]  # zone and panel type


def changes(before: Build, after: Build) -> Iterator[Change]:
    """What lies on the roof and where, then the strings."""
    lost, gained = _between(before, after, _kind), _between(after, before, _kind)
    yield from _bought(before, after)
    for panel, source, target, count in _moves(lost, gained, _unchanged(before, after)):
        yield Change("roof zone", f"{count} {panel} from {plain(source)} to {plain(target)}", Order.STRINGS)
    restrung = list(_arrays(before, after, lost, gained))
    yield from restrung
    yield from _shifted(before, after, told=bool(restrung))


# --- panels ------------------------------------------------------------------------------------------


def _kind(panel: PlacedPanel) -> tuple[str, str]:
    return panel.zone, panel.panel


def _place(panel: PlacedPanel) -> tuple[object, ...]:
    return panel.zone, panel.panel, panel.x_mm, panel.y_mm, panel.rotated


def _between(one: Build, other: Build, key: Callable[[PlacedPanel], T]) -> Counter[T]:
    """What the one has more of, panels with the same key being alike."""
    return Counter(map(key, one.panels)) - Counter(map(key, other.panels))


def _unchanged(before: Build, after: Build) -> set[str]:
    """Panel types that both have as many of: such a panel can only change zones."""
    was, now = (Counter(panel.panel for panel in build.panels) for build in (before, after))
    return {panel for panel in was if was[panel] == now[panel]}


def _moves(lost: Kinds, gained: Kinds, unchanged: set[str]) -> Iterator[tuple[str, str, str, int]]:
    """Panels that another zone has instead: panel, from, to, count."""
    left, wanted = lost.copy(), gained.copy()
    for source, panel in lost:
        for target, other in gained:
            count = min(left[source, panel], wanted[target, other])
            if other == panel and panel in unchanged and count:
                left[source, panel] -= count
                wanted[target, panel] -= count
                yield panel, source, target, count


def _bought(before: Build, after: Build) -> Iterator[Change]:
    """What is bought otherwise, zone by zone, the zone with most of it first."""
    same = _unchanged(before, after)
    zones = dict.fromkeys(panel.zone for panel in (*before.panels, *after.panels))
    found = []
    for zone in zones:
        was, now = (
            Counter(panel.panel for panel in build.panels if panel.zone == zone and panel.panel not in same)
            for build in (before, after)
        )
        text = swapped(was, now, "on", plain(zone) if len(zones) > 1 else "")
        if text:
            found.append(((was - now).total() + (now - was).total(), Change("roof zone", text, Order.PANELS)))
    yield from (change for _, change in sorted(found, key=lambda item: -item[0]))


def _shifted(before: Build, after: Build, *, told: bool) -> Iterator[Change]:
    """Panels that lie elsewhere on their zone, or belong to another string in the same place."""
    elsewhere = _between(before, after, _place).total()
    moved = elsewhere - _between(before, after, _kind).total()
    if moved:
        zone = "its zone" if moved == 1 else "their zones"
        yield Change("place", f"{plural(moved, 'panel')} moved within {zone}", Order.SHIFT)
    restrung = _between(before, after, lambda panel: panel).total() - elsewhere
    if restrung and not told:
        string = "another string" if restrung == 1 else "other strings"
        yield Change("array", f"{plural(restrung, 'panel')} on {string}", Order.STRINGS)


# --- strings -----------------------------------------------------------------------------------------


def array_name(name: str) -> str:
    """An array as it is spoken of."""
    return plain(name) if name.startswith("array") else f"array {plain(name)}"


def strung(array: PanelArray) -> str:
    """Series and parallel in words, and what each string is fused with."""
    return f"{_series(array)}, {_strings(array)}{f', {array.fuse} on each' if array.fuse else ''}"


def _series(array: PanelArray) -> str:
    return f"{array.series} in series"


def _strings(array: PanelArray) -> str:
    return f"{array.parallel} string{'s' * (array.parallel != 1)}"


def _arrays(before: Build, after: Build, lost: Kinds, gained: Kinds) -> Iterator[Change]:
    old, new = ({array.name: array for array in build.arrays} for build in (before, after))
    told = {panel for _, panel in lost}, {panel for _, panel in gained}
    for name in dict.fromkeys((*old, *new)):
        text = ""
        if name in old and name in new:
            said = list(_array(before, after, old[name], new[name], told))
            text = f"{array_name(name)} {', '.join(said)}" if said else ""
        elif name in new:
            text = f"{array_name(name)} added with {_whole(new[name])}"
        else:
            text = f"{array_name(name)} dropped"
        if text:
            yield Change("array", text, Order.STRINGS)


def _whole(array: PanelArray) -> str:
    return strung(array) if array.roof_plane else f"the portable {array.panel}"


def _array(
    before: Build, after: Build, old: PanelArray, new: PanelArray, told: tuple[set[str], set[str]]
) -> Iterator[str]:
    """``told``: panel types that the change of panels has named, the ones lost and the ones gained."""
    if old.panel != new.panel and not (old.panel in told[0] and new.panel in told[1]):
        yield f"of {new.panel} for {old.panel}"
    if old.series != new.series and old.parallel != new.parallel:
        yield f"with {strung(new)} for {strung(old)}"
    elif old.series != new.series:
        yield f"with {_series(new)} for {old.series}"
    elif old.parallel != new.parallel:
        yield f"with {_strings(new)} for {old.parallel}"
    if old.fuse != new.fuse and (old.series == new.series or old.parallel == new.parallel):
        yield f"with {new.fuse or 'no fuse'} on each string{f' for {old.fuse}' if old.fuse else ''}"
    if old.roof_plane != new.roof_plane and not all(told):
        yield f"on the roof plane {plain(new.roof_plane)} for {plain(old.roof_plane)}"
    if old.regulator != new.regulator:
        was, now = input_of(before, old), input_of(after, new)
        was, now = (was, now) if was != now else (plain(old.regulator), plain(new.regulator))
        yield f"on {now} for {was}"


def input_of(build: Build, array: PanelArray) -> str:
    """What an array's strings end at."""
    fitted = build.slot(array.regulator)
    return fitted.part if fitted else plain(array.regulator)
