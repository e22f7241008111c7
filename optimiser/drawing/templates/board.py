"""A board at true size, as it is marked out: its edge, a grid, what is laid on it and the holes in it.

Everything is in mm from the board's lower left corner; words find their places page by page.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from optimiser.case import Board
from optimiser.drawing.bays.board_view import hole_box, middles
from optimiser.drawing.bays.places import Hole, draw_opening, holes
from optimiser.drawing.bays.standing_bodies import MarkedBody, marked, plain
from optimiser.drawing.shapes import Box, Circle, Path, Point
from optimiser.drawing.sheet import Sheet
from optimiser.drawing.templates.tiles import BEYOND_MM, Tile, tiles
from optimiser.fitted.fit import Fit
from optimiser.fixings import Fixing

GRID_MM = 100
_ARM_MM = 3.0  # of a cross, from its middle
_BY_THE_PART = "fixing holes: by the part itself, laid on this outline"
_LOOK = "look outside before you drill"


@dataclass(frozen=True)
class Tag:
    """What is written of something on the board: in its box if there is room, else beside it.

    ``cells``: members of a row with their letters. ``open``: whether words may stand in its box. ``marked``: whether
    there is something to mark out there.
    """

    box: Box
    name: str
    lines: tuple[str, ...]
    cells: tuple[tuple[str, Box], ...] = ()
    open: bool = True
    marked: bool = True


@dataclass(frozen=True)
class Template:
    """A board to mark out. ``key`` names its files."""

    key: str
    vehicle: str
    board: Board
    shapes: tuple[Path | Circle, ...]
    tags: tuple[Tag, ...]
    crosses: tuple[Box, ...]
    edges: tuple[Box, ...]  # lines that words must not cross, as boxes without width

    @property
    def title(self) -> str:
        """What it is of."""
        return f"{self.vehicle}: bay {plain(self.board.bay)}, board {plain(self.board.name)}, at true size"

    @property
    def whole(self) -> Box:
        """The board."""
        return Box(0, 0, self.board.length_mm, self.board.width_mm)

    @cached_property
    def tiles(self) -> tuple[Tile, ...]:
        """Its pages."""
        return tuple(tiles(*self.whole.size))

    def marks(self, tile: Tile) -> bool:
        """Whether a page has something of a part or a hole on it."""
        return any(tag.marked and tag.box.meets(tile.area) for tag in self.tags)


def board_templates(fit: Fit, fixings: Sequence[Fixing]) -> tuple[Template, ...]:
    """One for each board that something new is fixed to, or a hole has a place in, in the survey's order."""
    found = []
    for bay in fit.case.bays:
        bodies = marked(fit, bay.name)
        for board in fit.case.boards:
            if board.bay != bay.name:
                continue
            ours = [body for body in bodies if body.body.board == board]
            through = [hole for hole in fixings if hole.kind == "pass_through" and hole.place == board.place]
            bored = [hole for hole in through if middles([hole])]
            if bored or any(map(_is_new, ours)):
                found.append(_template(fit, board, ours, bored))
    return tuple(found)


def _is_new(body: MarkedBody) -> bool:
    return body.fitted is not None and not body.fitted.existing


def _template(fit: Fit, board: Board, bodies: Sequence[MarkedBody], bored: Sequence[Fixing]) -> Template:
    view, whole = Sheet("template", "", 1), Box(0, 0, board.length_mm, board.width_mm)
    for line in grid(whole):
        view.line(*line, layer="faint", weight=0.13)
    view.rect(whole, layer="outline", weight=0.7)
    _datum(view)
    tags, crosses, edges = [_datum_tag()], list[Box](), sides(whole)
    for body in bodies:
        _draw(view, body)
        edges += [edge for box in (body.box, *(cell for _, cell in body.cells)) for edge in sides(box)]
        crosses += [_cross(view, at, _arm(body)) for at in cross_points(body)]
        tags.append(_tag(body))
    for hole in bored:
        crosses.append(_bore(view, hole))
        tags.append(_hole_tag(hole))
    for entry, at in _entering(fit, board):
        crosses.append(draw_opening(view, entry, at))
        tags.append(_opening_tag(entry, at))
    drawn = tuple(shape for shape in view.shapes if isinstance(shape, Path | Circle))
    return Template(
        f"{board.bay}-{board.name}", fit.case.brief.title, board, drawn, tuple(tags), tuple(crosses), tuple(edges)
    )


def grid(whole: Box) -> Iterator[tuple[Point, Point]]:
    """Lines across the board, each so far from its left or lower edge."""
    wide, high = (int(side) for side in whole.size)
    for x in range(GRID_MM, wide, GRID_MM):
        yield (x, 0), (x, high)
    for y in range(GRID_MM, high, GRID_MM):
        yield (0, y), (wide, y)


