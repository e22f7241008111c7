"""How far a meter may be from what was calculated, part by part, with where each part comes from."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot
from typing import Annotated

from pydantic import Field

from optimiser.physics import solar

COMMON = "common practice, no source"
SECOND_HAND = "second hand"


@dataclass(frozen=True)
class Spread:
    """One cause that moves a reading, as shares of what is expected: below it and above it."""

    cause: Annotated[str, Field(description="in words")]
    below: Annotated[float, Field(description="share that it may lower the reading by")]
    above: Annotated[float, Field(description="share that it may raise it by")]
    source: Annotated[str, Field(description="of both")] = COMMON


def band(value: float, spreads: Iterable[Spread]) -> tuple[float, float]:
    """Lowest and highest a meter may show: causes are independent, so their squares add, each side for itself."""
    parts = tuple(spreads)
    size = abs(value)
    return value - size * hypot(*(s.below for s in parts)), value + size * hypot(*(s.above for s in parts))


@dataclass(frozen=True)
class Sky:
    """Share of a clear sky's light, and how sure that is."""

    name: str
    clearness: float
    spread: Spread


CLEAR = Sky("clear", 1.0, Spread("clear sky, haze", 0.10, 0.05))
_CLOSED, _BROKEN = 0.25, 0.52  # 8 and 7 oktas, as solar.OVERCAST_CLEARNESS tells
OVERCAST = Sky(
    "overcast",
    solar.OVERCAST_CLEARNESS,
    Spread(
        "overcast, 8 to 7 oktas",
        1 - _CLOSED / solar.OVERCAST_CLEARNESS,
        _BROKEN / solar.OVERCAST_CLEARNESS - 1,
        "Kasten and Czeplak 1980, second hand",
    ),
)


def sky_of(clearness: float) -> Sky:
    """A sky judged by eye."""
    return Sky(f"clearness {clearness:g}", clearness, Spread("light judged by eye", 0.15, 0.15))


METERED = Spread("light, as metered", 0.05, 0.05)
RATING = Spread("tolerance of panel ratings", 0.03, 0.03)
DIRT = Spread("dirt, mismatch, wiring: 85 to 95 % of what cells give, clean 98 %", 1 - 0.85 / 0.95, 0.98 / 0.95 - 1)
CHARGER = Spread("charger", 0.05, 0.05)
NAMEPLATE = Spread("load against its nameplate", 0.10, 0.10)
OWN_DRAW = Spread("own draw against its sheet", 0.50, 0.20)
VOLT_METER = Spread("voltmeter", 0.01, 0.01)

# How far cells may be off. Between 1 m/s of wind, which is calculated with, and 5 lie 8 K in full sun (by the cell
# temperatures of `physics.solar`); more where the air was not measured.
_CELL_K, _CELL_GUESSED_K = 8.0, 12.0
_LOW_LIGHT = 0.044  # Voc lost per e-fold less light: n kT/q over the voltage of a cell, 1.1 x 25.7 mV / 0.65 V
_LOW_LIGHT_MOST = 0.20


def temperature(pct_k: float, *, measured: bool) -> Spread:
    """Cells warmer or colder than calculated; ``pct_k`` of the figure they move."""
    kelvin = _CELL_K if measured else _CELL_GUESSED_K
    share = abs(pct_k) / 100 * kelvin
    return Spread(f"cells {kelvin:g} K warmer or colder", share, share)


def low_light(loss_e_folds: float) -> Spread:
    """Voltage that little light takes off, ``loss_e_folds`` the natural logarithm of full sun over the light."""
    share = min(max(_LOW_LIGHT * loss_e_folds, 0.0), _LOW_LIGHT_MOST)
    return Spread("light below full sun lowers voltage", share, 0.0, "diode law, from memory")


def bay_heat(derate: float) -> Spread:
    """What a hot bay takes off a charger; ``derate`` the share it still gives in one."""
    return Spread("a hot bay", 1 - derate, 0.0)


TAKING_V, NOMINAL_V = 13.3, 12.8  # a lithium bank of 12 V taking charge, and under load
_TAKING_V, _GIVING_V = (12.8, 14.4), (12.0, 13.3)


def bank_volt(*, taking: bool) -> Spread:
    """Current is power by voltage, and the bank's was not measured."""
    volt, (low, high) = (TAKING_V, _TAKING_V) if taking else (NOMINAL_V, _GIVING_V)
    return Spread(f"bank between {low:g} and {high:g} V for each 12 V", 1 - volt / high, volt / low - 1)
