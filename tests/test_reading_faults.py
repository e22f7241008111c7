"""Every kind of fault in a case folder is named with its file, row and column."""

import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from optimiser.catalogue import Catalogue
from optimiser.reading import read_case
from optimiser.reading.starter import USUAL, starter_files
from tests.reading_help import change, line_of, problems_of


@dataclass(frozen=True)
class Fault:
    """A change of the starter and what should be said of it."""

    file: str
    old: str
    new: str
    column: str
    says: str  # a pattern
    at: str = ""  # stands in the row complained of, if not ``new``
    in_file: str = ""  # where it is complained of, if not in ``file``
    echoes: tuple[tuple[str, str], ...] = ()  # file and column of what it makes wrong elsewhere


LOADS, SCENARIOS, ZONES, WAYS, TOML = "loads.csv", "scenarios.csv", "zones.csv", "ways.csv", "case.toml"
LIGHTS = "lights,dc,,20,0,100,18,23,all\n"
HATCH = "hatch,roof,3450,-240,480,480,80,50,front,200"
SUMMER = "summer_weekend,7,15,16,48,0.7,12,26,100,no,,,,,,"
EXISTING = "name,kind,part,board,x_mm,y_mm,length_mm,width_mm,depth_mm,heat_w,cells,capacity_ah\n"
ROOF = "roof,roof,1000,-650,3400,1300,0,0,75,200,0,right,80,15,yes,roof_gland\n"


def stays(row: str, column: str, says: str) -> Fault:
    """A fault in a row of existing.csv."""
    return Fault("existing.csv", EXISTING, f"{EXISTING}{row}\n", column, says, at=row)


OPENINGS = "cable_openings.csv"
POSITIONS, NODE = "node_positions.csv", "inlet,600,-980,800\n"

