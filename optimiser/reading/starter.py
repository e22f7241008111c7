"""The starter case: a small camper van to change into one's own.

Figures are in the ranges of the trade (common practice, no source) and leave room on purpose: a first
run should find a build, and what the customer really wants should make it tight.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

_CASE = """\
# A small camper van. Change what is yours, then: optimiser check <this folder>
# x forward from the rear of the vehicle, y to the left from its centre line, all in mm.
title = "Small camper van"
labour_per_h = 70
rule_set = "default"          # a rule set of the catalogue; local codes and a licensed electrician decide
system_voltages = [12]        # of the bank, those you would accept
alternator_charger = "may"    # must, may or no
mains_charger = "may"
dc_panel_point = "dc_panel"   # node of ways.csv where the fuse panel of the 12 V loads is

[place]                       # where it must still work
latitude = 48.0
longitude = 9.0
utc_offset_h = 1
altitude_m = 500
record_low_c = -15            # coldest morning the panels see
record_high_c = 38

[vehicle]                     # kind = "trailer" wants other keys: `optimiser reference van` and trailer
kind = "van"
front_axle_x_mm = 5050
rear_axle_x_mm = 1000
track_mm = 1750
payload_kg = 400              # left for the fit-out
base_front_kg = 1450          # weighed, as it travels, before the fit-out
base_rear_kg = 1450
front_max_kg = 1850
rear_max_kg = 2000
balance_max_kg = 120          # difference of the wheel loads that the fit-out may make

[outline]                     # of the body, for drawings only
length_mm = 5400
width_mm = 2000
floor_mm = 500                # above the ground
roof_mm = 2500

[limits]
autonomy_days = 1             # days without sun that the bank must carry
autonomy_scenario = "summer_weekend"
soc_floor_pct = 15
# budget = 6000
# recharge_h = 12             # from the floor to full on hook-up

[alternator]
rating_a = 180
point = "engine"              # node of ways.csv where its feed starts

[inlet]                       # of the hook-up
rating_a = 16
point = "inlet"

# [portable]                  # a portable panel the customer has
# panel = "panel-120-folding"
# point = "side_socket"

[[circuits]]                  # mains circuits: source inverter or hook_up
name = "galley"
source = "inverter"

[[circuits]]
name = "water"
source = "hook_up"

