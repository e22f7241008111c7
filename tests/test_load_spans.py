"""A load on twice a day, or with another duty in another scenario: one appliance with several spans of hours."""

from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from optimiser.auditing import audit
from optimiser.basis.loads import HourLoads, Peaks, applies, hourly, in_window, on_at, peaks, too_much_together
from optimiser.case import Case, Load, LoadSpan, Scenario
from optimiser.checking import overview
from optimiser.commissioning import CLEAR, Moment, expected
from optimiser.commissioning.log import channels
from optimiser.fitted.hours import trace_of
from optimiser.moves import addresses
from optimiser.packing.page.customer import loads as told_loads
from optimiser.printing.findings import overloads
from optimiser.reading import read_case, read_catalogue, shipped_cases, shipped_catalogue
from tests import handmade
from tests.asking import Change, finding, taken, world
from tests.commission_help import checks, row
from tests.handmade import World
from tests.knobs import altered
from tests.load_spans_help import EVENING, TWICE, fit, inputs, two_spans


def two_loads(*changes: Change) -> World:
    """The same hours as they had to be written with one span a load."""
    at = world(*changes)
    kettle = next(load for load in at.case.loads if load.name == "kettle")
    evening = kettle.model_copy(update={"name": "kettle_evening", **EVENING.own})
    return replace(at, case=replace(at.case, loads=(*at.case.loads, evening)))


def day(at: World) -> HourLoads:
    return hourly(at.case, at.case.scenarios[0])


# --- energy and heat: all of its spans ---------------------------------------------------------------


def test_energy_of_two_spans_on_a_whole_build_by_hand() -> None:
    """Fridge 60 x 0.4 = 24 W, lamps 30 x 5 / 24 = 6.25 W, kettle (600 + 150) / 24 / 0.9 = 34.722 W, own draw 8.1 W.

    A bank of 2 x 1280 x 0.9 Wh gives 85 % of it with 0.975: 1909.44 Wh, for 73.072 W 1.0888 days.
    """
    found = finding(two_spans(), "energy.autonomy")

    assert found.actual == pytest.approx(1909.44 / 24 / 73.07222, abs=1e-5)


def test_each_span_draws_in_its_own_hours_with_its_own_duty() -> None:
    """8 to 9: 24 + 600 / 0.9 + 8.1; 19 to 20: 24 + 30 + 150 / 0.9 + 8.1; both days."""
    at = two_spans()

    drawn = trace_of(fit(at), at.case.scenarios[0]).loads_w

    assert drawn[[8, 32]] == pytest.approx([698.767] * 2, abs=0.001)
    assert drawn[[19, 43]] == pytest.approx([228.767] * 2, abs=0.001)
    assert drawn[[7, 9, 18, 20]] == pytest.approx([32.1, 32.1, 62.1, 62.1])


HALF: Change = ("loads.kettle.duty_pct", 50)
LATE_AND_WHOLE: Change = ("load_spans", (EVENING.model_copy(update={"duty_pct": 100}),))


@pytest.mark.parametrize(
    ("requirement", "given", "knob", "inside", "outside"),
    [
        # 1909.44 / 24 / 73.0722 = 1.08879 days; with its first span alone 1.2031
        ("energy.autonomy", (TWICE,), "limits.autonomy_days", 1.088, 1.089),
        # the heat of the hour in which the further span has all of its 600 W, as by tests/edges.py of one span
        ("bay.heat[locker]", (HALF, LATE_AND_WHOLE), "parts.isolator-300.heat_w", 66.80, 66.81),
        # once at any hour: as by tests/edges.py of one span
        ("battery.discharge", (TWICE,), "parts.module-100.discharge_a", 31.53, 31.52),
        ("battery.surge", (TWICE,), "parts.module-100.surge_a", 40.79, 40.78),
        ("inverter.power", (TWICE,), "loads.kettle.watt_w", 925, 926),
        ("inverter.surge", (TWICE,), "loads.kettle.surge_w", 2500, 2501),
    ],
)
def test_model_and_audit_agree_just_inside_and_just_outside(
    requirement: str, given: tuple[Change, ...], knob: str, inside: float, outside: float
) -> None:
    for value, holds in ((inside, True), (outside, False)):
        at = world(*given, (knob, value))

        assert finding(at, requirement).ok == holds
        assert taken(at, lambda name: name == requirement) == holds


def test_it_takes_what_two_loads_take() -> None:
    one, two = two_spans(), two_loads()

    for name in ("dc_w", "inverter_w", "hook_up_w"):
        assert np.array_equal(getattr(day(one), name), getattr(day(two), name))
    for requirement in ("energy.autonomy", "energy.floor[summer]", "energy.returns[summer]", "bay.heat[locker]"):
        assert finding(one, requirement).actual == finding(two, requirement).actual
    assert float(day(one).inverter_w.sum()) == 2 * 750


@pytest.mark.parametrize(("watt", "of_two"), [(462.5, 0), (462.6, 1)])
def test_only_two_loads_are_told_not_to_be_on_together(watt: float, of_two: int) -> None:
    """The inverter gives 925 W in the heat: two of 462.5 may be on at once, one appliance is never on with itself."""
    given: tuple[Change, ...] = (("loads.kettle.watt_w", watt), ("loads.kettle.surge_w", 0))
    one, two = two_spans(*given), two_loads(*given)

    told = [list(overloads(at.case, audit(at.case, at.catalogue, at.build))) for at in (one, two)]

    assert [len(lines) for lines in told] == [0, of_two]


