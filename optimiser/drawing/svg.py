"""A drawing as SVG: to scale when printed at 100 %, readable without colour and by a screen reader."""

from html import escape
from math import ceil, cos, floor, radians, sin

from optimiser.drawing.shapes import Circle, Dimension, Fill, Layer, Path, Point, Shape, Text
from optimiser.drawing.sheet import Sheet

MARGIN_MM = 4.0  # round what has no frame
_LINE_MM = 0.35  # half of the frame's own line
FONT = "'DejaVu Sans', Verdana, Arial, sans-serif"

COLOURS: dict[Layer, str] = {
    "outline": "#222222",
    "zone": "#5b6770",
    "panel": "#1d3f6e",
    "obstacle": "#7a4b12",
    "body": "#1f1f1f",
    "clearance": "#80868b",
    "fixing": "#8c1d40",
    "cable": "#9b1c1c",
    "mains": "#155e3b",
    "symbol": "#111111",
    "dimension": "#3d4650",
    "text": "#111111",
    "faint": "#767676",
    "frame": "#111111",
}
"""Every one at least 4.5 : 1 on white but the clearance's, which is hatching; dashes and fills say the same again."""

_DASHES = {"solid": "", "dashed": "2.2 1.2", "dotted": "0.3 1", "chain": "4 1 0.4 1"}
_TICK_MM = 1.2
_HATCH_MM = 2.0
_LINES = 'stroke="#80868b" stroke-width="0.15"'
_HATCHES: dict[Fill, str] = {
    "hatch": _LINES,
    "cross": _LINES,
    "dots": 'stroke="#5b6770" stroke-width="0.45" stroke-linecap="round" stroke-dasharray="0 2"',
}


def to_svg(sheet: Sheet) -> str:
    """The drawing as one ``svg`` element with ids of its own."""
    return _Writer(sheet).written()


