"""Openings of the vents: a low and a high one each, as far apart as the survey says."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.basis.vents import EDGE_MM, height_left_mm, high_enough, opening_mm, wall_mm
from optimiser.case import Bay
from optimiser.fitted.fit import Fit
from optimiser.fixings.fixing import BAY_DATUM, Fixing
from optimiser.parts import Vent

VENT_HEADS = {"grille": ("low opening", "high opening"), "fan": ("inlet grille of the fan", "fan")}
"""Kind of vent -> what the notes of its low and its high opening begin with, before what is said of the pair."""


def vents(fit: Fit) -> Iterator[Fixing]:
    """Two openings a vent; those of a bay stand side by side on one side of it, from an end of what is free there."""
    number, used = 0, {bay.name: 0 for bay in fit.case.bays}
    for fitted in fit.build.vents:
        bay, vent = fit.case.bay_of[fitted.bay], fit.part(fitted.vent, Vent)
        (long, high), free = opening_mm(bay, vent), wall_mm(fit.case, bay)
        for _ in range(fitted.count):
            number += 1
            x_mm = used[bay.name] + EDGE_MM + -(-long // 2)
            missing = _missing(bay, vent, free, x_mm)
            if not missing:
                used[bay.name] += EDGE_MM + long
            words = _words(bay, long, high, free, missing)
            yield from _pair(f"V{number}", bay, vent, (long, high), None if missing else x_mm, words)


def _missing(bay: Bay, vent: Vent, free_mm: int, x_mm: int) -> str:
    """Why two openings do not fit, or nothing."""
    long, high = opening_mm(bay, vent)
    if high > bay.stack_mm - EDGE_MM:
        return f"they are {high} mm high and their middles {bay.stack_mm} mm apart: one runs into the other"
    if not high_enough(bay, vent):
        needed, left = 2 * EDGE_MM + 2 * -(-high // 2) + bay.stack_mm, height_left_mm(bay)
        could = f"openings can be {left} mm high at most" if left > 0 else "no openings fit"
        return f"they need {needed} mm of height and the bay has {bay.height_mm} mm; {bay.stack_mm} mm apart, {could}"
    end = x_mm - -(-long // 2) + long + EDGE_MM
    if end > free_mm:
        return f"side by side they need {end} mm of a side without a board and the bay has {free_mm} mm"
    return ""


def _heights_mm(bay: Bay, high: int) -> dict[str, int]:
    """Level -> middle of the opening above the bay's floor."""
    low_mm = EDGE_MM + -(-high // 2)
    return {"low": low_mm, "high": low_mm + bay.stack_mm}


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


def _words(bay: Bay, long: int, high: int, free_mm: int, missing: str) -> str:
    if missing:
        return (
            f"no place for two openings of {long} x {high} mm, {bay.stack_mm} mm between their middles: {missing}; "
            "settle it before cutting"
        )
    return (
        "proposed, of the catalogue's area; its shape is the maker's; on a side of the bay that no board is on, "
        f"{free_mm} mm of it free of what stands on the sides beside it; which outside or cabin wall is the fitter's "
        f"choice, keep at least {bay.stack_mm} mm of height between the middles of low and high"
    )
