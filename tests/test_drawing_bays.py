"""Bay elevations: what is drawn is what the audit says stands there, once, and it can be read."""

from dataclasses import replace
from io import StringIO

import numpy as np
import pytest
from ezdxf.entities.dimension import Dimension as Dimensioned
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.auditing.finding import checked
from optimiser.builds import FittedVent
from optimiser.cautions import CAUTIONS
from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.dxf import to_dxf
from optimiser.drawing.shapes import Box, Dimension
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit
from optimiser.fitted.numbers import numbered
from optimiser.fitted.places import Standing, standing
from optimiser.fixings import BAY_DATUM, BOARD_DATUM, Fixing, Kind, fixings
from tests import handmade
from tests.drawing_bays_help import bay_in, boards_on, bodies_of, box_of, closed_on, texts_of, trailer, words_of
from tests.packing_help import SOLVED, WANTS, elevations, findings, shipped

BUILDS = [(name, want) for name in SOLVED for want in WANTS]


def _shown(name: str, want: str) -> list[Standing]:
    """What stands in bays that have a sheet."""
    bays = {bay_in(sheet) for sheet in elevations(name, want)}
    return [body for body in standing(shipped(name, want)) if body.board.bay in bays]


def _outlines(sheet: Sheet, boards: int) -> list[Box]:
    """The first views are the boards."""
    return [box_of(path) for path in closed_on(sheet, "outline") if path.dash == "solid"][:boards]


def _hatching(sheet: Sheet) -> list[Box]:
    return [box_of(path) for path in closed_on(sheet, "clearance") if path.fill == "hatch"]


def _of(fit: Fit, sheet: Sheet) -> dict[str, list[Standing]]:
    """Board -> what stands on it, for the boards of a sheet, in the survey's order."""
    bay, on = bay_in(sheet), boards_on(sheet)
    everything = standing(fit)
    found = {b.place: [x for x in everything if x.board == b] for b in fit.case.boards if b.bay == bay and b.name in on}
    through = {hole.place for hole in fixings(fit) if hole.kind == "pass_through"}
    return {place: there for place, there in found.items() if there or place in through}


def _shifted(rect: Box, origin: Box) -> tuple[float, ...]:
    values = (rect.x0 - origin.x0, rect.y0 - origin.y0, rect.x1 - origin.x0, rect.y1 - origin.y0)
    return tuple(round(value, 6) for value in values)


def _corners(rect: object) -> tuple[float, ...]:
    return tuple(float(getattr(rect, name)) for name in ("x0", "y0", "x1", "y1"))


# --- shipped builds --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_no_text_covers_another(name: str, want: str) -> None:
    for sheet in elevations(name, want):
        assert sheet.clashes() == []


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_fits_a4_or_a3_across(name: str, want: str) -> None:
    for sheet in elevations(name, want):
        assert sheet.fits and sheet.paper in ("wide", "large")


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_every_body_is_drawn_once_where_the_audit_has_it(name: str, want: str) -> None:
    fit, drawn = shipped(name, want), 0
    for sheet in elevations(name, want):
        of, bodies = _of(fit, sheet), bodies_of(sheet)
        outlines = _outlines(sheet, len(of))
        for outline, there in zip(outlines, of.values(), strict=True):
            board = there[0].board if there else None
            assert board is None or outline.size == (board.length_mm, board.width_mm)
            ours = [_shifted(body, outline) for body in bodies if outline.holds(body)]
            assert sorted(ours) == sorted(_corners(body.rect) for body in there)
            drawn += len(ours)
        assert not of or outlines[0].x0 == outlines[0].y0 == 0  # the first board's datum is the drawing's
    assert drawn == len(_shown(name, want))


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_only_bays_that_nobody_works_on_have_no_sheet(name: str, want: str) -> None:
    """The clinic's locker with the water pump. Through the van's seat base the alternator feed goes."""
    bays, drawn = ({body.board.bay for body in found} for found in (standing(shipped(name, want)), _shown(name, want)))
    left_out = bays - drawn

    assert left_out == ({"axle_locker"} if name == "travelling-clinic" else set())
    if name == "grey-month-van":
        (seat,) = [sheet for sheet in elevations(name, want) if sheet.key == "bay-seat_base"]
        run = numbered(shipped(name, want), "alternator_feed").replace("_", " ")
        assert sum(f"{run} goes through" in note for note in seat.notes) == 2  # in and out


