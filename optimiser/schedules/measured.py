"""Which run carries which of the currents that are measured."""

from __future__ import annotations

from optimiser.audit import Fit
from optimiser.audit.measuring import currents_a


def measured_a(fit: Fit) -> dict[str, float]:
    """Run -> the current measured in it as the audit counts it, of an array that of one string [A]."""
    names = ["dc_loads"]
    names += [f"solar_{array.name}" for array in fit.build.arrays for _ in range(array.parallel)]
    parts = {"alternator": fit.alternator_charger, "mains_charger": fit.mains_charger, "inverter": fit.inverter}
    names += [name for name, part in parts.items() if part]
    return dict(zip(names, currents_a(fit), strict=True))
