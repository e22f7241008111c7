"""Worlds off the beaten track: the model takes a pinned build exactly when the audit finds nothing against it."""

from dataclasses import replace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from optimiser import builds as b
from optimiser import case as c
from optimiser.auditing import audit, breaches
from optimiser.fitted import Fit
from optimiser.fitted.currents import currents
from optimiser.model.assemble import assemble
from optimiser.model.currents import bank_parallel
from optimiser.requirements import REGISTER
from tests import handmade
from tests.asking import Changes, broken, reaching, taken, world
from tests.edges import ALONE, MODULES_FUSED, OFF_TERMINAL
from tests.edges_breakers import CIRCUITS as MAINS_CIRCUITS
from tests.edges_breakers import DEVICES
from tests.edges_panel import CIRCUITS, PANEL
from tests.edges_places import MUCH_DROP
from tests.edges_string_fuses import FUSE
from tests.pairs import ONE_ABOVE_THE_OTHER, all_but, without
from tests.pinning import accepts
from tests.worlds import AT_24_V, FUSED_AT_24_V, THREE_FUSED, UNLIKE_HOLDERS

CASE, RUNS, FITTED = handmade.case(), handmade.build().runs, handmade.build().fitted
OLD = CASE.existing[0]

SECOND_OLD = OLD.model_copy(
    update={"name": "second_battery", "x_mm": 0, "y_mm": 300, "length_mm": 200, "width_mm": 100}
)
TWO_OLD: Changes = (("existing", (OLD, SECOND_OLD)),)  # 2 x 16.8 cm2
SHORT_LEAD: Changes = (*ONE_ABOVE_THE_OTHER, *MODULES_FUSED, ("bays.box.cable_allowance_mm", 150))
SHELF = c.Board(bay="box", name="shelf", kind="wall", length_mm=300, width_mm=300, depth_mm=200, reach=True, sight=True)
FUSE_ON_A_SHELF: Changes = (
    ("boards", (*CASE.boards, SHELF)),
    *((f"fitted.main_fuse.{key}", value) for key, value in (("board", "box.shelf"), ("x_mm", 20), ("y_mm", 20))),
    ("bays.box.cable_allowance_mm", 150),
)
ON_ITS_SIDE: Changes = (
    ("parts.holder-main.orientations", ("side",)),
    ("parts.holder-main.width_mm", 30),
    ("fitted.main_fuse.orientation", "side"),
)
DOOR = c.Board(
    bay="locker", name="door", kind="wall", length_mm=150, width_mm=150, depth_mm=150, reach=True, sight=True
)
OLD_INVERTER = c.Existing(
    name="old_inverter", kind="part", part="inverter-1500", board="locker.door", x_mm=0, y_mm=0, length_mm=150,
    width_mm=150, depth_mm=100,
)  # fmt: skip
EXISTING_FILLS_ITS_BOARD: Changes = (
    ("boards", (*CASE.boards, DOOR)),
    ("existing", (OLD, OLD_INVERTER)),
    ("fitted.inverter", b.Fitted("inverter", "inverter-1500", "locker.door", 0, 0, existing=True)),
)


def existing_beside_the_switch(part: str, y_mm: int, x_mm: int = 500) -> Changes:
    """Something that stays on the wall, above a switch that ends at 150 mm and wants 20 mm of room."""
    old = OLD_INVERTER.model_copy(
        update={"name": "old", "part": part, "board": "locker.wall", "x_mm": x_mm, "y_mm": y_mm, "length_mm": 100,
                "width_mm": 10}
    )  # fmt: skip
    return (("existing", (OLD, old)),)


