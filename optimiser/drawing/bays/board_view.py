"""One board of a bay as it is seen: what stands on it, the free space that wants, and where it stands."""

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import Literal

from optimiser.case import Board
from optimiser.drawing.arranging import apart, outside
from optimiser.drawing.bays.places import Hole, draw_opening, of_board
from optimiser.drawing.bays.standing_bodies import MarkedBody, plain
from optimiser.drawing.shapes import TEXT_MM, Box, Dimension, Point, Text, text_mm
from optimiser.drawing.sheet import Sheet, wrapped
from optimiser.fixings import Fixing

_LINE_MM = 6.0  # of running dimensions below or left of a board
_NUMBER_MM = 8.2  # where their numbers begin
_ROW_MM = 1.3 * TEXT_MM  # from line to line of a label
_CAPTION_MM = 40.0  # a caption may be so wide, if its view is narrower
_EDGE_MM = 0.5  # left between a text and the line round it
_TERMINALS_MM = 1.2  # height of the strip that shows terminals


def board_view(
    board: Board,
    marked: Sequence[MarkedBody],
    holes: Sequence[Fixing],
    remarks: Sequence[tuple[MarkedBody, str]] = (),
    openings: Sequence[Hole] = (),
    *,
    scale: float,
) -> Sheet:
    """The board with its lower left corner at 0, 0. ``remarks``: what is said beside bodies, each with a leader;
    ``openings``: of ways, on its face."""
    view = Sheet("view", "", scale)
    whole = Box(0, 0, board.length_mm, board.width_mm)
    view.rect(whole, layer="outline", weight=0.5)
    bored = [hole_box(hole) for hole in holes]
    taken = [body.box for body in marked]
    frames = [frame(body, whole) for body in marked if body.body.foot.clear_x_mm or body.body.foot.clear_y_mm]
    for piece in outside(frames, [*taken, *bored]):
        view.rect(piece, layer="clearance", weight=0, fill="hatch")
    for box in frames:
        view.rect(box, layer="clearance", dash="dashed", weight=0.13)
    view.solid += [*taken, *bored, *_edges(whole)]
    for body in marked:
        _draw(view, body)
    datum_mark(view)
    corners = [(body.box.x0, body.box.y0) for body in marked]
    _, left, bottom = board.corner or ("", 0, 0)
    entering = [(hole, hole.seen_from(left, bottom)) for hole in openings]
    view.solid += [draw_opening(view, hole, at) for hole, at in entering]
    running(view, [*corners, *middles(holes), *(at for _, at in entering if min(at) >= 0)], taken)
    for body in marked:
        _label(view, body)
    for hole in holes:
        draw_hole(view, hole)
    for entry, (x, y) in entering:
        told = "" if min(x, y) >= 0 else f" at {x:.0f}, {y:.0f}"
        view.label(f"{plain(entry.opening.way)}, bore {entry.bore_mm}{told}", (x + entry.bore_mm / 2, y))
    for body, words in remarks:
        view.label(words, (body.box.x1, body.box.y0))
    overall(view, whole)
    floor = board.kind == "floor"
    seen = "plan of the floor board, right is forward" if floor else "elevation of the wall board"
    told = f"{board.name}: {seen}, {board.length_mm} x {board.width_mm}, {board.depth_mm} deep"
    caption(view, whole, f"{told}; {of_board(board)}" if board.corner else told)
    return view


def _edges(whole: Box) -> list[Box]:
    """The sides of a board as boxes without width, for labels to keep off."""
    upright = [Box(x, whole.y0, x, whole.y1) for x in (whole.x0, whole.x1)]
    return [*upright, *(Box(whole.x0, y, whole.x1, y) for y in (whole.y0, whole.y1))]


def frame(body: MarkedBody, whole: Box) -> Box:
    """A body with the clearance it wants, as far as its board goes."""
    box, foot = body.box, body.body.foot
    return Box(
        max(box.x0 - foot.clear_x_mm, whole.x0),
        max(box.y0 - foot.clear_y_mm, whole.y0),
        min(box.x1 + foot.clear_x_mm, whole.x1),
        min(box.y1 + foot.clear_y_mm, whole.y1),
    )


# --- bodies --------------------------------------------------------------------------------------------


