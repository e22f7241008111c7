"""What a case amounts to before anything is chosen: energy, areas, volumes."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

from pydantic import Field

from optimiser.basis.loads import hourly
from optimiser.case import Bay, Board, Case, Obstacle, Scenario, Zone

_MM2_IN_M2 = 1e6
_MM3_IN_L = 1e6


@dataclass(frozen=True)
class ScenarioTotals:
    """What a scenario's loads take over all its hours."""

    name: Annotated[str, Field(description="of the scenario")]
    hours: Annotated[int, Field(description="it lasts")]
    dc_wh: Annotated[float, Field(description="of the 12 V loads")]
    inverter_wh: Annotated[float, Field(description="at the sockets")]
    hook_up_wh: Annotated[float, Field(description="at the sockets, while hooked up")]


@dataclass(frozen=True)
class ZoneArea:
    """Area of a roof zone, and what obstacles leave of it (their own outlines, without clearance)."""

    name: Annotated[str, Field(description="of the zone")]
    roof_plane: Annotated[str, Field(description="that it lies in")]
    area_m2: Annotated[float, Field(description="all of it")]
    free_m2: Annotated[float, Field(description="without the outlines of obstacles")]


@dataclass(frozen=True)
class BoardArea:
    """Area of a board and the depth in front of it."""

    name: Annotated[str, Field(description="of the board")]
    kind: Annotated[str, Field(description="wall or floor")]
    area_m2: Annotated[float, Field(description="all of it")]
    depth_mm: Annotated[int, Field(description="in front of it")]


@dataclass(frozen=True)
class BayRoom:
    """Volume of a bay, and its boards."""

    name: Annotated[str, Field(description="of the bay")]
    volume_l: Annotated[float, Field(description="inside")]
    boards: Annotated[tuple[BoardArea, ...], Field(description="each of it")]


def scenario_totals(case: Case, scenario: Scenario) -> ScenarioTotals:
    """Energy of a scenario; the basis calculates in steps of an hour, so W summed are Wh."""
    loads = hourly(case, scenario)
    sums = (float(watts.sum()) for watts in (loads.dc_w, loads.inverter_w, loads.hook_up_w))
    return ScenarioTotals(scenario.name, scenario.hours, *sums)


def zone_area(case: Case, zone: Zone) -> ZoneArea:
    """Area of a zone."""
    covered = _covered_mm2(zone, list(case.obstacles))
    whole = zone.length_mm * zone.width_mm
    return ZoneArea(zone.name, zone.roof_plane, whole / _MM2_IN_M2, (whole - covered) / _MM2_IN_M2)


def _covered_mm2(zone: Zone, obstacles: list[Obstacle]) -> int:
    """Area of the zone under obstacles, counted once where they overlap."""
    right, left = zone.y_mm, zone.y_mm + zone.width_mm
    rear, front = zone.x_mm, zone.x_mm + zone.length_mm
    cuts = {rear, front} | {x for o in obstacles for x in (o.x_mm, o.x_mm + o.length_mm) if rear < x < front}
    covered = 0
    for start, end in pairwise(sorted(cuts)):
        reached = right
        for o in sorted(obstacles, key=lambda o: o.y_mm):
            if o.x_mm <= start and end <= o.x_mm + o.length_mm:
                low, high = max(o.y_mm, reached), min(o.y_mm + o.width_mm, left)
                covered += max(high - low, 0) * (end - start)
                reached = max(reached, high)
    return covered


def bay_room(case: Case, bay: Bay) -> BayRoom:
    """Volume of a bay and areas of its boards."""
    volume = bay.length_mm * bay.width_mm * bay.height_mm / _MM3_IN_L
    return BayRoom(bay.name, volume, tuple(_board_area(board) for board in case.boards if board.bay == bay.name))


def _board_area(board: Board) -> BoardArea:
    return BoardArea(board.name, board.kind, board.length_mm * board.width_mm / _MM2_IN_M2, board.depth_mm)