def test_a_bay_that_would_be_drawn_too_small_has_its_boards_on_a_sheet_at_a_larger_scale() -> None:
    """The van's panel is 1050 x 650, and its switch 30 wide: 3 mm at 1:10, where 4 mm are readable, 6 mm at 1:5. A
    bay that needs no more than 1:5, or whose smallest body is 4 mm wide there, is not parted."""
    scales = {sheet.key: sheet.scale for name in SOLVED for sheet in elevations(name, "cheapest")}
    parted = {key: scale for key, scale in scales.items() if f"{key}-2" in scales}

    assert parted == {"bay-garage_wall": 5, "bay-desk_base": 5}
    assert scales["bay-galley_base"] == 5 and scales["bay-tall_cupboard"] == scales["bay-front_boot"] == 10
    for name in SOLVED:
        for sheet in elevations(name, "cheapest"):
            if sheet.key in parted:
                on = {body.board.name for body in _shown(name, "cheapest") if body.board.bay == bay_in(sheet)}
                assert boards_on(sheet) == on
            elif sheet.key.endswith("-2"):
                assert not boards_on(sheet) and "free stretch of a wall, as it can" in words_of(sheet)


def _nose(kind: str, *runs: str, vent: bool = False, body: bool = False) -> bool:
    """Whether the trailer's nose, where something stays, has a sheet: with these runs, a vent or the switch in it."""
    build, case = handmade.build(), handmade.case()
    (stays,) = case.existing
    fitted = [replace(f, board="nose.side", x_mm=0, y_mm=0) if body and f.slot == "switch" else f for f in build.fitted]
    made = replace(
        build,
        entries=tuple(entry for entry in build.entries if not entry.board),
        runs=tuple(run for run in build.runs if run.name in runs or run.name != "pass_aerial"),
        vents=(FittedVent("nose", build.vents[0].vent, 1),) if vent else (),
        fitted=tuple(fitted),
    )
    fit = trailer(made, replace(case, existing=(stays.model_copy(update={"kind": kind}),)))
    return "bay-nose" in [sheet.key for sheet in bay_elevations(fit)]


