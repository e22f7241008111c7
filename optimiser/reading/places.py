"""Checks of places: roof zones and their obstacles, bays and their boards, and what is existing on them."""

from itertools import combinations

from optimiser.case import Bay, Board, Existing, Obstacle, OldPart, Zone
from optimiser.connections import SLOTS
from optimiser.parts import Body, Holder, Panel
from optimiser.reading.survey import Survey
from optimiser.reading.wording import among, nearest

_ONE_EACH = tuple((slot.part, slot.words) for slot in SLOTS.values() if slot.stays)
"""What goes on working in a slot of its own, of which there is one; anything else that stays is a fixture."""


def check_places(survey: Survey) -> None:
    """All checks of places that what was read allows."""
    _check_roof_planes(survey)
    _check_obstacles(survey)
    _check_boards(survey)
    _check_kept(survey)
    _check_old(survey)


def _check_roof_planes(survey: Survey) -> None:
    """Zones of one roof plane may share a string, so they lie alike and share the entry of its cable."""
    first: dict[str, tuple[int, Zone]] = {}
    for line, zone in survey.rows("zones", Zone):
        first_line, other = first.setdefault(zone.roof_plane, (line, zone))
        for column in ("entry", "tilt_deg", "azimuth_deg"):
            mine, theirs = getattr(zone, column), getattr(other, column)
            if mine != theirs:
                message = (
                    f"{mine} differs within roof plane {zone.roof_plane!r}; expected {theirs} as in row {first_line}"
                )
                survey.note("zones", line, column, message)


def _check_obstacles(survey: Survey) -> None:
    names = survey.names("zones")
    zones = {zone.name: zone for _, zone in survey.rows("zones", Zone)}
    for line, obstacle in survey.rows("obstacles", Obstacle):
        if obstacle.zone is None:
            continue  # over the edges of zones, or beside them
        if names is not None and obstacle.zone not in names:
            survey.note("obstacles", line, "zone", f"no zone {obstacle.zone!r}; expected {among(obstacle.zone, names)}")
        zone = zones.get(obstacle.zone)
        if zone is None:
            continue
        for column, at, size, low, extent in (
            ("x_mm", obstacle.x_mm, obstacle.length_mm, zone.x_mm, zone.length_mm),
            ("y_mm", obstacle.y_mm, obstacle.width_mm, zone.y_mm, zone.width_mm),
        ):
            if at + size <= low or at >= low + extent:
                message = f"{at} lies off zone {zone.name!r}; expected above {low - size} and below {low + extent}"
                message += ", or no zone for what stands beside all of them"
                survey.note("obstacles", line, column, message)


def _check_boards(survey: Survey) -> None:
    names = survey.names("bays")
    for line, board in survey.rows("boards", Board):
        if names is not None and board.bay not in names:
            survey.note("boards", line, "bay", f"no bay {board.bay!r}; expected {among(board.bay, names)}")
    with_boards = survey.names("boards", "bay")
    for line, bay in survey.rows("bays", Bay):
        if with_boards is not None and bay.name not in with_boards:
            survey.note("bays", line, "name", f"bay {bay.name!r} has no board; expected at least one in boards.csv")


def _check_kept(survey: Survey) -> None:
    bays, boards = survey.cells("boards", "bay"), survey.cells("boards", "name")
    known = None
    if bays is not None and boards is not None:
        known = {f"{bay}.{name}" for (_, bay), (_, name) in zip(bays, boards, strict=True)}
    board_of = {board.place: board for _, board in survey.rows("boards", Board)}
    for line, row in survey.rows("existing", Existing):
        if known is not None and row.board not in known:
            message = f"no board {row.board!r}; expected bay.board, {among(row.board, known)}"
            survey.note("existing", line, "board", message)
        if row.board in board_of:
            _check_inside(survey, line, row, board_of[row.board])
        _check_part(survey, line, row)
        _check_lead_acid(survey, line, row)
    _check_slots(survey)
    for (line, row), (other_line, other) in combinations(survey.rows("existing", Existing), 2):
        if row.board == other.board and _overlap(row, other):
            message = f"{other.name!r} overlaps {row.name!r} of row {line}; expected places apart"
            survey.note("existing", other_line, "x_mm", message)