HOT = CASE.bays[0].model_copy(update={"name": "hot", "rise_k": 18.1})  # 32 and 18.1 against 50 C, and shut
NOTHING_IN_IT: Changes = (("bays", (*CASE.bays, HOT)),)
CABLE_THROUGH_IT: Changes = (
    *NOTHING_IN_IT,
    (
        "ways",
        (*CASE.ways, handmade.way("first", "box", "hot", 500, 60), handmade.way("second", "hot", "locker", 500, 60)),
    ),
    ("runs.main.ways", ("first", "second")),
)
NOTHING_WARM_IN_IT: Changes = (
    *((f"parts.module-100.{key}", value) for key, value in (("heat_w", 0), ("charge_max_c", 50))),
    ("bays.box.rise_k", 18.1),
)
THROUGH_A_FLOOR: Changes = (("boards.side.kind", "floor"), ("existing", ()))
NO_DC_LOADS: Changes = (("loads", tuple(load for load in CASE.loads if load.supply == "mains")),)
NO_INLET: Changes = (
    ("brief.inlet", None),
    ("brief.mains_charger", "may"),
    ("limits.recharge_h", None),
    ("scenarios.summer.hook_up_from_h", None),
    ("scenarios.summer.hook_up_to_h", None),
    ("scenarios.summer.returns", False),
    *without("mains_charger", "mains_inlet", "mains_feed"),
)
FED_BY_NOTHING: Changes = (*NO_INLET[:-2], *without("mains_inlet", "mains_feed"))
CHARGER = handmade.build().slot("mains_charger")
assert CHARGER
OLD_CHARGER = c.Existing(
    name="old_charger", kind="part", part=CHARGER.part, board=CHARGER.board, x_mm=CHARGER.x_mm, y_mm=CHARGER.y_mm,
    length_mm=200, width_mm=100, depth_mm=80,
)  # fmt: skip
EXISTING_CHARGER: Changes = (("existing", (OLD, OLD_CHARGER)), ("fitted.mains_charger.existing", True))
AERIAL = CASE.brief.pass_throughs[0]
POWER_OUTSIDE: Changes = (
    ("brief.pass_throughs", (AERIAL.model_copy(update={"carries": "power", "current_a": 1.5}),)),
    ("parts.pass.carries", "power"),
    ("runs.pass_aerial.cable", "dc-6"),
    ("runs.pass_aerial.fuse", "fuse-10"),
    ("runs.dc_loads.fuse", "fuse-30"),
)
NOTHING_DRAWN = ("brief.pass_throughs", (AERIAL.model_copy(update={"carries": "power", "current_a": 0}),))
THICK_LOADS_AT_24_V: Changes = (  # on the step-down's terminals, not on the busbars'
    *AT_24_V,
    ("parts.fuse-200.rating_a", 100),
    ("parts.fuse-175.rating_a", 90),
    ("runs.main.cable", "dc-25"),
    ("runs.inverter.cable", "dc-25"),
    ("runs.dc_loads.cable", "dc-50"),
    ("ways.loads_way.bore_mm", 60),
    ("parts.busbar-250.terminal_mm2", 25),
)
ODD_PANELS: Changes = (  # 511 wide, their middle at y -594.5
    ("parts.panel-100.width_mm", 511),
    ("zones.roof.walkway_mm", 0),
    ("obstacles", ()),
    ("panels.0.y_mm", -850),
    ("panels.1.y_mm", -850),
    *((f"bays.{bay}.y_mm", 300) for bay in ("box", "locker", "nose")),
    ("vehicle.balance_max_kg", 2 * (18.51 * 300 - 2 * 594.5) / 1800),  # what the panels cannot outweigh, to the gram
)

FAR_WALL = c.Board(
    bay="locker", name="side", kind="wall", length_mm=900, width_mm=400, depth_mm=100, reach=True, sight=True
)
ON_ANOTHER_WALL: Changes = (  # 630 mm from the busbars, were it the same wall
    ("boards", (*CASE.boards, FAR_WALL)),
    *((f"fitted.mains_charger.{key}", at) for key, at in (("board", "locker.side"), ("x_mm", 780), ("y_mm", 280))),
)
CALLED_AS_A_SLOT = c.Existing(
    name="mains_charger", kind="fixture", board="locker.wall", x_mm=850, y_mm=650, length_mm=100, width_mm=100,
    depth_mm=50,
)  # fmt: skip

