"""How many rectangles a sheet with blocked parts can take, and where: proven by CP-SAT.

Two formulations of the same question:
* *spots* (set packing): a Boolean a spot, at most one spot over each point. Exact over the normal patterns of
  `packing_spots`, and by far the stronger where many copies are alike.
* *sliding* (intervals): each copy has free coordinates; no_overlap_2d and one redundant cumulative an axis. For many
  different items, and for moments, where places off the normal patterns count.

The number of spots decides. Plain geometry checks every packing before it is returned. No energetic-reasoning parameter
is set: those have given wrong answers.
"""

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from itertools import pairwise, product
from math import floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from optimiser.model import clock
from optimiser.model import packing_bounds as flat
from optimiser.model.packing_bounds import Axis, Item, MomentLimit, Placed, Rect, Sheet, clashes
from optimiser.model.packing_results import DoesNotFit, Fits, NotDecided, PackingError, PackResult, Stop
from optimiser.model.packing_search import GaveUp, best_choice
from optimiser.model.packing_sets import bits, clash_sets, cliques, cover_bound, greedy
from optimiser.model.packing_spots import Spot, Spots, enough, normal_spots

__all__ = ["DoesNotFit", "Fits", "Item", "MomentLimit", "NotDecided", "PackResult", "PackingError", "Placed", "Rect"]
__all__ += ["Sheet", "Stop", "clashes", "extreme_moment", "fits", "most_count", "most_value"]


# Spots that set packing takes on, before and after needless ones are dropped; with few alike, sliding wins (measured).
_MOST_SPOTS, _MOST_SPOTS_FEW_ALIKE = (20_000, 3_000), (2_000, 150)
_MOST_SPOTS_COMPARED = 1_000  # above this, comparing all pairs costs more than it saves
_MOST_STEPS = 1_000  # of trying before the solver is asked; these take about as long as the solver takes to start

_weighted = cp_model.LinearExpr.weighted_sum


@dataclass(frozen=True, kw_only=True)
class _Task:
    """One question: the most gain from up to (``exact``: from just) these copies."""

    sheet: Sheet
    items: tuple[Item, ...]
    copies: tuple[int, ...]
    gap: int
    exact: bool
    gains: tuple[tuple[int, int, int], ...]  # of an item: for being there, and per twice its centre's x and y
    most_gain: int | None = None
    moments: tuple[MomentLimit, ...] = ()
    hint: tuple[Placed, ...] = ()  # a packing that is nearly right
    solver: cp_model.CpSolver = field(default_factory=cp_model.CpSolver)

    @property
    def place_matters(self) -> bool:
        """Whether it counts where an item lies, beyond being in nobody's way."""
        return bool(self.moments) or any(x or y for _, x, y in self.gains)

    def area(self, item: int) -> int:
        return (self.items[item].length + self.gap) * (self.items[item].width + self.gap)

    def gain(self, spots: Iterable[Spot]) -> int:
        each = [(self.gains[s.item], s) for s in spots]
        return sum(there + x * (2 * s.x + s.dx) + y * (2 * s.y + s.dy) for (there, x, y), s in each)

    def gains_of(self, spots: Spots) -> NDArray[np.int64]:
        """What each gains."""
        there, x, y = (np.array(gains, dtype=np.int64)[spots.item] for gains in zip(*self.gains, strict=True))
        gained: NDArray[np.int64] = there + x * (2 * spots.x + spots.dx) + y * (2 * spots.y + spots.dy)
        return gained


class _Answer(NamedTuple):
    """``spots`` is None without a packing, ``bound`` None without a bound; ``none`` means proven that none exists."""

    spots: list[Spot] | None = None
    bound: int | None = None
    none: bool = False


def most_count(sheet: Sheet, item: Item, *, gap: int = 0) -> PackResult:
    """The most copies of one item, whatever its value."""
    return most_value(sheet, [replace(item, value=1)], gap=gap)


