"""Whole bays in three dimensions: all of each body and cable is there once, as on the bay opened out."""

from dataclasses import replace
from functools import cache
from io import StringIO
from itertools import combinations, product
from math import dist
from typing import Any

import pytest
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.filemanagement import read

from optimiser.drawing import to_dxf
from optimiser.drawing.bays.in_space import solid_of
from optimiser.drawing.bays.isometric import RING_MM, isometric_bays
from optimiser.drawing.bays.legs import legs_in
from optimiser.drawing.bays.places import holes_in
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.isometry import VIEWS
from optimiser.drawing.shapes import Box, Path
from optimiser.drawing.sheet import Sheet
from optimiser.fitted import Fit
from tests.asking import world
from tests.drawing_bays_help import texts_of, words_of
from tests.packing_help import SOLVED, WANTS, isometric, opened, shipped
from tests.schedules_help import fit_made

EACH = pytest.mark.parametrize(("name", "want"), list(product(SOLVED, WANTS)))


@cache
def sheets(name: str, want: str) -> dict[str, Sheet]:
    """Bay -> its sheet."""
    return {sheet.key.removeprefix("isometric-"): sheet for sheet in isometric(name, want)}


def lines_mm(sheet: Sheet, *layers: str, dashes: tuple[str, ...] = ("solid", "dashed")) -> float:
    """All lines of layers in mm of the vehicle: along the edges of the bay they are as long as they are drawn."""
    paths = [s for s in sheet.shapes if isinstance(s, Path) and s.layer in layers and s.dash in dashes]
    return sum(dist(*path.points) for path in paths if path.weight != RING_MM)


def changed(fit: Fit, bay: str, board: str | None) -> Fit:
    """With nobody knowing where the boards of a bay are, or one of them; then nor where ways come in."""
    unknown = {"face": None, "left_mm": None, "bottom_mm": None}
    boards = tuple(
        b.model_copy(update=unknown) if b.bay == bay and board in (None, b.name) else b for b in fit.case.boards
    )
    openings = fit.case.cable_openings if board else tuple(o for o in fit.case.cable_openings if o.bay != bay)
    return Fit(replace(fit.case, boards=boards, cable_openings=openings), fit.catalogue, fit.build)


@EACH
def test_nothing_covers_anything_and_it_goes_on_its_paper(name: str, want: str) -> None:
    for sheet in sheets(name, want).values():
        assert sheet.clashes() == []
        assert sheet.fits
        assert sheet.scale in (5, 10, 20)


@EACH
def test_labels_stand_so_far_apart_that_two_do_not_read_as_one(name: str, want: str) -> None:
    """1.5 mm of paper at least from each to the next; notes below have lines as near each other as they like."""
    for sheet in sheets(name, want).values():
        feet = {foot for _, foot in sheet.leaders}
        boxes = [text.box for text in sheet.texts()]
        labels = [box for box in boxes if any(box.grown(0.01).holds(Box(*foot, *foot)) for foot in feet)]
        assert len(labels) > 2 and len(labels) == len(sheet.leaders)
        assert all(not one.grown(1.49 * sheet.scale).meets(other) for one, other in combinations(labels, 2))


@EACH
def test_bays_opened_out_have_a_sheet_with_the_same_letters(name: str, want: str) -> None:
    """What stands bold on a bay opened out, and on its crowded faces, are the letters at its cables."""
    letters_of = dict[str, set[str]]()
    for sheet in opened(name, want):
        bay, _, _ = sheet.key.removeprefix("opened-").partition("-")
        letters_of.setdefault(bay, set()).update(text.text for text in texts_of(sheet) if text.bold)
    assert letters_of.keys() <= sheets(name, want).keys()
    for bay, letters in letters_of.items():
        here = [text.text for text in texts_of(sheets(name, want)[bay]) if text.bold]
        assert sorted(letters) == sorted(here) != []


@EACH
def test_nine_edges_of_each_body_are_drawn_at_its_own_depth(name: str, want: str) -> None:
    """Seen or behind another, each once: of length, width and depth without clearance three each."""
    fit = shipped(name, want)
    for bay, sheet in sheets(name, want).items():
        wanted = 0.0
        for body in marked(fit, bay):
            foot = body.body.foot
            wanted += 3 * (foot.length_mm + foot.width_mm + foot.depth_mm - foot.clear_z_mm)
            assert f"{body.mark} {body.name}" in [text.text for text in texts_of(sheet)]
        assert lines_mm(sheet, "body", "obstacle") == pytest.approx(wanted)


@EACH
def test_cables_are_as_long_as_they_were_calculated_and_cad_has_the_same_lines(name: str, want: str) -> None:
    """A leg is rounded up to whole mm."""
    fit = shipped(name, want)
    for bay, sheet in sheets(name, want).items():
        legs = legs_in(fit, fit.case.bay_of[bay])
        assert lines_mm(sheet, "cable") == pytest.approx(sum(leg.leg.mm for leg in legs), abs=len(legs) + 1e-6)
        space = read(StringIO(to_dxf(sheet))).modelspace()
        there = [line for line in space if isinstance(line, LWPolyline) and line.dxf.layer in ("cable", "body")]
        drawn = [s for s in sheet.shapes if isinstance(s, Path) and s.layer in ("cable", "body")]
        assert len(there) == len(drawn)


