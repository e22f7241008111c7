"""Vents and pass-throughs in the drawings of a bay: in a face, where the list of holes has them, and what is before."""

from dataclasses import replace
from functools import cache
from itertools import product

import pytest

from optimiser.basis import faces
from optimiser.drawing.bays.cut_outs import FREE_MM, CutOut, cut_out_notes, pass_throughs, vents
from optimiser.drawing.bays.in_space import solid_of
from optimiser.drawing.bays.isometric import isometric_bays
from optimiser.drawing.bays.places import holes_in
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.shapes import Path
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit
from optimiser.fixings import Fixing, fixings
from tests.drawing_bays_help import bay_in, texts_of, words_of
from tests.packing_help import SOLVED, WANTS, isometric, shipped

EACH = pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))


@cache
def sheets(name: str, want: str) -> dict[str, Sheet]:
    return {bay_in(sheet): sheet for sheet in isometric(name, want)}


def cut_in(fit: Fit, name: str, bored: tuple[Fixing, ...]) -> list[CutOut]:
    """Vents of a bay as its drawing has them."""
    bay = fit.case.bay_of[name]
    known = [(body, solid) for body in marked(fit, name) if (solid := solid_of(fit, body))]
    return vents(fit, bay, bored, known, holes_in(fit, name))


@EACH
def test_each_vent_and_pass_through_of_a_surveyed_bay_is_drawn_once(name: str, want: str) -> None:
    """Four edges of each, of its own length and height, in a face and labelled with it."""
    fit = shipped(name, want)
    seen = 0
    for bay, sheet in sheets(name, want).items():
        ours = [it for it in fixings(fit) if it.kind in ("vent", "pass_through") and it.place.split(".")[0] == bay]
        edges = [s for s in sheet.shapes if isinstance(s, Path) and s.layer == "fixing"]
        assert bool(edges) == bool(ours)
        for it in ours:
            named = f"{it.name.replace('_', ' ')}, {it.length_mm} x {it.width_mm}, "
            assert sum(text.text.startswith(named) for text in texts_of(sheet)) == 1
            seen += 1
    assert seen


@EACH
def test_vents_are_in_a_wall_within_its_edges_and_beside_its_boards(name: str, want: str) -> None:
    fit = shipped(name, want)
    for bay in fit.case.bays:
        for it in cut_in(fit, bay.name, fixings(fit)):
            assert it.patch.face in ("front", "rear", "left", "right")
            for board in (b for b in fit.case.boards if (b.bay, b.face) == (bay.name, it.patch.face)):
                on = faces.patch(fit.case, board.place, (0, board.length_mm), (0, board.width_mm))
                axis = 0 if it.patch.face in ("left", "right") else 1
                assert on and (it.patch.high[axis] <= on.low[axis] or on.high[axis] <= it.patch.low[axis])
            assert all(0 <= a <= b <= size for a, b, size in zip(it.patch.low, it.patch.high, bay.inside, strict=True))
            sides = [b - a for a, b in zip(it.patch.low, it.patch.high, strict=True)]
            assert sorted(sides) == [0, *sorted((it.fixing.length_mm, it.fixing.width_mm))]
            assert it.patch.high[2] - it.patch.low[2] == it.fixing.width_mm


def test_vents_by_hand() -> None:
    """The trailer's galley base is 450 x 600 x 420, its boards on the floor and on the front wall, 150 deep. Vents of
    202 x 60, their middles 131 from the end of what is free, 60 and 360 up. On the right wall, whose left is the front,
    150 go off: 450 - 150 - 131 = 169 from the rear. Nothing is before them: the shunt row stands just 50 off."""
    fit = shipped("tiny-trailer")
    low, high = cut_in(fit, "galley_base", fixings(fit))

    assert (low.patch.face, low.before, high.before) == ("right", (), ())
    assert (low.patch.low, low.patch.high) == ((169 - 101, 0, 30), (169 + 101, 0, 90))
    assert (high.patch.low, high.patch.high) == ((68, 0, 330), (270, 0, 390))


