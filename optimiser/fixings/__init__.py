"""Holes and feet that a build needs and nobody surveyed: proposed places, each from a named datum."""

from optimiser.fitted.fit import Fit
from optimiser.fixings.entries import glands, pass_throughs
from optimiser.fixings.feet import feet
from optimiser.fixings.fixing import BAY_DATUM, BOARD_DATUM, ROOF_DATUM, Fixing, Kind
from optimiser.fixings.vents import vents


def fixings(fit: Fit) -> tuple[Fixing, ...]:
    """Feet, roof glands, pass-throughs and openings of vents of a build, with their places from a datum [mm].

    All are proposed, as the model places none of them, but glands at a surveyed position (``surveyed``). Where no place
    was found, ``x_mm`` and ``y_mm`` are None and ``note`` says why.
    """
    return (*feet(fit), *glands(fit), *pass_throughs(fit), *vents(fit))
