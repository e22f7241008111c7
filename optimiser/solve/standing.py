"""One solve of a model whose bodies have places on boards: first without what keeps them apart and what that costs.

Where bodies stand changes little of what a build costs and weighs, its cables, and most boards have room; yet to look
for places beside all else is most of the work. So the model is solved `loose`: what that proves holds for the whole
too, which only rules more out. Its solution is then given places, with all else as it is. Where there are none, or
cables are longer with them, the best of its group is found with all that holds: bank, inverter, chargers and arrays are
settled there, so that it takes seconds. Then that group is ruled out of the loose model, and any solution of it that
is better than the best known shows the next one. Where there is none, nothing is better; where groups do not end, the
whole model is solved from what is known by then.
"""

import time
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from threading import Lock

from ortools.sat.python import cp_model

from optimiser.solve.early import Early
from optimiser.solve.front import Kind, Room, within
from optimiser.solve.outcome import Halt, Progress, Stop, Watch
from optimiser.solve.search import (
    Accepted,
    Aim,
    Best,
    Expr,
    Infeasible,
    Open,
    Values,
    places,
    race,
    search,
    value_in,
)

_GROUPS = 12  # ruled out of the loose model one by one
_LITTLE = 0.01  # of the bound, above it: what is looked for next; then twice as much
_WITHOUT = 2  # of them without any places: then the whole model
_PLACED_S = 2.0  # for the places of one solution: mostly a tenth of a second
_SHARE = 0.5  # of the time left, for the best of one group: mostly some seconds
_AGAIN_S = 5.0  # for the best of a group that was solved before
_REST = 4.0  # times as long as the places of one solution took, before the next one found is looked at
_IN_VAIN, _IN_VAIN_SHARE = 5, 0.25  # solutions without places, none with, in this share of the time: the whole model


@dataclass(frozen=True)
class Models:
    """A model without what keeps bodies apart, and with it; the variables that both share come first in either.

    ``settled`` are what a build costs and weighs by, but for the lengths of its cables: these go with its places.
    ``marks`` are the flags of a group.
    """

    loose: cp_model.CpModel
    whole: cp_model.CpModel
    goal: Aim
    settled: Sequence[cp_model.IntVar]
    marks: Sequence[Expr]


def solve(
    models: Models, *, stop: Stop, watch: Watch = lambda _: None, halt: Halt | None = None, started: float | None = None
) -> Best | Infeasible | Open:
    """The best solution of the whole model; parameters as in `search`. Only what has its places is told of."""
    look = _Look(models, stop, watch, halt or Halt(), time.monotonic() if started is None else started)
    found = look.loosely()
    ended = isinstance(found, Best) and not found.proven and not stop.first  # in time, or in vain
    for count in range(0 if ended else _GROUPS):
        if isinstance(found, Infeasible):
            if look.best is None:
                return found
            if look.known == look.below:  # nothing is better than the best known
                return look.best_of_all()
            break  # one search found what the other says is not there: neither is believed
        if not isinstance(found, Best):
            break
        if look.placed(_values(models.loose, found)) and look.best and (found.proven or stop.first):
            return look.best_of_all() if found.proven else replace(look.best, bound=look.goal.low)
        if look.best is None and count >= _WITHOUT:
            break
        settled = look.settles_group(found)
        if look.best and stop.first:
            return replace(look.best, bound=look.goal.low)
        if not settled:
            break
        found = look.another()
    return look.wholly()


def in_group(
    models: Models,
    group: Kind,
    *,
    stop: Stop,
    halt: Halt,
    started: float,
    below: int | None = None,
    seconds: float = _AGAIN_S,
) -> Best | Infeasible | Open:
    """The best of one group in the whole model, if it is ``below``, as far as that shows in a time [s]."""
    alike = within(models.whole.clone(), models.goal.first, models.goal.second, Room(inside=group), models.marks)
    stop = replace(stop, seconds=min(stop.seconds, time.monotonic() - started + seconds))
    return search(alike, models.goal, stop=stop, halt=halt, started=started, below=below)


def _values(model: cp_model.CpModel, found: Best) -> Values:
    return tuple(found.value(model.get_int_var_from_proto_index(k)) for k in range(len(model.proto.variables)))