FAULTS = {
    # texts
    "title of two lines": Fault(
        TOML, 'title = "Small camper van"', 'title = "Small\\ncamper van"', "title",
        "cannot be printed as it is; expected text of one line",
    ),
    "control character in a row": Fault(LOADS, "lights,dc", "li\x01ghts,dc", "", "control characters in the line"),
    "digits without end": Fault(
        LOADS, "fridge,dc,,50,100,35,0,24", f"fridge,dc,,50,100,35,{'9' * 5000},24", "from_h", "is not a whole number"
    ),
    "second inverter that stays": Fault(
        "existing.csv", EXISTING, EXISTING + "a,part,inverter-12-600,garage.floor,0,0,300,180,90,0,0,0\n"
        "b,part,inverter-12-800,garage.floor,400,0,320,200,100,0,0,0\n",
        "part", "'inverter-12-800' is a second inverter beside row 3; expected one", at="b,part",
    ),
    "load named as a part is": Fault(
        LOADS, "fridge,dc", "array_1,dc", "name", "'array_1' is what readings of another part are called",
    ),
    "name too long for a label": Fault(
        LOADS, "fridge,dc", f"{'fridge' * 7},dc", "name", "expected a name of .*, at most 40 letters",
    ),
    # node positions
    "node out of the world": Fault(
        POSITIONS, NODE, "inlet,23250000,-980,800\n", "x_mm", "expected a whole number .*50000", at="23250000",
    ),
    "roof below the floor": Fault(
        TOML, "floor_mm = 500", "floor_mm = 2500", "outline.roof_mm", "2500 is not above floor_mm", at="roof_mm",
    ),
    "node of no node": Fault(
        POSITIONS, NODE, "inlett,600,-980,800\n", "node", "no way starts or ends at 'inlett'; expected inlet, or",
        at="inlett",
    ),
    "node of a bay": Fault(
        POSITIONS, NODE, NODE + "bench,1,2,3\n", "node", "'bench' is a bay; expected its place in bays.csv",
        at="bench,1",
    ),
    "node twice": Fault(
        POSITIONS, NODE, NODE + "inlet,1,2,3\n", "node", "'inlet' stands in row .* too", at="inlet,1,2,3"
    ),
    # headers and rows
    "unknown column": Fault(
        LOADS, "watt_w,surge_w", "watt_w,serge_w", "serge_w", "unknown 'serge_w'; expected surge_w"
    ),
    "wrong unit": Fault(
        "bays.csv", "length_mm,width_mm,height", "length_mm,width_cm,height", "width_cm",
        "wrong unit cm in 'width_cm'; expected mm: width_mm",
    ),
    "no unit": Fault(
        "boards.csv", "width_mm,depth_mm", "width_mm,depth", "depth", "no unit in 'depth'; expected mm: depth_mm"
    ),
    "column twice": Fault(LOADS, "watt_w,surge_w", "watt_w,watt_w", "watt_w", "heads two columns"),
    "no header": Fault(LOADS, ",surge_w,duty", ",,duty", "", "no header above column 5"),
    "short row": Fault(LOADS, "lights,dc,,20,0,100,18,23,all", "lights,dc,,20,0", "duty_pct", "5 cells .* expected 9"),
    "long row": Fault(LOADS, "lights,dc,,20,", "lights,dc,,20,1,", "scenarios", "10 cells .* expected 9"),
    "broken quotes": Fault(LOADS, "lights,dc,,20", 'lights,dc,,"20', "", "not readable from here on"),
    "not a number": Fault(LOADS, "fridge,dc,,50", "fridge,dc,,fifty", "watt_w", "'fifty' is not a number; .* above 0"),
    "not whole": Fault(LOADS, "18,23,all", "18,22.5,all", "to_h", "'22.5' is not a whole number"),
    "empty cell": Fault(LOADS, "fridge,dc,,50", "fridge,dc,,", "watt_w", "empty cell; expected a number above 0"),
    "out of range": Fault(LOADS, "fridge,dc,,50", "fridge,dc,,-50", "watt_w", "'-50' is not allowed; .* above 0"),
    "optional out of range": Fault(
        SCENARIOS, "10,12,18,24,,", "10,12,18,25,,", "hook_up_to_h", "'25' .* from 0 to 24"
    ),
    "not a choice": Fault(
        "bays.csv", "1100,850,sealed,no", "1100,850,vented,no", "air", "'vented'.*cabin, closed, sealed, outside"
    ),
    "not yes or no": Fault("boards.csv", "400,yes,no,no", "400,y,no,no", "reach", "'y' is not yes or no"),
    "not a name": Fault(LOADS, "fridge,dc", "Fridge,dc", "name", "'Fridge' .* lower-case letters"),
    "no rows": Fault("zones.csv", ROOF, "", "", "no rows below the headers", at="name,roof_plane"),
    # references
    "name of another load": Fault(
        LOADS, "phones,dc", "lights,dc", "watt_w",
        "30 here, and 20 in row 6, which has the name 'lights' too; expected 20 in every row of one appliance, or",
        at="lights,dc,,30",
    ),
    "hours of a load twice": Fault(
        LOADS, LIGHTS, f"{LIGHTS}{LIGHTS.replace('18,23', '22,24')}", "from_h",
        "from 22 to 24 'lights' is on from 18 to 23 already, in all scenarios; expected hours or scenarios",
        at="lights,dc,,20,0,100,22",
    ),
    "hours of a load twice in one scenario": Fault(
        LOADS, LIGHTS, f"{LIGHTS}{LIGHTS.replace('18,23,all', '17,19,autumn_tour')}", "from_h",
        "from 17 to 19 'lights' is on from 18 to 23 already, in autumn_tour; expected hours or scenarios",
        at="lights,dc,,20,0,100,17",
    ),
    "start of one load": Fault(
        LOADS, LIGHTS, f"{LIGHTS}{LIGHTS.replace('20,0,100,18,23', '20,40,100,7,8')}", "surge_w",
        "40 here, and 0 in row 6, which has the name 'lights' too; expected 0 in every row", at="lights,dc,,20,40",
    ),
    "name twice": Fault(
        SCENARIOS, SUMMER, f"{SUMMER}\n{SUMMER.replace(',48,', ',24,')}", "name",
        "'summer_weekend' stands in row 4 too", at="summer_weekend,7,15,16,24",
    ),
    "board twice": Fault("boards.csv", "garage,wall,wall", "garage,floor,wall", "name", "'floor' stands in row 6 too"),
    "zone of obstacle": Fault("obstacles.csv", "hatch,roof", "hatch,rof", "zone", "no zone 'rof'; expected roof"),
    "bay of board": Fault("boards.csv", "garage,wall,wall", "garrage,wall,wall", "bay", "no bay 'garrage'.* garage"),
    "scenario of load": Fault(LOADS, "20,summer_weekend", "20,summer", "scenarios", "no scenario 'summer'.*all"),
    "all among others": Fault(LOADS, "20,summer_weekend", "20,all autumn_tour", "scenarios", "'all'.*by itself"),
    "circuit of mains load": Fault(LOADS, "mains,water", "mains,heat", "circuit", "no circuit 'heat'.*water"),
    "mains load without circuit": Fault(
        LOADS, "mains,water", "mains,", "circuit", "empty cell for a mains load", at="water_heater"
    ),
    "circuit of dc load": Fault(LOADS, "fridge,dc,", "fridge,dc,water", "circuit", "'water' for a dc load"),
    "bay without board": Fault(
        "bays.csv", "cupboard,600",
        "locker,600,450,900,4500,0,500,800,cabin,yes,no,yes,40,5,8,3,700,200,900,300,600\ncupboard,600",
        "name", "bay 'locker' has no board", at="locker",
    ),
    # ways
    "dangling node": Fault(
        WAYS, "panel_drop,cupboard,", "panel_drop,cubboard,", "start", "'cubboard' leads nowhere.*cupboard",
        echoes=((OPENINGS, "bay"),),
    ),
    "way to itself": Fault(
        WAYS, "bench_garage,bench,garage", "bench_garage,bench,bench", "end", "where the way starts",
        echoes=((OPENINGS, "bay"),),
    ),
    "entry not reached": Fault(
        WAYS, "gland_drop,roof_gland,cupboard", "gland_drop,garage,cupboard", "entry", "no way reaches 'roof_gland'",
        at="roof_gland", in_file=ZONES, echoes=(("node_positions.csv", "node"),),
    ),
    "point not reached": Fault(
        WAYS, "cab_floor,engine,bench", "cab_floor,garage,bench", "alternator.point", "no way reaches 'engine'",
        at='point = "engine"', in_file=TOML, echoes=(("node_positions.csv", "node"),),
    ),
    "point that is a bay": Fault(
        TOML, 'dc_panel_point = "dc_panel"', 'dc_panel_point = "bench"', "dc_panel_point", "is a bay too",
        echoes=((WAYS, "end"),),
    ),
    "entry that is a bay": Fault(
        ZONES, "yes,roof_gland", "yes,bench", "entry", "'bench' is a bay too", echoes=((WAYS, "start"),)
    ),
    # places
    "light with two entries": Fault(
        ZONES, ROOF, ROOF + ROOF.replace("roof,roof,1000", "nose,roof,4400").replace("roof_gland", "floor_middle"),
        "entry", "floor_middle differs within roof plane 'roof'; expected roof_gland as in row 4", at="nose",
    ),
    "light with two tilts": Fault(
        ZONES, ROOF, ROOF + ROOF.replace("roof,roof,1000", "nose,roof,4400").replace("1300,0,0", "1300,5,0"),
        "tilt_deg", "5.0 differs within roof plane 'roof'; expected 0.0", at="nose",
    ),
    "obstacle off its zone": Fault(
        "obstacles.csv", HATCH, HATCH.replace("3450", "4400"), "x_mm", "4400 lies off zone 'roof'"
    ),
    "existing on no board": stays(
        "box,fixture,,bench.flor,0,0,100,100,100,0,,", "board", "no board 'bench.flor'.*bench.floor"
    ),
    "existing outside its board": stays(
        "box,fixture,,bench.floor,800,0,101,100,100,0,,", "x_mm", "reaches 901 mm.*most 900"
    ),
    "existing too deep": stays("box,fixture,,bench.floor,0,0,100,100,351,0,,", "depth_mm", "reaches 351 mm.*most 350"),
    "existing part unknown": stays(
        "mine,part,inverter-12-100,garage.floor,0,0,340,220,105,,,", "part",
        r"no part 'inverter-12-100'.*inverter-12-1\d00"
    ),
    "existing part is no body": stays(
        "mine,part,fuse-blade-5,garage.floor,0,0,9,9,9,,,", "part", "nothing that stands in a bay"
    ),
    "existing part not named": stays(
        "mine,part,,garage.floor,0,0,9,9,9,,,", "part", "empty cell; expected the catalogue name"
    ),
    "lead-acid without cells": stays("old,lead_acid,,garage.floor,0,0,350,170,230,,,95", "cells", "0 for a lead-acid"),
    "lead-acid without capacity": stays(
        "old,lead_acid,,garage.floor,0,0,350,170,230,,6,", "capacity_ah", "0 for a lead-acid"
    ),
    "existing twice in one place": Fault(
        "existing.csv", EXISTING,
        f"{EXISTING}a,fixture,,bench.floor,0,0,100,100,9,,,\nb,fixture,,bench.floor,99,99,9,9,9,,,\n",
        "x_mm", "'b' overlaps 'a'", at="b,fixture",
    ),
    # scenarios
    "day of month": Fault(
        SCENARIOS, "weekend,7,15,", "weekend,2,29,", "day", "29 is no day of month 2; expected at most 28"
    ),
    "temperatures": Fault(
        SCENARIOS, "0.4,4,13", "0.4,14,13", "temp_min_c", "14 is above temp_max_c; expected at most 13"
    ),
    "half a window": Fault(SCENARIOS, "no,10,12,18", "no,10,,18", "drive_to_h", "empty cell though drive_from_h is 10"),
    "window without portable": Fault(SCENARIOS, "18,24,,", "18,24,9,17", "portable_from_h", r"no \[portable\]"),
    "start below floor": Fault(SCENARIOS, "4,13,90,", "4,13,15,", "start_pct", "15 is not above .* expected above 15"),
    # brief
    "malformed toml": Fault(TOML, "labour_per_h = 70", "labour_per_h = = 70", "16", "expected a key = value"),
    "key missing": Fault(
        TOML, "record_low_c = -15", "", "place.record_low_c", "missing key; .* from -50 to 70", at="[place]"
    ),
    "key unknown": Fault(TOML, "autonomy_days", "autonomi_days", "limits.autonomi_days", "expected autonomy_days"),
    "key in wrong unit": Fault(
        TOML, "payload_kg", "payload_lb", "vehicle.payload_lb", "wrong unit lb .* kg: payload_kg"
    ),
    "key of wrong type": Fault(
        TOML, "rating_a = 180", 'rating_a = "180"', "alternator.rating_a", "'180' is not allowed"
    ),
    "key out of range": Fault(TOML, "latitude = 48.0", "latitude = 70", "place.latitude", "70 .* from -66 to 66"),
    "key not finite": Fault(TOML, "payload_kg = 400", "payload_kg = inf", "vehicle.payload_kg", "not finite"),
    "kind of vehicle": Fault(TOML, 'kind = "van"', 'kind = "boat"', "vehicle.kind", "'boat' .* one of trailer, van"),
    "choice in a list": Fault(
        TOML, 'source = "hook_up"', 'source = "mains"', "circuits.2.source", "'mains' .* one of inverter, hook_up"
    ),
    "rule set": Fault(TOML, 'rule_set = "default"', 'rule_set = "defalt"', "rule_set", "no rule set 'defalt'.*default"),
    "autonomy scenario": Fault(
        TOML, 'autonomy_scenario = "summer_weekend"', 'autonomy_scenario = "winter"',
        "limits.autonomy_scenario", "no scenario",
    ),
    "voltage twice": Fault(TOML, "[12]", "[12, 12]", "system_voltages", "12 stands twice"),
    "circuit twice": Fault(TOML, 'name = "water"', 'name = "galley"', "circuits.2.name", "'galley' stands twice",
                           at='name = "galley"\nsource = "hook_up"', echoes=((LOADS, "circuit"),)),
    "record above scenario": Fault(
        TOML, "record_low_c = -15", "record_low_c = 10", "place.record_low_c", "10 is above .* 4$"
    ),
    "record below scenario": Fault(
        TOML, "record_high_c = 38", "record_high_c = 20", "place.record_high_c", "20 is below .* 26$"
    ),
    **{
        f"preference: {key} = {value}": Fault(
            TOML, "[alternator]  ", f"[preferences]\n{key} = {value}\n[alternator]  ", f"preferences.{key}", says,
            at=f"{key} = {value}",
        )
        for key, value, says in (
            ("wanted", '["panel-100-rigit"]', "no part or kind of part 'panel-100-rigit'; expected panel-100-rigid"),
            ("banned", '["mains_charger"]', "no part or kind of part 'mains_charger'; expected mains_chargers"),
            ("banned", '["pannels.kind=rigid"]', "'pannels.kind=rigid'; expected panels"),
            ("banned", '["zzz"]', "'zzz'; expected a part by its name, a file of the catalogue as"),
            ("banned", '["panels.kin=rigid"]', "no column 'kin' in panels; expected kind, or one of"),
            ("banned", '["panels.kind=rigit"]', "none of the panels says 'rigit' there; expected rigid, or one of"),
            ("wanted", '["panels", "panels"]', "'panels' stands twice"),
            ("panel_types_at_most", "0", "'?0'? is not allowed; expected a whole number from 1 to 20"),
            ("solar_section_mm2", "-4", "-4 .*above 0"),
            ("display_at", '"cuboard.back"', "no bay or board 'cuboard.back'; expected anywhere, or cupboard.back"),
            ("isolator_at", '""', "'' is not allowed; expected text"),
        )
    },
    "wanted and banned": Fault(
        TOML, "[alternator]  ",
        '[preferences]\nbanned = ["panels"]\nwanted = ["panel-100-rigid"]\n[alternator]  ',
        "preferences.wanted", "'panel-100-rigid' is banned as well; expected it wanted or banned",
        at='wanted = ["panel-100',
    ),
    "panel not portable": Fault(
        TOML, "[[circuits]]                  #",
        '[portable]\npanel = "panel-100-rigid"\npoint = "engine"\n[[circuits]] #',
        "portable.panel", "is a rigid panel; expected a portable one", at='panel = "panel-100',
    ),
}  # fmt: skip