WORLDS: list[tuple[str, bool, Changes, str]] = [  # what, whether it holds, how, what is wrong with the model
    ("two old batteries in a bay, enough vent", True, (*TWO_OLD, ("bays.nose.vent_cm2", 33.7)), ""),
    (
        "two old batteries in a bay, vent for one", False, (*TWO_OLD, ("bays.nose.vent_cm2", 33.5)),
        "",
    ),
    ("short lead, main fuse near", True, (*SHORT_LEAD, ("fitted.main_fuse.x_mm", 550)), ""),
    (
        "short lead, main fuse far off on the bank's board", False, (*SHORT_LEAD, ("fitted.main_fuse.x_mm", 551)),
        "",
    ),
    ("main fuse on another board, behind fuses of the strings", True, (*FUSE_ON_A_SHELF, *MODULES_FUSED), ""),
    ("main fuse on another board, and nothing before it", False, (*FUSE_ON_A_SHELF, OFF_TERMINAL), ""),
    ("the same however far it may be", False,
     (*FUSE_ON_A_SHELF, OFF_TERMINAL, ("rules.fuse_distance_mm", 10_000)),
     ""),
    ("fuses of strings that nothing asks for, as no fuse on the terminal would break the bank's fault", True,
     (OFF_TERMINAL, ("bank.fuse", "fuse-125"), ("parts.fuse-125.breaking_12v_a", 3650)),
     ""),
    ("fuse on the terminal, bay just high enough", True, (("boards.floor.depth_mm", 290),), ""),  # 210 + 20 + 60
    ("fuse on the terminal, bay too low", False, (("boards.floor.depth_mm", 289),), ""),
    ("fuse on its side on the terminal, bay too low", False, (*ON_ITS_SIDE, ("boards.floor.depth_mm", 289)),
     ""),
    ("existing part that fills its board", True, EXISTING_FILLS_ITS_BOARD,
     ""),
    ("charger on another wall than the busbars", True, ON_ANOTHER_WALL, ""),
    ("something far off, called as a charger's slot is", True, (("existing", (OLD, CALLED_AS_A_SLOT)),), ""),
    ("existing regulator at 20 mm", True, existing_beside_the_switch("regulator-20", 170), ""),
    ("existing regulator at 19 mm", False, existing_beside_the_switch("regulator-20", 169), ""),
    ("existing regulator 20 mm beside the mains box", True, existing_beside_the_switch("regulator-20", 50, 770), ""),
    ("existing regulator 19 mm beside the mains box", False, existing_beside_the_switch("regulator-20", 50, 769), ""),
    ("existing busbar at 19 mm", False, existing_beside_the_switch("busbar-250", 169), ""),
    ("bay with nothing in it, hotter than parts may stand", True, NOTHING_IN_IT, ""),
    ("the same with a cable through it", False, CABLE_THROUGH_IT, ""),
    ("the same, no hotter", True, (*CABLE_THROUGH_IT, ("bays.hot.rise_k", 18)), ""),
    ("bay as hot, with something in it that gives no heat", False, NOTHING_WARM_IN_IT, ""),
    ("the same with no heat, no hotter", True, (*NOTHING_WARM_IN_IT, ("bays.box.rise_k", 18)), ""),
    ("cable to the outside through a floor", False, THROUGH_A_FLOOR, ""),
    ("no 12 V loads, a channel each", True, (*NO_DC_LOADS, ("parts.shunt-4x50.channels", 4)), ""),
    ("no 12 V loads, a channel short", False, (*NO_DC_LOADS, ("parts.shunt-4x50.channels", 3)),
     ""),
    ("one module of enough for fuses of its own wants none", True,
     (*ALONE, ("rules.module_fuse_from_ah", 199)), ""),
    ("modules of one string count once towards fuses of their own", True,
     (*FUSED_AT_24_V, ("parts.holder-main.on_terminal", True), ("bank.fuse", ""), ("rules.module_fuse_from_ah", 299)),
     ""),
    ("module a little above 12.8 V", True, (("parts.module-100.nominal_v", 12.805),), ""),
    ("module too far from 12.8 V", False, (("parts.module-100.nominal_v", 12.85),),
     ""),
    ("no inlet", True, NO_INLET, ""),
    ("a charger that nothing feeds", False, FED_BY_NOTHING, ""),
    ("an existing charger", True, EXISTING_CHARGER, ""),
    ("an existing charger that nothing feeds", False, (*FED_BY_NOTHING, *EXISTING_CHARGER), ""),
    (
        "inverter-charger without an inlet", True, (*NO_INLET, ("parts.inverter-1500.charge_a", 10)),
        "",
    ),
    ("power goes outside through one entry", True, (*POWER_OUTSIDE, ("parts.pass.cables", 2)), ""),
    ("power goes outside, nothing drawn, no fuse", True,
     (*POWER_OUTSIDE, ("parts.pass.cables", 2), NOTHING_DRAWN, ("runs.pass_aerial.fuse", "")), ""),
    ("power goes outside, nothing drawn, a fuse", False,
     (*POWER_OUTSIDE, ("parts.pass.cables", 2), NOTHING_DRAWN), ""),
    ("power goes outside through an entry too few", False, POWER_OUTSIDE, ""),
    ("power goes outside through two entries", True, (*POWER_OUTSIDE, ("entries.aerial.count", 2)),
     "measuring._decide_entries: one entry for each pass-through, where the audit counts cables of several"),
    ("current in a data cable", True,
     (("brief.pass_throughs", (AERIAL.model_copy(update={"current_a": 1}),)),),
     ""),
    ("12 V loads thicker than the busbars' terminals at 24 V", True, THICK_LOADS_AT_24_V,
     ""),
    ("panels of odd width right of the middle, balance exact", True, ODD_PANELS,
     ""),
]  # fmt: skip


