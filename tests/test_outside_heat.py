"""Heat, and air that carries it away, by figures from outside, held through the audit of a whole build.

Stack flow by building ventilation texts and by an American handbook, FOUND; heat of moved air, from memory; charge of
flat panels in early summer, common practice, no source.
"""

from math import sqrt

import numpy as np
import pytest

from optimiser import builds as b
from optimiser.auditing import Finding, audit, breaches
from optimiser.fitted import trace
from tests import handmade
from tests.asking import Change, finding, taken, world
from tests.references import trade, ventilation

FAN: tuple[Change, ...] = (("parts.grille.kind", "fan"), ("parts.grille.flow_m3_h", 36), ("parts.grille.watt_w", 3))
TWO: Change = ("vents", (b.FittedVent("locker", "grille", 2),))
NONE: Change = ("vents", ())


def heat(*changes: Change) -> Finding:
    """Heat of the locker, and what is carried out of it."""
    at = world(*changes)
    return finding(at, "bay.heat[locker]")


def carried_w(*changes: Change) -> float:
    """What vents and fans carry out of the locker."""
    return heat(*changes).limit - heat(*changes, NONE).limit


def air(inside_c: float, outside_c: float) -> tuple[Change, ...]:
    return (("limits.bay_air_max_c", inside_c), ("scenarios.summer.temp_max_c", outside_c))


def test_warm_air_rises_by_the_formula_of_the_texts() -> None:
    """0.01 m2, 0.5 m, 40 C against 30 C at 0.65: 3.638 L/s, 43.9 W; two equal openings pass 1 / sqrt(2) of it."""
    area, height, inside, outside, coefficient, flow = ventilation.STACK
    opening: tuple[Change, ...] = (
        ("parts.grille.free_area_cm2", 1e4 * area),
        ("bays.locker.stack_mm", 1000 * height),
        ("rules.fan_discharge", coefficient),
    )
    wanted = ventilation.US_AIR_J_M3K * flow * (inside - outside) / sqrt(2)
    assert carried_w(*opening, *air(inside, outside)) == pytest.approx(wanted, rel=0.002)


def test_our_vents_carry_no_more_than_the_handbook_has_it() -> None:
    """Q [cfm] = 9.4 A sqrt(h dT), equal inlet and outlet: ours at the rule's coefficient stays below, by a tenth."""
    by_handbook = ventilation.US_FACTOR * (0.01 / 0.3048**2) * sqrt(0.3 / 0.3048 * 18 * 1.8) * 0.3048**3 / 60
    wanted = ventilation.US_AIR_J_M3K * by_handbook * 18
    assert 0.9 * wanted < carried_w(*air(50, 32)) < wanted


def test_a_fan_carries_what_its_air_does() -> None:
    """0.01 m3/s warmed by 10 K: 120.6 W. In a bay that breathes the room, 5 K above outside, half of it."""
    moved = (*FAN, *air(42, 32))
    assert carried_w(*moved) == pytest.approx(120.6)
    assert heat(*moved, TWO).limit - heat(*moved, NONE).limit == pytest.approx(2 * 120.6)
    assert carried_w(*moved, ("bays.locker.air", "cabin")) == pytest.approx(60.3)
    assert carried_w(*moved, ("bays.locker.habitable", True)) == pytest.approx(60.3)
    assert carried_w(*moved, ("bays.locker.air", "cabin"), ("place.cabin_rise_k", 10)) == 0


@pytest.mark.parametrize(
    "breathes",
    [
        (("bays.locker.air", "cabin"),),
        (("bays.locker.habitable", True),),
        (("bays.locker.air", "cabin"), ("place.cabin_rise_k", 11)),  # warmer than the bay may be: fans bring nothing
    ],
)
def test_the_model_breathes_the_same_air(breathes: tuple[Change, ...]) -> None:
    """Heat just inside and just outside of what a fan in the room carries off is seen alike."""
    room = (*FAN, *air(42, 32), *breathes)
    spare = heat(*room).limit - heat(*room).actual + 1  # of the isolator's own 1 W
    for more, holds in ((-0.01, True), (0.01, False)):
        at = world(*room, ("parts.isolator-300.heat_w", spare + more))
        seen = finding(at, "bay.heat[locker]")
        assert seen.ok == holds
        assert taken(at, lambda name: name.startswith("bay.heat")) == holds


