"""The negative conductors of a single-line diagram: busbar, shunts between it and what they measure, display."""

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.drawing.shapes import TEXT_MM, Box, Point, text_mm
from optimiser.drawing.single_line import fills, symbols
from optimiser.drawing.single_line.rows import PAD_MM, Cable, Diagram, Part, or_absent, stacked, widest
from optimiser.drawing.single_line.words import Lines
from optimiser.fitted.channels import Channel, channels
from optimiser.fitted.numbers import numbered, run_numbers

_SHUNT_MM = 9.5  # of a shunt's middle below the bar
_DEEP_MM = 17.0  # of the end of a column below the bar
_BAR_MM = 0.8  # half of it
_APART_MM = 6.0  # from what is not on the bar to the bar
_ABOVE_MM = 8.0  # for texts above the bar
_MONITORED_MM = 26.0  # for them and the shunt of the bank's monitor


@dataclass(frozen=True)
class Column:
    """One conductor from top to bottom. ``channel``: what measures it; ``above``: what it comes from, if no busbar."""

    words: Lines
    channel: Channel | None = None
    above: Lines | None = None
    draw: symbols.Draw | None = None  # at its end in place of a ring

    @property
    def width(self) -> float:
        """What it needs, with its texts [mm]."""
        return max(widest(self.words), widest(self.above or []), 10.0) + PAD_MM + 1.0


def _of_channel(diagram: Diagram, channel: Channel, string: str = "") -> Lines:
    """Number of the channel, run that it measures, its shunt and the most that it carries."""
    shunt = f"{channel.shunt.name}, {channel.shunt.rating_a:g} A"
    if not channel.current:
        return [f"A{channel.number}: spare", shunt]
    number = run_numbers(diagram.fit).get(channel.current.run)
    minus = f"minus of {number}" if number else "run not in the build"
    return [f"A{channel.number}: {minus}", channel.current.run + string, shunt, f"design {channel.current.amps:.1f} A"]


def _channels(diagram: Diagram, name: str) -> list[Channel]:
    return [c for c in channels(diagram.fit) if c.current and c.current.run == name]


def joined(diagram: Diagram) -> Iterator[Column]:
    """Conductors at the negative busbar, beside the bank's, in the order of their numbers."""
    for name in run_numbers(diagram.fit):
        wanted = diagram.words.wanted.get(name)
        if name == "main" or wanted is None or "busbar" not in wanted.ends:
            continue
        found = _channels(diagram, name)
        for channel in found:
            yield Column(_of_channel(diagram, channel), channel)
        if not found:
            missing = "no channel" if diagram.words.channels_of(name) else "not measured"
            yield Column([f"minus of {run_numbers(diagram.fit)[name]}", name, missing])
    diagram.to_fill(fills.EARTHING)
    words = ["bond to the chassis", "to be filled in:", f"{fills.BLANK} mm2"]
    yield Column(words, draw=symbols.protective_earth)


def apart(diagram: Diagram) -> Iterator[Column]:
    """Shunts that are not at the busbar: of arrays, of loads behind a step-down, spare ones."""
    order = list(run_numbers(diagram.fit))
    found = sorted(channels(diagram.fit), key=lambda c: _place(order, c))
    for channel in found:
        name = channel.current.run if channel.current else ""
        wanted = diagram.words.wanted.get(name)
        if name not in order or wanted is None:
            yield Column(_of_channel(diagram, channel), channel, [])
        elif "busbar" not in wanted.ends:
            yield _behind(diagram, name, channel)


def _place(order: list[str], channel: Channel) -> int:
    """By the number of its run, what is in none last."""
    return order.index(channel.current.run) if channel.current and channel.current.run in order else len(order)


def _behind(diagram: Diagram, name: str, channel: Channel) -> Column:
    """A shunt in the conductor from a part that has no busbar between: regulator, step-down."""
    above, strings = [diagram.words.wanted[name].ends[-1]], _channels(diagram, name)
    if len(strings) == 1:
        return Column(_of_channel(diagram, channel), channel, above)
    diagram.to_fill(fills.CORES)
    words = _of_channel(diagram, channel, f", string {strings.index(channel) + 1}")
    return Column([*words, f"its core: {fills.BLANK}"], channel, above)


