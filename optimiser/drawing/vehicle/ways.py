"""The ways of a build as a drawing shows them: marks, what lies in each, and lines that keep off each other."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist, hypot

from optimiser.basis.money import cores
from optimiser.case import Way
from optimiser.drawing.shapes import Dash, Layer, Point
from optimiser.fitted import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fitted.wiring import RoutedRun, routed_runs
from optimiser.parts import Cable

Course = tuple[Point, Point, Point]
"""Start, middle and end of a way's line."""

_BENDS_MM = (0.0, 4.0, -4.0, 8.0, -8.0, 12.0, -12.0, 16.0, -16.0, 20.0, -20.0)
"""How far off the straight line a way's middle may be drawn [mm of paper]; the first that is clear is taken."""
_STEP_MM = 1.0  # between points of a way that are looked at
_NEAR_MM = 1.5  # ways nearer than this look like one
_CROSSING_MM = 6  # of a way may be near another: they cross
_NODE_MM = 3.0  # what a way keeps from nodes it does not end at
_MEANINGS = {"solid": "low voltage or data", "dashed": "mains", "dotted": "empty"}
_PENALTY = 20  # for a node that a way passes over, in points of nearness


@dataclass(frozen=True)
class MarkedWay:
    """A way with its mark in the drawing and the runs in it."""

    mark: str
    way: Way
    runs: tuple[RoutedRun, ...]
    named: tuple[str, ...]  # their numbers and names

    @property
    def shared(self) -> bool:
        """Whether mains lie in it with anything else."""
        return {run.cable.kind == "mains" for run in self.runs} == {True, False}

    @property
    def style(self) -> tuple[Layer, Dash, float]:
        """Layer, dashes and weight it is drawn with: told apart without colour."""
        if not self.runs:
            return "faint", "dotted", 0.35
        if self.shared:
            return "mains", "chain", 0.6
        return ("mains", "dashed", 0.6) if self.runs[0].cable.kind == "mains" else ("cable", "solid", 0.5)

    @property
    def meaning(self) -> str:
        """What its style says, for the legend."""
        if self.shared:
            divided = "divided: mains in one channel, low voltage in the other"
            return f"way, {divided if self.way.divided else 'NOT divided, with mains and low voltage'}"
        return f"way, {_MEANINGS[self.style[1]]}"

    @property
    def label(self) -> str:
        """The mark, and what lies in the way by section; an empty one has its mark alone."""
        dc = ", ".join(section(run.cable) for run in self.runs if run.cable.paired)
        mains = ", ".join(section(run.cable) for run in self.runs if run.cable.kind == "mains")
        data = [run for run in self.runs if run.cable.kind == "data"]
        told = [f"{dc} mm2" if dc else "", f"mains {mains} mm2" if mains else "", "data" if data else ""]
        parted = "" if not self.shared else " divided" if self.way.divided else " NOT DIVIDED"
        return ": ".join(filter(None, (f"{self.mark}{parted}", ", ".join(filter(None, told)))))

    @property
    def line(self) -> str:
        """The key's line."""
        way = self.way
        inside = (
            "; ".join(f"{name} {in_words(run.cable)}" for name, run in zip(self.named, self.runs, strict=True))
            or "empty"
        )
        where = f"{way.start} to {way.end}, {way.length_mm} mm, bore {way.bore_mm} mm{self._channels}"
        return f"{self.mark}  {way.name}, {where}: {inside}"

    @property
    def _channels(self) -> str:
        if self.shared and not self.way.divided:
            return ", NOT DIVIDED (mains and low voltage in one bore: do not build)"
        if self.shared:
            return ", divided (mains in one channel, low voltage and data in the other)"
        return ", divided" if self.way.divided else ""


def marked_ways(fit: Fit) -> tuple[MarkedWay, ...]:
    """Every way of the survey, in its order, with the runs of the build in it."""
    runs = routed_runs(fit).values()
    marked = []
    for number, way in enumerate(fit.case.ways, start=1):
        inside = tuple(run for run in runs if way in run.ways)
        marked.append(MarkedWay(f"W{number}", way, inside, tuple(numbered(fit, run.run.name) for run in inside)))
    return tuple(marked)


