"""A table of the nodes beside the legend of a view: where each is, and whether that is surveyed."""

from collections.abc import Mapping
from itertools import chain

from optimiser.case import Case
from optimiser.drawing.shapes import TEXT_MM, Anchor, Point, text_mm
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.vehicle.nodes import Place

_ROW_MM = 3.6
_FIGURE_MM = 12.0  # a column of figures
_APART_MM = 8.0
_BESIDE_MM = 2.0  # from the last figure to what is surveyed
_HEAD = (
    "Nodes of the ways beside the bays [mm]: x forward from the rear, y to the left of the centre line, z above ground"
)

Row = tuple[str, str, str, str, str]  # node, x, y, z, what is surveyed


def node_rows(case: Case, at: Mapping[str, Place]) -> list[Row]:
    """Spots, then all other nodes of the ways but bays; what is not surveyed has no figure.

    None if no such node is surveyed: then the notes say all there is.
    """
    named = chain.from_iterable((way.start, way.end) for way in case.ways)
    nodes = dict.fromkeys([*(spot.node for spot in case.node_positions), *named])
    return [_row(node, at.get(node)) for node in nodes if node not in case.bay_of] if case.node_positions else []


def _row(node: str, place: Place | None) -> Row:
    if place is None or not place.surveyed:
        return node, "-", "-", "-", "not surveyed"
    return node, f"{place.x_mm:g}", f"{place.y_mm:g}", f"{place.z_mm:g}", "surveyed"


def draw_table(sheet: Sheet, rows: list[Row], *, at: Point, width_mm: float) -> None:
    """Draw rows below ``at``, their upper left corner, side by side as far as ``width_mm`` of paper goes."""
    if not rows:
        return
    (x, y), mm = at, sheet.scale
    sheet.text(_HEAD, (x, y), anchor="start", bold=True)
    name_mm, last_mm = (max(text_mm(row[k], TEXT_MM) for row in rows) for k in (0, 4))
    takes = name_mm + 3 * _FIGURE_MM + _BESIDE_MM + last_mm + _APART_MM
    high = -(-len(rows) // max(int((width_mm + _APART_MM) / takes), 1))
    for number, row in enumerate(rows):
        block, down = divmod(number, high)
        lines = [(row, y - _ROW_MM * (down + 2) * mm)]
        if not down:
            lines.insert(0, (("", "x", "y", "z", ""), y - _ROW_MM * mm))
        for cells, line in lines:
            for k, cell in enumerate(cells):
                if cell:
                    beside = (name_mm if k else 0) + min(k, 3) * _FIGURE_MM + (_BESIDE_MM if k == 4 else 0)
                    anchor: Anchor = "start" if k in (0, 4) else "end"
                    sheet.text(cell, (x + (block * takes + beside) * mm, line), anchor=anchor)
