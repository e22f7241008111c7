"""What an earlier run found, taken up without its word: solutions that are there, and nothing of what was proven.

Asked is only for what none of them is as good as in both measures. What comes back is the best of the rest of a room,
so the better of it and of them is the best of all; and if there is no such thing, the best of them is. One question
thus proves as many of them as it passes. A solution that is no point rules out nothing but what is no better than it.
"""

from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from optimiser.solve.front import Ask, Pair, Point, Room, Unanswered
from optimiser.solve.search import Infeasible

T = TypeVar("T")


@dataclass(frozen=True)
class Earlier(Generic[T]):
    """Solutions found before; each must be one, whatever else is true of it.

    Two halves of one question: ``rest`` goes to whatever solves, ``best`` around whatever asks on from there.
    """

    found: tuple[Point[T], ...]

    def rest(self, ask: Ask[T]) -> Ask[T]:
        """The question, for what is better than each of them in some measure."""
        pairs = tuple(_pair(point) for point in self.found)

        def better(room: Room) -> Point[T] | Infeasible | Unanswered:
            return ask(replace(room, below=(*room.below, *pairs)))

        return better

    def best(self, rest: Ask[T]) -> Ask[T]:
        """The question among all solutions, from its answers among the rest."""

        def among_all(room: Room) -> Point[T] | Infeasible | Unanswered:
            new, old = rest(room), self._best(room)
            if old is None or isinstance(new, Unanswered) or (isinstance(new, Point) and not new.proven):
                return new
            better = isinstance(new, Point) and _order(new, room) < _order(old, room)
            return new if better else replace(old, proven=True)

        return among_all

    def left(self, points: tuple[Point[T], ...]) -> tuple[Point[T], ...]:
        """Those that none of these points, nor another of them, is as good as in both measures."""
        best = list(points)
        for point in sorted(self.found, key=_pair):
            if not any(p.first <= point.first and p.second <= point.second for p in best):
                best.append(point)
        return tuple(best[len(points) :])

    def _best(self, room: Room) -> Point[T] | None:
        at_most = room.second_at_most
        here = [point for point in self.found if at_most is None or point.second <= at_most]
        return min(here, key=lambda point: _order(point, room), default=None)


def _pair(point: Point[T]) -> Pair:
    return point.first, point.second


def _order(point: Point[T], room: Room) -> Pair:
    return (point.second, point.first) if room.turned else (point.first, point.second)
