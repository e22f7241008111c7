"""What lithium and lead-acid batteries stand, by figures from outside, held through the audit of a whole build.

A general handling guide of lithium iron phosphate cells, FOUND: charging at 0 to 45 C, no more than a fifth of the
capacity an hour below 10 C. NEC 552.10(D) of 2008, FOUND: no lead-acid battery with what may spark, openings of
1.7 in2. IEC 62485-2, second hand: openings by gas.
"""

from typing import Any

import numpy as np
import pytest

from optimiser import builds as b
from optimiser.auditing import audit
from optimiser.basis import volts
from optimiser.fitted import trace
from optimiser.reading import read_catalogue, shipped_catalogue
from tests import handmade
from tests.asking import Change, broken, finding, world
from tests.handmade import World
from tests.knobs import changed
from tests.pinning import accepts
from tests.references import iec_62485, nec, trade
from tests.worlds import AT_24_V

MODULE, CHARGER = "parts.module-100", "parts.alternator-charger-30"
LOUD: Change = ("loads.fridge.watt_w", 400)  # more than comes in, so that the lowest charge is at the end
STRONG: Change = (f"{CHARGER}.charge_a", 100)
ALL_DAY: tuple[Change, ...] = (("scenarios.summer.drive_from_h", 8), ("scenarios.summer.drive_to_h", 18))
UNPLUGGED = (("scenarios.summer.hook_up_from_h", None), ("scenarios.summer.hook_up_to_h", None))
LITTLE_BY_LITTLE: tuple[Change, ...] = (*UNPLUGGED, ("loads.fridge.watt_w", 100))  # each Wh that goes in tells
COLD: Change = ("scenarios.summer.temp_min_c", 2)  # 5 C in the bank's bay
FREEZING: Change = ("scenarios.summer.temp_min_c", 1)  # 4 C there
UNEQUAL: tuple[Change, ...] = (("rules.parallel_share", 0.5), (f"{MODULE}.charge_a", 20))
HOT: Change = ("scenarios.summer.temp_max_c", 41)  # 46 C there


def gained_a(at: World) -> np.ndarray[Any, np.dtype[np.float64]]:
    """What the bank took in each hour of the scenario [A at its nominal voltage]."""
    scenario = at.case.scenarios[0]
    soc = np.concatenate([[scenario.start_pct], trace(at.case, at.catalogue, at.build, scenario).soc_pct])
    held_wh = volts.bank_capacity_wh(at.case, handmade_module(at), series=1, parallel=2)
    return np.diff(soc) / 100 * held_wh / volts.CHARGE_EFFICIENCY / volts.nominal_v(12)


def handmade_module(at: World) -> Any:
    return at.catalogue.of("modules")["module-100"]


def test_cells_at_5_c_take_a_fifth_of_their_capacity() -> None:
    """100 Ah at 5 C: at most 20 A; two modules side by side 40 A, whatever the charger gives."""
    given = (STRONG, *ALL_DAY, *UNPLUGGED, ("scenarios.summer.start_pct", 40))
    warm, cold = gained_a(world(*given)), gained_a(world(*given, COLD))
    assert warm.max() > 60
    assert cold.max() == pytest.approx(40)


@pytest.mark.parametrize(("coldest_c", "most_a"), [(6.9, 40), (7.0, 100)])
def test_cells_below_10_c_are_slow(coldest_c: float, most_a: float) -> None:
    """The bay is 3 K warmer than the night."""
    at = world(STRONG, *ALL_DAY, *UNPLUGGED, ("scenarios.summer.start_pct", 40), ("scenarios.summer.clearness", 0.0))
    gained = gained_a(changed(at, "scenarios.summer.temp_min_c", coldest_c)).max()
    assert gained == pytest.approx(40) if most_a == 40 else 60 < gained < most_a


def test_cells_that_are_heated_or_small_take_what_they_take_when_warm() -> None:
    given = (STRONG, *ALL_DAY, *UNPLUGGED, ("scenarios.summer.start_pct", 40), COLD)
    assert gained_a(world(*given, (f"{MODULE}.heater_w", 60))).max() > 60
    assert gained_a(world(*given, (f"{MODULE}.charge_a", 10))).max() == pytest.approx(20)


