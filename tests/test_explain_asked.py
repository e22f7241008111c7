"""What is asked and what can be had: bounds held against builds that are worked out by code without a solver."""

from collections.abc import Iterable
from functools import cache

import pytest

from optimiser.auditing import audit, breaches
from optimiser.basis import volts
from optimiser.builds import Build
from optimiser.explaining import Asked
from optimiser.explaining.asked import asked_of
from optimiser.explaining.elastic import nearest_brief
from optimiser.explaining.subject import CLAIMS
from optimiser.fitted import fit_of, hours
from optimiser.pipeline import Explanation
from optimiser.printing import explanation_object, explanation_sheet
from optimiser.requirements import MOST, REGISTER
from optimiser.solve import Bounds, Impossible, Measures, Outcome, Question, bounds
from tests import handmade
from tests.explaining import STOP, Solving, inputs_of, names_of, soon
from tests.handmade import World
from tests.knobs import altered, changed
from tests.test_explain_proofs import why

GIVEN_UP = {
    "energy": ("energy.autonomy", "money.budget"),
    "mass": ("mass.payload", "mass.hitch_high", "bay.mass[box]", "bay.mass[locker]", "roof.mass[roof]"),
    "feed": ("charge.alternator", "charge.plug", "inverter.power", "inverter.surge", "charge.inlet"),
    "hours": ("energy.floor[summer]", "energy.returns[summer]"),
}
WORLDS = {
    "energy": altered(handmade.world(), ("limits.autonomy_days", 20), ("limits.budget", 1)),
    "mass": altered(handmade.world(), ("vehicle.payload_kg", 1)),
    "feed": altered(handmade.world(), ("alternator.rating_a", 30)),
    "hours": altered(handmade.world(), ("limits.autonomy_days", 1)),
}
BESTS: tuple[Measures, ...] = (
    ("cost", "mass"),
    ("mass", "cost"),
    ("days_without_sun", "cost"),
    ("annual_surplus", "cost"),
)


@cache
def at_best(label: str) -> Bounds:
    world = WORLDS[label]
    return bounds(world.case, world.catalogue, GIVEN_UP[label], seconds=60)


@cache
def builds(label: str) -> tuple[Build, ...]:
    """The best in several ways, each of which may miss what is given up."""
    world = WORLDS[label]
    question = Question(world.case, world.catalogue, active=lambda name: name not in GIVEN_UP[label])
    return tuple(build_of(question.best(best, stop=STOP)) for best in BESTS)


def build_of(found: Outcome) -> Build:
    assert not isinstance(found, Impossible) and found.build is not None
    return found.build


@pytest.mark.parametrize("label", WORLDS)
def test_no_build_gives_more_or_lacks_less_than_its_bounds(label: str) -> None:
    world, found = WORLDS[label], at_best(label)
    assert len(builds(label)) == len(BESTS)
    for build in builds(label):
        fit = fit_of(world.case, world.catalogue, build)
        for scenario in world.case.scenarios:
            best, given = found.energy[scenario.name], hours.trace_of(fit, scenario).given_w
            assert best.sun_wh is not None and best.sun_wh >= given["sun"].sum() - 1
            chargers = sum(watts.sum() for source, watts in given.items() if source != "sun")
            assert best.chargers_wh is not None and best.chargers_wh >= chargers - 1
            assert best.bank_wh is not None and best.bank_wh >= hours.in_bank_wh(fit, scenario) - 1
            assert best.short_wh is not None and best.short_wh <= hours.short_wh(fit, scenario) + 1


@pytest.mark.parametrize("label", WORLDS)
def test_no_build_is_nearer_to_what_it_may_miss_than_its_bound(label: str) -> None:
    world, found = WORLDS[label], at_best(label).limited
    assert found.keys() >= set(GIVEN_UP[label]) - {"charge.plug"} - {n for n in GIVEN_UP[label] if "energy" in n}
    for build in builds(label):
        for finding in audit(world.case, world.catalogue, build):
            if finding.requirement in found:
                best, most = found[finding.requirement], REGISTER[finding.name].sense == MOST
                assert best <= finding.actual + 1e-3 if most else best >= finding.actual - 1e-3


def test_a_bound_of_the_lightest_is_near_to_it_and_of_the_cheapest() -> None:
    """It would say nothing, were it far: no more than a tenth below in so small a world."""
    for label, name, build in (("mass", "mass.payload", 1), ("energy", "money.budget", 0)):
        world = WORLDS[label]
        found = audit(world.case, world.catalogue, builds(label)[build])
        best = next(finding.actual for finding in found if finding.requirement == name)
        assert 0.5 * best < at_best(label).limited[name] <= best + 1e-3


# --- what is missing from a bank ------------------------------------------------------------------------


@pytest.mark.parametrize(("floor", "start"), [(95, 90), (20, 90), (60, 61), (10, 100)])
def test_what_is_missing_is_what_the_bank_falls_beneath_its_floor_or_its_start(floor: float, start: float) -> None:
    """As the trace says, while nothing runs empty."""
    world = altered(handmade.world(), ("limits.soc_floor_pct", floor), ("scenarios.summer.start_pct", start))
    fit, scenario = fit_of(world.case, world.catalogue, world.build), world.case.scenarios[0]
    bank = world.build.bank
    capacity = volts.bank_capacity_wh(world.case, fit.module, series=bank.series, parallel=bank.parallel)
    soc_pct = hours.trace_of(fit, scenario).soc_pct
    assert soc_pct.min() > 0 and scenario.returns

    missing = hours.short_wh(fit, scenario)

    lacks_pct = max(0.0, floor - float(soc_pct.min()), start - float(soc_pct[-1]))
    assert missing == pytest.approx(lacks_pct / 100 * capacity)