def _check_inside(survey: Survey, line: int, row: Existing, board: Board) -> None:
    for column, at, size, room in (
        ("x_mm", row.x_mm, row.length_mm, board.length_mm),
        ("y_mm", row.y_mm, row.width_mm, board.width_mm),
        ("depth_mm", 0, row.depth_mm, board.depth_mm),
    ):
        if at + size > room:
            message = f"{row.name!r} reaches {at + size} mm on {board.place}; expected at most {room}"
            survey.note("existing", line, column, message)


def _check_part(survey: Survey, line: int, row: Existing) -> None:
    if row.kind != "part":
        if row.part:
            survey.note(
                "existing", line, "part", f"{row.part!r} stands beside kind {row.kind}; expected nothing or kind part"
            )
    elif not row.part:
        survey.note("existing", line, "part", "empty cell; expected the catalogue name of the existing part")
    elif survey.catalogue is not None:
        part = survey.catalogue.find(row.part)
        if not isinstance(part, Body):
            what = "no part" if part is None else "nothing that stands in a bay is"
            bodies = [n for table in survey.catalogue.tables.values() for n, p in table.items() if isinstance(p, Body)]
            wanted = nearest(row.part, bodies) or "the catalogue name of a part that stands in a bay"
            survey.note("existing", line, "part", f"{what} {row.part!r}; expected {wanted}")
        elif not any(isinstance(part, kind) for kind, _ in _ONE_EACH):
            kinds = ", ".join(name for _, name in _ONE_EACH)
            message = f"{row.part!r} cannot go on working; expected one of {kinds}, or kind fixture with its heat_w"
            survey.note("existing", line, "part", message)


def _check_slots(survey: Survey) -> None:
    """Of the parts that go on working, one of a kind fills its slot; a second has none."""
    first: dict[str, int] = {}
    for line, row in survey.rows("existing", Existing):
        part = survey.catalogue.find(row.part) if survey.catalogue and row.kind == "part" else None
        kind = next((name for kind, name in _ONE_EACH if isinstance(part, kind)), "")
        if kind and first.setdefault(kind, line) != line:
            message = f"{row.part!r} is a second {kind} beside row {first[kind]}; expected one, the other as a fixture"
            survey.note("existing", line, "part", message)


def _check_old(survey: Survey) -> None:
    """What comes out weighs something, and is of one row a type where it may be fitted again."""
    first: dict[str, int] = {}
    for line, row in survey.rows("old_parts", OldPart):
        if not row.part and not row.mass_kg:
            survey.note("old_parts", line, "mass_kg", "0 without a part; expected what each weighs, above 0")
        if row.part and row.mass_kg:
            message = f"{row.mass_kg:g} beside part {row.part!r}, which knows its own; expected nothing"
            survey.note("old_parts", line, "mass_kg", message)
        if not row.part or survey.catalogue is None:
            continue
        part, slots = survey.catalogue.find(row.part), tuple(s.part for s in SLOTS.values() if not s.is_row)
        if part is None or not isinstance(part, (Panel, *slots)) or isinstance(part, Holder):
            fits = [n for t in survey.catalogue.tables.values() for n, p in t.items() if isinstance(p, (Panel, *slots))]
            wanted = nearest(row.part, fits) or "the catalogue name of a panel, or of a part with a slot of its own"
            survey.note(
                "old_parts", line, "part", f"{row.part!r} cannot be fitted again; expected {wanted}, or nothing"
            )
        if first.setdefault(row.part, line) != line:
            message = f"{row.part!r} stands in row {first[row.part]} too; expected one row with its count"
            survey.note("old_parts", line, "part", message)


def _check_lead_acid(survey: Survey, line: int, row: Existing) -> None:
    for column, value in (("cells", row.cells), ("capacity_ah", row.capacity_ah)):
        if row.kind == "lead_acid" and not value:
            survey.note("existing", line, column, "0 for a lead-acid battery; expected above 0")
        elif row.kind != "lead_acid" and value:
            survey.note(
                "existing", line, column, f"{value:g} for kind {row.kind}; expected nothing unless kind lead_acid"
            )


def _overlap(one: Existing, other: Existing) -> bool:
    return (
        one.x_mm < other.x_mm + other.length_mm
        and other.x_mm < one.x_mm + one.length_mm
        and one.y_mm < other.y_mm + other.width_mm
        and other.y_mm < one.y_mm + one.width_mm
    )