@pytest.mark.parametrize(("coldest_c", "holds"), [(-3.0, True), (-3.1, False)])
def test_no_charging_below_0_c(coldest_c: float, holds: bool) -> None:
    """The bay is 3 K warmer than the night: 0 C may be charged in, -0.1 C not."""
    assert ("battery.cold[box]" not in broken(world(("scenarios.summer.temp_min_c", coldest_c)))) == holds


@pytest.mark.parametrize(("air_c", "charges"), [(40.0, True), (40.1, False)])
def test_no_charging_above_45_c(air_c: float, charges: bool) -> None:
    """The bay 5 K above air that is as warm all day: 45 C may be charged in, 45.1 C not."""
    air = tuple((f"scenarios.summer.temp_{end}_c", air_c) for end in ("min", "max"))
    gained = gained_a(world(*air, *ALL_DAY, *UNPLUGGED, ("scenarios.summer.start_pct", 50)))[:24]
    assert (gained.max() > 20) == charges
    assert charges or gained.max() <= 0


def test_nothing_goes_in_while_it_is_warmer_than_45_c() -> None:
    """The bay 5 K above air of up to 41 C: above 45 C in the two hours around 15 o'clock alone."""
    at = world(HOT, *ALL_DAY, *UNPLUGGED, ("scenarios.summer.start_pct", 50), (f"{CHARGER}.charge_a", 15))
    hot, cool = gained_a(at)[:24], gained_a(changed(at, "scenarios.summer.temp_max_c", 35.0))[:24]
    assert hot[14:16].max() <= 0
    assert min(hot[13], hot[16], *cool[13:17]) > 10


def test_modules_that_share_unevenly_take_less() -> None:
    """Two of 20 A at half of their sum."""
    given = (*ALL_DAY, *UNPLUGGED, ("scenarios.summer.start_pct", 40))
    assert gained_a(world(*given, *UNEQUAL)).max() == pytest.approx(20)


@pytest.mark.parametrize(("coldest_c", "each_w"), [(1.9, 40), (2.0, 0)])
def test_heaters_draw_all_through_a_scenario_whose_bay_falls_below_5_c(coldest_c: float, each_w: float) -> None:
    """The bay is 3 K warmer than the night; two modules, with heaters of 20 W or of 60 W."""
    drawn = [
        trace(at.case, at.catalogue, at.build, at.case.scenarios[0]).loads_w
        for heater_w in (20, 60)
        for at in [world(("scenarios.summer.temp_min_c", coldest_c), (f"{MODULE}.heater_w", heater_w))]
    ]
    assert drawn[1] - drawn[0] == pytest.approx(np.full(len(drawn[0]), 2 * each_w))


def test_heaters_draw_on_days_without_sun() -> None:
    """24 + 30 x 5 / 24 + 600 / 24 / 0.9 + 8.1 W of all else, and two heaters of 10 or of 20 W."""

    def days(at: World) -> float:
        return finding(at, "energy.autonomy").actual

    little, much = (world(FREEZING, (f"{MODULE}.heater_w", each_w)) for each_w in (10, 20))
    others_w = 24 + 30 * 5 / 24 + 600 / 24 / 0.9 + 8.1
    assert days(little) / days(much) == pytest.approx((others_w + 40) / (others_w + 20))
    for more, holds in ((-0.003, True), (0.003, False)):
        at = changed(much, "limits.autonomy_days", days(much) + more)
        assert accepts(at.case, at.catalogue, at.build, lambda name: name == "energy.autonomy") == holds


# --- capacity in the cold -----------------------------------------------------------------------------

AS_TRADED: tuple[Change, ...] = tuple(
    (f"{MODULE}.{column}", 100 * share)
    for column, (_, share) in zip(("capacity_0c_pct", "capacity_minus_20c_pct"), trade.COLD_CAPACITY, strict=True)
)
NIGHT = "scenarios.summer.temp_min_c"  # the bank's bay is 3 K warmer


def at_bank(cell_c: float) -> Change:
    return (NIGHT, cell_c - 3)


@pytest.mark.parametrize(("cell_c", "share"), [*trade.COLD_CAPACITY, (25, 1), (40, 1), (-10, 0.65), (-20.1, 0)])
def test_a_cold_bank_gives_less(cell_c: float, share: float) -> None:
    """What the cold keeps back is the floor where it is more than the 15 % asked for, and for days without sun.

    Half way between its two figures the table leaves the middle; below it cells are not discharged.
    """
    warm, cold = world(*AS_TRADED, at_bank(25)), world(*AS_TRADED, at_bank(cell_c))
    assert finding(cold, "energy.floor[summer]").limit == pytest.approx(max(15, 100 * (1 - share)))
    lasts = finding(cold, "energy.autonomy").actual / finding(warm, "energy.autonomy").actual
    assert lasts == pytest.approx(min(share, 0.85) / 0.85)


