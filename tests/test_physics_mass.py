"""Moments against a statics exercise and the trade's own sums."""

from collections.abc import Callable

import pytest

from optimiser.physics import mass
from tests.references import trailer


def press_n(mass_kg: float, from_coupling_m: float) -> float:
    """Force of one mass on the coupling of the exercise's trailer. [N]"""
    share = mass.hitch_share_kg(
        mass_kg=mass_kg,
        ahead_of_axle_mm=1000 * (trailer.AXLE_M - from_coupling_m),
        coupling_to_axle_mm=1000 * trailer.AXLE_M,
    )
    return share * trailer.G


def test_empty_and_loaded_trailer() -> None:
    """The load behind the axle turns the sign: the coupling lifts."""
    empty = press_n(trailer.TRAILER_KG, trailer.TRAILER_M)
    assert empty == pytest.approx(trailer.EMPTY_N, abs=0.01)
    loaded = empty + press_n(trailer.LOAD_KG, trailer.LOAD_M)
    assert loaded == pytest.approx(trailer.LOADED_N, abs=0.01)


def test_load_that_frees_the_coupling() -> None:
    empty = press_n(trailer.TRAILER_KG, trailer.TRAILER_M)
    per_metre = press_n(trailer.LOAD_KG, trailer.AXLE_M) - press_n(trailer.LOAD_KG, trailer.AXLE_M + 1)
    assert pytest.approx(trailer.AXLE_M + empty / per_metre, abs=1e-4) == trailer.BALANCE_M
    assert empty + press_n(trailer.LOAD_KG, trailer.BALANCE_M) == pytest.approx(0, abs=0.2)  # 0.1 mm is 0.25 N


@pytest.mark.parametrize(("from_coupling", "hitch"), [(0.4, 12.0), (1.0, 0.0), (1.25, -5.0), (0.0, 20.0)])
def test_one_item_of_20_kg(from_coupling: float, hitch: float) -> None:
    """m (1 - x / L) with x from the coupling (statics, computed); hitch and axle make the whole."""
    length = 4500.0
    item = {"mass_kg": 20.0, "ahead_of_axle_mm": (1 - from_coupling) * length, "coupling_to_axle_mm": length}
    assert mass.hitch_share_kg(**item) == pytest.approx(hitch)
    assert mass.axle_share_kg(**item) == pytest.approx(20 - hitch)


def test_batteries_in_a_front_boot() -> None:
    """Common practice, no source: 60 kg, 3.5 m ahead of the axle of a 4.5 m drawbar: 47 kg more on the ball."""
    share = mass.hitch_share_kg(mass_kg=60, ahead_of_axle_mm=3500, coupling_to_axle_mm=4500)
    assert share == pytest.approx(47, abs=0.5)


def test_ball_load_on_the_tow_car() -> None:
    """Common practice, no source: the rear axle gains ball load x (1 + overhang / wheelbase)."""
    front, rear = mass.axle_loads_kg(mass_kg=270, x_mm=-1500, front_axle_x_mm=2750, rear_axle_x_mm=0)
    assert rear == pytest.approx(270 * (1 + 1500 / 2750))
    assert rear == pytest.approx(417, abs=1)
    assert front + rear == pytest.approx(270)


@pytest.mark.parametrize(("x", "front", "rear"), [(4300, 100, 0), (800, 0, 100), (2550, 50, 50), (5000, 120, -20)])
def test_axles_of_a_van(x: float, front: float, rear: float) -> None:
    """Statics: an item over an axle rests on it, half way on both, beyond an axle it lifts the other."""
    loads = mass.axle_loads_kg(mass_kg=100, x_mm=x, front_axle_x_mm=4300, rear_axle_x_mm=800)
    assert loads == pytest.approx((front, rear))


@pytest.mark.parametrize(("y", "difference"), [(900, 40), (0, 0), (-450, -20), (-900, -40)])
def test_side_load(y: float, difference: float) -> None:
    """Statics: over the left wheels all of it is left, over the right ones all of it is right."""
    assert mass.side_load_kg(mass_kg=40, y_mm=y, track_mm=1800) == pytest.approx(difference)


REFUSED: dict[str, Callable[[], object]] = {
    "coupling to axle": lambda: mass.axle_share_kg(mass_kg=1, ahead_of_axle_mm=1, coupling_to_axle_mm=0),
    "ahead of the rear": lambda: mass.axle_loads_kg(mass_kg=1, x_mm=1, front_axle_x_mm=0, rear_axle_x_mm=0),
    "track": lambda: mass.side_load_kg(mass_kg=1, y_mm=1, track_mm=0),
}


def test_what_is_taken_out_counts_the_other_way() -> None:
    """Statics are linear: 20 kg less takes off what 20 kg more puts on."""
    away = mass.hitch_share_kg(mass_kg=-20, ahead_of_axle_mm=2400, coupling_to_axle_mm=4000)
    assert away == -mass.hitch_share_kg(mass_kg=20, ahead_of_axle_mm=2400, coupling_to_axle_mm=4000) == -12


@pytest.mark.parametrize("reason", REFUSED)
def test_out_of_range_is_refused(reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        REFUSED[reason]()
