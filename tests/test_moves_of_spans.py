"""Addresses of a load with several spans, and what explanations try of its hours."""

from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.basis.loads import applies
from optimiser.case import Case
from optimiser.moves import Moved, MoveProblem, addresses, attempts, levers, moved, parse_set, steps
from tests.asking import world
from tests.cli_help import run, write_case
from tests.conftest import Folders
from tests.handmade import World
from tests.load_spans_help import EVENING, inputs, two_spans


def move(at: World, text: str) -> Moved:
    return moved(at.case, at.catalogue, parse_set(text))


def duties(case: Case) -> list[float]:
    return [load.duty_pct for load in case.load_rows if load.name == "kettle"]


@pytest.mark.parametrize(
    ("text", "before", "after", "then"),
    [
        ("load.kettle.duty_pct=-25", "50 to 100", "25 to 75", [75, 25]),
        ("load.kettle.duty_pct=40", "50 to 100", "40", [40, 40]),
        ("load_span.kettle.1.duty_pct=60", "100", "60", [60, 50]),
        ("load_span.kettle.2.duty_pct=+50", "50", "100", [100, 100]),
    ],
)
def test_one_address_moves_the_duty_of_all_spans_and_one_that_of_each(
    text: str, before: str, after: str, then: list[float]
) -> None:
    at = world(("load_spans", (EVENING.model_copy(update={"duty_pct": 50}),)))

    found = move(at, text)

    assert (found.before, found.after, found.address) == (before, after, text.partition("=")[0])
    assert duties(found.case) == then
    assert [(x.from_h, x.to_h) for x in found.case.load_rows if x.name == "kettle"] == [(8, 9), (19, 20)]


@pytest.mark.parametrize(("text", "watts"), [("load.kettle.watt_w=700", 700), ("load.kettle.watt_w=-50", 550)])
def test_what_it_draws_is_moved_for_the_appliance(text: str, watts: float) -> None:
    found = move(two_spans(), text).case

    assert [load.watt_w for load in found.load_rows if load.name == "kettle"] == [watts, watts]
    assert duties(found) == [100, 25]


def test_hours_and_scenarios_are_moved_span_by_span() -> None:
    at = two_spans()
    later = move(at, "load_span.kettle.2.to_h=21").case
    first = move(at, "load_span.kettle.1.from_h=7").case
    only = move(at, "load_span.kettle.2.scenarios=summer").case

    assert [(x.from_h, x.to_h) for x in later.spans_of["kettle"]] == [(8, 9), (19, 21)]
    assert [(x.from_h, x.to_h) for x in first.spans_of["kettle"]] == [(7, 9), (19, 20)]
    assert [x.scenarios for x in only.spans_of["kettle"]] == [("all",), ("summer",)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "load.kettle.from_h=7",
            "has several spans; expected one of load_span.kettle.1.from_h, load_span.kettle.2.from",
        ),
        ("load.kettle.scenarios=summer", "expected one of load_span.kettle.1.scenarios, load_span.kettle.2.scenarios"),
        ("load.kettle.duty_pct=+1", "'101' is not allowed; expected a number"),  # the first has no more to give
        ("load_span.kettle.3.duty_pct=5", "no load_span 'kettle.3'; expected kettle."),
        ("load_span.kettle.duty_pct=5", "no load_span 'kettle'; expected kettle."),
        ("load_span.duty_pct=5", "names no load_span; expected load_span.NAME.NUMBER.column"),
        ("load_span.fridge.2.duty_pct=5", "load 'fridge' has one span; expected load.fridge.duty_pct"),
        ("load_span.kettle.2.watt_w=5", "unknown 'watt_w'; expected one of duty_pct, from_h, to_h, scenarios"),
        ("load_span.kettle.2.number=3", "number says what it is and cannot move"),
        ("load_span.kettle.2.from_h=8", "load_span.kettle.2.from_h: from 8 to 20 'kettle' is on from 8 to 9 already"),
        ("load_span.kettle.1.to_h=20", "load_span.kettle.2.from_h: from 19 to 20 'kettle' is on from 8 to 20 already"),
        ("load_span.kettle.2.to_h=19", "load_span.kettle.2.to_h: 19 is when it begins too"),
    ],
)
def test_what_cannot_be_moved_is_told_with_what_can(text: str, says: str) -> None:
    with pytest.raises(MoveProblem) as problem:
        move(two_spans(), text)

    assert says in str(problem.value)


