"""Where rectangles can stand on a field, by trying: for holding better ways of doing it against.

In any arrangement every body can be pushed back and then down until it meets an edge, something fixed or
another body; so the places where that holds, for every order of putting them down, are enough.
"""

from functools import cache
from itertools import pairwise
from typing import NamedTuple


class Rect(NamedTuple):
    """From a corner [mm]."""

    x: int
    y: int
    length: int
    width: int


class Field(NamedTuple):
    """What is to be covered, from (0, 0), and what of it is taken."""

    length: int
    width: int
    taken: tuple[Rect, ...] = ()


class Thing(NamedTuple):
    """A body seen from above, and the free space it wants on each side along x and y: the greater of two counts."""

    length: int
    width: int
    clear_x: int
    clear_y: int
    walls: bool = True  # whether it wants that from the edges and from what is fixed, too
    number: int = 0  # of what counts for more than its size


Corner = tuple[int, int]
Near = tuple[tuple[int, ...], int]  # some of the things in line, and how far it may be along them, along x and along y

MOST_TRIES = 100_000


class TooMuch(AssertionError):
    """The world is too large to be gone through."""


@cache
def place(field: Field, things: tuple[Thing, ...], near: tuple[Near, ...] = ()) -> tuple[Corner, ...] | None:
    """A corner for each, or None if there is no way to place them all.

    What is to be near something is told apart by number. Pushing bodies back brings none further from another as long
    as all stand in one line, which is all that is tried of it.
    """
    if _hopeless(field, things):
        return None
    if near:  # without it many of them are alike: what cannot be placed then cannot be at all
        plain = place(field, tuple(thing._replace(number=0) for thing in things))
        if plain is None or all(_along(things, dict(enumerate(plain)), line) <= most for line, most in near):
            return plain
    put: dict[int, Corner] = {}
    seen: set[frozenset[tuple[Thing, Corner]]] = set()

    def go() -> bool:
        if len(put) == len(things):
            return True
        state = frozenset((things[k], corner) for k, corner in put.items())
        if state in seen:
            return False
        seen.add(state)
        if len(seen) > MOST_TRIES:
            raise TooMuch(f"{len(things)} bodies on {field.length} x {field.width}")
        others = [(Rect(*corner, *things[k][:2]), things[k]) for k, corner in put.items()]
        for thing, k in {things[k]: k for k in range(len(things)) if k not in put}.items():
            for x in _rests(field, thing, others, 0):
                for y in _rests(field, thing, others, 1):
                    if _fits(field, thing, (x, y), others):
                        put[k] = (x, y)
                        if all(_along(things, put, line) <= most for line, most in near) and go():
                            return True
                        del put[k]
        return False

    return tuple(put[k] for k in range(len(things))) if go() else None


def _along(things: tuple[Thing, ...], put: dict[int, Corner], line: tuple[int, ...]) -> int:
    """From each thing to the next; of those that are put down."""
    return sum(_apart(things, put, one, other) for one, other in pairwise(line))


def _apart(things: tuple[Thing, ...], put: dict[int, Corner], one: int, other: int) -> int:
    """Between two things, along x and along y together; 0 while one of them is not put down."""
    if one not in put or other not in put:
        return 0
    gaps = [
        max(0, *(put[b][axis] - put[a][axis] - things[a][axis] for a, b in ((one, other), (other, one))))
        for axis in (0, 1)
    ]
    return sum(gaps)


Others = list[tuple[Rect, Thing]]


def _hopeless(field: Field, things: tuple[Thing, ...]) -> bool:
    """Whether some thing has no room even alone, or all have not by area or by length.

    Grown by half of their own clearance all round, things do not overlap and stay off the edges by as much.
    """
    if not things:
        return False
    grown = [(t.length + t.clear_x, t.width + t.clear_y) for t in things]
    edge_x, edge_y = (min(t[k] if t.walls else -t[k] for t in things) for k in (2, 3))
    length, width = field.length - edge_x, field.width - edge_y
    abreast = width // min(w for _, w in grown)  # at most so many beside each other, anywhere
    return (
        any(long > length or wide > width for long, wide in grown)
        or sum(long * wide for long, wide in grown) > length * width
        or sum(long for long, _ in grown) > abreast * length
    )


def _fits(field: Field, thing: Thing, corner: Corner, others: Others) -> bool:
    (x, y), edge_x, edge_y = corner, thing.clear_x * thing.walls, thing.clear_y * thing.walls
    if x < edge_x or y < edge_y:
        return False
    if x + thing.length + edge_x > field.length or y + thing.width + edge_y > field.width:
        return False
    near = [(r, max(t.clear_x, thing.clear_x), max(t.clear_y, thing.clear_y)) for r, t in others]
    near += [(r, edge_x, edge_y) for r in field.taken]
    return all(
        x >= r.x + r.length + gap_x
        or x + thing.length + gap_x <= r.x
        or y >= r.y + r.width + gap_y
        or y + thing.width + gap_y <= r.y
        for r, gap_x, gap_y in near
    )


def _rests(field: Field, thing: Thing, others: Others, axis: int) -> list[int]:
    """Where along an axis it can rest against something."""
    own = thing[2 + axis]
    edge = own * thing.walls
    return sorted(
        {
            edge,
            *(r[axis] + r[axis + 2] + max(own, t[2 + axis]) for r, t in others),
            *(r[axis] + r[axis + 2] + edge for r in field.taken),
        }
    )
