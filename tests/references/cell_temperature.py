"""Cell temperature models. State: FOUND in pvlib 0.16.1 (coefficients, tests); SAPM values computed, 2026-11."""

SAPM = (
    ("gap", 900, 20, 5, 57.022), ("gap", 1000, 25, 1, 74.456),
    ("glued", 900, 20, 5, 63.159), ("glued", 1000, 25, 1, 82.527),
)  # fmt: skip
"""King et al. 2004: mounting, W/m2, air [C], m/s, cell [C]. Gap: close roof mount glass/glass; glued: insulated back
glass/polymer."""

OPEN_RACK = ((900, 20, 5, 43.509), (1000, 25, 1, 57.323))
"""King et al. 2004, open rack glass/glass: W/m2, air [C], m/s, cell [C]."""

FAIMAN = ((900, 20, 5, 35.203), (1000, 25, 1, 56.407))
"""Faiman 2008 with u0 = 25, u1 = 6.84: W/m2, air [C], m/s, cell [C] (open rack)."""

ROSS = ((1000, 20, 40, 45), (600, 40, 100, 100), (800, 20, 45, 45))
"""Ross 1981: W/m2, air [C], nominal operating cell temperature [C], cell [C] (open rack)."""
