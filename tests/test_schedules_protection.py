"""Remarks of the fuse schedule by hand: what a part has beside what is wanted of it."""

from __future__ import annotations

from optimiser.schedules.protection import protection
from optimiser.schedules.table import Cell
from tests.commission_help import two_strings
from tests.handmade import World, world
from tests.knobs import changed
from tests.schedules_help import fit_made, found_in, only_row


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


def test_strings_in_parallel_beside_those_that_need_no_fuse() -> None:
    """A fuse is wanted from three strings on."""
    made = changed(two_strings(), "rules.string_fuse_from", 4)

    assert _remark(made, "protects run", "solar_a") == "strings in parallel: 2; without a fuse each 3 allowed"
