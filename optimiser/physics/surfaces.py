"""How far it is along the inside faces of a bay, for cables that turn square and follow its walls.

The inside of a bay is a box from (0, 0, 0) to its size: length (x, forward), width (y, to the left) and height (z).
"""

from math import inf
from typing import NamedTuple

Point = tuple[float, float, float]
"""x, y, z within the box, or its three sizes. [mm]"""

_X, _Y, _Z = range(3)
_FACES = {
    "floor": (_X, False, _Y, _Z, False),
    "ceiling": (_X, False, _Y, _Z, True),
    "front": (_Y, True, _Z, _X, True),
    "rear": (_Y, False, _Z, _X, False),
    "left": (_X, False, _Z, _Y, True),
    "right": (_X, True, _Z, _Y, False),
}
"""Face -> the axis its left to right goes along, whether against it, the axis of its bottom to top, the axis across
it, whether it is at the far end of that."""


class Patch(NamedTuple):
    """A rectangle of a face, from its least to its greatest corner in the box: in its plane, also beyond the edges."""

    face: str
    low: Point
    high: Point


def directions_of(face: str) -> tuple[int, bool, int]:
    """Axis from left to right of a face as one looks at it from inside, whether against it; and from bottom to top.

    Raises
    ------
    ValueError : If there is no such face.
    """
    along, back, up, _, _ = _face(face)
    return along, back, up


def face_size_mm(*, size: Point, face: str) -> Point:
    """Length and height of a face as one looks at it from inside, and the room before it. [mm]

    Floor and ceiling are measured alike: their length is forward, their height to the left.

    Parameters
    ----------
    size : Length, width, height of the box, each above 0. [mm]
    face : floor, ceiling, front, rear, left or right.

    Raises
    ------
    ValueError : If a size is not above 0 or there is no such face.

    Examples
    --------
    A bay 600 long, 450 wide and 1000 high: whoever looks at its front sees its width and height.

    >>> face_size_mm(size=(600, 450, 1000), face="front")
    (450, 1000, 600)
    """
    _check_size(size)
    along, _, up, across, _ = _face(face)
    return size[along], size[up], size[across]


def on_face_mm(*, size: Point, face: str, left_mm: float, bottom_mm: float, beyond: bool = False) -> Point:
    """Point of the box of a place on a face, which is measured from its lower left corner, seen from inside. [mm]

    Floor and ceiling have that corner at the rear right: left is from the rear wall, bottom from the right wall.

    Parameters
    ----------
    size : Length, width, height of the box, each above 0. [mm]
    face : floor, ceiling, front, rear, left or right.
    left_mm, bottom_mm : From the left and the lower edge of the face. [mm]
    beyond : Whether it may lie beyond the edges of the face, in its plane.

    Raises
    ------
    ValueError : If a size is not above 0, there is no such face, or the place is not on it.

    Examples
    --------
    Whoever looks at the right wall has the front of the vehicle to the left.

    >>> on_face_mm(size=(600, 450, 1000), face="right", left_mm=50, bottom_mm=300)
    (550, 0, 300)
    """
    _check_size(size)
    along, back, up, across, far = _face(face)
    if not beyond and not (0 <= left_mm <= size[along] and 0 <= bottom_mm <= size[up]):
        raise ValueError(f"{left_mm}, {bottom_mm} is not on the {face} of a box of {size} mm")
    at = {
        along: size[along] - left_mm if back else left_mm,
        up: bottom_mm,
        across: size[across] if far else 0,
    }
    return at[_X], at[_Y], at[_Z]


def along_faces_mm(*, size: Point, start: Point, end: Point) -> float:
    """Length of the shortest path over the inside faces of a box, all of whose steps are parallel to its edges. [mm]

    .. math:: d = \\sum_a |p_a - q_a| + 2 \\min_{b \\ne a} \\min(p_b, q_b, S_b - p_b, S_b - q_b)

    The second term, the way to the nearest of the four walls between them and back, is there only where the two points
    are on opposite faces, apart along axis a. On one face, or on two that share an edge, the sum alone is walked.

    Source: geometry. No path is shorter: each step changes one coordinate, so the sum is the least there is; between
    opposite faces it has to touch a wall of another axis b, and both points have to come as far as that wall.
    A straight path over the faces (an unfolded net) is never longer than this one.

    Parameters
    ----------
    size : Length, width, height of the box, each above 0. [mm]
    start, end : Points on its faces; the order does not matter. [mm]

    Raises
    ------
    ValueError : If a size is not above 0, or a point is not on a face of the box.

    Examples
    --------
    The spider and the fly, a puzzle printed in 1903: a room of 30 x 12 x 12, the spider 1 below the ceiling in the
    middle of one end, the fly 1 above the floor in the middle of the other. Square to the walls it is 42, as printed;
    the answer sought is straight on the net of the room, 40.

    >>> along_faces_mm(size=(30, 12, 12), start=(0, 6, 11), end=(30, 6, 1))
    42
    """
    for point in (start, end):
        _check_on_face(size, point)
    apart = sum(abs(p - q) for p, q in zip(start, end, strict=True))
    return apart + 2 * max((_to_a_wall(size, start, end, axis) for axis in _across(size, start, end)), default=0)


def opposite(one: str, other: str) -> bool:
    """Whether two faces share no edge, and are two.

    Raises
    ------
    ValueError : If there is no such face.
    """
    return one != other and _face(one)[3] == _face(other)[3]


