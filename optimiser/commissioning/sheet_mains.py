"""Checks on mains: a licensed electrician's work, listed so that none is forgotten."""

from __future__ import annotations

from collections.abc import Iterator

from optimiser.audit.fitted import Fit
from optimiser.commissioning.check import Check
from optimiser.commissioning.spread import COMMON, SECOND_HAND

GROUP = "Mains, by a licensed electrician"
_LOCAL = f"{SECOND_HAND}; local codes decide"
_TRIP_MS, _TRIP_5X_MS = 300.0, 40.0


def mains_checks(fit: Fit) -> Iterator[Check]:
    """What there is of hook-up and inverter; nothing without either."""
    inlet, inverter = fit.case.brief.inlet is not None, fit.inverter is not None
    if not inlet and not inverter:
        return
    yield _done("mains.polarity", "polarity at each socket", "tester at each outlet", COMMON)
    start = "inlet's earth pin" if inlet else "inverter's earth terminal"
    yield Check(
        group=GROUP, id="mains.protective_ohm", what=f"protective conductor, {start} to chassis and metalwork",
        how="low-ohm meter, dead", unit="ohm", high=0.5, source=_LOCAL, licensed=True,
    )  # fmt: skip
    yield Check(
        group=GROUP, id="mains.insulation_mohm", what="insulation, live conductors to earth",
        how="500 V direct, electronics disconnected; below 2 Mohm look into it", unit="Mohm", low=1.0, source=_LOCAL,
        licensed=True,
    )  # fmt: skip
    for place, there in (("hook_up", inlet), ("inverter", inverter)):
        if there:
            yield from _trips(place)
    if inlet:
        yield _done("mains.bond_on_hook_up", "neutral and earth not joined in the vehicle on hook-up",
                    "meter from neutral to earth", SECOND_HAND)  # fmt: skip
    if inverter:
        yield _done("mains.bond_on_inverter", "neutral and earth joined on the inverter, where local codes want it",
                    "meter from neutral to earth", SECOND_HAND)  # fmt: skip
    if inlet and inverter:
        yield _done("mains.inlet_dead", "pins of the inlet dead while the inverter runs", "meter across the pins: 0 V",
                    SECOND_HAND)  # fmt: skip


def _trips(place: str) -> Iterator[Check]:
    where = "on hook-up" if place == "hook_up" else "on the inverter"
    for suffix, times, most in (("", "its rated", _TRIP_MS), ("_5x", "five times its rated", _TRIP_5X_MS)):
        yield Check(
            group=GROUP, id=f"mains.trip_{place}{suffix}_ms", what=f"residual-current device trips {where}",
            how=f"at {times} residual current, from both half waves; the slower", unit="ms", high=most, source=_LOCAL,
            licensed=True,
        )  # fmt: skip


def _done(id: str, what: str, how: str, source: str) -> Check:
    return Check(group=GROUP, id=id, what=what, how=how, rule="done", source=source, licensed=True)
