"""Fewer hard questions for a front: what is proven once of all other kinds of solution serves many points.

To prove a point is to prove that every other kind of solution is worse, and that costs nearly the same for each
point, while within one kind a question is quick. So the best of all is asked for and its kind looked into; then the
best of all other kinds, and so on. Until that one's turn comes, the points are those of the kinds looked into.
"""

from dataclasses import dataclass, field, replace
from math import inf
from typing import Generic, TypeVar

from optimiser.solve.front import Ask, Kind, Pair, Point, Room, Unanswered
from optimiser.solve.search import Infeasible

T = TypeVar("T")


@dataclass
class ByKinds(Generic[T]):
    """A question of the loop over a front that looks into one kind after another. Call it as any `Ask`.

    Rooms are to be asked for as the loop does, none with more of the second measure than the one before: of a kind
    only the points that lie in the room it was found in are known.

    Parameters
    ----------
    ask : heeds ``inside``, ``outside`` and ``below`` of a room, and gives each point its kind.

    Raises
    ------
    ValueError
        If a room is wider than the one before.
    """

    ask: Ask[T]
    points: dict[Kind, list[Point[T]]] = field(default_factory=dict)  # of the kinds looked into
    latest: Kind | None = None  # the one that is still to be looked into
    beyond: Point[T] | Infeasible | None = None  # the best of all other kinds, when last asked for
    width: float = inf  # of the last room, in the second measure

    def __call__(self, room: Room) -> Point[T] | Infeasible | Unanswered:
        """The point of a room."""
        if room.turned:
            return self.ask(room)
        if _width(room) > self.width:
            raise ValueError(f"a room of {_width(room)} after one of {self.width}; expected ever narrower ones")
        self.width = _width(room)
        if self.latest is not None:
            stopped = self._look_into(self.latest)
            if stopped is not None:
                return stopped
            self.latest = None
        if not self._settled(room):
            found = self.ask(replace(room, outside=tuple(self.points), below=self._known(room)))
            if isinstance(found, Unanswered) or (isinstance(found, Point) and not found.proven):
                return found
            self.beyond = found
            if isinstance(found, Point):
                assert found.kind is not None and found.kind not in self.points
                self.points[found.kind], self.latest = [found], found.kind
        return self._best(room) or Infeasible()

    def _look_into(self, kind: Kind) -> Point[T] | Unanswered | None:
        """Find all points of a kind from its best on. What is no point but the best found in time ends it."""
        while True:
            last = self.points[kind][-1]
            room = Room(last.second - 1, last.first + 1)
            found = self.ask(replace(room, inside=kind, below=self._known(room)))
            if isinstance(found, Infeasible):
                return None
            if isinstance(found, Unanswered) or not found.proven:
                return found
            self.points[kind].append(found)

    def _settled(self, room: Room) -> bool:
        """Whether no other kind can have the point of a room: their best is known, or worse than what is."""
        if self.beyond is None or isinstance(self.beyond, Infeasible):
            return self.beyond is not None
        best = self._best(room)
        return _lies_in(self.beyond, room) or (best is not None and best.first < self.beyond.first)

    def _best(self, room: Room) -> Point[T] | None:
        here = [point for points in self.points.values() for point in points if _lies_in(point, room)]
        return min(here, key=lambda point: (point.first, point.second), default=None)

    def _known(self, room: Room) -> tuple[Pair, ...]:
        """What rules others out: nothing as bad as one of these in both measures is a point."""
        known = [(p.first, p.second) for points in self.points.values() for p in points if _lies_in(p, room)]
        return tuple(k for k in known if not any(o != k and o[0] <= k[0] and o[1] <= k[1] for o in known))


def _width(room: Room) -> float:
    return inf if room.second_at_most is None else room.second_at_most


def _lies_in(point: Point[T], room: Room) -> bool:
    return point.second <= _width(room)
