"""NEC (NFPA 70), rows of several tables. State: 2nd hand unless said, 2026-11."""

SOLID_OHM_PER_KFT_75C = {18: 7.77, 16: 4.89, 14: 3.07, 12: 1.93, 10: 1.21, 8: 0.764}
STRANDED_OHM_PER_KFT_75C = {
    12: 1.98, 10: 1.24, 6: 0.491, 4: 0.308, 3: 0.245, 2: 0.194, 1: 0.154,
    0: 0.122, -1: 0.0967, -2: 0.0766, -3: 0.0608,
}  # fmt: skip
"""Chapter 9 Table 8: gauge (0 for 1/0): ohm per 1000 ft of uncoated copper at 75 C."""

AMBIENT = {
    75: {35: 0.94, 40: 0.88, 45: 0.82, 50: 0.75, 55: 0.67, 60: 0.58},
    90: {35: 0.96, 40: 0.91, 45: 0.87, 50: 0.82, 55: 0.76, 60: 0.71},
}
"""310.15(B)(1): insulation [C]: upper edge of the band [C]: factor."""

COLD_VOLTAGE = (
    (24, 20, 1.02), (19, 15, 1.04), (14, 10, 1.06), (9, 5, 1.08), (4, 0, 1.10), (-1, -5, 1.12), (-6, -10, 1.14),
    (-11, -15, 1.16), (-16, -20, 1.18), (-21, -25, 1.20), (-26, -30, 1.21), (-31, -35, 1.23), (-36, -40, 1.25),
)  # fmt: skip
"""Table 690.7(A): warm and cold edge of the band [C], factor. Three unrelated copies agree on every row."""

RATINGS_A = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350, 400, 450,
    500, 600,
)  # fmt: skip
"""240.6(A)."""

FILL = {1: 0.53, 2: 0.31, 3: 0.40, 4: 0.40, 9: 0.40}
"""Chapter 9 Table 1: cables: share of the bore."""

PANEL_FACTOR = 1.25
"""690.8(A): maximum current over short-circuit current; 690.9(B) takes it again for conductors and devices."""

RV_BATTERY_OPENING_MM2 = 1.7 * 25.4**2
"""552.10(D) of 2008, FOUND: least opening at top and bottom of a battery box, 1.7 in2."""

CONDUCTORS = ((10.0, 15.625), (13.0, 20.3125), (28.8, 45.0))
"""690.8(B)(1): short-circuit current [A] and what a conductor stands for it [A]; the last of three strings of 9.6 A."""
