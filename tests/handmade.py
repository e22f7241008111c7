"""A small trailer and a complete, valid build for it, both made by hand.

Prices and masses are the same for every body, so that totals can be added up on paper. No figure here is
a product's or a rule's; only the shape is real.
"""

from dataclasses import dataclass
from typing import Any

from optimiser import builds as b
from optimiser import case as c
from optimiser import parts as p
from optimiser.catalogue import Catalogue

Row = dict[str, Any]

RULES = {
    "fuse_distance_mm": 200,
    "tail_distance_mm": 1016,
    "module_fuse_from_ah": 500,
    "fuse_over_load": 1.25,
    "fuse_of_ampacity": 1.0,
    "bundle_factor": 0.7,
    "bundle_from_mm": 610,
    "terminal_c": 75,
    "conductor_c": 70,
    "drop_share": 0.035,
    "drop_share_inverter": 0.03,
    "drop_share_solar": 0.03,
    "drop_share_feed": 0.05,
    "drop_share_mains": 0.05,
    "fill_few": 0.31,
    "fill_many": 0.4,
    "solar_current_factor": 1.25,
    "solar_continuous_factor": 1.25,
    "solar_ceiling_v": 120,
    "regulator_voltage_share": 0.95,
    "string_fuse_from": 3,
    "main_section_min_mm2": 1.5,
    "dc_section_min_mm2": 1.0,
    "bank_in_living": 0,
    "hydrogen_gas_ma_per_ah": 20,
    "fan_discharge": 0.6,
    "shadow_elevation_deg": 45,
    "alternator_share": 0.5,
    "parallel_share": 1.0,
    "road_speed_km_h": 110,
    "gust_km_h": 0,
    "roof_suction": 1.0,
    "fixing_safety": 2,
    "glue_stress_n_mm2": 0.1,
    "restraint_along_g": 20,
    "restraint_across_g": 8,
    "bend_of_outside": 5,
    "end_mm": 0,  # so that lengths by hand are those between bodies; tests of ends have their own
}

# --- parts -------------------------------------------------------------------------------------------

_BOUGHT: Row = {"price": 10, "sundries": 1, "mass_kg": 0.5, "minutes": 6}  # 17.00 at 60 an hour
_BODY: Row = _BOUGHT | {
    "length_mm": 100,
    "width_mm": 100,
    "height_mm": 60,
    "orientations": ("flat",),
    "mounts": "either",
    "rotatable": True,
    "clear_length_mm": 20,
    "clear_width_mm": 20,
    "clear_height_mm": 20,
    "heat_w": 1,
    "terminal_mm2": 70,
}
_PANEL: Row = {
    "length_mm": 1000,
    "width_mm": 510,
    "height_mm": 30,
    "watt_w": 100,
    "voc_v": 24,
    "vmp_v": 20,
    "isc_a": 5.2,
    "imp_a": 5,
    "voc_pct_k": -0.3,
    "power_pct_k": -0.36,
    "isc_pct_k": 0.05,
    "bend_radius_mm": 0,
    "mount_height_mm": 30,
}
_CABLE: Row = {  # 0.50 and 20 g for 100 mm of two cores, 4.00 for the ends
    "price": 2,
    "sundries": 0.5,
    "mass_kg": 0.1,
    "minutes": 0,
    "end_price": 1,
    "end_minutes": 0,
}
_REGULATOR: Row = {"pv_v_max": 75, "pv_isc_max_a": 20, "out_a": 20, "start_above_v": 5, "over_panel_ratio": 1.5}
_MODULE: Row = {
    "length_mm": 300,
    "width_mm": 170,
    "height_mm": 210,
    "mounts": "floor",
    "nominal_v": 12.8,
    "capacity_ah": 100,
    "discharge_a": 100,
    "surge_a": 200,
    "charge_a": 100,
    "parallel_max": 4,
    "series_max": 4,
    "resistance_mohm": 4,
    "charge_min_c": 0,
    "idle_w": 0.2,
    "capacity_0c_pct": 100,  # cold takes nothing from it, so that charges can be added up on paper
    "capacity_minus_20c_pct": 100,
}
_INVERTER: Row = {"watt_25c_w": 1500, "watt_40c_w": 1300, "surge_w": 2500, "cut_off_v": 10.5, "idle_w": 5}
_ALTERNATOR: Row = {"input_v": 12, "charge_a": 30, "efficiency_pct": 90, "idle_w": 0.5}
_SMALL: Row = {"length_mm": 60, "width_mm": 30, "height_mm": 40, "family": "bolt-in"}


def _panel(name: str, **other: Any) -> p.Panel:
    kind: Row = {"kind": "rigid", "mount_mass_kg": 0.5, "mount_price": 10}
    return p.Panel(name=name, **(_BOUGHT | _PANEL | kind | other))


