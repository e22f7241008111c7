"""Where boards and cable openings are, as drawn and told: by hand, on the sheets of the survey and of the pack."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.builds import Fitted
from optimiser.drawing import Sheet
from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.legs import legs_in
from optimiser.drawing.bays.places import holes_in, on_face
from optimiser.drawing.shapes import Box, Circle, Dimension
from optimiser.drawing.shapes import Path as Line
from optimiser.drawing.survey.bays import bay_sheet
from optimiser.drawing.survey.marks import Marks
from optimiser.fitted import Fit, fit_of
from optimiser.fitted.places import standing
from optimiser.reading import Sketch, read_sketch, shipped_cases, shipped_catalogue
from tests.drawing_bays_help import bay_in, boards_on
from tests.packing_help import SOLVED, shipped


def sheet_of(fit: Fit, bay: str) -> Sheet:
    return next(sheet for sheet in bay_elevations(fit) if sheet.key == f"bay-{bay}")


def circles(sheet: Sheet) -> list[Circle]:
    return [shape for shape in sheet.shapes if isinstance(shape, Circle) and shape.layer == "cable"]


def told(sheet: Sheet) -> str:
    return " ".join([*sheet.notes, *(text.text for text in sheet.texts())])


def clinic_on_the_back() -> Fit:
    """With the regulators of its cupboard on the board opposite theirs, where the panel stub is; its drawing asks for
    no more than that there be bodies."""
    fit = shipped("travelling-clinic")
    moved = tuple(
        replace(f, board="tall_cupboard.back") if f.board == "tall_cupboard.side" else f for f in fit.build.fitted
    )
    return fit_of(fit.case, fit.catalogue, replace(fit.build, fitted=moved))


def loosened(fit: Fit) -> Fit:
    unknown = {"face": None, "left_mm": None, "bottom_mm": None}
    boards = tuple(board.model_copy(update=unknown) for board in fit.case.boards)
    build = fit.build
    return Fit(replace(fit.case, boards=boards, cable_openings=()), fit.catalogue, build)


@pytest.mark.parametrize(
    ("face", "words"),
    [
        ("left", "on the left wall, 40 from its left edge seen from inside, 20 up"),
        ("floor", "on the floor, 40 from the rear wall, 20 from the right wall"),
        ("ceiling", "on the ceiling, 40 from the rear wall, 20 from the right wall"),
    ],
)
def test_a_place_is_told_as_it_is_measured(face: str, words: str) -> None:
    assert on_face(face, 40, 20) == words


def test_an_opening_above_its_board_is_drawn_there_and_dimensioned() -> None:
    """The clinic's panel stub: 310 from the left edge, 1440 up; its board 15 and 20, so 295 and 1420 from its datum."""
    sheet = sheet_of(clinic_on_the_back(), "tall_cupboard")

    (circle,) = circles(sheet)
    assert (circle.centre, circle.radius) == ((295, 1420), 25)
    dimensions = {(shape.along, shape.mm) for shape in sheet.shapes if isinstance(shape, Dimension)}
    assert {("x", 295), ("y", 1420)} <= dimensions
    assert "panel stub, bore Ø50: R8" in told(sheet)
    assert "on the left wall, 15 from its left edge seen from inside, 20 up" in told(sheet)


def test_an_opening_before_the_datum_is_told_with_its_place() -> None:
    """20 left of the board and 10 below it."""
    fit = clinic_on_the_back()
    moved = tuple(
        o.model_copy(update={"left_mm": 25, "bottom_mm": 30, "bore_mm": 10}) if o.way == "panel_stub" else o
        for o in fit.case.cable_openings
    )
    boards = tuple(
        b.model_copy(update={"left_mm": 30, "bottom_mm": 40}) if b.place == "tall_cupboard.back" else b
        for b in fit.case.boards
    )
    sheet = sheet_of(
        Fit(replace(fit.case, cable_openings=moved, boards=boards), fit.catalogue, fit.build), "tall_cupboard"
    )
    assert "panel stub, bore Ø10 at -5, -10: R8" in told(sheet)
    assert sheet.clashes() == []


