"""Requirements in pairs: a world of the one by hand that just keeps each, and one that just breaks it."""

from collections.abc import Callable
from typing import Any, NamedTuple

from optimiser import builds as b
from tests import edges, handmade
from tests.asking import Change, Changes
from tests.edges import (
    ANY_FUSE,
    COLD_BANK,
    COLD_ENDS,
    LITTLE_FUSES,
    MODULES_FUSED,
    OFF_TERMINAL,
    OWN_SUN,
    POWER_OUTSIDE,
)
from tests.edges_places import MUCH_DROP
from tests.worlds import (
    AT_24_V,
    BANK_BESIDE_THE_BUSBAR,
    CHARGER_IN_THE_NOSE,
    DATA_BESIDE,
    FROM_24_V,
    FUSED_AT_24_V,
    FUSES_ACROSS,
    LONG_AMONG_THEM,
    THREE_FUSED,
)


class Pair(NamedTuple):
    """A requirement of a place, and a valid and an invalid world as changes of the one by hand."""

    requirement: str
    inside: Changes
    outside: Changes

    @property
    def base(self) -> str:
        return self.requirement.partition("[")[0]

    @property
    def label(self) -> str:
        return f"{self.requirement}-{self.outside[-1][0]}"


def pair(requirement: str, knob: str, inside: Any, outside: Any, *given: Change) -> Pair:
    """One knob on either side of the limit."""
    return Pair(requirement, (*given, (knob, inside)), (*given, (knob, outside)))


def without(*names: str) -> Changes:
    """The build without these slots and runs."""
    build = handmade.build()
    fitted = tuple(f for f in build.fitted if f.slot not in names)
    return (("fitted", fitted), ("runs", tuple(r for r in build.runs if r.name not in names)))


def all_but(base: str) -> Callable[[str], bool]:
    """Active: every requirement but this."""
    return lambda name: name.partition("[")[0] != base


# --- the table ---------------------------------------------------------------------------------------

RUNS = handmade.build().runs
ISOLATOR_MOHM = "parts.isolator-300.resistance_mohm"
INVERTER = "parts.inverter-1500"
BARE = (("parts.busbar-250.clear_length_mm", 0), ("parts.busbar-250.clear_width_mm", 0))
SHUNTS = ("shunt-1x300", "shunt-4x50")
BARE_SHUNTS = tuple((f"parts.{shunt}.clear_{side}_mm", 0) for shunt in SHUNTS for side in ("length", "width"))
ONE_ABOVE_THE_OTHER = (("bank.rows", 2), ("bank.columns", 1), ("boards.floor.width_mm", 600))  # ends at x 350
FAR_CORNERS = ("rules.fuse_distance_mm", 1190)
LONG_LEAD = ("bays.locker.cable_allowance_mm", 400)  # runs inside it may be 800 long
NEAR_THE_END = (LONG_LEAD, ("fitted.regulator_1.x_mm", 650))
NO_SUN = ("scenarios.summer.clearness", 0.0)
ONLY_DC = ("loads", tuple(load for load in handmade.case().loads if load.supply == "dc"))
NO_DAYS = ("limits.autonomy_days", 0)
INLET_BREAKER = ("parts.mains-box-2.inlet_a", 20)
STRICT_FUSES, LESS = (("rules.fuse_of_ampacity", 0.9), ("parts.fuse-200.rating_a", 183)), ("rules.fuse_over_load", 1.2)
CHARGED_THROUGH_20_A = ("parts.fuse-200.rating_a", 20)  # so that the charge of 50 A comes first
THIN_FROM_THE_ENGINE = ("runs.alternator.cable", "dc-6")
OTHER_FUSE: Changes = (("runs.step_down.fuse", "fuse-30"),)
ANY_DROP = ("rules.drop_share_inverter", 0.05)
ISOLATOR_THERE = (
    *((f"fitted.isolator.{key}", value) for key, value in (("board", "locker.floor"), ("x_mm", 500), ("y_mm", 20))),
    ("boards.floor.reach", True),
)
THICK = (("parts.dc-50.duct_ampacity_a", 300), ("parts.dc-50.ampacity_a", 400))
WEAK_CABLE = ("parts.dc-50.duct_ampacity_a", 200)  # not enough beside others