@dataclass(frozen=True)
class Strip:
    """All of it, below ``top``."""

    diagram: Diagram
    apart: list[Column]
    joined: list[Column]

    @classmethod
    def of(cls, diagram: Diagram) -> "Strip":
        """What there is to draw."""
        return cls(diagram, list(apart(diagram)), list(joined(diagram)))

    @property
    def _named(self) -> Lines:
        fitted = self.diagram.fit.build.slot("shunt_row")
        return ["shunt_row", f"on {fitted.board}" if fitted else "not in the build"]

    def draw(self, top: float, minus: Point | None) -> None:
        """Draw it; ``minus`` is where the bank's conductor leaves, None: on another sheet."""
        diagram = self.diagram
        y = top - (_MONITORED_MM if _channels(diagram, "main") else _ABOVE_MM)
        x = widest(self._named) + PAD_MM
        diagram.stack(self._named, 0.0, y - _SHUNT_MM + stacked(self._named) / 2, start=True)
        first = x
        for column in self.apart:
            self._column(column, x + column.width / 2, y, on_bar=False)
            x += column.width
        start_x = x = x + (_APART_MM if self.apart else 0.0)
        last = first
        for column in self.joined:
            self._column(column, x + column.width / 2, y, on_bar=True)
            x += column.width
            last = x if column.channel else last
        end = max(x, minus[0] + 2 if minus else x)
        last = max(last, start_x - _APART_MM) if self.apart else last
        self._bar(start_x, end, y, minus)
        outline = Box(first, y - _SHUNT_MM - 5.5, max(last, first + 8), y - _SHUNT_MM + 5.5)
        diagram.sheet.rect(outline, layer="faint", dash="dashed", weight=0.18)
        self._display(max(x, end) + 4, y - _SHUNT_MM)

    def _bar(self, left: float, end: float, y: float, minus: Point | None) -> None:
        diagram = self.diagram
        fitted = diagram.fit.build.slot("busbar") is not None
        box = Box(left, y - _BAR_MM, end, y + _BAR_MM)
        diagram.sheet.rect(
            box, layer="symbol", dash="solid" if fitted else "dashed", fill="solid" if fitted else "none"
        )
        diagram.sheet.solid.append(box)
        word = "busbar, negative" if fitted else "busbar, negative: not in the build"
        diagram.sheet.text(word, (left, y + 4), anchor="start", bold=True)
        if diagram.laid("main"):
            x = minus[0] if minus else end - 2
            start = minus or diagram.place(symbols.upright_terminal, x, y + 4)["bottom"]
            for channel in _channels(diagram, "main"):
                shunt = diagram.place(symbols.shunt, x, y + 16.0)
                diagram.wire(start, shunt["top"])
                start = shunt["bottom"]
                words = [*_of_channel(diagram, channel), "the bank's monitor: nothing goes by it"]
                diagram.stack(words, x - 6.0 - widest(words), y + 16.0 + stacked(words) / 2, start=True)
            diagram.wire(start, (x, y + _BAR_MM))
            beside = f"minus of {numbered(diagram.fit, 'main')}" + ("" if minus else ", from the bank")
            both_mm = sum(text_mm(words, TEXT_MM, bold=True) for words in (word, beside)) + 2
            up = 0.0 if both_mm <= x - 1.5 - left else 1.5 * TEXT_MM
            diagram.sheet.text(beside, (x - 1.5, y + 4 + up), anchor="end", bold=True)

    def _column(self, column: Column, x: float, y: float, *, on_bar: bool) -> None:
        diagram = self.diagram
        low = y - _DEEP_MM
        start = (x, y - _BAR_MM)
        if not on_bar:
            ring = diagram.place(symbols.upright_terminal, x, y - 1.0)
            start = ring["bottom"]
            diagram.stack(column.above or [], x, y + 1.0 + stacked(column.above or []), head=False)
        if column.channel:
            shunt = diagram.place(symbols.shunt, x, y - _SHUNT_MM)
            diagram.wire(start, shunt["top"])
            start = shunt["bottom"]
        draw = column.draw or symbols.upright_terminal
        end = diagram.place(draw, x, low - (2.0 if column.draw else 0.0))
        diagram.wire(start, end["top"])
        diagram.stack(column.words, x, end.box.y0 - 1.0)

    def _display(self, x: float, y: float) -> None:
        """The run from the shunts to the display, with its texts."""
        diagram = self.diagram
        ring = diagram.place(symbols.terminal, x, y)
        cable = diagram.cable("display", dash="dotted")
        fitted = bool(diagram.fit.build.slot("display"))
        items: list[Cable | Part] = [
            cable,
            Part(or_absent(symbols.display, fitted=fitted), diagram.words.display(), down=4.0),
        ]
        start = ring["right"] if cable.laid else None
        diagram.row(items, [item.width for item in items], x + 1, y, start)
        diagram.stack(["channels"], x - 1, y - 2.5, start=True, head=False)
