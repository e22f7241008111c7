"""What a bay's sheet says in and beside bodies: size, mark and cross of each; and where runs come in."""

from itertools import product

import pytest

from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.entering import at_edge
from optimiser.drawing.bays.places import holes_in
from optimiser.drawing.bays.standing_bodies import MarkedBody, marked
from optimiser.drawing.shapes import Box, Path, Point
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit
from optimiser.fitted.numbers import run_numbers
from optimiser.fitted.wiring import routed_runs
from tests.drawing_bays_help import bay_in, boards_on, bodies_of, box_of, closed_on, texts_of, trailer
from tests.packing_help import SOLVED, WANTS, elevations, shipped

EACH = pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))


def bays_of(fit: Fit, sheets: list[Sheet]) -> list[tuple[Sheet, list[MarkedBody]]]:
    """Each sheet with what stands on the boards that it shows."""
    found = [(sheet, marked(fit, bay_in(sheet)), boards_on(sheet)) for sheet in sheets]
    return [(sheet, [body for body in bodies if body.body.board.name in on]) for sheet, bodies, on in found]


def crosses(sheet: Sheet) -> dict[Point, list[Box]]:
    """Middle -> the two short lines through it."""
    found = dict[Point, list[Box]]()
    for shape in sheet.shapes:
        if isinstance(shape, Path) and shape.layer == "symbol" and shape.weight == 0.18:
            box = box_of(shape)
            found.setdefault((round(box.middle[0], 3), round(box.middle[1], 3)), []).append(box)
    return found


def _size(body: MarkedBody) -> str:
    foot = body.body.foot
    return f"{foot.length_mm} x {foot.width_mm}, d {foot.depth_mm}"


def _says_its_size(sheet: Sheet, body: MarkedBody) -> bool:
    """Beside it with a leader, or within one of the bodies of this size: in one line or in two."""
    if f"{body.mark} {body.name}, {_size(body)}" in [text.text for text in texts_of(sheet)]:
        return True
    there = [box for box in bodies_of(sheet) if box.size == pytest.approx(body.box.size)]
    within = [[text for text in texts_of(sheet) if box.holds(text.box(sheet.scale))] for box in there]
    told = [" ".join(text.text for text in texts) for texts in within]
    return any(_size(body) in said and said.startswith(body.mark) for said in told)


@EACH
def test_each_body_says_its_size_and_has_a_cross_that_no_text_covers(name: str, want: str) -> None:
    for sheet, bodies in bays_of(shipped(name, want), elevations(name, want)):
        found = crosses(sheet)
        assert len(found) == len(bodies) and all(len(lines) == 2 for lines in found.values())
        assert {(round(x, 3), round(y, 3)) for x, y in (box.middle for box in bodies_of(sheet))} == set(found)
        covered = [box for lines in found.values() for box in lines for text in sheet.texts() if text.box.meets(box)]
        assert covered == []
        for body in bodies:
            assert _says_its_size(sheet, body), body.key


def test_bodies_made_by_hand_say_their_size_too() -> None:
    """One that stays among them."""
    for sheet, bodies in bays_of(trailer(), bay_elevations(trailer())):
        assert all(_says_its_size(sheet, body) for body in bodies)
        assert sheet.clashes() == []


# --- entries -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("face", "other", "place", "seen"),
    [
        # a box of 600 x 400 x 300; who looks at its left wall sees the rear wall at the left
        ("left", "rear", (100, 50), (0, 50)),
        ("left", "front", (100, 50), (600, 50)),
        ("left", "floor", (150, 20), (150, 0)),
        ("left", "ceiling", (150, 20), (150, 300)),
        ("right", "rear", (100, 50), (600, 50)),
        ("right", "floor", (150, 20), (450, 0)),
        ("front", "floor", (150, 20), (380, 0)),
        ("floor", "left", (150, 20), (150, 400)),
        ("floor", "front", (100, 50), (600, 300)),
        ("left", "right", (100, 50), None),
        ("left", "left", (100, 50), None),
    ],
)
def test_a_place_of_the_face_beyond_an_edge(face: str, other: str, place: Point, seen: Point | None) -> None:
    """The front wall's left is the left of the vehicle: 100 from there is 300 from the right wall."""
    left, bottom = place
    assert at_edge(size=(600, 400, 300), face=face, other=other, left_mm=left, bottom_mm=bottom) == seen


@EACH
def test_runs_that_come_in_are_told_at_their_arrow(name: str, want: str) -> None:
    """Of each opening in the face of a board that is drawn, or in one beside it; none of an opposite face."""
    fit = shipped(name, want)
    numbers, laid = run_numbers(fit), routed_runs(fit)
    for sheet, bodies in bays_of(fit, elevations(name, want)):
        bay = bay_in(sheet)
        told = " | ".join(text.text for text in texts_of(sheet))
        faces = {body.body.board.face for body in bodies}
        arrows = [path for path in closed_on(sheet, "dimension") if path.fill == "solid"]
        seen = 0
        for hole in holes_in(fit, bay):
            by = [number for run, number in numbers.items() if hole.opening.way in (w.name for w in laid[run].ways)]
            beside = {face for face in faces if face and _edge(fit, bay, face, hole.opening.way)}
            if by and (beside or hole.opening.face in faces):
                assert f"Ø{hole.bore_mm}: {', '.join(by)}" in told
                seen += 1
        assert len(arrows) >= seen


def _edge(fit: Fit, bay: str, face: str, way: str) -> bool:
    it = fit.case.opening_of[bay, way]
    inside = fit.case.bay_of[bay].inside
    return at_edge(size=inside, face=face, other=it.face, left_mm=it.left_mm, bottom_mm=it.bottom_mm) is not None