def test_lengths_from_an_opening_are_those_of_the_bay_opened_out() -> None:
    """The regulator is 120 x 110 at 395, 100 of a board 20, 15 on the left wall, 280 across, so from 415 on and 115 up;
    the opening at 0, 60, 60: 415 forward, 220 across and 55 up to its edge."""
    notes = told(sheet_of(shipped("tiny-trailer"), "side_locker"))
    assert (
        "side wall comes in on the rear wall, 60 from its left edge seen from inside, 60 up (middle), bore 50" in notes
    )
    assert "to the edge of what stands there" in notes and "none to cut by, see the cutting list" in notes
    assert "R3 regulator 1 to 1: 690 mm (b)" in notes and "R1 main goes through" in notes
    assert "not surveyed, where" not in notes.lower()


@pytest.mark.parametrize("name", SOLVED)
def test_no_cable_has_two_lengths_in_a_bay(name: str) -> None:
    """Each length told from an opening is that of the same letter on the bay opened out, and each of these is told."""
    fit, told_once = shipped(name), 0
    for bay in fit.case.bays:
        legs, ways = legs_in(fit, bay), {hole.opening.way for hole in holes_in(fit, bay.name)}
        known = {(leg.letter, str(leg.leg.mm)) for leg in legs}
        notes = " ".join(note for sheet in bay_elevations(fit) if bay_in(sheet) == bay.name for note in sheet.notes)
        found = {(letter, mm) for mm, letter in re.findall(r": (\d+) mm \(([a-z]+)\)", notes)}
        told_once += len(found)
        ends = {(leg.letter, str(leg.leg.mm)) for leg in legs if len(ways & set(leg.leg.ends)) == 1}
        assert ends == found <= known
        assert "at most" not in " ".join(n for n in notes.split(". ") if "Cable opening" in n)
    assert told_once > 2


def test_each_end_of_a_run_is_told_whether_its_board_is_surveyed_or_not() -> None:
    """Regulator 1 of the trailer: one core goes to the fuse row, put on the wall here, the other to what stands on the
    floor, which nobody surveyed; and with the wall not surveyed either both are said to be unknown."""
    fit = shipped("tiny-trailer")
    fitted = tuple(replace(f, board="galley_base.back") if f.slot == "fuse_row" else f for f in fit.build.fitted)
    for loose, surveyed in ((("galley_base.floor",), 1), (("galley_base.floor", "galley_base.back"), 0)):
        unknown = {"face": None, "left_mm": None, "bottom_mm": None}
        boards = tuple(b.model_copy(update=unknown) if b.place in loose else b for b in fit.case.boards)
        build = replace(fit.build, fitted=fitted)
        sheet = sheet_of(Fit(replace(fit.case, boards=boards), fit.catalogue, build), "galley_base")
        (note,) = (note for note in sheet.notes if note.startswith("Cable opening: side wall"))
        (words,) = re.findall(r"R3 regulator 1 (to [^;.]*)[;.]", note)
        ends = words.split(", ")

        assert len({end.split(":")[0] for end in ends}) == len(ends) == 2
        assert sum(bool(re.search(r": \d+ mm \([a-z]\)$", end)) for end in ends) == surveyed
        assert sum(end.endswith(": not surveyed") for end in ends) == 2 - surveyed


@pytest.mark.parametrize("name", SOLVED)
def test_what_is_not_surveyed_is_told_and_nothing_drawn_of_it(name: str) -> None:
    for sheet in bay_elevations(loosened(shipped(name))):
        assert circles(sheet) == [] and "at most" not in " ".join(n for n in sheet.notes if "Cable opening" in n)
        assert ("where in the bay is not surveyed" in told(sheet)) is bool(boards_on(sheet))
        assert sheet.clashes() == []