def beside(*pieces_mm: int) -> Changes:
    """The main way in pieces, the loads' run beside the main run in all of them, or in all but a long first one."""
    nodes = ["box", *(f"joint_{k}" for k in range(1, len(pieces_mm))), "locker"]
    pieces = tuple(
        handmade.way(f"piece_{k}", nodes[k - 1], nodes[k], mm, 60) for k, mm in enumerate(pieces_mm, start=1)
    )
    names = tuple(way.name for way in pieces)
    end = nodes[1] if len(pieces_mm) > 1 and pieces_mm[0] > 610 else "box"
    return (
        ("ways", (*pieces, *(w for w in handmade.case().ways if w.name not in ("main_way", "loads_way")))),
        *(("rules." + figure, 0.05) for figure in ("drop_share_inverter", "drop_share")),
        ("brief.dc_panel_point", end),
        ("runs.main.ways", names),
        ("runs.dc_loads.end", end),
        ("runs.dc_loads.ways", tuple(reversed(names if end == "box" else names[1:]))),
    )


NO_KETTLE: Changes = (
    ("loads", tuple(load for load in handmade.case().loads if load.name != "kettle")),
    *without("inverter", "switch", "inverter_out"),
)
THICK_TO_THE_PANEL: Changes = (("runs.dc_loads.cable", "dc-50"), ("ways.loads_way.bore_mm", 60))
LOADS_AT_THE_INLET = (
    ("brief.dc_panel_point", "inlet_point"),
    ("runs.dc_loads.end", "inlet_point"),
    ("runs.dc_loads.ways", ("inlet_way",)),
    ("ways.inlet_way.carries", "any"),
)
TRANSFERS = (
    (f"{INVERTER}.charge_a", 10),
    ("runs", (*RUNS, b.Run("inverter_in", "locker", "locker", (), "mains-2.5"))),
)
NO_HOOK_UP: Changes = (
    ("brief.mains_charger", "no"),
    ("limits.recharge_h", None),
    ("scenarios.summer.returns", False),
    *without("mains_charger", "mains_feed"),
)


SOME_W, SOME_A = ("limits.inverter_w", 1), ("limits.mains_charge_a", 1)
MAY_CHARGE: Changes = (("brief.mains_charger", "may"), *without("mains_charger", "mains_feed"))


PANELS = (  # beside each other behind the hatch, and one ahead of it
    b.PlacedPanel("roof", "panel-100", 600, 200, rotated=False, string="a.1"),
    b.PlacedPanel("roof", "panel-flex", 1630, 200, rotated=False, string="b.1"),
    b.PlacedPanel("roof", "panel-fold", 2200, -400, rotated=False, string="c.1"),
)
ONE_EACH = tuple(
    b.PanelArray(p.string[0], p.panel, "sun", 1, 1, f"regulator_{k}") for k, p in enumerate(PANELS, start=1)
)


def types(count: int) -> Changes:
    """So many types of panel on the roof, one panel of each on a regulator of its own."""
    arrays, wall = ONE_EACH[:count], "locker.wall"
    places = ((50, 500), (350, 500))[: count - 1]
    more = [b.Fitted(f"regulator_{k}", "regulator-20", wall, *place) for k, place in enumerate(places, start=2)]
    wires = [
        run
        for k, array in enumerate(arrays[1:], start=2)
        for run in (
            b.Run(f"regulator_{k}", "locker", "locker", (), "dc-6", "fuse-30"),
            b.Run(f"solar_{array.name}", "roof_point", "locker", ("roof_way",), "solar-6"),
        )
    ]
    return (
        ("parts.panel-fold.kind", "rigid"),
        *((f"parts.{p.panel}.{key}", v) for p in PANELS for key, v in (("vmp_v", 30), ("voc_v", 36))),
        ("parts.busbar-250.studs", 8),
        ("limits.regulators_at_most", 3),
        ("fitted", (*handmade.build().fitted, *more)),
        ("runs", (*RUNS, *wires)),
        ("measuring", (b.Measuring("shunt-1x300", 1), b.Measuring("shunt-4x50", 2))),
        ("entries.sun.count", count),
        ("panels", PANELS[:count]),
        ("arrays", arrays),
        *(("fitted.shunt_row.x_mm", 300), *MUCH_DROP),  # the fuse row is longer
    )