def test_a_number_without_end_in_the_brief_is_told(folder: Path, catalogue: Catalogue) -> None:
    change(folder / TOML, "payload_kg = 400", f"payload_kg = {'4' * 5000}")

    (problem,) = problems_of(lambda: read_case(folder, catalogue))

    assert str(problem).startswith("case.toml: a number of thousands of digits; expected")


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_named_with_file_row_and_column(name: str, folder: Path, catalogue: Catalogue) -> None:
    fault = FAULTS[name]
    text = change(folder / fault.file, fault.old, fault.new)
    file = fault.in_file or fault.file
    if fault.in_file:
        text = (folder / file).read_text(encoding="utf-8")

    found = problems_of(lambda: read_case(folder, catalogue))

    place = (file, line_of(text, fault.at or fault.new), fault.column)
    (problem,) = (p for p in found if (p.file, p.row, p.column) == place)
    assert re.search(fault.says, problem.message), problem.message
    assert "; expected " in problem.message
    assert str(problem).startswith(f"{file}:{problem.row}:")
    assert tuple((p.file, p.column) for p in found if p != problem) == fault.echoes


CELLS = [
    (file, row, header)
    for file, text in starter_files(USUAL).items()
    if file.endswith(".csv")
    for table in [[line for line in text.split("\n") if line and not line.startswith("#")]]
    for row in table[-1:]
    if len(table) > 1
    for header in table[0].split(",")
]


@pytest.mark.parametrize(("file", "row", "header"), CELLS, ids=[f"{file}-{header}" for file, _, header in CELLS])
def test_nonsense_in_any_cell_is_named(file: str, row: str, header: str, folder: Path, catalogue: Catalogue) -> None:
    lines = starter_files(USUAL)[file].split("\n")
    headers = next(line for line in lines if line and not line.startswith("#")).split(",")
    cells = row.split(",")
    cells[headers.index(header)] = "?"
    text = change(folder / file, row, ",".join(cells))

    found = problems_of(lambda: read_case(folder, catalogue))

    assert (file, line_of(text, ",".join(cells)), header) in [(p.file, p.row, p.column) for p in found]


@pytest.mark.parametrize("column", ["bay", "name"])
def test_boards_without_the_columns_that_name_them(column: str, folder: Path, catalogue: Catalogue) -> None:
    change(folder / "boards.csv", "bay,name,kind", "bay,name,kind".replace(column, "what"))

    found = problems_of(lambda: read_case(folder, catalogue))

    assert ("boards.csv", 5, "what") in [(p.file, p.row, p.column) for p in found]
