"""Checks of what is where on the faces of a bay: boards, and the holes that ways come in by."""

from collections.abc import Iterator
from itertools import combinations

from optimiser.case import Bay, Board, CableOpening, Way
from optimiser.physics.surfaces import face_size_mm
from optimiser.reading.geometry import lies_in
from optimiser.reading.survey import Survey
from optimiser.reading.wording import among

_WALLS = "front, rear, left or right"
_CORNER = ("face", "left_mm", "bottom_mm")

Span = tuple[int, int, int, int]  # left, bottom, right, top of what is on a face, doubled: a hole has a middle


def check_faces(survey: Survey) -> None:
    """All checks of boards and openings on the faces of their bays."""
    bays = {bay.name: bay for _, bay in survey.rows("bays", Bay)}
    for line, board in survey.rows("boards", Board):
        _check_corner(survey, line, board)
        if board.bay in bays:
            _check_on_face(survey, line, board, bays[board.bay])
    _check_boards_apart(survey)
    ways = {way.name: way for _, way in survey.rows("ways", Way)}
    _check_names(survey)
    for line, opening in survey.rows("cable_openings", CableOpening):
        if opening.way in ways:
            _check_end(survey, line, opening, ways[opening.way])
        bore = _bore(opening, ways)
        if opening.bay in bays and bore is not None:
            _check_hole(survey, line, opening, bays[opening.bay], bore)
    _check_holes_apart(survey, ways)


def _check_corner(survey: Survey, line: int, board: Board) -> None:
    """Face and corner go together, and what lies on the floor is a floor."""
    says = {column: getattr(board, column) for column in _CORNER}
    empty = [column for column, value in says.items() if value is None]
    if 0 < len(empty) < len(says):
        filled = next(column for column in says if column not in empty)
        message = f"empty cell though {filled} is {says[filled]}; expected all of {', '.join(_CORNER)}, or none"
        survey.note("boards", line, empty[0], message)
    if board.face is not None and not _suits(board):
        wanted = "floor" if board.kind == "floor" else _WALLS
        survey.note("boards", line, "face", f"{board.face!r} for kind {board.kind}; expected {wanted}")


def _suits(board: Board) -> bool:
    """Whether a floor is on the floor, and a wall is not."""
    return (board.face == "floor") == (board.kind == "floor")


def _check_on_face(survey: Survey, line: int, board: Board, bay: Bay) -> None:
    if board.corner is None or not _suits(board) or not lies_in(board, bay):
        return  # what is wrong with it is said elsewhere
    face, left, bottom = board.corner
    long, high, _ = face_size_mm(size=bay.inside, face=face)
    for column, at, size, room in (
        ("left_mm", left, board.length_mm, long),
        ("bottom_mm", bottom, board.width_mm, high),
    ):
        if at + size > room:
            message = f"{board.place!r} reaches {at + size} mm on the {face} of its bay, which has {room:g}"
            survey.note("boards", line, column, f"{message}; expected at most {room - size:g}")


def _check_boards_apart(survey: Survey) -> None:
    surveyed = [(line, board) for line, board in survey.rows("boards", Board) if board.corner and _suits(board)]
    for (first, one), (line, other) in combinations(surveyed, 2):
        if (one.bay, one.face) == (other.bay, other.face) and _share(_span_of_board(one), _span_of_board(other)):
            message = f"{other.place!r} overlaps {one.place!r} of row {first} on the {one.face} of their bay"
            survey.note("boards", line, "left_mm", f"{message}; expected boards beside each other")


def _span_of_board(board: Board) -> Span:
    left, bottom = board.left_mm or 0, board.bottom_mm or 0
    return 2 * left, 2 * bottom, 2 * (left + board.length_mm), 2 * (bottom + board.width_mm)


def _check_names(survey: Survey) -> None:
    """Openings name a bay and a way, and each pair once."""
    for column, key in (("bay", "bays"), ("way", "ways")):
        known = survey.names(key)
        for line, cell in survey.cells("cable_openings", column) or ():
            if known is not None and cell and cell not in known:
                survey.note("cable_openings", line, column, f"no {column} {cell!r}; expected {among(cell, known)}")
    first: dict[str, int] = {}
    for line, opening in survey.rows("cable_openings", CableOpening):
        other = first.setdefault(opening.place, line)
        if other != line:
            message = f"{opening.way!r} comes into {opening.bay!r} in row {other} too; expected each once"
            survey.note("cable_openings", line, "way", message)


def _check_end(survey: Survey, line: int, opening: CableOpening, way: Way) -> None:
    if opening.bay in (way.start, way.end):
        return
    bays = survey.names("bays")
    if bays is None or opening.bay not in bays:
        return
    ends = [end for end in (way.start, way.end) if end in bays]
    wanted = " or ".join(ends) or "a way that does: this one joins no bay"
    survey.note("cable_openings", line, "bay", f"{way.name!r} does not end in {opening.bay!r}; expected {wanted}")


def _bore(opening: CableOpening, ways: dict[str, Way]) -> int | None:
    """Of the hole; None where neither it nor its way can tell."""
    if opening.bore_mm is not None:
        return opening.bore_mm
    return ways[opening.way].bore_mm if opening.way in ways else None


def _check_hole(survey: Survey, line: int, opening: CableOpening, bay: Bay, bore: int) -> None:
    long, high, _ = face_size_mm(size=bay.inside, face=opening.face)
    for column, at, room in (("left_mm", opening.left_mm, long), ("bottom_mm", opening.bottom_mm, high)):
        least, most = -(-bore // 2), int(room - bore / 2)
        if not bore <= 2 * at <= 2 * room - bore:
            wanted = f"{least} to {most}" if least <= most else f"a bore of at most {room:g}, as the face is"
            message = f"{at} puts a hole of {bore} mm off the {opening.face} of {bay.name!r}; expected {wanted}"
            survey.note("cable_openings", line, column, message)


def _check_holes_apart(survey: Survey, ways: dict[str, Way]) -> None:
    for (first, one), (line, other) in combinations(_holes(survey, ways), 2):
        if (one[0].bay, one[0].face) == (other[0].bay, other[0].face) and _share(one[1], other[1]):
            message = f"the hole of {other[0].way!r} overlaps that of {one[0].way!r} of row {first}"
            survey.note("cable_openings", line, "left_mm", f"{message}; expected holes beside each other")


def _holes(survey: Survey, ways: dict[str, Way]) -> Iterator[tuple[int, tuple[CableOpening, Span]]]:
    """As squares: whoever drills two holes wants some wood between them."""
    for line, opening in survey.rows("cable_openings", CableOpening):
        bore = _bore(opening, ways)
        if bore is not None:
            x, y = 2 * opening.left_mm, 2 * opening.bottom_mm
            yield line, (opening, (x - bore, y - bore, x + bore, y + bore))


def _share(one: Span, other: Span) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
