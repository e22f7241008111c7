"""Figures from outside the project, held through the audit of a whole build: faults, fuses, the chain."""

from math import inf

import pytest

from optimiser.case import Van
from optimiser.parts import Module
from optimiser.reading import read_catalogue, shipped_catalogue
from tests.asking import Change, found
from tests.edges import AT_24_V, OFF_TERMINAL, POWER_OUTSIDE
from tests.references import abyc_e11, cfr_33_183, iec_60228, short_circuit

FULL_V = 14.6  # four cells of 3.65 V: what a full bank of 12 V drives a fault with
MODULE_MOHM = "parts.module-100.resistance_mohm"
MAIN_BREAKS_A = "parts.fuse-200.breaking_12v_a"


def amperes_a_volt(requirement: str, *changes: Change) -> float:
    return found(requirement, *changes).limit / FULL_V


# --- prospective fault current -----------------------------------------------------------------------


@pytest.mark.parametrize(("banks", "printed_ka"), short_circuit.GUIDE_KA.items())
def test_fault_of_the_guides_cells(banks: int, printed_ka: float) -> None:
    """110 cells of 0.5 mohm at 240 V, one and four banks of them (direct-current distribution guide): here the same
    cells at the voltage of a 12 V bank, so amperes a volt are compared; printed to three digits."""
    cells = ((MODULE_MOHM, short_circuit.GUIDE_CELL_MOHM), ("bank.series", short_circuit.GUIDE_CELLS))
    per_volt = amperes_a_volt("run.fuse_breaking[main]", *cells, ("bank.parallel", banks))
    assert per_volt == pytest.approx(1000 * printed_ka / short_circuit.GUIDE_V, rel=0.003)


@pytest.mark.parametrize(("loop_m", "amperes"), short_circuit.OWN)
def test_fault_behind_a_run_counts_its_copper_out_and_back(loop_m: float, amperes: float) -> None:
    """13.3 V, 2 mohm, 50 mm2 of class 5: half of the loop goes one way, of which 600 mm in the two bays."""
    way_mm = round(1000 * loop_m / 2) - 600
    per_volt = amperes_a_volt("run.fuse_breaking[inverter]", ("ways.main_way.length_mm", way_mm), (MODULE_MOHM, 4))
    assert per_volt == pytest.approx(amperes / 13.3, abs=0.1)


def test_a_blade_serves_a_small_feed_behind_a_fused_panel() -> None:
    """Class 5 copper of IEC 60228 (second hand): 3.2 m of 50 mm2 to the busbars and 3.6 m of 6 mm2 to the panel, out
    and back, leave no more of a fault than the 1000 A of ISO 8820-3; at the busbars the same blade would not do."""
    class_5 = iec_60228.CLASS_5_OHM_PER_KM
    upstream_ohm = (2 + class_5[50] * 3.2 + class_5[6] * 3.6) / 1000
    at_panel = found("run.fuse_breaking[pass_aerial]", *POWER_OUTSIDE)
    assert at_panel.limit == pytest.approx(FULL_V / upstream_ohm, rel=1e-6)
    blade = ("parts.fuse-10.breaking_12v_a", CATALOGUE.of("fuses")["fuse-blade-10"].breaking_a(12))
    assert found("run.fuse_breaking[pass_aerial]", *POWER_OUTSIDE, blade).ok
    assert not found("run.fuse_breaking[dc_loads]", blade).ok


@pytest.mark.parametrize(("cranking_a", "fault_a"), abyc_e11.STARTER_FAULTS_A.items())
def test_fault_of_a_starter_battery_by_its_class(cranking_a: float, fault_a: float) -> None:
    assert found("run.fuse_breaking[alternator_feed]", ("alternator.cranking_a", cranking_a)).limit == fault_a


def test_a_starter_battery_nobody_looked_at_is_taken_as_the_largest() -> None:
    assert found("run.fuse_breaking[alternator_feed]").limit == max(abyc_e11.STARTER_FAULTS_A.values())
    known = (("alternator.cranking_a", 600), ("alternator.fault_a", 2200))
    assert found("run.fuse_breaking[alternator_feed]", *known).limit == 2200


# --- what fuses break --------------------------------------------------------------------------------


BANKS = [(3.5, 4, 16.7), (2.2, 3, 19.9), (2.6, 3, 16.8)]  # modules of 125, 280 and 200 Ah: mohm each, how many, kA


@pytest.mark.parametrize(("mohm", "parallel", "ka"), BANKS)
def test_ten_kiloamperes_do_not_break_what_a_large_bank_drives(mohm: float, parallel: int, ka: float) -> None:
    bank = ((MODULE_MOHM, mohm), ("bank.parallel", parallel))
    fault = found("run.fuse_breaking[main]", *bank, (MAIN_BREAKS_A, 10_000))
    assert fault.limit == pytest.approx(1000 * ka, rel=0.005)
    assert not fault.ok
    assert found("run.fuse_breaking[main]", *bank, (MAIN_BREAKS_A, 20_000)).ok  # class T


