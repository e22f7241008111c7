"""What cables take at least wherever bodies stand: against every place, and it rules no build out."""

from itertools import product

import pytest
from ortools.sat.python import cp_model

from optimiser.basis import faces
from optimiser.model.assemble import assemble, keep_apart, loosely
from optimiser.model.at_least import AtLeast
from optimiser.model.context import FitOut
from optimiser.model.decisions import Stand
from optimiser.model.slots import clear_mm
from optimiser.physics.surfaces import between_patches_mm
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from optimiser.solve import Solved, Stop, optimise
from optimiser.solve.search import Best, aim, search
from tests import handmade

TRAILER = "tiny-trailer"


@pytest.fixture(scope="module")
def trailer() -> FitOut:
    catalogue = read_catalogue(shipped_catalogue())
    return assemble(read_case(shipped_cases() / TRAILER, catalogue), catalogue, apart=False)


def by_every_place(ctx: FitOut, stand: Stand, way: str) -> int:
    """The least from the edge of a body to a hole, of its places at the ends and every 5 mm between, whole mm."""
    board, size = stand.board, stand.size
    hole = faces.hole(ctx.case, board.bay, way)
    assert hole is not None
    ends = (board.length_mm - size.length_mm - size.clear_x_mm, board.width_mm - size.width_mm - size.clear_y_mm)
    along, across = (
        {*range(low, high, 5), high} for low, high in zip((size.clear_x_mm, size.clear_y_mm), ends, strict=True)
    )
    least = []
    for x, y in product(along, across):
        there = faces.patch(ctx.case, board.place, (x, x + size.length_mm), (y, y + size.width_mm))
        assert there is not None
        least.append(between_patches_mm(size=ctx.case.bay_of[board.bay].inside, one=there, other=hole))
    return int(min(least))


@pytest.mark.parametrize(
    ("slot", "bay", "way"),
    [
        ("regulator_1", "side_locker", "roof_drop"),
        ("mains_box", "side_locker", "side_wall"),
        ("inverter", "galley_base", "side_wall"),
        ("bank", "drawbar_box", "under_floor"),
    ],
)
def test_to_a_hole_it_is_the_least_of_every_place(trailer: FitOut, slot: str, bay: str, way: str) -> None:
    """A body that fits its board comes as near as it may; none comes nearer than that."""
    least = AtLeast(trailer).to_hole(slot, bay, way)
    assert not isinstance(least, int)
    found = cp_model.FlatIntExpr(least)
    weights = dict(zip((var.name for var in found.vars), found.coeffs, strict=True))
    fits = [
        s
        for s in trailer.d.slots[slot].stands
        if s.board.bay == bay
        and s.size.length_mm + 2 * s.size.clear_x_mm <= s.board.length_mm
        and s.size.width_mm + 2 * s.size.clear_y_mm <= s.board.width_mm
    ]
    assert fits and weights
    for stand in fits:
        assert weights.get(stand.var.name, 0) == by_every_place(trailer, stand, way)


def test_in_another_bay_or_to_a_hole_nobody_surveyed_it_is_nothing(trailer: FitOut) -> None:
    assert AtLeast(trailer).to_hole("bank", "side_locker", "under_floor") == 0
    assert AtLeast(trailer).to_hole("bank", "drawbar_box", "roof_drop") == 0


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
def test_it_rules_no_build_out_and_raises_the_bound(want: str) -> None:
    """The best with every place there is, no better with what is implied, and the bound without places between."""
    catalogue = read_catalogue(shipped_catalogue())
    case = read_case(shipped_cases() / TRAILER, catalogue)
    best = optimise(case, catalogue, want)  # type: ignore[arg-type]
    assert isinstance(best, Solved)

    def least(apart: bool, implied: bool) -> int:
        ctx = assemble(case, catalogue, apart=False)
        if implied:
            ctx.m = loosely(ctx)
        if apart:
            keep_apart(ctx)
        cost, mass = sum(ctx.cost), sum(m.grams * m.var for m in ctx.masses)
        found = search(ctx.m, aim(cost if want == "cheapest" else mass, 0), stop=Stop(60))
        assert isinstance(found, Best) and found.proven
        return found.value(cost if want == "cheapest" else mass)

    bare, bound, whole = least(False, False), least(False, True), least(True, True)
    assert bare < bound <= whole == least(True, False)


def test_what_a_body_keeps_clear_is_the_least_of_all_that_it_may_be(trailer: FitOut) -> None:
    """By the catalogue: modules 10 to 25, regulators 20 to 50 beside, fuse holders 5 to 10; given up 0."""
    assert [clear_mm(trailer, body) for body in ("bank", "regulator_1", "main_fuse", "fuse_row")] == [10, 20, 5, 0]
    free = assemble(trailer.case, trailer.catalogue, apart=False, active=lambda name: name != "bay.clearance[bank]")
    assert (clear_mm(free, "bank"), clear_mm(free, "regulator_1")) == (0, 20)


def test_between_bodies_of_one_board_it_is_what_they_keep_clear() -> None:
    """By hand: isolator and busbars keep 20 clear, whichever they are."""
    ctx = assemble(handmade.case(), handmade.catalogue(), apart=False)

    assert AtLeast(ctx).between("isolator", "busbar") == AtLeast(ctx).between("busbar", "fuse_row") == 20
    assert AtLeast(ctx).between("bank", "busbar") == 0  # perhaps in two bays