def _dc(
    name: str, section: float, outside: float, ohm: float, amps: float, in_duct: float, kind: str = "dc"
) -> p.Cable:
    size: Row = {"section_mm2": section, "outside_mm": outside, "ohm_per_km": ohm, "ampacity_a": amps}
    size |= {"duct_ampacity_a": in_duct}
    return p.Cable(name=name, kind=kind, insulation_c=105, **size, **_CABLE)  # type: ignore[arg-type]


def _fuse(rating: float, holder: str) -> p.Fuse:
    at: Row = {"rating_a": rating, "volt_max_v": 32}
    at |= {"breaking_12v_a": 8000, "breaking_24v_a": 8000, "breaking_48v_a": 0}
    return p.Fuse(name=f"fuse-{rating:g}", family="bolt-in", holder=holder, **at, **_BOUGHT)


def _tables() -> dict[str, list[p.Part]]:
    main: Row = {"family": "bolt-in", "rating_max_a": 300, "on_terminal": True}
    charger: Row = {"system_v": 12, "charge_a": 30, "efficiency_pct": 90, "idle_w": 1}
    seal: Row = {"length_mm": 60, "width_mm": 60, **_BOUGHT}
    lead: Row = {"section_mm2": 2.5, "outside_mm": 10.5, "ohm_per_km": 7.98, "ampacity_a": 23, "insulation_c": 70}
    lead |= {"duct_ampacity_a": 23}
    data: Row = {"section_mm2": 0, "outside_mm": 5, "ohm_per_km": 0, "ampacity_a": 0, "insulation_c": 70}
    flexible: Row = {"kind": "flexible", "bend_radius_mm": 1000}
    return {
        "panels": [_panel("panel-100"), _panel("panel-flex", **flexible), _panel("panel-fold", kind="portable")],
        "regulators": [
            p.Regulator(name="regulator-20", system_v=(12, 24), efficiency_pct=97, idle_w=0.2, **_REGULATOR, **_BODY)
        ],
        "modules": [p.Module(name="module-100", **(_BODY | _MODULE))],
        "inverters": [p.Inverter(name="inverter-1500", system_v=12, efficiency_pct=90, **_INVERTER, **_BODY)],
        "alternator_chargers": [p.AlternatorCharger(name="alternator-charger-30", system_v=12, **_ALTERNATOR, **_BODY)],
        "mains_chargers": [p.MainsCharger(name="mains-charger-30", **charger, **_BODY)],
        "step_downs": [p.StepDown(name="step-down-24", system_v=24, out_a=20, efficiency_pct=90, idle_w=1, **_BODY)],
        "cables": [
            _dc("dc-6", 6, 5, 3.3, 65, 60),
            _dc("dc-16", 16, 8.5, 1.21, 130, 110),
            _dc("solar-6", 6, 5, 3.3, 65, 60, "solar"),
            _dc("solar-16", 16, 8.5, 1.21, 130, 110, "solar"),
            _dc("dc-25", 25, 10.5, 0.78, 170, 150),
            _dc("dc-50", 50, 14, 0.386, 270, 220),
            p.Cable(name="mains-2.5", kind="mains", **lead, **_CABLE),
            p.Cable(name="data", kind="data", **data, **_CABLE),
        ],
        "holders": [
            p.Holder(name="holder-main", **main, **_BODY),
            p.Holder(name="holder-terminal", **main, **(_BODY | {"height_mm": 40})),
            p.Holder(name="holder-row", rating_max_a=200, on_terminal=False, **(_BODY | _SMALL)),
        ],
        "fuses": [
            _fuse(200, "holder-main"),
            _fuse(125, "holder-terminal"),
            *(_fuse(r, "holder-row") for r in (10, 30, 40, 50, 175)),
        ],
        "string_fuses": [],
        "dc_panels": [],
        "breakers": [],
        "isolators": [p.Isolator(name="isolator-300", rating_a=300, resistance_mohm=0.2, **_BODY)],
        "busbars": [p.Busbar(name="busbar-250", rating_a=250, studs=6, **_BODY)],
        "shunts": [
            p.Shunt(name="shunt-1x300", channels=1, rating_a=300, idle_w=0.1, **_BODY),
            p.Shunt(name="shunt-4x50", channels=4, rating_a=50, idle_w=0.4, **_BODY),
        ],
        "displays": [p.Display(name="display-8", channels=8, idle_w=0.5, **_BODY)],
        "switches": [p.Switch(name="switch", **(_BODY | {"terminal_mm2": 0}))],
        "mains_boxes": [p.MainsBox(name="mains-box-2", circuits=2, inlet_a=16, **_BODY)],
        "entries": [
            p.Entry(name="gland", kind="gland", carries="any", ip_class=66, cables=2, outside_max_mm=7, **seal),
            p.Entry(name="pass", kind="pass_through", carries="data", ip_class=67, cables=1, outside_max_mm=7, **seal),
        ],
        "vents": [
            p.Vent(name="grille", kind="grille", free_area_cm2=100, flow_m3_h=0, watt_w=0, cut_out_cm2=450, **_BOUGHT)
        ],
    }


