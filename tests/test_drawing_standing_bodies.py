"""Modules, rows, terminals and what stays, as they are drawn: by hand on the trailer."""

from dataclasses import replace

import pytest

from optimiser.builds import Bank, Fitted
from optimiser.drawing.bays.elevations import bay_elevations
from optimiser.drawing.bays.standing_bodies import marked
from optimiser.drawing.shapes import Box, Circle
from optimiser.fitted import fit_of
from optimiser.parts import Module
from tests import handmade
from tests.drawing_bays_help import bodies_of, box_of, closed_on, trailer, words_of
from tests.packing_help import shipped


def test_what_stays_is_dotted_and_says_so() -> None:
    nose = bay_elevations(trailer(), fixings=())[2]
    assert [box_of(p) for p in closed_on(nose, "obstacle") if p.fill == "dots"] == [Box(200, 100, 500, 300)]
    assert "1 old battery: lead-acid battery" in words_of(nose)
    assert "existing" in words_of(nose)


@pytest.mark.parametrize("rotated", [False, True])
def test_modules_are_drawn_as_the_block_they_stand_in(rotated: bool) -> None:
    """A row of two of 300 x 170, 20 mm apart: the block is 620 x 170, or 170 x 620 when rotated."""
    bank = Bank(module="module-100", series=1, parallel=2, rows=1, columns=2)
    fitted = (Fitted("bank", "", "box.floor", 10, 20, rotated=rotated),)
    sheet = bay_elevations(trailer(replace(handmade.build(), bank=bank, fitted=fitted)), fixings=())[0]
    modules = [box_of(p) for p in closed_on(sheet, "body") if p.weight == 0.18]
    if rotated:
        assert modules == [Box(10, 20, 180, 320), Box(10, 340, 180, 640)]
        assert bodies_of(sheet) == [Box(10, 20, 180, 640)]
        assert "1 x 2 modules module-100" in words_of(sheet)
    else:
        assert modules == [Box(10, 20, 310, 190), Box(330, 20, 630, 190)]
        assert bodies_of(sheet) == [Box(10, 20, 630, 190)]
        assert "2 x 1 modules module-100" in words_of(sheet)


def test_members_of_a_row_stand_side_by_side_in_the_builds_order() -> None:
    locker = bay_elevations(trailer(), fixings=())[1]
    cells = [box_of(p) for p in closed_on(locker, "body") if p.weight == 0.18]
    assert cells[:5] == [Box(50 + 30 * k, 350, 80 + 30 * k, 410) for k in range(5)]
    assert (
        "a R2 inverter, b R3 regulator 1, c R5 alternator, d R7 mains charger, e R8 dc loads in holder-row (70 mm2)"
        in " ".join(locker.notes)
    )
    assert "a shunt-1x300 (70 mm2); b shunt-4x50 (70 mm2)" in " ".join(locker.notes)


def test_terminals_are_below_what_hangs_upright_and_nowhere_else() -> None:
    build = handmade.build()
    locker = bay_elevations(trailer(), fixings=())[1]
    strips = [box_of(p) for p in closed_on(locker, "symbol") if p.fill == "solid"]
    assert sorted(strip.x0 for strip in strips) == [70, 370, 520]  # regulator and both chargers, 20 mm in
    assert all(strip.y0 == 200 for strip in strips)
    sentence = "terminals drawn below where the catalogue or common practice puts them; the maker's sheet decides"
    assert sentence in words_of(locker).lower()
    rotated = tuple(replace(f, rotated=True) if f.board == "locker.wall" else f for f in build.fitted)
    locker = bay_elevations(trailer(replace(build, fitted=rotated)), fixings=())[1]
    assert not [p for p in closed_on(locker, "symbol") if p.fill == "solid"]
    assert sentence not in words_of(locker).lower()


def test_modules_show_no_terminals_however_they_stand() -> None:
    box = bay_elevations(trailer(), fixings=())[0]
    assert not [s for s in box.shapes if isinstance(s, Circle) and s.fill == "paper"]
    catalogue = handmade.catalogue()
    tables = {**catalogue.tables, "modules": {"module-100": _may_lie(catalogue.find("module-100"))}}
    build = handmade.build()
    fitted = tuple(replace(f, orientation="side") if f.slot == "bank" else f for f in build.fitted)
    fit = fit_of(handmade.case(), replace(catalogue, tables=tables), replace(build, fitted=fitted))
    box = bay_elevations(fit, fixings=())[0]
    assert not [s for s in box.shapes if isinstance(s, Circle) and s.fill == "paper"]
    assert "stands on its side" in words_of(box)
    assert "on its side: its width off the board" in " ".join(box.notes)


def _may_lie(module: object) -> Module:
    assert isinstance(module, Module)
    return module.model_copy(update={"orientations": ("flat", "side")})


@pytest.mark.parametrize(
    ("slot", "words"),
    [
        ("inverter", "cables at left, mains cables at right"),
        ("regulator_2", "cables at bottom"),
        ("isolator", "cables at bottom and top"),
        ("shunt_row", ""),
    ],
)
def test_sides_where_cables_come_in_are_those_of_the_body_as_it_stands(slot: str, words: str) -> None:
    """As they lie flat: inverter left and right, with its length along the wall as it stands too; regulator left, its
    length up the wall and that end below; isolator left and right, the same; of a row of shunts nothing is told."""
    (found,) = [body for body in marked(shipped("grey-month-van"), "garage_wall") if body.body.slot == slot]
    assert found.sides == words
