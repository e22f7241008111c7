"""Which of few spots to use, by trying: in most questions about a roof an answer comes before a solver has started.

Depth first over sets of which at most one spot can be used, the smallest first: one of its spots, or none of them.
What is left must have a set for each copy still wanted, and gain more than the best so far.
"""

from collections.abc import Sequence

from optimiser.model.packing_sets import bits


class GaveUp(Exception):
    """No answer within the steps allowed."""


def best_choice(
    clash: Sequence[int],
    sets: Sequence[int],
    items: Sequence[int],
    gains: Sequence[int],
    copies: Sequence[int],
    *,
    steps: int,
) -> list[int] | None:
    """The spots for just these copies of each item that gain most; None if there are none.

    Spots stand in falling order of gain, ``items`` and ``gains`` are of each spot, ``sets`` share a point each.

    Raises
    ------
    GaveUp
        After so many steps.
    """
    search = _Search(clash, _parted(len(clash), sets), items, gains, len(copies), steps)
    search.go((1 << len(clash)) - 1, list(copies), [], 0)
    return search.best


def _parted(number: int, sets: Sequence[int]) -> list[int]:
    """Each spot in one of the sets, the largest first."""
    left, parts = (1 << number) - 1, []
    while left:
        largest = left & max(sets, key=lambda mask: (mask & left).bit_count(), default=0) or left & -left
        parts.append(largest)
        left &= ~largest
    return parts


class _Search:
    def __init__(
        self,
        clash: Sequence[int],
        parts: list[int],
        items: Sequence[int],
        gains: Sequence[int],
        kinds: int,
        steps: int,
    ) -> None:
        self.clash, self.parts, self.items, self.gains, self.steps = clash, parts, items, gains, steps
        self.of_item = [sum(1 << k for k, item in enumerate(items) if item == kind) for kind in range(kinds)]
        self.best: list[int] | None = None
        self.most = 0

    def go(self, alive: int, wanted: list[int], taken: list[int], gained: int) -> None:
        """All that can come of these spots taken and those still alive."""
        self.steps -= 1
        if self.steps < 0:
            raise GaveUp
        number = sum(wanted)
        if not number:
            if self.best is None or gained > self.most:
                self.best, self.most = taken, gained
            return
        for spots, copies in zip(self.of_item, wanted, strict=True):
            if (alive & spots).bit_count() < copies:
                return
            if not copies:
                alive &= ~spots
        parts = [left for part in self.parts if (left := part & alive)]
        if len(parts) < number or (self.best is not None and gained + self._at_most(parts, number) <= self.most):
            return
        smallest = min(parts, key=int.bit_count)
        for k in bits(smallest):
            fewer = [copies - (item == self.items[k]) for item, copies in enumerate(wanted)]
            self.go(alive & ~self.clash[k], fewer, [*taken, k], gained + self.gains[k])
        if len(parts) > number:
            self.go(alive & ~smallest, wanted, taken, gained)

    def _at_most(self, parts: list[int], number: int) -> int:
        """So many more gain no more than this: the first of a set gains most of it."""
        return sum(sorted((self.gains[(part & -part).bit_length() - 1] for part in parts), reverse=True)[:number])
