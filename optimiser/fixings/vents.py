"""Openings of the vents: a low and a high one each, as far apart as the survey says."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, sqrt

from optimiser.audit.fitted import Fit
from optimiser.audit.shapes import Rect
from optimiser.case import Bay
from optimiser.fixings.fixing import BAY_DATUM, Fixing
from optimiser.fixings.in_front import in_front
from optimiser.fixings.places import around
from optimiser.parts import Vent

EDGE_MM = 30
"""Left of the wall beside and between openings (common practice, no source)."""

LEAST_MM = 40
"""Lowest slot that a grille is made for (common practice, no source)."""

VENT_HEADS = {"grille": ("low opening", "high opening"), "fan": ("inlet grille of the fan", "fan")}
"""Kind of vent -> what the notes of its low and its high opening begin with, before what is said of the pair."""


def vents(fit: Fit) -> Iterator[Fixing]:
    """Two openings a vent; those of a bay stand side by side along its length, from its rear end."""
    number, used = 0, {bay.name: 0 for bay in fit.case.bays}
    for fitted in fit.build.vents:
        bay, vent = fit.case.bay_of[fitted.bay], fit.part(fitted.vent, Vent)
        long, high = opening_mm(bay, vent)
        for _ in range(fitted.count):
            number += 1
            x_mm = used[bay.name] + EDGE_MM + -(-long // 2)
            missing = _missing(bay, long, high, x_mm)
            if not missing:
                used[bay.name] += EDGE_MM + long
            words = _words(bay, long, high, missing)
            if not missing:
                there = in_front(fit, bay, _rects(bay, (long, high), x_mm))
                words += f"; {there}" if there else ""
            yield from _pair(f"V{number}", bay, vent, (long, high), None if missing else x_mm, words)


def opening_mm(bay: Bay, vent: Vent) -> tuple[int, int]:
    """Length and height of each of its two openings: half the cut-out each, rounded up [mm].

    A square, or what the bay's height leaves and longer by as much: the catalogue gives an area, not a shape. A fan
    has a round frame, so its opening stays a square.
    """
    area_mm2 = vent.cut_out_cm2 / 2 * 100
    side, left = ceil(sqrt(area_mm2)), _left_mm(bay)
    if side <= left or vent.kind == "fan" or left < LEAST_MM:
        return side, side
    return ceil(area_mm2 / left), left


def _left_mm(bay: Bay) -> int:
    """Height that is left for an opening, two of them the survey's height apart; even, since it has a middle.

    What lies between the two is wall, as wide as an edge at least.
    """
    return min(bay.height_mm - 2 * EDGE_MM - bay.stack_mm, bay.stack_mm - EDGE_MM) // 2 * 2


def _missing(bay: Bay, long: int, high: int, x_mm: int) -> str:
    """Why two openings do not fit, or nothing."""
    if high > bay.stack_mm - EDGE_MM:
        return f"they are {high} mm high and their middles {bay.stack_mm} mm apart: one runs into the other"
    needed, end = 2 * EDGE_MM + 2 * -(-high // 2) + bay.stack_mm, x_mm + -(-long // 2) + EDGE_MM
    if needed > bay.height_mm:
        left = _left_mm(bay)
        could = f"openings can be {left} mm high at most" if left > 0 else "no openings fit"
        return f"they need {needed} mm of height and the bay has {bay.height_mm} mm; {bay.stack_mm} mm apart, {could}"
    if end > bay.length_mm:
        return f"side by side they need {end} mm of length and the bay has {bay.length_mm} mm"
    return ""


def _heights_mm(bay: Bay, high: int) -> dict[str, int]:
    """Level -> middle of the opening above the bay's floor."""
    low_mm = EDGE_MM + -(-high // 2)
    return {"low": low_mm, "high": low_mm + bay.stack_mm}


def _rects(bay: Bay, size: tuple[int, int], x_mm: int) -> dict[str, Rect]:
    return {level: around((x_mm, y_mm), size) for level, y_mm in _heights_mm(bay, size[1]).items()}


def _pair(name: str, bay: Bay, vent: Vent, size: tuple[int, int], x_mm: int | None, words: str) -> Iterator[Fixing]:
    long, high = size
    heads = VENT_HEADS[vent.kind]
    for head, (level, y_mm) in zip(heads, _heights_mm(bay, high).items(), strict=True):
        yield Fixing(
            kind="vent",
            name=f"{name}-{level}",
            place=bay.name,
            part=vent.name,
            x_mm=x_mm,
            y_mm=None if x_mm is None else y_mm,
            length_mm=long,
            width_mm=high,
            datum=BAY_DATUM,
            surveyed=False,
            note=f"{head}: {words}",
        )


def _words(bay: Bay, long: int, high: int, missing: str) -> str:
    if missing:
        return (
            f"no place for two openings of {long} x {high} mm, {bay.stack_mm} mm between their middles: {missing}; "
            "settle it before cutting"
        )
    return (
        f"proposed, of the catalogue's area; its shape is the maker's; which outside or cabin wall is the fitter's "
        f"choice, keep at least {bay.stack_mm} mm of height between the middles of low and high"
    )
