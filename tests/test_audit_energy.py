"""The audit's hours and masses, held against what can be added up by hand."""

import numpy as np
import pytest

from optimiser import case as c
from optimiser.basis import volts
from optimiser.fitted import trace
from tests.test_audit import Change, findings, world


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
    # kg x mm ahead of the rear axle: panels 100 and 1130, box 2 x 1500, locker 11 x 500, wiring 5.36 x 1666.67
    front = (100 + 1130 + 2 * 1500 + 11 * 500 + 5.36 * 5000 / 3) / 3000
    assert found["mass.axle[front axle]"].actual == pytest.approx(1000 + front)
    assert found["mass.axle[rear axle]"].actual == pytest.approx(1000 + 20.36 - front)
    assert "mass.hitch_low" not in found