# [[pass_throughs]]           # for something outside, on a board that is an outside wall
# name = "antenna"
# carries = "data"
# ip_class = 66
# point = "router"            # node of ways.csv where its cable ends
"""

_LOADS = """\
# What draws power. supply dc: the 12 V panel. Mains loads name a circuit of case.toml.
# surge_w on starting, 0 for none; duty_pct is the share of the time it draws; to_h may pass midnight.
name,supply,circuit,watt_w,surge_w,duty_pct,from_h,to_h,scenarios
fridge,dc,,50,100,35,0,24,all
lights,dc,,20,0,100,18,23,all
water_pump,dc,,50,120,10,7,21,all
phones,dc,,30,0,50,18,22,all
roof_fan,dc,,15,25,60,12,20,summer_weekend
air_heater,dc,,25,110,60,18,8,autumn_tour
kettle,mains,galley,800,0,25,7,8,all
laptop,mains,galley,65,0,60,9,12,autumn_tour
water_heater,mains,water,800,0,50,20,22,autumn_tour
"""

_SCENARIOS = """\
# Spans of days that must work. clearness: share of a clear sky, 0.3 dull, 0.7 mixed, 1 clear.
# returns yes: must end no lower than it began. Hours of driving, hook-up and portable panel: of every day, or empty.
name,month,day,start_h,hours,clearness,temp_min_c,temp_max_c,start_pct,returns,\
drive_from_h,drive_to_h,hook_up_from_h,hook_up_to_h,portable_from_h,portable_to_h
summer_weekend,7,15,16,48,0.7,12,26,100,no,,,,,,
autumn_tour,10,10,8,72,0.4,4,13,90,no,10,12,18,24,,
"""

_ZONES = """\
# Rectangles of roof; x, y of the rear right corner. Zones in one roof_plane lie alike and may share a string.
name,roof_plane,x_mm,y_mm,length_mm,width_mm,tilt_deg,azimuth_deg,set_back_mm,front_set_back_mm,\
walkway_mm,walkway_side,mass_max_kg,crown_mm,rigid,entry
roof,roof,1000,-650,3400,1300,0,0,75,200,0,right,80,15,yes,roof_gland
"""

_OBSTACLES = """\
# What panels keep clear of, and where its open lid lies: none, front, rear, left or right.
name,zone,x_mm,y_mm,length_mm,width_mm,height_mm,clear_mm,lid_side,lid_reach_mm
hatch,roof,3450,-240,480,480,80,50,front,200
"""

_BAYS = """\
# Spaces that parts stand in, inside sizes; x, y of the middle. air: cabin, closed, outside, or sealed
# (from the living space, vented outside). rise_k: above outside air on a hot day, cold_rise_k on a cold night.
# z_mm: of the bay's floor above the ground, for drawings.
name,length_mm,width_mm,height_mm,x_mm,y_mm,opening_length_mm,opening_width_mm,air,habitable,battery,electronics,\
mass_max_kg,rise_k,cold_rise_k,u_w_m2k,stack_mm,vent_cm2,cut_out_max_cm2,cable_allowance_mm,z_mm
garage,1300,1000,650,700,0,1200,600,sealed,no,yes,yes,150,5,5,3,450,200,2000,400,560
bench,950,500,380,3600,550,850,450,sealed,yes,yes,no,90,5,8,3,250,100,900,300,560
cupboard,600,450,1000,2800,-650,500,900,cabin,yes,no,yes,40,5,8,3,700,200,900,300,600
"""

_BOARDS = """\
# The faces of the bays. depth_mm: free space away from the face; reach: without tools;
# sight: readable where it is; outside_wall: yes where one is.
bay,name,kind,length_mm,width_mm,depth_mm,reach,sight,outside_wall
garage,floor,floor,900,600,400,yes,no,no
garage,wall,wall,900,450,250,yes,yes,yes
bench,floor,floor,900,460,350,yes,no,no
bench,end,wall,450,350,150,yes,no,no
cupboard,back,wall,580,900,350,yes,yes,no
cupboard,side,wall,430,900,250,yes,yes,yes
"""

_WAYS = """\
# Cable ways from node to node: bays, zone entries, points of case.toml, and junctions of your naming.
# carries: any, low or mains; divided yes: two channels, so mains and low voltage may share it.
name,start,end,length_mm,bore_mm,temp_c,carries,divided
gland_drop,roof_gland,cupboard,1600,40,55,low,no
panel_drop,cupboard,dc_panel,400,50,40,low,no
cupboard_foot,cupboard,floor_middle,900,70,40,any,yes
floor_rear,floor_middle,garage,1900,70,40,any,yes
floor_left,floor_middle,bench,1000,70,40,any,yes
cab_floor,engine,bench,2400,60,50,low,no
bench_garage,bench,garage,2600,80,40,low,no
inlet_hole,inlet,garage,500,32,40,mains,no
"""

_KEEP = """\
# What stays in the vehicle: kind fixture (takes space), lead_acid (cells, capacity_ah) or part (of the catalogue).
name,kind,part,board,x_mm,y_mm,length_mm,width_mm,depth_mm,heat_w,cells,capacity_ah
"""

_SPOTS = """\
# Where the nodes of the ways are, for drawings and the drilling list; may be left out. z up from the ground.
node,x_mm,y_mm,z_mm
roof_gland,2500,-700,2480
dc_panel,2900,-800,1500
floor_middle,2700,-100,520
engine,5100,200,800
inlet,600,-980,800
"""

FILES = {
    "case.toml": _CASE,
    "loads.csv": _LOADS,
    "scenarios.csv": _SCENARIOS,
    "zones.csv": _ZONES,
    "obstacles.csv": _OBSTACLES,
    "bays.csv": _BAYS,
    "boards.csv": _BOARDS,
    "ways.csv": _WAYS,
    "keep.csv": _KEEP,
    "spots.csv": _SPOTS,
}
"""File name -> text."""


def write_starter(folder: Path, *, like: Path | None = None) -> None:
    """Write the starter case, or a copy of another, as a new folder, all of it or nothing.

    Raises
    ------
    FileExistsError
        If ``folder`` is there already and holds something, or is no folder.
    """
    target = folder.resolve()
    if target == Path.cwd():
        raise FileExistsError(f"{folder}: is the folder you are in; expected the name of a new one")
    if target.exists() and not (target.is_dir() and not any(target.iterdir())):
        raise FileExistsError(f"{folder}: is there already and not an empty folder; expected a new name")
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_name(f".{target.name}.{os.getpid()}.tmp")
    draft.mkdir()
    try:
        for name, content in (_files_of(like) if like else _starter()).items():
            (draft / name).write_bytes(content)
        if target.exists():
            target.rmdir()  # refuses if something came to lie in it meanwhile
        os.rename(draft, target)
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def _starter() -> dict[str, bytes]:
    return {name: text.encode() for name, text in FILES.items()}


def _files_of(case: Path) -> dict[str, bytes]:
    """The brief and the tables of a case, and nothing else that lies beside them."""
    return {name: (case / name).read_bytes() for name in FILES if (case / name).is_file()}
