"""The legend of a single-line diagram: the symbols and lines that it uses, and no others."""

from optimiser.drawing.shapes import TEXT_MM, Dash
from optimiser.drawing.sheet import Sheet, wrapped
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.rows import LINE_MM, Diagram, stacked
from optimiser.drawing.single_line.symbols import Draw

_CONVERTER = "converter: takes what is upper left, gives what is lower right"
NAMES: dict[Draw, str] = {
    symbols.photovoltaic: "photovoltaic generator",
    symbols.generator: "alternator",
    symbols.battery: "bank",
    symbols.fused_battery: "bank, strings fused",
    symbols.REGULATOR: _CONVERTER,
    symbols.MAINS_CHARGER: _CONVERTER,
    symbols.INVERTER: _CONVERTER,
    symbols.inverter_charger: "inverter-charger with transfer switch",
    symbols.fuse: "fuse",
    symbols.isolator: "isolator",
    symbols.ammeter: "current that is measured",
    symbols.shunts: "shunts",
    symbols.display: "display",
    symbols.switch: "switch",
    symbols.panel: "fuse panel of the loads",
    symbols.inlet: "inlet",
    symbols.residual_breaker: "residual-current breaker, two poles",
    symbols.outgoing: "circuit to its loads",
    symbols.protective_earth: "protective earth",
    symbols.terminal: "point or terminal",
    symbols.absent: "not in the build",
}
"""Symbol -> what the legend calls it."""

_LINES: dict[Dash, str] = {"solid": "d.c.", "dashed": "mains", "dotted": "data", "chain": "mains box; earth"}
_CELL_MM = 17.0  # of a symbol
_TEXT_MM = 30.0  # of what it means
_AWAY_MM = 6.0
LEGEND_MM = _AWAY_MM + _CELL_MM + _TEXT_MM
"""How much wider it makes a drawing."""


def draw_legend(diagram: Diagram) -> None:
    """Draw it right of all that is there, from the top down."""
    sheet, extent = diagram.sheet, diagram.sheet.extent()
    used = {NAMES[draw]: draw for draw in diagram.used}  # one of each name
    x, y = extent.x1 + _AWAY_MM, extent.y1 - TEXT_MM / 2
    sheet.text("Symbols and lines", (x, y), anchor="start", bold=True)
    y -= 3
    for name in dict.fromkeys(name for draw, name in NAMES.items() if name in used):
        draw, rows = used[name], wrapped(name, _TEXT_MM)
        box = draw(Sheet("", "", 1), 0.0, 0.0).box
        half = max(box.size[1], len(rows) * LINE_MM) / 2 + 1
        y -= half
        draw(sheet, x + _CELL_MM / 2, y - box.middle[1])
        diagram.stack(rows, x + _CELL_MM, y + stacked(rows) / 2, start=True, head=False)
        y -= half
    for dash, name in _LINES.items():
        y -= 4
        sheet.line((x + 2, y), (x + _CELL_MM - 2, y), layer="symbol", dash=dash, weight=0.35)
        sheet.text(name, (x + _CELL_MM, y), anchor="start")
