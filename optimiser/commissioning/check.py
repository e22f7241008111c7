"""A check of the test sheet: what is measured and how, what the design says, and between what a reading passes."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from optimiser.physics import solar

Rule = Literal["done", "plain", "voc", "isc", "power", "drop", "rise"]
"""How the band follows from what the day is like.

``done``: a yes; ``plain``: as printed; ``voc``: with the temperature of the cells; ``isc``: with the light; ``power``:
with both; ``drop``: with the current it was read at; ``rise``: with the air outside.
"""

NOTED: dict[Rule, tuple[str, ...]] = {
    "voc": ("cell_c",),
    "isc": ("irradiance_w_m2",),
    "power": ("irradiance_w_m2", "cell_c"),
    "drop": ("current_a",),
    "rise": ("air_c",),
}
"""What of the day is noted beside a reading, by the rule of its band; nothing for the other rules."""

FULL_SUN_W_M2, STC_C = 1000.0, 25.0
LEAST_LIGHT_W_M2 = 200.0  # below it a current says little (common practice, no source)
LEAST_CURRENT_SHARE = 0.1  # of the design current: below it a drop is lost in the meter (common practice, no source)
DERATES_ABOVE = "its bay at 40 C or less: warmer ones take some off"


@dataclass(frozen=True, kw_only=True)
class Check:
    """One line of the sheet. A bound that is None leaves that side open.

    ``design``, ``low`` and ``high`` hold at ``at`` (cells of 25 C, 1000 W/m2, the design current); other days follow
    by the rule. ``table``: the design value at other conditions, to fill in by hand.
    """

    group: str
    id: str
    what: str
    how: str
    unit: str = "yes"
    design: float | None = None
    low: float | None = None
    high: float | None = None
    rule: Rule = "plain"
    basis: str = ""  # where the design value comes from: a requirement's name, or a sheet
    source: str  # where the tolerance comes from
    licensed: bool = False  # by a licensed electrician
    written: bool = False  # what was set is written down beside it
    pct_k: float = 0.0  # of the figure, per kelvin of the cells
    at: float = 0.0  # current [A] or hottest air outside [C] that the design holds at
    most: float | None = None  # a limit beyond which the unit gives no more [W]
    least_of_most: float = 0.0  # what of it a hot bay leaves [W]
    table: tuple[tuple[float, float], ...] = ()
    table_of: str = ""

    @property
    def printed(self) -> tuple[float | None, float | None, float | None]:
        """Design, low and high as a sheet shows them: on a day like the design's."""
        day = {"current_a": self.at, "irradiance_w_m2": FULL_SUN_W_M2, "cell_c": STC_C, "air_c": self.at}
        return design_of(self, day), *band_of(self, day)


class NotTested(Exception):
    """A reading cannot be judged: why."""


Conditions = Mapping[str, float | None]
"""``current_a``, ``irradiance_w_m2``, ``cell_c``, ``air_c`` as noted beside the reading."""


def band_of(check: Check, noted: Conditions) -> tuple[float | None, float | None]:
    """Lowest and highest reading that passes, in what was noted of the day.

    Raises
    ------
    NotTested
        If something is missing that the band depends on.
    """
    if check.rule == "done":
        return None, None
    if check.rule == "rise":
        return check.low, _rise(check, noted)
    factor = _factor(check, noted)
    low, high = (None if bound is None else bound * factor for bound in (check.low, check.high))
    if check.most is not None and low is not None:
        low = min(low, check.least_of_most)
    return low, high


def design_of(check: Check, noted: Conditions) -> float | None:
    """The design value in what was noted of the day.

    Raises
    ------
    NotTested
        If something is missing that it depends on.
    """
    if check.design is None or check.rule == "done":
        return None
    if check.rule == "rise":
        return _rise(check, noted)
    design = check.design * _factor(check, noted)
    return design if check.most is None else min(design, check.most)


def _factor(check: Check, noted: Conditions) -> float:
    if check.rule == "voc":
        return _warm(check, _needed(noted, "cell_c", "the temperature of the cells"))
    if check.rule == "isc":
        return _light(noted) / FULL_SUN_W_M2
    if check.rule == "power":
        return _light(noted) / FULL_SUN_W_M2 * _warm(check, _needed(noted, "cell_c", "the temperature of the cells"))
    if check.rule == "drop":
        current = _needed(noted, "current_a", "the current it was read at")
        if current < LEAST_CURRENT_SHARE * check.at:
            least = LEAST_CURRENT_SHARE * check.at
            raise NotTested(f"{current:g} A is too little to read a drop at; expected {least:.3g} A or more")
        return current / check.at
    return 1.0


def _rise(check: Check, noted: Conditions) -> float | None:
    air = noted.get("air_c")
    if air is None or check.high is None:
        raise NotTested("the air outside was not noted (air_c)")
    return check.high - max(check.at - air, 0.0)


def _light(noted: Conditions) -> float:
    light = _needed(noted, "irradiance_w_m2", "the light")
    if light < LEAST_LIGHT_W_M2:
        raise NotTested(f"{light:g} W/m2 is too little to judge by; expected {LEAST_LIGHT_W_M2:g} W/m2 or more")
    return light


def _needed(noted: Conditions, name: str, what: str) -> float:
    value = noted.get(name)
    if value is None:
        raise NotTested(f"{what} was not noted ({name})")
    return value


def _warm(check: Check, cell_c: float) -> float:
    return solar.voltage_at(volt=1.0, pct_k=check.pct_k, cell_c=cell_c)
