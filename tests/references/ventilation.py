"""Ventilation by warmth, 2026-11. Building ventilation texts and an engineering handbook site, FOUND."""

STACK = (0.01, 0.5, 40, 30, 0.65, 3.638e-3)
"""Area [m2], height [m], inside and outside [C], coefficient; m3/s (formula FOUND, value computed)."""

US_FACTOR = 9.4
"""Q [cfm] = 9.4 A [ft2] sqrt(h [ft] dT [F]) for equal inlet and outlet."""

STACK_PRESSURE = (10, 0, 20, 8.655)
"""Height [m], outside and inside [C]; Pa, by 0.0342 a h (1/To - 1/Ti)."""

US_AIR_J_M3K = 1207
"""1.08 Btu/h per cfm and F (computed from the American rule)."""
