"""Breakers and circuits of mains held to published figures, through the audit of a whole build.

Sources: *Basic Electrical Installation Work*, 5th edition, worked example on page 301 with its table adapted from the
IEE On-Site Guide (read as a page); *The Electrician's Guide to the 16th Edition*, section 7.9.2, of BS 7671 (read as a
page; that edition is superseded).
"""

import pytest

from tests.asking import broken, finding, taken, world
from tests.edges_breakers import FILLED

CABLE = "parts.mains-2.5"


def test_a_breaker_is_no_more_than_its_cable_carries_where_it_is_warm() -> None:
    """Worked example: 32 A at 35 C, factor 0.94, want a cable of 34.04 A by its table (breaker.under_cable)."""
    warm = ("limits.bay_air_max_c", 35), ("ways.sockets_way.temp_c", 35)
    at = world(*FILLED, *warm, (f"{CABLE}.ampacity_a", 34.04), (f"{CABLE}.duct_ampacity_a", 34.04))
    on_cable = finding(at, "breaker.under_cable[outlet_sockets]")

    assert on_cable.limit == pytest.approx(32, rel=6e-3)  # the factor is printed with two digits: 0.9354 by its formula
    assert on_cable.limit <= 32


def test_the_drop_of_a_circuit_is_that_of_the_table() -> None:
    """Two cores of 4 mm2, class 2 of IEC 60228 (4.61 ohm/km), 70 C: 11 mV an ampere and a metre (run.drop)."""

    def drop(length_mm: int) -> float:
        at = world(*FILLED, (f"{CABLE}.ohm_per_km", 4.61), ("ways.heater_way.length_mm", length_mm))
        return finding(at, "run.drop[outlet_heater]").actual

    amps = 500 / 230
    assert (drop(11_000) - drop(1_000)) / 10 / amps == pytest.approx(0.011, rel=5e-3)


@pytest.mark.parametrize(("trips_ma", "ok"), [(10, True), (30, True), (100, False), (300, False)])
def test_a_residual_current_device_trips_at_30_ma(trips_ma: float, ok: bool) -> None:
    """For a caravan a double-pole device of 30 mA (breaker.residual)."""
    at = world(*FILLED, ("parts.residual-inverter.residual_ma", trips_ma))

    assert (broken(at) == set()) == ok
    assert taken(at) == ok