@pytest.mark.parametrize(("holds", "changes"), [pytest.param(x[1], x[2], id=x[0]) for x in WORLDS])
def test_audit_says_so(holds: bool, changes: Changes) -> None:
    at = world(*changes)
    found = [f.sentence for f in breaches(audit(at.case, at.catalogue, at.build))]
    assert len(found) == (0 if holds else 1), found


@pytest.mark.parametrize(
    ("holds", "changes"),
    [
        pytest.param(
            holds,
            changes,
            id=what,
            marks=[pytest.mark.xfail(strict=True, raises=AssertionError, reason=fault)] if fault else [],
        )
        for what, holds, changes, fault in WORLDS
    ],
)
def test_model_says_so(holds: bool, changes: Changes) -> None:
    at = world(*changes)
    assert taken(at) is holds


def test_a_way_as_hot_as_the_insulation_stands_carries_nothing() -> None:
    at = world(("ways.tow_way.temp_c", 105))
    found = broken(at)
    assert "run.ampacity[alternator_feed]" in found
    assert not taken(at)


@pytest.mark.parametrize(
    ("knob", "mm", "holds"),
    [
        ("fitted.shunt_row.x_mm", 300, True),  # four holders of 30 mm and one of 100 stand from 50 to 270
        ("fitted.shunt_row.x_mm", 299, False),
        ("fitted.fuse_row.y_mm", 350, True),  # above others that end at 300
        ("fitted.fuse_row.y_mm", 349, False),
    ],
)
def test_the_widest_clearance_of_a_row_holds_for_all_of_it(knob: str, mm: int, holds: bool) -> None:
    at = reaching(*UNLIKE_HOLDERS, *MUCH_DROP, ("fitted.shunt_row.x_mm", 300), (knob, mm))
    found = broken(at)
    assert ("bay.clearance[fuse_row]" in found) is not holds
    assert {name.partition("[")[0] for name in found} <= {"bay.clearance"}
    assert taken(at) is holds


