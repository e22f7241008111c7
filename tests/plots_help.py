"""What the tests of plots are about: stored builds, and the trailer by hand with breaches and with long names."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass, replace
from functools import cache

import pytest

from optimiser.auditing import Finding, audit
from optimiser.fitted import Fit, fit_of
from optimiser.plots import Plot, charts, plots
from optimiser.plots.style import Charted, look
from tests import handmade, packing_help

LONG = "a_name_that_somebody_who_likes_words_gave_it_on_a_long_evening"


@dataclass(frozen=True)
class Audited:
    """A build and what the audit finds of it."""

    fit: Fit
    findings: tuple[Finding, ...]


def audited(fit: Fit) -> Audited:
    return Audited(fit, audit(fit.case, fit.catalogue, fit.build))


def by_hand(**case: object) -> Audited:
    world = handmade.world()
    return audited(fit_of(replace(world.case, **case), world.catalogue, world.build))  # type: ignore[arg-type]


def broken() -> Audited:
    """By hand, with hardly any sun, a start near empty, little payload, and a hitch that may not carry it."""
    case = handmade.case()
    vehicle = case.brief.vehicle.model_copy(update={"payload_kg": 12, "hitch_max_kg": 59.2, "balance_max_kg": 0.5})
    limits = case.brief.limits.model_copy(update={"budget": 100, "autonomy_days": 9})
    grey = {"clearness": 0.05, "start_pct": 20, "hook_up_from_h": None, "drive_from_h": None, "start_h": 22}
    scenarios = tuple(s.model_copy(update=grey | {"hours": 120}) for s in case.scenarios)
    brief = case.brief.model_copy(update={"vehicle": vehicle, "limits": limits})
    return by_hand(brief=brief, scenarios=scenarios)


def long_names() -> Audited:
    """By hand, with names of all that a case names that fill a line."""
    case = handmade.case()
    scenarios = tuple(s.model_copy(update={"name": f"{s.name}_{LONG}_and_{LONG}", "hours": 7}) for s in case.scenarios)
    zones = tuple(z.model_copy(update={"name": LONG}) for z in case.zones)
    obstacles = tuple(o.model_copy(update={"zone": LONG, "name": f"{o.name}_{LONG}"}) for o in case.obstacles)
    world = handmade.world()
    build = replace(world.build, panels=tuple(replace(p, zone=LONG) for p in world.build.panels))
    named = replace(case, scenarios=scenarios, zones=zones, obstacles=obstacles)
    return audited(fit_of(named, world.catalogue, build))


CHEAPEST, LIGHTEST = ([f"{name} {want}" for name in packing_help.SOLVED] for want in packing_help.WANTS)
OTHERS = {"by hand": by_hand, "broken": broken, "long names": long_names}


@cache
def subject(name: str) -> Audited:
    if name in OTHERS:
        return OTHERS[name]()
    case, want = name.split()
    return Audited(packing_help.shipped(case, want), packing_help.findings(case, want))


@cache
def made(name: str) -> tuple[Plot, ...]:
    return plots(subject(name).fit, subject(name).findings)


@cache
def drawn(name: str) -> tuple[Charted, ...]:
    with look():
        return charts(subject(name).fit, subject(name).findings)


_SLOW = [*CHEAPEST[1:2], *LIGHTEST]
every = pytest.mark.parametrize(
    "name",
    [name for name in (*CHEAPEST, *OTHERS) if name not in _SLOW]
    + [pytest.param(name, marks=pytest.mark.slow) for name in _SLOW],
)


def one(name: str, key: str) -> Plot:
    return next(plot for plot in made(name) if plot.key == key)


def texts(plot: Plot) -> list[str]:
    return [element.text or "" for element in ET.fromstring(plot.svg).iter() if element.tag.endswith("}text")]


def of(name: str, requirement: str) -> Finding:
    return next(f for f in subject(name).findings if f.requirement == requirement)