CATALOGUE = read_catalogue(shipped_catalogue())
MODULES_12_V = [m for m in CATALOGUE.of("modules").values() if isinstance(m, Module) and m.nominal_v == 12.8]
BANKS_12_V = [(m, parallel) for m in MODULES_12_V for parallel in range(1, m.parallel_max + 1)]


@pytest.mark.parametrize(("module", "parallel"), BANKS_12_V, ids=lambda x: x.name if isinstance(x, Module) else x)
def test_class_t_where_the_trade_asks_for_it(module: Module, parallel: int) -> None:
    """A stud fuse passes no bank above 300 Ah, nor any above 5 kA."""
    bank = ((MODULE_MOHM, module.resistance_mohm), ("bank.parallel", parallel))
    stud, class_t = (
        found("run.fuse_breaking[main]", *bank, (MAIN_BREAKS_A, CATALOGUE.of("fuses")[name].breaking_a(12)))
        for name in ("fuse-stud-200", "fuse-class-t-200")
    )
    assert stud.actual == 1000 * short_circuit.STUD_KA[32]  # 14.6 V is above the 14 V of the higher figure
    assert stud.ok == (stud.limit <= 1000 * short_circuit.CLASS_T_ABOVE_KA)
    assert not (stud.ok and module.capacity_ah * parallel > short_circuit.CLASS_T_ABOVE_AH)
    assert class_t.ok == (class_t.limit <= 20_000)


def test_the_fuse_of_a_module_breaks_what_all_the_others_drive_back() -> None:
    """The guide's four banks: three of them drive 3 x 4.364 kA into the fourth, one 4.364 kA out of its own fuse.

    A bank alone drives those out of its own fuse as well.
    """
    cells = ((MODULE_MOHM, short_circuit.GUIDE_CELL_MOHM), ("bank.series", short_circuit.GUIDE_CELLS))
    fused = (*cells, ("bank.fuse", "fuse-125"))
    one_ka = short_circuit.GUIDE_KA[1]
    for parallel, banks in ((4, 3), (3, 2), (2, 1), (1, 1)):
        per_volt = amperes_a_volt("battery.module_breaking", *fused, ("bank.parallel", parallel))
        assert per_volt == pytest.approx(1000 * banks * one_ka / short_circuit.GUIDE_V, rel=0.003)


def test_a_device_for_each_battery_of_a_bank_above_five_hundred_ampere_hours() -> None:
    """Small-craft practice, second hand; at the bank's own voltage, so modules in series do not add."""
    for rules in CATALOGUE.rule_sets.values():
        assert rules["module_fuse_from_ah"] == 500
    asked = [("parts.module-100.capacity_ah", 126), ("bank.parallel", 4)]
    assert not found("battery.module_fuse", *asked).ok
    for spared in ([("parts.module-100.capacity_ah", 125), ("bank.parallel", 4)], [("bank.series", 5)],
                   [("parts.module-100.capacity_ah", 600), ("bank.parallel", 1)]):  # fmt: skip
        with pytest.raises(StopIteration):
            found("battery.module_fuse", *spared)


# --- the chain ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("requirement", "knob", "rating_a", "fuse_a"),
    [
        ("protect.isolator", "parts.isolator-300.rating_a", 100, 150),
        ("protect.isolator", "parts.isolator-300.rating_a", 300, 350),
        ("protect.busbar", "parts.busbar-250.rating_a", 100, 150),
        ("protect.busbar", "parts.busbar-250.rating_a", 250, 300),
        ("run.fuse_holder[main]", "parts.holder-main.rating_max_a", 300, 350),
    ],
)
def test_nothing_in_the_chain_is_for_less_than_the_fuse_before_it(
    requirement: str, knob: str, rating_a: float, fuse_a: float
) -> None:
    """In <= the rating of what it guards: IEC 60364-4-43 433.1 (as quoted elsewhere) for each part as for a cable."""
    light = tuple((f"parts.inverter-1500.watt_{c}c_w", 500) for c in (25, 40))  # the current alone would pass
    fault = found(requirement, *light, (knob, rating_a), ("parts.fuse-200.rating_a", fuse_a))
    assert (fault.limit, fault.actual, fault.ok) == (fuse_a, rating_a, False)
    assert found(requirement, *light, (knob, rating_a), ("parts.fuse-200.rating_a", rating_a)).ok


def test_without_a_main_fuse_the_current_still_counts() -> None:
    """1500 / (0.9 x 12) + 90 / 12."""
    assert found("protect.isolator", ("runs.main.fuse", "")).limit == pytest.approx(146.39, abs=0.01)
    assert found("protect.busbar", ("runs.main.fuse", "")).limit == pytest.approx(146.39, abs=0.01)


