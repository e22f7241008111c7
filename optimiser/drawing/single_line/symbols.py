"""Graphical symbols of a single-line diagram: each draws itself about a point and gives its terminals.

Shapes are those of IEC 60617 as far as they are known here; the standard itself was not read, and no drawing claims
to conform to it. Where each shape comes from:

- second hand, a page that answers what the marks at a contact mean in IEC 60617 (itecnotes.com, "what does the x mean
  on an MCB"): a bar is a disconnector, a bar with a ring a switch-disconnector, a cross a circuit breaker;
- second hand, a converter stencil of a general drawing library (draw.io, set iec417): a square with a diagonal,
  what goes in marked in the upper left corner and what comes out in the lower right;
- second hand, a public set of rules for schematics: IEC 60617 has a junction with a dot (S00020) and without (S00019);
- the fuse as a rectangle with the conductor through it is from memory; a public library of circuit drawings (schemdraw)
  has that shape too, but calls another one, with a bar near each end, the form of IEC;
- from memory: battery, photovoltaic generator, ammeter, residual-current mark, protective earth, shunt, plug of an
  inlet, plug and socket, make contact, changeover contact, terminal, outgoing circuit;
- own shapes: display, panel of loads, gland, link, busbar, the dashed boxes of what is not in the build.

The isolator has the bar alone: whether it may be opened under load is not in the catalogue.
Sizes are in mm of paper; every drawing with symbols has the scale 1.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import Sheet

Current = Literal["dc", "ac"]
WEIGHT = 0.3


@dataclass(frozen=True)
class Symbol:
    """What a symbol covers, and where wires join it: always on the edge of its box."""

    box: Box
    terminals: dict[str, Point]

    def __getitem__(self, terminal: str) -> Point:
        return self.terminals[terminal]


Draw = Callable[[Sheet, float, float], Symbol]


def _made(sheet: Sheet, x: float, y: float, sides: tuple[float, float, float, float], **ends: Point) -> Symbol:
    """A symbol that covers ``sides`` (left, bottom, right, top) about a point, with its ends given from there."""
    left, bottom, right, top = sides
    box = Box(x + left, y + bottom, x + right, y + top)
    sheet.solid.append(box)
    return Symbol(box, {name: (x + dx, y + dy) for name, (dx, dy) in ends.items()})


def _line(sheet: Sheet, x: float, y: float, *points: Point, weight: float = WEIGHT) -> None:
    sheet.line(*((x + dx, y + dy) for dx, dy in points), layer="symbol", weight=weight)


def _rect(sheet: Sheet, x: float, y: float, half: Point) -> None:
    sheet.rect(Box(x - half[0], y - half[1], x + half[0], y + half[1]), layer="symbol", weight=WEIGHT)


# --- in a wire ---------------------------------------------------------------------------------------


def fuse(sheet: Sheet, x: float, y: float) -> Symbol:
    """A rectangle with the conductor through it."""
    _rect(sheet, x, y, (4, 1.5))
    _line(sheet, x, y, (-5, 0), (5, 0))
    return _made(sheet, x, y, (-5, -1.5, 5, 1.5), left=(-5, 0), right=(5, 0))


AMMETER_MM = 2.8  # radius: holds an A and the number of a channel


def ammeter(sheet: Sheet, x: float, y: float) -> Symbol:
    """A circle with an A, on a path whose current is measured."""
    return numbered_ammeter(None)(sheet, x, y)


def numbered_ammeter(number: int | None) -> Draw:
    """The same with the number of the channel that measures it; None: none does."""

    def draw(sheet: Sheet, x: float, y: float) -> Symbol:
        sheet.circle((x, y), AMMETER_MM, layer="symbol", weight=WEIGHT)
        sheet.text(f"A{number or ''}", (x, y))
        sides = (-AMMETER_MM, -AMMETER_MM, AMMETER_MM, AMMETER_MM)
        return _made(sheet, x, y, sides, left=(-AMMETER_MM, 0), right=(AMMETER_MM, 0))

    return draw


def busbar(sheet: Sheet, x: float, y: float) -> Symbol:
    """A short thick bar."""
    sheet.rect(Box(x - 0.8, y - 5, x + 0.8, y + 5), layer="symbol", fill="solid")
    return _made(sheet, x, y, (-0.8, -5, 0.8, 5), left=(-0.8, 0), right=(0.8, 0))


def isolator(sheet: Sheet, x: float, y: float) -> Symbol:
    """An open contact with the bar of a disconnector."""
    _line(sheet, x, y, (-6, 0), (-3, 0), (2.6, 3))
    _line(sheet, x, y, (3, 0), (6, 0))
    _line(sheet, x, y, (3, -1.6), (3, 1.6))
    return _made(sheet, x, y, (-6, -1.6, 6, 3), left=(-6, 0), right=(6, 0))


def residual_breaker(sheet: Sheet, x: float, y: float) -> Symbol:
    """A contact with the cross of a breaker above the ring of a residual-current device, two poles."""
    _line(sheet, x, y, (0, 7), (0, 4.5))
    _line(sheet, x, y, (-0.9, 3.6), (0.9, 5.4))
    _line(sheet, x, y, (-0.9, 5.4), (0.9, 3.6))
    _line(sheet, x, y, (-2.6, 3.8), (0, -0.5), (0, -7))
    sheet.circle((x, y - 2.8), 1.5, layer="symbol", weight=WEIGHT)
    _line(sheet, x, y, (-1.5, -2.8), (-3.4, -2.8), (-3.4, 1.6), (-1.3, 1.6), weight=0.18)
    for up in (-5.6, -6.4):
        _line(sheet, x, y, (-0.9, up - 0.5), (0.9, up + 0.5))
    return _made(sheet, x, y, (-3.4, -7, 1.5, 7), top=(0, 7), bottom=(0, -7))


def breaker(sheet: Sheet, x: float, y: float) -> Symbol:
    """An open contact with the cross of a circuit breaker."""
    _line(sheet, x, y, (-6, 0), (-3, 0), (2.6, 3))
    _line(sheet, x, y, (3, 0), (6, 0))
    for up in (-1, 1):
        _line(sheet, x, y, (2.1, -0.9 * up), (3.9, 0.9 * up))
    return _made(sheet, x, y, (-6, -0.9, 6, 3), left=(-6, 0), right=(6, 0))


def upright_breaker(sheet: Sheet, x: float, y: float) -> Symbol:
    """The same in an upright wire."""
    _line(sheet, x, y, (0, 5.5), (0, 3))
    _line(sheet, x, y, (-2.6, 2.6), (0, -3), (0, -5.5))
    for up in (-1, 1):
        _line(sheet, x, y, (-0.9, 3 - 0.9 * up), (0.9, 3 + 0.9 * up))
    return _made(sheet, x, y, (-2.6, -5.5, 0.9, 5.5), top=(0, 5.5), bottom=(0, -5.5))


def residual_device(sheet: Sheet, x: float, y: float) -> Symbol:
    """A contact with the ring of a residual-current device, two poles, in a wire along a row."""
    _line(sheet, x, y, (-7, 0), (-4.5, 0))
    _line(sheet, x, y, (-4.5, 0), (0, 2.6))
    _line(sheet, x, y, (0, 0), (7, 0))
    sheet.circle((x + 2.8, y), 1.5, layer="symbol", weight=WEIGHT)
    _line(sheet, x, y, (2.8, 1.5), (2.8, 3.2), (-1.6, 3.2), (-1.6, 1.7), weight=0.18)
    for along in (5.4, 6.2):
        _line(sheet, x, y, (along - 0.4, -0.9), (along + 0.4, 0.9))
    return _made(sheet, x, y, (-7, -1.5, 7, 3.2), left=(-7, 0), right=(7, 0))


def upright_residual(sheet: Sheet, x: float, y: float) -> Symbol:
    """The same in an upright wire."""
    _line(sheet, x, y, (0, 7), (0, 4.5))
    _line(sheet, x, y, (-2.6, 4.3), (0, 0), (0, -7))
    sheet.circle((x, y - 2.8), 1.5, layer="symbol", weight=WEIGHT)
    _line(sheet, x, y, (-1.5, -2.8), (-3.4, -2.8), (-3.4, 2.1), (-1.2, 2.1), weight=0.18)
    for up in (-5.6, -6.4):
        _line(sheet, x, y, (-0.9, up - 0.5), (0.9, up + 0.5))
    return _made(sheet, x, y, (-3.4, -7, 1.5, 7), top=(0, 7), bottom=(0, -7))


def changeover(sheet: Sheet, x: float, y: float) -> Symbol:
    """A contact that leads down from the one above or from the one at the left, two poles."""
    _line(sheet, x, y, (0, 6), (0, 3))
    _line(sheet, x, y, (-5, 1.5), (-2.2, 1.5))
    _line(sheet, x, y, (0, -6), (0, -2), (0, 2.6))
    sheet.circle((x - 2.2, y + 1.5), 0.4, layer="symbol", weight=WEIGHT)
    for up in (-4.0, -4.8):
        _line(sheet, x, y, (-0.9, up - 0.5), (0.9, up + 0.5))
    return _made(sheet, x, y, (-5, -6, 0.9, 6), top=(0, 6), bottom=(0, -6), left=(-5, 1.5))


def plug(sheet: Sheet, x: float, y: float) -> Symbol:
    """The male side of a plug and socket and the female one, joined."""
    _line(sheet, x, y, (-4, 0), (-2, 0))
    sheet.rect(Box(x - 2, y - 0.7, x + 0.5, y + 0.7), layer="symbol", weight=WEIGHT, fill="solid")
    sheet.circle((x, y), 2, layer="symbol", weight=WEIGHT, arc=(270, 90))
    _line(sheet, x, y, (2, 0), (4, 0))
    return _made(sheet, x, y, (-4, -2, 4, 2), left=(-4, 0), right=(4, 0))


def link(sheet: Sheet, x: float, y: float) -> Symbol:
    """A short thick conductor."""
    _line(sheet, x, y, (-5, 0), (5, 0), weight=1.0)
    return _made(sheet, x, y, (-5, -0.5, 5, 0.5), left=(-5, 0), right=(5, 0))


def gland(sheet: Sheet, x: float, y: float) -> Symbol:
    """A wire through a wall."""
    _line(sheet, x, y, (-3, 0), (3, 0))
    for side in (-0.8, 0.8):
        for up in (-1, 1):
            _line(sheet, x, y, (side, up * 0.8), (side, up * 3))
    return _made(sheet, x, y, (-3, -3, 3, 3), left=(-3, 0), right=(3, 0))


# --- at the end of a wire ----------------------------------------------------------------------------


def battery(sheet: Sheet, x: float, y: float) -> Symbol:
    """Long and short plates, two cells for any number; the long plate of each is the positive one, on the right."""
    _line(sheet, x, y, (-5, 0), (-2.9, 0))
    _line(sheet, x, y, (2.2, 0), (5, 0))
    for at in (-1.6, 2.2):
        _line(sheet, x, y, (at, -4), (at, 4))
        _line(sheet, x, y, (at - 1.3, -2), (at - 1.3, 2), weight=0.6)
    sheet.line((x - 1.6, y), (x + 0.9, y), layer="symbol", dash="dotted", weight=WEIGHT)
    return _made(sheet, x, y, (-5, -4, 5, 4), left=(-5, 0), right=(5, 0))


def photovoltaic(sheet: Sheet, x: float, y: float) -> Symbol:
    """A box with the G of a generator and a cell, with light falling in."""
    _rect(sheet, x, y, (5, 5))
    sheet.text("G", (x, y + 2.2))
    _line(sheet, x, y, (-3, -2.2), (-0.6, -2.2))
    _line(sheet, x, y, (-0.6, -4), (-0.6, -0.4))
    _line(sheet, x, y, (0.6, -3.1), (0.6, -1.3), weight=0.6)
    _line(sheet, x, y, (0.6, -2.2), (3, -2.2))
    for dx in (0.0, 1.8):
        _line(sheet, x, y, (-8.5 + dx, 6.5), (-5.3 + dx, 5.2 if dx else 3.6), weight=0.18)
        tip = (-5.3 + dx, 5.2 if dx else 3.6)
        _line(sheet, x, y, (tip[0] - 1.1, tip[1] - 0.1), tip, (tip[0] - 0.4, tip[1] + 1), weight=0.18)
    return _made(sheet, x, y, (-8.5, -5, 5, 6.5), right=(5, 0))


def inlet(sheet: Sheet, x: float, y: float) -> Symbol:
    """The male side of a plug and socket."""
    sheet.circle((x, y), 3, layer="symbol", weight=WEIGHT, arc=(90, 270))
    sheet.rect(Box(x - 0.4, y - 0.8, x + 2.6, y + 0.8), layer="symbol", weight=WEIGHT, fill="solid")
    _line(sheet, x, y, (2.6, 0), (5, 0))
    return _made(sheet, x, y, (-3, -3, 5, 3), right=(5, 0))


def panel(sheet: Sheet, x: float, y: float) -> Symbol:
    """Loads behind their own fuse panel."""
    _rect(sheet, x, y, (6, 4))
    for up in (-2, 0, 2):
        _line(sheet, x, y, (-3.5, up), (3.5, up), weight=0.18)
    return _made(sheet, x, y, (-6, -4, 6, 4), left=(-6, 0))


def display(sheet: Sheet, x: float, y: float) -> Symbol:
    """A box with a window."""
    _rect(sheet, x, y, (6, 4))
    _rect(sheet, x, y, (4, 1.8))
    return _made(sheet, x, y, (-6, -4, 6, 4), left=(-6, 0))


def shunt(sheet: Sheet, x: float, y: float) -> Symbol:
    """A resistor in an upright wire, with the two taps of what measures."""
    sheet.rect(Box(x - 0.9, y - 2.5, x + 0.9, y + 2.5), layer="symbol", weight=WEIGHT)
    for up in (-4.5, 2.5):
        _line(sheet, x, y, (0, up), (0, up + 2))
    for up in (-1.6, 1.6):
        _line(sheet, x, y, (0.9, up), (2.4, up), weight=0.18)
    return _made(sheet, x, y, (-0.9, -4.5, 2.4, 4.5), top=(0, 4.5), bottom=(0, -4.5))


def switch(sheet: Sheet, x: float, y: float) -> Symbol:
    """A make contact."""
    _line(sheet, x, y, (-6, 0), (-3, 0), (2.6, 3))
    _line(sheet, x, y, (3, 0), (5, 0))
    return _made(sheet, x, y, (-6, -1, 5, 3), left=(-6, 0))


def terminal(sheet: Sheet, x: float, y: float) -> Symbol:
    """A ring."""
    sheet.circle((x, y), 1, layer="symbol", weight=WEIGHT)
    return _made(sheet, x, y, (-1, -1, 1, 1), left=(-1, 0), right=(1, 0))


def upright_terminal(sheet: Sheet, x: float, y: float) -> Symbol:
    """The same in an upright wire."""
    sheet.circle((x, y), 1, layer="symbol", weight=WEIGHT)
    return _made(sheet, x, y, (-1, -1, 1, 1), top=(0, 1), bottom=(0, -1))


def outgoing(sheet: Sheet, x: float, y: float) -> Symbol:
    """The head of an arrow, downwards: a circuit that goes on to its loads."""
    sheet.polygon((x - 1.3, y + 1.5), (x + 1.3, y + 1.5), (x, y - 1.5), layer="symbol", weight=WEIGHT, fill="solid")
    return _made(sheet, x, y, (-1.3, -1.5, 1.3, 1.5), top=(0, 1.5))


def protective_earth(sheet: Sheet, x: float, y: float) -> Symbol:
    """Three shrinking bars in a circle."""
    sheet.circle((x, y), 3.2, layer="symbol", weight=WEIGHT)
    _line(sheet, x, y, (0, 3.2), (0, 0.2))
    for down, half in ((0.2, 2.1), (-0.8, 1.4), (-1.8, 0.7)):
        _line(sheet, x, y, (-half, down), (half, down))
    return _made(sheet, x, y, (-3.2, -3.2, 3.2, 3.2), top=(0, 3.2))


def absent(sheet: Sheet, x: float, y: float) -> Symbol:
    """A dashed box where a part should be and none is in the build."""
    sheet.rect(Box(x - 6, y - 6, x + 6, y + 6), layer="faint", dash="dashed", weight=WEIGHT)
    ends: dict[str, Point] = {"left": (-6, 0), "right": (6, 0), "left_upper": (-6, 4), "in": (-6, -4), "out": (6, -4)}
    return _made(sheet, x, y, (-6, -6, 6, 6), **ends, switch=(6, 4))


def upright_absent(sheet: Sheet, x: float, y: float) -> Symbol:
    """The same in an upright wire."""
    sheet.rect(Box(x - 3, y - 5.5, x + 3, y + 5.5), layer="faint", dash="dashed", weight=WEIGHT)
    return _made(sheet, x, y, (-3, -5.5, 3, 5.5), top=(0, 5.5), bottom=(0, -5.5))


# --- converters --------------------------------------------------------------------------------------


def converter(taken: Current, given: Current) -> Draw:
    """A square with a diagonal: what it takes in the upper left corner, what it gives in the lower right."""

    def draw(sheet: Sheet, x: float, y: float) -> Symbol:
        _converter(sheet, x, y, taken, given)
        ends: dict[str, Point] = {"left": (-6, 0), "right": (6, 0), "left_upper": (-6, 4)}
        ends |= {"in": (-6, -4), "out": (6, -4), "switch": (6, 4)}
        return _made(sheet, x, y, (-6, -6, 6, 6), **ends)

    return draw


REGULATOR = converter("dc", "dc")
"""Also what charges from the alternator and what steps down."""
MAINS_CHARGER = converter("ac", "dc")
INVERTER = converter("dc", "ac")


def inverter_charger(sheet: Sheet, x: float, y: float) -> Symbol:
    """A converter both ways above the changeover contact of its transfer switch."""
    _converter(sheet, x, y, "dc", "ac")
    _rect(sheet, x, y - 10, (6, 4))
    _line(sheet, x, y, (-6, -12), (-3, -12))  # hook-up
    _line(sheet, x, y, (0, -6), (0, -8), (-3, -8))  # what the converter gives
    _line(sheet, x, y, (6, -10), (3, -10), (-2.6, -11.7))
    ends: dict[str, Point] = {"left": (-6, 0), "switch": (6, 4), "in": (-6, -12), "out": (6, -10)}
    return _made(sheet, x, y, (-6, -14, 6, 6), **ends)


def _converter(sheet: Sheet, x: float, y: float, taken: Current, given: Current) -> None:
    _rect(sheet, x, y, (6, 6))
    _line(sheet, x, y, (-6, -6), (6, 6))
    _mark(sheet, x - 3, y + 3, taken)
    _mark(sheet, x + 3, y - 3, given)


def _mark(sheet: Sheet, x: float, y: float, current: Current) -> None:
    if current == "dc":
        _line(sheet, x, y, (-1.6, 0.5), (1.6, 0.5))
        for start in (-1.6, -0.4, 0.8):
            _line(sheet, x, y, (start, -0.5), (start + 0.8, -0.5))
    else:
        sheet.circle((x - 0.8, y), 0.8, layer="symbol", weight=WEIGHT, arc=(0, 180))
        sheet.circle((x + 0.8, y), 0.8, layer="symbol", weight=WEIGHT, arc=(180, 360))
