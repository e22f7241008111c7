"""Clear-sky models. State: FOUND in pvlib's own tests (regression numbers of the library), 2026-11."""

HAURWITZ = {5: 48.630, 10: 135.742, 30: 487.894, 50: 778.767}
"""Haurwitz 1945/46: apparent elevation [degree]: GHI [W/m2]."""
HAURWITZ_OVERHEAD = 1035.092

ERBS = {0.1: 0.991, 0.5: 0.6591, 0.8: 0.1653, 0.85: 0.165}
"""Erbs et al. 1982: clearness index: diffuse share (first two FOUND, the others computed)."""

KASTEN_CZEPLAK = {7: 0.524, 8: 0.25}
"""Kasten and Czeplak 1980, 2nd hand: oktas of cloud: share of the clear sky, 1 - 0.75 (N/8)^3.4."""
