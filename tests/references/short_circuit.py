"""Short-circuit currents, 2026-11.

TEXTBOOK and GUIDE FOUND (textbook; direct-current distribution guide); OWN computed from IEC 60228 class 5.
"""

TEXTBOOK = (12, 0.020, 600)
"""Volts, ohms, amperes."""

GUIDE_CELLS, GUIDE_CELL_MOHM, GUIDE_V = 110, 0.5, 240
GUIDE_KA = {1: 4.37, 4: 17.5}
"""Banks in parallel: printed kA."""

OWN = ((2, 4798), (4, 3753))
"""13.3 V, 2 mohm bank, 50 mm2: loop out and back [m]: amperes."""

STUD_KA = {14: 10, 32: 5}
"""What a fuse on the battery's terminal breaks, at so many volts direct current (trade figures, memory)."""
CLASS_T_ABOVE_AH, CLASS_T_ABOVE_KA = 300, 5
"""Lithium banks for which the trade asks for class T: above 200 to 300 Ah, or above so much (common practice)."""
