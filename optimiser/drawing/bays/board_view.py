"""One board of a bay as it is seen: what stands on it, the free space that wants, and where it stands."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from optimiser.case import Bay, Board
from optimiser.drawing.arranging import apart, outside
from optimiser.drawing.bays.body_labels import TERMINALS_MM, draw_cross, label_bodies
from optimiser.drawing.bays.entering import draw_entries
from optimiser.drawing.bays.places import Hole, draw_opening, of_board
from optimiser.drawing.bays.standing_bodies import MarkedBody
from optimiser.drawing.shapes import TEXT_MM, Box, Dimension, Point, Text
from optimiser.drawing.sheet import Sheet, wrapped
from optimiser.fixings import Fixing

_LINE_MM = 6.0  # of running dimensions below or left of a board
_ABOVE_MM = 9.0  # a board, for labels that have no room on it
_FAR_MM = 40.0  # the same, at most
_NUMBER_MM = 8.2  # where their numbers begin
_ROW_MM = 1.3 * TEXT_MM  # from line to line of a label
_CAPTION_MM = 40.0  # a caption may be so wide, if its view is narrower


def board_view(
    board: Board,
    marked: Sequence[MarkedBody],
    holes: Sequence[Fixing],
    remarks: Sequence[tuple[MarkedBody, str]] = (),
    openings: Sequence[Hole] = (),
    bay: Bay | None = None,
    *,
    scale: float,
) -> Sheet:
    """The board with its lower left corner at 0, 0. ``remarks``: what is said beside bodies, each with a leader;
    ``openings``: of ways into its ``bay``; those in other faces are arrows beyond its edges."""
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
    view.solid += [*taken, *bored, *edges(whole)]
    for body in marked:
        _draw(view, body)
    datum_mark(view)
    corners = [(body.box.x0, body.box.y0) for body in marked]
    _, left, bottom = board.corner or ("", 0, 0)
    entering = [(hole, hole.seen_from(left, bottom)) for hole in openings if hole.opening.face == board.face]
    open_at = [draw_opening(view, hole, at) for hole, at in entering]
    view.solid += open_at
    running(view, [*corners, *middles(holes), *(at for _, at in entering if min(at) >= 0)], taken)
    near = _near(whole, scale)
    arrows = draw_entries(view, bay, board, openings) if bay else []
    label_bodies(view, marked, near)
    for hole in holes:
        draw_hole(view, hole, near)
    for entry, (x, y) in entering:
        told = "" if min(x, y) >= 0 else f" at {x:.0f}, {y:.0f}"
        view.label(f"{entry.named}{told}{entry.by}", (x, y), arrow_mm=entry.bore_mm / 2, rather=near)
    for beyond, tip, tail in arrows:
        view.label(f"Ø{beyond.bore_mm}{beyond.by}", tip, or_at=[tail], rather=near)
    for body, words in remarks:
        view.label(words, (body.box.x1, body.box.y0), rather=near)
    overall(view, whole, open_at)
    floor = board.kind == "floor"
    seen = "plan of the floor board, right is forward" if floor else "elevation of the wall board"
    told = f"{board.name}: {seen}, {board.length_mm} x {board.width_mm}, {board.depth_mm} deep"
    caption(view, whole, f"{told}; {of_board(board)}" if board.corner else told)
    return view


def _near(whole: Box, scale: float) -> list[Box]:
    """Where labels make its view no wider: on the board, then over and under it."""
    above, left, high = (mm * scale for mm in (_ABOVE_MM, _NUMBER_MM, _FAR_MM))
    on = replace(whole, y1=whole.y1 + above)
    return [on, Box(whole.x0 - 2 * left, whole.y0 - high, whole.x1 + left, whole.y1 + high)]


def edges(whole: Box) -> list[Box]:
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
        strip = Box(box.x0 + 0.2 * wide, box.y0, box.x1 - 0.2 * wide, box.y0 + TERMINALS_MM * view.scale)
        view.rect(strip, layer="symbol", weight=0.13, fill="solid")
    draw_cross(view, body.box)


# --- holes, datum, dimensions ----------------------------------------------------------------------------


def hole_box(hole: Fixing) -> Box:
    """What a hole that has a place covers."""
    (x, y), (half_x, half_y) = middles([hole])[0], (hole.length_mm / 2, hole.width_mm / 2)
    return Box(x - half_x, y - half_y, x + half_x, y + half_y)


def middles(holes: Iterable[Fixing]) -> list[tuple[int, int]]:
    """Of those that have a place."""
    return [(hole.x_mm, hole.y_mm) for hole in holes if hole.x_mm is not None and hole.y_mm is not None]


def draw_hole(view: Sheet, hole: Fixing, rather: Sequence[Box]) -> None:
    """A hole with its centre lines, its name and its size."""
    box, reach = hole_box(hole), 1.0 * view.scale
    (x, y), out = box.middle, box.grown(reach)
    view.rect(box, layer="fixing", weight=0.35)
    view.line((out.x0, y), (out.x1, y), layer="fixing", dash="chain", weight=0.13)
    view.line((x, out.y0), (x, out.y1), layer="fixing", dash="chain", weight=0.13)
    view.label(f"{hole.name}, {hole.length_mm} x {hole.width_mm}", (box.x1, y), rather=rather)


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


def overall(view: Sheet, whole: Box, beside: Sequence[Box] = ()) -> None:
    """Length above and width at the right, beyond what is drawn ``beside`` it."""
    beyond = Box.around([whole, *beside])
    view.dimension((whole.x0, whole.y1), (whole.x1, whole.y1), along="x", at=beyond.y1)
    view.dimension((whole.x1, whole.y0), (whole.x1, whole.y1), along="y", at=beyond.x1)


def caption(view: Sheet, whole: Box, text: str) -> None:
    """What the view is, above all else of it."""
    wide = max(whole.size[0] / view.scale, _CAPTION_MM)
    y = max(view.extent().y1, whole.y1)
    rows = wrapped(text, wide, bold=True)
    for number, row in enumerate(reversed(rows)):
        at = (whole.x0, y + (2.5 + number * _ROW_MM) * view.scale)
        view.text(row, at, anchor="start", bold=True)
