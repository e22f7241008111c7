"""BS 7671 table 4E1A: single-core copper, 90 C, two cables of direct current, air at 30 C. State: 2nd hand, 2026-11."""

IN_CONDUIT_A = {
    1.5: 23, 2.5: 31, 4: 42, 6: 54, 10: 75, 16: 100, 25: 133, 35: 164, 50: 198, 70: 253, 95: 306,
}  # fmt: skip
"""Section [mm2]: reference method B [A]."""