def test_a_heated_module_in_the_cold_gives_what_it_gives_at_5_c() -> None:
    """On the trade's line from 80 % at 0 C: 84 % at the 5 C that its heater holds."""
    heated = world(*AS_TRADED, at_bank(-20), (f"{MODULE}.heater_w", 60))
    assert finding(heated, "energy.floor[summer]").limit == pytest.approx(16)


def test_modules_of_the_catalogue_give_no_more_in_the_cold_than_the_trade_says() -> None:
    (at_0c, most_0c), (at_minus_20c, most_minus_20c) = trade.COLD_CAPACITY
    assert (at_0c, at_minus_20c) == (0, -20)
    for module in read_catalogue(shipped_catalogue()).of("modules").values():
        assert module.capacity_0c_pct <= 100 * most_0c, module.name
        assert module.capacity_minus_20c_pct <= 100 * most_minus_20c, module.name


def test_the_model_lets_cold_keep_back_as_much() -> None:
    """Modules that give as much at 0 C as the loads take pass both, those that give a little less neither."""
    at = world(LOUD, at_bank(0), ("scenarios.summer.returns", False))
    taken = 100 - finding(at, "energy.floor[summer]").actual
    assert taken < 85
    for gives_pct, holds in ((taken + 0.05, True), (taken - 0.05, False)):
        held = changed(at, f"{MODULE}.capacity_0c_pct", gives_pct)
        assert ("energy.floor[summer]" not in broken(held)) == holds
        assert accepts(held.case, held.catalogue, held.build, lambda r: r.startswith("energy.floor")) == holds


SHARED: tuple[Change, ...] = (
    *((f"{CHARGER}.{key}", value) for key, value in (
        ("solar_v_max", 75), ("solar_isc_max_a", 20), ("solar_out_a", 30), ("solar_start_above_v", 5),
        ("solar_over_panel_ratio", 1.5),
    )),
    ("arrays.a.regulator", "alternator_charger"),
    ("fitted.regulator_1", None),
    ("runs.regulator_1", None),
)  # fmt: skip
ONE_EACH: tuple[Change, ...] = (  # a panel on the alternator charger, another on the regulator
    *SHARED[:5],
    ("arrays", (
        b.PanelArray("a", "panel-100", "sun", 1, 1, "alternator_charger"),
        b.PanelArray("b", "panel-100", "sun", 1, 1, "regulator_1"),
    )),
    ("panels.1.string", "b.1"),
    ("runs", (*handmade.build().runs, b.Run("solar_b", "roof_point", "locker", ("roof_way",), "solar-6"))),
)  # fmt: skip
WORLDS = {
    "cold": (COLD, STRONG, *ALL_DAY),
    "cold, at 24 V": (*AT_24_V, COLD, STRONG, *LITTLE_BY_LITTLE),
    "cold and unequal": (COLD, STRONG, ("rules.parallel_share", 0.5), *LITTLE_BY_LITTLE),
    "hot": (HOT, STRONG, *ALL_DAY),
    "hot, without sun": (
        *(HOT, ("scenarios.summer.clearness", 0.0), *UNPLUGGED, ("loads.fridge.watt_w", 20)),
        *(("scenarios.summer.drive_from_h", 13), ("scenarios.summer.drive_to_h", 17)),
    ),
    "heated": (FREEZING, STRONG, (f"{MODULE}.heater_w", 60), *ALL_DAY),
    "one output": (*SHARED, *ALL_DAY),
    "one output, more of the sun": (*SHARED, (f"{CHARGER}.solar_out_a", 35), *ALL_DAY),
    "one output, and a regulator": (*ONE_EACH, *ALL_DAY),
    "a fan": (("vents", (*handmade.build().vents, b.FittedVent("box", "grille", 1))), ("parts.grille.watt_w", 5)),
    "unequal modules": (*UNEQUAL, STRONG, *LITTLE_BY_LITTLE),
}


