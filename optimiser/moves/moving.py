"""A case and a catalogue with one value moved."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import reduce
from itertools import chain
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from optimiser.basis.vents import FRAME_MM
from optimiser.case import SPAN_COLUMNS, TABLES, Bay, Board, Case, LoadSpan, Scenario
from optimiser.catalogue import Catalogue
from optimiser.moves import values
from optimiser.moves.address import ITEMS, ROWS, Spot, find, of_load_row, row_name, rows_of, schemas, table_of
from optimiser.moves.move import Move, MoveProblem
from optimiser.moves.values import shown
from optimiser.parts import PARTS, Fuse, Holder, Part
from optimiser.physics.surfaces import face_size_mm
from optimiser.reading.brief import BriefText
from optimiser.reading.checks import check
from optimiser.reading.problems import Gathered
from optimiser.reading.sense import faults
from optimiser.reading.sheets import Row, Sheet
from optimiser.reading.survey import Survey

M = TypeVar("M", bound=BaseModel)

Change = tuple[str, str, str]

_MOVED = "moved for this run; "


@dataclass(frozen=True)
class Moved:
    """What a move makes. Values as they are written; ``also`` lists (address, before, after) of what followed."""

    case: Case
    catalogue: Catalogue
    address: str  # in full
    before: str
    after: str
    also: tuple[Change, ...] = ()


def moved(case: Case, catalogue: Catalogue, move: Move) -> Moved:
    """Make a move.

    Raises
    ------
    MoveProblem
        If there is no such value, it cannot have the new one, or that would break the case or catalogue.
    """
    spot = find(case, catalogue, move.address)
    full = Move(spot.address, move.change)
    if spot.table == "rule":
        found = _rule(case, catalogue, full, spot)
    elif spot.table == "part" or spot.table in PARTS:
        found = _parts(case, catalogue, full, spot)
    else:
        found = _of_case(case, catalogue, full, spot)
    faults = broken(found.case, found.catalogue, before=(case, catalogue))
    if faults:
        raise MoveProblem(f"{full}: {faults[0]}")
    return found


def _new(owner: M, column: str, move: Move, *, alone: bool = True) -> M:
    """The owner with its column moved, checked by its type.

    By itself it goes the whole way or not at all; among all of its file as far as its range lets it.
    """
    old = getattr(owner, column)
    schema = values.range_of(schemas(type(owner))[column], column, move)
    if column in values.NONE_AT_ZERO and old == 0 and (move.relative or not alone):
        if alone:
            raise MoveProblem(f"{move}: 0 stands for none there; expected a value, as {move.address}=100")
        return owner
    value = values.changed(schema, old, move)
    value = values.at_end(schema, old, value) if move.relative and not alone else value
    if not values.allows(schema, value):
        raise values.refused(move, schema, value)
    try:
        return type(owner).model_validate(dict(owner) | {column: value})
    except ValidationError:
        raise values.refused(move, schema, value) from None


# --- the case ----------------------------------------------------------------------------------------


def put(case: Case, address: str, value: object) -> Case:
    """The case with a value put where an address in full says, and nothing looked at: see `ladder.py`."""
    table, _, rest = address.partition(".")
    row, _, column = rest.rpartition(".")
    spot = Spot(table, row, column)
    old = owner(case, spot)
    return _rows_with(case, spot, old, old.model_copy(update={column: value}))


def _of_case(case: Case, catalogue: Catalogue, move: Move, spot: Spot) -> Moved:
    if spot.table == "load" and spot.column in SPAN_COLUMNS and spot.row in case.spans_of:
        return _every_span(case, catalogue, move, spot)
    old = owner(case, spot)
    new = _new(old, spot.column, move)
    also: tuple[Change, ...] = ()
    if isinstance(new, Scenario):
        new, also = _other_end(new, spot.column)
    found = _with(case, catalogue, spot, old, new)
    boards: tuple[Board, ...] = found.boards
    if isinstance(old, Bay) and isinstance(new, Bay):
        boards, also = follow(case.boards, old, new)
    elif isinstance(new, Board) and move.relative:
        boards, also = give_way(found.boards, new, case.bay_of[new.bay])
    before, after = (values.shown(getattr(row, spot.column)) for row in (old, new))
    return Moved(replace(found, boards=boards) if also else found, catalogue, spot.address, before, after, also)


def _every_span(case: Case, catalogue: Catalogue, move: Move, spot: Spot) -> Moved:
    """All spans of a load, each by as much or each to the same value, all the way or not at all."""
    olds = case.spans_of[spot.row]
    news = [_new(old, spot.column, move) for old in olds]
    before, after = (values.shown_all([getattr(span, spot.column) for span in spans]) for spans in (olds, news))
    return Moved(reduce(_with_span, news, case), catalogue, spot.address, before, after)


def _with_span(case: Case, new: LoadSpan) -> Case:
    """The first span of a load stands in its own row."""
    if new.number == 1:
        loads = (load.model_copy(update=new.own) if load.name == new.load else load for load in case.loads)
        return replace(case, loads=tuple(loads))
    return replace(case, load_spans=tuple(new if span.name == new.name else span for span in case.load_spans))


def _other_end(new: Scenario, column: str) -> tuple[Scenario, tuple[Change, ...]]:
    """The other end of a window that was not there, an hour from the one that was set: both can be, one by one."""
    window, _, end = column.removesuffix("_h").rpartition("_")
    other = f"{window}_{'to' if end == 'from' else 'from'}_h"
    if getattr(new, other, 0) is not None:
        return new, ()
    follows = (getattr(new, column) + (1 if end == "from" else -1)) % 24
    change = (f"scenario.{new.name}.{other}", values.NOTHING, values.shown(follows))
    return new.model_copy(update={other: follows}), (change,)


def owner(case: Case, spot: Spot) -> BaseModel:
    """The row or table of the case that a value stands in."""
    return rows_of(case, spot.table)[spot.row] if spot.row else table_of(case, spot.table)


def _with(case: Case, catalogue: Catalogue, spot: Spot, old: BaseModel, new: BaseModel) -> Case:
    made = _rows_with(case, spot, old, new)
    chosen = catalogue.rule_sets.get(made.brief.rule_set) if spot.column == "rule_set" else None
    return replace(made, rules=chosen or made.rules)


def _rows_with(case: Case, spot: Spot, old: BaseModel, new: BaseModel) -> Case:
    if isinstance(new, LoadSpan):
        return _with_span(case, new)
    if spot.table in ROWS:
        key = ROWS[spot.table]
        rows: dict[str, Any] = {key: tuple(new if row is old else row for row in getattr(case, key))}
        return replace(case, **rows)
    if spot.table == "case":
        brief = case.brief.model_copy(update=dict(new))
    elif spot.table in ITEMS:
        key = ITEMS[spot.table]
        items = tuple(new if item is old else item for item in getattr(case.brief, key))
        brief = case.brief.model_copy(update={key: items})
    else:
        brief = case.brief.model_copy(update={spot.table: new})
    return replace(case, brief=brief)


def _rule(case: Case, catalogue: Catalogue, move: Move, spot: Spot) -> Moved:
    old = case.rules.figures[spot.column]
    before, after = values.figure_changed(spot.column, old.value, move)
    assert isinstance(after, (int, float))
    # Its source says the old value; nothing may show the new one as if it were quoted from there.
    source = old.source if old.source.startswith(_MOVED) else f"{_MOVED}{old.value:g} by {old.source}"
    rules = replace(
        case.rules, figures=case.rules.figures | {spot.column: replace(old, value=float(after), source=source)}
    )
    return Moved(replace(case, rules=rules), catalogue, spot.address, values.shown(before), values.shown(after))


# --- the catalogue -----------------------------------------------------------------------------------


def _parts(case: Case, catalogue: Catalogue, move: Move, spot: Spot) -> Moved:
    part = catalogue.find(spot.row) if spot.row else None
    olds = [part] if part else list(catalogue.of(spot.table).values())
    news = [_new(old, spot.column, move, alone=part is not None) for old in olds]
    if move.relative and news == olds:
        raise MoveProblem(f"{move}: none of the {spot.table} can go further; expected a change that one can take")
    tables: Mapping[str, Mapping[str, Part]] = catalogue.tables
    by_name = {new.name: new for new in news}
    tables = {key: {name: by_name.get(name, old) for name, old in parts.items()} for key, parts in tables.items()}
    before, after = (values.shown_all([getattr(part, spot.column) for part in parts]) for parts in (olds, news))
    return Moved(case, Catalogue(tables, catalogue.rule_sets), spot.address, before, after)


# --- whether a moved case and catalogue would still be read without a problem -------------------------


Inputs = tuple[Case, Catalogue]


def broken(case: Case, catalogue: Catalogue, *, before: Inputs) -> list[str]:
    """What is wrong now and was not before: address, what is wrong, what was expected."""
    old_case, old_catalogue = before
    faults = [*_case_faults(case, catalogue)]
    if faults:
        known = set(_case_faults(old_case, old_catalogue))
        faults = [fault for fault in faults if fault not in known]
    if catalogue is not old_catalogue:
        faults += _part_faults(catalogue)
    return faults


def _case_faults(case: Case, catalogue: Catalogue) -> Iterator[str]:
    """The checks that reading makes across a folder, made of objects."""
    problems = Gathered()
    rows = {key: getattr(case, key) for key in TABLES} | {"loads": case.load_rows}
    sheets = {
        key: Sheet(
            f"{key}.csv",
            tuple(TABLES[key].model_fields),
            tuple(Row(n, {name: str(cell) for name, cell in row}, row) for n, row in enumerate(rows[key], start=1)),
        )
        for key in TABLES
    }
    check(Survey(BriefText(case.brief, {}), sheets, catalogue, problems))
    singular = {f"{several}.csv": one for one, several in ROWS.items()}
    for problem in problems.sorted():
        where = problem.column
        if problem.file == "loads.csv":
            where = of_load_row(case, problem.row - 1, problem.column)
        elif problem.file in singular:
            table = singular[problem.file]
            row = rows[ROWS[table]][problem.row - 1]
            where = f"{table}.{row_name(row)}.{problem.column}"
        yield f"{where}: {problem.message}"


def _part_faults(catalogue: Catalogue) -> Iterator[str]:
    """What one column of a part says against another, and a fuse against its holder."""
    holders = catalogue.of("holders")
    for part in chain.from_iterable(parts.values() for parts in catalogue.tables.values()):
        for column, message in faults(part):
            yield f"part.{part.name}.{column}: {message}"
        if isinstance(part, Fuse):
            holder = holders.get(part.holder)
            if isinstance(holder, Holder) and part.rating_a > holder.rating_max_a:
                most = f"at most the {holder.rating_max_a:g} of its holder"
                yield f"part.{part.name}.rating_a: {part.rating_a:g} is too much; expected {most}"


# --- boards that go with their bay: a board that fills it, but for a frame, still does when the bay grows


_MEASURES = ("length_mm", "width_mm", "height_mm")

_FLOOR = {"length_mm": "length_mm", "width_mm": "width_mm", "depth_mm": "height_mm"}
_ALONG_LENGTH = {"length_mm": "length_mm", "width_mm": "height_mm", "depth_mm": "width_mm"}
_ALONG_WIDTH = {"length_mm": "width_mm", "width_mm": "height_mm", "depth_mm": "length_mm"}
_EITHER_WALL = {"width_mm": "height_mm"}  # all that is sure where nothing tells which wall it is on


def follow(boards: tuple[Board, ...], old: Bay, new: Bay) -> tuple[tuple[Board, ...], tuple[tuple[str, str, str], ...]]:
    """The boards after a bay has changed, and what changed of them: (address, before, after)."""
    changed = {measure for measure in _MEASURES if getattr(old, measure) != getattr(new, measure)}
    found, also = [], []
    for board in boards:
        followed = measures(board, old).items() if board.bay == old.name else ()
        update = {
            column: getattr(board, column) + getattr(new, measure) - getattr(old, measure)
            for column, measure in followed
            if measure in changed and _fills(getattr(board, column), getattr(old, measure))
        }
        also += [
            (f"board.{board.place}.{column}", shown(getattr(board, column)), shown(value))
            for column, value in update.items()
        ]
        found.append(board.model_copy(update=update))
    return tuple(found), tuple(also)


def measures(board: Board, bay: Bay) -> dict[str, str]:
    """Measure of the board -> measure of the bay in that direction."""
    if board.kind == "floor":
        return _FLOOR
    if board.face is not None:
        return _ALONG_LENGTH if board.face in ("left", "right") else _ALONG_WIDTH
    long, wide = _fills(board.length_mm, bay.length_mm), _fills(board.length_mm, bay.width_mm)
    if long == wide:  # its length does not tell: the free space in front of it may
        long, wide = _fills(board.depth_mm, bay.width_mm), _fills(board.depth_mm, bay.length_mm)
    if long == wide:
        return _EITHER_WALL
    return _ALONG_LENGTH if long else _ALONG_WIDTH


def give_way(boards: tuple[Board, ...], board: Board, bay: Bay) -> tuple[tuple[Board, ...], tuple[Change, ...]]:
    """The boards with one that grew beyond the end of its face moved back along it, as far as it has room to."""
    if board.corner is None:
        return boards, ()
    face, left, bottom = board.corner
    long, high, _ = face_size_mm(size=bay.inside, face=face)
    back = {
        "left_mm": (left, max(0, min(left, int(long) - board.length_mm))),
        "bottom_mm": (bottom, max(0, min(bottom, int(high) - board.width_mm))),
    }
    update = {column: new for column, (old, new) in back.items() if new != old}
    also = tuple(
        (f"board.{board.place}.{column}", shown(back[column][0]), shown(new)) for column, new in update.items()
    )
    return tuple(b.model_copy(update=update) if b is board else b for b in boards), also


def _fills(board_mm: int, bay_mm: int) -> bool:
    return 0 <= bay_mm - board_mm <= FRAME_MM
