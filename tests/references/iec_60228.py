"""IEC 60228:2004 Table 3, class 5 plain copper. State: 2nd hand (two pages agree), 2026-11.

The factors for bringing a resistance to 20 C are of its annex (2nd hand); they follow a rounder 0.004 per K.
"""

CLASS_5_OHM_PER_KM = {
    1.5: 13.3, 2.5: 7.98, 4: 4.95, 6: 3.30, 10: 1.91, 16: 1.21, 25: 0.780, 35: 0.554, 50: 0.386, 70: 0.272, 95: 0.206,
}  # fmt: skip
"""Section [mm2]: largest resistance at 20 C [ohm/km]."""

TO_20_C = {5: 1.064, 25: 0.980, 30: 0.962, 40: 0.926, 50: 0.893, 70: 0.833, 90: 0.781}
"""Measured at [C]: factor."""
