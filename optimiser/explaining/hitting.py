"""Hitting sets: which names take at least one out of each of several sets."""

from collections.abc import Callable, Collection, Iterable, Sequence
from math import inf

Name = str


def one_each(name: Name) -> int:
    """Every name weighs the same: lightest then means fewest."""
    return 1


def lightest_hitting_set(
    to_hit: Collection[frozenset[Name]],
    order: Sequence[Name],
    *,
    avoid: Iterable[frozenset[Name]] = (),
    weigh: Callable[[Name], int] = one_each,
    lighter_than: float = inf,
) -> frozenset[Name] | None:
    """The lightest names that hit every set and contain none of ``avoid``; None if none is lighter than asked for.

    Branch and bound on the smallest set not yet hit. Sets that share no name need a name each, which is the bound.
    Of several equally light, the one found first going by ``order``, so that the answer repeats.
    """
    place = {name: k for k, name in enumerate(order)}
    weight = {name: weigh(name) for name in order}
    if any(value <= 0 for value in weight.values()):
        raise ValueError("every name must weigh more than nothing")
    sets = [sorted(some, key=place.__getitem__) for some in to_hit]
    banned = list(avoid)
    best: frozenset[Name] | None = None
    limit = lighter_than

    def search(chosen: frozenset[Name], so_far: int, barred: frozenset[Name]) -> None:
        nonlocal best, limit
        if any(some <= chosen for some in banned):
            return
        unhit = sorted(
            ([name for name in some if name not in barred] for some in sets if chosen.isdisjoint(some)), key=len
        )
        bound, used = float(so_far), set[Name]()
        for some in unhit:
            if used.isdisjoint(some):
                used.update(some)
                bound += min((weight[name] for name in some), default=inf)
        if bound >= limit:
            return
        if not unhit:
            best, limit = chosen, so_far
            return
        for name in unhit[0]:
            search(chosen | {name}, so_far + weight[name], barred)
            barred |= {name}  # what holds this name has been seen

    search(frozenset(), 0, frozenset())
    return best