def _draw(view: Sheet, body: MarkedBody) -> None:
    stays = body.body.existing
    view.rect(body.box, layer="obstacle" if stays else "body", weight=0.4, fill="dots" if stays else "none")
    for _, cell in body.cells:
        if cell != body.box:
            view.rect(cell, layer="body", weight=0.18)
    if body.terminals_below:
        (wide, _), box = body.box.size, body.box
        strip = Box(box.x0 + 0.2 * wide, box.y0, box.x1 - 0.2 * wide, box.y0 + _TERMINALS_MM * view.scale)
        view.rect(strip, layer="symbol", weight=0.13, fill="solid")


def _label(view: Sheet, body: MarkedBody) -> None:
    """As much as there is room for in it, or its mark alone; else its mark and name beside it with a leader."""
    lettered = [(letter, cell) for letter, cell in body.cells if letter]
    tries = _in_row(view, body, lettered) if lettered else _in_body(view, body)
    texts = next((texts for texts in tries if _clear(view, texts)), None)
    view.shapes += texts or []
    if texts is None:
        for letter, cell in lettered:
            view.shapes += next(filter(partial(_clear, view), _stacked(view, [letter], cell)), [])
        view.label(f"{body.mark} {body.name}", (body.box.middle[0], body.box.y1), bold=True)


def _in_body(view: Sheet, body: MarkedBody) -> Iterator[list[Text]]:
    room = _room(view, body)
    for upright in (False, True):
        wide = room.size[1 if upright else 0] / view.scale - 2 * _EDGE_MM
        name = wrapped(body.name, wide, bold=True)
        yield from _stacked(view, body.lines, room, upright=upright)
        for facts in ((body.depth, body.manner), (body.depth,), ()):
            if all(facts):
                yield from _stacked(view, [body.lines[0], *facts], room, upright=upright)
                yield from _stacked(view, [body.mark, *name, *facts], room, upright=upright)
    for upright in (False, True):
        yield from _stacked(view, [body.mark], room, upright=upright)


def _in_row(view: Sheet, body: MarkedBody, lettered: Sequence[tuple[str, Box]]) -> Iterator[list[Text]]:
    """The mark and letter of each member in it, and the row's name in the first that has room."""
    marks = [(f"{body.mark}{letter}", cell) for letter, cell in lettered]
    for number, (mark, cell) in enumerate(marks):
        name = wrapped(body.name, cell.size[0] / view.scale - 2 * _EDGE_MM, bold=True)
        others = [list(_stacked(view, [other], box)) for other, box in marks[:number] + marks[number + 1 :]]
        if all(others):
            for lines in ([mark, *name, body.depth], [mark, *name]):
                for texts in _stacked(view, lines, cell):
                    yield [*texts, *(text for found in others for text in found[0])]


def _clear(view: Sheet, texts: Sequence[Text]) -> bool:
    """Whether they cover none that is there."""
    boxes, others = [text.box(view.scale) for text in texts], [other.box for other in view.texts()]
    return not any(box.meets(other) for box in boxes for other in others)


def _stacked(view: Sheet, lines: Sequence[str], room: Box, *, upright: bool = False) -> Iterator[list[Text]]:
    """Lines in the middle of a room, the first one bold; nothing if they do not fit."""
    wide = max(text_mm(line, TEXT_MM, bold=number == 0) for number, line in enumerate(lines)) + 2 * _EDGE_MM
    high = TEXT_MM + _ROW_MM * (len(lines) - 1) + 2 * _EDGE_MM * (len(lines) > 1)
    if upright:
        wide, high = high, wide
    if wide * view.scale > room.size[0] or high * view.scale > room.size[1]:
        return
    (x, y), texts = room.middle, []
    for number, line in enumerate(lines):
        off = ((len(lines) - 1) / 2 - number) * _ROW_MM * view.scale
        at = (x - off, y) if upright else (x, y + off)
        texts.append(Text(text=line, at=at, upright=upright, bold=number == 0))
    yield texts


def _room(view: Sheet, body: MarkedBody) -> Box:
    """Where its label may stand: off the lines and the terminals drawn in it."""
    box = body.cells[0][1] if body.cells else body.box
    strip = (_TERMINALS_MM + _EDGE_MM) * view.scale
    return Box(box.x0, box.y0 + strip, box.x1, box.y1) if body.terminals_below else box


