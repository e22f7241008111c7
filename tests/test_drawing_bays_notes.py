"""What the bays' sheets say of tails, stances, terminals and air."""

from __future__ import annotations

from dataclasses import replace

import pytest

from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.notes import air, tails_mm
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.sheet import Sheet
from optimiser.fitted.places import standing
from tests import handmade
from tests.drawing_bays_help import texts_of, trailer
from tests.packing_help import SOLVED, WANTS, findings, shipped


def _notes(sheet: Sheet) -> str:
    return " ".join(sheet.notes)


def _sheets(name: str, want: str = "cheapest") -> list[Sheet]:
    return bay_elevations(shipped(name, want), findings(name, want))


@pytest.mark.parametrize(("name", "want"), [(name, want) for name in SOLVED for want in WANTS])
def test_tails_are_told_as_drawn_where_the_fuse_row_is(name: str, want: str) -> None:
    fit = shipped(name, want)
    found = {body.slot: body for body in standing(fit)}
    apart = found["fuse_row"].rect.around_corner(found["busbar"].rect)
    together = found["fuse_row"].board == found["busbar"].board
    for sheet in _sheets(name, want):
        here = sheet.key == f"bay-{found['fuse_row'].board.bay}"
        tails = [note for note in sheet.notes if note.startswith("WARNING: tails ")]
        assert len(tails) == here
        drawn = any(text.text == f"tails: {apart} from busbar, see notes" for text in texts_of(sheet))
        assert drawn is (here and together)
        if here:
            far = f"{apart} mm as drawn, body to body" if together else "the busbar stands on another board"
            assert far in tails[0]
            assert "no fuse but the main fuse (" in tails[0] and "common bar on the row" in tails[0]


def test_tails_of_the_van_by_hand() -> None:
    """The busbar begins at x 400, the row ends at x 170; they share heights."""
    assert tails_mm(marked(shipped("grey-month-van", "lightest"), "garage_wall")) == 400 - 170


def test_a_busbar_on_another_board_is_no_figure() -> None:
    build = handmade.build()
    fitted = tuple(replace(f, board="nose.side", x_mm=0, y_mm=0) if f.slot == "busbar" else f for f in build.fitted)
    locker = next(s for s in bay_elevations(trailer(replace(build, fitted=fitted)), fixings=()) if "locker" in s.key)

    assert "the busbar stands in another bay, and how far off is not surveyed" in _notes(locker)


def test_stances_that_occur_are_explained_and_others_are_not() -> None:
    bay = {sheet.key: _notes(sheet) for sheet in _sheets("tiny-trailer", "cheapest")}
    turned = "turned: a quarter turn on the board, its length along a wall (x) or across a floor (y)"
    row = "a row runs along its board (x), turned it runs up or across (y)"

    assert "on its side: its width off the board" in bay["bay-drawbar_box"] and turned in bay["bay-drawbar_box"]
    assert "on its side" not in bay["bay-galley_base"] and turned in bay["bay-galley_base"]
    assert turned not in bay["bay-side_locker"] and row not in bay["bay-side_locker"] and row in bay["bay-galley_base"]
    assert all("lies flat" in said and "Which end of a body comes first" in said for said in bay.values())


def test_a_row_that_is_turned_is_explained_as_a_row() -> None:
    build = handmade.build()
    fitted = tuple(replace(f, turned=f.slot == "fuse_row") for f in build.fitted)
    said = [_notes(sheet) for sheet in bay_elevations(trailer(replace(build, fitted=fitted)))]

    assert sum("a row runs along its board (x), turned it runs up or across (y)" in notes for notes in said) == 1
    assert not any("turned: a quarter turn on the board" in notes for notes in said)


def test_the_stances_are_those_that_bodies_take_of_their_boards() -> None:
    """The inverter of 320 x 200, turned on a wall, lies with its length along it; the bank's length is across."""
    found = {body.slot: body for body in standing(shipped("tiny-trailer"))}

    assert (found["inverter"].board.kind, found["inverter"].foot.length_mm) == ("wall", 320)
    assert (found["bank"].board.kind, found["bank"].foot.width_mm) == ("floor", 520)


def test_bodies_without_drawn_terminals_are_named() -> None:
    said = next(_notes(s) for s in _sheets("travelling-clinic") if s.key == "bay-tall_cupboard")

    assert "No terminals drawn on 2 inverter, 3 step down, 4 isolator, 5 busbar, 7 fuse row, 8 shunt row:" in said


@pytest.mark.parametrize(
    ("kind", "habitable", "words"),
    [
        ("sealed", True, "within the living space, sealed from it and vented outside"),
        ("sealed", False, "sealed from the living space and vented outside"),
        ("cabin", True, "open to the cabin; part of the living space"),
        ("outside", False, "outside the body; no part of the living space"),
    ],
)
def test_what_is_sealed_is_not_called_unsealed(kind: str, habitable: bool, words: str) -> None:
    bay = handmade.case().bays[0].model_copy(update={"air": kind, "habitable": habitable})

    assert air(bay) == words
