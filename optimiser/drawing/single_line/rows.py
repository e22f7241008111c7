"""Rows of a single-line diagram: parts along a wire with their texts, as wide as these are."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import cos, pi, sin

from optimiser.drawing.shapes import TEXT_MM, Dash, Layer, Point, text_mm
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.symbols import Draw, Symbol
from optimiser.drawing.single_line.words import Lines, Words
from optimiser.fitted import Fit

LINE_MM = 3.3  # from text to text of a stack
PAD_MM = 2.0  # beside a text
OVER_MM = 3.2  # from a wire to the texts above it
DOT_MM = 0.7  # radius of a junction
GAP_MM = 2.0  # between rows
UNDER_MM = 1.5  # from a symbol to the texts below it
_ABSENT_MM = 6.0  # of the box of what is missing, below its wire


@dataclass(frozen=True)
class Part:
    """A body in a row, with its texts below; ``side`` stays free on both sides for wires from below."""

    draw: Draw
    words: Lines
    side: float = 0.0
    least: float = 16.0
    up: float = 7.0  # what it takes above and below the wire, without its texts
    down: float = 6.0
    dash: Dash | None = None  # of the wire behind it, if another

    @property
    def low(self) -> float:
        """Where its texts begin below the wire [mm]."""
        return (max(self.down, _ABSENT_MM) if self.draw is symbols.absent else self.down) + UNDER_MM

    @property
    def width(self) -> float:
        """What it needs, with its texts [mm]."""
        return max(widest(self.words), self.least) + 2 * PAD_MM + 2 * self.side


@dataclass(frozen=True)
class Inside:
    """What sits in a run, with its texts below; ``down`` is what it takes below the wire."""

    draw: Draw
    words: Lines = field(default_factory=list)
    least: float = 12.0
    down: float = 1.5
    like: Draw | None = None  # the symbol that the legend has for it, if not its own

    @property
    def width(self) -> float:
        """What it needs, with its texts [mm]."""
        return max(widest(self.words) + 2 if self.words else 0.0, self.least)


@dataclass(frozen=True)
class Cable:
    """A run along a row, its texts above, with what sits in it."""

    words: Lines
    inside: tuple[Inside, ...] = ()
    laid: bool = True
    dash: Dash = "solid"
    least: float = 8.0

    @property
    def width(self) -> float:
        """What it needs, with its texts and what sits in it [mm]."""
        return max(widest(self.words), sum(item.width for item in self.inside), self.least) + 2 * PAD_MM


@dataclass(frozen=True)
class Gap:
    """Room in a row, where its wire ends and something else begins."""

    width: float = 6.0


Item = Part | Cable | Gap | None  # None: an empty place that a wire may pass


def or_absent(draw: Draw, *, fitted: bool) -> Draw:
    """The symbol, or that of what is not in the build."""
    return draw if fitted else symbols.absent


def widest(lines: Sequence[str]) -> float:
    """The longest text, the first in bold [mm]."""
    return max((text_mm(line, TEXT_MM, bold=k == 0) for k, line in enumerate(lines)), default=0.0)


def stacked(lines: Sequence[str]) -> float:
    """Height of a stack of texts [mm]."""
    return (len(lines) - 1) * LINE_MM + TEXT_MM if lines else 0.0


def over(cable: Cable) -> float:
    """From a run's wire to the texts above it: over what sits in it [mm]."""
    return max([OVER_MM, *(item.down + 1.4 for item in cable.inside)])


def above(items: Sequence[Item]) -> float:
    """What a row needs above its wire [mm]."""
    cables = [over(i) + stacked(i.words) for i in items if isinstance(i, Cable)]
    return max([0.0, *cables, *(i.up for i in items if isinstance(i, Part))])


def below(items: Sequence[Item]) -> float:
    """What a row needs below its wire [mm]."""
    parts = [i.low + stacked(i.words) for i in items if isinstance(i, Part)]
    inside = [k for item in items if isinstance(item, Cable) for k in item.inside]
    return max([0.0, *parts, *(k.down + UNDER_MM + stacked(k.words) for k in inside)])


def levels(rows: Sequence[Sequence[Item]]) -> tuple[list[float], float]:
    """Height of each row's wire from the top down, and where the last ends [mm]."""
    found, y = [], 0.0
    for row in rows:
        found.append(y - above(row))
        y = found[-1] - below(row) - GAP_MM
    return found, y


def high(rows: Sequence[Sequence[Item]]) -> float:
    """What rows below each other need [mm]."""
    return -levels(rows)[1]


@dataclass(frozen=True)
class Row:
    """What came of a row: a symbol for each part, and where its wire has got to."""

    placed: list[Symbol | None]
    end: Point | None
    dash: Dash


