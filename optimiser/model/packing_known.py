"""What is known of one sheet: which collections of items fit on it, and which do not, answers for others.

A smaller item can take the place of a larger one. So a packing shows more than its own items: any collection that can
be dealt out to its places, each item to a place of one that it lies within, fits as well. And what such a collection
cannot do, the one with the larger items cannot either.

Whether items can be dealt out to places is Hall's question (1935; memory): each choice of item types must find enough
places; or, said of the places, what lies within none but a choice of them must not be more than they are.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from optimiser.model.packing_bounds import Item


def lies_within(small: Item, large: Item) -> bool:
    """Whether the one can lie in the place of the other, whichever way round that lies."""
    ours = [small.extent(rotated) for rotated in small.ways]
    return all(any(dx <= x and dy <= y for dx, dy in ours) for x, y in map(large.extent, large.ways))


class Known:
    """Collections of items that are known to fit on one sheet with one gap, and those known not to.

    They are tables: a row a collection, a column an item.
    """

    def __init__(self) -> None:
        self._column: dict[Item, int] = {}
        self._within = np.zeros((0, 0), dtype=bool)  # the item of the row in the place of the item of the column
        self._fitting = np.zeros((0, 0), dtype=int)
        self._failing = np.zeros((0, 0), dtype=int)

    def learn(self, counts: Mapping[Item, int], *, fit: bool) -> None:
        """What was proven of one collection."""
        row = self._row(counts)
        if fit:
            self._fitting = np.vstack([self._fitting, row])
        else:
            self._failing = np.vstack([self._failing, row])

    def says(self, counts: Mapping[Item, int]) -> bool | None:
        """Whether a collection fits, as far as what is known answers that."""
        row = self._row(counts)
        if self._has_places_for(row):
            return True
        return False if self._is_too_little_for(row) else None

    def _row(self, counts: Mapping[Item, int]) -> NDArray[np.int_]:
        for item in counts:
            if item not in self._column:
                self._add(item)
        row = np.zeros(len(self._column), dtype=int)
        row[[self._column[item] for item in counts]] = list(counts.values())
        return row

    def _add(self, item: Item) -> None:
        self._column[item] = len(self._column)
        self._within = np.array([[lies_within(one, other) for other in self._column] for one in self._column])
        self._fitting, self._failing = (np.pad(table, ((0, 0), (0, 1))) for table in (self._fitting, self._failing))

    def _has_places_for(self, wanted: NDArray[np.int_]) -> bool:
        """Whether some packing has a place for each of these: enough for every choice of types."""
        ok = np.full(len(self._fitting), True)
        for some in _choices(wanted):
            ok &= self._fitting @ self._within[some].any(axis=0) >= wanted[some].sum()
        return bool(ok.any())

    def _is_too_little_for(self, wanted: NDArray[np.int_]) -> bool:
        """Whether places for these would be places for a collection that does not fit."""
        ok = np.full(len(self._failing), True)
        types = set(np.flatnonzero(wanted))
        for some in _choices(wanted):
            only = ~self._within[:, sorted(types.difference(some))].any(axis=1)
            ok &= self._failing @ only <= wanted[some].sum()
        return bool(ok.any())


def _choices(counts: NDArray[np.int_]) -> Iterator[list[int]]:
    """Each choice of some, all or none of the types that are there."""
    types = np.flatnonzero(counts).tolist()
    return (list(some) for size in range(len(types) + 1) for some in combinations(types, size))
