"""33 CFR 183.425 Table 5 and 183.455 (boats under 50 V, ambient 30 C). State: FOUND (federal text), 2026-11.

The engine-space factors are its note 1: 105 C 2nd hand, the others from memory.
"""

AMPACITY_A = {
    18: (10, 10, 20, 20), 16: (15, 15, 25, 25), 14: (20, 20, 30, 35), 12: (25, 25, 40, 45), 10: (40, 40, 55, 60),
    8: (55, 65, 70, 80), 6: (80, 95, 100, 120), 4: (105, 125, 135, 160), 3: (120, 145, 155, 180),
    2: (140, 170, 180, 210), 1: (165, 195, 210, 245), 0: (195, 230, 245, 285), -1: (225, 265, 285, 330),
    -2: (260, 310, 330, 385), -3: (300, 360, 385, 445),
}  # fmt: skip
"""Gauge (0 for 1/0): ampacity with 60, 75, 90 and 105 C insulation [A]."""

ENGINE_SPACE_C = 50
ENGINE_SPACE_105 = 0.85
ENGINE_SPACE_105_A = {6: 102, 4: 136, 2: 178, 1: 208, -1: 280, -3: 378}
"""Gauge: ampacity in an engine space with 105 C insulation, truncated [A]."""
ENGINE_SPACE = {60: 0.58, 75: 0.75, 80: 0.78, 90: 0.82, 125: 0.89}
"""Insulation [C]: factor (from memory)."""

FUSE_SHARE = 1.5
"""183.455(c)(1): largest fuse rating as a share of Table 5's ampacity."""
SHEATHED_MM = 1016
"""183.455(b)(2): 40 in, along a conductor in a sheath or enclosure from its source to its fuse."""
FREE_MM = 178
"""183.455(b)(1): 7 in, measured along the conductor from its source to its fuse."""
