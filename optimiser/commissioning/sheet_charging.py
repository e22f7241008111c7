"""Checks on what charges the bank, other than strings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from optimiser.auditing.finding import Finding
from optimiser.case import Trailer
from optimiser.commissioning.check import DERATES_ABOVE, Check
from optimiser.commissioning.spread import COMMON
from optimiser.fitted.fit import Fit

GROUP = "Charging"
TOWING = "the towing vehicle's own cable is not in the build: measure it apart"
NO_MONITOR = "none is in the build"  # the audit wants the currents of sources and loads measured, not the bank's own

_CHARGE = 0.05  # a charger within so much of its design
_FEED_V = 0.1  # beyond its design at the input of the alternator charger
_ALTERNATOR_C = 100.0  # of 100 to 110, the lower
_BELOW_PCT = 80.0  # a bank that takes all it is given


def charging_checks(fit: Fit, found: Mapping[str, Finding]) -> Iterator[Check]:
    """Each charger's current, and what its feed and the engine's alternator make of it."""
    brief, inverter = fit.case.brief, fit.inverter
    ready = _ready(fit)
    if fit.alternator_charger and brief.alternator:
        yield from _alternator(fit, found, f"{ready}{'; panels covered' if fit.solar_on_alternator else ''}")
    if fit.mains_charger and brief.inlet:
        amps = fit.mains_charger.charge_a
        yield _charge("charge.mains_charger", "mains charger into the bank", _held(amps, ready), amps)
    if inverter and inverter.transfers and brief.inlet:
        amps = inverter.charge_a
        yield _charge("charge.inverter", "inverter-charger into the bank", _held(amps, ready), amps)


def from_plug(fit: Fit) -> bool:
    """Whether the feed of the alternator charger is surveyed from the tow plug on, not from a starter battery."""
    return isinstance(fit.case.brief.vehicle, Trailer)


def _ready(fit: Fit) -> str:
    least_ah = (1 - _BELOW_PCT / 100) * fit.module.capacity_ah * fit.build.bank.parallel
    return (
        f"clamp against display for 10 minutes, bank below {_BELOW_PCT:g} %: {least_ah:g} Ah or more drawn from full, "
        f"by the currents on the display over time, or by a monitor of the bank ({NO_MONITOR})"
    )


def _held(amps: float, ready: str) -> str:
    return f"{ready}; {100 * _CHARGE:g} % either side of its rated {amps:g} A, {DERATES_ABOVE}"


def _alternator(fit: Fit, found: Mapping[str, Finding], ready: str) -> Iterator[Check]:
    assert fit.alternator_charger is not None
    amps, plug = fit.alternator_charger.charge_a, from_plug(fit)
    feeds = "; it holds them while its input voltage holds: note that"
    yield _charge("charge.alternator_charger", "alternator charger into the bank, engine at 2000 rpm",
                  f"{_held(amps, ready)}{feeds}", amps)  # fmt: skip
    yield _charge(
        "charge.alternator_charger_idle", "the same, engine idling",
        f"{ready}; same band of {amps:g} A: what is missing at idle alone is the alternator's, not the charger's; note "
        "its input voltage", amps,
    )  # fmt: skip
    feed = found.get("run.drop[alternator_feed]")
    if feed:
        start = "tow plug" if plug else "starter battery"
        yield Check(
            group=GROUP, id="charge.feed_v", what=f"{start} less input of the alternator charger",
            how=f"after 20 to 30 minutes at full output; note the input voltage{f'; {TOWING}' if plug else ''}",
            unit="V", design=feed.actual, high=feed.actual + _FEED_V, basis=feed.requirement, source=COMMON,
        )  # fmt: skip
    yield Check(
        group=GROUP, id="charge.alternator_c", what="case of the engine's alternator", high=_ALTERNATOR_C,
        how="after 20 to 30 minutes at full output", unit="C", source=COMMON,
    )  # fmt: skip


def _charge(id: str, what: str, how: str, amps: float) -> Check:
    return Check(
        group=GROUP, id=id, what=what, how=how, unit="A", design=amps, low=(1 - _CHARGE) * amps,
        high=(1 + _CHARGE) * amps, basis="rated output", source=COMMON,
    )  # fmt: skip
