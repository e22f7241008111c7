"""The random vehicles: the same from the same seed, well-formed, and like something a fitter would see."""

from itertools import combinations
from pathlib import Path

import networkx as nx
import pytest

from optimiser.auditing import audit, breaches
from optimiser.basis import loads
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.reading import read_case
from optimiser.solve import Impossible, Solved, Stop, optimise
from tests.cli_help import write_case
from tests.vehicles import SEEDS, vehicle
from tests.yardstick import day_wh

WH_A_DAY = {  # trade ranges (common practice, no source), widened by a quarter for the hottest day
    "weekend": (450, 1250),
    "touring": (750, 2250),
    "remote work": (1350, 3750),
    "all-electric": (2250, 6250),
    "air conditioning": (3000, 8750),
}


@pytest.fixture(scope="module")
def vehicles(catalogue: Catalogue) -> dict[int, Case]:
    """All of them, by seed."""
    return {seed: vehicle(seed, catalogue) for seed in SEEDS}


def test_the_same_seed_makes_the_same_vehicle(catalogue: Catalogue, vehicles: dict[int, Case]) -> None:
    assert {seed: vehicle(seed, catalogue) for seed in SEEDS} == vehicles
    assert len({(case.zones, case.loads, case.bays) for case in vehicles.values()}) == len(SEEDS)


def test_every_vehicle_reads_back_from_its_folder(
    tmp_path: Path, catalogue: Catalogue, vehicles: dict[int, Case]
) -> None:
    # Reading makes every cross check, so this also says that each is a valid case.
    for case in vehicles.values():
        assert read_case(write_case(tmp_path / case.name, case), catalogue) == case


def test_obstacles_lie_inside_their_zone_and_apart(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        zones = {zone.name: zone for zone in case.zones}
        for one in case.obstacles:
            assert one.zone is not None
            zone = zones[one.zone]
            assert zone.x_mm <= one.x_mm and one.x_mm + one.length_mm <= zone.x_mm + zone.length_mm, case.name
            assert zone.y_mm <= one.y_mm and one.y_mm + one.width_mm <= zone.y_mm + zone.width_mm, case.name
        for one, other in combinations(case.obstacles, 2):
            aside = one.x_mm + one.length_mm <= other.x_mm or other.x_mm + other.length_mm <= one.x_mm
            abreast = one.y_mm + one.width_mm <= other.y_mm or other.y_mm + other.width_mm <= one.y_mm
            assert one.zone != other.zone or aside or abreast, case.name


def test_zones_lie_apart(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        for rear, front in zip(case.zones, case.zones[1:], strict=False):
            assert rear.x_mm + rear.length_mm < front.x_mm, case.name


def test_boards_fit_their_bay(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        for board in case.boards:
            bay = case.bay_of[board.bay]
            across = (bay.length_mm, bay.width_mm)
            if board.kind == "floor":
                assert board.length_mm <= across[0] and board.width_mm <= across[1], case.name
                assert board.depth_mm <= bay.height_mm, case.name
            else:
                assert board.length_mm <= max(across) and board.width_mm <= bay.height_mm, case.name
                assert board.depth_mm <= min(across), case.name


def test_a_vehicle_with_an_inverter_has_a_wall_for_it(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        if loads.peaks(case).inverter_w > 0:
            walls = [b for b in case.boards if b.kind == "wall" and case.bay_of[b.bay].electronics]
            assert any(b.length_mm >= 700 and b.width_mm >= 600 and b.depth_mm >= 250 for b in walls), case.name


def test_all_nodes_are_joined(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        graph = nx.Graph([(way.start, way.end) for way in case.ways])
        assert nx.is_connected(graph), case.name
        assert {bay.name for bay in case.bays} <= set(graph), case.name


def test_loads_are_those_of_the_life_led_in_it(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        low, high = WH_A_DAY[case.brief.title.partition(", ")[2]]
        assert low <= day_wh(case) <= high, (case.name, case.brief.title, day_wh(case))


def test_the_hottest_day_draws_most_in_daylight(vehicles: dict[int, Case]) -> None:
    for case in vehicles.values():
        hot = next(s for s in case.scenarios if s.name == "hot_clear_day")
        day = loads.hourly(case, hot)
        watt = day.dc_w + day.inverter_w
        assert 7 <= int(day.clock[watt.argmax()]) < 19, case.name


def test_they_differ_as_vehicles_do(vehicles: dict[int, Case]) -> None:
    cases = list(vehicles.values())
    assert {case.brief.vehicle.kind for case in cases} == {"van", "trailer"}
    assert {case.brief.title.partition(", ")[2] for case in cases} == set(WH_A_DAY)
    assert {len(case.zones) for case in cases} == {1, 2, 3, 4}
    assert {len(case.bays) for case in cases} >= {2, 3, 4, 5, 6}
    assert any(case.existing for case in cases) and any(case.brief.portable for case in cases)
    assert any(case.brief.pass_throughs for case in cases)
    assert any(len(case.brief.system_voltages) > 1 for case in cases)


@pytest.mark.slow
def test_small_vehicles_are_solved_and_hold_in_the_audit(catalogue: Catalogue, vehicles: dict[int, Case]) -> None:
    small = [case for case in vehicles.values() if len(case.bays) <= 3 and day_wh(case) < 1200][:5]
    outcomes = {case.name: optimise(case, catalogue, "cheapest", stop=Stop(seconds=60)) for case in small}
    assert any(isinstance(outcome, Solved) for outcome in outcomes.values()), outcomes
    for case in small:
        outcome = outcomes[case.name]
        if not isinstance(outcome, Impossible) and outcome.build:
            assert not breaches(audit(case, catalogue, outcome.build)), case.name
