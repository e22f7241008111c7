"""Remarks of the fuse schedule by hand: what a part has beside what is wanted of it."""

from __future__ import annotations

from optimiser.schedules.labels import labels
from optimiser.schedules.materials import materials
from optimiser.schedules.protection import protection
from optimiser.schedules.table import Cell
from tests.commission_help import two_strings
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import fit_made, found_in, only_row, rows_of
from tests.test_audit_limits import MODULES_FUSED, POWER_OUTSIDE


def _remark(made: World, title: str, value: str) -> Cell:
    return only_row(protection(fit_made(made), found_in(made)), title, value)["remark"]


def test_studs_of_the_busbar_beside_the_circuits_on_it() -> None:
    """Inverter, regulator, two chargers, loads; the run that feeds it is not among them."""
    made = changed(world(), "parts.busbar-250.studs", 9)

    assert _remark(made, "what", "busbar") == "9 studs a bar beside the main run's; 5 circuits need one"


def test_circuits_of_the_mains_box_beside_those_wanted() -> None:
    made = changed(world(), "parts.mains-box-2.circuits", 5)

    assert _remark(made, "what", "mains_box") == (
        "takes 5 circuits beside its breakers for inlet and feeds of chargers; 2 wanted: 3 ways are left"
    )


def test_a_fuse_near_the_rating_of_the_one_before_it_is_told() -> None:
    """1.6 to 1 of fuses of class gG (IEC 60269, from memory): main 200 A, so up to 125 A the others blow alone."""
    told = "the fuse of main is 200 A, less than 1.6 times this one: either may blow"

    for rating_a, shown in ((125, False), (126, True), (175, True)):
        made = changed(world(), "parts.fuse-175.rating_a", rating_a)
        assert (told in str(_remark(made, "protects run", "inverter"))) is shown
    assert not _remark(world(), "what", "main fuse")
    assert "may blow" not in str(_remark(world(), "protects run", "alternator_feed"))  # another battery's


def test_a_feed_through_the_wall_has_its_fuse_at_the_panel() -> None:
    made = world()
    for knob, value in POWER_OUTSIDE:
        made = changed(made, knob, value)
    row = only_row(protection(fit_made(made), found_in(made)), "protects run", "pass_aerial")

    assert row["where"] == "at loads_point, in or beside the fuse panel of the 12 V loads"
    assert (row["part"], row["prospective fault current"]) == ("fuse-10", 966)
    lead = "its cable ends at tv_point: the lead from loads_point to there, behind the fuse, is not in the build"
    assert row["remark"] == lead  # 10 A behind the panel's 30 A
    close = changed(changed(made, "runs.dc_loads.fuse", "fuse-10"), "parts.fuse-10.rating_a", 15)
    assert _remark(close, "protects run", "pass_aerial") == (
        f"{lead}; the fuse of dc_loads is 15 A, less than 1.6 times this one: either may blow"
    )


def test_the_fuse_at_a_tow_plug_says_what_it_does_not_guard() -> None:
    towed = "the towing vehicle's own cable to the plug wants a fuse by its starter battery"
    assert towed in str(_remark(world(), "protects run", "alternator_feed"))
    van = shipped("grey-month-van")
    (row,) = [r for r in rows_of(protection(van, ())) if r["protects run"] == "alternator_feed"]
    assert not row["remark"]


def test_fuses_of_modules_are_one_row_with_their_number() -> None:
    made = world()
    for knob, value in MODULES_FUSED:
        made = changed(made, knob, value)
    row = only_row(protection(fit_made(made), found_in(made)), "what", "module fuse")

    assert (row["part"], row["rating"], row["wanted at least"], row["allowed at most"]) == ("fuse-125", 125, 91.5, 200)
    assert (row["breaks"], row["prospective fault current"]) == (8000, 3650)
    assert row["where"] == "on the terminal of each string of modules, box.floor"
    assert str(row["remark"]).startswith("2 of them")
    both = "one terminal holds both a string's fuse and this one: whether their holders fit is the makers' to say"
    assert both not in str(_remark(made, "what", "main fuse"))  # it stands beside the bank
    assert both in str(_remark(changed(made, "parts.holder-main.on_terminal", True), "what", "main fuse"))
    assert both not in str(_remark(world(), "what", "main fuse"))
    parts = [(r["part"], r["count"]) for r in rows_of(materials(fit_made(made)))]
    assert ("fuse-125", 2) in parts and ("holder-terminal", 2) in parts
    (label,) = [r for r in rows_of(labels(fit_made(made))) if (r["what"], r["of"]) == ("fuse", "bank")]
    assert (label["text"], label["copies"]) == ("module: 125 A bolt-in. Replace by the same only.", 2)


def test_strings_in_parallel_beside_those_that_need_no_fuse() -> None:
    """A fuse is wanted from three strings on."""
    made = changed(two_strings(), "rules.string_fuse_from", 4)

    assert _remark(made, "protects run", "solar_a") == "strings in parallel: 2; without a fuse each 3 allowed"
