"""What an impossible case asks for, scenario by scenario and place by place, beside what can be had.

Two figures each: what the build of the nearest brief has, and what no build of the case as asked can be better than
that misses nothing else than this build does. Neither says that the other is reached.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite

from optimiser.auditing import Finding, audit
from optimiser.basis import loads, volts
from optimiser.builds import Build
from optimiser.case import Case, Scenario
from optimiser.catalogue import Catalogue
from optimiser.explaining.easing import is_definition
from optimiser.explaining.elastic import NearestBrief
from optimiser.explaining.subject import Budget, Solver
from optimiser.fitted import fit_of, hours
from optimiser.requirements import MOST, REGISTER
from optimiser.solve import Bounds, Energy

_SHARE = 0.1  # of the time
_SUN = "sun"  # as a trace calls it
_OF_ENERGY = ("energy.floor", "energy.returns", "energy.autonomy")  # told by the hours, not as a place
# What each zone, bay, axle and feed has to carry, and what is asked for by size: told even where nothing is missing.
_CARRIED = (
    "roof.mass",
    "bay.mass",
    "mass.payload",
    "mass.axle",
    "mass.hitch_high",
    "inverter.power",
    "charge.alternator",
    "charge.inlet",
    "charge.generator",
    "size.mains_charge",
    "size.solar",
    "size.bank",
    "size.inverter",
)


@dataclass(frozen=True)
class AskedEnergy:
    """Of a scenario, or of the days without sun where ``scenario`` is empty: what the loads draw, and what gives it.

    ``has``: of the build of the nearest brief. ``best``: no build gives more, or lacks less (proven).
    """

    scenario: str
    hours: float
    asked_wh: float
    has: Energy | None
    best: Energy | None


@dataclass(frozen=True)
class AskedPlace:
    """What the build of the nearest brief makes of a limit as asked. ``best``: none is nearer to it (proven)."""

    finding: Finding
    best: float | None

    @property
    def missing(self) -> float:
        """In the build; 0 where it is met."""
        return max(0.0, -self.finding.margin)

    @property
    def missing_at_least(self) -> float | None:
        """In any build (proven), if anything is known of that."""
        if self.best is None:
            return None
        return max(0.0, (self.best - self.finding.limit) * (1 if REGISTER[self.finding.name].sense == MOST else -1))


@dataclass(frozen=True)
class Asked:
    """Of a whole case."""

    energy: tuple[AskedEnergy, ...] = ()
    places: tuple[AskedPlace, ...] = ()


def asked_of(
    case: Case, catalogue: Catalogue, names: tuple[str, ...], brief: NearestBrief | None, solver: Solver, budget: Budget
) -> Asked:
    """The table of an impossible case; without a nearest brief, what can be had with all ``names`` given up.

    A build that a definition keeps out of the case as asked is no build of it: then there are no bounds.
    """
    given_up = frozenset(finding.requirement for finding in brief.missed) if brief else frozenset(names)
    bounds = Bounds()
    if brief is None or not any(map(is_definition, given_up)):
        bounds = solver.bounds(case, catalogue, given_up, seconds=budget.share(_SHARE).left_s())
    build = brief.build if brief else None
    return Asked(
        tuple(_energy(case, catalogue, build, bounds)),
        tuple(_places(case, catalogue, brief, bounds)) if brief else (),
    )


def _energy(case: Case, catalogue: Catalogue, build: Build | None, bounds: Bounds) -> Iterator[AskedEnergy]:
    for scenario in case.scenarios:
        drawn = loads.hourly(case, scenario)
        asked_wh = float((drawn.dc_w + drawn.inverter_w).sum())
        has = _had(case, catalogue, build, scenario) if build else None
        best = _sane(bounds.energy.get(scenario.name), has)
        yield AskedEnergy(scenario.name, scenario.hours, asked_wh, has, best)
    if days := case.limits.autonomy_days:
        asked_w = sum(loads.autonomy_day(case))
        has = _without_sun(case, catalogue, build) if build else None
        yield AskedEnergy("", 24 * days, 24 * days * asked_w, has, _sane(bounds.energy.get(""), has))


def _had(case: Case, catalogue: Catalogue, build: Build, scenario: Scenario) -> Energy:
    fit = fit_of(case, catalogue, build)
    given = {source: float(watts.sum()) for source, watts in hours.trace_of(fit, scenario).given_w.items()}
    chargers = sum(wh for source, wh in given.items() if source != _SUN)
    return Energy(given[_SUN], chargers, hours.in_bank_wh(fit, scenario), hours.short_wh(fit, scenario))


def _without_sun(case: Case, catalogue: Catalogue, build: Build) -> Energy:
    usable_wh, drawn_w = hours.without_sun(fit_of(case, catalogue, build))
    short = 24 * case.limits.autonomy_days * drawn_w - usable_wh
    return Energy(0.0, 0.0, usable_wh, max(0.0, short / volts.DISCHARGE_EFFICIENCY))


_SLACK = 1.001  # the model rounds to the safe side, so that a build may have a trifle more than its bound


def _sane(best: Energy | None, has: Energy | None) -> Energy | None:
    """Bounds that the build at hand keeps to; else it is none of those they speak of, and they say nothing of it."""
    if best is None or has is None:
        return best
    pairs = ((has.sun_wh, best.sun_wh), (has.chargers_wh, best.chargers_wh), (has.bank_wh, best.bank_wh),
             (best.short_wh, has.short_wh))  # fmt: skip
    kept = all(less is None or more is None or less <= _SLACK * more + 1 for less, more in pairs)
    return best if kept else None


def _places(case: Case, catalogue: Catalogue, brief: NearestBrief, bounds: Bounds) -> Iterator[AskedPlace]:
    """Zones, bays, axles, feeds and sizes, and all else that is missed and has a figure."""
    for finding in audit(case, catalogue, brief.build):
        figure = isfinite(finding.margin) and not REGISTER[finding.name].yes_no
        told = finding.name in _CARRIED or (finding in brief.missed and finding.name not in _OF_ENERGY)
        if figure and told:
            yield AskedPlace(finding, bounds.limited.get(finding.requirement))
