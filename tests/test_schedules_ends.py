"""What stands at either end of a run, beside the ends that the audit wants it to have."""

from dataclasses import replace

import pytest

from optimiser.builds import Run
from optimiser.fitted import Fit
from optimiser.fitted.wiring import required_runs, routed_runs
from optimiser.schedules.ends import ends_of
from tests.handmade import World, world
from tests.knobs import changed
from tests.packing_help import shipped
from tests.schedules_help import fit_made


def _one_bay_each() -> Fit:
    """The trailer with an inverter-charger, and all that is fitted in bays of their own, so that a node tells a slot.

    Fuses and shunts stand beside the busbar.
    """
    made = changed(world(), "parts.inverter-1500.charge_a", 50)
    case, build = made.case, made.build
    bay, board = case.bay_of["locker"], case.board_of["locker.wall"]
    homes = {f.slot: "busbar" if f.slot in ("shunt_row", "fuse_row") else f.slot for f in build.fitted}
    bays = tuple(bay.model_copy(update={"name": home}) for home in dict.fromkeys(homes.values()))
    boards = tuple(board.model_copy(update={"bay": other.name}) for other in bays)
    fitted = tuple(replace(f, board=f"{homes[f.slot]}.wall") for f in build.fitted)
    runs = (*build.runs, Run("inverter_in", "locker", "locker", (), "mains-2.5"))
    case = replace(case, bays=(*case.bays, *bays), boards=(*case.boards, *boards))
    return fit_made(World(case, made.catalogue, replace(build, fitted=fitted, runs=runs)))


def test_each_run_joins_the_parts_that_the_audit_wants_it_to_join() -> None:
    fit = _one_bay_each()
    laid, wanted = routed_runs(fit), required_runs(fit)

    assert set(laid) == set(wanted)
    seen = 0
    for name, run in laid.items():
        for end, node in zip(ends_of(fit, run), (wanted[name].start, wanted[name].end), strict=True):
            slot = end.what.partition(",")[0]
            if fit.build.slot(slot):
                assert fit.node(slot) == node, (name, slot)
                seen += 1
    # points of the vehicle: light, tow, loads, inlet, and both ends of the aerial's
    assert seen == 2 * len(laid) - 6


@pytest.mark.parametrize(
    ("panel", "start"),
    [("panel-120-rigid", "gland of roof plane"), ("panel-120-folding", "socket of the portable panel")],
)
def test_panels_come_in_by_a_gland_or_by_the_socket(panel: str, start: str) -> None:
    """The folding panel of the van is the customer's own."""
    fit = shipped("grey-month-van")
    (array,) = [one.name for one in fit.build.arrays if one.panel == panel]
    first, last = ends_of(fit, routed_runs(fit)[f"solar_{array}"])

    assert first.what.startswith(start)
    assert last.what == next(one.regulator for one in fit.build.arrays if one.name == array)
