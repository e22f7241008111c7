"""What giving up each of many names saves: asked about many at once, and bounded from the first question on.

Giving up more never saves less. So what a question about a group shows to be the most it can save is the most for each
of its members, and one proof that a group saves nothing speaks of all of them. A better build shows what it does
without: those members are asked about by themselves, the others once more without them.

Nothing here knows what a name stands for, or the solver: the one who asks passes a function in.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from threading import Lock

from optimiser.explaining.hitting import Name

LONGER = 4  # times as much work as before, for a name that stayed open by itself


@dataclass(frozen=True)
class Shown:
    """What a question about a group showed.

    ``at_most``: giving up all of it saves no more. ``saved``: what a build found saves, if one that saves enough was
    found; ``without``: the members that this build does without.
    """

    at_most: int
    saved: int = 0
    without: frozenset[Name] = frozenset()


Ask = Callable[[frozenset[Name], float], Shown]  # a group, and how much work to put into it
Heard = Callable[[tuple[Name, ...]], None]
Asked = tuple[frozenset[Name], Shown | None]  # what was asked about, and the answer if it was asked
SideBySide = Callable[[Callable[[frozenset[Name]], Asked], Sequence[frozenset[Name]]], list[Asked]]


def one_by_one(ask: Callable[[frozenset[Name]], Asked], groups: Sequence[frozenset[Name]]) -> list[Asked]:
    """The answers, one after the other."""
    return [ask(group) for group in groups]


@dataclass
class Worths:
    """What is known of each name by now: it saves at least, and at most, so much.

    ``margin``: what saves less does not count. ``heard`` is told of names as soon as they are settled.
    """

    names: tuple[Name, ...]
    margin: int
    heard: Heard = lambda _: None
    at_least: dict[Name, int] = field(default_factory=dict)
    at_most: dict[Name, int] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def settled(self, name: Name) -> bool:
        """Whether it is proven to save less than what counts, or exactly what it saves."""
        return name in self.at_most and max(self.at_least.get(name, 0), self.margin - 1) >= self.at_most[name]

    def left(self, group: Iterable[Name]) -> frozenset[Name]:
        """Those not settled yet."""
        return frozenset(name for name in group if not self.settled(name))

    def decides(self, name: Name) -> bool:
        """Whether it is proven to save what counts, by itself."""
        return self.at_least.get(name, 0) >= self.margin

    def learn(self, group: frozenset[Name], shown: Shown) -> None:
        """Take in what a question showed; answers from other threads may come at any moment."""
        with self._lock:
            before = self.left(group)
            for name in shown.without if len(shown.without) == 1 else ():
                self.at_least[name] = max(self.at_least.get(name, 0), shown.saved)
            for name in group:  # a build that the audit just lets pass is worth more than a bound that refuses it
                most = min(self.at_most.get(name, shown.at_most), shown.at_most)
                self.at_most[name] = max(most, self.at_least.get(name, 0))
            if news := before - self.left(group):
                self.heard(tuple(name for name in self.names if name in news))


def settle(
    groups: Iterable[Iterable[Name]],
    ask: Ask,
    worths: Worths,
    *,
    work: float,
    go_on: Callable[[], bool],
    side_by_side: SideBySide = one_by_one,
) -> None:
    """Ask until every name is settled, or ``go_on`` says no; what takes long by itself comes last.

    ``work``: what is put into a group at first. One that stays open is halved; a single name is given
    ``LONGER`` once all others have had their turn.
    """
    waiting = [(work, frozenset(group)) for group in groups]

    def asked(group: frozenset[Name]) -> Asked:
        left = worths.left(group)
        if not left or not go_on():
            return left, None
        shown = ask(left, now)
        worths.learn(left, shown)
        return left, shown

    while waiting and go_on():
        now = min(longer for longer, _ in waiting)
        turn = [group for longer, group in waiting if longer == now]
        waiting = [(longer, group) for longer, group in waiting if longer > now]
        for group, shown in side_by_side(asked, turn):
            left = worths.left(group)
            if len(group) == 1 and left:
                waiting.append((now * LONGER, left))
            elif shown is not None:
                waiting += [(now, part) for part in _parts(left, shown.without) if part]


def _parts(left: frozenset[Name], without: frozenset[Name]) -> list[frozenset[Name]]:
    """What to ask about next of a group: what a better build does without, one by one, and the rest; or two halves."""
    if without:
        return [*(frozenset({name}) for name in sorted(without & left)), left - without]
    ordered = sorted(left)
    half = len(ordered) // 2
    return [frozenset(ordered[:half]), frozenset(ordered[half:])]
