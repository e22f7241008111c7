"""Integer scales, and rounding to the safe side.

The solver works in whole numbers; the physics works in floats. Every crossing between the two goes
through `at_least` (demands, heats, masses, costs: round up) or `at_most` (capacities, limits: round
down), so that what the model accepts the float audit accepts too.
"""

from math import ceil, floor

CENTS = 100  # per currency unit
GRAMS = 1000  # per kg
MILLI = 1000  # mA, mV, mW per A, V, W

# Floats that should be whole carry noise of this order; without it 12.0 / 0.1 would round up to 121.
_NOISE = 1e-7


def at_least(value: float, scale: int = 1) -> int:
    """The smallest whole number of 1/scale units that is not below ``value`` (a demand)."""
    return ceil(value * scale - _NOISE)


def at_most(value: float, scale: int = 1) -> int:
    """The largest whole number of 1/scale units that is not above ``value`` (a capacity)."""
    return floor(value * scale + _NOISE)


def exact(value: float, scale: int) -> int:
    """``value`` in 1/scale units, which must come out whole (prices in cents, masses in grams).

    Raises
    ------
    ValueError
        If the value has more decimals than the scale keeps.
    """
    whole = round(value * scale)
    if abs(whole - value * scale) > 1e-6:
        raise ValueError(f"{value} has more decimals than 1/{scale}")
    return whole