def test_fans_draw_at_all_hours() -> None:
    """Two fans of 3 W draw 6 W in every hour, night and day."""
    drawn = [
        trace(at.case, at.catalogue, at.build, at.case.scenarios[0]).loads_w
        for at in (world(*FAN, TWO), world(*FAN, TWO, ("parts.grille.watt_w", 0)))
    ]
    assert drawn[0] - drawn[1] == pytest.approx(np.full(len(drawn[0]), 6.0))


@pytest.mark.parametrize(
    ("part", "amperes", "given_w"),
    [
        ("regulator-20", "out_a", 20 * 14.4 * (1 / 0.97 - 1)),
        ("alternator-charger-30", "charge_a", 48.0),
        ("mains-charger-30", "charge_a", 48.0),
    ],
)
def test_what_is_converted_is_warm_by_its_loss(part: str, amperes: str, given_w: float) -> None:
    """Energy conserved: output at the charging voltage over efficiency; its row's heat where that is more."""
    other = {"alternator-charger-30": "mains-charger-30", "mains-charger-30": "alternator-charger-30"}.get(part)
    still = ((f"parts.{other}.charge_a", 0.001),) if other else ()  # what is warm while the part is not
    off, on = heat((f"parts.{part}.{amperes}", 0.001), *still).actual, heat(*still).actual
    assert on - off == pytest.approx(given_w - 1, abs=0.01)  # the row's 1 W at next to no output
    assert heat((f"parts.{part}.heat_w", 80), *still).actual == pytest.approx(on - given_w + 80)


def test_an_inverter_charger_is_warm_by_what_it_converts_on_hook_up() -> None:
    """Energy conserved: 100 A at 14.4 V over 90 % lose 160 W, more than the 600 W of its sockets and its row do."""
    warm = ("parts.mains-charger-30.charge_a", 0.001), ("parts.alternator-charger-30.charge_a", 0.001)
    inverter = "parts.inverter-1500"
    charging = ((f"{inverter}.charge_a", 100), (f"{inverter}.transfer_a", 20))
    alone = heat(*warm).actual
    assert heat(*warm, *charging).actual - alone == pytest.approx(160 - (600 * (1 / 0.9 - 1) + 5), abs=0.01)


@pytest.mark.parametrize(("isolator_w", "holds"), [(18.46, True), (18.48, False)])
def test_the_model_counts_what_an_inverter_charger_converts(isolator_w: float, holds: bool) -> None:
    """199.375 W are carried; it loses 160, the mains charger of 5 A 8, the regulator 8.907, four others 1 each."""
    inverter, loads = "parts.inverter-1500", handmade.case().loads
    at = world(
        (f"{inverter}.charge_a", 100), (f"{inverter}.transfer_a", 20), ("parts.mains-charger-30.charge_a", 5),
        ("runs", (*handmade.build().runs, b.Run("inverter_in", "locker", "locker", (), "mains-2.5"))),
        ("loads", tuple(load for load in loads if load.name != "fire")), ("parts.isolator-300.heat_w", isolator_w),
    )  # fmt: skip
    assert (breaches(audit(at.case, at.catalogue, at.build)) == ()) is holds
    assert taken(at) is holds


@pytest.mark.parametrize(("clearness", "amperes", "near"), [(1.0, trade.MIDDAY_A, 0.10), (0.4, trade.OVERCAST_A, 0.15)])
def test_charge_of_flat_panels(clearness: float, amperes: float, near: float) -> None:
    """Per 100 W in early summer at 30 S: the best hour of a clear day, the mean of an overcast one from 8 to 18 h."""
    at = world(
        *(("place.latitude", -30), ("place.longitude", 151), ("place.utc_offset_h", 10)),
        *(("scenarios.summer.month", 12), ("scenarios.summer.day", 5), ("scenarios.summer.clearness", clearness)),
        *(("scenarios.summer.temp_max_c", 32 if clearness < 1 else 26), ("scenarios.summer.temp_min_c", 15)),
    )
    found = trace(at.case, at.catalogue, at.build, at.case.scenarios[0])
    hour = found.hour % 24
    each_a = found.given_w["sun"][(hour >= 8) & (hour < 18)] / 2 / trade.CHARGING_V
    assert (each_a.max() if clearness == 1 else each_a.mean()) == pytest.approx(amperes, rel=near)
