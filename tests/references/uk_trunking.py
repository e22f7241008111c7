"""Trunking by cable factors, BS 7671-era tables. State: FOUND, 2026-11."""

FACTOR = {4: 18.1, 35: 95}
"""Stranded cable section [mm2]: factor."""

CAPACITY = {"50x50": 1037, "75x50": 1555, "75x75": 2371, "100x50": 2091, "100x75": 3189, "100x100": 4252}

EXAMPLE = {35: 10, 4: 16}
"""Section [mm2]: cables; answer 1239.6, hence 75x50."""
