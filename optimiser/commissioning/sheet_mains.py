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
    yield from _trips(fit)
    yield from _bonds(fit)
    if inlet and inverter:
        yield _done("mains.inlet_dead", "pins of the inlet dead while the inverter runs", "meter across the pins: 0 V",
                    _LOCAL)  # fmt: skip


# --- residual current --------------------------------------------------------------------------------


def _trips(fit: Fit) -> Iterator[Check]:
    """Each circuit on each source that can feed it; a source without any has its device tested all the same."""
    on_inverter, on_hook_up = fit.case.circuits_from("inverter"), fit.case.circuits_from("hook_up")
    if fit.case.brief.inlet:
        passed = on_inverter if fit.inverter and fit.inverter.transfers else ()
        yield from _on("hook_up", "on hook-up", (*passed, *on_hook_up))
    if fit.inverter:
        yield from _on("inverter", "on the inverter", on_inverter)


def _on(place: str, where: str, circuits: tuple[str, ...]) -> Iterator[Check]:
    for name in circuits:
        yield from _pair(f"mains.trip_{place}.{name}", f"residual-current device of {name} trips, {where}")
    if not circuits:
        what = f"residual-current device trips, {where}; no circuit of the brief on it"
        yield from _pair(f"mains.trip_{place}", what)


def _pair(id: str, what: str) -> Iterator[Check]:
    for suffix, times, most in (("1x", "its rated", _TRIP_MS), ("5x", "five times its rated", _TRIP_5X_MS)):
        yield Check(
            group=GROUP, id=f"{id}.{suffix}_ms", what=what, unit="ms", high=most, source=_LOCAL, licensed=True,
            how=f"at an outlet or terminals of it, {times} residual current, from both half waves; the slower",
        )  # fmt: skip


# --- neutral and earth -------------------------------------------------------------------------------


def _bonds(fit: Fit) -> Iterator[Check]:
    """Where neutral and earth are joined. Only a transfer switch changes anything over.

    Without one the inverter's circuits are fed from it on hook-up too: two sides, each with its own neutral.
    """
    inlet, inverter = fit.case.brief.inlet, fit.inverter
    changes = inlet is not None and inverter is not None and inverter.transfers
    if inlet:
        if changes:
            what = "neutral and earth not joined in the vehicle on hook-up: the inverter-charger's bond opens"
            how = "by its maker's procedure: through hook-up a meter reads the site's own bond"
        else:
            what = "neutral and earth not joined in the vehicle on the hook-up side"
            how = "meter from neutral to earth of the inlet, unplugged, breakers on: open"
        yield _done("mains.bond_on_hook_up", what, how, _LOCAL)
    if inverter:
        if changes:
            what = "neutral and earth joined on the inverter, where local codes want it: its bond closes"
            how = "meter from neutral to earth at an outlet, unplugged from hook-up, inverter on"
        else:
            what = "neutral and earth joined at the inverter, where local codes want it, and there only"
            how = "meter from neutral to earth at an outlet of its circuits"
            how += ", on hook-up and off it alike" if inlet else ""
        yield _done("mains.bond_on_inverter", what, how, _LOCAL)
    if inlet and inverter and not changes:
        yield _done("mains.sides_apart", "live and neutral of the hook-up side not joined to those of the inverter's",
                    "meter between the sides, dead: open", _LOCAL)  # fmt: skip


def _done(id: str, what: str, how: str, source: str) -> Check:
    return Check(group=GROUP, id=id, what=what, how=how, rule="done", source=source, licensed=True)
