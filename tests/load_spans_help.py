"""The trailer by hand with a kettle that is on twice a day."""

from optimiser.case import Case, LoadSpan
from optimiser.catalogue import Catalogue
from optimiser.fitted import Fit, fit_of
from tests.asking import Change, world
from tests.handmade import World

EVENING = LoadSpan(load="kettle", number=2, duty_pct=25, from_h=19, to_h=20)
TWICE: Change = ("load_spans", (EVENING,))
"""The kettle of 600 W is on from 8 to 9 all of the time, and from 19 to 20 a quarter of it."""


def two_spans(*changes: Change) -> World:
    """The trailer with it."""
    return world(TWICE, *changes)


def fit(at: World) -> Fit:
    """Its build, looked up."""
    return fit_of(at.case, at.catalogue, at.build)


def inputs(at: World) -> tuple[Case, Catalogue]:
    """What it is built for and of."""
    return at.case, at.catalogue
