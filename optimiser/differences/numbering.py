"""Arrays and regulators are numbered as they come: give those that two builds share the same names.

Otherwise the same two arrays found in the other order would read as four changes.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from optimiser.builds import Build, PanelArray

Names = dict[str, str]  # in the later build -> in the earlier one
Likeness = Callable[[Build, PanelArray], tuple[object, ...]]  # what two arrays must share to be taken for one


def renumbered(before: Build, after: Build) -> Build:
    """``after`` with the names that ``before`` gives the arrays and regulators they share."""
    arrays = dict(_pairs(before, after))
    old = {array.name: array for array in before.arrays}
    regulators: Names = {}
    for array in filter(lambda array: _is_regulator(array.regulator), after.arrays):
        pair = old.get(arrays.get(array.name, ""))
        if pair and _is_regulator(pair.regulator) and pair.regulator not in regulators.values():
            regulators.setdefault(array.regulator, pair.regulator)
    array_names = _filled(arrays, [array.name for array in after.arrays])
    return _renamed(after, array_names, _filled(regulators, _regulators(after)))


def _pairs(before: Build, after: Build) -> Iterator[tuple[str, str]]:
    """Names of the same array in both, surest likeness first."""
    left, right = list(before.arrays), list(after.arrays)
    for alike in _LIKENESSES:
        for new in tuple(right):
            old = next((a for a in left if alike(before, a) == alike(after, new)), None)
            if old:
                left.remove(old)
                right.remove(new)
                yield new.name, old.name


def _whole(build: Build, array: PanelArray) -> tuple[object, ...]:
    fitted = build.slot(array.regulator)
    return *_strung(build, array), fitted and fitted.part


def _strung(build: Build, array: PanelArray) -> tuple[object, ...]:
    return *_kind(build, array), array.series, array.parallel, _is_regulator(array.regulator)


def _kind(build: Build, array: PanelArray) -> tuple[object, ...]:
    return array.panel, array.roof_plane


def _name(build: Build, array: PanelArray) -> tuple[object, ...]:
    return (array.name,)


def _both(one: Likeness, other: Likeness) -> Likeness:
    return lambda build, array: one(build, array) + other(build, array)


_LIKENESSES = (_both(_whole, _name), _whole, _both(_strung, _name), _strung, _name, _kind)


def _is_regulator(slot: str) -> bool:
    return slot.startswith("regulator_")


def _regulators(build: Build) -> list[str]:
    slots = [fitted.slot for fitted in build.fitted] + [array.regulator for array in build.arrays]
    return [name for name in dict.fromkeys(slots + [run.name for run in build.runs]) if _is_regulator(name)]


def _filled(names: Names, ours: Iterable[str]) -> Names:
    """Names for those without a partner too: their own, or where another has taken it one that is set free."""
    ours, found = list(ours), dict(names)
    for own in ours:
        if own not in found:
            found[own] = next(name for name in (own, *names, *ours) if name not in found.values())
    return found


def _renamed(build: Build, arrays: Names, regulators: Names) -> Build:
    runs = {f"solar_{name}": f"solar_{new}" for name, new in arrays.items()} | regulators

    def string(label: str) -> str:
        array, _, place = label.rpartition(".")
        return f"{arrays.get(array, array)}.{place}"

    return replace(
        build,
        panels=tuple(replace(panel, string=string(panel.string)) for panel in build.panels),
        arrays=tuple(
            replace(a, name=arrays[a.name], regulator=regulators.get(a.regulator, a.regulator)) for a in build.arrays
        ),
        fitted=tuple(replace(fitted, slot=regulators.get(fitted.slot, fitted.slot)) for fitted in build.fitted),
        runs=tuple(replace(run, name=runs.get(run.name, run.name)) for run in build.runs),
    )