def test_a_bay_where_something_stays_has_a_sheet_with_the_first_thing_of_the_build() -> None:
    """A run through it, a vent, a body; and where what stays gives off gas."""
    assert not _nose("fixture")
    assert _nose("fixture", "pass_aerial") and _nose("fixture", vent=True) and _nose("fixture", body=True)
    assert _nose("lead_acid")


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_every_slot_is_named_once_in_a_key(name: str, want: str) -> None:
    fit = shipped(name, want)
    notes = [note for sheet in elevations(name, want) for note in sheet.notes]
    for body in _shown(name, want):
        heads = [note for note in notes if note.partition(":")[0].partition(" ")[2] == body.slot.replace("_", " ")]
        assert len(heads) == 1, body.slot
        foot, rect = body.foot, body.rect
        size = f"{foot.length_mm} x {foot.width_mm}, d {foot.depth_mm}, at {rect.x0}, {rect.y0}"
        assert f"{size}; clear {foot.clear_x_mm}, {foot.clear_y_mm}" in heads[0]
    for fitted in fit.build.fitted:
        line = next(
            note for note in notes if f"{fitted.slot.replace('_', ' ')}:" in note or f"{fitted.part} on" in note
        )
        assert fitted.part in line
        if f"{fitted.slot.replace('_', ' ')}:" in line:
            assert ("rotated 90°" in line) == fitted.rotated
            assert (f"stands on its {fitted.orientation}" in line) == (fitted.orientation != "flat")


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_every_mark_of_the_key_stands_in_or_beside_its_body(name: str, want: str) -> None:
    fit = shipped(name, want)
    for sheet in elevations(name, want):
        places = [body for there in _of(fit, sheet).values() for body in there]
        number = 0
        for note in sheet.notes:
            mark, _, rest = note.partition(":")[0].partition(" ")
            if mark.isdecimal():
                number += 1
                starts = (mark, f"{mark} {rest}", f"{mark}a", f"{mark}b")
                longer = (f"{mark} {rest}, ", f"{mark}a {rest}", f"{mark}b {rest}")
                assert any(text.text in starts or text.text.startswith(longer) for text in texts_of(sheet)), note
        assert number == len(places)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_dimensions_run_from_the_datum_each_value_once(name: str, want: str) -> None:
    fit, holes = shipped(name, want), fixings(shipped(name, want))
    for sheet in elevations(name, want):
        of = _of(fit, sheet)
        for outline, (place, there) in zip(_outlines(sheet, len(of)), of.items(), strict=True):
            middles = [(h.x_mm or 0, h.y_mm or 0) for h in holes if h.place == place and h.kind == "pass_through"]
            spots = [(body.rect.x0, body.rect.y0) for body in there] + middles
            board = fit.case.board_of[place]
            _, left, bottom = board.corner or ("", 0, 0)
            entering = [
                (o.left_mm - left, o.bottom_mm - bottom)
                for o in fit.case.cable_openings
                if (o.bay, o.face) == (board.bay, board.face)
            ]
            for axis, along, length in ((0, "x", board.length_mm), (1, "y", board.width_mm)):
                ours = [
                    shape for shape in sheet.shapes
                    if isinstance(shape, Dimension) and shape.along == along and outline.grown(1).holds(Box.around(
                        [Box(*shape.start, *shape.start), Box(*shape.end, *shape.end)]))
                ]  # fmt: skip
                edge = (outline.x0, outline.y0)[axis]
                assert all(shape.start[axis] == pytest.approx(edge) for shape in ours)
                values = sorted(round(shape.mm) for shape in ours)
                wanted = [*({spot[axis] for spot in spots} - {0}), length]
                # of a cable opening beside the board one dimension may lie outside it: see test_drawing_places.py
                assert values == sorted([*wanted, *({at[axis] for at in entering} & set(values) - set(wanted))])
                assert sorted(int(shape.text.text) for shape in ours) == values


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_hatching_is_the_space_bodies_want_and_covers_none(name: str, want: str) -> None:
    fit = shipped(name, want)
    for sheet in elevations(name, want):
        of, hatching = _of(fit, sheet), _hatching(sheet)
        for outline, there in zip(_outlines(sheet, len(of)), of.values(), strict=True):
            if there:
                ours = [_shifted(piece, outline) for piece in hatching if outline.holds(piece)]
                _check_hatching(there, ours, [h for h in fixings(fit) if h.place == there[0].board.place])


def _check_hatching(there: list[Standing], pieces: list[tuple[float, ...]], holes: list[Fixing]) -> None:
    """mm by mm: hatched once where a clearance reaches on the board and nothing stands."""
    board = there[0].board
    wanted = np.zeros((board.length_mm, board.width_mm), dtype=int)
    for body in there:
        x, y, rect = body.foot.clear_x_mm, body.foot.clear_y_mm, body.rect
        if x or y:
            wanted[max(rect.x0 - x, 0) : rect.x1 + x, max(rect.y0 - y, 0) : rect.y1 + y] = 1
    for body in there:
        wanted[body.rect.x0 : body.rect.x1, body.rect.y0 : body.rect.y1] = 0
    for hole in holes:
        if hole.kind == "pass_through" and hole.x_mm is not None and hole.y_mm is not None:
            half_x, half_y = hole.length_mm // 2, hole.width_mm // 2
            wanted[hole.x_mm - half_x : hole.x_mm + half_x, hole.y_mm - half_y : hole.y_mm + half_y] = 0
    drawn = np.zeros_like(wanted)
    for piece in pieces:
        x0, y0, x1, y1 = map(int, piece)
        drawn[x0:x1, y0:y1] += 1
    assert (drawn == wanted).all()


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_heat_and_mass_are_the_audits(name: str, want: str) -> None:
    sheets = {sheet.key: words_of(sheet) for sheet in elevations(name, want)}
    names = ("bay.heat", "bay.mass", "bay.vents", "bay.vent_place", "bay.hydrogen")
    told = [f for f in findings(name, want) if f.name in names]
    assert told
    for finding in told:
        (key,) = [key for key, said in sheets.items() if finding.sentence in said]
        assert key.split("-")[:2] == ["bay", finding.place]


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_cautions_datum_and_opening_stand_on_every_sheet(name: str, want: str) -> None:
    fit = shipped(name, want)
    for sheet in elevations(name, want):
        said, bay = words_of(sheet), fit.case.bay_of[bay_in(sheet)]
        assert all(caution in said for caution in CAUTIONS)
        assert "lower left corner (circle with cross)" in said
        assert f"an opening of {bay.opening_length_mm} x {bay.opening_width_mm};" in " ".join(sheet.notes)


