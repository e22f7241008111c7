"""Figures of rules from outside, held through the audit of a whole build: distances, sections, voltages, company."""

import pytest

from optimiser.reading import read_catalogue, shipped_catalogue
from optimiser.rules import RuleSet
from tests.asking import broken, found, world

FUSED_STRINGS = (("parts.holder-main.on_terminal", False), ("bank.fuse", "fuse-125"))
"""Fuses on the terminals of both modules: then the main fuse stands beside them."""
CELLS_12_V, CELL_FULL_V = 4, 3.65
"""Lithium iron phosphate: cells in series of a 12 V bank, charge limit of one (general text, second hand)."""


def shipped(name: str) -> RuleSet:
    """A rule set of the shipped catalogue."""
    return read_catalogue(shipped_catalogue()).rule_sets[name]


@pytest.mark.parametrize(("away_mm", "holds"), [(178, True), (180, False)])
def test_seven_inches_from_battery_to_fuse(away_mm: int, holds: bool) -> None:
    """33 CFR 183.455(b)(1): 7 in along the conductor, so 178 mm pass and 180 do not."""
    near = ("rules.fuse_distance_mm", shipped("small-craft")["fuse_distance_mm"])
    bank_ends_mm = 50 + 2 * 300 + 20
    fuse = found("run.fuse_distance", *FUSED_STRINGS, near, ("fitted.main_fuse.x_mm", bank_ends_mm + away_mm))
    assert (fuse.actual, fuse.ok) == (away_mm, holds)


@pytest.mark.parametrize(("away_mm", "holds"), [(200, True), (201, False)])
def test_two_hundred_millimetres_from_battery_to_fuse(away_mm: int, holds: bool) -> None:
    """AS/NZS 3001.2:2022 section 5.4, second hand: within 200 mm of the battery."""
    near = ("rules.fuse_distance_mm", shipped("default")["fuse_distance_mm"])
    fuse = found("run.fuse_distance", *FUSED_STRINGS, near, ("fitted.main_fuse.x_mm", 670 + away_mm))
    assert fuse.ok == holds


@pytest.mark.parametrize(("section_mm2", "holds"), [(1.0, True), (0.75, False)])
@pytest.mark.parametrize("rules", ["default", "small-craft"])
def test_thinnest_conductor(section_mm2: float, holds: bool, rules: str) -> None:
    """ISO 10133:2012 7.3, second hand: a single conductor of at least 1 mm2."""
    least = ("rules.dc_section_min_mm2", shipped(rules)["dc_section_min_mm2"])
    assert found("run.section[dc_loads]", least, ("parts.dc-6.section_mm2", section_mm2)).ok == holds


@pytest.mark.parametrize(("voc_v", "holds"), [(60 / 1.09, True), (60.1 / 1.09, False)])
def test_extra_low_voltage_on_the_roof(voc_v: float, holds: bool) -> None:
    """BS 7671 part 2, second hand: 120 V d.c.; two panels at 30 K below the 25 C of their sheet, 0.3 %/K."""
    ceiling = ("rules.solar_ceiling_v", shipped("default")["solar_ceiling_v"])
    assert found("string.ceiling[a]", ceiling, ("parts.panel-100.voc_v", voc_v)).ok == holds


def test_a_bank_stands_at_the_charge_limit_of_its_cells() -> None:
    assert found("run.fuse_voltage[main]").limit == pytest.approx(CELLS_12_V * CELL_FULL_V)


def test_mains_and_low_voltage_in_one_wiring_system() -> None:
    """ISO 10133:2012 7.8, second hand: not together unless in compartments of their own."""
    together = (("runs.mains_inlet.ways", ("main_way",)),)
    assert not found("way.apart[main_way]", *together).ok
    assert "way.apart[main_way]" not in broken(world(*together, ("ways.main_way.divided", True)))