@pytest.mark.parametrize("name", WORLDS)
def test_the_model_sees_the_same_charge_at_the_end(name: str) -> None:
    """A floor just below the lowest charge the audit finds is held by the model, one just above it is not."""
    at = world(LOUD, *WORLDS[name], ("scenarios.summer.returns", False), ("limits.autonomy_days", 0))
    plain = world(LOUD, ("scenarios.summer.returns", False))
    lowest, before = (min(trace(w.case, w.catalogue, w.build, w.case.scenarios[0]).soc_pct) for w in (at, plain))
    assert abs(lowest - before) > 1  # it matters

    def floor_at(percent: float) -> World:
        return changed(at, "limits.soc_floor_pct", float(percent))

    def active(requirement: str) -> bool:
        return requirement.startswith("energy.floor")

    for percent, holds in ((lowest - 0.05, True), (lowest + 0.05, False)):
        held = floor_at(percent)
        assert ("energy.floor[summer]" not in broken(held)) == holds
        assert accepts(held.case, held.catalogue, held.build, active) == holds


def test_an_alternator_charger_gives_no_more_than_its_rating() -> None:
    """Its maker's 30 A, by engine and sun together, in every hour and in the run to the busbars."""
    at = world(*SHARED, *ALL_DAY)
    found = trace(at.case, at.catalogue, at.build, at.case.scenarios[0])
    most_w = 30 * volts.nominal_v(12)
    assert (found.given_w["sun"] + found.given_w["alternator"]).max() <= most_w
    assert found.given_w["sun"].max() > 0
    carried = {f.requirement: f.actual for f in audit(at.case, at.catalogue, at.build)}
    assert carried["run.ampacity[alternator]"] == 30


# --- lead-acid batteries that stay ---------------------------------------------------------------------


def test_a_lead_acid_battery_beside_an_inverter_in_the_room_is_refused() -> None:
    """As it stood in a living-space bay with cabin air, with openings that let its gas into the room."""
    old = handmade.case().existing[0].model_copy(update={"board": "locker.wall", "x_mm": 50, "y_mm": 560})
    at = world(("existing", (old,)), ("bays.locker.air", "cabin"), ("bays.locker.habitable", True))
    assert {"battery.lead_acid[locker]", "bay.hydrogen[locker]"} <= broken(at)
    assert not accepts(at.case, at.catalogue, at.build)


OPEN_NOSE: tuple[Change, ...] = (("bays.nose.vent_cm2", 0), ("vents", (b.FittedVent("nose", "grille", 1),)))


@pytest.mark.parametrize(
    ("changes", "holds"),
    [
        ((), True),
        ((("parts.grille.kind", "fan"), ("parts.grille.flow_m3_h", 50)), False),  # it may stand still
        ((("bays.nose.air", "cabin"),), False),  # into the room is not out
        ((("bays.nose.habitable", True),), False),
    ],
)
def test_only_openings_to_the_outside_let_its_gas_out(changes: tuple[Change, ...], holds: bool) -> None:
    at = world(*OPEN_NOSE, *changes)
    assert ("bay.hydrogen[nose]" not in broken(at)) == holds
    assert accepts(at.case, at.catalogue, at.build, lambda name: name.startswith("bay.hydrogen")) == holds


@pytest.mark.parametrize(("cells", "capacity_ah", "gas", "flow", "opening_cm2"), iec_62485.EXAMPLES)
def test_openings_for_its_gas(cells: int, capacity_ah: float, gas: float, flow: float, opening_cm2: float) -> None:
    old = handmade.case().existing[0].model_copy(update={"cells": cells, "capacity_ah": capacity_ah})
    at = world(("existing", (old,)), ("rules.hydrogen_gas_ma_per_ah", gas))
    wanted = finding(at, "bay.hydrogen[nose]").limit
    assert wanted == pytest.approx(opening_cm2, rel=0.01)


def test_openings_of_a_common_battery_are_no_less_than_those_of_a_battery_box() -> None:
    """NEC 552.10(D): 1.7 in2 at top and bottom; ours of 100 Ah at the boost gassing of its standard."""
    at = world()
    wanted = finding(at, "bay.hydrogen[nose]").limit
    assert 100 * wanted > nec.RV_BATTERY_OPENING_MM2


def test_nothing_else_of_the_bank_is_moved_by_it() -> None:
    """Sealed from the room and alone, it holds as before."""
    at = world(("bays.nose.air", "sealed"), ("bays.nose.habitable", True))
    assert broken(at) == set()