@pytest.mark.parametrize(("name", "want"), BUILDS)
def test_dxf_reopened_has_the_same_bodies_dimensions_and_hatching(name: str, want: str) -> None:
    for sheet in elevations(name, want):
        document = read(StringIO(to_dxf(sheet)))
        assert not document.audit().has_errors
        space = document.modelspace()
        lines = [e for e in space if isinstance(e, LWPolyline) and e.dxf.layer in ("body", "obstacle")]
        corners = [list(line.vertices()) for line in lines]
        boxes = {tuple(np.round([*np.min(p, axis=0), *np.max(p, axis=0)], 3)) for p in corners}
        assert {tuple(np.round(_corners(box), 3)) for box in bodies_of(sheet)} <= boxes
        measured = sorted(round(float(e.get_measurement())) for e in space if isinstance(e, Dimensioned))
        assert measured == sorted(round(s.mm) for s in sheet.shapes if isinstance(s, Dimension))
        points = [e.dxf.text_midpoint for e in space if isinstance(e, Dimensioned)]
        texts = [s.text.box(sheet.scale).middle for s in sheet.shapes if isinstance(s, Dimension)]
        assert {(round(p.x), round(p.y)) for p in points} == {(round(x), round(y)) for x, y in texts}
        frames = [e for e in space if isinstance(e, LWPolyline) and e.dxf.layer == "clearance"]
        assert len(frames) == len(closed_on(sheet, "clearance")) - len(_hatching(sheet))
        assert len(space.query("HATCH[layer=='clearance']")) == len(_hatching(sheet))
        assert not any(box.meets(piece) for box in bodies_of(sheet) for piece in _hatching(sheet))


# --- by hand ---------------------------------------------------------------------------------------------


def test_one_sheet_for_each_bay_with_something_in_it() -> None:
    keys = [sheet.key for sheet in bay_elevations(trailer(), fixings=())]
    assert keys == ["bay-box", "bay-locker", "bay-nose"]
    bare = replace(handmade.case(), existing=())
    assert [sheet.key for sheet in bay_elevations(trailer(case=bare), fixings=())] == ["bay-box", "bay-locker"]
    bays = [bay_in(sheet) for sheet in bay_elevations(trailer(case=bare))]
    assert list(dict.fromkeys(bays)) == ["box", "locker", "nose"]


def test_without_findings_it_says_so() -> None:
    assert "no findings of the audit given" in words_of(bay_elevations(trailer(), fixings=())[0])
    assert "no findings of the audit given" not in words_of(elevations("tiny-trailer", "cheapest")[0])


def test_a_breach_is_called_one() -> None:
    found = [checked("bay.mass", "box", limit=5, actual=6)]
    assert "BREACH: parts in box weigh 6 kg, 5 kg allowed" in words_of(bay_elevations(trailer(), found, ())[0])


# --- holes -----------------------------------------------------------------------------------------------


def _hole(kind: Kind, name: str, place: str, x_mm: int | None, y_mm: int | None, note: str = "low: proposed") -> Fixing:
    datum = BAY_DATUM if kind == "vent" else BOARD_DATUM
    return Fixing(
        kind=kind, name=name, place=place, part="grille", x_mm=x_mm, y_mm=y_mm, length_mm=100, width_mm=60,
        datum=datum, surveyed=False, note=note,
    )  # fmt: skip


