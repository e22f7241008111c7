"""Terminals of the shipped catalogue: where they are, what lugs and bends take there, what they are fastened by."""

import math

import pytest

from optimiser import parts
from optimiser.catalogue import Catalogue
from tests.test_catalogue import BODIES, CABLES, by_name

WIRED = [body for body in BODIES if isinstance(body, parts.Wired)]
OUTSIDE_MM = {cable.section_mm2: cable.outside_mm for cable in CABLES if cable.kind == "dc"}
HOLES_MM = {  # threads that lugs of a section are sold for (from memory, no source)
    10: (5, 8), 16: (5, 10), 25: (5, 12), 35: (6, 12), 50: (6, 12), 70: (8, 12), 95: (8, 12), 120: (8, 16),
}  # fmt: skip


@pytest.mark.parametrize("body", WIRED, ids=by_name)
def test_every_body_with_power_terminals_says_where_they_are(body: parts.Wired) -> None:
    assert body.terminal_sides
    assert None not in (body.terminal_offset_mm, body.lug_room_mm, body.stud_mm)
    assert len(set(body.terminal_sides)) == len(body.terminal_sides)


@pytest.mark.parametrize("body", BODIES, ids=by_name)
def test_every_body_on_the_mains_says_where_it_comes_in(body: parts.Body) -> None:
    on_mains = isinstance(body, parts.Inverter | parts.MainsCharger | parts.MainsBox)
    assert (getattr(body, "mains_side", None) is not None) == on_mains


@pytest.mark.parametrize("body", WIRED, ids=by_name)
def test_room_for_lug_and_bend_is_that_of_the_largest_conductor(body: parts.Wired) -> None:
    """The catalogue's own formulas, brought up to 5 mm: three times the outside for the lug, six for the bend; on a
    stud of the front, where the lug lies flat, its thread and the outside, which the clearance in front holds."""
    outside = OUTSIDE_MM[body.terminal_mm2]
    stud = body.stud_mm or 0
    flat = body.terminal_sides == ("front",)
    wanted = stud + outside if flat else 9 * outside
    assert body.lug_room_mm == 5 * math.ceil(wanted / 5)
    if isinstance(body, parts.Module):
        assert flat
        assert body.lug_room_mm <= body.clear_height_mm


@pytest.mark.parametrize("body", WIRED, ids=by_name)
def test_the_largest_lug_goes_on_the_stud(body: parts.Wired) -> None:
    """Up to 35 mm2 a part may clamp its conductors: regulators do with all they take (common practice, no source)."""
    if not body.stud_mm:
        assert body.terminal_mm2 <= 35
        return
    low, high = HOLES_MM[int(body.terminal_mm2)]
    assert low <= body.stud_mm <= high


def test_what_sits_on_a_terminal_fits_its_stud(catalogue: Catalogue) -> None:
    on_terminal = [h for h in catalogue.of("holders").values() if h.on_terminal]
    assert on_terminal
    assert {h.stud_mm for h in on_terminal} == {m.stud_mm for m in catalogue.of("modules").values()}


@pytest.mark.parametrize("body", WIRED, ids=by_name)
def test_no_terminal_faces_the_board_or_the_next_in_a_row(body: parts.Wired) -> None:
    if "side" in body.orientations:  # on its bottom
        assert "bottom" not in body.terminal_sides
    if "end" in body.orientations:  # on its left end
        assert "left" not in body.terminal_sides
    if isinstance(body, parts.Shunt) or (isinstance(body, parts.Holder) and not body.on_terminal):
        assert not {"bottom", "top"} & set(body.terminal_sides)
