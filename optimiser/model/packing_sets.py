"""Few spots: which of them share a point, how many can be used together at most, and a packing quickly made of them.

Sets of spots are Python integers used as bit sets: bit k stands for spot k.
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence

from optimiser.model.packing_spots import Spot, Spots, conflicts


def bits(mask: int) -> Iterator[int]:
    """The numbers of the bits that are set, rising."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def clash_sets(spots: Spots, gap: int) -> list[int]:
    """For each spot the spots it cannot be used together with (itself included)."""
    return [int.from_bytes(row.tobytes(), "little") for row in conflicts(spots, gap)]


def cliques(spots: Sequence[Spot], gap: int) -> list[int]:
    """Sets of spots of which at most one can be used: those whose enlarged rectangles cover the same point.

    Overlapping spots share the point (greater left edge, greater lower edge), so points on the spots' own left
    and lower edges are enough. A point whose set lies within that of a neighbouring point is left out.
    """
    xs, ys = sorted({s.x for s in spots}), sorted({s.y for s in spots})
    over_x, over_y = [0] * len(xs), [0] * len(ys)
    for k, s in enumerate(spots):
        for i in range(bisect_left(xs, s.x), bisect_left(xs, s.x + s.dx + gap)):
            over_x[i] |= 1 << k
        for j in range(bisect_left(ys, s.y), bisect_left(ys, s.y + s.dy + gap)):
            over_y[j] |= 1 << k
    # A rim of empty sets spares the neighbour test its edge cases.
    over = [[mx & my for my in [*over_y, 0]] for mx in [*over_x, 0]]
    kept: dict[int, None] = {}
    for i in range(len(xs)):
        for j in range(len(ys)):
            mask = over[i][j]
            if mask & (mask - 1) == 0:
                continue
            later, earlier = (over[i + 1][j], over[i][j + 1]), (over[i - 1][j], over[i][j - 1])
            if all(mask & ~m for m in later) and all(mask & ~m or mask == m for m in earlier):
                kept[mask] = None
    return list(kept)


def cover_bound(number: int, sets: Sequence[int]) -> int:
    """Most spots usable together: so many cliques cover them all (largest first, so not always the fewest)."""
    left, used = (1 << number) - 1, 0
    while left:
        best = max(sets, key=lambda mask: (mask & left).bit_count(), default=0)
        if (best & left).bit_count() <= 1:
            return used + left.bit_count()
        left &= ~best
        used += 1
    return used


def greedy(spots: Sequence[Spot], clash: Sequence[int], values: Sequence[int], copies: Sequence[int]) -> list[int]:
    """A packing by taking, again and again, the spot that loses the least value for its own."""
    left = list(copies)
    same: defaultdict[int, int] = defaultdict(int)
    for k, spot in enumerate(spots):
        same[spot.item] |= 1 << k
    alive = (1 << len(spots)) - 1
    taken: list[int] = []
    while alive:
        best = min(bits(alive), key=lambda k: ((clash[k] & alive).bit_count() / values[spots[k].item], k))
        taken.append(best)
        alive &= ~clash[best]
        left[spots[best].item] -= 1
        if not left[spots[best].item]:
            alive &= ~same[spots[best].item]
    return taken
