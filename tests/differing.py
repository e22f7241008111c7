"""Pairs of handmade builds, one for each kind of change, with what a fitter would say of it."""

from dataclasses import replace
from typing import Any

from optimiser import builds as b
from optimiser.catalogue import Catalogue
from tests import handmade
from tests.handmade import World
from tests.knobs import altered

Knobs = dict[str, Any]
COPIES: dict[str, tuple[str, Knobs]] = {  # of parts of the handmade catalogue, under names of their own
    "module-150": ("module-100", {"capacity_ah": 150, "price": 400, "mass_kg": 18}),
    "module-280": ("module-100", {"capacity_ah": 280, "price": 700, "mass_kg": 31.25}),
    "module-100-heated": ("module-100", {"charge_min_c": -20}),
    "module-24-280": ("module-100", {"capacity_ah": 280, "nominal_v": 25.6}),
    "panel-175": ("panel-100", {"watt_w": 175}),
    "mppt-30": ("regulator-20", {"out_a": 30}),
    "mppt-15": ("regulator-20", {"out_a": 15}),
    "inverter-2000": ("inverter-1500", {}),
    "dcdc-50": ("alternator-charger-30", {}),
    "ac-20": ("mains-charger-30", {}),
    "isolator-400": ("isolator-300", {}),
    "fuse-t-200": ("fuse-200", {"family": "class-t"}),
    "fuse-200-slow": ("fuse-200", {}),
    "gland-4": ("gland", {"cables": 4}),
    "fan": ("grille", {"kind": "fan"}),
    "data-slim": ("data", {}),
}
FRONT = {"name": "front", "roof_plane": "shade"}
PANEL_175 = {"panels.0.panel": "panel-175", "panels.1.panel": "panel-175", "arrays.a.panel": "panel-175"}


def _catalogue() -> Catalogue:
    old = handmade.catalogue()
    tables = {key: dict(rows) for key, rows in old.tables.items()}
    for name, (model, other) in COPIES.items():
        rows = next(rows for rows in tables.values() if model in rows)
        rows[name] = rows[model].model_copy(update={"name": name, **other})
    return Catalogue(tables, old.rule_sets)


def _world() -> World:
    """The handmade trailer with a second zone and more parts to choose from."""
    case = handmade.case()
    zones = (*case.zones, case.zones[0].model_copy(update=FRONT))
    return World(replace(case, zones=zones), _catalogue(), handmade.build())


WORLD = _world()


def turned(build: b.Build, knobs: Knobs) -> b.Build:
    """The build with some values turned."""
    return altered(replace(WORLD, build=build), *knobs.items()).build


def _two_arrays() -> b.Build:
    """Two panels more, as an array b on a regulator of its own."""
    old = WORLD.build
    new = [b.PlacedPanel("front", "panel-175", x, 200, rotated=False, string="b.1") for x in (600, 1630)]
    return replace(
        old,
        panels=(*old.panels, *new),
        arrays=(*old.arrays, b.PanelArray("b", "panel-175", "shade", 2, 1, "regulator_2")),
        fitted=(*old.fitted, b.Fitted("regulator_2", "mppt-30", "locker.wall", 50, 500)),
        runs=(
            *old.runs,
            b.Run("regulator_2", "locker", "locker", (), "dc-6", "fuse-40"),
            b.Run("solar_b", "roof_point", "locker", ("roof_way",), "solar-6"),
        ),
    )


TWO_ARRAYS = _two_arrays()
EXISTING_INVERTER = {"fitted.inverter.existing": True}

