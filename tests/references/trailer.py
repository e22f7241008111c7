"""Statics of a single-axle trailer: a physics exercise. Inputs FOUND, answers computed, 2026-11."""

TRAILER_KG, TRAILER_M, AXLE_M, LOAD_KG, LOAD_M, G = 220, 1.85, 2.15, 540, 3.3, 9.81
"""Distances from the coupling."""
EMPTY_N, LOADED_N, BALANCE_M = 301.14, -2532.35, 2.2722
"""Force on the coupling (positive: presses down on the tow ball), and where the load takes it away."""
