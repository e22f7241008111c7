"""The audit as a whole, and what a single value does not show."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from optimiser import builds as b
from optimiser import case as c
from optimiser.auditing import Finding, audit, breaches
from optimiser.auditing.finding import checked, judged
from optimiser.basis import volts
from optimiser.builds import BuildProblem
from optimiser.fitted import cost_and_mass, trace
from optimiser.requirements import REGISTER
from tests import handmade
from tests.handmade import World
from tests.knobs import altered

SLOTS = [fitted.slot for fitted in handmade.build().fitted]
RUNS = [run.name for run in handmade.build().runs]
Change = tuple[str, Any]


def world(*changes: Change) -> World:
    """The one by hand, changed."""
    return altered(handmade.world(), *changes)


def findings(*changes: Change) -> dict[str, Finding]:
    """Full name -> finding."""
    at = world(*changes)
    return {f.requirement: f for f in audit(at.case, at.catalogue, at.build)}


def broken(*changes: Change) -> set[str]:
    """Full names of what does not hold."""
    return {name for name, finding in findings(*changes).items() if not finding.ok}


def figures_of(*changes: Change) -> tuple[int, int]:
    at = world(*changes)
    return cost_and_mass(at.case, at.catalogue, at.build)


# --- the build by hand -------------------------------------------------------------------------------


def test_the_build_by_hand_holds() -> None:
    at = world()
    found = audit(at.case, at.catalogue, at.build)
    assert breaches(found) == ()
    order = list(REGISTER)
    assert [order.index(f.name) for f in found] == sorted(order.index(f.name) for f in found)
    assert len({f.requirement for f in found}) == len(found)


def test_worth_adds_up_on_paper() -> None:
    # 30 parts at 17.00 and 0.5 kg: 2 modules, 10 bodies, 5 + 1 holders, 7 fuses, 2 shunts, grille, 2 entries;
    # 2 panels at 27.00 and 1 kg; 144 steps of two cores at 0.50 and 20 g, 48 of one cable at 0.25 and 10 g; ends at
    # 1.00: by fuse and shunt 4 for each pole (inverter, alternator, mains_charger, dc_loads), main 4 by its isolator
    # and 2, 4 and 2 by a fuse or a shunt (regulator_1, solar_a), alternator_feed 2 and 2, 6 cables 2 each; two links of
    # one core, 320 + 2 x 210 each: 15 steps at 0.25 and 10 g, with two ends each
    cents = 30 * 1700 + 2 * 2700 + 144 * 50 + (48 + 15) * 25 + (4 * 8 + 6 + 2 * 6 + 4 + 6 * 2 + 4) * 100
    grams = 30 * 500 + 2 * 1000 + 144 * 20 + (48 + 15) * 10
    assert figures_of() == (cents, grams)


# --- findings ----------------------------------------------------------------------------------------


def test_margin_follows_the_sense() -> None:
    assert checked("roof.mass", "roof", limit=60, actual=52).margin == 8
    assert checked("roof.mass", "roof", limit=60, actual=62).margin == -2
    assert checked("bay.clearance", "inverter", limit=50, actual=58).margin == 8
    assert checked("bay.clearance", "inverter", limit=50, actual=48).margin == -2
    assert judged("battery.voltage", limit=24, actual=12, ok=False).margin == -12


def test_float_noise_is_no_breach_but_a_hundred_thousandth_is() -> None:
    assert checked("run.drop", "main", limit=0.24, actual=0.24 + 1e-12).ok
    assert not checked("run.drop", "main", limit=0.24, actual=0.24 * (1 + 1e-5)).ok
    assert not checked("run.fuse_distance", limit=200, actual=float("inf")).ok
    assert not checked("run.drop", "main", limit=0.24, actual=float("nan")).ok


@pytest.mark.parametrize(
    ("limit", "actual", "shown"),
    [
        (0.24, 0.216351, ("0.24", "0.216")),
        (0.24, 0.2400031, ("0.24", "0.240003")),  # rounding must not hide it
        (150, 150.0002, ("150", "150.0002")),
        (100, 59.434, ("100", "59.4")),
        (0, 3, ("0", "3")),
        (200, float("inf"), ("200", "unlimited")),
    ],
)
def test_numbers_as_shown(limit: float, actual: float, shown: tuple[str, str]) -> None:
    finding = checked("run.drop", "main", limit=limit, actual=actual)
    assert finding.numbers == shown
    assert finding.sentence == f"main with the runs that feed it loses {shown[1]} V, {shown[0]} V allowed"


def test_money_keeps_its_cents() -> None:
    finding = checked("money.budget", limit=2000, actual=2000.01)
    assert finding.sentence == "the fit-out costs 2000.01, 2000.00 allowed"


# --- nonsense ----------------------------------------------------------------------------------------


def test_all_unknown_names_are_listed_at_once() -> None:
    at = world(
        ("fitted.inverter.part", "no-inverter"),
        ("fitted.busbar.board", "no.board"),
        ("fitted.isolator.slot", "no_slot"),
        ("panels.0.zone", "no_zone"),
        ("panels.1.string", "no_array"),
        ("arrays.a.roof_plane", "no_plane"),
        ("arrays.a.regulator", "no_regulator"),
        ("runs.main.ways", ("no_way",)),
        ("runs.inverter.end", "no_node"),
        ("runs.dc_loads.name", "no_run"),
        ("runs.display.cable", "fuse-10"),
        ("bank.module", "no-module"),
        ("bank.rows", 0),
        ("vents.locker.bay", "no_bay"),
        ("entries.sun.purpose", "no_purpose"),
        ("measuring.shunt-4x50.count", -1),
    )
    with pytest.raises(BuildProblem) as problem:
        audit(at.case, at.catalogue, at.build)
    text = str(problem.value)
    for name in (
        "inverter",
        "board",
        "slot",
        "zone",
        "array",
        "plane",
        "regulator",
        "way",
        "node",
        "run",
        "module",
    ):
        assert f"no-{name}" in text or f"no_{name}" in text or f"no.{name}" in text
    assert "'fuse-10' is a Fuse; expected a Cable" in text
    assert "bank.rows: 0; expected 1 or more" in text
    for part in ("no_bay", "no_purpose", "measuring.shunt-4x50: -1"):
        assert part in text


def test_the_same_slot_twice_is_a_problem() -> None:
    at = world(("fitted.switch.slot", "display"))
    with pytest.raises(BuildProblem, match=r"fitted\.display: there 2 times"):
        audit(at.case, at.catalogue, at.build)


@pytest.mark.parametrize("name", ["bank", "display", "regulator_2", "lamps"])
def test_an_array_named_as_something_else_is_a_problem(name: str) -> None:
    at = world(("arrays.a.name", name))
    with pytest.raises(BuildProblem, match=rf"arrays\.{name}: named as a slot or a load is"):
        audit(at.case, at.catalogue, at.build)


@pytest.mark.parametrize("slot", SLOTS)
def test_a_slot_left_empty_is_found(slot: str) -> None:
    expected = {"inverter": "inverter.present", "regulator_1": "run.complete[solar_a]"}
    expected |= {charger: f"charge.asked_for[{charger}]" for charger in ("alternator_charger", "mains_charger")}
    assert expected.get(slot, f"run.complete[{slot}]") in broken((f"fitted.{slot}", None))


@pytest.mark.parametrize("run", RUNS)
def test_a_run_left_out_is_found(run: str) -> None:
    assert f"run.complete[{run}]" in broken((f"runs.{run}", None))


def test_sockets_that_nothing_feeds_draw_nothing() -> None:
    """Without an inverter its absence is the finding, whatever is plugged in."""
    bare, more = (findings(("fitted.inverter", None), ("loads.kettle.watt_w", watt)) for watt in (100, 1000))
    assert not bare["inverter.present"].ok
    for name in ("energy.autonomy", "energy.floor[summer]", "battery.discharge", "battery.surge"):
        assert bare[name] == more[name]


def test_a_switch_that_is_not_there_has_no_cable() -> None:
    """That there is one by an inverter is a requirement of its own."""
    missing = broken(("fitted.switch", None), ("runs.switch", None))
    assert "measure.switch" in missing
    assert "run.complete[switch]" not in missing
    assert "run.complete[switch]" in broken(("fitted.switch", None))


def test_a_bare_build_is_audited() -> None:
    at = world()
    bare = b.Build(case="handmade", system_v=48, bank=b.Bank("module-100", 1, 1, 1, 1))
    found = {f.requirement for f in breaches(audit(at.case, at.catalogue, bare))}
    assert {"battery.voltage", "run.complete[bank]", "run.complete[step_down]", "measure.display"} <= found


# --- bays --------------------------------------------------------------------------------------------

ON_TERMINAL: Change = ("parts.holder-main.on_terminal", True)


def test_a_fuse_on_the_terminal_stands_on_the_bank() -> None:
    found = findings(ON_TERMINAL)
    assert found["run.fuse_distance"].actual == 0
    assert found["bay.depth[bank]"].actual == 210 + 20 + 60
    assert "bay.board[main_fuse]" not in found
    assert "run.complete[main_fuse]" in broken(ON_TERMINAL, ("fitted.main_fuse.board", "locker.wall"))


def test_fuse_distance_off_the_banks_board() -> None:
    shelf = c.Board(
        bay="box", name="shelf", kind="wall", length_mm=300, width_mm=300, depth_mm=200, reach=True, sight=True
    )
    boards: Change = ("boards", (*handmade.case().boards, shelf))
    off: tuple[Change, ...] = (("parts.holder-main.on_terminal", False), boards)
    fused: tuple[Change, ...] = (*off, ("bank.fuse", "fuse-125"))
    unknown = float("inf")  # where one board lies to the other is not surveyed
    for changes, board, away in (
        (off, "box.shelf", unknown), (fused, "box.shelf", 300), (fused, "nose.side", unknown),  # 300: the allowance
    ):  # fmt: skip
        assert findings(*changes, ("fitted.main_fuse.board", board))["run.fuse_distance"].actual == away


def test_charger_heat_counts_in_its_own_state_only() -> None:
    start = findings()["bay.heat[locker]"].actual
    both = findings(("parts.mains-charger-30.heat_w", 100), ("parts.alternator-charger-30.heat_w", 68))
    # driving: 68 where it was 30 x 14.4 (1 / 0.9 - 1) = 48; on hook-up: 100 in its place
    assert both["bay.heat[locker]"].actual == pytest.approx(start + 52)


def test_fixtures_keep_their_place() -> None:
    block = c.Existing(
        name="pump", kind="fixture", board="locker.wall", x_mm=650, y_mm=180, length_mm=100, width_mm=90,
        depth_mm=50, heat_w=7,
    )  # fmt: skip
    keep: Change = ("existing", (*handmade.case().existing, block))
    found = findings(keep)
    # 30 mm beside the box above it and 50 beside the charger; the clearance of the new part counts
    assert found["bay.clearance[mains_box]"].actual == 30
    assert found["bay.heat[locker]"].actual == pytest.approx(findings()["bay.heat[locker]"].actual + 7)
    assert "bay.clearance[mains_box]" in broken(("existing", (block.model_copy(update={"y_mm": 169}),)))
    assert "bay.clearance[pump]" not in found


def test_what_stays_is_free_but_must_be_where_it_was() -> None:
    row = c.Existing(
        name="old_inverter", kind="part", part="inverter-1500", board="locker.wall", x_mm=200, y_mm=200,
        length_mm=100, width_mm=100, depth_mm=60,
    )  # fmt: skip
    keep: Change = ("existing", (*handmade.case().existing, row))
    kept: Change = ("fitted.inverter.existing", True)
    unclaimed: list[Change] = [("claim.cost_cents", None), ("claim.mass_g", None)]
    assert broken(keep, kept, *unclaimed) == set()
    (cents, grams), (new_cents, new_grams) = figures_of(keep, kept), figures_of()
    assert (new_cents - cents, new_grams - grams) == (1700, 500)
    assert "run.complete[inverter]" in broken(keep, *unclaimed)  # bought anew all the same
    assert "run.complete[inverter]" in broken(kept, *unclaimed)  # nothing of the kind was there
    assert "run.complete[inverter]" in broken(keep, kept, ("fitted.inverter.x_mm", 210))


# --- cables ------------------------------------------------------------------------------------------


def test_long_bundles_lower_ampacity() -> None:
    alone = findings()["run.ampacity[main]"].limit
    together: Change = ("runs.regulator_1.ways", ("main_way",))  # not joined, but it lies there
    assert findings(together)["run.ampacity[main]"].limit == pytest.approx(0.7 * alone)
    short: Change = ("ways.main_way.length_mm", 610)
    assert findings(together, short)["run.ampacity[main]"].limit == pytest.approx(alone)


def test_a_path_may_not_pass_a_node_twice() -> None:
    there_and_back = ("loads_way", "loads_way", "loads_way")
    assert "run.complete[dc_loads]" in broken(("runs.dc_loads.ways", there_and_back))
    assert "run.complete[dc_loads]" in broken(("runs.dc_loads.start", "box"))


def test_a_cable_hotter_than_its_insulation_carries_nothing() -> None:
    assert findings(("ways.inlet_way.temp_c", 70))["run.ampacity[mains_inlet]"].limit == 0


def test_rows_belong_to_the_busbar() -> None:
    assert "run.complete[shunt_row]" in broken(("fitted.shunt_row.board", "nose.side"))


# --- energy and mass ---------------------------------------------------------------------------------


def test_trace_balances() -> None:
    at = world(("scenarios.summer.start_pct", 50.0))
    found = trace(at.case, at.catalogue, at.build, at.case.scenarios[0])
    net = found.given_w["sun"] + found.given_w["alternator"] + found.given_w["hook-up"] - found.loads_w
    capacity = 2 * 1280 * 0.9
    stored = np.concatenate([[50.0], found.soc_pct]) * capacity / 100
    gained = np.diff(stored)
    charging = net > 0
    full = found.soc_pct > 99.999
    assert np.allclose(gained[charging & ~full], net[charging & ~full] * volts.CHARGE_EFFICIENCY)
    assert np.allclose(gained[~charging], net[~charging] / volts.DISCHARGE_EFFICIENCY)
    assert list(found.hour[:3]) == [0, 1, 2]


def test_a_shortage_shows_below_zero() -> None:
    changes: list[Change] = [("loads.kettle.to_h", 14), ("scenarios.summer.clearness", 0.0)]
    finding = findings(*changes)["energy.floor[summer]"]
    assert finding.actual < 0


def test_hook_up_past_an_inverter_charger_leaves_the_bank_alone() -> None:
    on_hook_up: Change = ("scenarios.summer.hook_up_to_h", 10)
    plain, passing = world(on_hook_up), world(on_hook_up, ("parts.inverter-1500.charge_a", 20.0))
    drawn = [trace(w.case, w.catalogue, w.build, w.case.scenarios[0]).loads_w[8] for w in (plain, passing)]
    assert drawn[0] - drawn[1] == pytest.approx(600 / 0.9)


def test_no_inlet_no_hook_up() -> None:
    at = world(("brief.inlet", None))
    assert not trace(at.case, at.catalogue, at.build, at.case.scenarios[0]).given_w["hook-up"].any()


def test_a_van_has_two_axles() -> None:
    van = c.Van(
        kind="van", front_axle_x_mm=4000, rear_axle_x_mm=1000, track_mm=1800, payload_kg=100, base_front_kg=1000,
        base_rear_kg=1000, front_max_kg=1010, rear_max_kg=1020, balance_max_kg=50,
    )  # fmt: skip
    found = findings(("brief.vehicle", van))
    # kg x mm ahead of the rear axle: panels 100 and 1130, box 2.15 x 1500, locker 11 x 500, wiring 5.36 x 1666.67
    front = (100 + 1130 + 2.15 * 1500 + 11 * 500 + 5.36 * 5000 / 3) / 3000
    assert found["mass.axle[front axle]"].actual == pytest.approx(1000 + front)
    assert found["mass.axle[rear axle]"].actual == pytest.approx(1000 + 20.51 - front)
    assert "mass.hitch_low" not in found


def test_a_build_read_back_is_audited_alike() -> None:
    at = world()
    again = replace(at, build=b.from_json(b.to_json(at.build)))
    assert audit(again.case, again.catalogue, again.build) == audit(at.case, at.catalogue, at.build)
