"""The files of a starter case, with what its size, voltage and loads decide left open (``$name``).

Figures are in the ranges of the trade (common practice, no source) and leave room on purpose: a first run should find
a build, and what the customer really wants should make it tight.
"""

from string import Template

MEASURE = "from the size alone: measure it"

CASE = Template("""\
# $title. Change what is yours, then: optimiser check <this folder>
# x forward from the rear of the vehicle, y to the left from its centre line, all in mm.
# Lengths, places and masses are from the size alone: measure them before anything is believed that rests on them.
title = "$title"
labour_per_h = 70
rule_set = "default"          # a rule set of the catalogue; local codes and a licensed electrician decide
# built = "2026-03"           # when it is fitted out; check warns if the rule set does not serve that month
system_voltages = [$voltage]        # of the bank, those you would accept
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

$vehicle
[outline]                     # of the body, for drawings only
length_mm = $length
width_mm = $width
floor_mm = 500                # above the ground
roof_mm = 2500

[limits]
autonomy_days = 1             # days without sun that the bank must carry
autonomy_scenario = "summer_weekend"
bay_air_max_c = 46            # air in a bay on the hottest day: parts and cables carry less in it
soc_floor_pct = 15
# budget = 6000
# recharge_h = 12             # from the floor to full on hook-up
# mains_charge_a = 20         # the least that there must be: into the bank on hook-up, derated to bay_air_max_c
# solar_w = 300               # of panels on the roof, by their nameplates
# bank_ah = 200               # nominal, counted at 12 V: those of a 24 V bank count twice
# inverter_w = 1500           # by its nameplate at 25 C

# [preferences]               # of the shop: none of them safety, all of them to be given up
# wanted = ["mains_chargers"]         # parts, or kinds of part
# banned = ["panels.kind=flexible"]
# solar_section_mm2 = 6
# twins_alike = true          # regulators
# panel_types_at_most = 1
# display_at = "cupboard"     # a bay, or a board as cupboard.back
# spare_studs = 1
# spare_circuits = 1

[alternator]                  # of the vehicle, or of the one that tows it
rating_a = 180
point = "$feed"              # node of ways.csv where its feed starts
$plug
[inlet]                       # of the hook-up
rating_a = 16
point = "inlet"

# [portable]                  # a portable panel the customer has
# panel = "panel-120-folding"
# point = "side_socket"

$circuits
# [[pass_throughs]]           # for something outside, on a board that is an outside wall
# name = "antenna"
# carries = "data"
# ip_class = 66
# point = "router"            # node of ways.csv where its cable ends
""")

VAN = Template(f"""\
[vehicle]                     # kind = "trailer" wants other keys: `optimiser reference trailer`
kind = "van"
front_axle_x_mm = $front_axle        # {MEASURE}
rear_axle_x_mm = $rear_axle         # likewise
track_mm = $track
payload_kg = $payload              # left for the fit-out
base_front_kg = $base_front          # weigh it, as it travels, before the fit-out
base_rear_kg = $base_rear
front_max_kg = $front_max
rear_max_kg = $rear_max
balance_max_kg = 120          # difference of the wheel loads that the fit-out may make
""")

TRAILER = Template(f"""\
[vehicle]                     # kind = "van" wants other keys: `optimiser reference van`
kind = "trailer"
coupling_x_mm = $coupling          # {MEASURE}
axle_x_mm = $axle              # likewise; the middle of a close pair
track_mm = $track
payload_kg = $payload              # left for the fit-out
base_axle_kg = $base_axle           # weigh it, as it travels, before the fit-out
base_hitch_kg = $base_hitch
axle_max_kg = $axle_max
hitch_min_kg = $hitch_min
hitch_max_kg = $hitch_max
balance_max_kg = 80           # difference of the wheel loads that the fit-out may make
""")

CIRCUITS = {
    "galley": "[[circuits]]                  # mains circuits: source inverter or hook_up\n"
    'name = "galley"\nsource = "inverter"\n',
    "water": '[[circuits]]\nname = "water"\nsource = "hook_up"\n',
}

LOADS_HEAD = """\
# What draws power. supply dc: the 12 V panel. Mains loads name a circuit of case.toml.
# surge_w on starting, 0 for none; duty_pct is the share of the time it draws; to_h may pass midnight.
# On twice a day, or with another duty in another scenario: a row more with the same name, and watts as in the first.
name,supply,circuit,watt_w,surge_w,duty_pct,from_h,to_h,scenarios
"""