def test_a_shunt_channel_stands_what_its_fuse_lets_through() -> None:
    """A fuse of 175 A feeds an inverter of 139 A: a shunt of 150 A in its path would be the weakest part of it."""
    assert found("measure.channels[175 A]").actual == 1
    assert not found("measure.channels[175 A]", ("parts.shunt-1x300.rating_a", 150)).ok


def test_tails_before_the_fuses_are_no_longer_than_the_regulation_lets_them_be() -> None:
    """33 CFR 183.455(b)(2), read: 40 in where the conductor is in a sheath or an enclosure."""
    for rules in CATALOGUE.rule_sets.values():
        assert rules["tail_distance_mm"] <= cfr_33_183.SHEATHED_MM  # au-nz asks for less
    assert CATALOGUE.rule_sets["us-ca"]["tail_distance_mm"] == cfr_33_183.SHEATHED_MM
    far = (("boards.wall.length_mm", 3000), ("fitted.fuse_row.y_mm", 50))
    assert found("run.tail_distance", *far, ("fitted.fuse_row.x_mm", 150 + 1016)).ok
    assert not found("run.tail_distance", *far, ("fitted.fuse_row.x_mm", 150 + 1017)).ok


def test_fuses_in_another_bay_than_the_busbars_are_out_of_reach() -> None:
    tail = found("run.tail_distance", ("fitted.fuse_row.board", "nose.side"))
    assert not tail.ok
    assert tail.actual == inf


# --- how far the main fuse is from its source --------------------------------------------------------

SMALL = tuple(  # a block of 60 x 20 mm and a holder of 20 x 20, both 40 off the floor with their clearance
    (f"parts.{part}.{side}_mm", 20) for part in ("module-100", "holder-main") for side in ("length", "width", "height")
)
SEVEN_INCHES: Change = ("rules.fuse_distance_mm", CATALOGUE.rule_sets["small-craft"]["fuse_distance_mm"])


@pytest.mark.parametrize(("away_mm", "holds"), [(178, True), (180, False)])
def test_seven_inches_along_the_conductor_wherever_terminals_are(away_mm: int, holds: bool) -> None:
    """33 CFR 183.455(b)(1), read: from far end to far end, 20 mm across and 40 down: terminals are not surveyed."""
    assert SEVEN_INCHES[1] == cfr_33_183.FREE_MM
    begins_mm = 50 + away_mm - 20 - 40 - 20  # the bank begins at 50, the holder is 20 long
    fuse = found("run.fuse_distance", OFF_TERMINAL, *SMALL, SEVEN_INCHES, ("fitted.main_fuse.x_mm", begins_mm))
    assert (fuse.actual, fuse.ok) == (away_mm, holds)


def test_a_fuse_beside_a_bank_of_common_size_may_be_further_than_seven_inches() -> None:
    """Body to body they are 20 mm apart; a conductor from the far terminal of 620 x 170 mm is not 7 in long."""
    beside = (OFF_TERMINAL, SEVEN_INCHES, ("fitted.main_fuse.x_mm", 690))
    assert not found("run.fuse_distance", *beside).ok
    assert found("run.fuse_distance", SEVEN_INCHES).actual == 0  # on the terminal


def test_two_fuses_do_not_share_a_terminal() -> None:
    assert found("run.complete[main_fuse]", ("bank.fuse", "fuse-125")).actual == 1
    assert found("run.complete[main_fuse]", ("bank.fuse", "fuse-125"), OFF_TERMINAL).ok


VAN = Van(
    kind="van", front_axle_x_mm=4500, rear_axle_x_mm=1000, track_mm=1700, payload_kg=300, base_front_kg=1300,
    base_rear_kg=1200, front_max_kg=1700, rear_max_kg=2000, balance_max_kg=100,
)  # fmt: skip


def test_a_holder_for_a_terminal_holds_nothing_away_from_one() -> None:
    """Maker's sheet: it is bolted to a battery's terminal, which a row on a board does not have."""
    row = ("parts.holder-row.on_terminal", True)
    assert found("run.fuse_holder[inverter]", row).actual == 0
    assert not found("run.fuse_holder[inverter]", row).ok
    assert not found("run.fuse_holder[pass_aerial]", *POWER_OUTSIDE, row).ok  # nor the 12 V panel
    assert not found("run.fuse_holder[alternator_feed]", row).ok  # nor the trailer's end of its plug
    assert found("run.fuse_holder[alternator_feed]", row, ("brief.vehicle", VAN)).ok  # by its own starter battery
    assert found("run.fuse_holder[main]").ok


def test_a_step_down_drives_more_than_its_rating_into_a_fault() -> None:
    """Converters hold a fault at 1.0 to 1.5 times what they are rated for (from memory): 1.5 is taken."""
    panel = (*AT_24_V, *POWER_OUTSIDE[:-1])
    assert found("run.fuse_breaking[pass_aerial]", *panel).limit == pytest.approx(1.5 * 20)
