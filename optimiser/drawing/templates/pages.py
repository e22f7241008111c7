"""The pages of a template: what each tile shows, how it is glued to those beside it, and a square to check it by."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from optimiser.cautions import CAUTIONS
from optimiser.drawing.arranging import moved
from optimiser.drawing.bays.places import of_board
from optimiser.drawing.shapes import TEXT_MM, Box, Circle, Fill, Path, Point, Shape, Text, text_mm
from optimiser.drawing.sheet import wrapped
from optimiser.drawing.templates.board import GRID_MM, Template, sides
from optimiser.drawing.templates.clipping import clipped, hatching, round_path
from optimiser.drawing.templates.tiles import OVERLAP_MM, Tile
from optimiser.drawing.templates.words import SMALL_MM, Row, Words, both, label

CHECK_MM = 100.0
CHECK = "check square: measure both sides, 100 mm; else do not use this page"
UNSCALED = "Print at 100 %, no scaling."
MEASURE = f"{UNSCALED} Measure the check square: {CHECK_MM:.0f} mm each side; else do not use this page."
HONEST = (
    "Crosses: corners and middle of each footprint. Fixing holes: by the part itself, laid on its outline; the "
    "catalogue has no positions of them. Which end of a part comes first the maker's sheet says. Look behind before "
    "you drill."
)
HATCHED = "Hatched: existing, it stays."
GLUED = "Cut where it says so, lay the page on the glue line of the one beside it: the halves of each diamond meet."

_HEAD_MM, _LINE_MM = 3.5, 3.3  # size of heads, and from line to line of what is below them
_MAP_MM = 22.0  # width of the little map of pages
_HATCH_MM = 6.0
_DIAMOND_MM = 3.5
_NEAR_MM = 1.5  # a line so near to another is taken for it
_RASTER_MM = 10  # of places for the check square


def page(template: Template, tile: Tile, version: str) -> list[Path | Text]:
    """All of it in mm of the paper, from its lower left corner. ``version``: what the pack was made from."""
    window = tile.leaf.window
    by = (window.x0 - tile.area.x0, window.y0 - tile.area.y0)
    drawn: list[Path | Text] = []
    for shape in _seen(template, tile):
        placed = moved(shape, by)
        assert isinstance(placed, Path | Text)
        drawn.append(placed)
    return [*drawn, *_below(template, tile, version)]


def _seen(template: Template, tile: Tile) -> Iterator[Shape]:
    """What is in the window, in mm of the board."""
    for shape in template.shapes:
        path = round_path(shape) if isinstance(shape, Circle) else shape
        yield from clipped(path, tile.area)
        if path.fill == "hatch":
            xs, ys = zip(*path.points, strict=True)
            if seen := both(Box(min(xs), min(ys), max(xs), max(ys)), tile.area):
                for line in hatching(seen, step=_HATCH_MM):
                    yield Path(points=line, layer="clearance", weight=0.18)
    taken = [*template.crosses, *template.edges]
    words = Words(tile.visible.grown(-1.0), taken, [tag.box for tag in template.tags])
    for joint in _joints(tile):
        yield from clipped(joint, tile.area)
        if len(joint.points) > 2:
            taken.append(_around(joint))
    _write_joints(words, tile)
    corner = check_corner(tile, taken)
    square = Box(*corner, corner[0] + CHECK_MM, corner[1] + CHECK_MM)
    yield Path(points=_corners(square), layer="mains", dash="dashed", weight=0.35, closed=True)
    taken += sides(square)
    _number_grid(words, template)
    near = (square.middle[0], square.y0 + 8)
    for size, wide in ((SMALL_MM, 92.0), (SMALL_MM, 46.0), (TEXT_MM, 92.0), (TEXT_MM, 46.0), (TEXT_MM, 30.0)):
        rows = [Row(text, size) for text in wrapped(CHECK, wide, size=size)]
        if words.put(rows, square.grown(-1.0), near):
            break
    label(words, template, [other.visible for other in template.tiles if other != tile])
    yield from words.shapes


# --- the check square ---------------------------------------------------------------------------------------


def check_corner(tile: Tile, taken: list[Box]) -> Point:
    """Where it lies on as few lines and words as can be; else on the grid, then the lowest at the left."""
    room = tile.visible.grown(-1.0)
    xs, ys = (_multiples(low, high - CHECK_MM) for low, high in ((room.x0, room.x1), (room.y0, room.y1)))

    lines = np.array([(b.x0, b.y0, b.x1, b.y1) for b in (box.grown(_NEAR_MM) for box in taken)]).reshape(-1, 4).T

    def worth(at: Point) -> tuple[float, bool, float, float]:
        edges = sides(Box(*at, at[0] + CHECK_MM, at[1] + CHECK_MM))
        beside = sum(_shared(edge.grown(_NEAR_MM), lines) for edge in edges)
        return beside, bool(at[0] % GRID_MM or at[1] % GRID_MM), at[1], at[0]

    return min(((float(x), float(y)) for x in xs for y in ys), key=worth)


def _shared(box: Box, others: NDArray[np.float64]) -> float:
    """What a box shares with others in all, given by x0, y0, x1, y1 [mm2]."""
    x0, y0, x1, y1 = others
    wide = np.clip(np.minimum(box.x1, x1) - np.maximum(box.x0, x0), 0, None)
    high = np.clip(np.minimum(box.y1, y1) - np.maximum(box.y0, y0), 0, None)
    return round(float(wide @ high), 6)


def _multiples(low: float, high: float) -> range:
    first = -int(-low // _RASTER_MM) * _RASTER_MM
    return range(first, int(high) + 1, _RASTER_MM)


# --- glue lines ---------------------------------------------------------------------------------------------


def _joints(tile: Tile) -> Iterator[Path]:
    """Edges to cut, lines to glue along, and diamonds that both pages have a part of."""
    area = tile.area
    for x, cut in ((area.x0, True), (area.x1 - OVERLAP_MM, False)):
        if tile.column > 1 if cut else tile.column < tile.columns:
            yield _joint((x, area.y0), (x, area.y1), cut=cut)
            for share in (0.25, 0.75):
                yield _diamond((x, area.y0 + share * area.size[1]))
    for y, cut in ((area.y1, True), (area.y0 + OVERLAP_MM, False)):
        if tile.row > 1 if cut else tile.row < tile.rows:
            yield _joint((area.x0, y), (area.x1, y), cut=cut)
            for share in (0.25, 0.75):
                yield _diamond((area.x0 + share * area.size[0], y))


def _joint(start: Point, end: Point, *, cut: bool) -> Path:
    return Path(points=(start, end), layer="frame", dash="dashed" if cut else "chain", weight=0.25)


def _diamond(at: Point) -> Path:
    (x, y), r = at, _DIAMOND_MM
    return Path(points=((x - r, y), (x, y - r), (x + r, y), (x, y + r)), layer="frame", weight=0.25, closed=True)


def _write_joints(words: Words, tile: Tile) -> None:
    """Which edge is cut, and which page is laid on which line."""
    area, strip = tile.area, OVERLAP_MM
    if tile.column > 1:
        _write(words, "cut here", Box(area.x0 + 0.5, area.y0, area.x0 + strip, area.y1), upright=True)
    if tile.row > 1:
        _write(words, "cut here", Box(area.x0, area.y1 - strip, area.x1, area.y1 - 0.5), upright=False)
    if tile.column < tile.columns:
        beside = f"glue here: row {tile.row}, column {tile.column + 1}"
        _write(words, beside, Box(area.x1 - strip, area.y0, area.x1, area.y1), upright=True)
    if tile.row < tile.rows:
        below = f"glue here: row {tile.row + 1}, column {tile.column}"
        _write(words, below, Box(area.x0, area.y0, area.x1, area.y0 + strip), upright=False)


def _write(words: Words, told: str, room: Box, *, upright: bool) -> None:
    words.put([Row(told, TEXT_MM)], room, room.middle, upright=upright)


# --- words beside the board ---------------------------------------------------------------------------------


def _number_grid(words: Words, template: Template) -> None:
    """How far each line of the grid is from the datum, at the lower and the left end of what is seen of it."""
    seen = both(words.room, template.whole)
    if seen is None:
        return
    for x in _hundreds(seen.x0, min(seen.x1, template.whole.x1 - 1)):
        room = Box(x + 0.5, seen.y0, x + 20, seen.y0 + 30)
        if held := both(room, words.room):
            words.put([Row(f"x {x}", TEXT_MM)], held, (held.x0, held.y0))
    for y in _hundreds(seen.y0, min(seen.y1, template.whole.y1 - 1)):
        room = Box(seen.x0, y + 0.5, seen.x0 + 30, y + 8)
        if held := both(room, words.room):
            words.put([Row(f"y {y}", TEXT_MM)], held, (held.x0, held.y0))


def _hundreds(low: float, high: float) -> range:
    return range(max(1, -int(-low // GRID_MM)) * GRID_MM, int(high) + 1, GRID_MM)


def _below(template: Template, tile: Tile, version: str) -> Iterator[Path | Text]:
    """What the page is and how it is used, below the window; at the right a map of all pages."""
    room, y = tile.leaf.words, tile.leaf.words.y1
    wide = room.size[0] - _MAP_MM - 3
    for head in (template.title, place(tile)):
        y -= _HEAD_MM * 0.65
        yield Text(text=_cut(head, wide), at=(room.x0, y), size=_HEAD_MM, bold=True, anchor="start")
        y -= _HEAD_MM * 0.65
    for number, line in enumerate(told(template, tile, version)):
        for row in wrapped(line, wide, bold=not number):
            y -= _LINE_MM / 2
            yield Text(text=row, at=(room.x0, y), anchor="start", bold=not number)
            y -= _LINE_MM / 2
    yield from _map(template, tile, Box(room.x1 - _MAP_MM, room.y0 + 4, room.x1 - 1, room.y1 - 1))


def place(tile: Tile) -> str:
    """Which of the pages it is."""
    pages = f"page {tile.number} of {tile.rows * tile.columns}"
    return f"row {tile.row} of {tile.rows} from above, column {tile.column} of {tile.columns}; {pages}"


def told(template: Template, tile: Tile, version: str) -> tuple[str, str, str]:
    """What is said below the window: how to print it, how to use it, and cautions with what it was made from."""
    board = template.board
    seen = "floor from above, right is forward" if board.kind == "floor" else "wall seen from inside, up is up"
    use = [f"Board {board.length_mm} x {board.width_mm}, {of_board(board)}; {seen}."]
    use.append(f"Datum: its lower left corner; grid every {GRID_MM} mm.")
    use += [GLUED] if tile.rows * tile.columns > 1 else []
    stays = any(shape.fill == "hatch" for shape in template.shapes if isinstance(shape, Path))
    use += [HONEST, HATCHED] if stays else [HONEST]
    return MEASURE, " ".join(use), " ".join([*CAUTIONS, f"Made from {version}."])


def _cut(line: str, wide: float) -> str:
    """A head cut short where it has no room."""
    cut = len(line)
    while cut > 1 and text_mm(line if cut == len(line) else f"{line[:cut]}…", _HEAD_MM, bold=True) > wide:
        cut -= 1
    return line if cut == len(line) else f"{line[:cut]}…"


def _map(template: Template, tile: Tile, room: Box) -> Iterator[Path | Text]:
    """The pages as they lie, this one black, others that have something to mark grey."""
    wide, high = tile.leaf.window.size
    scale = min(room.size[0] / (tile.columns * wide), room.size[1] / (tile.rows * high))
    step = wide * scale, high * scale
    left = room.x1 - tile.columns * step[0]
    for other in template.tiles:
        x, y = left + (other.column - 1) * step[0], room.y1 - other.row * step[1]
        fill: Fill = "solid" if other == tile else "tint" if template.marks(other) else "none"
        corners = _corners(Box(x, y, x + step[0], y + step[1]))
        yield Path(points=corners, layer="frame", weight=0.25, closed=True, fill=fill)
    yield Text(text="grey: to mark", at=(room.x1, room.y1 - tile.rows * step[1] - 2.5), anchor="end")


def _corners(box: Box) -> tuple[Point, ...]:
    return (box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)


def _around(path: Path) -> Box:
    xs, ys = zip(*path.points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))
