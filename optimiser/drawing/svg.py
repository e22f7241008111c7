"""A drawing as SVG: to scale when printed at 100 %, readable without colour and by a screen reader."""

from __future__ import annotations

from html import escape
from math import cos, radians, sin

from optimiser.drawing.shapes import Circle, Dimension, Fill, Layer, Path, Point, Shape, Text
from optimiser.drawing.sheet import Sheet

MARGIN_MM = 4.0
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
}
"""Every one at least 4.5 : 1 on white but the clearance's, which is hatching; dashes and fills say the same again."""

_DASHES = {"solid": "", "dashed": "2.2 1.2", "dotted": "0.3 1", "chain": "4 1 0.4 1"}
_TICK_MM = 1.2


def to_svg(sheet: Sheet, *, described: str = "") -> str:
    """The drawing as one ``svg`` element with ids of its own; ``described`` is told where it cannot be seen."""
    return _Writer(sheet).written(described or sheet.title)


class _Writer:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet, self.extent = sheet, sheet.extent().grown(MARGIN_MM * sheet.scale)

    def written(self, described: str) -> str:
        key, (width, height) = self.sheet.key, (side / self.sheet.scale for side in self.extent.size)
        shapes = "\n".join(self._shape(shape) for shape in self.sheet.shapes)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{key}-title {key}-desc" '
            f'viewBox="0 0 {width:.2f} {height:.2f}" style="width:{width:.1f}mm" data-scale="{self.sheet.scale:g}">\n'
            f'<title id="{key}-title">{escape(self.sheet.title)}</title>\n'
            f'<desc id="{key}-desc">{escape(described)}</desc>\n{self._patterns()}\n{shapes}\n</svg>\n'
        )

    def _at(self, point: Point) -> Point:
        """On paper, y down."""
        return (point[0] - self.extent.x0) / self.sheet.scale, (self.extent.y1 - point[1]) / self.sheet.scale

    def _patterns(self) -> str:
        key = self.sheet.key
        marks = {
            "hatch": '<path d="M0 2 L2 0" stroke="#80868b" stroke-width="0.15"/>',
            "cross": '<path d="M0 2 L2 0 M0 0 L2 2" stroke="#80868b" stroke-width="0.15"/>',
            "dots": '<circle cx="1" cy="1" r="0.22" fill="#5b6770"/>',
        }
        made = "".join(
            f'<pattern id="{key}-{name}" width="2" height="2" patternUnits="userSpaceOnUse">{mark}</pattern>'
            for name, mark in marks.items()
        )
        return f"<defs>{made}</defs>"

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
        return (
            f'fill="{self._fill(shape.fill, shape.layer)}" stroke="{COLOURS[shape.layer]}" '
            f'stroke-width="{shape.weight:g}"{dash} class="{shape.layer}"'
        )

    def _fill(self, fill: Fill, layer: Layer) -> str:
        plain = {"none": "none", "paper": "#ffffff", "tint": "#eef1f4", "solid": COLOURS[layer]}
        return plain.get(fill) or f"url(#{self.sheet.key}-{fill})"

    def _path(self, shape: Path) -> str:
        return f'<path d="M{self._line(shape.points)}{" Z" if shape.closed else ""}" {self._style(shape)}/>'

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
            f'<text x="{x:.2f}" y="{y + down:.2f}" font-size="{shape.size:g}" font-family="{FONT}" '
            f'text-anchor="{shape.anchor}" fill="{COLOURS[shape.layer]}" stroke="#ffffff" stroke-width="0.7" '
            f'paint-order="stroke" stroke-linejoin="round"{weight}{turn}>{escape(shape.text)}</text>'
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
