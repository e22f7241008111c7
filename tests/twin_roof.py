"""Where the panels of a tiny world lie."""

from typing import Any

from optimiser import builds as b
from optimiser.case import Case, Obstacle
from optimiser.catalogue import Catalogue
from tests.placing import Field, Rect, Thing, place
from tests.twin_tables import ABSENT, Corner


def lie(case: Case, catalogue: Catalogue, array: Any) -> tuple[b.PlacedPanel, ...] | None:
    """A place for every panel; the audit says whether it is a good one."""
    if array is ABSENT:
        return ()
    name, series, parallel = array
    zone, count = case.zones[0], series * parallel
    panel: Any = catalogue.find(name)
    edge = dict.fromkeys(("rear", "left", "right"), zone.set_back_mm) | {"front": zone.front_set_back_mm}
    edge[zone.walkway_side] = max(edge[zone.walkway_side], zone.walkway_mm)
    x0, y0 = zone.x_mm + edge["rear"], zone.y_mm + edge["right"]
    taken = [_kept_clear(o, x0, y0) for o in case.obstacles]
    sheet = Field(
        zone.length_mm - edge["rear"] - edge["front"], zone.width_mm - edge["left"] - edge["right"], tuple(taken)
    )
    gap = case.limits.panel_gap_mm
    for rotated in range(count + 1):  # so many of them rotated a quarter
        ways = [k < rotated for k in range(count)]
        sizes = [(panel.width_mm, panel.length_mm) if t else (panel.length_mm, panel.width_mm) for t in ways]
        spots = place(sheet, tuple(Thing(*size, gap, gap, walls=False) for size in sizes))
        if spots is not None:
            moved = [(x + x0, y + y0) for x, y in spots]
            return panels_at(case, array, list(zip(moved, ways, strict=True)))
    return None


def panels_at(case: Case, array: Any, spots: list[tuple[Corner, bool]]) -> tuple[b.PlacedPanel, ...]:
    """The panels of an array at places found for them."""
    zone, (name, series, _) = case.zones[0].name, array
    return tuple(
        b.PlacedPanel(zone, name, *corner, rotated, f"array_1.{k // series + 1}")
        for k, (corner, rotated) in enumerate(spots)
    )


def _kept_clear(obstacle: Obstacle, x0: int, y0: int) -> Rect:
    assert obstacle.lid_side == "none" and obstacle.height_mm <= obstacle.clear_mm
    clear = obstacle.clear_mm
    return Rect(
        obstacle.x_mm - clear - x0, obstacle.y_mm - clear - y0, obstacle.length_mm + 2 * clear,
        obstacle.width_mm + 2 * clear,
    )  # fmt: skip