REGULATOR = handmade.catalogue().of("regulators")["regulator-20"]
TWINS: Changes = (
    ("more.regulators", REGULATOR.model_copy(update={"name": "regulator-21"})),
    ("preferences.twins_alike", True),
)

# In the audit's table these breach more than one requirement, or cannot be said in the model, or are nearer
# than it rounds; rows below take their place.
APART = {
    "roof.inside[roof]",
    "roof.overlap[roof]",
    "roof.body[hatch]",
    "battery.parallel[block]",
    "inverter.present",
    "inverter.power",
    "inverter.transfer",
    "charge.asked_for[mains_charger]",
    "charge.step_down",
    "bay.board[busbar]",
    "bay.board[shunt_row]",
    "bay.heat[locker]",
    "bay.hydrogen[nose]",
    "run.ampacity[dc_loads]",
    "run.terminal_heat[dc_loads]",
    "run.drop[main]",
    "run.terminal[dc_loads]",
    "run.fuse_over_load[main]",
    "run.fuse_over_load[inverter]",
    "run.fuse_over_load[pass_aerial]",
    "run.fuse_distance",
    "way.apart[main_way]",
    "measure.switch",
    "energy.floor[summer]",
    "energy.autonomy",
    "claim.cost",
    "claim.mass",
}

