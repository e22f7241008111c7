"""Current that leaves through a wall comes through every run before it: the first law of Kirchhoff, on whole builds."""

import pytest

from optimiser.auditing import audit, breaches
from tests import handmade
from tests.asking import taken
from tests.edges import POWER_OUTSIDE
from tests.handmade import World
from tests.knobs import altered, changed


def outside(amps: float) -> World:
    """A cable for something outside that draws so much [A]."""
    world = altered(handmade.world(), *POWER_OUTSIDE)
    aerial = world.case.brief.pass_throughs[0].model_copy(update={"current_a": amps})
    return changed(world, "brief.pass_throughs", (aerial,))


def carried(world: World, requirement: str) -> float:
    found = audit(world.case, world.catalogue, world.build)
    return next(f.actual for f in found if f.requirement == requirement)


@pytest.mark.parametrize("requirement", ["run.ampacity[dc_loads]", "run.ampacity[main]"])
def test_what_something_outside_draws_comes_through_panel_and_bank(requirement: str) -> None:
    """Ten amperes more at the node are ten amperes more before it."""
    more = carried(outside(12), requirement) - carried(outside(2), requirement)
    assert more == pytest.approx(10)


@pytest.mark.parametrize(("amps", "holds"), [(2.91, True), (2.94, False)])
def test_it_counts_in_the_drop_of_what_lies_before_it(amps: float, holds: bool) -> None:
    """(138.889 + 7.5 + x) A in 3.2 m and in links as in 0.37 m of 0.3864 ohm/km, (7.5 + x) A in 3.6 m of 3.3, x in
    2.2 m, at 70 C: 0.42 V.

    At 2.923 A.
    """
    world = outside(amps)
    assert ("run.drop" not in {f.name for f in breaches(audit(world.case, world.catalogue, world.build))}) is holds
    assert taken(world) is holds
