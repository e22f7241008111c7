"""Three vehicles that cannot be fitted out, each for one reason, known from how it is made.

All are the handmade trailer with so few parts that every way out is closed but the intended ones: electronics stand in
the locker, the bank in the box, which is sealed off. So a conflict has few names, and there is no second one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from optimiser import case as c
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.parts import Part
from tests import handmade
from tests.handmade import way

_ORIGINAL = handmade.catalogue()


@dataclass(frozen=True)
class Built:
    """An impossible case, why it is, and one way to mend it: so many steps of a lever and no fewer."""

    case: Case
    catalogue: Catalogue
    conflict: frozenset[str]  # names with their places
    lever: str  # its address
    steps: int


def roof_and_string() -> Built:
    """Two panels are needed, in series: wide ones do not fit beside the dome, two narrow ones are too high when cold.

    The lamps draw 600 Wh of the bank in the hours of sun; one panel gives 450 Wh, two give 900 Wh. In parallel two can
    drive 2 x 5.2 A x 1.25 = 13 A into a regulator for 8 A; the busbars have no stud for a second one. The roof is
    1000 mm long, so panels lie side by side, two wide ones on 1020 mm. The dome leaves 1200 - 100 - 100 = 1000 mm:
    its clearance must be 20 mm less, 2 steps. Two narrow ones are 2 x 43 V x (1 + 30 K x 0.3 %/K) = 94 V on the
    coldest morning, and the regulator stands 0.95 x 75 V = 71 V; wide ones are 52 V.
    """
    wide = like("panel-100", "panel-wide")
    narrow = like("panel-100", "panel-narrow", width_mm=490, voc_v=43, vmp_v=36)
    regulator = like("regulator-20", "regulator-8", pv_isc_max_a=8)
    busbar = like("busbar-250", "busbar-two", studs=2)
    case = trailer(
        loads=(c.Load(name="lamps", supply="dc", watt_w=60, from_h=0, to_h=24),),
        returns=True,
        zone={"length_mm": 1000, "width_mm": 1200, "y_mm": -600},
        obstacles=(
            c.Obstacle(
                name="dome", zone="roof", x_mm=2400, y_mm=-600, length_mm=200, width_mm=100, height_mm=20, clear_mm=100,
            ),
        ),
    )  # fmt: skip
    return Built(
        case=case,
        catalogue=with_parts(panels=[wide, narrow], regulators=[regulator], busbars=[busbar]),
        conflict=frozenset({"energy.returns[day]", "roof.obstacle[dome]", "string.cold_voltage[array_1]"}),
        lever="obstacle.dome.clear_mm",
        steps=2,
    )


def heat_and_inverter() -> Built:
    """The inverter that feeds the kettle is too hot for the locker, the one it has air for too small.

    There are no vents to cut in. The locker's walls carry (50 - 30 - 5) K x 3 W/m2K x 3.76 m2 = 169 W of heat; the
    kettle's 700 W through the large inverter lose 700 W / 0.8 - 700 W + 30 W = 205 W, through the small one 42 W. That
    gives 675 W - 0.025/K x 700 W x 10 K = 500 W in air of 50 C: the kettle must draw 200 W less, 4 steps.
    """
    small = like("inverter-1500", "inverter-small", watt_25c_w=700, watt_40c_w=675, efficiency_pct=95)
    large = like("inverter-1500", "inverter-large", watt_25c_w=1300, watt_40c_w=1250, efficiency_pct=80, idle_w=30)
    case = trailer(
        loads=(
            c.Load(name="lamps", supply="dc", watt_w=5, from_h=0, to_h=24),
            c.Load(name="kettle", supply="mains", circuit="sockets", watt_w=700, from_h=12, to_h=13),
        ),
        brief={"circuits": (c.Circuit(name="sockets", source="inverter"),)},
    )
    return Built(
        case=case,
        catalogue=with_parts(inverters=[small, large]),
        conflict=frozenset({"bay.heat[locker]", "inverter.power", "inverter.present"}),
        lever="load.kettle.watt_w",
        steps=4,
    )


def hitch_and_autonomy() -> Built:
    """The bank stands far ahead of the axle, and nothing behind it that could make up for that.

    The days without sun need two modules, as one carries less than 2 of the 2.5. Two of 20 kg, 1500 mm ahead of the
    axle where the coupling is 3000 mm, load the hitch with 20 kg, and cables and small parts with less than 2 kg more.
    60 kg are there already and 74 kg allowed: the first step of 2 kg that is enough is the 4th.
    """
    case = trailer(
        loads=(c.Load(name="lamps", supply="dc", watt_w=20, from_h=0, to_h=24),),
        limits={"autonomy_days": 2.5},
        vehicle={"hitch_max_kg": 74},
    )
    return Built(
        case=case,
        catalogue=with_parts(modules=[like("module-100", "module-heavy", mass_kg=20)]),
        conflict=frozenset({"energy.autonomy", "mass.hitch_high"}),
        lever="vehicle.hitch_max_kg",
        steps=4,
    )


WORLDS = (roof_and_string, heat_and_inverter, hitch_and_autonomy)


# --- parts and case ----------------------------------------------------------------------------------


def like(name: str, new: str, **other: Any) -> Part:
    """A handmade part with another name and some figures changed."""
    part = _ORIGINAL.find(name)
    assert part is not None
    return part.model_copy(update={"name": new, **other})


def with_parts(**tables: Sequence[Part]) -> Catalogue:
    """One of everything, or what is given; no chargers, no step-down, nothing to cut for air."""
    kept = ("dc-6", "dc-16", "dc-50", "solar-6", "mains-2.5", "data", "fuse-30", "fuse-200", "fuse-175")
    parts: dict[str, Sequence[Part]] = {
        "panels": [like("panel-100", "panel-100")],
        "regulators": [like("regulator-20", "regulator-20")],
        "modules": [like("module-100", "module-100")],
        "inverters": [like("inverter-1500", "inverter-1500")],
        "cables": [part for part in _ORIGINAL.of("cables").values() if part.name in kept],
        "fuses": [part for part in _ORIGINAL.of("fuses").values() if part.name in kept],
        "entries": [like("gland", "gland")],
        **{
            key: list(_ORIGINAL.of(key).values())
            for key in ("holders", "isolators", "busbars", "shunts", "displays", "switches", "mains_boxes")
        },
    }
    return Catalogue({key: {part.name: part for part in rows} for key, rows in (parts | tables).items()}, {})


def trailer(
    *,
    loads: tuple[c.Load, ...],
    brief: dict[str, Any] | None = None,
    limits: dict[str, Any] | None = None,
    vehicle: dict[str, Any] | None = None,
    zone: dict[str, Any] | None = None,
    obstacles: tuple[c.Obstacle, ...] = (),
    returns: bool = False,
) -> Case:
    """A trailer with ample room: the bank ahead, all else over the axle, a flat roof from the axle on forward."""
    old = handmade.case()
    bay = {b.name: b for b in old.bays}
    flat = {"x_mm": 2000, "set_back_mm": 0, "front_set_back_mm": 0, "walkway_mm": 0, "crown_mm": 0}
    usual: dict[str, Any] = {
        "alternator_charger": "no",
        "mains_charger": "no",
        "alternator": None,
        "inlet": None,
        "circuits": (),
        "pass_throughs": (),
        "limits": c.Limits(regulators_at_most=1, panel_gap_mm=0, **(limits or {})),
        "vehicle": old.brief.vehicle.model_copy(update=vehicle or {}),
    }
    return replace(
        old,
        name="conflicting",
        brief=old.brief.model_copy(update=usual | (brief or {})),
        loads=loads,
        scenarios=(
            c.Scenario(
                name="day", month=1, day=15, start_h=9, hours=10, clearness=0.7, temp_min_c=12, temp_max_c=30,
                start_pct=80, returns=returns,
            ),
        ),
        zones=tuple(z.model_copy(update=flat | (zone or {})) for z in old.zones),
        obstacles=obstacles,
        bays=(
            bay["box"].model_copy(update={"air": "sealed", "x_mm": 3500}),
            bay["locker"].model_copy(update={"x_mm": 2000}),
        ),
        boards=(
            c.Board(bay="box", name="floor", kind="floor", length_mm=1000, width_mm=600, depth_mm=300, reach=False,
                    sight=False),
            c.Board(bay="locker", name="wall", kind="wall", length_mm=1000, width_mm=800, depth_mm=100, reach=True,
                    sight=True),
        ),
        ways=(
            way("main_way", "box", "locker", 600, 60),
            way("roof_way", "roof_point", "locker", 600, 25),
            way("loads_way", "locker", "loads_point", 500, 25),
        ),
        existing=(),
    )  # fmt: skip