def test_addresses_are_those_that_are_taken() -> None:
    at = two_spans()

    listed = dict(addresses(at.case))

    ours = {address: value for address, value in listed.items() if "kettle" in address}
    assert ours == {
        "load.kettle.supply": "mains", "load.kettle.circuit": "sockets", "load.kettle.watt_w": "600",
        "load.kettle.surge_w": "800", "load.kettle.duty_pct": "25 to 100",
        "load_span.kettle.1.duty_pct": "100", "load_span.kettle.1.from_h": "8", "load_span.kettle.1.to_h": "9",
        "load_span.kettle.1.scenarios": "all",
        "load_span.kettle.2.duty_pct": "25", "load_span.kettle.2.from_h": "19", "load_span.kettle.2.to_h": "20",
        "load_span.kettle.2.scenarios": "all",
    }  # fmt: skip
    for address in ours.keys() - {"load.kettle.duty_pct"}:
        assert move(at, f"{address}=={ours[address]}").case == at.case


def test_a_trial_by_the_command_line_takes_them(tmp_path: Path, trailer: Folders) -> None:
    written = write_case(tmp_path / "twice", two_spans().case)

    printed = run("explain", written, "--catalogue", trailer.catalogue, "--addresses").stdout

    assert "load.kettle.duty_pct=25 to 100\n" in printed and "load_span.kettle.2.from_h=19\n" in printed


def test_levers_are_of_the_appliance() -> None:
    at = two_spans()

    assert [lever.address for lever in levers(at.case, at.catalogue, "inverter.power")] == ["load.kettle.watt_w"]


# --- attempts ----------------------------------------------------------------------------------------


def kettle_attempts(at: World) -> list[tuple[dict[str, str], Case | None]]:
    """What is tried of the kettle's hours: address -> value, and the case with it if reading would take that."""
    found = []
    for attempt in attempts(at.case, at.catalogue):
        values = {lever.address: lever.to or "" for lever in attempt}
        if not any(".kettle." in address and not address.endswith("_w") for address in values):
            continue
        case: Case | None = at.case
        for lever in attempt:
            try:
                case = moved(case, at.catalogue, steps(lever, 1)).case if case else None
            except MoveProblem:
                case = None
        found.append((values, case))
    return found


def test_each_span_is_tried_at_another_hour_by_itself() -> None:
    """8 to 9 and 19 to 20, each an hour sooner and later; none is longer than an hour, so none is tried shorter."""
    tried = kettle_attempts(two_spans())

    hours = {tuple((x.from_h, x.to_h) for x in case.spans_of["kettle"]) for _, case in tried if case}
    assert hours == {((7, 8), (19, 20)), ((9, 10), (19, 20)), ((8, 9), (18, 19)), ((8, 9), (20, 21))}


def test_a_span_is_not_tried_over_another_one() -> None:
    """8 to 9 and 9 to 10: the first cannot be an hour later, nor the second an hour sooner."""
    at = world(("load_spans", (EVENING.model_copy(update={"from_h": 9, "to_h": 10}),)))

    hours = {tuple((x.from_h, x.to_h) for x in case.spans_of["kettle"]) for _, case in kettle_attempts(at) if case}

    assert hours == {((7, 8), (9, 10)), ((8, 9), (10, 11))}


def two_scenarios(scenarios: tuple[str, ...]) -> World:
    """The kettle draws most of what is on for some hours: 750 Wh a day, lamps 150."""
    at = world(("load_spans", (EVENING.model_copy(update={"scenarios": scenarios}),)))
    (summer,) = at.case.scenarios
    return replace(at, case=replace(at.case, scenarios=(summer, summer.model_copy(update={"name": "away"}))))


def test_it_is_left_out_of_a_scenario_with_all_its_spans() -> None:
    at = two_scenarios(("all",))

    left_out = [case for values, case in kettle_attempts(at) if any(a.endswith("scenarios") for a in values) and case]

    assert len(left_out) == 2
    for case in left_out:
        ours = [row for row in case.load_rows if row.name == "kettle"]
        assert len(ours) == 2 and ours[0].scenarios == ours[1].scenarios and len(ours[0].scenarios) == 1
        assert [sum(applies(row, scenario) for row in ours) for scenario in case.scenarios] in ([2, 0], [0, 2])


def test_where_a_span_is_of_that_scenario_alone_another_load_is_left_out() -> None:
    """An empty list of scenarios cannot be written; the lamps draw most of the others."""
    found = attempts(*inputs(two_scenarios(("away",))))

    left_out = [{lever.address: lever.to for lever in one} for one in found if one[0].address.endswith(".scenarios")]

    assert left_out == [{"load_span.kettle.1.scenarios": "away"}, {"load.lamps.scenarios": "summer"}]