# --- holes, datum, dimensions ----------------------------------------------------------------------------


def hole_box(hole: Fixing) -> Box:
    """What a hole that has a place covers."""
    (x, y), (half_x, half_y) = middles([hole])[0], (hole.length_mm / 2, hole.width_mm / 2)
    return Box(x - half_x, y - half_y, x + half_x, y + half_y)


def middles(holes: Iterable[Fixing]) -> list[tuple[int, int]]:
    """Of those that have a place."""
    return [(hole.x_mm, hole.y_mm) for hole in holes if hole.x_mm is not None and hole.y_mm is not None]


def draw_hole(view: Sheet, hole: Fixing) -> None:
    """A hole with its centre lines and its name."""
    box, reach = hole_box(hole), 1.0 * view.scale
    (x, y), out = box.middle, box.grown(reach)
    view.rect(box, layer="fixing", weight=0.35)
    view.line((out.x0, y), (out.x1, y), layer="fixing", dash="chain", weight=0.13)
    view.line((x, out.y0), (x, out.y1), layer="fixing", dash="chain", weight=0.13)
    view.label(hole.name, (box.x1, y))


def datum_mark(view: Sheet) -> None:
    """A circle with a cross at 0, 0."""
    reach = 2.2 * view.scale
    view.circle((0, 0), 1.2 * view.scale, layer="symbol", weight=0.25)
    view.line((-reach, 0), (reach, 0), layer="symbol", weight=0.25)
    view.line((0, -reach), (0, reach), layer="symbol", weight=0.25)
    view.text("datum", (-2 * view.scale, -3.6 * view.scale), anchor="end")


def running(view: Sheet, places: Iterable[Point], taken: Sequence[Box]) -> None:
    """Running dimensions from the datum, below and at the left: each value once, 0 left out."""
    spots = list(places)
    _running(view, {x: min(y for at, y in spots if at == x) for x, _ in spots}, taken, along="x")
    _running(view, {y: min(x for x, at in spots if at == y) for _, y in spots}, taken, along="y")


def _running(view: Sheet, values: dict[float, float], taken: Sequence[Box], *, along: Literal["x", "y"]) -> None:
    """``values``: distance from the datum -> how far from the edge of the board what is there begins."""
    scale = view.scale
    line, number_at = -_LINE_MM * scale, -_NUMBER_MM * scale

    def point(value: float, across: float) -> Point:
        return (value, across) if along == "x" else (across, value)

    wanted = sorted(value for value in values if value)
    for value, shown in zip(wanted, apart(wanted, (TEXT_MM + 0.7) * scale), strict=True):
        start, end = point(value, 0), point(value, values[value])
        hidden = any(box.crossed(start, end) for box in taken)
        text = Text(
            text=f"{value:.0f}", at=point(shown, number_at), anchor="end", upright=along == "x", layer="dimension"
        )
        made = Dimension(start=(0, 0), end=start if hidden else end, along=along, at=line, text=text)
        view.shapes.append(made)
        if shown != value:
            view.line(
                point(value, line), point(value, line - 1.2 * scale), point(shown, number_at),
                layer="dimension", weight=0.13,
            )  # fmt: skip
    if wanted:
        view.circle(point(0, line), 0.8 * scale, layer="dimension", weight=0.18)


def overall(view: Sheet, whole: Box) -> None:
    """Length above and width at the right."""
    view.dimension((whole.x0, whole.y1), (whole.x1, whole.y1), along="x", at=whole.y1)
    view.dimension((whole.x1, whole.y0), (whole.x1, whole.y1), along="y", at=whole.x1)


def caption(view: Sheet, whole: Box, text: str) -> None:
    """What the view is, above all else of it."""
    wide = max(whole.size[0] / view.scale, _CAPTION_MM)
    y = max(view.extent().y1, whole.y1)
    rows = wrapped(text, wide, bold=True)
    for number, row in enumerate(reversed(rows)):
        at = (whole.x0, y + (2.5 + number * _ROW_MM) * view.scale)
        view.text(row, at, anchor="start", bold=True)
