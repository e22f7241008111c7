"""Canadian Electrical Code Table 5A, 105 C insulation, base 30 C. State: 2nd hand, 2026-11."""

AMBIENT_105 = {35: 0.97, 40: 0.93, 45: 0.89, 50: 0.86, 55: 0.82, 60: 0.77, 65: 0.73}
"""Ambient [C]: factor. The closest check there is for wiring in a vehicle."""
