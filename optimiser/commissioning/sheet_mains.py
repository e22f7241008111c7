"""Checks on mains: a licensed electrician's work, listed so that none is forgotten; dead ones first."""

from collections.abc import Iterator

from optimiser.commissioning.check import Check
from optimiser.commissioning.spread import COMMON, SECOND_HAND
from optimiser.fitted.fit import Fit

DEAD, LIVE = "Mains, dead, by a licensed electrician", "Mains, live, by a licensed electrician"
BEFORE_BOND = "means nothing before the bond on the inverter is proved"
_LOCAL, _USUAL = f"{SECOND_HAND}; local codes decide", f"{COMMON}; local codes decide"
_PROTECTIVE_OHM = 0.5
_TRIP_MS, _TRIP_5X_MS = 300.0, 40.0
_AT_EARTH = "voltmeter for alternating voltage: neutral to earth about 0 V, live to earth all of it; never an ohmmeter"


def dead_mains_checks(fit: Fit) -> Iterator[Check]:
    """What is tested with nothing live; nothing without hook-up and inverter."""
    inlet, inverter = _has(fit)
    if not inlet and not inverter:
        return
    start = "inlet's earth pin" if inlet else "inverter's earth terminal"
    yield Check(
        group=DEAD, id="mains.protective_ohm", what=f"protective conductor, {start} to chassis and metalwork",
        how="low-ohm meter, dead", unit="ohm", high=_PROTECTIVE_OHM, source=_LOCAL, licensed=True,
    )  # fmt: skip
    bonded = ", any bond of neutral and earth opened" if inverter else ""
    yield Check(
        group=DEAD, id="mains.insulation_mohm", what="insulation, live conductors to earth",
        how=f"500 V direct, electronics disconnected{bonded}; below 2 Mohm look into it; all joined again before the "
        "next check",
        unit="Mohm", low=1.0, source=_LOCAL, licensed=True,
    )  # fmt: skip
    yield from _link(fit)
    if not _changes(fit):
        yield from _dead_bonds(fit)
    yield _done(DEAD, "mains.polarity_dead", "each conductor on its own terminal, from source to sockets",
                "continuity, proved dead: live, neutral and earth each from end to end", _USUAL)  # fmt: skip


def live_mains_checks(fit: Fit) -> Iterator[Check]:
    """What can only be tested live: bonds before anything that relies on them."""
    inlet, inverter = _has(fit)
    if not inlet and not inverter:
        return
    yield _done(LIVE, "mains.polarity", "polarity at each socket", "tester at each outlet, live", COMMON)
    if _changes(fit):
        yield from _changing_bonds()
    elif inverter:
        alike = ", on hook-up and off it alike" if inlet else ""
        if "changeover" in fit.breakers:
            alike = ", hook-up unplugged: through the changeover a meter reads the site's own bond"
        yield _done(LIVE, "mains.neutral_on_inverter", "neutral at the potential of earth on the inverter, where local "
                    "codes want the bond", f"inverter on, at an outlet of its circuits{alike}: {_AT_EARTH}",
                    _USUAL)  # fmt: skip
    if inlet and inverter:
        yield _done(LIVE, "mains.inlet_dead", "pins of the inlet dead while the inverter runs",
                    "hook-up unplugged; voltmeter across the pins, and from each to earth: 0 V", _LOCAL)  # fmt: skip
    if fit.case.brief.generator:
        yield _done(LIVE, "mains.on_generator", "chargers and hook-up loads run from the generator together, and its "
                    "own neutral and earth are as its maker has them",
                    "all that the brief has on in its hours, for a quarter of an hour; whether it floats is on its "
                    "plate or in its manual: a residual-current device trips on it only with its bond made",
                    _USUAL)  # fmt: skip
    yield from _trips(fit)


def _has(fit: Fit) -> tuple[bool, bool]:
    return fit.case.brief.inlet is not None, fit.inverter is not None


def _changes(fit: Fit) -> bool:
    """Whether a transfer switch changes circuits over from hook-up to inverter, and with them the bond.

    Without one the inverter's circuits are fed from it on hook-up too: two sides, each with its own neutral.
    """
    return fit.case.brief.inlet is not None and fit.inverter is not None and fit.inverter.transfers


# --- neutral and earth -------------------------------------------------------------------------------


