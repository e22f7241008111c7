"""Templates of builds, and what a PDF of them holds, read back from its content streams in mm."""

import re
from dataclasses import dataclass
from functools import cache
from io import BytesIO

from pypdf import PdfReader

from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.templates import Template, board_templates, template_pdf
from optimiser.fitted import Fit, fit_of
from optimiser.fixings import fixings
from tests.approving import BY_HAND
from tests.handmade import world
from tests.knobs import altered
from tests.packing_help import shipped

VERSION = "case and catalogue 0123456789ab, build ba9876543210"
POINT_MM = 25.4 / 72


@dataclass(frozen=True)
class Drawn:
    """A path of a page. ``closed``: back to where it began; ``dashed``: with gaps; ``stroked``: not filled alone."""

    points: tuple[Point, ...]
    closed: bool
    dashed: bool
    stroked: bool
    weight_mm: float

    @property
    def box(self) -> Box:
        xs, ys = zip(*self.points, strict=True)
        return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True)
class Printed:
    """A page as it is in the file. ``texts``: where each begins; lengths in mm."""

    size: Point
    lines: tuple[Drawn, ...]
    starts: tuple[Point, ...]
    text: str


def of(fit: Fit) -> tuple[Template, ...]:
    """Of a build, with the fixings that are proposed for it."""
    return board_templates(fit, fixings(fit))


@cache
def templates(name: str) -> dict[str, Template]:
    """Of a shipped build or a world by hand, by key."""
    if name in BY_HAND:
        its = altered(world(), *BY_HAND[name])
        return {one.key: one for one in of(fit_of(its.case, its.catalogue, its.build))}
    return {one.key: one for one in of(shipped(name))}


@cache
def printed(name: str, key: str) -> tuple[Printed, ...]:
    """The pages of a template, read back."""
    return read(template_pdf(templates(name)[key], VERSION))


def read(pdf: bytes) -> tuple[Printed, ...]:
    """Every page of a PDF."""
    pages = []
    for page in PdfReader(BytesIO(pdf)).pages:
        contents = page.get_contents()
        assert contents is not None
        lines, starts = _content(contents.get_data().decode("latin-1"))
        size = float(page.mediabox.width) * POINT_MM, float(page.mediabox.height) * POINT_MM
        pages.append(Printed(size, lines, starts, " ".join(page.extract_text().split())))
    return tuple(pages)


_TOKEN = re.compile(r"\[[^\]]*\]|/\S+|[^\s\[\]]+")
_LETTERS = re.compile(r"\((?:\\.|[^\\()])*\)")
_PAINTED = {"S": "stroked", "f": "filled", "B": "both", "n": "neither"}


def _content(stream: str) -> tuple[tuple[Drawn, ...], tuple[Point, ...]]:
    """Paths, and where texts begin. Axes are moved for a text that reads from below and for nothing else."""
    lines, starts = list[Drawn](), list[Point]()
    numbers, points, moved = list[float](), list[Point](), list[Point]()
    closed = dashed = begun = False
    weight, array = 0.0, ""
    for token in _TOKEN.findall(_LETTERS.sub("", stream)):
        if re.fullmatch(r"[-+.\d]+", token):
            numbers.append(float(token) * POINT_MM)
            continue
        if token.startswith("["):
            array = token
            continue
        assert token not in ("c", "v", "y", "re", "s", "b"), token
        if token in ("m", "l"):
            assert not moved
            points.append((numbers[-2], numbers[-1]))
        elif token == "h":
            closed = True
        elif token == "d":
            dashed = any(letter.isdigit() for letter in array)
        elif token == "w":
            weight = numbers[-1]
        elif token in _PAINTED and points:
            lines.append(Drawn(tuple(points), closed, dashed, token in "SB", weight))
            points, closed = [], False
        elif token == "cm":
            moved.append((numbers[-2], numbers[-1]))
        elif token == "Q":
            moved.clear()
        elif token == "BT":
            begun = False
        elif token == "Td" and not begun:
            starts.append(moved[-1] if moved else (numbers[-2], numbers[-1]))
            begun = True
        numbers = []
    return tuple(lines), tuple(starts)
