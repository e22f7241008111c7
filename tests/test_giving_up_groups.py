"""What is asked about together when limits are given up, and what by itself."""

from dataclasses import replace

import pytest

from optimiser.auditing import Finding, audit
from optimiser.explaining import Budget
from optimiser.explaining.deciding import _has_much_room
from optimiser.explaining.giving_up import groups_of
from optimiser.explaining.subject import Asking, by_name
from tests import handmade
from tests.explaining import Solving, names_of, soon

NAMES = (
    "inverter.present", "measure.display", "roof.panel_gap[roof]", "roof.mass[roof]", "mass.payload", "bay.board",
    "energy.floor", "bay.depth", "mass.axle",
)  # fmt: skip


def test_wishes_alone_what_has_room_and_what_a_build_is_together_the_rest_by_family() -> None:
    assert groups_of(NAMES, roomy={"roof.mass[roof]", "mass.payload", "measure.display", "bay.depth"}) == [
        ["inverter.present"],
        ["measure.display"],
        ["roof.panel_gap[roof]"],
        ["roof.mass[roof]", "mass.payload"],
        ["bay.board", "bay.depth"],
        ["energy.floor"],
        ["mass.axle"],
    ]


def _at(margin: float) -> Finding:
    """The payload, of which a limit of 100 kg leaves so much."""
    world = handmade.world()
    found = next(f for f in audit(world.case, world.catalogue, world.build) if f.name == "mass.payload")
    return replace(found, limit=100.0, actual=100.0 - margin)


@pytest.mark.parametrize(("margin", "much"), [(50.0, True), (49.9, False), (0.0, False)])
def test_much_room_is_half_of_a_limit_at_each_of_its_places(margin: float, much: bool) -> None:
    world, budget = handmade.world(), soon()
    assert isinstance(budget, Budget)
    names = by_name(names_of(world.case, world.catalogue))
    asking = Asking(world.case, world.catalogue, names, Solving(), budget)

    assert _has_much_room("mass.payload", asking, [_at(80.0), _at(margin)]) is much
