"""Peukert's law, 2026-11. One-ampere form FOUND; hour-rate form from memory, its values computed."""

ONE_AMP = (100, 1.2, 5, 14.4956)
"""Capacity, k, current [A]; hours (printed 14.5)."""
HOUR_RATE = ((100, 20, 5, 1.2, 20), (100, 20, 10, 1.2, 8.7055))
"""Ah, rated hours, current [A], k; hours."""
