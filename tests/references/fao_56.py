"""FAO Irrigation and Drainage Paper 56. State: FOUND, 2026-11."""

LATITUDE, DECLINATION_RAD, EARTH_SUN, DAY_MJ_M2 = -20, 0.120, 0.985, 32.2
SUNSET_RAD, DAYLIGHT_H = 1.527, 11.7
"""Examples 8 and 9: 3 September (day 246), extraterrestrial radiation and daylight hours."""

CLEAR_LATITUDE, CLEAR_DAY, CLEAR_ALTITUDE_M, CLEAR_MJ_M2 = 50.8, "2023-07-06", 100, 30.90
"""Example 18: clear-sky radiation of a day at 50 deg 48' N."""
