"""A bay as surveyed: its inside from above, its way in, and each board with what stays on it."""

from optimiser.case import Bay, Board
from optimiser.cautions import CAUTIONS
from optimiser.drawing.arranging import in_rows, moved
from optimiser.drawing.bays.board_view import caption, datum_mark, overall, running
from optimiser.drawing.bays.places import SEEN, Hole, draw_opening, holes, of_board
from optimiser.drawing.shapes import Box, Point
from optimiser.drawing.sheet import A3_LANDSCAPE_MM, A4_LANDSCAPE_MM, SCALES, Sheet
from optimiser.drawing.survey.marks import Marks, named, scale_of
from optimiser.physics.surfaces import face_size_mm
from optimiser.reading import Sketch

_BETWEEN_MM = 9.0
_VIEW_MM = (120.0, 75.0)  # the largest view is no larger
_COLUMN_MM = 120.0
_FEW = 4  # views that a small sheet has room for


def bay_sheet(sketch: Sketch, bay: Bay, marks: Marks) -> Sheet:
    """Every view of it to one scale: the largest that its paper holds, and no view larger than is of use."""
    boards = [board for board in sketch.boards if board.bay == bay.name]
    sizes: list[Point] = [(bay.length_mm, bay.width_mm), *((b.length_mm, b.width_mm) for b in boards if not b.corner)]
    sizes += [face_size_mm(size=bay.inside, face=face)[:2] for face in _faces(sketch, bay)]
    largest = max(scale_of(size, _VIEW_MM) for size in sizes)
    for scale in (largest, *(scale for scale in SCALES if scale > largest)):
        made = _drawn(sketch, bay, marks, scale)
        if made.fits:
            break
    return made


def _faces(sketch: Sketch, bay: Bay) -> list[str]:
    """Those with a board or a cable opening."""
    entering = holes(sketch.cable_openings, sketch.ways, bay.name)
    boards = [board.face for board in sketch.boards if board.bay == bay.name and board.corner]
    return [face for face in SEEN if face in {*boards, *(hole.opening.face for hole in entering)}]


def _drawn(sketch: Sketch, bay: Bay, marks: Marks, scale: int) -> Sheet:
    boards = [board for board in sketch.boards if board.bay == bay.name]
    loose = [board for board in boards if not board.corner]
    entering = holes(sketch.cable_openings, sketch.ways, bay.name)
    sheet = Sheet(f"survey-bay-{bay.name}", f"{sketch.title}: bay {bay.name} as surveyed", scale)
    views = [_inside(bay, marks, scale), _opening(bay, scale)]
    for face in _faces(sketch, bay):
        on_it = [board for board in boards if board.corner and board.face == face]
        views.append(_face(sketch, bay, face, on_it, [h for h in entering if h.opening.face == face], marks, scale))
    views += [_board(sketch, board, marks, scale) for board in loose]
    extents = [view.extent() for view in views]
    paper = A4_LANDSCAPE_MM if len(views) <= _FEW else A3_LANDSCAPE_MM
    corners = in_rows([extent.size for extent in extents], width=paper[0] * scale, gap=_BETWEEN_MM * scale)
    for view, extent, (x, y) in zip(views, extents, corners, strict=True):
        sheet.shapes += [moved(shape, (x - extent.x0, y - extent.y1)) for shape in view.shapes]
        sheet.notes += view.notes
    allows = [word for word, yes in (("a bank", bay.battery), ("electronics", bay.electronics)) if yes]
    sheet.notes.append(
        f"Air {bay.air}; {'part of' if bay.habitable else 'not part of'} the living space; "
        f"allows {' and '.join(allows) or 'neither bank nor electronics'}; at most {bay.mass_max_kg:g} kg."
    )
    if loose:
        names = ", ".join(board.name for board in loose)
        sheet.notes.append(f"Where these boards are in the bay is not surveyed, each is drawn by itself: {names}.")
    reached = {hole.opening.way for hole in entering}
    unknown = [way.name for way in sketch.ways if bay.name in (way.start, way.end) and way.name not in reached]
    if unknown:
        sheet.notes.append(f"Where these ways come in is not surveyed: {', '.join(unknown)}.")
    sheet.finish(CAUTIONS, columns=max(int(sheet.extent().size[0] / scale / _COLUMN_MM), 1))
    return sheet


