"""What a single value does not show of roof and strings."""

import numpy as np
import pytest

from optimiser import builds as b
from optimiser import case as c
from optimiser.fitted import trace
from tests import handmade
from tests.test_audit import Change, broken, findings, world


@pytest.mark.parametrize(
    ("side", "x_mm", "y_mm", "free"),
    [  # the hatch is 1700..2100 by -600..-200; the panel 1000 by 510
        ("front", 2400, -500, 300),
        ("rear", 600, -500, 100),
        ("left", 1500, 150, 350),
        ("right", 1500, -1300, 190),
        ("right", 1500, 150, 350),  # behind it: nothing in its way
        ("front", 2400, -200, 350),  # passes beside it
        ("left", 1500, -300, 0),  # on it
    ],
)
def test_lid(side: str, x_mm: int, y_mm: int, free: int) -> None:
    panel = b.PlacedPanel("roof", "panel-100", x_mm, y_mm, rotated=False, string="a.1")
    found = findings(("panels", (panel,)), ("obstacles.hatch.lid_side", side))
    assert found["roof.lid[hatch]"].actual == free


def test_two_arrays_on_one_regulator_are_found() -> None:
    second = b.PanelArray("b", "panel-fold", "", 1, 1, "regulator_1")
    at = broken(("arrays", (*handmade.build().arrays, second)))
    assert "run.complete[solar_b]" in at


def test_a_portable_panel_on_a_regulator_of_its_own() -> None:
    build = handmade.build()
    changes: list[Change] = [
        ("brief.portable", c.Portable(panel="panel-fold", point="socket_point")),
        ("ways", (*handmade.case().ways, handmade.way("socket_way", "socket_point", "locker", 400, 20))),
        ("scenarios.summer.portable_from_h", 8),
        ("scenarios.summer.portable_to_h", 16),
        ("arrays", (*build.arrays, b.PanelArray("folding", "panel-fold", "", 1, 1, "regulator_2"))),
        ("fitted", (*build.fitted, b.Fitted("regulator_2", "regulator-20", "locker.wall", 50, 500))),
        (
            "runs",
            (
                *build.runs,
                b.Run("regulator_2", "locker", "locker", (), "dc-6", "fuse-30"),
                b.Run("solar_folding", "socket_point", "locker", ("socket_way",), "solar-6"),
            ),
        ),
        ("parts.shunt-4x50.channels", 5),
        ("parts.regulator-20.start_above_v", 1),
        ("parts.panel-fold.vmp_v", 21),
        ("claim.cost_cents", None),
        ("claim.mass_g", None),
    ]
    assert broken(*changes) == set()
    plain, with_it = world(), world(*changes)
    gain = trace(with_it.case, with_it.catalogue, with_it.build, with_it.case.scenarios[0]).given_w["sun"]
    gain = gain - trace(plain.case, plain.catalogue, plain.build, plain.case.scenarios[0]).given_w["sun"]
    out = np.array([8 <= hour % 24 < 16 for hour in range(48)])
    assert (gain[out] > 0).all()
    assert np.allclose(gain[~out], 0)
