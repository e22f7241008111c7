"""A front to a tolerance: points that differ in a way that can be seen, and a proof that they stand for all others.

From the least of the first measure on, each question asks at once for what has more than a tolerance less of the second
than the point before, so that nothing between is ever solved for. What comes back is a point of the whole front. One
with so little more of the first that it is within its tolerance is shown in place of the point before.

What is proven at the end: each solution has one of the points beside it that is no worse in one measure, and worse in
the other by no more than its tolerance. (An epsilon front, after Laumanns, Thiele, Deb and Zitzler 2002; from memory.)
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Generic, TypeVar

from optimiser.solve.front import Ask, Front, Point, Room, Tell, Unanswered

T = TypeVar("T")


@dataclass(frozen=True)
class Tolerance:
    """What of each measure is too little to tell two points apart by: a share of a point's own figure.

    Of the second a point covers what has less of it by no more than that; of the first it may have that much more than
    a point it is shown in place of. Nothing at all makes the whole front.
    """

    first: Fraction
    second: Fraction

    def of_first(self, point: Point[T]) -> int:
        """In whole numbers of the measure, rounded down: what is more than that is more than the tolerance."""
        return int(abs(point.first) * self.first)

    def of_second(self, point: Point[T]) -> int:
        """Likewise."""
        return int(abs(point.second) * self.second)


def apart(
    ask: Ask[T],
    tolerance: Tolerance,
    *,
    earlier: Sequence[Point[T]] = (),
    learn: Tell[T] = lambda _: None,
    tell: Tell[T] = lambda _: None,
) -> Front[T]:
    """A front to a tolerance.

    Parameters
    ----------
    ask : finds the best point of a room, see `front.of_model`; heeds ``uncovered`` of it where there are earlier ones.
    earlier : solutions found before, taken up without their word. One question proves as many of them as it passes.
    learn : called with each point as it is proven, also one that another is shown in place of.
    tell : called with each point to be shown, as soon as that is sure.
    """
    shown = _Shown(tolerance, tell)
    last: Point[T] | None = None
    while True:
        guessed = tuple(chain(earlier, tolerance, after=last))
        step = ask(replace(_room(tolerance, last), uncovered=tuple(_cover(tolerance, p) for p in guessed)))
        if isinstance(step, Unanswered):
            return shown.stopped(step.why, guessed)
        if isinstance(step, Point) and not step.proven:
            rest = sorted((*guessed, step), key=_order)
            return shown.stopped("the last point is the best found, not proven", rest)
        new = (step,) if isinstance(step, Point) else ()
        passed = [point for point in guessed if not new or _order(point) < _order(new[0])]
        for point in (*passed, *new):
            last = replace(point, proven=True, under=_room(tolerance, last).second_at_most, least=False)
            learn(last)
            shown.add(last)
        if not new:
            return shown.ended()


def chain(points: Iterable[Point[T]], tolerance: Tolerance, *, after: Point[T] | None = None) -> Iterator[Point[T]]:
    """The points that the loop would find, were these all there are."""
    left = sorted(points, key=_order)
    for point in left:
        if after is None or point.second < after.second - tolerance.of_second(after):
            yield point
            after = point


@dataclass
class _Shown(Generic[T]):
    """Points so far. The last is held back until it is sure that none is shown in its place."""

    tolerance: Tolerance
    tell: Callable[[Point[T]], None]
    points: list[Point[T]] = field(default_factory=list)
    held: Point[T] | None = None
    least: int = 0  # of the first measure, of all that the held one is shown for

    def add(self, point: Point[T]) -> None:
        if self.held is None or point.first - self.least > self.tolerance.of_first(point):
            self._let_go()
            self.least = point.first
        self.held = point

    def _let_go(self) -> None:
        if self.held is not None:
            self.points.append(self.held)
            self.tell(self.held)
            self.held = None

    def ended(self) -> Front[T]:
        self._let_go()
        return Front(tuple(self.points), "apart", "")

    def stopped(self, why: str, rest: Iterable[Point[T]]) -> Front[T]:
        """With what was found and is not proven."""
        self._let_go()
        for point in rest:
            self.points.append(replace(point, proven=False))
            self.tell(self.points[-1])
        return Front(tuple(self.points), "part", why)


def _room(tolerance: Tolerance, last: Point[T] | None) -> Room:
    """What the last point does not cover; nothing there has as little of the first."""
    return Room(last.second - tolerance.of_second(last) - 1, last.first + 1) if last else Room()


def _cover(tolerance: Tolerance, point: Point[T]) -> tuple[int, int, int]:
    return point.first, point.second, point.second - tolerance.of_second(point)


def _order(point: Point[T]) -> tuple[int, int]:
    return point.first, point.second
