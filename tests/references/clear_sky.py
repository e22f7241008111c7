"""Clear-sky models. State: FOUND in pvlib's own tests (regression numbers of the library), 2026-11."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

HAURWITZ = {5: 48.630, 10: 135.742, 30: 487.894, 50: 778.767}
"""Haurwitz 1945/46: apparent elevation [degree]: GHI [W/m2]."""
HAURWITZ_OVERHEAD = 1035.092

INEICHEN = (
    (10, 1, 3, 1370, 0, 1042.7259, 946.3528, 110.7503),
    (10, 1, 3, 1364, 2000, 1134.2431, 994.9538, 154.4049),
)
"""Ineichen and Perez 2002: zenith, absolute air mass, Linke turbidity, extraterrestrial [W/m2], altitude [m];
GHI, DNI, DHI [W/m2]."""

ERBS = {0.1: 0.991, 0.5: 0.6591, 0.8: 0.1653, 0.85: 0.165}
"""Erbs et al. 1982: clearness index: diffuse share (first two FOUND, the others computed)."""

KASTEN_CZEPLAK = {7: 0.524, 8: 0.25}
"""Kasten and Czeplak 1980, 2nd hand: oktas of cloud: share of the clear sky, 1 - 0.75 (N/8)^3.4."""


def ineichen_by_hand(
    *, zenith: Floats, air_mass: Floats, turbidity: float, normal: Floats, altitude_m: float
) -> tuple[Floats, Floats, Floats]:
    """Ineichen and Perez 2002, written out from memory; the numbers of INEICHEN hold it."""
    low, high = math.exp(-altitude_m / 8000), math.exp(-altitude_m / 1250)
    cosine = np.cos(np.radians(zenith))
    ghi = (5.09e-5 * altitude_m + 0.868) * normal * cosine
    ghi *= np.exp(-(3.92e-5 * altitude_m + 0.0387) * air_mass * (low + high * (turbidity - 1)))
    dni = (0.664 + 0.163 / low) * normal * np.exp(-0.09 * air_mass * (turbidity - 1))
    cap = ghi * (1 - (0.1 - 0.2 * math.exp(-turbidity)) / (0.1 + 0.882 / low)) / cosine
    dni = np.minimum(dni, cap)
    return ghi, dni, ghi - dni * cosine
