"""Remarks of the fuse schedule by hand: what a part has beside what is wanted of it."""

from optimiser.schedules.protection import protection
from optimiser.schedules.table import Cell
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import fit_made, found_in, only_row, rows_of


def _remark(made: World, title: str, value: str) -> Cell:
    return only_row(protection(fit_made(made), found_in(made)), title, value)["remark"]


def test_a_fuse_near_the_rating_of_the_one_before_it_is_told() -> None:
    """1.6 to 1 of fuses of class gG (IEC 60269, from memory): main 200 A, so up to 125 A the others blow alone."""
    told = "the fuse of main is 200 A, less than 1.6 times this one: either may blow"

    for rating_a, shown in ((125, False), (126, True), (175, True)):
        made = changed(world(), "parts.fuse-175.rating_a", rating_a)
        assert (told in str(_remark(made, "protects run", "inverter"))) is shown
    assert not _remark(world(), "what", "main fuse")
    assert "may blow" not in str(_remark(world(), "protects run", "alternator_feed"))  # another battery's


def test_the_fuse_at_a_tow_plug_says_what_it_does_not_guard() -> None:
    towed = "the towing vehicle's own cable to the plug needs a fuse by its starter battery"
    assert towed in str(_remark(world(), "protects run", "alternator_feed"))
    van = shipped("grey-month-van")
    (row,) = [r for r in rows_of(protection(van, ())) if r["protects run"] == "alternator_feed"]
    assert not row["remark"]