def test_with_another_load_it_is_told_where_any_span_meets_that_one() -> None:
    """Kettle 600 W and iron 900 W; only the kettle's further span is of the iron's scenario."""
    at = two_spans(("loads.kettle.scenarios", ("summer",)))
    (summer,) = at.case.scenarios
    away = summer.model_copy(update={"name": "away"})
    kettle = next(load for load in at.case.loads if load.name == "kettle")
    iron = kettle.model_copy(update={"name": "iron", "watt_w": 900, "scenarios": ("away",)})
    case = replace(at.case, loads=(*at.case.loads, iron), scenarios=(summer, away))
    elsewhere = replace(case, load_spans=(EVENING.model_copy(update={"scenarios": ("summer",)}),))

    assert [(a.name, b.name) for a, b in too_much_together(case, 1499)] == [("kettle", "iron")]
    assert too_much_together(case, 1500) == too_much_together(elsewhere, 1499) == []


# --- scenarios, midnight -----------------------------------------------------------------------------


def test_another_duty_in_another_scenario() -> None:
    """400 W from 8 to 18: at 78 % 3120 Wh a day in one scenario, at 54 % 2160 in the other, at the same hours."""
    cooler = Load(
        name="cooler", supply="mains", circuit="sockets", watt_w=400, duty_pct=78, from_h=8, to_h=18,
        scenarios=("summer",),
    )  # fmt: skip
    dry = LoadSpan(load="cooler", number=2, duty_pct=54, from_h=8, to_h=18, scenarios=("dry",))
    base = handmade.case()
    (summer,) = base.scenarios
    scenarios = tuple(summer.model_copy(update={"name": name, "hours": 24}) for name in ("summer", "dry", "cool"))
    case = replace(base, loads=(cooler,), load_spans=(dry,), scenarios=scenarios)

    assert [float(hourly(case, s).inverter_w.sum()) for s in scenarios] == pytest.approx([3120, 2160, 0])
    assert [[load.duty_pct for load in on_at(case, s, 12)] for s in scenarios] == [[78], [54], []]
    assert peaks(case).inverter_w == 400


def test_a_span_over_midnight_is_on_on_both_sides_of_it() -> None:
    """23 to 2 and 6 to 7: 600 W in four of 24 hours."""
    at = world(("loads.kettle.from_h", 6), ("loads.kettle.to_h", 7), ("scenarios.summer.hours", 24), NIGHT)

    assert list(np.flatnonzero(day(at).inverter_w)) == [0, 1, 6, 23]
    assert float(day(at).inverter_w.sum()) == 4 * 600


NIGHT: Change = ("load_spans", (LoadSpan(load="kettle", number=2, from_h=23, to_h=2),))


# --- one appliance in lists --------------------------------------------------------------------------


def test_meters_show_the_duty_of_the_span_that_is_on() -> None:
    """At 13 V, 600 W at 90 %: all of it at half past eight, a quarter at half past seven in the evening."""
    ours = fit(two_spans())
    found = [expected(ours, Moment(at=datetime(2027, 1, 15, hour, 30), sky=CLEAR, bank_v=13.0)) for hour in (8, 19)]

    assert [row(each, "kettle.current_a").value for each in found] == pytest.approx([51.282, 12.821], abs=0.001)


def test_test_sheet_and_log_have_it_once() -> None:
    one, single = two_spans(), world()

    assert [check.id for check in checks(one)] == [check.id for check in checks(single)]
    assert channels(fit(one)) == channels(fit(single))
    assert list(channels(fit(one))).count("kettle.current_a") == 1


def test_the_customer_sees_it_once_with_all_its_hours() -> None:
    told = [line for line in told_loads(two_spans().case) if line[0].startswith("kettle")]

    assert told == [
        ("kettle", "mains", "600", "8", "9", "100", "all"),
        ("kettle, also", "", "", "19", "20", "25", "all"),
    ]


def test_a_span_that_is_never_on_is_odd() -> None:
    at = world(TWICE, ("scenarios.summer.hours", 19))  # until 19:00
    an_hour_more = altered(at, ("scenarios.summer.hours", 20))

    told = [[(odd.place, odd.text) for odd in overview(*inputs(x)).oddities] for x in (at, an_hour_more)]

    odd = ("load kettle", "never on from 19 to 20 in all")
    assert odd in told[0] and odd not in told[1]


# --- cases with a row a load are what they were ------------------------------------------------------


def by_one_span(case: Case, scenario: Scenario) -> tuple[list[float], list[float]]:
    """What 12 V loads and all mains loads draw, each load summed by its own row alone."""
    dc, mains = [0.0] * scenario.hours, [0.0] * scenario.hours
    for load in case.loads:
        for k in range(scenario.hours):
            hour = (scenario.start_h + k) % 24
            if applies(load, scenario) and in_window(hour, load.from_h, load.to_h):
                (dc if load.supply == "dc" else mains)[k] += load.watt_w * load.duty_pct / 100
    return dc, mains


@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van", "travelling-clinic", "impossible-teardrop"])
def test_shipped_cases_draw_what_their_rows_say(name: str) -> None:
    case = read_case(shipped_cases() / name, read_catalogue(shipped_catalogue()))
    inverter_only = replace(
        case, loads=tuple(x for x in case.loads if x.supply == "dc" or x.circuit in case.circuits_from("inverter"))
    )

    assert case.load_rows == case.loads and not case.load_spans and not case.spans_of
    assert not any(address.startswith("load_span") for address, _ in addresses(case))
    for scenario in case.scenarios:
        found = hourly(inverter_only, scenario)
        dc, mains = by_one_span(inverter_only, scenario)
        assert (list(found.dc_w), list(found.inverter_w)) == (dc, mains)


def test_a_further_span_is_no_further_peak() -> None:
    """Fridge and lamps, kettle, its start, fire."""
    assert peaks(two_spans().case) == peaks(world().case) == Peaks(90, 600, 800, 500)
