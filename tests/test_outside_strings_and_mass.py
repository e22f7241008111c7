"""Figures from outside the project, held through the audit of a whole build: strings, ducts, masses."""

from math import pi

import pytest

from tests import handmade
from tests.asking import found, taken, world
from tests.edges_string_fuses import FUSED
from tests.references import nec, trailer

RECORD_LOW = "place.record_low_c"


def test_cold_voltage_of_the_plan_reviewers_example() -> None:
    """A plan-review test quoting NEC 690.7: 49.5 V, -0.27 %/K, -10 C, fourteen in series: 758.5 V. FOUND."""
    panel = (("parts.panel-100.voc_v", 49.5), ("parts.panel-100.voc_pct_k", -0.27))
    cold = found("string.cold_voltage[a]", *panel, (RECORD_LOW, -10), ("arrays.a.series", 14))
    assert cold.actual == pytest.approx(758.49, abs=0.01)


@pytest.mark.parametrize(("cold_c", "factor"), [(low, factor) for _, low, factor in nec.COLD_VOLTAGE])
def test_cold_voltage_stays_below_the_table_for_panels_without_a_coefficient(cold_c: float, factor: float) -> None:
    """NEC table 690.7(A), second hand: on the safe side of every panel of up to 0.38 %/K."""
    panel = (("parts.panel-100.voc_v", 24), ("parts.panel-100.voc_pct_k", -0.38))
    cold = found("string.cold_voltage[a]", *panel, (RECORD_LOW, cold_c))
    assert 0.98 * 2 * 24 * factor < cold.actual <= 2 * 24 * factor + 1e-9


def test_current_of_a_string() -> None:
    """NEC 690.8(A), second hand: a panel of 10 A short-circuit current is calculated at 12.5 A."""
    assert found("string.short_circuit[a]", ("parts.panel-100.isc_a", 10)).actual == pytest.approx(
        10 * nec.PANEL_FACTOR
    )


@pytest.mark.parametrize(("isc_a", "least_a"), nec.CONDUCTORS)
def test_the_least_fuse_of_the_published_examples(isc_a: float, least_a: float) -> None:
    """NEC 690.9(B), second hand: 10 A of short-circuit current want a device of 15.625 A, the next one being 20 A."""
    panel = (*FUSED, ("parts.panel-100.isc_a", isc_a))

    assert found("string.fuse_over_load[a]", *panel).limit == pytest.approx(least_a)


COOL = (
    ("ways.roof_way.temp_c", 30), ("ways.roof_way.closed", False),
    ("rules.terminal_c", 105), ("rules.drop_share_solar", 0.5), ("parts.regulator-20.pv_isc_max_a", 60),
)  # fmt: skip
"""Where nothing but a cable's ampacity decides, and that is derated by less than the factor."""


@pytest.mark.parametrize(("isc_a", "stands_a"), nec.CONDUCTORS)
def test_a_cable_of_panels_stands_the_current_taken_twice(isc_a: float, stands_a: float) -> None:
    """NEC 690.8(B)(1), second hand: 10 A of short-circuit current are 12.5 A, and want a conductor of 15.625 A."""
    panel = (*COOL, ("parts.panel-100.isc_a", isc_a))
    just, less = (
        (*panel, ("parts.solar-6.ampacity_a", amps), ("parts.solar-6.duct_ampacity_a", amps))
        for amps in (stands_a, stands_a - 0.01)
    )

    held = found("run.ampacity[solar_a]", *just)
    assert held.ok and held.actual == pytest.approx(isc_a * nec.PANEL_FACTOR)
    assert not found("run.ampacity[solar_a]", *less).ok
    assert taken(world(*just)) and not taken(world(*less))