@EACH
def test_openings_say_their_bore_their_face_and_what_comes_in(name: str, want: str) -> None:
    fit = shipped(name, want)
    for bay, sheet in sheets(name, want).items():
        told = [text.text for text in texts_of(sheet)]
        holes = holes_in(fit, bay)
        rings = [s for s in sheet.shapes if isinstance(s, Path) and s.layer == "cable" and s.weight == RING_MM]
        assert sum(len(ring.points) - 1 for ring in rings) == 36 * len(holes)
        for hole in holes:
            runs = f": {', '.join(hole.runs)}" if hole.runs else ""
            face = hole.opening.face + (" wall" if hole.opening.face not in ("floor", "ceiling") else "")
            assert f"{hole.opening.way.replace('_', ' ')}, bore Ø{hole.bore_mm}, {face}{runs}" in told


def test_a_body_on_a_wall_stands_as_far_into_its_bay_as_it_is_deep() -> None:
    """The trailer's regulator is 120 x 110 at 390, 105 of a board 20, 15 on the left wall of a bay 280 wide. It takes
    65, 20 of that the clearance before it."""
    fit = shipped("tiny-trailer")
    regulator = next(body for body in marked(fit, "side_locker") if body.body.slot == "regulator_1")
    assert solid_of(fit, regulator) == ((410, 280 - 45, 120), (530, 280, 230))


def test_a_hole_behind_a_body_is_dashed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of three in the clinic's desk, seen from behind and from the right alone, one is in part behind the mains
    charger, here moved to the right wall in place of a regulator.

    It ends 857 from the rear, on the right wall; to whoever looks a line from x, y on the floor comes over that wall
    at x - y, and high enough to meet it. The desk leg's middle is at 1100 - 225 = 875; of its ring of 30 that part
    meets it where 875 + 30 (cos - sin) < 857: 65 degrees to either side of 135, 12 of its 36 corners.
    """
    fit = shipped("travelling-clinic", "lightest")
    places: dict[str, dict[str, Any]] = {
        "mains_charger": {"board": "desk_base.end", "x_mm": 323, "y_mm": 104},
        "regulator_1": {"board": "desk_base.back", "x_mm": 379, "y_mm": 300},
    }
    fitted = [replace(it, **places.get(it.slot, {})) for it in fit.build.fitted]
    moved = Fit(fit.case, fit.catalogue, replace(fit.build, fitted=tuple(fitted)))
    from_behind = [view for view in VIEWS if set(view.near) >= {"rear", "right"}]
    monkeypatch.setattr("optimiser.drawing.bays.isometric.VIEWS", from_behind)
    sheet = next(sheet for sheet in isometric_bays(moved) if sheet.key == "isometric-desk_base")
    shapes = [s for s in sheet.shapes if isinstance(s, Path)]
    arcs = [ring for ring in shapes if ring.weight == RING_MM]
    assert [len(arc.points) - 1 for arc in arcs if arc.dash == "dashed"] == [12]
    assert sum(len(arc.points) - 1 for arc in arcs if arc.dash == "solid") == 3 * 36 - 12


# --- what nobody surveyed ----------------------------------------------------------------------------------


def test_a_bay_of_which_nothing_is_known_has_no_sheet() -> None:
    fit = shipped("tiny-trailer")
    bays = [sheet.key for sheet in isometric_bays(changed(fit, "galley_base", None))]
    assert bays == ["isometric-drawbar_box", "isometric-side_locker"]
    assert isometric_bays(fit_made(world())) == []


def test_what_is_not_surveyed_is_said_and_not_drawn() -> None:
    """Of the galley the wall with inverter, display and switch: four bodies on the floor are left."""
    fit = changed(shipped("tiny-trailer"), "galley_base", "back")
    sheet = next(sheet for sheet in isometric_bays(fit) if sheet.key == "isometric-galley_base")

    assert "where their boards are in the bay is not surveyed: 1 inverter, 4 display, 5 switch." in words_of(sheet)
    named = {text.text for text in texts_of(sheet)}
    assert {"2 isolator", "3 busbar", "6 fuse row", "7 shunt row"} <= named
    assert not {"1 inverter", "4 display", "5 switch"} & named
    assert sheet.clashes() == []


def test_a_way_whose_hole_is_unknown_is_said() -> None:
    fit = shipped("tiny-trailer")
    openings = tuple(o for o in fit.case.cable_openings if (o.bay, o.way) != ("galley_base", "side_wall"))
    loose = Fit(replace(fit.case, cable_openings=openings), fit.catalogue, fit.build)
    sheet = next(sheet for sheet in isometric_bays(loose) if sheet.key == "isometric-galley_base")
    assert "Not surveyed, where these come into the bay: side wall;" in words_of(sheet)
