"""Whether the vents cut in a bay have a place on its walls."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.auditing.finding import Finding, held
from optimiser.basis.vents import EDGE_MM, high_enough, opening_mm, wall_mm
from optimiser.fitted.fit import Fit
from optimiser.parts import Vent


def check_vent_places(fit: Fit) -> Iterator[Finding]:
    """Pairs of openings side by side on one side; no wall is high enough where one of them is too high for the bay."""
    for bay in fit.case.bays:
        cut = [(fit.part(v.vent, Vent), v.count) for v in fit.build.vents if v.bay == bay.name and v.count]
        if cut:
            wanted = EDGE_MM + sum((opening_mm(bay, vent)[0] + EDGE_MM) * count for vent, count in cut)
            free = wall_mm(fit.case, bay) if all(high_enough(bay, vent) for vent, _ in cut) else 0
            yield held("bay.vent_place", bay.name, limit=wanted, actual=free)