def test_the_second_factor_is_taken_before_a_cable_is_derated() -> None:
    """NEC 690.8(B), second hand: the larger of 156 % by the table and 125 % after corrections; not both at once.

    A cable of 20 A by the table, for 12.5 A: three quarters are left of it in a way of 62 C.
    """
    panel = ("parts.panel-100.isc_a", 10)
    cable = (("parts.solar-6.ampacity_a", 20), ("parts.solar-6.duct_ampacity_a", 20))
    hot = (*COOL, ("ways.roof_way.temp_c", 62), panel, *cable)
    hotter = (*COOL, ("ways.roof_way.temp_c", 76), panel, *cable)

    assert 12.5 <= found("run.ampacity[solar_a]", *hot).limit < 15.625 and found("run.ampacity[solar_a]", *hot).ok
    assert not found("run.ampacity[solar_a]", *hotter).ok
    assert taken(world(*hot)) and not taken(world(*hotter))


def test_panels_have_a_cable_made_for_sun_and_weather() -> None:
    """Common practice, no source: double insulated single cores, as IEC 62930 has them (from memory)."""
    assert not found("run.complete[solar_a]", ("runs.solar_a.cable", "dc-6")).ok
    assert not taken(world(("runs.solar_a.cable", "dc-6"))) and taken(world())
    assert not found("run.complete[dc_loads]", ("runs.dc_loads.cable", "solar-6")).ok


@pytest.mark.parametrize("cables", [2, 4])
def test_fill_of_a_duct(cables: int) -> None:
    """NEC chapter 9 table 1, second hand: two cables fill 31 % of the bore, more fill 40 %."""
    roof = next(w for w in handmade.case().ways if w.name == "roof_way")
    runs = [run for run in handmade.build().runs if run.name == "solar_a"]
    second = () if cables == 2 else (("runs.dc_loads.ways", ("roof_way",)),)
    fill = found("way.fill[roof_way]", *second)
    assert len(runs) == 1
    assert fill.limit == pytest.approx(nec.FILL[cables] * pi / 4 * roof.bore_mm**2)
    assert fill.actual == pytest.approx(cables * pi / 4 * 5**2)  # of 5 mm each


def test_the_load_behind_the_axle_lifts_the_coupling() -> None:
    """A physics exercise: 220 kg at 1.85 m, axle at 2.15 m, 540 kg at 3.3 m: from +301.14 N to -2532.35 N.

    What the fit-out's bank weighs goes from nothing to 540 kg; all else that it weighs is the same both times.
    """
    axle_kg = trailer.TRAILER_KG * trailer.TRAILER_M / trailer.AXLE_M
    vehicle = (
        ("vehicle.coupling_x_mm", 6000),
        ("vehicle.axle_x_mm", 6000 - round(1000 * trailer.AXLE_M)),
        ("vehicle.base_axle_kg", axle_kg),
        ("vehicle.base_hitch_kg", trailer.TRAILER_KG - axle_kg),
        ("bays.box.x_mm", 6000 - round(1000 * trailer.LOAD_M)),
    )
    without, loaded = (
        found("mass.hitch_high", *vehicle, ("parts.module-100.mass_kg", kg / 2)).actual for kg in (0, trailer.LOAD_KG)
    )
    pressed = trailer.TRAILER_KG - axle_kg

    assert pressed * trailer.G == pytest.approx(trailer.EMPTY_N, abs=0.01)
    assert (pressed + loaded - without) * trailer.G == pytest.approx(trailer.LOADED_N, abs=0.01)


def test_an_item_near_the_coupling_presses_on_it() -> None:
    """Statics, computed: 20 kg at 0.4 of the way from coupling to axle press on the coupling with 12 kg."""
    vehicle = (("vehicle.coupling_x_mm", 5000), ("vehicle.axle_x_mm", 2000), ("bays.box.x_mm", 5000 - 1200))
    without, loaded = (found("mass.hitch_high", *vehicle, ("parts.module-100.mass_kg", kg)).actual for kg in (0, 10))
    assert loaded - without == pytest.approx(12)