def most_value(
    sheet: Sheet,
    items: Sequence[Item],
    *,
    gap: int = 0,
    stop: Stop | None = None,
    seed: int = 0,
) -> PackResult:
    """The packing of the greatest total value.

    ``gap`` is the free space wanted between any two items, not to the sheet edge nor to blocked rectangles.
    """
    flat.check_input(items, gap)
    # A lone copy can be pushed into some corner, so no spot for one means no place at all.
    useful = tuple(i for i in items if i.value and normal_spots(sheet, [i], [1], gap, limit=sys.maxsize))
    by_area = [flat.free_area(sheet, gap) // ((item.length + gap) * (item.width + gap)) for item in useful]
    copies = tuple(n if item.most is None else min(n, item.most) for n, item in zip(by_area, useful, strict=True))
    most_gain = flat.value_bound(sheet, useful, copies, gap)
    gains = tuple((item.value, 0, 0) for item in useful)
    task = _Task(sheet=sheet, items=useful, copies=copies, gap=gap, exact=False, gains=gains, most_gain=most_gain)
    answer = _answer(task, stop or Stop(), seed)
    spots = answer.spots or []
    value, bound = task.gain(spots), most_gain if answer.bound is None else answer.bound
    if bound < value or answer.none:
        raise PackingError(f"a packing of value {value} stands against a bound of {bound}")
    return PackResult(placed=_checked(task, spots), value=value, bound=bound)


def fits(
    sheet: Sheet,
    counts: Mapping[Item, int],
    *,
    gap: int = 0,
    moments: Sequence[MomentLimit] = (),
    stop: Stop | None = None,
    seed: int = 0,
) -> Fits | DoesNotFit | NotDecided:
    """Whether exactly these copies can lie on the sheet, with the moments within their limits.

    With moments the sliding model answers (for a dozen copies or so), after a brief look at the extremes: they often
    settle it, and where they do not, sliding from the nearer one finds in moments what else takes minutes.
    """
    stop = stop or Stop()
    brief = Stop(work=stop.work / 10, seconds=stop.seconds / 10)
    task = replace(_exact_task(sheet, counts, gap), moments=tuple(moments))
    layouts: list[tuple[Placed, ...]] = []
    for m, largest in product(moments, (False, True)):
        extreme = extreme_moment(
            sheet, counts, axis=m.axis, weights=m.weight_per_item, gap=gap, largest=largest, stop=brief, seed=seed
        )
        if isinstance(extreme, DoesNotFit):
            return extreme
        if isinstance(extreme, PackResult):
            if extreme.bound < m.low if largest else extreme.bound > m.high:
                return DoesNotFit()
            layouts.append(extreme.placed)
    if layouts:
        task = replace(task, hint=min(layouts, key=lambda placed: sum(m.miss(counts, placed) for m in moments)))
        if not any(m.miss(counts, task.hint) for m in moments):
            return Fits(placed=task.hint)
    answer = _answer(task, stop, seed)
    if answer.spots is None:
        return DoesNotFit() if answer.none else NotDecided()
    return Fits(placed=_checked(task, answer.spots))


def extreme_moment(
    sheet: Sheet,
    counts: Mapping[Item, int],
    *,
    axis: Axis,
    weights: Mapping[str, int],
    largest: bool,
    gap: int = 0,
    stop: Stop | None = None,
    seed: int = 0,
) -> PackResult | DoesNotFit | NotDecided:
    """The largest or smallest sum of weight x twice the centre coordinate, over all packings of exactly these copies.

    Pushing items towards zero never raises the sum (weights are not negative), so the smallest stands on normal
    patterns; the largest is the smallest on the mirrored sheet.
    """
    if any(weight < 0 for weight in weights.values()):
        raise ValueError("a weight cannot be negative")
    span = sheet.length if axis == "x" else sheet.width
    task = _exact_task(sheet.mirrored(axis) if largest else sheet, counts, gap)
    pulls = [weights.get(item.name, 0) for item in task.items]
    task = replace(task, gains=tuple((0, -w, 0) if axis == "x" else (0, 0, -w) for w in pulls))
    answer = _answer(task, stop or Stop(), seed)
    if answer.spots is None or answer.bound is None:
        return DoesNotFit() if answer.none else NotDecided()
    value, bound, spots = -task.gain(answer.spots), -answer.bound, answer.spots
    if largest:
        twice = 2 * span * sum(w * n for w, n in zip(pulls, task.copies, strict=True))
        value, bound = twice - value, twice - bound
        spots = [s._replace(x=span - s.x - s.dx) if axis == "x" else s._replace(y=span - s.y - s.dy) for s in spots]
    return PackResult(value=value, bound=bound, placed=_checked(replace(task, sheet=sheet), spots))


def _exact_task(sheet: Sheet, counts: Mapping[Item, int], gap: int) -> _Task:
    flat.check_input(list(counts), gap)
    for item, number in counts.items():
        if number < 0 or (item.most is not None and number > item.most):
            raise ValueError(f"{item.name}: {number} wanted, {item.most} available")
    items = tuple(item for item, number in counts.items() if number)
    copies = tuple(counts[item] for item in items)
    return _Task(sheet=sheet, items=items, copies=copies, gap=gap, exact=True, gains=((0, 0, 0),) * len(items))


def _checked(task: _Task, spots: Sequence[Spot]) -> tuple[Placed, ...]:
    """The packing in the caller's words, after a look at it that trusts neither the solver nor the spots."""
    placed = tuple(Placed(name=task.items[s.item].name, x=s.x, y=s.y, rotated=s.rotated) for s in spots)
    wrong = clashes(task.sheet, task.items, placed, gap=task.gap)
    if wrong or (task.exact and Counter(s.item for s in spots) != dict(enumerate(task.copies))):
        raise PackingError("; ".join(wrong) or "not the copies asked for")
    return placed


def _answer(task: _Task, stop: Stop, seed: int) -> _Answer:
    if not task.items:
        return _Answer(spots=[], bound=0)
    if task.exact and sum(task.area(k) * n for k, n in enumerate(task.copies)) > flat.free_area(task.sheet, task.gap):
        return _Answer(none=True)
    task.solver.parameters.catch_sigint_signal = False
    task.solver.parameters.num_workers = 1
    task.solver.parameters.random_seed = seed
    task.solver.parameters.max_deterministic_time = stop.work
    clock.look()
    task.solver.parameters.max_time_in_seconds = min(stop.seconds, clock.left_s())
    spots = None if task.moments else _spots(task)
    return _on_spots(task, spots) if spots is not None else _sliding(task)


def _spots(task: _Task) -> Spots | None:
    """The spots that are enough for the task; None for more than set packing should be tried on."""
    alike = task.place_matters or sum(task.copies) >= 3 * len(task.items)
    before, after = _MOST_SPOTS if alike else _MOST_SPOTS_FEW_ALIKE
    spots = normal_spots(task.sheet, task.items, task.copies, task.gap, limit=before)
    if spots is None:
        return None
    spots = enough(task.sheet, spots, task.gap, task.gains_of(spots), compared=_MOST_SPOTS_COMPARED)
    return spots if len(spots) <= after else None


def _on_spots(task: _Task, places: Spots) -> _Answer:
    """Set packing: a Boolean a spot."""
    places = places.only(np.argsort(-task.gains_of(places), kind="stable"))
    spots = places.each()
    clash, sets = clash_sets(places, task.gap), cliques(spots, task.gap)
    first, bound = None, task.most_gain
    if not task.place_matters:
        worth = [item.length * item.width if task.exact else item.value for item in task.items]
        first = [spots[k] for k in greedy(spots, clash, worth, task.copies)]
        if task.exact and len(first) == sum(task.copies):
            return _Answer(spots=first, bound=0)
        if bound is not None and len(task.items) == 1:
            bound = min(bound, cover_bound(len(spots), sets) * task.items[0].value)
        if task.gain(first) == bound:
            return _Answer(spots=first, bound=bound)
    gains = [task.gain([spot]) for spot in spots]
    if task.exact:
        with suppress(GaveUp):
            taken = best_choice(clash, sets, [s.item for s in spots], gains, task.copies, steps=_MOST_STEPS)
            if taken is None:
                return _Answer(none=True)
            return _Answer(spots=[spots[k] for k in taken], bound=sum(gains[k] for k in taken))
    model = cp_model.CpModel()
    used = [model.new_bool_var("") for _ in spots]
    for mask in sets:
        model.add_at_most_one([used[k] for k in bits(mask)])
    for item, number in enumerate(task.copies):
        total = cp_model.LinearExpr.sum([used[k] for k, spot in enumerate(spots) if spot.item == item])
        model.add(total == number if task.exact else total <= number)
    model.add(_weighted(used, [task.area(s.item) for s in spots]) <= flat.free_area(task.sheet, task.gap))
    gain = _weighted(used, gains)
    task.solver.parameters.linearization_level = 2  # proves in 1.5 s what else takes over 30 s
    found = _solve(task, model, gain, bound, lambda: [spots[k] for k, v in enumerate(used) if task.solver.value(v)])
    if first is not None and not task.exact and (found.spots is None or task.gain(first) > task.gain(found.spots)):
        return found._replace(spots=first)
    return found


class _Copy(NamedTuple):
    """One copy in the sliding model: its corner, and a Boolean for each way round (none set: left out)."""

    item: int
    corner: tuple[cp_model.IntVar, cp_model.IntVar]
    ways: tuple[tuple[bool, tuple[int, int], cp_model.IntVar], ...]  # rotated, extent, chosen
    measures: tuple[cp_model.LinearExpr, ...]  # whether it is there, and twice its centre's x and y

    def spots(self, solver: cp_model.CpSolver) -> list[Spot]:
        x, y = (solver.value(var) for var in self.corner)
        return [Spot(self.item, x, y, *extent, rotated) for rotated, extent, way in self.ways if solver.value(way)]

    def hint(self, model: cp_model.CpModel, put: Placed) -> None:
        model.add_hint(self.corner[0], put.x)
        model.add_hint(self.corner[1], put.y)
        for rotated, _, way in self.ways:
            model.add_hint(way, rotated == put.rotated)


def _sliding(task: _Task) -> _Answer:
    """Intervals: every copy may lie anywhere."""
    sheet, gap, model = task.sheet, task.gap, cp_model.CpModel()
    copies = [_copy(model, task, item) for item, number in enumerate(task.copies) for _ in range(number)]
    bare = not (task.place_matters or sheet.blocked)  # then a mirror image is as good
    single = max((k for k, number in enumerate(task.copies) if bare and number == 1), key=task.area, default=None)
    for one, two in pairwise(copies):
        if one.item == two.item:  # copies alike: the first ones are used, from left to right
            model.add(one.corner[0] <= two.corner[0])
            model.add(one.measures[0] >= two.measures[0])
    for copy in copies:
        if copy.item == single:
            model.add(copy.measures[1] <= sheet.length)
            model.add(copy.measures[2] <= sheet.width)
    _keep_apart(model, sheet, copies, flat.shrunk(sheet, gap), gap)
    if small := [r for r in sheet.blocked if r.length <= gap or r.width <= gap]:  # none to enlarged items
        _keep_apart(model, sheet, copies, flat.disjoint(small, length=sheet.length, width=sheet.width), 0)
    model.add(
        _weighted([c.measures[0] for c in copies], [task.area(c.item) for c in copies]) <= flat.free_area(sheet, gap)
    )
    for m in task.moments:
        weights = [m.weight_per_item.get(task.items[copy.item].name, 0) for copy in copies]
        moment = _weighted([copy.measures["_xy".index(m.axis)] for copy in copies], weights)
        model.add_linear_constraint(moment, m.low, m.high)
    order = [item.name for item in task.items]
    for copy, put in zip(copies, sorted(task.hint, key=lambda p: (order.index(p.name), p.x)), strict=bool(task.hint)):
        copy.hint(model, put)
    gain = _weighted([m for c in copies for m in c.measures], [g for c in copies for g in task.gains[c.item]])
    return _solve(task, model, gain, task.most_gain, lambda: [s for copy in copies for s in copy.spots(task.solver)])


def _copy(model: cp_model.CpModel, task: _Task, item: int) -> _Copy:
    room, kind = (task.sheet.length, task.sheet.width), task.items[item]
    corner = (model.new_int_var(0, room[0], ""), model.new_int_var(0, room[1], ""))
    ways = tuple((rotated, kind.extent(rotated), model.new_bool_var("")) for rotated in kind.ways)
    chosen = [way for _, _, way in ways]
    model.add(sum(chosen) == 1 if task.exact else sum(chosen) <= 1)
    centre = []
    for axis in (0, 1):
        for _, extent, way in ways:
            model.add(corner[axis] <= room[axis] - extent[axis]).only_enforce_if(way)
        centre.append(_weighted([corner[axis], *chosen], [2, *(extent[axis] for _, extent, _ in ways)]))
    return _Copy(item, corner, ways, (cp_model.LinearExpr.sum(chosen), *centre))


def _keep_apart(model: cp_model.CpModel, sheet: Sheet, copies: list[_Copy], blocked: list[Rect], gap: int) -> None:
    """No overlap among copies enlarged by the gap and blocked parts, and what that means on each axis alone."""
    intervals: tuple[list[cp_model.IntervalVar], ...] = ([], [])
    sizes: tuple[list[int], ...] = ([], [])
    for axis in (0, 1):
        for copy in copies:
            for _, extent, way in copy.ways:
                size = extent[axis] + gap
                intervals[axis].append(model.new_optional_fixed_size_interval_var(copy.corner[axis], size, way, ""))
                sizes[axis].append(size)
        for rect in blocked:
            start, size = ((rect.x, rect.length), (rect.y, rect.width))[axis]
            intervals[axis].append(model.new_fixed_size_interval_var(start, size, ""))
            sizes[axis].append(size)
    model.add_no_overlap_2d(*intervals)
    model.add_cumulative(intervals[0], sizes[1], sheet.width + gap)
    model.add_cumulative(intervals[1], sizes[0], sheet.length + gap)


def _solve(
    task: _Task, model: cp_model.CpModel, gain: cp_model.LinearExpr, bound: int | None, read: Callable[[], list[Spot]]
) -> _Answer:
    if any(any(gains) for gains in task.gains):
        if bound is not None:
            model.add(gain <= bound)
        model.maximize(gain)
    status = task.solver.solve(model)
    clock.look()  # what the end cut short says nothing
    if status in (cp_model.INFEASIBLE, cp_model.UNKNOWN):
        return _Answer(bound=bound, none=status == cp_model.INFEASIBLE)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        raise PackingError(f"the solver refused the model: {model.validate()}")
    spots, open_to = read(), floor(task.solver.best_objective_bound + 1e-6)
    return _Answer(spots=spots, bound=task.gain(spots) if status == cp_model.OPTIMAL else open_to)
