"""Paths along the ways, and how long a run on one is."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice

import networkx as nx

from optimiser.case import Case, Way

PATHS_KEPT = 3  # shortest simple paths looked at between two nodes


@dataclass(frozen=True)
class Path:
    """Ways from node to node in order; none where both ends share a node."""

    start: str
    end: str
    ways: tuple[Way, ...]

    @property
    def ways_mm(self) -> int:
        """Length along the ways [mm]."""
        return sum(way.length_mm for way in self.ways)


def network(case: Case) -> nx.Graph[str]:
    """Nodes and ways; of parallel ways between two nodes each is reached through a node of its own."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(bay.name for bay in case.bays)
    for way in case.ways:
        middle = f"way:{way.name}"
        graph.add_edge(way.start, middle, length=way.length_mm / 2)
        graph.add_edge(middle, way.end, length=way.length_mm / 2)
    return graph


def shortest(case: Case, graph: nx.Graph[str], start: str, end: str) -> tuple[Path, ...]:
    """The few shortest simple paths, shortest first; none if the ways do not join them."""
    if start == end:
        return (Path(start, end, ()),)
    if start not in graph or end not in graph or not nx.has_path(graph, start, end):
        return ()
    way_of = {f"way:{way.name}": way for way in case.ways}
    found = islice(nx.shortest_simple_paths(graph, start, end, weight="length"), PATHS_KEPT)
    return tuple(Path(start, end, tuple(way_of[n] for n in nodes if n in way_of)) for nodes in found)


def cable_allowance_mm(case: Case, node: str) -> int:
    """Cable inside a bay between its node and the part; points and entries have none [mm]."""
    bay = case.bay_of.get(node)
    return bay.cable_allowance_mm if bay else 0


def run_length_mm(case: Case, start: str, end: str, ways_mm: int) -> int:
    """One-way length of a run [mm]."""
    return ways_mm + cable_allowance_mm(case, start) + cable_allowance_mm(case, end)


def wiring_at_mm(case: Case) -> tuple[int, int]:
    """Where cables, entries and the alternator feed's fuse are taken to weigh: the middle of the bays, x and y."""
    bays = case.bays
    return round(sum(b.x_mm for b in bays) / len(bays)), round(sum(b.y_mm for b in bays) / len(bays))
