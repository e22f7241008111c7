"""The bank of a single-line diagram, as its modules are joined: strings, links, their fuses, where it is taken off."""

from dataclasses import dataclass

from optimiser.drawing.shapes import Point
from optimiser.drawing.single_line import symbols
from optimiser.drawing.single_line.rows import PAD_MM, Diagram, Part, or_absent, stacked, widest

_MODULE_MM = 13.0  # from module to module of a string
_FUSE_MM = 13.0
_STRING_MM = 10.0  # from string to string
_ALIKE_MM = 15.0  # from the first to the last, where those between are only counted
_RAIL_MM = 3.0  # from the last symbol of a string to a rail
_MOST = 3  # strings, and modules of one, that are drawn each
_UP_MM = 6.0


@dataclass(frozen=True)
class Bank:
    """What is drawn of it, and how wide it is."""

    diagram: Diagram

    @property
    def strings(self) -> list[int]:
        """Numbers of the strings that are drawn."""
        parallel = self.diagram.fit.build.bank.parallel
        return list(range(1, parallel + 1)) if parallel <= _MOST else [1, parallel]

    @property
    def _modules(self) -> int:
        return min(self.diagram.fit.build.bank.series, _MOST)

    @property
    def _label(self) -> float:
        return max(widest([_name(n)]) for n in self.strings) + 2 * PAD_MM

    @property
    def fuse(self) -> Part:
        """The main fuse, at the positive end."""
        draw = or_absent(symbols.fuse, fitted=self.diagram.has_fuse("main"))
        return Part(draw, self.diagram.words.main_fuse(), down=1.5)

    @property
    def _block_mm(self) -> float:
        """From the negative rail to the positive one."""
        fused = _FUSE_MM if self.diagram.fit.build.bank.fuse else 0.0
        return max(self._modules * _MODULE_MM + fused + 2 * _RAIL_MM, widest(["", self._alike]) + 2 * PAD_MM)

    @property
    def _alike(self) -> str:
        """What is said of the strings that are not drawn."""
        left_out = self.diagram.fit.build.bank.parallel - len(self.strings)
        return f"{left_out} alike between" if left_out else ""

    @property
    def _words_mm(self) -> float:
        return widest(self.diagram.words.bank()) + 2 * PAD_MM

    @property
    def width(self) -> float:
        """All of it [mm]."""
        return self._words_mm + self._label + self._block_mm + self.fuse.width

    @property
    def _strings_high(self) -> float:
        """From the first string to the last."""
        return _ALIKE_MM if self._alike else (len(self.strings) - 1) * _STRING_MM

    @property
    def height(self) -> float:
        """All of it [mm]."""
        words = stacked(self.diagram.words.bank()) - _UP_MM + 1.0
        return _UP_MM + max(self._strings_high + 4.0, words, self.fuse.low + stacked(self.fuse.words)) + 1.0

    def draw(self, right: float, top: float, main: Point | None) -> Point:
        """Draw it below ``top``, its main fuse's end at ``right``, where the main run comes down from ``main``.

        Gives where its negative conductor leaves.
        """
        y, fuse = top - _UP_MM, self.fuse
        plus = right - fuse.width
        minus = plus - self._block_mm
        placed = self.diagram.place(fuse.draw, plus + fuse.width / 2, y)
        self.diagram.stack(fuse.words, plus + fuse.width / 2, y - fuse.low)
        self.diagram.wire((plus, y), placed["left"])
        if main:
            self.diagram.wire(main, (right, main[1]), (right, y), placed["right"])
        numbers, step = self.strings, self._strings_high / max(len(self.strings) - 1, 1)
        levels = [y - k * step for k in range(len(numbers))]
        for number, level in zip(numbers, levels, strict=True):
            self._string(number, minus, plus, level)
        self._rails(minus, plus, levels)
        left = minus - self._label - self._words_mm + PAD_MM
        self.diagram.stack(self.diagram.words.bank(), left, top - 1.0, start=True)
        return minus, levels[-1]

    def _string(self, number: int, minus: float, plus: float, y: float) -> None:
        """One string between the rails, its fuse at the positive end, its name left of it."""
        diagram, bank = self.diagram, self.diagram.fit.build.bank
        self.diagram.stack([_name(number)], minus - self._label + PAD_MM, y + 1.25, start=True, head=False)
        x, end = minus + _RAIL_MM + _MODULE_MM / 2, (minus, y)
        for k in range(self._modules):
            if k == self._modules - 1 and bank.series > _MOST:
                middle = f"{bank.series - _MOST} more"
                diagram.stack([middle], x - _MODULE_MM / 2, y + 8.0, head=False)
            placed = diagram.place(symbols.battery, x, y)
            diagram.wire(end, placed["left"])
            end, x = placed["right"], x + _MODULE_MM
        if bank.fuse:
            placed = diagram.place(symbols.fuse, x - _MODULE_MM / 2 + _FUSE_MM / 2, y)
            diagram.wire(end, placed["left"])
            end = placed["right"]
        diagram.wire(end, (plus, y))

    def _rails(self, minus: float, plus: float, levels: list[float]) -> None:
        """The links from string to string, and how many there are that are not drawn."""
        diagram, parallel = self.diagram, self.diagram.fit.build.bank.parallel
        if parallel == 1:
            return
        for x in (minus, plus):
            diagram.wire((x, levels[0]), (x, levels[-1]))
        for k, level in enumerate(levels):
            if k > 0 and k < len(levels) - 1:
                diagram.dot((minus, level))
                diagram.dot((plus, level))
        diagram.dot((plus, levels[0]))
        diagram.dot((minus, levels[-1]))
        if self._alike:
            middle = (levels[0] + levels[1]) / 2 + 1.25
            diagram.stack([self._alike], (minus + plus) / 2, middle, head=False)


def _name(number: int) -> str:
    return f"string {number}"
