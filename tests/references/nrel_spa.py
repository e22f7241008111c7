"""Reda and Andreas, NREL/TP-560-34302 (solar position algorithm). State: FOUND, 2026-11."""

EXAMPLE_TIME = "2003-10-17 12:30:30-07:00"
LATITUDE, LONGITUDE, ALTITUDE_M = 39.742476, -105.1786, 1830.14
ZENITH, TRUE_ZENITH, AZIMUTH = 50.111622, 50.127954, 194.340241
SLOPE, SURFACE_AZIMUTH, INCIDENCE = 30, 170, 25.187000
"""Azimuth rotation -10 degrees from south is 170 from north."""

RISE_AND_SET = (
    (35, "1994-01-02", "07:08:12.8", "16:59:55.9"),
    (-35, "1996-07-05", "07:08:15.4", "17:01:04.5"),
    (-35, "2004-12-04", "04:38:57.1", "19:02:02.5"),
)
"""Table A2.1: latitude, day, sunrise and sunset at longitude 0, UT."""

RISE_ELEVATION = -0.8333
"""True elevation of the middle of the sun when its refracted upper edge touches the horizon."""
