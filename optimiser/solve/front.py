"""All solutions worth showing of two measures: the exact front, by one solve a point, or some points of it.

A point is not dominated if no solution is as good in both measures and better in one. The loop starts at the
least of the first measure, and asks each time for the least of the first with less of the second than the
point before, ties broken by the second. This finds every point, also those inside the convex hull, which
no weighted sum finds (the epsilon-constraint method, lexicographic: Haimes, Lasdon and Wismer 1971, from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Generic, Literal, TypeVar

from ortools.sat.python import cp_model

from optimiser.solve.outcome import Halt, Stop
from optimiser.solve.search import Expr, Infeasible, Open, Value, aim, search

T = TypeVar("T")
Kind = tuple[int, ...]  # what solutions of one kind share: the values of the expressions that mark it
Pair = tuple[int, int]  # both measures
Cover = tuple[int, int, int]  # both measures of a point, and the least of the second that it covers


@dataclass(frozen=True)
class Room:
    """Where to look for a point. ``turned``: the least of the second, ties broken by the first.

    ``inside``: of one kind only. ``outside``: of none of these. ``below``: as bad in both measures as none of these.
    ``uncovered``: covered by none of these, so better in the first measure, ties broken by the second, or with less of
    the second than that one covers.
    """

    second_at_most: int | None = None
    first_at_least: int | None = None
    turned: bool = False
    inside: Kind | None = None
    outside: tuple[Kind, ...] = ()
    below: tuple[Pair, ...] = ()
    uncovered: tuple[Cover, ...] = ()


@dataclass(frozen=True)
class Point(Generic[T]):
    """Two measures, both to be small, and what was found there.

    ``proven``: nothing dominates it; otherwise it is the best found. ``under``: it has the least first of all with
    no more than that of the second; None: of all there are. ``least``: nothing has less of the second. ``kind``: see
    `kinds`.
    """

    first: int
    second: int
    found: T
    proven: bool = True
    under: int | None = None
    least: bool = False
    kind: Kind | None = None


@dataclass(frozen=True)
class Unanswered:
    """A solve that ended without a point and without a proof that there is none."""

    why: str


Ask = Callable[[Room], Point[T] | Infeasible | Unanswered]
Tell = Callable[[Point[T]], None]


@dataclass(frozen=True)
class Front(Generic[T]):
    """Points by rising first measure. ``state`` says what is known of them:

    ``whole``: every point there is. ``some``: each proven, both ends among them, others left out on purpose.
    ``apart``: each proven, and that they stand for all others, see `apart`.
    ``part``: the loop was stopped; ``why`` says by what.
    """

    points: tuple[Point[T], ...]
    state: Literal["whole", "some", "apart", "part"]
    why: str


def front(ask: Ask[T], *, tell: Tell[T] = lambda _: None) -> Front[T]:
    """The whole front.

    Parameters
    ----------
    ask : finds the best point of a room, see `of_model`.
    tell : called with each point once.
    """
    walk = _Walk(ask, tell)
    room = Room()
    while True:
        step = walk.to(room)
        if isinstance(step, Infeasible):
            return walk.ended("whole")
        if isinstance(step, Unanswered):
            return walk.ended("part", step.why)
        if not step.proven:
            return walk.ended("part", "the last point is the best found, not proven")
        room = Room(step.second - 1, step.first + 1)


def spread(ask: Ask[T], count: int, *, tell: Tell[T] = lambda _: None) -> Front[T]:
    """Both ends of the front, and up to ``count`` - 2 points between, evenly apart in the second measure.

    A point between is the least of the first at no more than an even step of the second, so it lies on the front;
    two steps may lead to the same point. Parameters as in `front`.

    Raises
    ------
    ValueError
        If ``count`` is below 2: a front has two ends.
    """
    if count < 2:
        raise ValueError(f"{count} points; expected 2 or more: a front has two ends")
    walk = _Walk(ask, tell)
    rooms, ends = [Room(), Room(turned=True)], []
    while rooms:
        step = walk.to(rooms.pop(0))
        if isinstance(step, Infeasible):
            return walk.ended("whole")
        if isinstance(step, Unanswered):
            return walk.ended("part", step.why)
        if not step.proven:
            return walk.ended("part", "a point is the best found, not proven")
        ends.append(step.second)
        if len(ends) == 2:  # both ends are there: even steps between
            most, least = ends
            rooms = [Room(most - round(k * (most - least) / (count - 1))) for k in range(1, count - 1)]
    return walk.ended("some")


@dataclass
class _Walk(Generic[T]):
    """A loop under way: what it found, so that nothing is asked for twice."""

    ask: Ask[T]
    tell: Tell[T]
    known: list[Point[T]] = field(default_factory=list)

    def to(self, room: Room) -> Point[T] | Infeasible | Unanswered:
        """The point of a room."""
        step = self._remembered(room) or self.ask(room)
        if isinstance(step, Point):
            step = self._learn(step, room)
        elif isinstance(step, Infeasible) and room.second_at_most is not None:
            # Nothing has so little of the second: a point next to that has the least.
            beside = room.second_at_most + 1
            self.known = [replace(p, least=True) if p.proven and p.second == beside else p for p in self.known]
        return step

    def _remembered(self, room: Room) -> Point[T] | Infeasible | None:
        for point in self.known:
            if _answers(point, room):
                return point
            if point.least and room.second_at_most is not None and room.second_at_most < point.second:
                return Infeasible()
        return None

    def _learn(self, step: Point[T], room: Room) -> Point[T]:
        """A point found twice stays one, with the more of what is known of it; what is not proven adds nothing."""
        new = step
        if step.proven:
            new = replace(step, under=step.second if room.turned else room.second_at_most, least=room.turned)
        for k, point in enumerate(self.known):
            if (point.first, point.second) == (new.first, new.second):
                if not new.proven:
                    return new
                if point.proven:
                    under = None if point.under is None or new.under is None else max(point.under, new.under)
                    new = replace(point, under=under, least=point.least or new.least)
                self.known[k] = new
                return new
        self.known.append(new)
        self.tell(new)
        return new

    def ended(self, state: Literal["whole", "some", "part"], why: str = "") -> Front[T]:
        return Front(tuple(sorted(self.known, key=lambda point: point.first)), state, why)


def _answers(point: Point[T], room: Room) -> bool:
    """Whether the point is the one that a room would give."""
    if not point.proven:
        return False
    if room.turned:
        return point.least
    at_most = room.second_at_most
    if at_most is None:
        return point.under is None
    return point.second <= at_most and (point.under is None or at_most <= point.under)


def of_model(
    model: cp_model.CpModel,
    first: Expr,
    second: Expr,
    *,
    marks: Sequence[Expr] = (),
    stop: Stop | None = None,
    halt: Halt | None = None,
) -> Ask[Value]:
    """The question of the loop for any CP-SAT model and two linear expressions to be made small.

    The model is copied for each question and stays as it is. What is found is a function from a variable of the
    model to its value. ``marks`` are flags whose values make the kind of a solution. The time limit of ``stop`` is
    for each question.
    """
    stop = stop or Stop()

    def ask(room: Room) -> Point[Value] | Infeasible | Unanswered:
        narrowed = within(model.clone(), first, second, room, marks)
        goal = aim(second, first) if room.turned else aim(first, second)
        result = search(narrowed, goal, stop=stop, halt=halt)
        if isinstance(result, Open):
            return Unanswered("neither a point nor a proof that there is none in time")
        if isinstance(result, Infeasible):
            return result
        kind = tuple(result.value(mark) for mark in marks)
        return Point(result.value(first), result.value(second), result.value, result.proven, kind=kind)

    return ask


def within(
    model: cp_model.CpModel, first: Expr, second: Expr, room: Room, marks: Sequence[Expr] = ()
) -> cp_model.CpModel:
    """The model held to a room."""
    if room.second_at_most is not None:
        model.add(second <= room.second_at_most)
    if room.first_at_least is not None:
        model.add(first >= room.first_at_least)
    if room.inside is not None:
        for mark, value in zip(marks, room.inside, strict=True):
            model.add(mark == value)
    for kind in room.outside:
        model.add(sum(1 - mark if value else mark for mark, value in zip(marks, kind, strict=True)) >= 1)
    for worse_first, worse_second in room.below:
        better = model.new_bool_var("")
        model.add(first < worse_first).only_enforce_if(better)
        model.add(second < worse_second).only_enforce_if(~better)
    for its_first, its_second, reach in room.uncovered:
        cheaper, as_cheap, beyond = (model.new_bool_var("") for _ in range(3))
        model.add_bool_or(cheaper, as_cheap, beyond)
        model.add(first < its_first).only_enforce_if(cheaper)
        model.add(first <= its_first).only_enforce_if(as_cheap)
        model.add(second < its_second).only_enforce_if(as_cheap)
        model.add(second < reach).only_enforce_if(beyond)
    return model