def catalogue() -> Catalogue:
    """All parts there are."""
    return Catalogue({key: {part.name: part for part in rows} for key, rows in _tables().items()}, {})


# --- case --------------------------------------------------------------------------------------------


def _brief() -> c.Brief:
    return c.Brief(
        title="handmade",
        labour_per_h=60,
        alternator_charger="must",
        mains_charger="must",
        dc_panel_point="loads_point",
        place=c.Place(latitude=-33.9, longitude=18.4, utc_offset_h=2, record_low_c=-5, record_high_c=40),
        vehicle=c.Trailer(
            kind="trailer", coupling_x_mm=5000, axle_x_mm=2000, track_mm=1800, payload_kg=120, base_axle_kg=900,
            base_hitch_kg=60, axle_max_kg=1000, hitch_min_kg=40, hitch_max_kg=100, balance_max_kg=60,
        ),
        limits=c.Limits(autonomy_days=1, budget=2000, recharge_h=10),
        alternator=c.Alternator(rating_a=120, point="tow_point"),
        inlet=c.Inlet(rating_a=10, point="inlet_point"),
        circuits=(c.Circuit(name="sockets", source="inverter"), c.Circuit(name="heater", source="hook_up")),
        pass_throughs=(c.PassThrough(name="aerial", carries="data", ip_class=54, point="tv_point"),),
    )  # fmt: skip


def _bay(name: str, x_mm: int, **other: Any) -> c.Bay:
    usual: Row = {
        "length_mm": 1000,
        "width_mm": 600,
        "height_mm": 800,
        "y_mm": 0,
        "opening_length_mm": 500,
        "opening_width_mm": 400,
        "air": "closed",
        "habitable": False,
        "battery": True,
        "electronics": True,
        "mass_max_kg": 50,
        "rise_k": 5,
        "cold_rise_k": 3,
        "cable_allowance_mm": 300,
    }
    return c.Bay(name=name, x_mm=x_mm, **(usual | other))


def way(name: str, start: str, end: str, length_mm: int, bore_mm: int, **other: Any) -> c.Way:
    """A way between two nodes."""
    return c.Way(name=name, start=start, end=end, length_mm=length_mm, bore_mm=bore_mm, **other)


def case() -> c.Case:
    """The trailer and what it is for."""
    figures = {key: c.RuleFigure(value, "", "made up for a test", "memory") for key, value in RULES.items()}
    wall: Row = {"kind": "wall", "reach": True, "sight": True}
    return c.Case(
        name="handmade",
        brief=_brief(),
        rules=c.RuleSet("handmade", figures),
        loads=(
            c.Load(name="fridge", supply="dc", watt_w=60, duty_pct=40, from_h=0, to_h=24),
            c.Load(name="lamps", supply="dc", watt_w=30, from_h=18, to_h=23),
            c.Load(name="kettle", supply="mains", circuit="sockets", watt_w=600, surge_w=800, from_h=8, to_h=9),
            c.Load(name="fire", supply="mains", circuit="heater", watt_w=500, from_h=5, to_h=7),
        ),
        scenarios=(
            c.Scenario(
                name="summer", month=1, day=15, start_h=0, hours=48, clearness=0.7, temp_min_c=12, temp_max_c=32,
                start_pct=90, returns=True, drive_from_h=9, drive_to_h=11, hook_up_from_h=18, hook_up_to_h=7,
            ),
        ),
        zones=(
            c.Zone(
                name="roof", roof_plane="sun", x_mm=500, y_mm=-900, length_mm=3000, width_mm=1800, set_back_mm=50,
                front_set_back_mm=100, walkway_mm=300, walkway_side="right", mass_max_kg=60, crown_mm=30,
                entry="roof_point",
            ),
        ),
        obstacles=(
            c.Obstacle(
                name="hatch", zone="roof", x_mm=1700, y_mm=-600, length_mm=400, width_mm=400, height_mm=100,
                clear_mm=50, lid_side="left", lid_reach_mm=350,
            ),
        ),
        bays=(
            _bay("box", 2500),
            _bay("locker", 1500, cut_out_max_cm2=500),
            _bay("nose", 4000, vent_cm2=30),
        ),
        boards=(
            c.Board(bay="box", name="floor", kind="floor", length_mm=900, width_mm=400, depth_mm=300, reach=False,
                    sight=False),
            c.Board(bay="locker", name="wall", length_mm=1000, width_mm=800, depth_mm=100, **wall),
            c.Board(bay="nose", name="side", length_mm=600, width_mm=400, depth_mm=300, outside_wall=True, **wall),
        ),
        ways=(
            way("main_way", "box", "locker", 1000, 60),
            way("tow_way", "tow_point", "locker", 6000, 50, temp_c=60),
            way("roof_way", "roof_point", "locker", 2000, 25),
            way("loads_way", "locker", "loads_point", 1500, 25),
            way("inlet_way", "inlet_point", "locker", 1000, 25, carries="mains"),
            way("tv_way", "nose", "tv_point", 800, 15),
        ),
        existing=(
            c.Existing(
                name="old_battery", kind="lead_acid", board="nose.side", x_mm=200, y_mm=100, length_mm=300,
                width_mm=200, depth_mm=200, cells=6, capacity_ah=100,
            ),
        ),
    )  # fmt: skip


