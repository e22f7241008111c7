"""Boxes to be filled in: what the vehicle needs and the build has no part for, each under its name in the bill.

The texts are those of the bill's list of what is not in the build, kept here a second time: a test holds the two
together, so that no box stands for a part that is bought, and no part is missing that nobody sees.
"""

from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.symbols import Draw, Symbol

LEADS = "leads and connectors from the panels to the roof glands"
BRANCHES = "branch connectors that join strings in parallel"
CORES = "cores of its own for each string in parallel: they share one run, so one channel shows their sum"
DISCONNECTOR = "a disconnector between panels and regulators"
EARTHING = "earthing and bonding conductors"
SIGNAL = "the signal wire of the charger fed by the engine"
TOW = "the tow connector, and the towing vehicle's own cable to it with its fuse"
INLET = "the body of the mains inlet, and its hook-up lead"
SOCKET = "the body of the socket for the portable panel"
DC_PANEL = "the fuse panel of the 12 V loads, with its fuses and what lies behind them"
MAINS_SOCKETS = "mains sockets and their boxes"
MAINS_CABLES = "cables of mains final circuits"
BREAKERS = "ratings of the breakers in the mains box, and a main switch or residual-current device before them"
INVERTER_OUT = "what protects the mains cable from the inverter"
NEUTRAL = "what joins neutral to earth, in each state exactly once"
LINK = "the link of neutral and earth on the inverter's side of the mains box"

BLANK = "_____"


INNER: dict[Draw, Draw] = {}
"""Box -> the symbol in it."""


def boxed(inner: Draw | None, half: Point, *, upright: bool = False) -> Draw:
    """A dashed box about a symbol, or about nothing, with the wire on to its edges."""

    def draw(sheet: Sheet, x: float, y: float) -> Symbol:
        wide, high = half
        box = Box(x - wide, y - high, x + wide, y + high)
        sheet.rect(box, layer="symbol", dash="dashed", weight=0.18)
        near, far = (("top", "bottom") if upright else ("left", "right")) if inner else ("", "")
        if inner:
            inside = inner(sheet, x, y)
            sheet.solid.pop()  # the box is in its place
            for end in (near, far):
                if end in inside.terminals:
                    at = inside[end]
                    edge = (at[0], box.y1 if end == "top" else box.y0) if upright else (_edge(box, end), at[1])
                    sheet.line(at, edge, layer="symbol", weight=symbols.WEIGHT)
        sheet.solid.append(box)
        ends = {"left": (box.x0, y), "right": (box.x1, y), "top": (x, box.y1), "bottom": (x, box.y0)}
        return Symbol(box, ends)

    if inner:
        INNER[draw] = inner
    return draw


def _edge(box: Box, end: str) -> float:
    return box.x0 if end == "left" else box.x1


HALF_MM = 4.0
"""Of a box in a wire, above and below it."""
PANEL_MM = 5.5
"""The same of the panel's."""
empty = boxed(None, (7, HALF_MM))
"""Nothing known of what is to be there: also what the legend shows for all of them."""
disconnector = boxed(symbols.isolator, (7, HALF_MM))
fuse = boxed(symbols.fuse, (7, HALF_MM))
plug = boxed(symbols.plug, (5, HALF_MM))
panel = boxed(symbols.panel, (8, PANEL_MM))
breaker = boxed(symbols.breaker, (7, HALF_MM))
upright_breaker = boxed(symbols.upright_breaker, (4, 6.5), upright=True)