def between_patches_mm(*, size: Point, one: Patch, other: Patch) -> float:
    """Length of the shortest path over the inside faces of a box from one patch to another, square to its edges. [mm]

    .. math:: d = \\sum_a m_a, \\qquad m_a = \\max(0, q_a^- - p_a^+, p_a^- - q_a^+)

    p- to p+ and q- to q+ are what the patches span along axis a. Between opposite faces the path goes by that of the
    four walls between them by which it is shortest: along the axis b of that wall it is :math:`p_b^- + q_b^-` or
    :math:`2 S_b - p_b^+ - q_b^+` in place of :math:`m_b`.

    Source: geometry. `along_faces_mm` of two points is what this is of two patches as small as points.

    Parameters
    ----------
    size : Length, width, height of the box, each above 0. [mm]
    one, other : The order does not matter. What sticks out of the box is taken to end at its side.

    Raises
    ------
    ValueError : If a size is not above 0 or there is no such face.

    Examples
    --------
    Two boards 100 square on the walls of a corner, each 50 from it: 50 + 50 along the walls.

    >>> right = Patch("right", (50, 0, 0), (150, 0, 100))
    >>> rear = Patch("rear", (0, 50, 0), (0, 150, 100))
    >>> between_patches_mm(size=(600, 400, 300), one=right, other=rear)
    100
    """
    _check_size(size)
    spans = list(zip(one.low, one.high, other.low, other.high, strict=True))
    apart = [max(0, q0 - p1, p0 - q1) for p0, p1, q0, q1 in spans]
    around: float = 0
    if opposite(one.face, other.face):
        walls = [axis for axis in range(3) if axis != _face(one.face)[3]]
        around = min(by - apart[b] for b in walls for by in _by_walls(size[b], *spans[b]))
    return sum(apart) + around


def path_over_faces(*, size: Point, one: Patch, other: Patch) -> list[Point]:
    """Corners of a path that is as long as `between_patches_mm` says, from patch to patch. [mm]

    Where the patches have a stretch of an axis in common, it starts from the middle of that.

    Source: geometry, as there.

    Parameters
    ----------
    size : Length, width, height of the box, each above 0. [mm]
    one, other : What sticks out of the box is taken to end at its side.

    Raises
    ------
    ValueError : If a size is not above 0 or there is no such face.

    Examples
    --------
    >>> right = Patch("right", (50, 0, 0), (150, 0, 100))
    >>> rear = Patch("rear", (0, 50, 0), (0, 150, 100))
    >>> path_over_faces(size=(600, 400, 300), one=right, other=rear)
    [(50, 0, 50.0), (0, 0, 50.0), (0, 50, 50.0)]
    """
    _check_size(size)
    spans = list(zip(one.low, one.high, other.low, other.high, strict=True))
    starts, ends = ([pair[k] for pair in (_nearest(*span) for span in spans)] for k in (0, 1))
    across = _face(one.face)[3]
    beside = [axis for axis in range(3) if axis != across]
    if not opposite(one.face, other.face):
        last = _face(other.face)[3]  # first along the edge that the two faces share, then over it
        order = [axis for axis in range(3) if axis not in (across, last)] + [last] * (last != across) + [across]
        return _walked(starts, [(axis, ends[axis]) for axis in order])
    apart = [abs(end - start) for start, end in zip(starts, ends, strict=True)]
    ways = {(b, far): way - apart[b] for b in beside for far, way in enumerate(_by_walls(size[b], *spans[b]))}
    wall, far = min(ways, key=lambda way: ways[way])
    p0, p1, q0, q1 = spans[wall]
    edge = size[wall] if far else 0
    starts[wall], ends[wall] = (min(edge, p1), min(edge, q1)) if far else (max(0, p0), max(0, q0))
    (along,) = (axis for axis in beside if axis != wall)
    return _walked(starts, [(along, ends[along]), (wall, edge), (across, ends[across]), (wall, ends[wall])])


def _nearest(p0: float, p1: float, q0: float, q1: float) -> tuple[float, float]:
    """Where two spans of an axis are nearest, on each of them."""
    low, high = max(p0, q0), min(p1, q1)
    if low <= high:
        return ((low + high) / 2,) * 2
    return (p1, q0) if q0 > p1 else (p0, q1)


def _walked(start: list[float], steps: list[tuple[int, float]]) -> list[Point]:
    """Corners of a path that goes along one axis after the other, each to a coordinate."""
    at, corners = list(start), [tuple(start)]
    for axis, to in steps:
        if at[axis] != to:
            at[axis] = to
            corners.append(tuple(at))
    return [(x, y, z) for x, y, z in corners]


def _by_walls(size: float, p0: float, p1: float, q0: float, q1: float) -> tuple[float, float]:
    """Along the axis of a wall to it from both, for that where the axis begins and for the other."""
    return max(0, p0) + max(0, q0), max(0, size - p1) + max(0, size - q1)


def _across(size: Point, start: Point, end: Point) -> list[int]:
    """Axes along which the points are on opposite faces."""
    return [axis for axis in range(3) if {start[axis], end[axis]} == {0, size[axis]}]


def _to_a_wall(size: Point, start: Point, end: Point, axis: int) -> float:
    """From the nearer of two points on opposite faces to the nearest wall between these."""
    return min(min(start[b], end[b], size[b] - start[b], size[b] - end[b]) for b in range(3) if b != axis)


def _face(face: str) -> tuple[int, bool, int, int, bool]:
    if face not in _FACES:
        raise ValueError(f"a bay has no face {face!r}; expected one of {', '.join(_FACES)}")
    return _FACES[face]


def _check_size(size: Point) -> None:
    if not all(0 < s < inf for s in size):
        raise ValueError(f"a bay cannot be {size} mm inside")


def _check_on_face(size: Point, point: Point) -> None:
    _check_size(size)
    within = all(0 <= p <= s for p, s in zip(point, size, strict=True))
    if not within or not any(p in (0, s) for p, s in zip(point, size, strict=True)):
        raise ValueError(f"{point} is not on a face of a box of {size} mm")