def test_bank_may_run_empty_where_its_floor_is_given_up() -> None:
    at = world(
        ("scenarios.summer.clearness", 0.0),
        ("scenarios.summer.hours", 96),
        ("scenarios.summer.returns", False),
        ("limits.autonomy_days", 0),
        *((f"scenarios.summer.{k}_{end}_h", None) for k in ("drive", "hook_up") for end in ("from", "to")),
    )
    assert {f.name for f in breaches(audit(at.case, at.catalogue, at.build))} == {"energy.floor"}
    assert taken(at, all_but("energy.floor"))


# --- the register ------------------------------------------------------------------------------------


EVERY_PREFERENCE = c.Preferences(
    wanted=("panel-100",),
    banned=("panels.kind=flexible",),
    solar_section_mm2=6,
    twins_alike=True,
    panel_types_at_most=1,
    display_at="locker",
    spare_studs=1,
    spare_circuits=1,
    spare_ways=1,
)


def test_model_posts_every_requirement_that_is_no_definition() -> None:
    """On a case that has something of everything."""
    parts: dict[str, Any] = {key: list(rows.values()) for key, rows in handmade.catalogue().tables.items()}
    worse: list[tuple[str, dict[str, Any]]] = [  # each breaks one limit by itself, which is what brings it up
        ("inverters", {"watt_25c_w": 100, "watt_40c_w": 100}),
        ("inverters", {"surge_w": 100}),
        ("inverters", {"charge_a": 10, "transfer_a": 1}),
        ("alternator_chargers", {"charge_a": 200}),
        ("step_downs", {"out_a": 1}),
        ("mains_boxes", {"circuits": 1}),
        ("mains_boxes", {"inlet_a": 5}),
        ("entries", {"ip_class": 44}),
        ("fuses", {"volt_max_v": 10}),
        ("fuses", {"rating_a": 1000}),
        ("modules", {"terminal_mm2": 5}),
    ]
    for number, (key, figures) in enumerate(worse):
        parts[key].append(parts[key][0].model_copy(update={"name": f"worse-{number}", **figures}))
    parts["dc_panels"] = [PANEL]
    parts["breakers"] = list(DEVICES)
    parts["mains_boxes"] = [box.model_copy(update={"modules": 14}) for box in parts["mains_boxes"]]
    parts["string_fuses"] = [FUSE.model_copy(update={"rating_a": 1, "volt_max_v": 10})]
    at = world(
        *CIRCUITS[1:5],
        ("brief.system_voltages", (12, 24)),
        ("brief.portable", c.Portable(panel="panel-fold", point="roof_point")),
        ("zones", (CASE.zones[0], CASE.zones[0].model_copy(update={"name": "hood", "rigid": False}))),
        ("bays.locker.habitable", True),
        ("boards", (*CASE.boards, CASE.boards[0].model_copy(update={"bay": "locker"}))),
        (
            "ways",
            (
                *CASE.ways,
                handmade.way("sockets_way", "locker", "sockets_point", 2000, 25),
                handmade.way("heater_way", "locker", "heater_point", 1500, 25),
            ),
        ),
        ("ways.tow_way.carries", "mains"),
        ("alternator.plug_a", 50),
        ("rules.module_fuse_from_ah", 199),
        ("brief.circuits", MAINS_CIRCUITS),
        ("brief.changeover", "must"),
        ("brief.generator", c.Generator(watt_w=1000)),
        ("brief.preferences", EVERY_PREFERENCE),
        *((f"limits.{column}", 1) for column in ("mains_charge_a", "solar_w", "bank_ah", "inverter_w")),
    )
    catalogue = type(at.catalogue)({k: {p.name: p for p in rows} for k, rows in parts.items()}, {})
    posted = {name.partition("[")[0] for name in assemble(at.case, catalogue).posted}
    assert posted == {name for name, requirement in REGISTER.items() if not requirement.is_definition}


