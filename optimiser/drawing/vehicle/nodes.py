"""Where the nodes of the ways are drawn: bays and nodes as surveyed, all others between their neighbours."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import chain
from math import cos, dist, pi, sin
from typing import Literal, Protocol

import numpy as np

from optimiser.case import Bay, NodePosition, Way

_APART_MM = 100.0  # a node that is not surveyed and comes nearer to another is set aside
_CLEAR_MM = 300.0  # how far from all others it is set then
_ASIDE_MM = 700.0  # how far from its neighbour at most, if there is room
_TURNS = tuple(k * pi / 8 for k in (2, 6, 10, 14, 4, 12, 0, 8, 1, 3, 5, 7, 9, 11, 13, 15))


class HasWays(Protocol):
    """What nodes are placed from: a case, or as much of a survey as could be read."""

    @property
    def bays(self) -> tuple[Bay, ...]: ...
    @property
    def ways(self) -> tuple[Way, ...]: ...
    @property
    def node_positions(self) -> tuple[NodePosition, ...]: ...


@dataclass(frozen=True)
class Place:
    """Where a node is drawn, in vehicle coordinates [mm]. A bay's is its middle; its height may be unknown alone."""

    x_mm: float
    y_mm: float
    z_mm: float
    drawn: Literal["surveyed", "between", "beside"]  # as surveyed; else between its neighbours, or beside them
    height_surveyed: bool = False

    @property
    def surveyed(self) -> bool:
        """Whether x and y are the survey's."""
        return self.drawn == "surveyed"


def places(case: HasWays, *, floor_mm: float) -> dict[str, Place]:
    """Node -> where it is drawn, for every node of the ways and every bay.

    A node that is not surveyed lies at the average of its neighbours, each weighing the inverse of its way's length, as
    if the ways were springs; one that would lie on another is set aside. Nodes that no way joins to a surveyed one are
    left out. ``floor_mm``: what bays of unknown height stand on in the drawing.
    """
    found = _surveyed(case, floor_mm)
    nodes = dict.fromkeys(chain.from_iterable((way.start, way.end) for way in case.ways))
    loose = _reached(case, [node for node in nodes if node not in found], set(found))
    if not loose:
        return found
    row = {node: k for k, node in enumerate(loose)}
    pulls, towards = np.zeros((len(loose), len(loose))), np.zeros((len(loose), 3))
    for node, other, way in _ends(case):
        if node in row:
            pulls[row[node], row[node]] += 1 / way.length_mm
            if other in row:
                pulls[row[node], row[other]] -= 1 / way.length_mm
            else:
                at = found[other]
                towards[row[node]] += np.array((at.x_mm, at.y_mm, at.z_mm)) / way.length_mm
    for node, (x, y, z) in zip(loose, np.linalg.solve(pulls, towards), strict=True):
        shortest = min(way.length_mm for start, _, way in _ends(case) if start == node)
        wanted = Place(float(x), float(y), float(z), "between")
        found[node] = _aside(wanted, list(found.values()), min(shortest, _ASIDE_MM))
    return found


def neighbours(case: HasWays, node: str) -> tuple[str, ...]:
    """What the ways join a node to, each once."""
    return tuple(dict.fromkeys(other for start, other, _ in _ends(case) if start == node))


def _surveyed(case: HasWays, floor_mm: float) -> dict[str, Place]:
    found = {}
    for bay in case.bays:
        known = bay.z_mm is not None
        z_mm = (floor_mm if bay.z_mm is None else bay.z_mm) + bay.height_mm / 2
        found[bay.name] = Place(bay.x_mm, bay.y_mm, z_mm, "surveyed", height_surveyed=known)
    for spot in case.node_positions:
        found[spot.node] = Place(spot.x_mm, spot.y_mm, spot.z_mm, "surveyed", height_surveyed=True)
    return found


def _ends(case: HasWays) -> Iterator[tuple[str, str, Way]]:
    """Each way from either end."""
    for way in case.ways:
        yield way.start, way.end, way
        yield way.end, way.start, way


def _reached(case: HasWays, loose: list[str], reached: set[str]) -> list[str]:
    """Those of the loose nodes that ways join to a node that is reached."""
    while more := {other for node, other, _ in _ends(case) if node in reached} - reached:
        reached |= more
    return [node for node in loose if node in reached]


def _aside(wanted: Place, others: list[Place], reach_mm: float) -> Place:
    """The place itself, or one around it that no other node is near, seen from above."""
    if all(_apart(wanted, other) >= _APART_MM for other in others):
        return wanted
    around = [
        replace(
            wanted,
            x_mm=wanted.x_mm + ring * reach_mm * cos(turn),
            y_mm=wanted.y_mm + ring * reach_mm * sin(turn),
            z_mm=max(wanted.z_mm + ring * reach_mm * sin(turn), 0.0),  # from the side it stands aside likewise
            drawn="beside",
        )
        for ring in (1.0, 1.5, 2.0)
        for turn in _TURNS
    ]
    free = (place for place in around if all(_apart(place, other) >= _CLEAR_MM for other in others))
    return next(free, max(around, key=lambda place: min(_apart(place, other) for other in others)))


def _apart(one: Place, other: Place) -> float:
    return dist((one.x_mm, one.y_mm), (other.x_mm, other.y_mm))
