"""Values on either side of every limit: just inside the audit passes the world by hand, just outside it names it.

Every figure is worked out beside its row from the made-up parts of `handmade`, not taken from the audit.
"""

from optimiser import builds as b
from optimiser import case as c
from tests import handmade
from tests.edge import Edge
from tests.edges_breakers import BREAKERS
from tests.edges_panel import PANELS
from tests.edges_places import (
    BEFORE_THE_BOX,
    FUSE_ROUND_THE_CORNER,
    HOLE_FROM_160,
    MUCH_DROP,
    ROW_ON_THE_OTHER_WALL,
    ROW_ROUND_THE_CORNER,
)
from tests.edges_preferences import PREFERENCES
from tests.edges_roof import ROOF
from tests.edges_sizes import SIZES
from tests.edges_string_fuses import STRING_FUSES

GONE = None
FITTED = {f.slot: f for f in handmade.build().fitted}


INVERTER = "parts.inverter-1500"
STEP_DOWN = b.Fitted("step_down", "step-down-24", "locker.wall", 200, 500)
AT_24_V = (("build.system_v", 24), ("fitted", (*handmade.build().fitted, STEP_DOWN)))
SHUNTS_ASIDE = ("fitted.shunt_row.x_mm", 600)
TAIL_OF_250 = ("rules.tail_distance_mm", 250)
HOT_CABIN = (("bays.locker.air", "cabin"), ("place.cabin_rise_k", 20))
TWO_GRILLES = (("vents", (b.FittedVent("locker", "grille", 2),)), ("bays.locker.cut_out_max_cm2", 900))
SUMMER = handmade.case().scenarios[0]
AND_A_COOLER_ONE = (
    "scenarios",
    (SUMMER, SUMMER.model_copy(update={"name": "cooler", "temp_min_c": 10, "temp_max_c": 25})),
)
CHARGER_ASIDE = (  # at the left, from y 500; the mains box above it
    *(("fitted.mains_charger.x_mm", 50), ("fitted.mains_charger.y_mm", 500)),
    ("fitted.mains_box.y_mm", 200),
)
POWER_OUTSIDE = (  # 1.5 A through the wall
    ("brief.pass_throughs", (handmade.case().brief.pass_throughs[0].model_copy(
        update={"carries": "power", "current_a": 1.5}
    ),)),
    ("parts.pass.carries", "power"),
    ("parts.pass.cables", 2),
    ("runs.pass_aerial.cable", "dc-6"),
    ("runs.pass_aerial.fuse", "fuse-10"),
    ("runs.dc_loads.fuse", "fuse-30"),
)  # fmt: skip
OFF_TERMINAL = ("parts.holder-main.on_terminal", False)
MODULES_FUSED = (  # two modules of 100 Ah, and the main fuse beside them
    *(("rules.module_fuse_from_ah", 199), ("bank.fuse", "fuse-125")),
    OFF_TERMINAL,
)
CHARGER = "parts.alternator-charger-30"
OWN_SUN = (  # the array on the alternator charger itself, which gives 30 A of the engine or 40 A of the sun
    *((f"{CHARGER}.solar_{key}", value) for key, value in (
        ("v_max", 75), ("isc_max_a", 20), ("out_a", 40), ("start_above_v", 5), ("over_panel_ratio", 1.5)
    )),
    ("arrays.a.regulator", "alternator_charger"),
    ("fitted.regulator_1", GONE),
    ("runs.regulator_1", GONE),
    ("runs.alternator.fuse", "fuse-50"),
)  # fmt: skip
LITTLE_SUN = ((f"{CHARGER}.solar_out_a", 20), (f"{CHARGER}.solar_over_panel_ratio", 3))
LITTLE_MAINS = (
    ("parts.mains-charger-30.charge_a", 5), ("limits.recharge_h", None), ("scenarios.summer.returns", False)
)  # fmt: skip
ALONE = (  # one module as large as two
    *(("parts.module-100.capacity_ah", 200), ("bank.parallel", 1), ("bank.columns", 1)),
    ("fitted.main_fuse.x_mm", 500),
)
NO_GAS = ("rules.hydrogen_gas_ma_per_ah", 0.0)
OLD = handmade.case().existing[0]
BESIDE = OLD.model_copy(update={"name": "beside", "board": "locker.wall", "x_mm": 50, "y_mm": 560})
NO_SUN = ("scenarios.summer.clearness", 0.0)
ANY_FUSE = ("rules.fuse_of_ampacity", 2)  # so that the cable's own limit comes first
LITTLE_FUSES = (  # the same: below the load, and let be so
    ("rules.fuse_over_load", 0.1),
    *((f"parts.fuse-{of}.rating_a", rating) for of, rating in ((200, 100), (175, 90), (30, 15))),
)
COLD_ENDS = ("rules.terminal_c", 105)  # terminals that stand what the insulation does
HOT_WAY = ("ways.main_way.temp_c", 60)
WEAK_IN_DUCTS = ("parts.dc-50.duct_ampacity_a", 157)
NOT_KNOWN_IN_DUCTS = ("parts.dc-50.duct_ampacity_a", 0)

