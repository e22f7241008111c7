"""Copper and American wire gauge, 2026-11.

NBS Handbook 100 (1966): resistivity FOUND; the temperature coefficient 2nd hand.
ASTM B258: the diameter formula from memory, its outputs FOUND.
Masses: a public textbook wire table, FOUND.
"""

import math

RESISTIVITY_OHM_MM2_M = 0.017241
HOT_RATIO_75 = 1.21615
"""R at 75 C over R at 20 C."""

DENSITY_G_CM3 = 8.89

DIAMETER_IN = {-3: 0.4600, 0: 0.3249, 2: 0.2576, 6: 0.1620, 10: 0.1019, 14: 0.06408, 18: 0.0403}
MASS_LB_PER_KFT = {
    -3: 640.5, 0: 319.5, 2: 200.9, 4: 126.4, 6: 79.46, 8: 49.97, 10: 31.43, 12: 19.77, 14: 12.43,
}  # fmt: skip
"""Gauge (0 for 1/0): solid bare wire."""

STRANDED = 1.02
"""Longer lay of stranded conductors (from memory)."""


def awg_area_mm2(gauge: int) -> float:
    """Area of a solid wire; 0 for 1/0, -3 for 4/0."""
    diameter_mm = 25.4 * 0.005 * math.pow(92, (36 - gauge) / 39)
    return math.pi / 4 * diameter_mm * diameter_mm
