"""Wind, and what it does to roofs: figures of standards and handbooks, from memory or computed from them."""

DENSITY_KG_M3 = 1.225
"""International Standard Atmosphere at sea level, 15 C."""

CODE_PA = 0.613
"""Velocity pressure at 1 m/s in a building code (ASCE 7, metric form of its formula, from memory)."""

NEAR_GALE_KM_H, STORM_KM_H = (50, 61), (89, 102)
"""Beaufort forces 7 and 10, from memory."""

PANEL_W, PANEL_MM, PANEL_KG = 435, (1722, 1134), 22.0
SPEED_KM_H, SUCTION = 110, (1.0, 1.5)
NET_N, FOOT_N = (850, 1400), (210, 350)
"""A worked example of a reader of the trade: such a panel at that speed, net of its weight, and on each foot. Its
panel with the kit weighed more than ours alone, so ours are up to 70 N higher."""