class _Writer:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet, self.clips = sheet, 0
        bare = sheet.extent().grown(MARGIN_MM * sheet.scale)
        self.extent = sheet.frame.outer.grown(_LINE_MM * sheet.scale) if sheet.frame else bare

    def written(self) -> str:
        key, (width, height) = self.sheet.key, (side / self.sheet.scale for side in self.extent.size)
        framing = self.sheet.frame.shapes if self.sheet.frame else ()
        shapes = "\n".join(self._shape(shape) for shape in (*self.sheet.shapes, *framing))
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{key}-title {key}-desc" '
            f'viewBox="0 0 {width:.2f} {height:.2f}" style="width:{width:.1f}mm" font-family="{FONT}" '
            f'data-scale="{self.sheet.scale:g}">\n'
            f'<title id="{key}-title">{escape(self.sheet.title)}</title>\n'
            f'<desc id="{key}-desc">{escape(self.sheet.title)}</desc>\n'
            f'<rect width="100%" height="100%" fill="#ffffff"/>\n{shapes}\n</svg>\n'
        )

    def _at(self, point: Point) -> Point:
        """On paper, y down."""
        return (point[0] - self.extent.x0) / self.sheet.scale, (self.extent.y1 - point[1]) / self.sheet.scale

    def _shape(self, shape: Shape) -> str:
        match shape:
            case Path():
                return self._path(shape)
            case Circle():
                return self._circle(shape)
            case Text():
                return self._text(shape)
            case Dimension():
                return self._dimension(shape)

    def _line(self, points: tuple[Point, ...]) -> str:
        return " L".join(f"{x:.2f} {y:.2f}" for x, y in map(self._at, points))

    def _style(self, shape: Path | Circle) -> str:
        dash = f' stroke-dasharray="{_DASHES[shape.dash]}"' if _DASHES[shape.dash] else ""
        fill = {"paper": "#ffffff", "tint": "#eef1f4", "solid": COLOURS[shape.layer]}.get(shape.fill, "none")
        return (
            f'fill="{fill}" stroke="{COLOURS[shape.layer]}" stroke-width="{shape.weight:g}"{dash} class="{shape.layer}"'
        )

    def _path(self, shape: Path) -> str:
        outline = f"M{self._line(shape.points)}{' Z' if shape.closed else ''}"
        drawn = f'<path d="{outline}" {self._style(shape)}/>'
        if shape.fill not in _HATCHES:
            return drawn
        self.clips += 1
        clip = f"{self.sheet.key}-clip{self.clips}"
        lines, ink = self._hatching(shape)
        return (
            f'<clipPath id="{clip}"><path d="{outline}" clip-rule="evenodd"/></clipPath>'
            f'<path d="{lines}" fill="none" clip-path="url(#{clip})" {ink}/>\n{drawn}'
        )

    def _hatching(self, shape: Path) -> tuple[str, str]:
        """Lines all over the shape: a pattern would say the same, but prints as megabytes of pixels."""
        xs, ys = zip(*map(self._at, shape.points), strict=True)
        x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
        lines = []
        if shape.fill == "dots":
            rows = range(floor(y0 / _HATCH_MM), ceil(y1 / _HATCH_MM) + 1)
            start = floor(x0 / _HATCH_MM) * _HATCH_MM
            lines += [f"M{start:.1f} {row * _HATCH_MM:.1f} H{x1:.1f}" for row in rows]
        else:
            for k in range(floor((x0 + y0) / _HATCH_MM), ceil((x1 + y1) / _HATCH_MM) + 1):  # where x + y is constant
                lines.append(f"M{x0:.1f} {k * _HATCH_MM - x0:.1f} L{x1:.1f} {k * _HATCH_MM - x1:.1f}")
        if shape.fill == "cross":
            for k in range(floor((y0 - x1) / _HATCH_MM), ceil((y1 - x0) / _HATCH_MM) + 1):  # where y - x is
                lines.append(f"M{x0:.1f} {k * _HATCH_MM + x0:.1f} L{x1:.1f} {k * _HATCH_MM + x1:.1f}")
        return " ".join(lines), _HATCHES[shape.fill]

    def _circle(self, shape: Circle) -> str:
        (x, y), radius = self._at(shape.centre), shape.radius / self.sheet.scale
        if shape.arc is None:
            return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{radius:.2f}" {self._style(shape)}/>'
        (x0, y0), (x1, y1) = (self._at(point) for point in arc_ends(shape))
        large = int((shape.arc[1] - shape.arc[0]) % 360 > 180)
        path = f"M{x0:.2f} {y0:.2f} A{radius:.2f} {radius:.2f} 0 {large} 0 {x1:.2f} {y1:.2f}"
        return f'<path d="{path}" {self._style(shape)}/>'

    def _text(self, shape: Text) -> str:
        (x, y), down = self._at(shape.at), 0.36 * shape.size  # from the middle of capitals to the baseline
        turn = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if shape.upright else ""
        weight = ' font-weight="bold"' if shape.bold else ""
        return (
            f'<text x="{x:.2f}" y="{y + down:.2f}" font-size="{shape.size:g}" '
            f'text-anchor="{shape.anchor}" fill="{COLOURS[shape.layer]}" stroke="#ffffff" stroke-width="0.7" '
            f'style="paint-order:stroke" stroke-linejoin="round"{weight}{turn}>{escape(shape.text)}</text>'
        )

    def _dimension(self, shape: Dimension) -> str:
        lines = [self._thin(*dimension_line) for dimension_line in dimension_lines(shape, self.sheet.scale)]
        return "\n".join([*lines, self._text(shape.text)])

    def _thin(self, *points: Point) -> str:
        return f'<path d="M{self._line(points)}" fill="none" stroke="{COLOURS["dimension"]}" stroke-width="0.13"/>'


def arc_ends(shape: Circle) -> tuple[Point, Point]:
    """Where an arc starts and ends."""
    assert shape.arc is not None
    (x, y), r = shape.centre, shape.radius
    start, end = ((x + r * cos(radians(a)), y + r * sin(radians(a))) for a in shape.arc)
    return start, end


def dimension_lines(shape: Dimension, scale: float) -> list[tuple[Point, Point]]:
    """Extension lines, the dimension line and an oblique tick at each end."""
    tick, reach = _TICK_MM * scale / 2, 1.5 * scale
    found: list[tuple[Point, Point]] = [shape.feet]
    for point, foot in zip((shape.start, shape.end), shape.feet, strict=True):
        axis = 1 if shape.along == "x" else 0
        out = reach if shape.at > point[axis] else -reach
        beyond = (foot[0], foot[1] + out) if axis else (foot[0] + out, foot[1])
        found.append((point, beyond))
        found.append(((foot[0] - tick, foot[1] - tick), (foot[0] + tick, foot[1] + tick)))
    return found