def sides(box: Box) -> list[Box]:
    """The sides of a box as boxes without width."""
    upright = [Box(x, box.y0, x, box.y1) for x in (box.x0, box.x1)]
    return [*upright, *(Box(box.x0, y, box.x1, y) for y in (box.y0, box.y1))]


def _datum(view: Sheet) -> None:
    view.circle((0, 0), 1.8, layer="symbol", weight=0.25)
    _cross(view, (0, 0), BEYOND_MM - 0.5)


def _datum_tag() -> Tag:
    return Tag(Box(0, 0, 0, 0), "datum", (), open=False, marked=False)


# --- bodies ---------------------------------------------------------------------------------------------


def _draw(view: Sheet, body: MarkedBody) -> None:
    stays = not _is_new(body)
    view.rect(body.box, layer="obstacle" if stays else "body", weight=0.5, fill="hatch" if stays else "none")
    for _, cell in body.cells:
        if cell != body.box:
            view.rect(cell, layer="body", weight=0.25)


def cross_points(body: MarkedBody) -> list[Point]:
    """Corners of a footprint and its middle; of one of several members, the middle of each. None of what is there."""
    if not _is_new(body):
        return []
    box, cells = body.box, [cell for _, cell in body.cells] or [body.box]
    corners = [(x, y) for x in (box.x0, box.x1) for y in (box.y0, box.y1)]
    return [*corners, *dict.fromkeys(cell.middle for cell in cells)]


def _arm(body: MarkedBody) -> float:
    """Of its crosses: less in what is small."""
    smallest = min(side for box in (body.box, *(cell for _, cell in body.cells)) for side in box.size)
    return min(_ARM_MM, smallest / 4)


def _cross(view: Sheet, at: Point, arm: float) -> Box:
    (x, y), box = at, Box(*at, *at).grown(arm)
    view.line((box.x0, y), (box.x1, y), layer="symbol", weight=0.25)
    view.line((x, box.y0), (x, box.y1), layer="symbol", weight=0.25)
    return box


def _tag(body: MarkedBody) -> Tag:
    box, foot = body.box, body.body.foot
    size = f"{foot.length_mm} x {foot.width_mm}"
    at = f"lower left corner at {box.x0:.0f}, {box.y0:.0f}"
    sized = f"{size}, {body.manner}" if body.manner else size
    part = body.part.replace(", within d", "")  # of a fuse on a terminal: how far off the board is not marked out
    lines = (sized, part, at, _BY_THE_PART) if _is_new(body) else (sized, part)
    lettered = tuple((f"{body.mark}{letter}", cell) for letter, cell in body.cells if letter)
    return Tag(box, f"{body.mark} {body.name}", lines, lettered, marked=_is_new(body))


# --- holes ----------------------------------------------------------------------------------------------


def _bore(view: Sheet, hole: Fixing) -> Box:
    """The footprint of an entry, with the cross that its hole is drilled by."""
    box = hole_box(hole)
    view.rect(box, layer="fixing", weight=0.5)
    (x, y), out = box.middle, box.grown(_ARM_MM)
    view.line((out.x0, y), (out.x1, y), layer="fixing", dash="chain", weight=0.18)
    view.line((x, out.y0), (x, out.y1), layer="fixing", dash="chain", weight=0.18)
    return out


def _hole_tag(hole: Fixing) -> Tag:
    size = f"footprint {hole.length_mm} x {hole.width_mm}, middle at {hole.x_mm}, {hole.y_mm}"
    return Tag(hole_box(hole), f"pass-through {hole.name}", (size, f"hole by {hole.part} itself; {_LOOK}"), open=False)


def _entering(fit: Fit, board: Board) -> Iterator[tuple[Hole, Point]]:
    """Cable openings in the board, and those that reach into it from beside."""
    if board.corner is None:
        return
    face, left, bottom = board.corner
    whole = Box(0, 0, board.length_mm, board.width_mm)
    for hole in holes(fit.case.cable_openings, fit.case.ways, board.bay):
        at = hole.seen_from(left, bottom)
        if hole.opening.face == face and Box(*at, *at).grown(hole.bore_mm / 2).meets(whole):
            yield hole, at


def _opening_tag(hole: Hole, at: Point) -> Tag:
    box = Box(*at, *at).grown(hole.bore_mm / 2)
    told = f"bore {hole.bore_mm}, middle at {at[0]:.0f}, {at[1]:.0f}"
    return Tag(
        box,
        f"cable opening, way {plain(hole.opening.way)}",
        (told, "as surveyed; drill it where there is none yet"),
        open=False,
    )