GENERATOR = (("brief.generator", c.Generator(watt_w=1000)),)
FIRE_ON_IT = (("scenarios.summer.generator_from_h", 0), ("scenarios.summer.generator_to_h", 24))
STRINGS = [
    Edge("string.complete[a]", "panels.1.string", "a.1", "a.2"),
    Edge("string.complete[a]", "panels.1.panel", "panel-100", "panel-flex"),
    Edge("string.complete[a]", "arrays.a.series", 2, 1),  # one too many
    Edge("string.regulators", "limits.regulators_at_most", 1, 0),
    Edge("string.parallel[a]", "rules.string_fuse_from", 2, 1),
    # 2 x 24 x (1 + 0.003 x 30) = 52.32; / 0.95 = 55.0737
    Edge("string.cold_voltage[a]", "parts.regulator-20.pv_v_max", 55.074, 55.073),
    Edge("string.ceiling[a]", "rules.solar_ceiling_v", 52.32, 52.31),
    # cells at 40 + 1000 exp(-2.98 - 0.0471) + 1 = 89.45 C: 2 x 24 x (1 - 0.003 x 64.45) = 38.72; - 14.4
    Edge("string.start_voltage[a]", "parts.regulator-20.start_above_v", 24.31, 24.33),
    # 2 x V x (1 - 0.0036 x 64.45) against 14.4 + 1
    Edge("string.hot_voltage[a]", "parts.panel-100.vmp_v", 10.03, 10.02),
    Edge("string.short_circuit[a]", "parts.regulator-20.pv_isc_max_a", 6.5, 6.49),  # 5.2 x 1.25
    Edge("string.over_panelling[a]", "parts.regulator-20.over_panel_ratio", 0.7813, 0.7812),  # 200 / (20 x 12.8)
    # the same on the solar input of an alternator charger; 200 / (40 x 12.8)
    Edge("string.cold_voltage[a]", f"{CHARGER}.solar_v_max", 55.074, 55.073, OWN_SUN),
    Edge("string.start_voltage[a]", f"{CHARGER}.solar_start_above_v", 24.31, 24.33, OWN_SUN),
    Edge("string.short_circuit[a]", f"{CHARGER}.solar_isc_max_a", 6.5, 6.49, OWN_SUN),
    Edge("string.over_panelling[a]", f"{CHARGER}.solar_over_panel_ratio", 0.3907, 0.3906, OWN_SUN),
    Edge("string.system_voltage", f"{INVERTER}.system_v", 12, 24),
    Edge("string.system_voltage", "parts.regulator-20.system_v", (12, 24), (24,)),
    Edge("string.system_voltage", "parts.module-100.nominal_v", 12.8, 25.6),
    Edge("string.system_voltage", "alternator.system_v", 12, 24),
    Edge("string.portable", "brief.portable", None, c.Portable(panel="panel-fold", point="roof_point")),
]
ALTERNATOR_A = "parts.alternator-charger-30.charge_a"
BATTERY = [
    Edge("battery.voltage", "brief.system_voltages", (12, 24), (24, 48)),
    Edge("battery.parallel", "parts.module-100.parallel_max", 2, 1),
    Edge("battery.parallel[block]", "bank.columns", 2, 3),
    Edge("battery.series", "parts.module-100.series_max", 1, 0),
    # (600 / 0.9 + 90) / 12 = 63.056 of two; 800 / 0.9 on starting: 81.574
    Edge("battery.discharge", "parts.module-100.discharge_a", 31.53, 31.52),
    Edge("battery.surge", "parts.module-100.surge_a", 40.79, 40.78),
    # 20 + 30 of two: all of it, since only a hot bay holds chargers back
    Edge("battery.charge[driving]", "parts.module-100.charge_a", 25, 24.99),
    Edge("battery.charge[hook_up]", "parts.module-100.charge_a", 25, 24.99),
    # the same with the other charger smaller, so that one of the two states alone is at its limit
    Edge("battery.charge[driving]", "parts.module-100.charge_a", 25, 24.99, (("parts.mains-charger-30.charge_a", 25),)),
    Edge("battery.charge[hook_up]", "parts.module-100.charge_a", 25, 24.99, ((ALTERNATOR_A, 25),)),
    # one output for engine and sun: 30 A of the engine beside 20 A of the sun while driving; 40 + 30 A on hook-up
    Edge("battery.charge[driving]", "parts.module-100.charge_a", 15, 14.99, (*OWN_SUN, *LITTLE_SUN, *LITTLE_MAINS)),
    Edge("battery.charge[hook_up]", "parts.module-100.charge_a", 35, 34.99, OWN_SUN),
    Edge("battery.module_fuse", "rules.module_fuse_from_ah", 200, 199.9),
    # 1.25 x 146.389 / 2; the main fuse; 14.6 V through 4 mohm of the other module
    Edge("battery.module_over_load", "parts.fuse-125.rating_a", 91.5, 91.4, given=MODULES_FUSED),
    Edge("battery.module_under_main", "parts.fuse-125.rating_a", 200, 201, given=MODULES_FUSED),
    Edge("battery.module_breaking", "parts.fuse-125.breaking_12v_a", 3650, 3649, given=MODULES_FUSED),
    Edge("battery.module_breaking", "parts.fuse-125.volt_max_v", 14.6, 14.5, given=MODULES_FUSED),
    Edge("battery.cold[box]", "parts.module-100.charge_min_c", 15, 15.1),  # 12 + 3
    Edge("battery.cold[box]", "parts.module-100.charge_min_c", 13, 13.1, (AND_A_COOLER_ONE,)),  # 10 + 3
    Edge("battery.place[box]", "bays.box.battery", True, False),
    Edge("battery.place[box]", "bays.box.habitable", False, True),
    Edge("battery.place[box]", "bays.box.air", "sealed", "cabin", given=(("bays.box.habitable", True),)),
    Edge("battery.place[box]", "rules.bank_in_living", 1, 0, given=(("bays.box.habitable", True),)),
    Edge("battery.lead_acid[nose]", "bays.nose.habitable", False, True, given=(NO_GAS,)),  # shut, so open to the room
    Edge("battery.lead_acid[nose]", "bays.nose.air", "closed", "cabin", given=(NO_GAS,)),
    Edge("battery.lead_acid[locker]", "existing", (OLD,), (OLD, BESIDE)),  # eleven things that may spark
    # of two in parallel, nine tenths of their sum: 25 / 0.9
    Edge("battery.charge[driving]", "parts.module-100.charge_a", 27.78, 27.77, (("rules.parallel_share", 0.9),)),
    Edge("battery.discharge", "parts.module-100.discharge_a", 35.04, 35.02, (("rules.parallel_share", 0.9),)),
    Edge("battery.discharge", "parts.module-100.discharge_a", 63.06, 63.05, (*ALONE, ("rules.parallel_share", 0.9))),
    Edge("battery.surge", "parts.module-100.surge_a", 45.32, 45.31, (("rules.parallel_share", 0.9),)),
]
CONVERTERS = [
    Edge("inverter.present", "fitted.inverter", FITTED["inverter"], GONE),
    Edge("inverter.power", "loads.kettle.watt_w", 925, 926),  # 1300 - 0.025 x 1500 x 10
    Edge("inverter.surge", "loads.kettle.surge_w", 2500, 2501),
    # (800 / 0.9 + 90) / 10.5 = 93.228 A; (12.8 - 10.5) / 93.228 = 24.671 mohm, of which modules 2, joints 0.75,
    # 0.386 x 2 x (1.6 + 0.6) x 1.1965 = 2.032 in cables, 0.386 x 0.74 / 2 x 1.1965 = 0.171 in links
    Edge("inverter.sag", "parts.isolator-300.resistance_mohm", 19.71, 19.73),
    Edge("inverter.transfer", f"{INVERTER}.transfer_a", 10, 9.99, given=((f"{INVERTER}.charge_a", 10),)),  # the inlet's
    # 30 x 14.4 / 0.9 / 12.3 = 39.024 of 120
    Edge("charge.alternator", "rules.alternator_share", 0.3253, 0.3252),
    Edge("charge.plug", "alternator.plug_a", 39.03, 39.02),
    Edge("charge.inlet", "inlet.rating_a", 4.27, 4.26),  # (30 x 14.4 / 0.9 + 500) / 230
    # 2 x 1280 x 0.9 x 0.85 / (0.75 x 30 x 12.8 x 0.975)
    Edge("charge.generator", "generator.watt_w", 480.1, 479.9, GENERATOR),  # 30 x 14.4 / 0.9
    Edge("charge.generator", "generator.watt_w", 980.1, 979.9, (*GENERATOR, *FIRE_ON_IT)),  # and 500
    Edge("charge.recharge", "limits.recharge_h", 6.98, 6.97),
    Edge("charge.asked_for[alternator_charger]", "brief.alternator_charger", "may", "no"),
    Edge("charge.asked_for[mains_charger]", "fitted.mains_charger", FITTED["mains_charger"], GONE),
    Edge("charge.step_down", "parts.step-down-24.out_a", 7.5, 7.49, given=AT_24_V),  # (60 + 30) / 12
]
WARM = [
    # on hook-up, where a mains charger is warm and the alternator charger is not: 85.574 without the mains charger
    Edge("bay.heat[locker]", "parts.mains-charger-30.heat_w", 113.80, 113.82),
    # what its own sun gives warms an alternator charger on hook-up as well: 40 x 14.4 (1 / 0.9 - 1) = 64; with the 48
    # of the mains charger 187.667
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 11.70, 11.72, OWN_SUN),
    # the row's own watts, where they are more than the loss: 85.574 and 124.667 of others
    Edge("bay.heat[locker]", f"{CHARGER}.heat_w", 113.80, 113.82),
    Edge("bay.heat[locker]", "parts.regulator-20.heat_w", 74.70, 74.72),
    # two grilles 105.47; a kettle that is on for half of its hour 300 (1 / 0.9 - 1) = 33.33 less
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 119.52, 119.55, TWO_GRILLES),
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 100.12, 100.15, (("loads.kettle.duty_pct", 50),)),
    # a cabin as warm as the bay may be: the walls alone
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 14.06, 14.07, HOT_CABIN),
    # the hottest of all scenarios
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 66.79, 66.81, (AND_A_COOLER_ONE,)),
]
BAYS = [
    Edge("bay.board[busbar]", "fitted.busbar.x_mm", 0, -1),
    Edge("bay.board[shunt_row]", "fitted.shunt_row.x_mm", 800, 801),  # two of 100 on 1000
    Edge("bay.orientation[bank]", "fitted.bank.orientation", "flat", "side"),
    Edge("bay.orientation[bank]", "parts.module-100.mounts", "either", "wall"),
    Edge("bay.depth[bank]", "boards.floor.depth_mm", 290, 289),  # 210 + 20, and a holder of 60 on its terminal
    Edge("bay.depth[bank]", "boards.floor.depth_mm", 270, 269, given=MODULES_FUSED),  # holders of 40 on it
    Edge("bay.depth[fuse_row]", "parts.holder-row.height_mm", 80, 81),  # and 20 before it, of 100
    Edge("bay.opening[bank]", "bays.box.opening_width_mm", 170, 169),
    Edge("bay.clearance[busbar]", "fitted.busbar.x_mm", 20, 19),
    Edge("bay.clearance[isolator]", "fitted.isolator.x_mm", 170, 169),
    # 600 (1 / 0.9 - 1) + 5 + 4 others of 1 W, regulator 20 x 14.4 (1 / 0.97 - 1) = 8.907, alternator charger while
    # driving 30 x 14.4 (1 / 0.9 - 1) = 48: 132.574 without the isolator; walls 3 x 3.76 x 13 = 146.64,
    # stack 1206 x 18 x 0.6 x 0.01 / sqrt 2 x sqrt(2 x 9.81 x 0.3 x 18 / 323.15) = 52.73
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 66.80, 66.81),
    # the cabin 5 K above outside leaves the vents 13 K: 52.73 x (13 / 18)^1.5 = 32.36, and 46.43 for the isolator
    Edge("bay.heat[locker]", "parts.isolator-300.heat_w", 46.43, 46.44, (("bays.locker.air", "cabin"),)),
    # walls warmer than the air let heat in: 4 x 52.735 of the vents less 133.574 let them be 6.859 K warmer than 50 C
    Edge("bay.heat[locker]", "bays.locker.rise_k", 24.85, 24.87, (("parts.grille.free_area_cm2", 400),)),
    *WARM,
    Edge("bay.heat[nose]", "existing.old_battery.heat_w", 162.45, 162.47),  # walls 146.64, 30 of 100 cm2 of 52.73
    # walls of the bank's bay 3 x 3.76 x (45 - 32 - 5) = 90.24, of two modules
    Edge("bay.heat[box]", "parts.module-100.heat_w", 45.12, 45.13),
    Edge("bay.heat[box]", "parts.module-100.charge_max_c", 37.2, 37.1),  # 2 W / 11.28 W/K above 37
    Edge("bay.vents[locker]", "bays.locker.cut_out_max_cm2", 450, 449),
    Edge("bay.vents[locker]", "bays.locker.cut_out_max_cm2", 900, 899, TWO_GRILLES),
    # middles 700 apart and 30 mm below and above leave 40 of 800 mm, the lowest slot a grille is made for
    Edge("bay.vent_place[locker]", "bays.locker.stack_mm", 700, 701),
    # 300 apart they can be 270 high: 2538 cm2 are 940 mm long, with 30 mm at both ends the 1000 opposite the wall
    Edge("bay.vent_place[locker]", "parts.grille.cut_out_cm2", 5076, 5077, (("bays.locker.cut_out_max_cm2", 6000),)),
    Edge("bay.hydrogen[nose]", "bays.nose.air", "closed", "cabin"),
    Edge("bay.hydrogen[nose]", "bays.nose.vent_cm2", 16.8, 16.7),  # 28 x 0.05 x 6 x 20 x 100 / 1000
    Edge("bay.electronics[busbar]", "bays.locker.electronics", True, False),
    Edge("bay.electronics[inverter]", "bays.locker.air", "closed", "sealed"),
    Edge("bay.cable_opening[busbar]", "fitted.busbar.x_mm", 60, 61, HOLE_FROM_160),
    Edge("bay.space[switch]", "fitted.switch.y_mm", 420, 421, BEFORE_THE_BOX),  # 600 less 60 and 20, less 100
    Edge("bay.reach[isolator]", "boards.wall.reach", True, False),
    Edge("bay.reach[fuse_row]", "boards.wall.reach", True, False),
    Edge("bay.sight[display]", "boards.wall.sight", True, False),
    Edge("bay.mass[box]", "bays.box.mass_max_kg", 2.15, 2.149),  # two modules, holder and fuse, 0.15 of links
    Edge("bay.mass[box]", "bays.box.mass_max_kg", 4.15, 4.149, MODULES_FUSED),  # and two holders with fuses on them
    # five of 30 mm end at 230, 20 before the shunts; the fuse of what goes outside is at the panel
    Edge("bay.clearance[fuse_row]", "fitted.fuse_row.x_mm", 80, 81, POWER_OUTSIDE),
]
CABLES = [
    Edge("run.complete[dc_loads]", "runs.dc_loads.ways", ("loads_way",), ()),
    Edge("run.complete[dc_loads]", "runs.dc_loads.cable", "dc-6", "data"),
    Edge("run.complete[solar_a]", "runs.solar_a.fuse", "", "fuse-10"),
    Edge("run.complete[main_fuse]", "runs.main.fuse", "fuse-200", "fuse-175"),  # not that holder's
    Edge("run.complete[main_fuse]", "parts.fuse-200.holder", "holder-main", "holder-row"),
    # not on a terminal that is taken
    Edge("run.complete[main_fuse]", "parts.holder-main.on_terminal", False, True, given=MODULES_FUSED),
    Edge("run.complete[bank]", "bank.fuse", "fuse-125", "fuse-175", given=MODULES_FUSED),  # not on the terminal
    # 2 x 300 of cable: the fuse row ends at 200, 50 above the charger and 200 above the busbar
    Edge("run.length[mains_charger]", "fitted.mains_charger.x_mm", 550, 551),
    # the negative core by itself, 350 above the busbar's end at 150
    Edge("run.length[regulator_1]", "fitted.regulator_1.x_mm", 400, 401, (("fitted.regulator_1.y_mm", 500),)),
    Edge(
        "run.length[inverter]", "fitted.shunt_row.x_mm", 400, 401, MUCH_DROP
    ),  # 250, 200 from the busbar, 100, 50 back
    Edge("run.length[alternator]", "fitted.alternator_charger.x_mm", 550, 551, (("fitted.mains_charger.x_mm", 400),)),
    Edge("run.length[inverter_out]", "fitted.mains_box.x_mm", 850, 851),  # the inverter ends at 300, 50 below it
    Edge("run.length[mains_feed]", "fitted.mains_box.x_mm", 550, 551, CHARGER_ASIDE),  # 400 and 200
    Edge("run.section[dc_loads]", "rules.dc_section_min_mm2", 6, 6.1),
    Edge("run.section[mains_inlet]", "rules.main_section_min_mm2", 2.5, 2.6),
    # 1500 / (0.9 x 12) + 90 / 12 = 146.389 A; x sqrt(75 / 65) in the way's duct, x sqrt(75 / 55) in bays at 50 C
    Edge("run.ampacity[main]", "parts.dc-50.duct_ampacity_a", 157.25, 157.24, LITTLE_FUSES),
    Edge("run.ampacity[main]", "parts.dc-50.ampacity_a", 170.95, 170.94, (*LITTLE_FUSES, COLD_ENDS)),
    Edge("run.ampacity[main]", "parts.dc-50.duct_ampacity_a", 188.99, 188.98, (*LITTLE_FUSES, HOT_WAY)),
    # where no figure for ducts is known three quarters: 157.25 / 0.75
    Edge("run.ampacity[main]", "parts.dc-50.ampacity_a", 209.67, 209.65, (*LITTLE_FUSES, NOT_KNOWN_IN_DUCTS)),
    Edge("run.ampacity[main]", "ways.main_way.closed", False, True, (*LITTLE_FUSES, WEAK_IN_DUCTS)),
    # 20 A in its bay at 50 C: x sqrt(75 / 55)
    Edge("run.ampacity[regulator_1]", "parts.dc-6.ampacity_a", 23.36, 23.35, (*LITTLE_FUSES, COLD_ENDS)),
    # 65 x sqrt(55 / 75) in the locker at 50 C
    Edge("run.ampacity[dc_loads]", "parts.step-down-24.out_a", 37.1, 37.2, given=(*AT_24_V, COLD_ENDS)),  # 1.5 of it
    # 270 x sqrt(45 / 75) on terminals of 75 C; 200, the fuse's, of 270 at 71.152 C; 146.389, the load's, at 52.047 C
    Edge(
        "run.terminal_heat[dc_loads]", "parts.step-down-24.out_a", 33.5, 33.6, given=AT_24_V
    ),  # 65 x sqrt(45 / 75) / 1.5
    Edge("run.terminal_heat[main]", "rules.terminal_c", 71.16, 71.15),
    Edge("run.terminal_heat[main]", "rules.terminal_c", 52.05, 52.04, LITTLE_FUSES),
    # 220 x sqrt(65 / 75) = 204.81 in the way's duct at 40 C; 200 of 220 where insulation is of 87.619 C
    Edge("run.copper[main]", "parts.fuse-200.rating_a", 204.8, 204.9, (ANY_FUSE,)),
    Edge("run.copper[main]", "parts.dc-50.insulation_c", 87.62, 87.61, (ANY_FUSE,)),
    # a link is 320 from module to module and 2 x 210 up and over, as nobody measured terminals: half of the current in
    # 0.74 m; so 146.389 x (2 x 1.6 m + 0.37 m) x 0.386 x 1.1965 / 1000 = 0.24137 of 12
    Edge("run.drop[main]", "rules.drop_share_inverter", 0.02012, 0.02011),
    # and 138.889 x 2 x 0.6 m more to the inverter: 0.31834; or 7.5 x 2 x 1.8 m x 3.3 more to the panel: 0.34798
    Edge("run.drop[inverter]", "rules.drop_share_inverter", 0.02653, 0.02652),
    Edge("run.drop[dc_loads]", "rules.drop_share", 0.02900, 0.02899),
    # with 1.5 A outside: 147.889 and 9 A to the panel, and 1.5 x 2 x 1.1 m x 3.3 through the wall: 0.384799
    # 39.024 A x 2 x 6.3 m x 0.78 x 1.1965 / 1000 = 0.45889; the inlet's 10 A x 2 x 1.3 m x 7.98: 0.24825 of 230
    Edge("run.drop[alternator_feed]", "rules.drop_share_feed", 0.03825, 0.03823),
    Edge("run.drop[mains_inlet]", "rules.drop_share_mains", 0.00108, 0.00107),
    Edge("run.drop[pass_aerial]", "rules.drop_share", 0.03207, 0.03206, given=POWER_OUTSIDE),
    Edge("run.terminal[main]", "parts.busbar-250.terminal_mm2", 50, 49),
    Edge("run.terminal[main]", "parts.module-100.terminal_mm2", 50, 49),
    Edge("run.terminal[dc_loads]", "parts.holder-row.terminal_mm2", 6, 5),
    Edge("run.fuse_over_load[main]", "rules.fuse_over_load", 1.366, 1.367),  # 200 / 146.389
    Edge("run.fuse_over_load[alternator]", "parts.fuse-50.rating_a", 50, 49.9, OWN_SUN),  # 1.25 x 40
    Edge("run.fuse_over_load[inverter]", "runs.inverter.fuse", "fuse-175", ""),
    Edge("run.fuse_under_cable[main]", "rules.fuse_of_ampacity", 0.977, 0.976),  # 200 / 220 / sqrt(65 / 75)
    # 14.6 V through 2 mohm, at the busbar with 0.386 x 3.2 m more
    Edge("run.fuse_breaking[main]", "parts.fuse-200.breaking_12v_a", 7300, 7299),
    Edge("run.fuse_breaking[inverter]", "parts.fuse-175.breaking_12v_a", 4513, 4512),
    Edge("run.fuse_breaking[inverter]", "parts.fuse-175.breaking_12v_a", 4513, 0),  # not for that voltage
    Edge("run.fuse_breaking[alternator_feed]", "parts.fuse-50.breaking_12v_a", 5000, 4999),
    Edge("run.fuse_breaking[alternator_feed]", "alternator.fault_a", 8000, 8001),
    # and behind the panel's run with 3.3 x 2 x 1.8 m more
    Edge("run.fuse_breaking[pass_aerial]", "parts.fuse-10.breaking_12v_a", 966, 965, given=POWER_OUTSIDE),
    Edge("run.fuse_over_load[pass_aerial]", "runs.pass_aerial.fuse", "fuse-10", "", given=POWER_OUTSIDE),
    Edge("run.fuse_voltage[main]", "parts.fuse-200.volt_max_v", 14.6, 14.5),
    Edge("run.fuse_holder[main]", "parts.holder-main.rating_max_a", 200, 199),
    Edge("run.fuse_holder[inverter]", "parts.holder-row.rating_max_a", 175, 174),
    Edge("run.fuse_holder[inverter]", "parts.holder-row.on_terminal", False, True),
    # far corners: 770 + 100 - 50 along, 270 - 100 across, 210 + 20 up
    Edge("run.fuse_distance", "rules.fuse_distance_mm", 1220, 1219, given=(OFF_TERMINAL,)),
    # behind fuses of the strings body to body: the bank ends at 50 + 2 x 300 + 20
    Edge("run.fuse_distance", "fitted.main_fuse.x_mm", 870, 871, given=MODULES_FUSED),
    # 50 from the bank to the corner, 300 - 270 along it, 20 up
    Edge("run.fuse_distance", "rules.fuse_distance_mm", 100, 99, given=(*FUSE_ROUND_THE_CORNER, *MODULES_FUSED)),
    Edge("run.tail_distance", "rules.tail_distance_mm", 200, 199),  # the busbar ends at 150, the row begins at 350
    Edge(
        "run.tail_distance", "rules.tail_distance_mm", 300, 299, given=ROW_ON_THE_OTHER_WALL
    ),  # the cable allowance of the bay
    # the corner is 50 from the busbar, and 600 - 200 from the row; the heights overlap
    Edge("run.tail_distance", "rules.tail_distance_mm", 450, 449, given=(*ROW_ROUND_THE_CORNER, *MUCH_DROP)),
    # 50 along and 200 across
    Edge(
        "run.tail_distance", "fitted.fuse_row.x_mm", 200, 201, (TAIL_OF_250, ("fitted.shunt_row.x_mm", 600), *MUCH_DROP)
    ),
    Edge("way.fill[roof_way]", "ways.roof_way.bore_mm", 13, 12),  # 2 x 5^2 / 0.31 = 12.7^2
    Edge("way.apart[main_way]", "runs.mains_feed.ways", (), ("main_way",)),
    Edge("way.carries[inlet_way]", "ways.inlet_way.carries", "any", "low"),
    Edge("way.carries[tv_way]", "ways.tv_way.carries", "any", "mains"),
    Edge("protect.isolator", "parts.isolator-300.rating_a", 200, 199),  # as much as the main fuse
    Edge("protect.busbar", "parts.busbar-250.rating_a", 200, 199),
    Edge(
        "protect.isolator", "parts.isolator-300.rating_a", 146.39, 146.38, LITTLE_FUSES
    ),  # 1500 / (0.9 x 12) + 90 / 12
    Edge("protect.busbar", "parts.busbar-250.rating_a", 146.39, 146.38, LITTLE_FUSES),
    Edge("protect.studs", "parts.busbar-250.studs", 5, 4),
    Edge("protect.mains_box", "parts.mains-box-2.circuits", 2, 1),
    Edge("protect.inlet_breaker", "parts.mains-box-2.inlet_a", 10, 9.9),
]
COLD_BANK = (("parts.module-100.capacity_0c_pct", 80), ("scenarios.summer.temp_min_c", -3))  # 0 C in its bay
REST = [
    Edge("measure.channels[40 A]", "parts.shunt-4x50.rating_a", 40, 39),  # fuses of both chargers, not their 30 A
    Edge("measure.channels[175 A]", "parts.shunt-1x300.rating_a", 175, 174),
    Edge("measure.channels[6.5 A]", "parts.shunt-4x50.channels", 4, 3),
    # cables of both chargers on the hub, that of the inverter on the shunt
    Edge("measure.channels[16 mm2]", "parts.shunt-4x50.terminal_mm2", 16, 15),
    Edge("measure.channels[50 mm2]", "parts.shunt-1x300.terminal_mm2", 50, 49),
    Edge("measure.display", "parts.display-8.channels", 5, 4),
    Edge("measure.switch", "fitted.switch", FITTED["switch"], GONE),
    Edge("entry.sealing[sun]", "parts.gland.ip_class", 65, 64),
    Edge("entry.sealing[aerial]", "parts.pass.ip_class", 54, 53),
    Edge("entry.cables[sun]", "parts.gland.cables", 2, 1),
    Edge("entry.cables[sun]", "parts.gland.outside_max_mm", 5, 4.9),
    Edge("entry.cables[aerial]", "parts.pass.carries", "any", "power"),
    Edge("entry.outside_wall[aerial]", "boards.side.outside_wall", True, False),
    # full at 7, then 24 + 8.1 own draw, then 600 / 0.9 more: 2304 - 730.87 / 0.975 = 1554.4 of 2304
    Edge("energy.floor[summer]", "limits.soc_floor_pct", 67.4, 67.5, given=(NO_SUN,)),
    Edge("energy.returns[summer]", "scenarios.summer.start_pct", 67.4, 67.5, (NO_SUN, ("scenarios.summer.hours", 9))),
    # 2304 x 0.85 x 0.975 / 24 / (24 + 30 x 5 / 24 + 600 / 24 / 0.9 + 8.1)
    Edge("energy.autonomy", "limits.autonomy_days", 1.203, 1.204),
    # as cold keeps back more than the floor: 1554.4 of 2304 are left, and 1.2032 x 80 / 85
    Edge("energy.floor[summer]", "parts.module-100.capacity_0c_pct", 32.6, 32.5, given=(NO_SUN, *COLD_BANK)),
    Edge("energy.autonomy", "limits.autonomy_days", 1.132, 1.133, given=COLD_BANK),
    Edge("mass.payload", "vehicle.payload_kg", 20.51, 20.509),
    # kg x mm ahead of the axle: panels -900 and 130, box 2.15 x 500, locker 11 x -500, wiring 5.36 x 666.67
    Edge("mass.axle[axle]", "vehicle.axle_max_kg", 921.06, 921.04),  # 900 + 20.51 + 1621.67 / 3000
    Edge("mass.hitch_low", "vehicle.hitch_min_kg", 59.45, 59.47),  # 60 - 1621.67 / 3000
    Edge("mass.hitch_high", "vehicle.hitch_max_kg", 59.461, 59.45),
    Edge("mass.balance", "vehicle.balance_max_kg", 1.012, 1.011),  # 2 x 2 x 455 / 1800
    Edge("mass.payload", "vehicle.payload_kg", 22.51, 22.509, MODULES_FUSED),  # two holders with fuses
    Edge("money.budget", "limits.budget", 721.75, 721.74),
    Edge("money.budget", "limits.budget", 791.75, 791.74, MODULES_FUSED),
    Edge("claim.cost", "claim.cost_cents", 72_175, 72_176),
    Edge("claim.mass", "claim.mass_g", 20_510, 20_509),
]
EDGES = [
    *ROOF,
    *STRINGS,
    *STRING_FUSES,
    *PANELS,
    *BREAKERS,
    *BATTERY,
    *CONVERTERS,
    *BAYS,
    *CABLES,
    *REST,
    *SIZES,
    *PREFERENCES,
]