@dataclass
class _Look:
    """A solve under way. ``best``: the best known with places. ``below``: the loose model is held to less than that."""

    models: Models
    stop: Stop
    watch: Watch
    halt: Halt
    started: float
    best: Best | None = None
    below: int | None = None  # of the goal
    _has_places: bool = False  # some solution of the loose model has, whatever it costs with them
    _in_vain: int = 0
    _spent: bool = False  # all the time or work there is
    _lock: Lock = field(default_factory=Lock)
    _again: float = 0.0  # when to look at what is found again, of `time.monotonic`

    def __post_init__(self) -> None:
        self.goal, self._bound = self.models.goal, self.models.goal.low

    def loosely(self) -> Best | Infeasible | Open:
        """The best of the loose model."""
        with Early(self.models.whole, self.goal, self.stop, self.started, self._take) as self.early:
            found = self._loose(self.stop)
        proven = isinstance(found, Infeasible) or (isinstance(found, Best) and found.proven)
        self._spent = not proven and not self.stop.first and not self._hopeless
        if not isinstance(found, Infeasible):
            bound = found.value(self.goal.first) if isinstance(found, Best) and found.proven else found.bound
            self.goal = replace(self.goal, low=max(self.goal.low, bound))
        return found

    def another(self) -> Best | Infeasible | Open:
        """A solution of the loose model, without what was ruled out by now, that is better than the best known: any
        that is little above the bound, and where there is none the bound is raised to there."""
        stop = replace(self.stop, first=True)
        if self.below is None:
            return self._loose(stop)
        room = _LITTLE
        while True:
            above = int(room * abs(self.goal.low))  # of a goal in few steps nothing: then all there is
            below = min(self.below, self.goal.width * (self.goal.low + above)) if above else self.below
            found = race(self.models.loose, self.goal, stop=stop, halt=self.halt, started=self.started, below=below)
            if not isinstance(found, Infeasible) or below == self.below:
                return found
            self.goal = replace(self.goal, low=below // self.goal.width)
            self._tell(Progress(None, self.goal.low, time.monotonic() - self.started))
            room *= 2

    def _loose(self, stop: Stop) -> Best | Infeasible | Open:
        return search(
            self.models.loose,
            self.goal,
            stop=stop,
            watch=self._moved,
            halt=self.halt,
            started=self.started,
            accept=self._accept,
            below=self.below,
        )

    def settles_group(self, found: Best) -> bool:
        """Whether the best of a group is proven; then the loose model has to be of another, and better."""
        group = tuple(found.value(mark) for mark in self.models.marks)
        seconds = _SHARE * (self.stop.seconds - (time.monotonic() - self.started))
        near = in_group(
            self.models, group, stop=self.stop, halt=self.halt, started=self.started, below=self.known, seconds=seconds
        )
        if isinstance(near, Best):
            self._take(near)
        if isinstance(near, Open) or (isinstance(near, Best) and not near.proven):
            return False
        for model in (self.models.loose, self.models.whole):
            within(model, self.goal.first, self.goal.second, Room(outside=(group,)), self.models.marks)
        self.below = self.known
        return True

    def best_of_all(self) -> Best:
        """The best known, proven."""
        assert self.best
        return replace(self.best, proven=True, bound=self.best.value(self.goal.first))

    def wholly(self) -> Best | Infeasible | Open:
        """The best of the whole model, if there is time, from what is known and without what was ruled out."""
        best = self.best
        if self._spent or self.halt.asked or time.monotonic() - self.started >= self.stop.seconds:
            return replace(best, proven=False, bound=self.goal.low) if best else Open(self.goal.low)
        found = search(
            self.models.whole,
            self.goal,
            stop=self.stop,
            watch=self._whole_moved,
            halt=self.halt,
            started=self.started,
            below=self.known,
        )
        if best and isinstance(found, Infeasible):  # nothing is better
            return self.best_of_all()
        if best and isinstance(found, Open):
            return replace(best, proven=False, bound=max(self.goal.low, found.bound))
        return found

    def placed(self, values: Values) -> bool:
        """Give a solution of the loose model places, the best for its cables; whether it costs no more with them."""
        at_least = value_in(values)(self.goal.both)
        if self.best and self.best.value(self.goal.both) <= at_least:
            return True
        model = self.models.whole.clone()
        for var in self.models.settled:
            domain = model.proto.variables[var.index].domain
            domain.clear()
            domain.extend([values[var.index]] * 2)
        found = places(model, self.goal, seconds=_PLACED_S, seed=self.stop.seed, halt=self.halt, below=self.known)
        if found is None:
            self._in_vain += 1
            return False
        self._has_places = True
        self._take(found)
        return found.value(self.goal.both) <= at_least

    def _accept(self, values: Values) -> Accepted:
        now = time.monotonic()
        if now < self._again:
            return "leave"
        there = self.placed(values)
        self._again = time.monotonic() + _REST * (time.monotonic() - now)
        if there:
            self.early.enough()
            return "tell"
        return "end" if self._hopeless else "leave"

    @property
    def known(self) -> int | None:
        """What the best known comes to."""
        return self.best.value(self.goal.both) if self.best else None

    @property
    def _hopeless(self) -> bool:
        """Whether what the loose model gives has no places, by all that was seen in a good part of the time."""
        late = time.monotonic() - self.started > _IN_VAIN_SHARE * self.stop.seconds
        return late and not self._has_places and self._in_vain >= _IN_VAIN

    def _take(self, found: Best) -> None:
        with self._lock:
            if self.best and found.value(self.goal.both) >= self.best.value(self.goal.both):
                return
            self.best = found
        self._tell(Progress(None, self.goal.low, time.monotonic() - self.started))

    def _moved(self, progress: Progress) -> None:
        """The search itself is under way."""
        if self.best:
            self.early.enough()
        self._tell(progress)

    def _whole_moved(self, progress: Progress) -> None:
        """What the whole model has found has its places."""
        self._tell(progress, progress.best)

    def _tell(self, progress: Progress, found: int | None = None) -> None:
        self._bound = max(progress.bound, self.goal.low, self._bound)
        known = [self.best.value(self.goal.first)] if self.best else []
        best = min([*known, *([] if found is None else [found])], default=None)
        self.watch(replace(progress, best=best, bound=self._bound))