# before, what is turned, and what is said there and back
EACH: dict[str, tuple[b.Build, Knobs, str, str]] = {
    "voltage": (WORLD.build, {"build.system_v": 24}, "24 V system for 12 V", "12 V system for 24 V"),
    "fewer, larger modules": (turned(WORLD.build, {"bank.module": "module-150"}),
        {"bank.module": "module-280", "bank.parallel": 1, "bank.columns": 1}, "one 280 Ah module for two of 150 Ah",
        "two 150 Ah modules for one of 280 Ah"),
    "modules of the same capacity": (WORLD.build, {"bank.module": "module-100-heated"},
        "two module-100-heated for two module-100", "two module-100 for two module-100-heated"),
    "modules of another voltage": (turned(WORLD.build, {"bank.module": "module-150"}),
        {"bank.module": "module-24-280"}, "two module-24-280 for two module-150",
        "two module-150 for two module-24-280"),
    "one module more": (WORLD.build, {"bank.parallel": 3, "bank.columns": 3}, "three module-100 modules for two",
        "two module-100 modules for three"),
    "fuses on the modules": (WORLD.build, {"bank.fuse": "fuse-125"},
        "fuse-125 on each string of modules for no fuses on the modules",
        "no fuses on the modules for fuse-125 on each string of modules"),
    "bank in series": (WORLD.build, {"bank.series": 2, "bank.parallel": 1},
        "bank 2 in series, 1 in parallel for 1 in series, 2 in parallel",
        "bank 1 in series, 2 in parallel for 2 in series, 1 in parallel"),
    "bank in other rows": (WORLD.build, {"bank.rows": 2, "bank.columns": 1}, "bank in 2 rows of 1 for 1 row of 2",
        "bank in 1 row of 2 for 2 rows of 1"),
    "other panels": (WORLD.build, PANEL_175, "2 panel-175 for 2 panel-100", "2 panel-100 for 2 panel-175"),
    "one panel of another type": (WORLD.build, {"panels.1.panel": "panel-175"}, "panel-175 for panel-100",
        "panel-100 for panel-175"),
    "one panel less": (WORLD.build, {"panels.1": None, "arrays.a.series": 1},
        "1 panel-100 for 2; array a with 1 in series for 2", "2 panel-100 for 1; array a with 2 in series for 1"),
    "panels by zone": (TWO_ARRAYS,
        {"panels.2.panel": "panel-flex", "panels.3.panel": "panel-flex", "panels.0": None},
        "2 panel-flex for 2 panel-175 on front; 1 panel-100 for 2 on roof",
        "2 panel-175 for 2 panel-flex on front; 2 panel-100 for 1 on roof"),
    "panels from zone to zone": (TWO_ARRAYS, {"panels.2.zone": "roof", "panels.3.zone": "roof"},
        "2 panel-175 from front to roof", "2 panel-175 from roof to front"),
    "panels nowhere else": (TWO_ARRAYS, {"panels.2.zone": "roof", "panels.3": None},
        "2 panel-175 dropped from front; panel-175 added on roof",
        "2 panel-175 added on front; panel-175 dropped from roof"),
    "panels moved": (WORLD.build, {"panels.0.x_mm": 590, "panels.1.rotated": True},
        "two panels moved within their zones", "two panels moved within their zones"),
    "one panel moved": (WORLD.build, {"panels.0.y_mm": 210}, "one panel moved within its zone",
        "one panel moved within its zone"),
    "panels strung otherwise": (WORLD.build,
        {"panels.1.string": "a.2", "arrays.a.series": 1, "arrays.a.parallel": 2},
        "array a with 1 in series, 2 strings for 2 in series, 1 string",
        "array a with 2 in series, 1 string for 1 in series, 2 strings"),
    "panel on another string": (WORLD.build, {"panels.1.string": "a.2"}, "one panel on another string",
        "one panel on another string"),
    "more strings": (WORLD.build, {"arrays.a.parallel": 2}, "array a with 2 strings for 1",
        "array a with 1 string for 2"),
    "roof_plane": (WORLD.build, {"arrays.a.roof_plane": "shade"}, "array a on the roof plane shade for sun",
        "array a on the roof plane sun for shade"),
    "array of other panels": (WORLD.build, {"arrays.a.panel": "panel-175"}, "array a of panel-175 for panel-100",
        "array a of panel-100 for panel-175"),
    "array elsewhere": (WORLD.build, {"arrays.a.regulator": "alternator_charger"},
        "array a on alternator-charger-30 for regulator-20", "array a on regulator-20 for alternator-charger-30"),
    "second array": (TWO_ARRAYS,
        {"panels": TWO_ARRAYS.panels[:2], "arrays.b": None, "fitted.regulator_2": None,
         "runs.regulator_2": None, "runs.solar_b": None},
        "2 panel-175 dropped from front; regulator mppt-30 dropped; array b dropped",
        "2 panel-175 added on front; regulator mppt-30 added; array b added with 2 in series, 1 string"),
    "portable panel": (WORLD.build,
        {"arrays": (*WORLD.build.arrays, b.PanelArray("p", "panel-fold", "", 1, 1, "regulator_1"))},
        "array p added with the portable panel-fold", "array p dropped"),
    "regulator": (turned(WORLD.build, {"fitted.regulator_1.part": "mppt-15"}), {"fitted.regulator_1.part": "mppt-30"},
        "regulator mppt-30 for mppt-15", "regulator mppt-15 for mppt-30"),
    "regulators for each other": (TWO_ARRAYS,
        {"fitted.regulator_1.part": "mppt-30", "fitted.regulator_2.part": "mppt-15"},
        "regulator 1: mppt-30 for regulator-20; regulator 2: mppt-15 for mppt-30",
        "regulator 1: regulator-20 for mppt-30; regulator 2: mppt-30 for mppt-15"),
    "inverter": (WORLD.build, {"fitted.inverter.part": "inverter-2000"}, "inverter-2000 for inverter-1500",
        "inverter-1500 for inverter-2000"),
    "a part that stays": (WORLD.build, EXISTING_INVERTER, "inverter-1500 (existing) for inverter-1500 (bought)",
        "inverter-1500 (bought) for inverter-1500 (existing)"),
    "charger in one only, with its runs": (turned(WORLD.build, {"fitted.alternator_charger.part": "dcdc-50"}),
        {"fitted.alternator_charger": None, "runs.alternator": None, "runs.alternator_feed": None},
        "alternator charger dcdc-50 dropped", "alternator charger dcdc-50 added"),
    "mains charger in one only": (turned(WORLD.build, {"fitted.mains_charger.part": "ac-20"}),
        {"fitted.mains_charger": None, "runs.mains_charger": None}, "mains charger ac-20 dropped",
        "mains charger ac-20 added"),
    "row": (WORLD.build, {"fitted.fuse_row": None}, "fuse row dropped", "fuse row added"),
    "protective parts": (WORLD.build,
        {"fitted.isolator.part": "isolator-400", "fitted.main_fuse.part": "holder-row"},
        "main fuse holder-row for holder-main; isolator-400 for isolator-300",
        "main fuse holder-main for holder-row; isolator-300 for isolator-400"),
    "shunts": (WORLD.build, {"measuring.shunt-1x300": None, "measuring.shunt-4x50.count": 2},
        "shunt-4x50 for shunt-1x300", "shunt-1x300 for shunt-4x50"),
    "vents": (WORLD.build, {"vents.locker.vent": "fan", "vents.locker.count": 2}, "2 fan for 1 grille in locker",
        "1 grille for 2 fan in locker"),
    "more vents": (WORLD.build, {"vents.locker.count": 2}, "2 grille for 1 in locker", "1 grille for 2 in locker"),
    "no vents": (WORLD.build, {"vents.locker": None}, "grille dropped from locker", "grille added in locker"),
    "entries": (WORLD.build, {"entries.sun.entry": "gland-4"}, "sun entry: gland-4 for gland",
        "sun entry: gland for gland-4"),
    "entry elsewhere": (WORLD.build, {"entries.aerial.board": "locker.wall"},
        "aerial entry on locker wall for nose side", "aerial entry on nose side for locker wall"),
    "section": (WORLD.build, {"runs.main.cable": "dc-25"}, "main cable 25 mm2 for 50 mm2",
        "main cable 50 mm2 for 25 mm2"),
    "sections alike": (WORLD.build, {"runs.main.cable": "dc-25", "runs.inverter.cable": "dc-25"},
        "main and inverter cables 25 mm2 for 50 mm2", "main and inverter cables 50 mm2 for 25 mm2"),
    "many alike": (WORLD.build,
        {f"runs.{name}.cable": "dc-25" for name in ("regulator_1", "solar_a", "dc_loads")}
        | {"runs.pass_aerial.cable": "data-slim", "runs.display.cable": "data-slim"},
        "regulator 1, array a and dc loads cables 25 mm2 for 6 mm2; "
        "display and aerial pass-through cables data-slim for data",
        "regulator 1, array a and dc loads cables 6 mm2 for 25 mm2; "
        "display and aerial pass-through cables data for data-slim"),
    "more cables than are named": (WORLD.build,
        {f"runs.{run}.ways": ("tv_way",) for run in ("main", "dc_loads", "mains_inlet", "alternator_feed")},
        "main, alternator feed and 2 other cables another way",
        "main, alternator feed and 2 other cables another way"),
    "run in one only": (WORLD.build, {"runs.mains_feed": None}, "mains feed cable dropped", "mains feed cable added"),
    "fuse": (WORLD.build, {"runs.alternator.fuse": "fuse-50"}, "alternator fuse 50 A for 40 A",
        "alternator fuse 40 A for 50 A"),
    "fuse of another family": (WORLD.build, {"runs.main.fuse": "fuse-t-200"},
        "main fuse 200 A class-t for 200 A bolt-in", "main fuse 200 A bolt-in for 200 A class-t"),
    "fuse of another name": (WORLD.build, {"runs.main.fuse": "fuse-200-slow"},
        "main fuse fuse-200-slow for fuse-200", "main fuse fuse-200 for fuse-200-slow"),
    "fuse in one only": (WORLD.build, {"runs.dc_loads.fuse": ""}, "dc loads fuse 10 A bolt-in dropped",
        "dc loads fuse 10 A bolt-in added"),
    "way": (WORLD.build, {"runs.main.ways": ("tow_way",)}, "main cable another way", "main cable another way"),
    "ends": (WORLD.build, {"runs.main.end": "nose"}, "main cable between other ends",
        "main cable between other ends"),
    "bay, and the cables that follow": (WORLD.build,
        {"fitted.inverter.board": "nose.side", "fitted.switch.board": "nose.side",
         "runs.inverter.end": "nose", "runs.inverter.ways": ("main_way",)},
        "switch and inverter in nose for locker", "switch and inverter in locker for nose"),
    "many in another bay": (WORLD.build,
        {f"fitted.{slot}.board": "nose.side" for slot in ("busbar", "isolator", "display", "switch", "mains_box")},
        "busbar, isolator and 3 others in nose for locker", "busbar, isolator and 3 others in locker for nose"),
    "board of the same bay": (WORLD.build, {"fitted.bank.board": "box.wall"}, "bank on box wall for box floor",
        "bank on box floor for box wall"),
    "within the bay": (WORLD.build, {"fitted.bank.x_mm": 60, "fitted.switch.rotated": True},
        "two parts moved within their bays", "two parts moved within their bays"),
    "one within the bay": (WORLD.build, {"fitted.display.orientation": "side"}, "one part moved within its bay",
        "one part moved within its bay"),
}  # fmt: skip
