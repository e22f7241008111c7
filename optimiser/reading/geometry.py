"""Checks of what cannot be in one place, or in a place too small for it: zones, bays, boards, openings."""

from itertools import combinations, permutations

from optimiser.case import Bay, Board, Zone
from optimiser.reading.survey import Survey


def check_geometry(survey: Survey) -> None:
    """All that a tape cannot have measured."""
    _check_zones(survey)
    _check_bays(survey)
    bays = {bay.name: bay for _, bay in survey.rows("bays", Bay)}
    for line, board in survey.rows("boards", Board):
        if board.bay in bays:
            _check_board(survey, line, board, bays[board.bay])
    for line, bay in survey.rows("bays", Bay):
        _check_opening(survey, line, bay)


def share_plan(one: Bay, other: Bay) -> bool:
    """Whether two bays lie over each other as seen from above; doubled, since ``x_mm`` and ``y_mm`` are middles."""
    return (
        2 * abs(one.x_mm - other.x_mm) < one.length_mm + other.length_mm
        and 2 * abs(one.y_mm - other.y_mm) < one.width_mm + other.width_mm
    )


def _check_zones(survey: Survey) -> None:
    for (first, one), (line, other) in combinations(survey.rows("zones", Zone), 2):
        if _share_roof(one, other):
            message = f"{other.name!r} lies over {one.name!r} of row {first}; expected zones beside each other"
            survey.note("zones", line, "x_mm", message)


def _share_roof(one: Zone, other: Zone) -> bool:
    return (
        one.x_mm < other.x_mm + other.length_mm
        and other.x_mm < one.x_mm + one.length_mm
        and one.y_mm < other.y_mm + other.width_mm
        and other.y_mm < one.y_mm + one.width_mm
    )


def _check_bays(survey: Survey) -> None:
    for (first, one), (line, other) in combinations(survey.rows("bays", Bay), 2):
        if one.z_mm is None or other.z_mm is None or not share_plan(one, other):
            continue  # one may be above the other: where that is not known, it is odd at most
        if one.z_mm < other.z_mm + other.height_mm and other.z_mm < one.z_mm + one.height_mm:
            message = f"{other.name!r} takes room that {one.name!r} of row {first} has; expected bays apart"
            survey.note("bays", line, "x_mm", message)


def faces(board: Board, bay: Bay) -> list[tuple[int, int, int]]:
    """Sizes of the sides of its bay that a board may be on, with the room before each; its face, where surveyed."""
    if board.kind == "floor":
        return [(bay.length_mm, bay.width_mm, bay.height_mm)]
    along, across = ((x, bay.height_mm, y) for x, y in permutations((bay.length_mm, bay.width_mm)))
    return {"left": [along], "right": [along], "front": [across], "rear": [across]}.get(
        board.face or "", [along, across]
    )


def lies_in(board: Board, bay: Bay) -> bool:
    """Whether a board and the free space before it are no larger than its bay has, wherever on a face it is."""
    return any(all(mine <= room for mine, room in zip(_size(board), face, strict=True)) for face in faces(board, bay))


def passes_sides(bay: Bay) -> bool:
    """Whether the opening is no larger than the largest side of the bay."""
    return not _beyond_sides(bay)


def _size(board: Board) -> tuple[int, int, int]:
    return board.length_mm, board.width_mm, board.depth_mm


def _check_board(survey: Survey, line: int, board: Board, bay: Bay) -> None:
    if not lies_in(board, bay):
        long, wide, deep = _size(board)
        rooms = [f"{x} x {y} with {z} mm before it" for x, y, z in dict.fromkeys(faces(board, bay))]
        column, most = _too_large(_size(board), faces(board, bay))
        message = f"{board.place!r} is {long} x {wide} with {deep} mm before it; expected {most} ({' or '.join(rooms)})"
        survey.note("boards", line, column, message)


def _too_large(size: tuple[int, int, int], sides: list[tuple[int, int, int]]) -> tuple[str, str]:
    """The first measure that no side has room for, else the depth: each is on one side, not all on the same."""
    for k, column in enumerate(("length_mm", "width_mm", "depth_mm")):
        most = max(side[k] for side in sides)
        if size[k] > most:
            return column, f"at most {most}, as its bay is"
    return "depth_mm", "what one side of its bay has room for"


def _check_opening(survey: Survey, line: int, bay: Bay) -> None:
    for column, most in _beyond_sides(bay).items():
        message = f"{getattr(bay, column)} is more than {bay.name!r} has; expected at most {most} of its largest side"
        survey.note("bays", line, column, message)


def _beyond_sides(bay: Bay) -> dict[str, int]:
    """Measures of the opening larger than the bay's largest side, and what that has."""
    *_, second, largest = sorted((bay.length_mm, bay.width_mm, bay.height_mm))
    small, large = sorted(("opening_width_mm", "opening_length_mm"), key=lambda column: int(getattr(bay, column)))
    return {column: most for column, most in ((large, largest), (small, second)) if getattr(bay, column) > most}
