"""Cables of the shipped catalogue against published tables."""

import math
from itertools import pairwise

import pytest

from optimiser import parts
from tests.test_catalogue import CABLES, by_name

CLASS_5 = {
    1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21,
    25: 0.780, 35: 0.554, 50: 0.386, 70: 0.272, 95: 0.206, 120: 0.161,
}  # fmt: skip
"""IEC 60228 (2004) table 3, plain copper, ohm/km at 20 C, second hand."""

TABLE_5 = {
    18: 20, 16: 25, 14: 35, 12: 45, 10: 60, 8: 80, 6: 120, 4: 160, 3: 180, 2: 210,
    1: 245, 0: 285, -1: 330, -2: 385, -3: 445,
}  # fmt: skip
"""33 CFR 183.425 table 5, insulation of 105 C, amperes by wire gauge; -3 is 4/0."""

PVC_TWO_CORES = {1.5: 17, 2.5: 23, 4: 31}
"""IEC 60364-5-52 simplified table, method B1, copper, two loaded cores, amperes, second hand."""


def gauge_mm2(gauge: int) -> float:
    """ASTM B258: d = 0.127 mm x 92^((36 - n) / 39)."""
    return math.pi / 4 * (0.127 * math.pow(92, (36 - gauge) / 39)) ** 2


def table_5_a(section_mm2: float) -> float:
    """Between two gauges by logarithms; above the table its last figure, as nothing is known there."""
    points = [(gauge_mm2(gauge), amps) for gauge, amps in TABLE_5.items()]
    for (low, low_a), (high, high_a) in pairwise(points):
        if low <= section_mm2 <= high:
            return low_a * math.exp(math.log(high_a / low_a) * math.log(section_mm2 / low) / math.log(high / low))
    return points[-1][1]


def test_gauge_formula() -> None:
    assert gauge_mm2(-3) == pytest.approx(math.pi / 4 * 11.684**2, rel=1e-4)  # ASTM B258: 4/0 is 0.4600 in
    assert table_5_a(gauge_mm2(2)) == pytest.approx(210)


@pytest.mark.parametrize("cable", [c for c in CABLES if c.kind != "data"], ids=by_name)
def test_cable_copper(cable: parts.Cable) -> None:
    assert cable.ohm_per_km == CLASS_5[cable.section_mm2]
    cores = 3 if cable.kind == "mains" else 1
    assert cable.mass_kg >= cores * 8.89e-3 * cable.section_mm2  # bare copper, 8.89 g/m per mm2 (NBS Handbook 100)
    # three round cores inside one round sheath need 2.155 times the diameter of one
    bare_mm = math.sqrt(4 * cable.section_mm2 / math.pi) * (2.155 if cores == 3 else 1)
    assert cable.outside_mm > bare_mm


@pytest.mark.parametrize("cable", [c for c in CABLES if c.kind != "data"], ids=by_name)
def test_cable_ampacity(cable: parts.Cable) -> None:
    if cable.kind == "mains":
        assert cable.ampacity_a <= PVC_TWO_CORES[cable.section_mm2]
        assert cable.insulation_c == 70
    elif cable.kind == "solar":  # of 90 C, so no more than that table has for 105 C
        assert cable.ampacity_a <= table_5_a(cable.section_mm2) and cable.insulation_c == 90
        assert cable.in_duct_a < cable.ampacity_a
    else:
        limit = table_5_a(cable.section_mm2)
        assert limit - 5 < cable.ampacity_a <= limit  # rounded down to 5 A and no further
        assert cable.insulation_c == 105


@pytest.mark.parametrize("kind", ["dc", "mains"])
def test_a_larger_section_is_never_cheaper_lighter_or_thinner(kind: str) -> None:
    ladder = sorted((c for c in CABLES if c.kind == kind), key=lambda c: c.section_mm2)
    for small, big in pairwise(ladder):
        assert small.section_mm2 < big.section_mm2
        assert small.price <= big.price
        assert small.end_price <= big.end_price
        assert small.mass_kg < big.mass_kg
        assert small.outside_mm < big.outside_mm
        assert small.ampacity_a < big.ampacity_a