def _inside(bay: Bay, marks: Marks, scale: float) -> Sheet:
    view, whole = Sheet("view", "", scale), Box(0, 0, bay.length_mm, bay.width_mm)
    view.rect(whole, layer="outline", weight=0.5)
    overall(view, whole)
    marks.on(view, f"bay {bay.name}", whole)
    caption(view, whole, f"inside from above, right is forward; {bay.height_mm} high, middle at {bay.x_mm}, {bay.y_mm}")
    return view


def _opening(bay: Bay, scale: float) -> Sheet:
    view, whole = Sheet("view", "", scale), Box(0, 0, bay.opening_length_mm, bay.opening_width_mm)
    view.rect(whole, layer="outline", weight=0.5, dash="dashed")
    overall(view, whole)
    caption(view, whole, "way in")
    return view


def _face(
    sketch: Sketch, bay: Bay, face: str, boards: list[Board], entering: list[Hole], marks: Marks, scale: float
) -> Sheet:
    """A side of the bay with its boards and holes, measured from its lower left corner."""
    long, high, _ = face_size_mm(size=bay.inside, face=face)
    view, whole = Sheet("view", "", scale), Box(0, 0, long, high)
    view.rect(whole, layer="outline", weight=0.5)
    overall(view, whole)
    datum_mark(view)
    spots, boxes = [], [Box(*at, *at).grown(h.bore_mm / 2) for h in entering for at in [h.seen_from(0, 0)]]
    view.solid += boxes
    for board in boards:
        _, x, y = board.corner or ("", 0, 0)
        box = Box(x, y, x + board.length_mm, y + board.width_mm)
        spots.append((x, y))
        view.rect(box, layer="body", weight=0.35)
        _existing(sketch, board, view, marks, (x, y))
        named(view, f"{board.name} {board.length_mm} x {board.width_mm}", box.middle, room=box)
        marks.on(view, f"board {board.place}", box)
        view.notes.append(f"{_told(board)}; {of_board(board)}.")
    running(view, [*spots, *(hole.seen_from(0, 0) for hole in entering)], [])
    for hole, box in zip(entering, boxes, strict=True):
        draw_opening(view, hole, box.middle)
        named(view, f"{hole.opening.way}, bore {hole.bore_mm}", (box.x1, box.middle[1]))
        marks.on(view, f"opening {hole.opening.place}", box)
    caption(view, whole, SEEN[face])
    return view


def _existing(sketch: Sketch, board: Board, view: Sheet, marks: Marks, at: Point) -> None:
    """What stays on a board whose corner is there."""
    for row in sketch.existing:
        if row.board == board.place:
            x, y = at[0] + row.x_mm, at[1] + row.y_mm
            box = Box(x, y, x + row.length_mm, y + row.width_mm)
            view.rect(box, layer="obstacle", weight=0.4, fill="dots")
            named(view, f"{row.name}, {row.depth_mm} deep", box.middle, room=box)
            marks.on(view, f"existing {row.name}", box)


def _told(board: Board) -> str:
    told = [
        word
        for word, yes in (("reached", board.reach), ("seen", board.sight), ("outside wall", board.outside_wall))
        if yes
    ]
    return f"{board.kind} board {board.name}, {board.depth_mm} deep{', '.join(['', *told])}"


def _board(sketch: Sketch, board: Board, marks: Marks, scale: float) -> Sheet:
    view, whole = Sheet("view", "", scale), Box(0, 0, board.length_mm, board.width_mm)
    view.rect(whole, layer="outline", weight=0.5)
    overall(view, whole)
    datum_mark(view)
    _existing(sketch, board, view, marks, (0, 0))
    marks.on(view, f"board {board.place}", whole)
    caption(view, whole, _told(board))
    return view
