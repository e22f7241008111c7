"""What the solver proves best, held against going through every build of tiny worlds."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser import case as c
from optimiser.audit import audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.parts import Part
from optimiser.solve import Impossible, Solved, Stop, Want, optimise
from tests import handmade
from tests.handmade import way
from tests.twin_search import Best

STOP = Stop(seconds=60, seed=1, workers=1)
ORIGINAL = handmade.catalogue()


def like(name: str, new: str, **other: Any) -> Part:
    """A part of the handmade catalogue with another name and some figures changed."""
    part = ORIGINAL.find(name)
    assert part is not None
    return part.model_copy(update={"name": new, **other})


def catalogue(**tables: list[Part]) -> Catalogue:
    """Two or so of everything; the better is dearer, and not always heavier."""
    parts: dict[str, list[Part]] = {
        "panels": [
            like("panel-100", "panel-100", price=80, mass_kg=6, voc_v=29, vmp_v=25),
            like("panel-100", "panel-160", price=115, mass_kg=9.5, watt_w=160, length_mm=1400, voc_v=30, vmp_v=26, isc_a=7),
        ],
        "regulators": [
            like("regulator-20", "regulator-10", price=60, mass_kg=0.5, out_a=10, pv_isc_max_a=10),
            like("regulator-20", "regulator-20", price=95, mass_kg=0.9, out_a=20, pv_v_max=60),
        ],
        "modules": [
            like("module-100", "module-60", price=250, mass_kg=7, capacity_ah=60, charge_a=30, discharge_a=60, parallel_max=2),
            like("module-100", "module-100", price=380, mass_kg=11.5, parallel_max=1, terminal_mm2=35),
        ],
        "inverters": [like("inverter-1500", "inverter-600", price=120, watt_25c_w=600, watt_40c_w=500, surge_w=1000)],
        "cables": [
            like("dc-6", "dc-6", price=1.5),
            like("dc-16", "dc-16", price=3.8, mass_kg=0.2),
            like("dc-25", "dc-25", price=6, mass_kg=0.3),
            like("mains-2.5", "mains-2.5"),
            like("data", "data"),
        ],
        "holders": [
            like("holder-main", "holder-main", price=14, terminal_mm2=50),
            like("holder-row", "holder-row", price=4, terminal_mm2=25),
        ],
        "fuses": [
            like("fuse-10", "fuse-15", rating_a=15, price=2),
            like("fuse-30", "fuse-30", rating_a=30, price=3),
            like("fuse-30", "fuse-80", rating_a=80, price=4),
            like("fuse-200", "fuse-100", rating_a=100, price=9),
        ],
        "isolators": [like("isolator-300", "isolator-100", rating_a=100)],
        "busbars": [like("busbar-250", "busbar-150", rating_a=150, studs=4)],
        "shunts": [like("shunt-1x300", "shunt-1x100", rating_a=100), like("shunt-4x50", "shunt-2x50", channels=2, price=24)],
        "displays": [like("display-8", "display-4", channels=4)],
        "switches": [like("switch", "switch")],
        "mains_boxes": [like("mains-box-2", "mains-box-1", circuits=1)],
        "entries": [like("gland", "gland", price=6)],
        "vents": [like("grille", "grille", price=12, cut_out_cm2=120, free_area_cm2=40)],
    }
    return Catalogue({key: {p.name: p for p in rows} for key, rows in (parts | tables).items()}, {})


def case(
    *,
    lamp_w: float = 20,
    kettle_w: float = 0,
    autonomy_days: float = 0.5,
    start_pct: float = 70,
    floor_mm: tuple[int, int] = (700, 300),
    wall_mm: tuple[int, int] = (1100, 160),
    main_mm: int = 600,
    clearness: float = 0.6,
    **other: Any,
) -> Case:
    """A small trailer: a floor for the bank, two walls for the rest, a roof with a hatch."""
    old = handmade.case()
    loads = [c.Load(name="lamp", supply="dc", watt_w=lamp_w, from_h=0, to_h=24)]
    circuits: tuple[c.Circuit, ...] = ()
    if kettle_w:
        loads.append(c.Load(name="kettle", supply="mains", circuit="sockets", watt_w=kettle_w, from_h=12, to_h=13))
        circuits = (c.Circuit(name="sockets", source="inverter"),)
    brief = old.brief.model_copy(
        update={
            "alternator_charger": "may", "mains_charger": "may", "alternator": None, "inlet": None,
            "circuits": circuits, "pass_throughs": (),
            "limits": c.Limits(autonomy_days=autonomy_days, regulators_at_most=1, **other.pop("limits", {})),
            "vehicle": old.brief.vehicle.model_copy(update=other.pop("vehicle", {})),
        }
    )  # fmt: skip
    wall: dict[str, Any] = {"kind": "wall", "reach": True, "sight": True, "depth_mm": 100}
    shape = {"length_mm": wall_mm[0], "width_mm": wall_mm[1]}
    bay = {b.name: b for b in old.bays}
    return Case(
        name="tiny",
        brief=brief,
        rules=old.rules,
        loads=tuple(loads),
        scenarios=(
            c.Scenario(
                name="day", month=1, day=15, start_h=9, hours=10, clearness=clearness, temp_min_c=12, temp_max_c=32,
                start_pct=start_pct, returns=True,
            ),
        ),
        zones=tuple(z.model_copy(update={"length_mm": 2300, "width_mm": 1500, **other.pop("zone", {})}) for z in old.zones),
        obstacles=tuple(
            o.model_copy(update={"x_mm": 1300, "y_mm": -300, "lid_side": "none", "height_mm": 40}) for o in old.obstacles
        ),
        bays=(
            bay["box"].model_copy(update={"electronics": False, **other.pop("box", {})}),
            bay["locker"].model_copy(update={"cut_out_max_cm2": 250, **other.pop("locker", {})}),
            bay["nose"].model_copy(update={"lead_mm": 200}),
        ),
        boards=(
            c.Board(bay="box", name="floor", kind="floor", length_mm=floor_mm[0], width_mm=floor_mm[1], depth_mm=300,
                    reach=False, sight=False),
            c.Board(bay="locker", name="wall", **shape, **wall),
            c.Board(bay="nose", name="side", length_mm=160, width_mm=160, **wall),
        ),
        ways=(
            way("main_way", "box", "locker", main_mm, 60),
            way("nose_way", "locker", "nose", 500, 40),
            way("roof_way", "roof_point", "locker", 600, 25),
            way("loads_way", "locker", "loads_point", 500, 25),
        ),
        keep=other.pop("keep", ()),
    )  # fmt: skip


def agree(at: Case, parts: Catalogue) -> tuple[Best | None, Best | None]:
    """Both ways find the same cost and mass, for both wants, and every answer passes the audit."""
    twin = Twin(at, parts)
    found = []
    wants: tuple[Want, ...] = ("cheapest", "lightest")
    for want in wants:
        best, outcome = twin.best(want), optimise(at, parts, want, stop=STOP)
        if best is None:
            assert isinstance(outcome, Impossible)
        else:
            assert isinstance(outcome, Solved)
            assert breaches(audit(at, parts, outcome.build)) == ()
            assert (outcome.cost_cents, outcome.mass_g) == (best.cost_cents, best.mass_g)
        found.append(best)
    for some in twin.sampled(30, seed=1):
        assert found[0] is not None and (some.cents, some.grams) >= (found[0].cost_cents, found[0].mass_g)
        assert found[1] is not None and (some.grams, some.cents) >= (found[1].mass_g, found[1].cost_cents)
    return found[0], found[1]