SUN_ON_THE_ALTERNATOR: Changes = (
    *((f"parts.alternator-charger-30.{key}", value) for key, value in (
        ("solar_v_max", 75), ("solar_isc_max_a", 20), ("solar_out_a", 40), ("solar_start_above_v", 5),
        ("solar_over_panel_ratio", 1.5),
    )),
    ("arrays.a.regulator", "alternator_charger"),
    *without("regulator_1"),
    ("runs.alternator.cable", "dc-50"),
    ("runs.alternator.fuse", "fuse-175"),
    ("measuring", (b.Measuring("shunt-1x300", 2), b.Measuring("shunt-4x50", 1))),
)  # fmt: skip


def test_an_alternator_charger_is_measured_with_what_its_solar_input_gives() -> None:
    """30 A of the engine or 40 A of the sun leave by one output of 40 A, through a channel that stands their fuse."""
    at = world(*SUN_ON_THE_ALTERNATOR)
    small = replace(at.build, measuring=(b.Measuring("shunt-1x300", 1), b.Measuring("shunt-4x50", 1)))

    assert dict(currents(Fit(at.case, at.catalogue, at.build)))["alternator"] == 40
    assert not breaches(audit(at.case, at.catalogue, at.build))
    assert taken(at)
    assert [f.requirement for f in breaches(audit(at.case, at.catalogue, small))] == ["measure.channels[175 A]"]
    assert not accepts(at.case, at.catalogue, small)
    assert accepts(at.case, at.catalogue, small, all_but("measure.channels"))


@pytest.mark.parametrize(("each_a", "holds"), [(20, True), (19.99, False)])
def test_the_sun_on_an_alternator_charger_charges_while_driving(each_a: float, holds: bool) -> None:
    """40 A into two modules; what comes on hook-up is more, and is not asked about."""
    at = world(*SUN_ON_THE_ALTERNATOR, ("parts.module-100.charge_a", each_a))
    found = broken(at)
    assert ("battery.charge[driving]" not in found) == holds
    assert taken(at, lambda name: name == "battery.charge[driving]") == holds


def test_fuses_of_modules_are_those_of_the_bank_that_is_chosen() -> None:
    """Fuses for three strings where two are chosen: they would be read as those of the two."""
    at = world(*THREE_FUSED)
    ctx = assemble(at.case, at.catalogue, active=all_but("battery.module_fuse"))  # two strings need none of their own
    _, chosen = ctx.d.module_fuses["fuse-125", 3]
    for banks, possible in ((3, True), (2, False)):
        model = ctx.m.clone()
        model.add(chosen == 1)
        bank = ctx.d.slots["bank"]
        model.add(sum(flag for key, flag in bank.pick.items() if bank_parallel(bank.options[key]) == banks) == 1)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        assert (solver.solve(model) != cp_model.INFEASIBLE) is possible


@pytest.mark.parametrize(("fuse_a", "holds"), [(96.19, True), (96.17, False)])
def test_the_run_from_the_bank_carries_what_the_worse_step_down_takes(fuse_a: float, holds: bool) -> None:
    """Of two step-downs the chosen one is of 50 %: 69.444 + 90 / 0.5 / 24 = 76.944 A, and 1.25 times that."""
    little: Changes = (("limits.autonomy_days", 0), ("parts.fuse-200.rating_a", fuse_a))
    at = world(*AT_24_V, *little, ("fitted.step_down.part", "worse"))
    rows = at.catalogue.of("step_downs")
    worse = rows["step-down-24"].model_copy(update={"name": "worse", "efficiency_pct": 50})
    catalogue = type(at.catalogue)({**at.catalogue.tables, "step_downs": {**rows, "worse": worse}}, {})
    found = [f.requirement for f in breaches(audit(at.case, catalogue, at.build))]
    assert found == ([] if holds else ["run.fuse_over_load[main]"])
    assert accepts(at.case, catalogue, at.build) is holds
