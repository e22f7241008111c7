"""The legend of a single-line diagram: the symbols and lines that it uses, and no others."""

from collections.abc import Iterable

from optimiser.drawing.shapes import Dash
from optimiser.drawing.sheet import Sheet, wrapped
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.rows import LINE_MM, Diagram, stacked
from optimiser.drawing.single_line.symbols import Draw

_CONVERTER = "converter: takes what is upper left, gives what is lower right"
NAMES: dict[Draw, str] = {
    symbols.photovoltaic: "photovoltaic generator",
    symbols.battery: "battery",
    symbols.REGULATOR: _CONVERTER,
    symbols.MAINS_CHARGER: _CONVERTER,
    symbols.INVERTER: _CONVERTER,
    symbols.inverter_charger: "inverter-charger with transfer switch",
    symbols.fuse: "fuse",
    symbols.isolator: "isolator",
    symbols.busbar: "busbar",
    symbols.link: "link, or tails",
    symbols.breaker: "circuit breaker",
    symbols.upright_breaker: "circuit breaker",
    symbols.plug: "plug and socket",
    symbols.panel: "fuse panel of the loads",
    symbols.ammeter: "current that is measured, and its channel",
    symbols.shunt: "shunt",
    symbols.display: "display",
    symbols.switch: "switch",
    symbols.gland: "roof gland",
    symbols.inlet: "inlet",
    symbols.residual_breaker: "residual-current breaker, two poles",
    symbols.residual_device: "residual-current device, two poles",
    symbols.upright_residual: "residual-current device, two poles",
    symbols.changeover: "changeover, two poles, breaks before it makes",
    symbols.outgoing: "circuit to its loads",
    symbols.protective_earth: "earth, chassis",
    symbols.terminal: "point or terminal",
    symbols.upright_terminal: "point or terminal",
    symbols.absent: "missing in this build",
    symbols.upright_absent: "missing in this build",
    fills.empty: "in no build: to be filled in",
}
"""Symbol -> what the legend calls it."""

_LINES: dict[Dash, str] = {"solid": "d.c.", "dashed": "mains", "dotted": "data", "chain": "mains box; earth"}
_CELL_MM = 17.0  # of a symbol
_TEXT_MM = 29.0  # of what it means
_ACROSS = 8  # cells in a row
_AWAY_MM = 5.0


def draw_legend(diagram: Diagram, drawn: Iterable[Draw]) -> None:
    """Draw it below all that is there, row by row: of what is ``drawn``, one symbol for each name."""
    sheet, extent, shown = diagram.sheet, diagram.sheet.extent(), set(drawn)
    used: dict[str, Draw] = {}
    for symbol, name in NAMES.items():
        if symbol in shown:
            used.setdefault(name, symbol)
    lines = {name: dash for dash, name in _LINES.items()}
    names = [*used, *lines]
    y = extent.y0 - _AWAY_MM
    for first in range(0, len(names), _ACROSS):
        cells = names[first : first + _ACROSS]
        high = max(_high(used.get(name), name) for name in cells)
        for k, name in enumerate(cells):
            x, middle = extent.x0 + k * (_CELL_MM + _TEXT_MM), y - high / 2
            rows = wrapped(name, _TEXT_MM - 2)
            if draw := used.get(name):
                draw(sheet, x + _CELL_MM / 2, middle - draw(Sheet("", "", 1), 0.0, 0.0).box.middle[1])
            else:
                ends = (x + 2, middle), (x + _CELL_MM - 2, middle)
                sheet.line(*ends, layer="symbol", dash=lines[name], weight=0.35)
            diagram.stack(rows, x + _CELL_MM, middle + stacked(rows) / 2, start=True, head=False)
        y -= high + 1


def _high(draw: Draw | None, name: str) -> float:
    """What a cell needs [mm]."""
    symbol = draw(Sheet("", "", 1), 0.0, 0.0).box.size[1] if draw else 0.0
    return max(symbol, len(wrapped(name, _TEXT_MM - 2)) * LINE_MM)
