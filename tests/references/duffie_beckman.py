"""Duffie and Beckman, Solar Engineering of Thermal Processes, worked examples, 2026-11."""

DECLINATION_13_FEBRUARY, DECLINATION_16_FEBRUARY, DECLINATION_15_APRIL = -13.95, -12.95, 9.415
"""Cooper's formula as in the book (computed)."""

INCIDENCE = 35.0
"""Example 1.6.1, FOUND: 43 N, 13 February, 10:30 solar, tilt 45, 15 degrees west of south."""
ZENITH = 66.5
"""Example 1.6.2, 4th edition, from memory (66.0 +/- 0.4 FOUND): same day, 9:30 solar."""
BEAM_RATIO = 1.66
"""Example 1.7.1, FOUND (1.6577 by its tables), for example 1.6.1."""
BEAM_RATIOS = {30: (1.61, 0.005), 50: (1.80, 0.02)}
"""Examples 1.7.2, 1.7.3 (1980), FOUND: 40 N, 16 February, 9:30 solar, facing south: tilt: ratio, tolerance."""
DAY_MJ_M2, SOLAR_CONSTANT, SUNSET_HOUR_ANGLE = 33.4, 1353, 98.9
"""Example 1.8.1 (1st edition), FOUND: 43 N, 15 April, extraterrestrial."""
