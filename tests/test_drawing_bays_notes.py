"""What the bays' sheets say of tails, orientations, terminals and air."""

from dataclasses import replace

import pytest

from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.notes import air
from optimiser.drawing.sheet import Sheet
from optimiser.fitted.places import standing
from tests import handmade
from tests.drawing_bays_help import texts_of, trailer
from tests.packing_help import SOLVED, WANTS, elevations, shipped


def _notes(sheet: Sheet) -> str:
    return " ".join(sheet.notes)


@pytest.mark.parametrize(("name", "want"), [(name, want) for name in SOLVED for want in WANTS])
def test_tails_are_told_as_drawn_where_the_fuse_row_is(name: str, want: str) -> None:
    fit = shipped(name, want)
    found = {body.slot: body for body in standing(fit)}
    apart = found["fuse_row"].rect.around_corner(found["busbar"].rect)
    together = found["fuse_row"].board == found["busbar"].board
    for sheet in elevations(name, want):
        here = sheet.key == f"bay-{found['fuse_row'].board.bay}"
        tails = [note for note in sheet.notes if note.startswith("WARNING: tails ")]
        assert len(tails) == here
        drawn = any(text.text == f"tails: {apart} from busbar, see notes" for text in texts_of(sheet))
        assert drawn is (here and together)
        if here:
            far = f"{apart} mm as drawn, body to body" if together else "the busbar stands on another board"
            assert far in tails[0]
            assert "no fuse but the main fuse (" in tails[0] and "common bar on the row" in tails[0]


def test_a_busbar_on_another_board_is_no_figure() -> None:
    build = handmade.build()
    fitted = tuple(replace(f, board="nose.side", x_mm=0, y_mm=0) if f.slot == "busbar" else f for f in build.fitted)
    locker = next(s for s in bay_elevations(trailer(replace(build, fitted=fitted)), fixings=()) if "locker" in s.key)

    assert "the busbar stands in another bay, and how far off is not surveyed" in _notes(locker)


def test_the_stances_are_those_that_bodies_take_of_their_boards() -> None:
    """The inverter of 320 x 200, rotated on a wall, lies with its length along it; the bank's length is across."""
    found = {body.slot: body for body in standing(shipped("tiny-trailer"))}

    assert (found["inverter"].board.kind, found["inverter"].foot.length_mm) == ("wall", 320)
    assert (found["bank"].board.kind, found["bank"].foot.width_mm) == ("floor", 520)


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
