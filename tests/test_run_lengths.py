"""How long a run is: by its ways and allowances, or from edge to edge of the bodies it goes by, whichever is more.

In the world by hand all but the bank stands on the locker's wall; its runs inside the locker are cut to 2 x 300 mm.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from optimiser.auditing import audit
from optimiser.basis.money import cut_steps
from optimiser.builds import from_json
from optimiser.case import Existing
from optimiser.fitted import Fit
from optimiser.fitted.drawn import on_two_boards, reach_mm
from optimiser.fitted.wiring import routed_runs
from optimiser.model.assemble import assemble
from optimiser.reading import read_inputs, shipped_cases, shipped_catalogue
from optimiser.solve import Stop
from optimiser.solve.search import Infeasible, search
from tests.asking import Change, Changes, broken, finding, taken, world
from tests.edges import OFF_TERMINAL
from tests.handmade import World
from tests.packing_help import shipped

SHORT: Changes = (("bays.locker.cable_allowance_mm", 0), ("bays.box.cable_allowance_mm", 0))


def needed_mm(run: str, *changes: Change) -> float:
    return finding(world(*changes), f"run.length[{run}]").actual


@pytest.mark.parametrize(
    ("run", "by_hand_mm"),
    [
        ("regulator_1", 50 + 200),  # (50..150, 200..300), fuse row (50..200, 350..410), busbar (50..150, 50..150)
        ("alternator", 150 + 50 + 200),  # (350..450, 200..300) by the fuse row; 50 and 300 by the shunt row
        ("mains_charger", 300 + 50 + 200),  # (500..600, 200..300) by the fuse row; 50 + 50 and 300 by the shunt row
        ("inverter_out", 350 + 50),  # box (650..750, 50..150), inverter (200..300, 200..300)
        ("solar_a", 2000 + 100 + 50),  # no fuse; ways of 2000, then from the shunt row to the regulator
        ("dc_loads", 1500 + 100 + 200),  # from the busbar to the shunt row (250..450, 350..450), then ways of 1500
        ("display", 200),  # shunt row to display (350..450, 50..150)
        ("switch", 200 + 50),  # inverter to switch (500..600, 50..150)
        ("main", 1000 + 50),  # the fuse is on the bank; isolator (200..300) to busbar, ways of 1000
    ],
)
def test_what_a_run_needs_as_drawn_is_measured_from_edge_to_edge(run: str, by_hand_mm: int) -> None:
    assert needed_mm(run, *SHORT) == by_hand_mm


def test_allowances_of_the_bays_count_where_they_are_more() -> None:
    assert needed_mm("regulator_1") == 2 * 300
    assert needed_mm("solar_a") == 2000 + 300


def test_a_fuse_on_a_board_is_on_the_way_of_the_main_run() -> None:
    """Bank (50..670, from 100), fuse (770..870, from 100): 100; the isolator (200..300) to the busbar 50 or 550."""
    assert needed_mm("main", *SHORT, OFF_TERMINAL) == 1000 + 100 + 50
    assert needed_mm("main", *SHORT, OFF_TERMINAL, ("fitted.busbar.x_mm", 850)) == 1000 + 100 + 550


def test_a_fixture_with_the_name_of_a_slot_is_not_taken_for_it() -> None:
    at = world(*SHORT)
    named = Existing(
        name="busbar", kind="fixture", board="locker.wall", x_mm=900, y_mm=700, length_mm=50, width_mm=50, depth_mm=50
    )
    other = World(replace(at.case, existing=(*at.case.existing, named)), at.catalogue, at.build)

    assert finding(other, "run.length[regulator_1]").actual == finding(at, "run.length[regulator_1]").actual


# --- cut to so much ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("cut_mm", "holds"), [(600, False), (700, True)])
@pytest.mark.parametrize("run", ["regulator_1", "mains_charger"])
def test_a_cable_reaches_where_it_is_cut_to_what_its_bodies_are_apart(run: str, cut_mm: int, holds: bool) -> None:
    """At 650 either is 450 and 50 mm from the fuse row, which is 200 mm above the busbar."""
    at = world_with_cut(world((f"fitted.{run}.x_mm", 650)), run, cut_mm)

    assert finding(at, f"run.length[{run}]").actual == 450 + 50 + 200
    assert broken(at) == (set() if holds else {f"run.length[{run}]"})
    assert taken(at) is holds


def test_runs_of_a_build_that_was_once_called_proven_are_refused() -> None:
    """The lightest build of the van as it was when a cable was cut to its ways and allowances, whatever was drawn."""
    case, catalogue = read_inputs(shipped_cases() / "grey-month-van", shipped_catalogue())
    build = from_json((Path(__file__).parent / "builds" / "cut-too-short.json").read_text(encoding="utf-8"))
    short = {f.place: (f.limit, f.actual) for f in audit(case, catalogue, build) if f.name == "run.length" and not f.ok}

    assert short == {
        "inverter": (600, 614),
        "regulator_1": (600, 910),
        "regulator_2": (600, 690),
        "solar_array_1": (1200, 1570),
        "solar_array_2": (4100, 4225),
    }


@pytest.mark.parametrize("want", ["cheapest", "lightest"])
@pytest.mark.parametrize("name", ["tiny-trailer", "grey-month-van", "travelling-clinic"])
def test_in_a_best_build_no_cable_is_a_step_longer_than_it_must_be(name: str, want: str) -> None:
    fit = shipped(name, want)
    cut = {run: laid.steps for run, laid in routed_runs(fit).items()}

    assert cut == {run: cut_steps(reach_mm(fit, laid)) for run, laid in routed_runs(fit).items()}


def world_with_cut(at: World, run: str, cut_mm: int) -> World:
    runs = tuple(replace(r, cut_mm=cut_mm) if r.name == run else r for r in at.build.runs)
    return World(at.case, at.catalogue, replace(at.build, runs=runs))


def test_a_fault_is_held_back_by_no_more_cable_than_there_must_be() -> None:
    """A cable that is cut too long may be cut shorter by the one who lays it."""
    at = world(("rules.drop_share_inverter", 0.05))
    long = world_with_cut(at, "main", 1800)
    name = "run.fuse_breaking[inverter]"

    assert finding(long, name).limit == finding(at, name).limit
    assert finding(long, "run.drop[inverter]").actual > finding(at, "run.drop[inverter]").actual
    assert taken(long)


def test_a_row_reaches_no_further_than_what_is_in_it() -> None:
    """A shunt that is not there brings the row no nearer to what a run goes to."""
    at = world()
    ctx = assemble(at.case, at.catalogue)
    used = [flag for flags in ctx.d.rows["shunt_row"].lengths.values() for flag in flags]
    ctx.m.add_bool_or(used)
    for count in ctx.d.shunts.values():
        ctx.m.add(count == 0)

    assert isinstance(search(ctx.m, None, stop=Stop(20, workers=1)), Infeasible)


def test_from_board_to_board_of_a_bay_it_is_as_far_as_its_allowance() -> None:
    at = world(("bays.locker.cable_allowance_mm", 250))
    back = at.case.board_of["locker.wall"].model_copy(update={"name": "back"})
    two = World(replace(at.case, boards=(*at.case.boards, back)), at.catalogue, at.build)
    fitted = tuple(replace(f, board="locker.back") if f.slot == "regulator_1" else f for f in two.build.fitted)
    moved = World(two.case, two.catalogue, replace(two.build, fitted=fitted))
    fit = Fit(moved.case, moved.catalogue, moved.build)

    assert [run for run, laid in routed_runs(fit).items() if on_two_boards(fit, laid)] == ["regulator_1", "solar_a"]
    assert finding(moved, "run.length[solar_a]").actual == 2000 + 250
    assert finding(moved, "run.length[regulator_1]").actual == 2 * 250
