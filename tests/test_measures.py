"""What builds are compared by: the solver's figures against the audit's, against going through all, and by hand."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations, product
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.basis import sun
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.fitted import cost_and_mass, measured
from optimiser.measures import MEASURES, Measure
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue
from optimiser.solve import (
    Found,
    Halt,
    Impossible,
    Infeasible,
    Measures,
    Point,
    Question,
    Room,
    Solved,
    Stop,
    Unanswered,
    Undecided,
)
from tests import handmade
from tests.handmade import World
from tests.knobs import altered, changed
from tests.test_twins import case, catalogue, like
from tests.twin_search import Search, cheapest
from tests.twin_tables import Values
from tests.twins import Twin

STOP = Stop(seconds=60, seed=1, workers=1)
PAIRS: list[Measures] = [pair for pair in permutations(MEASURES, 2) if set(pair) != {"mass", "spare_payload"}]
EACH: list[Measures] = [  # each measure first and second
    ("cost", "mass"),
    ("mass", "days_without_sun"),
    ("days_without_sun", "annual_surplus"),
    ("annual_surplus", "spare_payload"),
    ("spare_payload", "cost"),
]

ROUNDED: dict[Measure, float] = {
    "days_without_sun": 0.0101,  # down to hundredths, and bank and draw to whole mWh and mW
    "annual_surplus": 0.008,  # a Wh of each array's offer and yield, of both loads and of the sum
}
"""What a figure of the solver may be worse by, where idle draws are whole mW and efficiencies tenths of a percent."""


def rounded_safely(at: Case, parts: Catalogue, found: Found) -> None:
    """Cost and mass as the audit calculates them; the others no better, and worse by the rounding only."""
    assert found.build is not None
    assert cost_and_mass(at, parts, found.build) == (found.cost_cents, found.mass_g)
    assert breaches(audit(at, parts, found.build)) == ()
    actual = measured(at, parts, found.build)
    assert (found.figures["cost"], found.figures["mass"]) == (found.cost_cents, found.mass_g)
    assert found.figures["cost"] == pytest.approx(100 * actual["cost"], abs=1e-6)
    assert found.figures["mass"] == pytest.approx(1000 * actual["mass"], abs=1e-6)
    for name, most in (ROUNDED | {"spare_payload": 0.001}).items():
        if name in found.figures:
            short = actual[name] - found.figures[name] / MEASURES[name].per_unit
            assert -1e-9 <= short <= most, name


def best(at: Case, parts: Catalogue, measures: Measures) -> Solved:
    found = Question(at, parts).best(measures, stop=STOP)
    assert isinstance(found, Solved)
    assert set(found.figures) == {"cost", "mass", *measures}
    return found


# --- the solver's figures against the audit's --------------------------------------------------------


def hand() -> World:
    return handmade.world()


def with_inverter() -> World:
    return replace(hand(), case=case(nose=False, wall_mm=(1700, 160), kettle_w=200), catalogue=catalogue())


def at_24_v() -> World:
    step_downs = [like("step-down-24", "step-down-24", efficiency_pct=91.5), like("step-down-24", "step-down-light")]
    world = replace(hand(), case=case(wall_mm=(1500, 160)), catalogue=catalogue(step_downs=step_downs))
    return changed(world, "brief.system_voltages", (24,))


def with_portable() -> World:
    world = hand()
    return altered(
        world,
        ("brief.portable", c.Portable(panel="panel-fold", point="socket_point")),
        ("ways", (*world.case.ways, handmade.way("socket_way", "socket_point", "locker", 400, 20))),
        ("scenarios.summer.portable_from_h", 8),
        ("scenarios.summer.portable_to_h", 16),
        ("parts.shunt-4x50.channels", 5),
        ("parts.regulator-20.start_above_v", 1),
        ("parts.panel-fold.vmp_v", 21),
    )


def two_efficiencies() -> World:
    ours = [
        like("regulator-20", "regulator-poor", efficiency_pct=90.5, price=40),
        like("regulator-20", "regulator-good", efficiency_pct=98.2, price=80),
    ]
    return replace(hand(), case=case(), catalogue=catalogue(regulators=ours))


def heated() -> World:
    """Modules whose heaters of 20 W are on, as the bay is 3 K warmer than a night of 1 C."""
    warmed = changed(changed(hand(), "parts.module-100.heater_w", 20), "limits.autonomy_days", 0)
    return changed(warmed, "scenarios.summer.temp_min_c", 1)


WORLDS = {make.__name__: make for make in (hand, with_inverter, at_24_v, with_portable, two_efficiencies, heated)}


@pytest.mark.parametrize("measures", EACH, ids=" ".join)
@pytest.mark.parametrize("name", WORLDS)
def test_figures_are_those_of_the_audit_rounded_safely(name: str, measures: Measures) -> None:
    world = WORLDS[name]()

    rounded_safely(world.case, world.catalogue, best(world.case, world.catalogue, measures))


@settings(max_examples=25, derandomize=True, deadline=None, database=None)
@given(
    measures=st.sampled_from(PAIRS),
    lamp_w=st.floats(1, 40),
    kettle_w=st.sampled_from([0, 151.3]),
    clearness=st.floats(0.2, 1),
    start_pct=st.floats(20, 100),
    main_mm=st.integers(200, 3000),
    vehicle=st.fixed_dictionaries({"payload_kg": st.floats(30, 200)}),
)
def test_figures_of_worlds_drawn(measures: Measures, **drawn: Any) -> None:
    at, parts = case(nose=False, wall_mm=(1700, 160), autonomy_days=0, **drawn), catalogue()

    found = Question(at, parts).best(measures, stop=STOP)

    if not isinstance(found, Impossible):
        rounded_safely(at, parts, found)


@pytest.mark.slow
@pytest.mark.parametrize("measures", EACH, ids=" ".join)
def test_figures_of_a_shipped_case(measures: Measures) -> None:
    at, parts = read_inputs(shipped_cases() / "tiny-trailer", shipped_catalogue())

    found = Question(at, parts).best(measures, stop=replace(STOP, seconds=20, workers=2))  # proven or not

    assert not isinstance(found, Impossible) and found.build is not None
    rounded_safely(at, parts, found)


def test_each_measure_is_best_where_it_comes_first() -> None:
    world = with_inverter()
    solved = {pair: best(world.case, world.catalogue, pair) for pair in PAIRS}
    found = {pair: outcome.figures for pair, outcome in solved.items()}

    for pair, figures in found.items():
        rounded_safely(world.case, world.catalogue, solved[pair])
        for name in set(pair):
            loss, least = MEASURES[name].loss, MEASURES[name].loss(found[_first(name)][name])
            assert loss(figures[name]) >= least
            assert name != pair[0] or loss(figures[name]) == least
    assert len({tuple(sorted(figures.items())) for figures in found.values()}) > 3  # they do pull apart


def _first(name: Measure) -> Measures:
    return next(pair for pair in PAIRS if pair[0] == name)


def test_a_point_is_counted_as_something_to_be_made_small() -> None:
    world = with_inverter()
    measures: Measures = ("cost", "annual_surplus")
    question = Question(world.case, world.catalogue)

    def ask(room: Room) -> Point[Found] | Infeasible | Unanswered:
        return question.point(measures, room, stop=STOP, watch=lambda _: None, halt=Halt())

    near = ask(Room())
    assert isinstance(near, Point)
    beyond = ask(Room(near.second - 1, near.first + 1))
    assert isinstance(beyond, Point)
    for point in (near, beyond):
        assert (point.first, point.second) == (point.found.cost_cents, -point.found.figures["annual_surplus"])
        assert point.proven and not isinstance(point.found, Undecided)
    assert beyond.first > near.first and beyond.second < near.second
    assert isinstance(ask(Room(-(10**8))), Infeasible)


def test_shown_and_counted() -> None:
    days, cost = MEASURES["days_without_sun"], MEASURES["cost"]

    assert (days.shown(224), cost.shown(72_175, "cu")) == ("2.24 days", "721.75 cu")
    assert (MEASURES["annual_surplus"].shown(-290_541), MEASURES["mass"].shown(20_510)) == ("-290.5 kWh", "20.510 kg")
    assert (days.loss(224), days.figure(-224), cost.loss(5), cost.figure(5)) == (-224, 224, 5, 5)


# --- against going through all -----------------------------------------------------------------------


class Forced(Twin):
    """Some decisions are given, so that the search can be asked for each of them in turn."""

    forced: Values = {}  # noqa: RUF012 - replaced, never changed

    def values(self, name: str, at: Values) -> list[Any]:
        found = super().values(name, at)
        return [value for value in found if value == self.forced[name]] if name in self.forced else found


def every(at: Case, parts: Catalogue) -> Iterator[Build]:
    """The cheapest valid build of each bank, array and regulator: all that these measures depend on here."""
    twin = Forced(at, parts)
    search = Search(twin)
    for bank, array in product(Twin.values(twin, "bank", {}), Twin.values(twin, "array", {})):
        for regulator in Twin.values(twin, "regulator_1", {"array": array}):
            twin.forced = {"bank": bank, "array": array, "regulator_1": regulator}
            found = search.best(cheapest)
            if found:
                yield found.build


QUIET = [  # so that how many of them there are changes nothing: the twin takes two of each at most
    like("shunt-1x300", "shunt-1x100", rating_a=100, idle_w=0.0),
    like("shunt-4x50", "shunt-2x50", price=24, idle_w=0.0),
]


@pytest.mark.slow
@pytest.mark.parametrize("kettle_w", [0, 150])
def test_best_of_all_builds(kettle_w: float) -> None:
    parts = catalogue(
        shunts=QUIET,
        regulators=[
            like("regulator-20", "regulator-10", price=60, out_a=10, pv_isc_max_a=10, efficiency_pct=98, idle_w=1.5),
            like("regulator-20", "regulator-20", price=95, pv_v_max=60, efficiency_pct=94, idle_w=0.1),
        ],
    )
    at = case(nose=False, wall_mm=(1700, 160), kettle_w=kettle_w, autonomy_days=0.3)
    builds = [measured(at, parts, build) for build in every(at, parts)]

    for measure, rounding in ROUNDED.items():
        found = best(at, parts, (measure, "cost"))
        most = max(figures[measure] for figures in builds)
        assert 0 <= most - found.figures[measure] / MEASURES[measure].per_unit <= rounding
        assert found.cost_cents == min(round(100 * f["cost"]) for f in builds if f[measure] > most - rounding)
        assert len({round(figures[measure], 2) for figures in builds}) > 1


@pytest.mark.slow
def test_days_without_sun_are_those_an_autonomy_limit_could_ask_for() -> None:
    """The cheapest build with so many days, and none with a hundredth more, by going through all of them."""
    at, parts = case(nose=False, wall_mm=(1700, 160), kettle_w=150), catalogue(shunts=QUIET)
    found = best(at, parts, ("days_without_sun", "cost"))
    days = found.figures["days_without_sun"] / 100

    def asked(limit: float) -> Case:
        return case(nose=False, wall_mm=(1700, 160), kettle_w=150, autonomy_days=limit)

    least = Search(Twin(asked(days), parts)).best(cheapest)
    assert least and least.worth.cents == found.cost_cents
    assert Search(Twin(asked(days + 0.01), parts)).best(cheapest) is None


# --- by hand -----------------------------------------------------------------------------------------

DC_WH = 60 * 0.40 * 24 + 30 * 5  # fridge, lamps
SOCKETS_WH = 600 * 1  # kettle; the heater runs on hook-up only
IDLE_W = 0.2 + 5 + 0.5 + 1 + 0.5 + (0.1 + 0.4) + 2 * 0.2  # regulator, inverter, two chargers, display, shunts, modules
DRAWN_KWH = 365 * (DC_WH + SOCKETS_WH / 0.90 + 24 * IDLE_W) / 1000


def surplus_kwh(world: World) -> float:
    return measured(world.case, world.catalogue, world.build)["annual_surplus"]


def test_without_light_the_surplus_is_what_is_drawn() -> None:
    assert round(DRAWN_KWH, 3) == 579.279
    assert surplus_kwh(changed(hand(), "scenarios.summer.clearness", 0)) == pytest.approx(-DRAWN_KWH)


def test_two_panels_that_always_give_ten_watt(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sun, "panel_hour_w", lambda *_: np.full(24, 10.0))
    given = 2 * 10 * 8760 / 1000

    assert surplus_kwh(hand()) == pytest.approx(0.97 * given - DRAWN_KWH)
    poor = changed(hand(), "parts.regulator-20.efficiency_pct", 80)
    assert surplus_kwh(poor) == pytest.approx(0.80 * given - DRAWN_KWH)
    idle = changed(hand(), "parts.regulator-20.idle_w", 1.2)
    assert surplus_kwh(idle) == pytest.approx(0.97 * given - DRAWN_KWH - 8.76)


def test_heaters_of_the_bank_draw_all_through_the_year_of_a_cold_scenario() -> None:
    dark = changed(heated(), "scenarios.summer.clearness", 0)
    warm = changed(dark, "scenarios.summer.temp_min_c", 2)  # 5 C in the bay: none is on

    assert surplus_kwh(dark) == pytest.approx(-DRAWN_KWH - 2 * 20 * 8760 / 1000)
    assert surplus_kwh(warm) == pytest.approx(-DRAWN_KWH)


def test_twice_the_panels_give_twice_as_much() -> None:
    one, two = hand(), changed(hand(), "build.panels", twice(hand().build))
    two = changed(two, "arrays.a.parallel", 2)

    gained, twice_gained = surplus_kwh(one) + DRAWN_KWH, surplus_kwh(two) + DRAWN_KWH

    assert gained > 100  # two panels of 100 W
    assert twice_gained == pytest.approx(2 * gained)


def twice(build: Build) -> tuple[Any, ...]:
    return (*build.panels, *(replace(panel, string="a.2") for panel in build.panels))


def test_a_panel_without_a_regulator_gives_nothing() -> None:
    assert surplus_kwh(changed(hand(), "arrays.a.regulator", "regulator_2")) == pytest.approx(-DRAWN_KWH)


def test_the_other_measures_by_hand() -> None:
    figures = measured(hand().case, hand().catalogue, hand().build)
    usable_wh = 2 * 12.8 * 100 * 0.9 * (1 - 0.15)  # nominal, kept, above the floor

    assert (figures["cost"], figures["mass"]) == (721.75, 20.51)
    assert figures["spare_payload"] == pytest.approx(120 - 20.51)
    left = 0.975  # of what the bank gives, what arrives
    assert figures["days_without_sun"] == pytest.approx(left * usable_wh / (1000 * DRAWN_KWH / 365))