def test_bodies_of_two_boards_that_would_be_in_one_place_are_warned_of() -> None:
    """As no build that holds has it: where each body meets another is worked out in test_basis_faces."""

    def warned(fit: Fit) -> list[str]:
        return [n for n in sheet_of(fit, "galley_base").notes if "same room" in n or "stand nearer" in n]

    fit = shipped("tiny-trailer", "cheapest")
    assert warned(fit) == [] == warned(shipped("tiny-trailer", "lightest"))
    met = _crowded(fit)
    assert any("take the same room: move one" in note for note in warned(met))
    assert warned(loosened(met)) == []


def _crowded(fit: Fit) -> Fit:
    """With every body of the galley in the corner of its floor and its back wall, which is its front one."""
    size = {body.slot: body.rect for body in standing(fit)}

    def cornered(fitted: Fitted) -> Fitted:
        rect, board = size.get(fitted.slot), fit.case.board_of[fitted.board]
        if rect is None or board.bay != "galley_base":
            return fitted
        if board.kind == "wall":
            return replace(fitted, x_mm=0, y_mm=0)
        return replace(fitted, x_mm=board.length_mm - (rect.x1 - rect.x0), y_mm=board.width_mm - (rect.y1 - rect.y0))

    return fit_of(fit.case, fit.catalogue, replace(fit.build, fitted=tuple(map(cornered, fit.build.fitted))))


# --- the survey ------------------------------------------------------------------------------------------


def survey_of(name: str, folder: Path | None = None) -> Sketch:
    return read_sketch(folder or shipped_cases() / name, shipped_catalogue())


def test_the_survey_draws_each_face_with_its_boards_and_holes() -> None:
    """Views are side by side: a circle and a board are looked at from the corner of the face around them."""
    sketch = survey_of("tiny-trailer")
    bay = next(bay for bay in sketch.bays if bay.name == "side_locker")
    sheet = bay_sheet(sketch, bay, Marks([]))

    outlines = [s for s in sheet.shapes if isinstance(s, Line) and s.closed and s.layer == "outline"]
    faces = [Box(*outline.points[0], *outline.points[2]) for outline in outlines]

    def within(x: float, y: float) -> tuple[tuple[float, float], float, float]:
        (face,) = (f for f in faces if f.x0 <= x <= f.x1 and f.y0 <= y <= f.y1)
        return face.size, x - face.x0, y - face.y0

    assert {within(*circle.centre) for circle in circles(sheet)} == {
        ((600, 280), 540, 60),  # roof drop, in the ceiling, and the way under the floor
        ((280, 400), 60, 60),
        ((280, 400), 60, 250),
    }
    assert sorted(circle.radius for circle in circles(sheet)) == [12.5, 16, 25, 25]
    (board,) = (s for s in sheet.shapes if isinstance(s, Line) and s.closed and s.layer == "body")
    assert within(*board.points[0]) == ((600, 400), 20, 15)
    assert within(*board.points[2]) == ((600, 400), 580, 385)


def test_the_survey_says_which_boards_and_ways_have_no_place() -> None:
    sketch = survey_of("tiny-trailer")
    unknown = {"face": None, "left_mm": None, "bottom_mm": None}
    boards = tuple(b.model_copy(update=unknown) if b.name == "back" else b for b in sketch.boards)
    loose = replace(sketch, boards=boards, cable_openings=sketch.cable_openings[:2])
    bay = next(bay for bay in sketch.bays if bay.name == "side_locker")
    notes = bay_sheet(loose, bay, Marks([])).notes

    assert "Where these boards are in the bay is not surveyed, each is drawn by itself: back." in notes
    assert "Where these ways come in is not surveyed: under_floor, panel_stub." in notes
    assert not any("not surveyed" in note for note in bay_sheet(sketch, bay, Marks([])).notes)