# --- build -------------------------------------------------------------------------------------------

_WALL = (  # three rows on the locker's wall, 50 mm apart and from its edges
    ("busbar", "busbar-250", 50, 50),
    ("isolator", "isolator-300", 200, 50),
    ("display", "display-8", 350, 50),
    ("switch", "switch", 500, 50),
    ("mains_box", "mains-box-2", 650, 50),
    ("regulator_1", "regulator-20", 50, 200),
    ("inverter", "inverter-1500", 200, 200),
    ("alternator_charger", "alternator-charger-30", 350, 200),
    ("mains_charger", "mains-charger-30", 500, 200),
    ("fuse_row", "", 50, 350),
    ("shunt_row", "", 250, 350),
)
_RUNS = (
    ("main", "box", "locker", ("main_way",), "dc-50", "fuse-200"),
    ("inverter", "locker", "locker", (), "dc-50", "fuse-175"),
    ("regulator_1", "locker", "locker", (), "dc-6", "fuse-30"),
    ("solar_a", "roof_point", "locker", ("roof_way",), "solar-6", ""),
    ("alternator", "locker", "locker", (), "dc-16", "fuse-40"),
    ("alternator_feed", "tow_point", "locker", ("tow_way",), "dc-25", "fuse-50"),
    ("mains_charger", "locker", "locker", (), "dc-16", "fuse-40"),
    ("dc_loads", "locker", "loads_point", ("loads_way",), "dc-6", "fuse-10"),
    ("mains_inlet", "inlet_point", "locker", ("inlet_way",), "mains-2.5", ""),
    ("mains_feed", "locker", "locker", (), "mains-2.5", ""),
    ("inverter_out", "locker", "locker", (), "mains-2.5", ""),
    ("display", "locker", "locker", (), "data", ""),
    ("switch", "locker", "locker", (), "data", ""),
    ("pass_aerial", "nose", "tv_point", ("tv_way",), "data", ""),
)


def build() -> b.Build:
    """A fit-out of it that holds everywhere."""
    return b.Build(
        case="handmade",
        system_v=12,
        bank=b.Bank(module="module-100", series=1, parallel=2, rows=1, columns=2),
        panels=(
            b.PlacedPanel("roof", "panel-100", 600, 200, rotated=False, string="a.1"),
            b.PlacedPanel("roof", "panel-100", 1630, 200, rotated=False, string="a.1"),
        ),
        arrays=(b.PanelArray("a", "panel-100", "sun", 2, 1, "regulator_1"),),
        fitted=(
            b.Fitted("bank", "", "box.floor", 50, 100),
            b.Fitted("main_fuse", "holder-main", "box.floor", 770, 100),
            *(b.Fitted(slot, part, "locker.wall", x_mm, y_mm) for slot, part, x_mm, y_mm in _WALL),
        ),
        runs=tuple(b.Run(*run) for run in _RUNS),
        vents=(b.FittedVent("locker", "grille", 1),),
        measuring=(b.Measuring("shunt-1x300", 1), b.Measuring("shunt-4x50", 1)),
        entries=(b.FittedEntry("sun", "gland", 1), b.FittedEntry("aerial", "pass", 1, "nose.side")),
        claim=b.Claim(status="by hand", cost_cents=72_175, mass_g=20_510),
    )


@dataclass(frozen=True)
class World:
    """A case, the catalogue and a build for it."""

    case: c.Case
    catalogue: Catalogue
    build: b.Build


def world() -> World:
    """Everything by hand."""
    return World(case(), catalogue(), build())