@pytest.mark.parametrize(("x_mm", "met"), [(FREE_MM, False), (FREE_MM - 1, True)])
def test_what_stands_nearer_than_50_mm_before_a_vent_is_said(x_mm: int, met: bool) -> None:
    """With every other wall boarded, the floor board moved so that its bodies begin just at 50 from the rear."""
    fit = shipped("tiny-trailer")
    first = min(body.box.x0 for body in marked(fit, "galley_base") if body.body.board.kind == "floor")
    at = next(body for body in marked(fit, "galley_base") if body.box.x0 == first and body.body.board.kind == "floor")
    (board,) = (b for b in fit.case.boards if b.place == "galley_base.floor")
    moved = board.model_copy(update={"left_mm": x_mm - int(first)})
    walls = [
        moved.model_copy(update={"name": face, "face": face, "kind": "wall", "left_mm": 0, "depth_mm": 1})
        for face in ("left", "right")
    ]
    boards = tuple(moved if b == board else b for b in fit.case.boards)
    loose = Fit(replace(fit.case, boards=(*boards, *walls)), fit.catalogue, fit.build)
    low_vents = tuple(
        replace(it, y_mm=40, x_mm=round(at.box.middle[1]) + 20, width_mm=60, length_mm=60)
        for it in fixings(fit)
        if it.name == "V1-low"
    )
    found = cut_in(loose, "galley_base", low_vents)
    told = " ".join(cut_out_notes(loose, fit.case.bay_of["galley_base"], found, low_vents))

    assert [it.patch.face for it in found] == ["rear"]
    assert (f"{at.mark} {at.name}" in found[0].before) is met
    assert (f"Less than 50 mm before these vents, so look before you cut: {at.mark} {at.name}" in told) is met


def test_a_pass_through_is_where_its_board_has_it() -> None:
    """Of the clinic's desk base, 550 across: 40 x 40, its middle 250, 580 of a board that begins 20, 40 on the right
    wall, whose left is the front: 1200 - 20 - 250 = 930 from the rear, 620 up."""
    fit = shipped("travelling-clinic")
    (it,) = pass_throughs(fit, fit.case.bay_of["desk_base"], fixings(fit))

    assert (it.patch.face, it.patch.low, it.patch.high) == ("right", (910, 0, 600), (950, 0, 640))
    assert it.named == "dish, 40 x 40, right wall"


def test_vents_are_beside_a_board_that_leaves_room() -> None:
    """The clinic's desk base has boards on both long walls, and of 550 between them 260 and 160 go off: 130. A vent
    of 133 goes beside the end, which ends 520 from the front: its middle 97 from there, whole mm rounded up."""
    fit = shipped("travelling-clinic")
    low, high = cut_in(fit, "desk_base", fixings(fit))

    assert (low.patch.face, high.patch.face) == ("right", "right")
    assert {(it.patch.low[0], it.patch.high[0]) for it in (low, high)} == {(680 - 97 - 66.5, 680 - 97 + 66.5)}


def test_vents_of_a_bay_whose_boards_are_not_surveyed_are_not_drawn() -> None:
    """Where a wall board's place is not surveyed, nobody knows which wall is free."""
    fit = shipped("tiny-trailer")
    unknown = {"face": None, "left_mm": None, "bottom_mm": None}
    boards = tuple(b.model_copy(update=unknown) if b.place == "galley_base.back" else b for b in fit.case.boards)
    loose = Fit(replace(fit.case, boards=boards), fit.catalogue, fit.build)
    sheet = next(sheet for sheet in isometric_bays(loose) if bay_in(sheet) == "galley_base")

    assert cut_in(loose, "galley_base", fixings(fit)) == []
    assert "Not drawn, as no place of theirs is known here: V1-low, V1-high." in words_of(sheet)