def _dead_bonds(fit: Fit) -> Iterator[Check]:
    inlet, inverter = _has(fit)
    if inlet:
        yield _done(DEAD, "mains.bond_on_hook_up", "neutral and earth not joined in the vehicle on the hook-up side",
                    "ohmmeter from neutral to earth of the inlet, unplugged, proved dead, breakers on: open",
                    _LOCAL)  # fmt: skip
    if inverter:
        unplugged = ", hook-up unplugged" if inlet else ""
        yield _done(
            DEAD, "mains.bond_on_inverter",
            "neutral and earth joined at the inverter, where local codes require it, and there only",
            f"inverter off{unplugged}, proved dead: ohmmeter from neutral to earth at an outlet of its circuits, no "
            f"more than the {_PROTECTIVE_OHM:g} ohm of mains.protective_ohm; a bond that closes only while the "
            "inverter runs is open here: prove it by mains.neutral_on_inverter", _LOCAL,
        )  # fmt: skip
    if inlet and inverter:
        each = (
            ", with the changeover in each of its positions, at the terminals before it"
            if "changeover" in fit.breakers
            else ""
        )
        yield _done(DEAD, "mains.sides_apart", "live and neutral of the hook-up side not joined to those of the "
                    "inverter's", f"ohmmeter between the sides, proved dead{each}: open", _LOCAL)  # fmt: skip


def _changing_bonds() -> Iterator[Check]:
    yield _done(
        LIVE, "mains.bond_on_hook_up",
        "neutral and earth not joined in the vehicle on hook-up: the inverter-charger's bond opens",
        "by its maker's procedure: through hook-up a meter reads the site's own bond", _LOCAL,
    )  # fmt: skip
    yield _done(
        LIVE, "mains.bond_on_inverter",
        "neutral and earth joined on the inverter, where local codes require it: its bond closes",
        f"hook-up unplugged, inverter on, at an outlet: {_AT_EARTH}", _LOCAL,
    )  # fmt: skip


# --- residual current --------------------------------------------------------------------------------


def _first(fit: Fit) -> str:
    """What the link must be before: behind a changeover it would be a second bond on hook-up."""
    return (
        "the changeover, and any residual-current device"
        if "changeover" in fit.breakers
        else ("its first residual-current device")
    )


def _link(fit: Fit) -> Iterator[Check]:
    if fit.bond_link:
        yield _done(
            DEAD, "mains.bond_link",
            f"neutral and earth joined by one link in the mains box, between the inverter and {_first(fit)}",
            "seen; then as mains.bond_on_inverter", _LOCAL,
        )  # fmt: skip


def _trips(fit: Fit) -> Iterator[Check]:
    """Each circuit on each source that can feed it; a source without any has its device tested all the same."""
    on_inverter, on_hook_up = fit.case.circuits_from("inverter"), fit.case.circuits_from("hook_up")
    if fit.case.brief.inlet:
        passed = on_inverter if fit.inverter and fit.inverter.reached else ()
        yield from _on("hook_up", "on hook-up", (*passed, *on_hook_up))
    if fit.inverter:
        yield from _on("inverter", "on the inverter", on_inverter, f"; {BEFORE_BOND}")


def _on(place: str, where: str, circuits: tuple[str, ...], only: str = "") -> Iterator[Check]:
    for name in circuits:
        yield from _device(f"mains.trip_{place}.{name}", f"residual-current device of {name}", where, only)
    if not circuits:
        where += "; no circuit of the brief on it"
        yield from _device(f"mains.trip_{place}", "residual-current device", where, only)


def _device(id: str, device: str, where: str, only: str) -> Iterator[Check]:
    at = "at an outlet or terminals of it"
    yield _done(LIVE, f"{id}.half", f"{device} does not trip, {where}",
                f"{at}, half its rated residual current, from both half waves{only}", _USUAL)  # fmt: skip
    for suffix, times, most in (("1x", "its rated", _TRIP_MS), ("5x", "five times its rated", _TRIP_5X_MS)):
        yield Check(
            group=LIVE, id=f"{id}.{suffix}_ms", what=f"{device} trips, {where}", unit="ms", high=most, source=_LOCAL,
            licensed=True, how=f"{at}, {times} residual current, from both half waves; the slower{only}",
        )  # fmt: skip
    yield _done(LIVE, f"{id}.button", f"{device} trips by itself, {where}", f"its own test button, pressed once{only}",
                _USUAL)  # fmt: skip


def _done(group: str, id: str, what: str, how: str, source: str) -> Check:
    return Check(group=group, id=id, what=what, how=how, rule="done", source=source, licensed=True)
