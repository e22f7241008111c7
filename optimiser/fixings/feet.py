"""Feet of the mounting kits under rigid panels."""

from collections.abc import Iterator

from optimiser.builds import PlacedPanel
from optimiser.fitted.fit import Fit
from optimiser.fitted.places import Rect, panel_rect
from optimiser.fixings.fixing import ROOF_DATUM, Fixing
from optimiser.parts import Panel

FOOT_MM = (80, 60)
"""Pad of a foot, along and across the panel's longer edge: a figure of the kit (common practice, no source)."""

OVERHANG_SHARE = 0.22
"""Of the longer side beyond a foot: at most 20 to 25 % (common practice, no source)."""

SIX_OVER_MM = 1500
"""A longer side than this stands on six feet (common practice, no source)."""

_NOTE = (
    "proposed; over a rib or stringer, or with a backing plate; "
    f"pad of {FOOT_MM[0]} x {FOOT_MM[1]} mm assumed, check it against the kit"
)


def feet(fit: Fit) -> Iterator[Fixing]:
    """Of every rigid panel, numbered in the order of the build; flexible panels are glued and have none."""
    for number, placed in enumerate(fit.build.panels, start=1):
        panel = fit.part(placed.panel, Panel)
        if panel.kind == "rigid":
            yield from _of(f"P{number}", placed, panel_rect(fit, placed))


def _of(name: str, placed: PlacedPanel, rect: Rect) -> Iterator[Fixing]:
    size = (rect.x1 - rect.x0, rect.y1 - rect.y0)
    forward = size[0] >= size[1]  # the longer side lies along x
    pad = FOOT_MM if forward else FOOT_MM[::-1]
    along = _along(max(size))
    across = (FOOT_MM[1] // 2, min(size) - FOOT_MM[1] // 2)
    pairs = [(a, b) if forward else (b, a) for a in along for b in across]
    for number, (x, y) in enumerate(sorted(pairs), start=1):
        yield Fixing(
            kind="foot",
            name=f"{name}-F{number}",
            place=placed.zone,
            part=placed.panel,
            x_mm=rect.x0 + x,
            y_mm=rect.y0 + y,
            length_mm=pad[0],
            width_mm=pad[1],
            datum=ROOF_DATUM,
            surveyed=False,
            note=_NOTE,
        )


def _along(length_mm: int) -> list[int]:
    """Middles of the feet along the longer edge; the overhang is rounded down."""
    end = int(OVERHANG_SHARE * length_mm)
    middle = [length_mm // 2] if length_mm > SIX_OVER_MM else []
    return [end, *middle, length_mm - end]