OWN = [
    pair("roof.inside[roof]", "panels.0.x_mm", 500, 499, ("zones.roof.set_back_mm", 0)),
    pair("roof.inside[roof]", "panels.0.y_mm", 390, 391, ("zones.roof.set_back_mm", 0)),
    pair("roof.overlap[roof]", "panels.1.x_mm", 1600, 1599, ("limits.panel_gap_mm", 0)),
    pair(
        *("roof.body[hatch]", "panels.1.y_mm", -200, -201, ("obstacles.hatch.clear_mm", 0)),
        *(("obstacles.hatch.height_mm", 0), ("obstacles.hatch.lid_side", "none")),
    ),
    pair("roof.mass[roof]", "zones.roof.mass_max_kg", 4.1, 4.099, ("parts.panel-100.mass_kg", 1.55)),
    Pair("roof.types[roof]", types(2), types(3)),
    pair("preference.panel_types", "preferences.panel_types_at_most", 2, 1, *types(2)),
    pair("preference.twins", "fitted.regulator_2.part", "regulator-20", "regulator-21", *types(2), *TWINS),
    Pair("inverter.present", (), without("inverter", "switch", "inverter_out")),
    pair("inverter.power", "loads.kettle.watt_w", 925, 926, NO_DAYS),
    pair("inverter.transfer", f"{INVERTER}.transfer_a", 10, 9.99, *TRANSFERS),
    # (25.6 - 21) / ((800 + 90) / 0.9 / 21) = 97.685 mohm, of which modules 8, joints 0.75, cables 2.032, links 0.556
    pair("inverter.sag", ISOLATOR_MOHM, 86.34, 86.35, *AT_24_V),
    # one that only charges: (12.8 - 10.5) / (90 / 10.5) = 268.33 mohm, of which modules 2, links 0.160
    pair("inverter.sag", ISOLATOR_MOHM, 263.38, 263.39, *TRANSFERS, (f"{INVERTER}.transfer_a", 20), ONLY_DC),
    # an inverter-charger is warm by its row on hook-up alone, beside 61.907 of others
    pair("bay.heat[locker]", f"{INVERTER}.heat_w", 137.46, 137.48, *TRANSFERS, (f"{INVERTER}.transfer_a", 20)),
    pair("battery.lead_acid[nose]", "existing", (), handmade.case().existing, *CHARGER_IN_THE_NOSE),
    pair("battery.discharge", "parts.module-100.discharge_a", 31.95, 31.94, *AT_24_V),  # (600 + 90) / 0.9 / 24
    pair("battery.surge", "parts.module-100.surge_a", 41.21, 41.20, *AT_24_V),  # (800 + 90) / 0.9 / 21.6
    # 30 + 10 beside 20 A of sun
    pair("battery.charge[hook_up]", "parts.module-100.charge_a", 30, 29.99, *TRANSFERS, (f"{INVERTER}.transfer_a", 20)),
    # (480 of the charger, 160 of the inverter-charger, 600 of the kettle and 500 of the fire) / 230
    pair("charge.inlet", "inlet.rating_a", 7.57, 7.56, *TRANSFERS, (f"{INVERTER}.transfer_a", 20)),
    # of 1.25 x 73.611 A two strings carry half each; 29.2 V through the 8 mohm of the other
    pair("battery.module_over_load", "parts.fuse-125.rating_a", 46.01, 46.0, *FUSED_AT_24_V),
    pair("battery.module_breaking", "parts.fuse-125.breaking_24v_a", 3650, 3649, *FUSED_AT_24_V),
    pair("battery.module_over_load", "parts.fuse-125.rating_a", 31.25, 31.24, *NO_KETTLE, *MODULES_FUSED),  # charging
    # three strings: 14.6 V through half of 4 mohm
    pair("battery.module_breaking", "parts.fuse-125.breaking_12v_a", 7300, 7299, *THREE_FUSED),
    # a starter battery of 24 V: 30 x 14.4 / 0.9 / 24.6 = 19.512 of 120
    pair("charge.alternator", "rules.alternator_share", 0.16261, 0.16259, *FROM_24_V),
    # 40 A of its own sun, 0.6 m of 6 mm2: 0.18953 of 12
    pair("run.drop[alternator]", "rules.drop_share", 0.01580, 0.01579, *NO_KETTLE, *OWN_SUN, THIN_FROM_THE_ENGINE),
    pair("run.drop[alternator_feed]", "rules.drop_share_feed", 0.00957, 0.00955, *FROM_24_V),  # half of 0.45889, of 24
    pair("run.fuse_voltage[alternator_feed]", "parts.fuse-50.volt_max_v", 29.2, 29.1, *FROM_24_V),
    pair("run.fuse_breaking[alternator_feed]", "parts.fuse-50.breaking_24v_a", 5000, 4999, *FROM_24_V),
    *(
        pair(f"protect.{slot}", f"parts.{part}.rating_a", 50, 49.9, *LITTLE_FUSES, *NO_KETTLE, CHARGED_THROUGH_20_A)
        for slot, part in (("isolator", "isolator-300"), ("busbar", "busbar-250"))
    ),
    pair("run.fuse_over_load[main]", "parts.fuse-200.rating_a", 62.5, 62.4, *NO_KETTLE),  # 1.25 x 50, charging
    pair("run.fuse_breaking[main]", "parts.fuse-200.breaking_24v_a", 3650, 3649, *AT_24_V),
    Pair(
        "charge.asked_for[mains_charger]",
        (("limits.recharge_h", None), ("scenarios.summer.returns", False)),
        (("limits.recharge_h", None), ("scenarios.summer.returns", False), *without("mains_charger", "mains_feed")),
    ),
    Pair(
        "charge.asked_for[mains_charger]",
        NO_HOOK_UP,
        (
            *NO_HOOK_UP,
            *((f"{INVERTER}.{key}_a", amps) for key, amps in (("charge", 10), ("transfer", 20))),
            ("runs", tuple(r for r in TRANSFERS[1][1] if r.name not in ("mains_charger", "mains_feed"))),
        ),
    ),
    pair("charge.step_down", "parts.step-down-24.out_a", 7.5, 7.49, *AT_24_V),
    pair("bay.board[busbar]", "fitted.busbar.x_mm", 900, 901, *BARE, *NEAR_THE_END, *MUCH_DROP),  # 100 of 1000
    pair("bay.board[shunt_row]", "fitted.shunt_row.x_mm", 800, 801, *BARE_SHUNTS, *MUCH_DROP),  # two of 100
    # 600 (1 / 0.9 - 1) + 5 + 4 others of 1 W, regulator 8.907 and alternator charger 48: 132.57; 199.375 are carried
    pair("bay.heat[locker]", "parts.isolator-300.heat_w", 66.79, 66.81),
    pair("bay.heat[locker]", "parts.isolator-300.heat_w", 46.42, 46.44, ("bays.locker.air", "cabin")),
    # at 24 V the regulator 20 x 28.8 (1 / 0.97 - 1) = 17.814, the mains charger 30 x 28.8 (1 / 0.9 - 1) = 96
    pair("bay.heat[locker]", "parts.isolator-300.heat_w", 8.88, 8.90, *AT_24_V),
    # the same of an alternator charger whose solar input has no array
    pair("bay.heat[locker]", "parts.isolator-300.heat_w", 66.79, 66.81, *OWN_SUN[:5]),
    *(pair("bay.heat[locker]", *e[1:4], *e.given) for e in edges.WARM),
    # in the bank's bay no warmer than 45 C: walls 3 x 3.76 x (45 - 32 - 5) = 90.24 for 2 modules
    pair("bay.heat[box]", "parts.module-100.heat_w", 45.11, 45.13),
    pair("bay.hydrogen[nose]", "bays.nose.vent_cm2", 16.81, 16.79),  # 16.8 exactly; 0.01 cm2 for rounding
    pair("bay.vents[locker]", "parts.grille.cut_out_cm2", 4.1, 4.2, ("bays.locker.cut_out_max_cm2", 4.1)),
    pair("run.ampacity[dc_loads]", "parts.step-down-24.out_a", 37.1, 37.2, *AT_24_V, COLD_ENDS),
    pair("run.terminal_heat[dc_loads]", "parts.step-down-24.out_a", 33.5, 33.6, *AT_24_V),
    pair("run.ampacity[mains_inlet]", "inlet.rating_a", 16.26, 16.27, INLET_BREAKER),  # 23 x sqrt(20 / 40)
    *(
        pair("run.ampacity[main]", "parts.dc-50.duct_ampacity_a", 224.64, 224.63, *LITTLE_FUSES, *beside(*pieces))
        for pieces in ((1500,), (500, 500, 500), (890, 305, 306))  # 146.389 / 0.7 x sqrt(75 / 65)
    ),
    pair("run.ampacity[main]", "parts.dc-50.duct_ampacity_a", 157.25, 157.24, *LITTLE_FUSES, *DATA_BESIDE),
    # 300 x 0.7 x sqrt(65 / 75) = 195.50
    pair("run.copper[main]", "parts.fuse-200.rating_a", 195.4, 195.6, ANY_FUSE, *THICK, *beside(1500)),
    pair("run.length[step_down]", "fitted.step_down.x_mm", 400, 401, *AT_24_V),  # 250 and 350 from the busbar
    # 2 x 200 of cable: the bank ends at 320; by the isolator, from 500 to 600, it is 300
    pair("run.length[main]", "fitted.busbar.x_mm", 720, 721, *BANK_BESIDE_THE_BUSBAR, *ISOLATOR_THERE, *MUCH_DROP),
    pair("run.ampacity[main]", "ways.piece_1.length_mm", 610, 611, *LITTLE_FUSES, WEAK_CABLE, *beside(610)),
    pair("run.ampacity[main]", "ways.piece_3.length_mm", 305, 306, *LITTLE_FUSES, WEAK_CABLE, *beside(890, 305, 305)),
    pair("run.drop[dc_loads]", "rules.drop_share", 0.00889, 0.00888, *AT_24_V),  # 7.5 A, 1.8 m of 6 mm2, of 12 V
    pair("run.drop[dc_loads]", "rules.drop_share", 0.00992, 0.00991, *NO_KETTLE),  # 1.785 m of 50 mm2 before it
    pair("run.drop[main]", "rules.drop_share_inverter", 0.001031, 0.001030, *NO_KETTLE),  # 7.5 A, with links
    # main with links, 1210 mm, at 73.611 A and 4.1667 A of 0.6 m of 6 mm2: 0.169670 of 24 V
    pair("run.drop[step_down]", "rules.drop_share", 0.007070, 0.007069, *AT_24_V, *THICK_TO_THE_PANEL),
    # behind the step-down 9 A: 0.12793 to the panel and 0.01303 through the wall, of 12 V
    pair("run.drop[pass_aerial]", "rules.drop_share", 0.01175, 0.01174, *AT_24_V, *POWER_OUTSIDE[:-1]),
    pair("run.terminal[inverter]", "parts.holder-row.terminal_mm2", 50, 49),
    pair("run.terminal[alternator_feed]", "parts.alternator-charger-30.terminal_mm2", 25, 24),
    pair("run.fuse_over_load[main]", "parts.fuse-200.rating_a", 182.99, 182.98),  # 1.25 x 146.389
    pair("run.fuse_over_load[pass_aerial]", "parts.fuse-10.rating_a", 1.875, 1.874, *POWER_OUTSIDE),  # 1.25 x 1.5
    # 0.9 x 65 x sqrt(55 / 75) = 50.095; on its terminals it stands 50.35
    pair("run.fuse_under_cable[pass_aerial]", "parts.fuse-10.rating_a", 50, 50.1, *POWER_OUTSIDE, *STRICT_FUSES, LESS),
    # behind a step-down 1.5 times what it is rated for, at 14.6 V
    pair("run.fuse_breaking[pass_aerial]", "parts.fuse-10.breaking_12v_a", 30, 29.9, *AT_24_V, *POWER_OUTSIDE[:-1]),
    pair("run.fuse_voltage[pass_aerial]", "parts.fuse-10.volt_max_v", 14.6, 14.5, *POWER_OUTSIDE),
    pair(
        "run.fuse_voltage[pass_aerial]",
        "parts.fuse-10.volt_max_v",
        14.6,
        14.5,
        *AT_24_V,
        *POWER_OUTSIDE[:-1],
        *OTHER_FUSE,
    ),
    pair("run.fuse_distance", "fitted.main_fuse.x_mm", 550, 551, *ONE_ABOVE_THE_OTHER, *MODULES_FUSED),
    pair("run.fuse_distance", "rules.fuse_distance_mm", 1220, 1219, OFF_TERMINAL),
    # 650 - 50 along, 460 - 100 across, 230 up
    pair("run.fuse_distance", "fitted.main_fuse.x_mm", 550, 551, *ONE_ABOVE_THE_OTHER, OFF_TERMINAL, FAR_CORNERS),
    pair("run.tail_distance", "rules.tail_distance_mm", 290, 289, ("fitted.fuse_row.rotated", True), *FUSES_ACROSS),
    # a longer holder among them: 100 across
    pair("run.tail_distance", "rules.tail_distance_mm", 250, 249, *LONG_AMONG_THEM, *FUSES_ACROSS),
    pair(
        "run.tail_distance", "fitted.fuse_row.y_mm", 516, 517, ("fitted.fuse_row.x_mm", 800), *MUCH_DROP
    ),  # 650 and 366
    pair("run.tail_distance", "rules.tail_distance_mm", 200, 199, *FUSES_ACROSS),  # five of 30 mm side by side
    pair("way.apart[inlet_way]", "ways.inlet_way.divided", True, False, *LOADS_AT_THE_INLET),
    Pair("measure.switch", (), without("switch")),
    pair("entry.cables[aerial]", "parts.pass.outside_max_mm", 5, 4.9),
    pair("energy.floor[summer]", "limits.soc_floor_pct", 67.4, 67.5, NO_SUN, NO_DAYS),
    pair("energy.floor[summer]", "parts.module-100.capacity_0c_pct", 32.6, 32.5, NO_SUN, NO_DAYS, *COLD_BANK),
    # three quarters of 30 A at 24 V too: amperes are counted as they are, Ah of 2 x 100 Ah in series twice
    pair("size.mains_charge", "limits.mains_charge_a", 22.5, 22.51, *AT_24_V),
    pair("size.bank", "limits.bank_ah", 200, 200.1, *AT_24_V),
    # three quarters of 30 A and of 10 A of an inverter-charger
    pair("size.mains_charge", "limits.mains_charge_a", 30, 30.01, *TRANSFERS, (f"{INVERTER}.transfer_a", 20)),
    Pair("size.inverter", (*NO_KETTLE[:1], SOME_W), (*NO_KETTLE, SOME_W)),  # that nothing draws on
    Pair("size.mains_charge", (*NO_HOOK_UP[1:3], SOME_A), (*NO_HOOK_UP[1:3], *MAY_CHARGE, SOME_A)),
    pair("energy.autonomy", "limits.autonomy_days", 1.130, 1.134, *COLD_BANK),  # 1.2032 x 80 / 85
    pair("energy.autonomy", "limits.autonomy_days", 1.200, 1.204),  # 1.2032; each draw is rounded up to 0.1 W
]
PAIRS = [
    *(pair(e.requirement, e.knob, e.inside, e.outside, *e.given) for e in edges.EDGES if e.requirement not in APART),
    *OWN,
]
