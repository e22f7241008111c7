"""The quotation: its prices are the audit's, and it invents nothing."""

from __future__ import annotations

from hashlib import sha256

from optimiser.audit import worth
from optimiser.build import to_json
from optimiser.schedules import OptionLine, Quotation, quotation
from optimiser.schedules.quotation import PRICES_NOTE
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import findings, shipped
from tests.schedules_help import every_build, fit_made, found_in


def _of(made: World) -> Quotation:
    return quotation(fit_made(made), found_in(made), version="v")


def test_the_handmade_trailers_quotation_adds_up_on_paper() -> None:
    offer = _of(world())

    # worked out in test_schedules.py
    assert [(price.name, price.cents) for price in offer.prices] == [
        ("parts", 451_20), ("sundries", 48_80), ("labour", 192_00), ("total", 692_00),
    ]  # fmt: skip
    assert offer.mass_kg == 20.36
    assert (offer.labour_per_h, offer.currency) == (60, "cu")


@every_build
def test_prices_sum_to_what_the_audit_finds(name: str, want: str) -> None:
    fit = shipped(name, want)
    offer = quotation(fit, findings(name, want), version="v")
    total = worth(fit.case, fit.catalogue, fit.build)

    assert offer.prices[-1].cents == total.cents == sum(price.cents for price in offer.prices[:-1])
    assert round(offer.mass_kg * 1000) == total.grams


def test_what_is_fitted_in_plain_words() -> None:
    assert _of(world()).what == (
        "solar panels on the roof, 200 W in all: 2 x panel-100",
        "12 V battery, 200 Ah nominal: 2 lithium iron phosphate modules (module-100)",
        "inverter, 1500 W at 25 C (inverter-1500)",
        "solar regulator, 20 A (regulator-20)",
        "charger fed by the engine, 30 A (alternator-charger-30)",
        "mains charger, 30 A (mains-charger-30)",
        "fuses, isolator, busbars, measuring, display, cables, entries and vents as in the bill of materials",
    )


def test_modules_in_series_add_no_ampere_hours() -> None:
    made = changed(changed(world(), "bank.series", 2), "build.system_v", 24)

    assert "24 V battery, 200 Ah nominal: 4 lithium iron phosphate modules (module-100)" in _of(made).what


def test_an_inverter_charger_and_what_stays_are_called_so() -> None:
    made = changed(changed(world(), "parts.inverter-1500.charge_a", 50), "fitted.inverter.kept", True)

    assert "inverter-charger, 1500 W at 25 C (inverter-1500), stays in the vehicle" in _of(made).what


def test_options_are_passed_on() -> None:
    other = OptionLine("option 2", -5_000, 1_200, "one panel less")

    assert quotation(fit_made(world()), (), options=[other], version="v").options == (other,)


def test_a_build_with_a_breach_is_not_quoted_as_whole() -> None:
    whole, broken = _of(world()), _of(changed(world(), "limits.budget", 600))

    assert whole.checked == (whole.checked[0],) and whole.checked[0].endswith("all hold")
    assert broken.checked[0].endswith("1 do NOT hold")
    assert broken.checked[1].startswith("does not hold: ") and "600" in broken.checked[1]


def test_versions_tell_builds_apart() -> None:
    made = world()
    offer = _of(made)

    assert offer.build == sha256(to_json(made.build).encode()).hexdigest()
    assert _of(changed(made, "panels.0.x_mm", 601)).build != offer.build
    assert (offer.version, offer.date, offer.validity) == ("v", "", "")


def test_no_tax_and_no_margin_is_made_up() -> None:
    offer = _of(world())

    assert PRICES_NOTE in offer.notes
    assert any("common practice, no source" in note for note in offer.notes)
    text = " ".join(offer.exclusions)
    for left_out in ("licensed electrician", "furniture", "taxes", "walls", "roof", "weighing", "registration"):
        assert left_out in text