def key_lines(fit: Fit) -> list[str]:
    """Way by way what lies in it, and the runs that lie in none: each run of the build is told."""
    lines = [marked.line for marked in marked_ways(fit)]
    within = [run for run in routed_runs(fit).values() if not run.ways]
    for bay in dict.fromkeys(run.run.start for run in within):
        told = (f"{numbered(fit, run.run.name)} {in_words(run.cable)}" for run in within if run.run.start == bay)
        lines.append(f"Within {bay}, on no way: {'; '.join(told)}")
    return lines


def section(cable: Cable) -> str:
    """Conductors of a run of direct current and their section, or a mains cable's section alone [mm2]."""
    return f"{cores(cable)} x {cable.section_mm2:g}" if cable.paired else f"{cable.section_mm2:g}"


def in_words(cable: Cable) -> str:
    """The same with its unit, or a data cable by its name."""
    if cable.kind == "data":
        return cable.name
    return f"{section(cable)} mm2" + (" mains cable" if cable.kind == "mains" else "")


def courses(ways: Sequence[Way], at: Mapping[str, Point], scale: float) -> dict[str, Course]:
    """Way -> start, middle and end of its line: straight, or bent once where it would lie on another way or node.

    Ways with an end that is not in ``at`` have no line. ``scale``: mm of the drawing to one of paper.
    """
    found: dict[str, Course] = {}
    for way in ways:
        if way.start in at and way.end in at:
            start, end = at[way.start], at[way.end]
            others = [spot for node, spot in at.items() if node not in (way.start, way.end)]
            choices = [(start, _bent(start, end, bend * scale), end) for bend in _BENDS_MM]
            laid = list(found.values())
            found[way.name] = _clearest(choices, laid, others, scale)
    return found


def _clearest(choices: Sequence[Course], laid: Sequence[Course], nodes: Sequence[Point], scale: float) -> Course:
    """The first line of the least clutter; those after one that has none are not looked at."""
    worst: list[int] = []
    for line in choices:
        worst.append(_clutter(line, laid, nodes, scale))
        if not worst[-1]:
            break
    return choices[worst.index(min(worst))]


def _bent(start: Point, end: Point, by: float) -> Point:
    """The middle of two points, moved square to their line; upwards if they are one."""
    (x0, y0), (x1, y1) = start, end
    long = hypot(x1 - x0, y1 - y0)
    square = ((y0 - y1) / long, (x1 - x0) / long) if long else (0.0, 1.0)
    return (x0 + x1) / 2 + by * square[0], (y0 + y1) / 2 + by * square[1]


def _clutter(line: Course, laid: Sequence[Course], nodes: Sequence[Point], scale: float) -> int:
    """Points of the line that look like another way's, beyond what crossing takes, and what it passes over."""
    start, middle, end = line
    if start == middle == end:
        return _PENALTY  # nothing to be seen
    points = [p for p in _along(line, scale) if min(dist(p, start), dist(p, end)) > 3 * scale]
    near = _NEAR_MM * scale
    worst = 0
    for other in laid:
        close = sum(min(_off(p, other[0], other[1]), _off(p, other[1], other[2])) < near for p in points)
        worst += max(close - _CROSSING_MM, 0)
    passed = sum(min(_off(node, start, middle), _off(node, middle, end)) < _NODE_MM * scale for node in nodes)
    return worst + _PENALTY * passed


def _along(line: Course, scale: float) -> list[Point]:
    points = []
    for (x0, y0), (x1, y1) in pairwise(line):
        steps = max(int(hypot(x1 - x0, y1 - y0) / (_STEP_MM * scale)), 1)
        points += [(x0 + (x1 - x0) * k / steps, y0 + (y1 - y0) * k / steps) for k in range(steps)]
    return points


def _off(point: Point, start: Point, end: Point) -> float:
    """How far a point is from a straight line between two others."""
    (x, y), (x0, y0), (x1, y1) = point, start, end
    long = (x1 - x0) ** 2 + (y1 - y0) ** 2
    share = min(max(((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / long, 0.0), 1.0) if long else 0.0
    return dist(point, (x0 + share * (x1 - x0), y0 + share * (y1 - y0)))