@dataclass
class Diagram:
    """The drawing in the making."""

    sheet: Sheet
    words: Words
    used: list[Draw] = field(default_factory=list)
    drawn: set[str] = field(default_factory=set)  # runs
    filled: list[str] = field(default_factory=list)  # what blanks and boxes are for, as the bill lists it

    @property
    def fit(self) -> Fit:
        """What is drawn."""
        return self.words.fit

    def laid(self, name: str) -> bool:
        """Whether the build has the run."""
        return name in self.words.laid

    def has_fuse(self, name: str) -> bool:
        """Whether the run is there with a fuse."""
        return self.laid(name) and self.words.laid[name].fuse is not None

    def wire(self, *points: Point, dash: Dash = "solid") -> None:
        """A cable's line."""
        layer: Layer = "mains" if dash == "dashed" else "cable"
        self.sheet.line(*points, layer=layer, dash=dash, weight=0.35)

    def dot(self, at: Point) -> None:
        """A junction, of corners enough to be round: a filled circle is a ring in DXF."""
        corners = [(at[0] + DOT_MM * cos(k * pi / 6), at[1] + DOT_MM * sin(k * pi / 6)) for k in range(12)]
        self.sheet.polygon(*corners, layer="symbol", fill="solid")

    def place(self, draw: Draw, x: float, y: float, like: Draw | None = None) -> Symbol:
        """A symbol, remembered for the legend, as ``like`` if it has no place of its own there."""
        self.used += [fills.empty, fills.INNER[draw]] if draw in fills.INNER else [like or draw]
        return draw(self.sheet, x, y)

    def to_fill(self, *listed: str) -> None:
        """Note that a box or blank on the sheet is for what the bill lists as not in the build."""
        self.filled += listed

    def stack(self, lines: Sequence[str], x: float, top: float, *, start: bool = False, head: bool = True) -> None:
        """Texts below each other, the ``head`` bold, from ``top`` down, about ``x`` or from it."""
        for k, line in enumerate(lines):
            at = (x, top - TEXT_MM / 2 - k * LINE_MM)
            self.sheet.text(line, at, anchor="start" if start else "middle", bold=head and k == 0)

    def cable(
        self,
        name: str,
        *,
        fuse_first: bool = False,
        fused: bool = True,
        dash: Dash = "solid",
        before: Sequence[Inside] = (),
        least: float = 8.0,
    ) -> Cable:
        """A run with its texts and what sits in it: ``before``, its fuse, where its current is measured.

        ``fused`` False: its fuse is drawn elsewhere; ``fuse_first``: the busbars are at its start.
        """
        self.drawn.add(name)
        words = self.words.fuse(name) if fused else []
        meters = [self._meter(channel) for channel in self.words.channels_of(name)] if self.laid(name) else []
        fuses = [Inside(symbols.fuse if self.has_fuse(name) else symbols.terminal, words)] if words else []
        inside = (*before, *((*fuses, *meters) if fuse_first else (*meters, *fuses)))
        return Cable(self.words.run(name), inside, self.laid(name), dash, least)

    def _meter(self, number: int | None) -> Inside:
        return Inside(symbols.numbered_ammeter(number), least=8.0, down=symbols.AMMETER_MM, like=symbols.ammeter)

    def row(self, items: Sequence[Item], widths: Sequence[float], x: float, y: float, start: Point | None) -> Row:
        """Items from left to right along a wire that comes from ``start``; None: from nowhere."""
        placed: list[Symbol | None] = []
        end = start
        dash: Dash = "solid"
        for item, width in zip(items, widths, strict=True):
            symbol = None
            if isinstance(item, Part):
                symbol = self.place(item.draw, x + width / 2, y)
                if end and "left" in symbol.terminals:
                    self.wire(end, symbol["left"], dash=dash)
                self.stack(item.words, x + width / 2, y - item.low)
                end, dash = symbol.terminals.get("right"), item.dash or dash
            elif isinstance(item, Cable):
                end, dash = self._along(item, x, y, width, end), item.dash
            elif isinstance(item, Gap):
                end = None
            placed.append(symbol)
            x += width
        return Row(placed, end, dash)

    def _along(self, item: Cable, x: float, y: float, width: float, end: Point | None) -> Point | None:
        """A run's wire up to the last thing that sits in it."""
        self.stack(item.words, x + width / 2, y + over(item) + stacked(item.words))
        at = x + (width - sum(inside.width for inside in item.inside)) / 2
        for inside in item.inside:
            symbol = self.place(inside.draw, at + inside.width / 2, y, inside.like)
            if end:
                self.wire(end, symbol["left"], dash=item.dash)
            self.stack(inside.words, at + inside.width / 2, y - inside.down - UNDER_MM)
            end = symbol["right"]
            at += inside.width
        return end if item.laid else None
