"""The customer's page: loads as the brief has them, and figures that are what the build reaches."""

from __future__ import annotations

from optimiser.audit import worth
from optimiser.pack.page.customer import figures, loads
from tests.handmade import world
from tests.packing_help import findings, shipped
from tests.schedules_help import fit_made, found_in


def test_loads_stand_with_their_hours_as_the_brief_has_them() -> None:
    shown = {row[0]: row[1:] for row in loads(world().case)}

    assert shown["lamps"] == ("12 V", "30", "18", "23", "100", "all")
    assert shown["kettle"] == ("mains", "600", "8", "9", "100", "all")
    assert shown["fridge"] == ("12 V", "60", "0", "24", "40", "all")


def test_a_load_through_the_night_begins_in_the_evening() -> None:
    shown = {row[0]: row for row in loads(shipped("tiny-trailer").case)}

    assert shown["breathing aid"][3:5] == ("22", "6")


def test_days_without_sun_are_what_the_build_reaches_not_what_was_asked_for() -> None:
    """1.5 were asked for."""
    fit, found = shipped("tiny-trailer"), findings("tiny-trailer")
    shown = dict(figures(fit, found, worth(fit.case, fit.catalogue, fit.build)))

    assert shown["days without sun"] == "1.63"


def test_figures_by_hand() -> None:
    """Two panels of 100 W and two modules of 100 Ah side by side; money and mass as in test_schedules.py."""
    made = world()
    shown = dict(figures(fit_made(made), found_in(made), worth(made.case, made.catalogue, made.build)))

    assert (shown["price, labour included"], shown["mass added"]) == ("692.00 cu", "20.360 kg")
    assert shown["panels on the roof"] == "200 W"
    assert shown["battery"] == "200 Ah at 12 V"
