"""Openings of the vents: a low and a high one each, as far apart as the survey says."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, sqrt

from optimiser.audit.fitted import Fit
from optimiser.case import Bay
from optimiser.fixings.fixing import BAY_DATUM, Fixing
from optimiser.parts import Vent

EDGE_MM = 30
"""Left of the wall beside and between openings (common practice, no source)."""


def vents(fit: Fit) -> Iterator[Fixing]:
    """Two openings a vent; those of a bay stand side by side along its length, from its rear end."""
    number, used = 0, {bay.name: 0 for bay in fit.case.bays}
    for fitted in fit.build.vents:
        bay, vent = fit.case.bay_of[fitted.bay], fit.part(fitted.vent, Vent)
        side = side_mm(vent)
        for _ in range(fitted.count):
            number += 1
            x_mm = used[bay.name] + EDGE_MM + -(-side // 2)
            missing = _missing(bay, side, x_mm)
            if not missing:
                used[bay.name] += EDGE_MM + side
            yield from _pair(f"V{number}", bay, vent, x_mm, missing)


def side_mm(vent: Vent) -> int:
    """Of each of its two openings, drawn square: half the cut-out each, rounded up [mm]."""
    return ceil(sqrt(vent.cut_out_cm2 / 2 * 100))


def _missing(bay: Bay, side: int, x_mm: int) -> str:
    """Why two openings do not fit, or nothing."""
    high, long = 2 * EDGE_MM + 2 * -(-side // 2) + bay.stack_mm, x_mm + -(-side // 2) + EDGE_MM
    if high > bay.height_mm:
        left = bay.height_mm - 2 * EDGE_MM - bay.stack_mm
        could = f"openings can be {left} mm high at most" if left > 0 else "no openings fit"
        return f"they need {high} mm of height and the bay has {bay.height_mm} mm; {bay.stack_mm} mm apart, {could}"
    if long > bay.length_mm:
        return f"side by side they need {long} mm of length and the bay has {bay.length_mm} mm"
    return ""


def _pair(name: str, bay: Bay, vent: Vent, x_mm: int, missing: str) -> Iterator[Fixing]:
    side, fan = side_mm(vent), vent.kind == "fan"
    low_mm = EDGE_MM + -(-side // 2)
    for level, y_mm in (("low", low_mm), ("high", low_mm + bay.stack_mm)):
        what = {"low": "inlet grille of the fan", "high": "fan"}[level] if fan else f"{level} opening"
        yield Fixing(
            kind="vent",
            name=f"{name}-{level}",
            place=bay.name,
            part=vent.name,
            x_mm=None if missing else x_mm,
            y_mm=None if missing else y_mm,
            length_mm=side,
            width_mm=side,
            datum=BAY_DATUM,
            surveyed=False,
            note=f"{what}: {_words(bay, side, missing)}",
        )


def _words(bay: Bay, side: int, missing: str) -> str:
    if missing:
        return (
            f"no place for two squares of {side} mm, {bay.stack_mm} mm between their middles: {missing}; "
            "settle it before cutting"
        )
    return (
        f"proposed; which outside or cabin wall is the fitter's choice, "
        f"keep at least {bay.stack_mm} mm of height between the middles of low and high"
    )
