"""A brief nearer to what was asked than one that was found, where values without a ladder are moved.

A tree of what to move, its lightest node first. Nothing moved is its root. Of a node it is asked which of the other
values have any part in a nearer brief: all of them are moved at once, and where that leaves a build, halves of them are
left out, until each that is left is needed for it. A nearer brief moves one of these; so each makes a branch. What was
said of one node holds for those below it that move none of these, and is not asked again.

That a further move leaves no less room is taken for granted; so what comes out has a build, and that none is nearer is
not proven.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from itertools import count

from optimiser.explaining.eased import NearestBrief, weight_of_eased
from optimiser.explaining.others import Other, Others, Together, weight_of
from optimiser.moves import Ladder
from optimiser.solve import Impossible

_SHARE = 0.6  # of the time that is left
_FOR_EACH = 0.2  # of that, for one question
Parts = Sequence[Together]  # moves, each of which may lead to a nearer brief


def closer(search: Others, found: NearestBrief) -> NearestBrief:
    """The nearest that comes in a share of the time; the one that is known, where none is nearer."""
    ours = replace(search, budget=search.budget.share(_SHARE), for_least=_FOR_EACH)
    return _Tree(ours, found).nearest()


@dataclass
class _Tree:
    search: Others
    best: NearestBrief
    known: list[tuple[Together, Parts]] = field(default_factory=list)
    rest: int = 0  # what ladders weigh at least, with all the room there is

    def nearest(self) -> NearestBrief:
        """By the lightest node first, until none is lighter than the best brief."""
        room, order = self.search.room(), count()
        attempts = self.search.attempts(room)
        self.rest = self._ladders_at_least(room)
        nodes: list[tuple[int, int, Together]] = [(0, next(order), ())]
        seen = set[frozenset[Other]]()
        while nodes and self.search.budget.go_on():
            least, _, node = heappop(nodes)
            if least >= self.best.weight:
                break
            if frozenset(node) in seen:
                continue
            seen.add(frozenset(node))
            for part in self._parts(node, room, attempts):
                further = _further(node, part)
                heappush(nodes, (self._at_least(further, room), next(order), further))
        return self.best

    def _ladders_at_least(self, room: Sequence[Other]) -> int:
        case, catalogue, _ = self.search.with_moved(room)
        outcome = self.search.solved(case, catalogue)
        return 0 if isinstance(outcome, Impossible) else weight_of_eased(outcome)

    def _at_least(self, node: Together, room: Sequence[Other]) -> int:
        """What a brief with these moved weighs; an attempt may spare what room does not."""
        known = {lever for lever, _ in room}
        return _weight(node) + (self.rest if all(lever in known for lever, _ in node) else 0)

    def _parts(self, node: Together, room: Sequence[Other], attempts: Parts) -> Parts:
        for of, parts in self.known:
            if set(of) <= set(node) and not any(_has(node, part) for part in parts):
                return parts
        if node:  # without any, the ladders alone are known to lead nowhere
            self._look(node)
        raised, parts = list[Other](), list[Together]()
        self._grow(node, self._light(node, room), raised, parts)
        instead, moved = self._without_ladder() - _weight(node), {lever.address for lever, _ in node}
        for attempt in attempts:
            apart = moved.isdisjoint(lever.address for lever, _ in attempt)
            if apart and _weight(attempt) < instead and not self._none_nearer(node, (*attempt, *raised)):
                parts.append(attempt)
        self.known.append((node, parts))
        return parts

    def _without_ladder(self) -> int:
        """What weighs of the best brief what has no ladder: an attempt is made in place of more than it weighs."""
        laddered = {ladder.address for ladder in self.search.ladders(self.search.case, self.search.catalogue)}
        return sum(eased.weight for eased in self.best.eased if eased.move.address not in laddered)

    def _look(self, node: Together) -> None:
        """The brief with no more than these moved, beside ladders; kept if it is nearer than the best."""
        case, catalogue, _ = self.search.with_moved(node)
        brief = self.search.told_of(node, self.search.solved(case, catalogue))
        if brief and brief.weight < self.best.weight:
            self.best = brief

    def _light(self, node: Together, room: Sequence[Other]) -> list[Other]:
        """What leaves more room, moved as far beyond a node as a nearer brief could move it."""
        spare, now, found = self.best.weight - self._at_least(node, room), dict(node), list[Other]()
        for lever, most in room:
            if lever.step is not None:
                most = min(most, now.get(lever, 0) + spare - 1)
            if most > now.get(lever, 0) and (lever.step is not None or weight_of((lever, most)) < spare):
                found.append((lever, most))
        return found

    def _grow(self, node: Together, some: Sequence[Other], raised: list[Other], parts: list[Together]) -> None:
        """All of these that lead to no nearer brief are ``raised``; each of the others is a part, by its least move."""
        if not some or self._none_nearer(node, (*raised, *some)):
            raised.extend(some)
        elif len(some) > 1:
            for half in (some[: len(some) // 2], some[len(some) // 2 :]):
                self._grow(node, half, raised, parts)
        else:
            [(lever, high)] = some
            low = now = dict(node).get(lever, 0)
            while high - low > 1:
                middle = (low + high) // 2
                if self._none_nearer(node, (*raised, (lever, middle))):
                    low = middle
                else:
                    high = middle
            parts.append(((lever, high),))
            if low > now:
                raised.append((lever, low))

    def _none_nearer(self, node: Together, more: Together) -> bool:
        """Whether proven that with these moved nothing beside them is light enough for a nearer brief."""
        if not self.search.budget.go_on():
            return True
        spare = self.best.weight - _weight(node)
        case, catalogue, _ = self.search.with_moved(_further(node, more))
        ladders = (_lighter(ladder, spare) for ladder in self.search.ladders(case, catalogue))
        outcome = self.search.solver.nearest(case, catalogue, tuple(ladders), seconds=None, lighter_than=spare)
        return isinstance(outcome, Impossible)


def _lighter(ladder: Ladder, than: int) -> Ladder:
    return replace(ladder, rungs=tuple(rung for rung in ladder.rungs if rung.weight < than))


def _weight(node: Together) -> int:
    return sum(map(weight_of, node))


def _further(node: Together, part: Together) -> Together:
    """The node with these moved as far, if they are not already."""
    return tuple({**dict(node), **dict(part)}.items())


def _has(node: Together, part: Together) -> bool:
    now = dict(node)
    return all(now.get(lever, 0) >= steps for lever, steps in part)
