"""The trailer by hand with other banks, runs and places: changes that are set before a value is moved."""

from typing import Any

from optimiser import builds as b
from optimiser import case as c
from tests import handmade
from tests.edges import MODULES_FUSED

Changes = tuple[tuple[str, Any], ...]

AT_24_V: Changes = (
    ("brief.system_voltages", (12, 24)),
    ("build.system_v", 24),
    ("bank.series", 2),
    ("bank.parallel", 1),
    ("parts.inverter-1500.system_v", 24),
    ("parts.inverter-1500.cut_off_v", 21),
    ("parts.alternator-charger-30.system_v", 24),
    ("parts.alternator-charger-30.charge_a", 15),
    ("parts.mains-charger-30.system_v", 24),
    ("fitted", (*handmade.build().fitted, b.Fitted("step_down", "step-down-24", "locker.wall", 200, 500))),
    ("runs", (*handmade.build().runs, b.Run("step_down", "locker", "locker", (), "dc-6", "fuse-10"))),
    ("runs.dc_loads.fuse", ""),
    ("parts.panel-100.vmp_v", 24),  # two in series start above a bank of 24 V and go on above it
    ("parts.panel-100.voc_v", 28),
)

FUSED_AT_24_V: Changes = (  # two strings of two modules
    *AT_24_V,
    *(("bank." + key, 2) for key in ("parallel", "rows", "columns")),
    ("boards.floor.width_mm", 600),
    *MODULES_FUSED,
)
THREE_FUSED: Changes = (
    *((f"bank.{key}", n) for key, n in (("parallel", 3), ("rows", 3), ("columns", 1))),
    *(("boards.floor.width_mm", 600), ("fitted.bank.y_mm", 20), ("fitted.main_fuse.x_mm", 400)),
    ("parts.fuse-200.breaking_12v_a", 11_000),
    ("limits.recharge_h", 12),
    *MODULES_FUSED,
)
FROM_24_V: Changes = (("alternator.system_v", 24), ("parts.alternator-charger-30.input_v", 24))
BANK_BESIDE_THE_BUSBAR: Changes = (  # on a floor of the locker, on which it ends at x 320
    ("boards", (*handmade.case().boards, handmade.case().boards[0].model_copy(update={"bay": "locker"}))),
    ("boards.floor.length_mm", 1000),
    *(("bank.rows", 2), ("bank.columns", 1)),
    *((f"fitted.{slot}.board", "locker.floor") for slot in ("bank", "main_fuse", "busbar")),
    *((f"fitted.{slot}.y_mm", 20) for slot in ("bank", "main_fuse", "busbar")),
    *((f"fitted.{slot}.x_mm", x_mm) for slot, x_mm in (("bank", 20), ("main_fuse", 340))),
    *(("runs.main.start", "locker"), ("runs.main.ways", ())),
    ("bays.locker.cable_allowance_mm", 200),
    ("parts.grille.free_area_cm2", 400),
)
CHARGER_IN_THE_NOSE: Changes = (
    ("ways", (*handmade.case().ways, handmade.way("nose_way", "locker", "nose", 500, 60, divided=True))),
    *((f"fitted.mains_charger.{key}", x) for key, x in (("board", "nose.side"), ("x_mm", 20), ("y_mm", 20))),
    *(("runs.mains_charger.start", "nose"), ("runs.mains_charger.ways", ("nose_way",))),
    *(("runs.mains_feed.end", "nose"), ("runs.mains_feed.ways", ("nose_way",))),
)
DATA_BESIDE: Changes = (  # the aerial's cable in the main way
    ("brief.pass_throughs", (handmade.case().brief.pass_throughs[0].model_copy(update={"point": "box"}),)),
    ("boards.wall.outside_wall", True),
    ("entries.aerial.board", "locker.wall"),
    *((f"runs.pass_aerial.{key}", x) for key, x in (("start", "locker"), ("end", "box"), ("ways", ("main_way",)))),
)
LONG_AMONG_THEM: Changes = (
    ("fitted.fuse_row.rotated", True),
    ("parts.fuse-10.holder", "holder-terminal"),
    ("parts.holder-terminal.on_terminal", False),
)
UNLIKE_HOLDERS: Changes = (  # one in their row wants 30 mm beside it and 50 above, the others 20
    *LONG_AMONG_THEM[1:],
    ("parts.holder-terminal.clear_width_mm", 30),
    ("parts.holder-terminal.clear_length_mm", 50),
)
OTHER_WALL = c.Board(
    bay="locker", name="side", kind="wall", length_mm=900, width_mm=400, depth_mm=100, reach=True, sight=True
)
FUSES_ACROSS: Changes = (  # their row before the busbars, its holders of 60 mm one above the other
    ("boards", (*handmade.case().boards, OTHER_WALL)),
    *((f"fitted.{slot}.board", "locker.side") for slot in ("fuse_row", "busbar")),
    *((f"fitted.{slot}.y_mm", 50) for slot in ("fuse_row", "busbar")),
    ("fitted.fuse_row.x_mm", 50),
    ("fitted.busbar.x_mm", 400),
)