def test_vents_are_drawn_in_the_bay_from_the_side_from_its_floor_and_rear_end() -> None:
    vents = [
        _hole("vent", "V1-low", "locker", 120, 80),
        _hole("vent", "V1-high", "locker", 120, 580, "high: proposed"),
    ]
    locker = next(sheet for sheet in bay_elevations(trailer(), fixings=vents) if sheet.key == "bay-locker-2")
    side = next(box_of(p) for p in closed_on(locker, "outline") if p.dash == "solid" and box_of(p).size == (1000, 800)
                and not any(box_of(p).holds(body) for body in bodies_of(locker)))  # fmt: skip
    drawn = [_shifted(box_of(p), side) for p in closed_on(locker, "fixing")]
    assert drawn == [(70, 50, 170, 110), (70, 550, 170, 610)]
    heights = [s.mm for s in locker.shapes if isinstance(s, Dimension) and s.along == "y" and s.start[0] == side.x0]
    assert sorted(heights) == [80, 580]
    assert "V1-low, V1-high grille, 100 x 60: proposed" in words_of(locker)
    assert locker.clashes() == []


def test_vents_without_a_place_are_told_and_not_drawn() -> None:
    locker = bay_elevations(trailer(), fixings=[_hole("vent", "V1-low", "locker", None, None, "low: no place for it")])[
        1
    ]
    assert not closed_on(locker, "fixing")
    assert "V1-low grille, 100 x 60: no place for it" in words_of(locker)
    assert "free stretch of a wall" not in words_of(locker)


def test_a_pass_through_is_drawn_on_its_board_and_dimensioned_to_its_middle() -> None:
    hole = _hole("pass_through", "aerial", "nose.side", 100, 350, "proposed")
    nose = bay_elevations(trailer(), fixings=[hole])[2]
    assert [box_of(p) for p in closed_on(nose, "fixing")] == [Box(50, 320, 150, 380)]
    values = [s.mm for s in nose.shapes if isinstance(s, Dimension) and s.start == (0, 0)]
    assert sorted(values) == [100, 100, 200, 350]  # with the corner of the battery at 200, 100
    assert "aerial: pass-through grille, 100 x 60, middle at 100, 350; proposed" in words_of(nose)
    without = bay_elevations(trailer(), fixings=[replace(hole, x_mm=None, y_mm=None, note="no free place")])[2]
    assert not closed_on(without, "fixing")
    assert "aerial: pass-through grille, 100 x 60; no free place" in words_of(without)


def test_a_pass_through_is_not_hatched_over() -> None:
    """In the clearance at the right of the busbar, which ends at 150, 150."""
    hole = replace(_hole("pass_through", "aerial", "locker.wall", 160, 100), length_mm=20, width_mm=20)
    locker = bay_elevations(trailer(), fixings=[hole])[1]
    assert not any(piece.meets(Box(150, 90, 170, 110)) for piece in _hatching(locker))
    assert any(piece.meets(Box(150, 110, 170, 130)) for piece in _hatching(locker))


# --- other builds ----------------------------------------------------------------------------------------


@settings(max_examples=10, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 900), st.integers(0, 700), st.booleans()), min_size=len(handmade.build().fitted) - 2,
        max_size=len(handmade.build().fitted) - 2,
    )
)  # fmt: skip
def test_no_clash_and_no_hatched_body_wherever_bodies_stand(places: list[tuple[int, int, bool]]) -> None:
    """Even where they overlap, which the audit refuses."""
    build = handmade.build()
    moved = tuple(
        replace(fitted, x_mm=x, y_mm=y, rotated=rotated)
        for fitted, (x, y, rotated) in zip(build.fitted[2:], places, strict=True)
    )
    fit = trailer(replace(build, fitted=(*build.fitted[:2], *moved)))
    locker = bay_elevations(fit, fixings=())[1]
    assert locker.clashes() == []
    assert not any(body.meets(piece) for body in bodies_of(locker) for piece in _hatching(locker))
    assert all(Box(0, 0, 1000, 800).holds(piece) for piece in _hatching(locker))


def test_small_bodies_on_a_large_board_keep_marks_and_no_text_clashes() -> None:
    """A board three times as long and high: 1:20, where a holder is 1.5 mm wide."""
    case = handmade.case()
    boards = tuple(
        b.model_copy(update={"length_mm": 3000, "width_mm": 2400}) if b.bay == "locker" else b for b in case.boards
    )
    locker = bay_elevations(trailer(case=replace(case, boards=boards)), fixings=())[1]
    assert locker.scale > 10
    assert locker.clashes() == []
    assert any(text.text.startswith("10 fuse row, ") for text in texts_of(locker))
