"""A bay as surveyed: its inside from above, its way in, and each board with what stays on it."""

from optimiser.case import Bay, Board
from optimiser.cautions import CAUTIONS
from optimiser.drawing.arranging import in_rows, moved
from optimiser.drawing.bays.board_view import caption, datum_mark, overall
from optimiser.drawing.shapes import Box
from optimiser.drawing.sheet import A4_LANDSCAPE_MM, Sheet
from optimiser.drawing.survey.marks import Marks, named, scale_of
from optimiser.reading import Sketch

_BETWEEN_MM = 9.0
_VIEW_MM = (120.0, 75.0)  # the largest view is no larger
_COLUMN_MM = 120.0


def bay_sheet(sketch: Sketch, bay: Bay, marks: Marks) -> Sheet:
    """Every view of it to one scale."""
    boards = [board for board in sketch.boards if board.bay == bay.name]
    sizes = [(bay.length_mm, bay.width_mm), *((board.length_mm, board.width_mm) for board in boards)]
    scale = max(scale_of(size, _VIEW_MM) for size in sizes)
    sheet = Sheet(f"survey-bay-{bay.name}", f"{sketch.title}: bay {bay.name} as surveyed", scale)
    views = [_inside(bay, marks, scale), _opening(bay, scale)]
    views += [_board(sketch, board, marks, scale) for board in boards]
    extents = [view.extent() for view in views]
    corners = in_rows([extent.size for extent in extents], width=A4_LANDSCAPE_MM[0] * scale, gap=_BETWEEN_MM * scale)
    for view, extent, (x, y) in zip(views, extents, corners, strict=True):
        sheet.shapes += [moved(shape, (x - extent.x0, y - extent.y1)) for shape in view.shapes]
        sheet.notes += view.notes
    allows = [word for word, yes in (("a bank", bay.battery), ("electronics", bay.electronics)) if yes]
    sheet.notes.append(
        f"Air {bay.air}; {'part of' if bay.habitable else 'not part of'} the living space; "
        f"allows {' and '.join(allows) or 'neither bank nor electronics'}; at most {bay.mass_max_kg:g} kg."
    )
    sheet.notes.append("Where a board is in the bay is not surveyed: each is drawn by itself.")
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


def _board(sketch: Sketch, board: Board, marks: Marks, scale: float) -> Sheet:
    view, whole = Sheet("view", "", scale), Box(0, 0, board.length_mm, board.width_mm)
    view.rect(whole, layer="outline", weight=0.5)
    overall(view, whole)
    datum_mark(view)
    for row in sketch.existing:
        if row.board == board.place:
            box = Box(row.x_mm, row.y_mm, row.x_mm + row.length_mm, row.y_mm + row.width_mm)
            view.rect(box, layer="obstacle", weight=0.4, fill="dots")
            named(view, f"{row.name}, {row.depth_mm} deep", box.middle, room=box)
            marks.on(view, f"existing {row.name}", box)
    marks.on(view, f"board {board.place}", whole)
    told = [
        word
        for word, yes in (("reached", board.reach), ("seen", board.sight), ("outside wall", board.outside_wall))
        if yes
    ]
    caption(view, whole, f"{board.kind} board {board.name}, {board.depth_mm} deep{', '.join(['', *told])}")
    return view
