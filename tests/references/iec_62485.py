"""Hydrogen of lead-acid batteries, 2026-11.

IEC/EN 62485-2 (2nd hand); examples computed from it. UFC 3-410-04N worked example FOUND (document name from
memory). Faraday's law: computed.
"""

EXAMPLES = (
    (6, 100, 20, 0.60, 16.8),
    (6, 200, 8, 0.48, 13.44),
    (6, 200, 1, 0.06, 1.68),
    (24, 500, 8, 4.8, 134.4),
)
"""Cells, Ah, mA/Ah; m3/h, cm2."""

DILUTION, SAFETY = 24, 5
"""(100 - 4) / 4 parts of air a part of hydrogen, and the standard's safety factor."""
LITRES_PER_AH_0C = 0.4181
"""Faraday."""

UFC_CELLS, UFC_AH, UFC_MA_PER_AH, UFC_CFM = 182, 1360, 4.8, 32
UFC_DILUTION, UFC_FT3_PER_AH = 100, 0.016
"""Down to 1 % hydrogen, no further safety: 19 ft3/h of hydrogen, printed 32 cfm."""