def test_a_bank_that_would_run_empty_lacks_all_that_was_drawn() -> None:
    """Where nothing gives as much as the loads draw, each watt more is missing in full."""
    world = handmade.world()
    dark = altered(world, *((f"scenarios.{s.name}.clearness", 0.0) for s in world.case.scenarios))
    short = []
    for watt in (10_000, 20_000):
        heavy = changed(dark, f"loads.{world.case.loads[0].name}.watt_w", watt)
        fit = fit_of(heavy.case, heavy.catalogue, heavy.build)
        short.append(hours.short_wh(fit, heavy.case.scenarios[0]))
    assert short[1] > short[0] > 0
    twice = changed(dark, f"loads.{world.case.loads[0].name}.watt_w", 30_000)
    more = hours.short_wh(fit_of(twice.case, twice.catalogue, twice.build), twice.case.scenarios[0])
    assert more - short[1] == pytest.approx(short[1] - short[0])


# --- the table ------------------------------------------------------------------------------------------


def told(world: World, seconds: float = 120) -> Asked:
    names = names_of(world.case, world.catalogue)
    brief = nearest_brief(world.case, world.catalogue, names, Solving(), soon(seconds))
    assert brief is not None
    return asked_of(world.case, world.catalogue, names, brief, Solving(), soon(seconds))


def held(world: World, found: Asked, others: Iterable[Build] = ()) -> None:
    for place in found.places:
        assert place.finding.ok == (place.missing == 0)
        if place.missing_at_least is not None:
            assert place.missing_at_least <= place.missing + 1e-3
    for row in found.energy:
        if row.best and row.has:
            assert row.best.short_wh is not None and row.has.short_wh is not None
            assert row.best.short_wh <= row.has.short_wh + 1


def test_of_each_limit_missed_it_says_what_every_build_lacks() -> None:
    world = altered(handmade.world(), ("vehicle.payload_kg", 1), ("limits.budget", 1))

    found = told(world)

    held(world, found)
    missed = {place.finding.requirement: place for place in found.places if place.missing}
    assert missed.keys() == {"mass.payload", "money.budget"}
    for name, place in missed.items():
        assert place.missing_at_least is not None and place.missing_at_least > 0.4 * place.missing, name
    carried = {place.finding.name for place in found.places}
    assert {"bay.mass", "mass.axle", "mass.hitch_high", "inverter.power"} <= carried
    assert {row.scenario for row in found.energy} >= {scenario.name for scenario in world.case.scenarios}


def test_of_days_without_sun_it_says_what_they_ask_and_what_the_bank_lacks() -> None:
    """A bound beside the most that any build has, which is more than a day of the loads and less than two."""
    world = changed(handmade.world(), "limits.autonomy_days", 2.25)

    found = told(world)

    held(world, found)
    row = found.energy[-1]
    assert row.scenario == "" and row.hours == 54 and row.has is not None and row.best is not None
    assert row.best.bank_wh is not None and row.asked_wh > row.best.bank_wh > 0.3 * row.asked_wh
    assert row.best.short_wh is not None and row.best.short_wh > 0
    question = Question(world.case, world.catalogue, active=lambda name: name != "energy.autonomy")
    most = build_of(question.best(("days_without_sun", "cost"), stop=STOP))
    missed = {f.requirement for f in breaches(audit(world.case, world.catalogue, most)) if f.name not in CLAIMS}
    assert missed == {"energy.autonomy"}
    usable_wh, drawn_w = hours.without_sun(fit_of(world.case, world.catalogue, most))
    short_wh = (54 * drawn_w - usable_wh) / 0.975  # a bank gives the loads 97.5 % of what leaves it
    assert row.best.bank_wh >= usable_wh - 1 and 0.9 * short_wh < row.best.short_wh <= short_wh


def test_sheet_and_object_tell_both_figures_and_how_to_read_them() -> None:
    world = altered(handmade.world(), ("vehicle.payload_kg", 1), ("limits.budget", 1))
    explained = Explanation("impossible", why(world.case, world.catalogue))

    lines = explanation_sheet(inputs_of(world.case, world.catalogue), explained)

    titles = [str(line.title) for line in lines if hasattr(line, "title")]
    assert any("What each scenario asks" in title for title in titles)
    assert any("What each place asks or allows" in title for title in titles)
    assert any(isinstance(line, str) and line.startswith("That build: the one above.") for line in lines)
    shown = explanation_object(explained)["asked"]
    assert shown is not None and len(shown["energy"]) >= len(world.case.scenarios)
    payload = next(row for row in shown["places"] if row["finding"]["requirement"] == "mass.payload")
    assert payload["missing_at_least"] is not None and 0 < payload["missing_at_least"] <= payload["missing"]


def test_without_time_there_are_no_bounds_and_it_says_so() -> None:
    world = altered(handmade.world(), ("vehicle.payload_kg", 1))
    assert bounds(world.case, world.catalogue, ("mass.payload",), seconds=0) == Bounds()