LOADS = {
    "fridge": "dc,,50,100,35,0,24,all",
    "lights": "dc,,20,0,100,18,23,all",
    "water_pump": "dc,,50,120,10,7,21,all",
    "phones": "dc,,30,0,50,18,22,all",
    "roof_fan": "dc,,15,25,60,12,20,summer_weekend",
    "air_heater": "dc,,25,110,60,18,8,autumn_tour",
    "kettle": "mains,galley,800,0,25,7,8,all",
    "laptop": "mains,galley,65,0,60,9,12,autumn_tour",
    "water_heater": "mains,water,800,0,50,20,22,autumn_tour",
    "television": "dc,,40,0,100,19,22,all",
    "internet": "dc,,35,45,100,8,22,all",
    "breathing_aid": "dc,,30,0,100,22,6,all",
    "coffee_machine": "mains,galley,1300,0,10,7,8,all",
    "microwave": "mains,galley,1200,1600,15,18,19,all",
    "hob": "mains,galley,1400,0,40,18,19,all",
    "bicycles": "mains,galley,180,0,100,12,16,summer_weekend",
}
"""Load -> the rest of its row."""

SCENARIOS = """\
# Spans of days that must work. clearness: share of a clear sky, 0.3 dull, 0.7 mixed, 1 clear.
# returns yes: must end no lower than it began. Hours of driving, hook-up and portable panel: of every day, or empty.
name,month,day,start_h,hours,clearness,temp_min_c,temp_max_c,start_pct,returns,\
drive_from_h,drive_to_h,hook_up_from_h,hook_up_to_h,portable_from_h,portable_to_h
summer_weekend,7,15,16,48,0.7,12,26,100,no,,,,,,
autumn_tour,10,10,8,72,0.4,4,13,90,no,10,12,18,24,,
"""

ZONES = Template(
    f"""\
# Rectangles of roof; x, y of the rear right corner. Zones in one roof_plane lie alike and may share a string.
# All is {MEASURE}.
name,roof_plane,x_mm,y_mm,length_mm,width_mm,tilt_deg,azimuth_deg,set_back_mm,front_set_back_mm,\\
walkway_mm,walkway_side,mass_max_kg,crown_mm,rigid,entry
roof,roof,$zone,0,0,75,200,0,right,80,15,yes,roof_gland
""".replace("\\\n", "")
)

OBSTACLES = Template(f"""\
# What panels keep clear of (zone may be empty); where its lid lies: none, front, rear, left or right. All is {MEASURE}.
name,zone,x_mm,y_mm,length_mm,width_mm,height_mm,clear_mm,lid_side,lid_reach_mm
hatch,roof,$hatch,480,480,80,50,front,200
""")

BAYS_HEAD = f"""\
# Spaces that parts stand in, inside sizes; x, y of the middle. air: cabin, closed, outside, or sealed
# (from the living space, vented outside). rise_k: above outside air on a hot day, cold_rise_k on a cold night.
# z_mm: of the bay's floor above the ground, for drawings. All is {MEASURE}.
name,length_mm,width_mm,height_mm,x_mm,y_mm,opening_length_mm,opening_width_mm,air,habitable,battery,electronics,\
mass_max_kg,rise_k,cold_rise_k,u_w_m2k,stack_mm,vent_cm2,cut_out_max_cm2,cable_allowance_mm,z_mm
"""

BOARDS_HEAD = f"""\
# The faces of the bays. depth_mm: free space away from the face; reach: without tools;
# sight: readable where it is; outside_wall: yes where one is. face, left_mm, bottom_mm: the wall of the bay it is on
# and where its lower left corner is, looking at that wall from inside (a floor: from the rear and the right wall).
# All is {MEASURE}.
bay,name,kind,length_mm,width_mm,depth_mm,reach,sight,outside_wall,face,left_mm,bottom_mm
"""

WAYS_HEAD = f"""\
# Cable ways from node to node: bays, zone entries, points of case.toml, and junctions of your naming.
# carries: any, low or mains; divided yes: two channels, so mains and low voltage may share it. All is {MEASURE}.
name,start,end,length_mm,bore_mm,temp_c,carries,divided
"""

OPENINGS_HEAD = f"""\
# Where each way comes into a bay: the middle of its hole, on a face as seen from inside; may be left out.
# bore_mm of the hole, or empty: as the way. All is {MEASURE}.
way,bay,face,left_mm,bottom_mm,bore_mm
"""

EXISTING = """\
# What the vehicle has already: kind fixture (takes space), lead_acid (cells, capacity_ah) or part (of the catalogue).
name,kind,part,board,x_mm,y_mm,length_mm,width_mm,depth_mm,heat_w,cells,capacity_ah
"""

NODES_HEAD = f"""\
# Where the nodes of the ways are, for drawings and the drilling list; may be left out. z up from the ground.
# All is {MEASURE}.
node,x_mm,y_mm,z_mm
"""
