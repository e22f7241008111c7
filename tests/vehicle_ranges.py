"""What the random vehicles are drawn from: ranges of the trade (common practice, no source).

Rows are tables to be read down their columns; the classes name the columns.
"""

from typing import Literal, NamedTuple

from optimiser.case import Place
from optimiser.parts import Voltage

Range = tuple[int, int]
Air = Literal["cabin", "closed", "sealed", "outside"]
# fmt: off


class Shell(NamedTuple):
    """A kind of body."""

    name: str
    towed: bool
    length_mm: Range
    width_mm: int
    roof_length_mm: Range  # usable
    roof_width_mm: Range
    zones: Range
    bays: Range
    crown_mm: Range
    base_kg: Range  # as it travels, before the fit-out
    payload_kg: Range  # left for the fit-out
    lives: tuple[str, ...]
    cupboards: tuple[str, ...]  # boxes for the electronics
    banks: tuple[str, ...]  # boxes for the bank, the two roomiest first


SHELLS = (
    Shell("teardrop", True, (2600, 3200), 1650, (1200, 1700), (1150, 1400), (1, 1), (2, 3), (15, 35),
          (420, 700), (50, 120), ("weekend", "touring"), ("galley_base",), ("bench", "drawbar_box")),
    Shell("small caravan", True, (4000, 5000), 2150, (3200, 4200), (1700, 2000), (1, 3), (2, 5), (15, 40),
          (850, 1350), (90, 230), ("weekend", "touring", "remote work"), ("cupboard", "kitchen_base"),
          ("axle_locker", "bench", "front_boot")),
    Shell("large caravan", True, (5800, 6900), 2350, (5000, 6200), (1900, 2200), (2, 4), (4, 7), (15, 45),
          (1500, 2600), (180, 480), ("remote work", "all-electric", "air conditioning"),
          ("cupboard", "kitchen_base", "desk_base"), ("axle_locker", "bench", "front_boot", "tunnel_boot")),
    Shell("short van", False, (5300, 5500), 2050, (2600, 3000), (1250, 1400), (1, 2), (2, 5), (10, 30),
          (2500, 2900), (110, 300), ("weekend", "touring", "remote work"), ("service_wall", "cupboard"),
          ("garage", "bench", "seat_base", "floor_box")),
    Shell("long van", False, (5950, 6900), 2050, (3400, 4500), (1250, 1400), (1, 3), (3, 6), (10, 30),
          (2800, 3150), (170, 420), ("touring", "remote work", "all-electric", "air conditioning"),
          ("service_wall", "cupboard", "kitchen_base"), ("garage", "bench", "seat_base", "floor_box")),
)


class Box(NamedTuple):
    """A kind of bay, inside sizes. The first of a range is never gone below, however crowded."""

    name: str
    length_mm: Range
    width_mm: Range
    height_mm: Range
    along: tuple[float, float]  # where its middle is, as a share of the body's length
    air: tuple[Air, ...]
    habitable: bool
    battery: bool
    electronics: bool
    mass_kg: Range
    boards: str


_BOXES = (
    Box("cupboard", (920, 1150), (450, 620), (800, 1400), (0.3, 0.5), ("cabin",), True, False, True, (50, 80),
        "side back"),
    Box("kitchen_base", (920, 1300), (460, 600), (640, 760), (0.45, 0.6), ("cabin",), True, False, True, (50, 80),
        "side back"),
    Box("desk_base", (800, 1200), (460, 560), (640, 720), (0.55, 0.7), ("cabin",), True, False, True, (40, 70), "back"),
    Box("service_wall", (1050, 1500), (310, 400), (700, 900), (0.1, 0.25), ("cabin", "closed"), False, False, True,
        (50, 80), "back"),
    Box("galley_base", (380, 460), (950, 1200), (640, 780), (0.12, 0.2), ("cabin", "closed"), False, False, True,
        (35, 50), "side back"),
    Box("overhead", (700, 1100), (280, 320), (260, 300), (0.3, 0.6), ("cabin",), True, False, True, (10, 15), "back"),
    Box("garage", (900, 1400), (800, 1100), (500, 750), (0.1, 0.2), ("closed", "sealed"), False, True, True,
        (110, 160), "side back floor"),
    Box("bench", (850, 1400), (430, 560), (300, 420), (0.35, 0.6), ("sealed",), True, True, False, (80, 120), "floor"),
    Box("seat_base", (580, 760), (390, 480), (290, 360), (0.66, 0.7), ("sealed",), True, True, False, (60, 90),
        "floor"),
    Box("floor_box", (650, 1000), (320, 450), (230, 290), (0.3, 0.55), ("outside",), False, True, False, (60, 100),
        "floor"),
    Box("front_boot", (440, 600), (1500, 1900), (420, 600), (0.91, 0.95), ("sealed", "outside"), False, True, False,
        (90, 160), "floor"),
    Box("axle_locker", (800, 1200), (430, 560), (340, 450), (0.4, 0.5), ("sealed",), True, True, False, (90, 150),
        "floor"),
    Box("tunnel_boot", (400, 500), (1700, 2100), (330, 430), (0.8, 0.88), ("outside",), False, True, False, (80, 140),
        "floor"),
    Box("drawbar_box", (420, 550), (650, 900), (320, 420), (1.06, 1.12), ("outside",), False, True, False, (40, 60),
        "floor"),
)
BOXES = {box.name: box for box in _BOXES}


class Furniture(NamedTuple):
    """Something on the roof."""

    name: str
    length_mm: int
    width_mm: int
    height_mm: Range
    lid_mm: int = 0  # how far a lid lies open; 0: none


FURNITURE = (
    Furniture("vent_dome", 280, 280, (50, 80)),
    Furniture("fan", 420, 420, (90, 120)),
    Furniture("hatch", 480, 480, (70, 100), 120),
    Furniture("skylight", 600, 800, (80, 110), 150),
    Furniture("dish", 500, 500, (120, 180)),
    Furniture("roof_cooler", 800, 600, (180, 230)),
)


class Climate(NamedTuple):
    """Where it travels; month, lowest and highest air of each kind of weather."""

    place: Place
    hot: tuple[int, float, float]
    grey: tuple[int, float, float]
    night: tuple[int, float, float]


def _place(latitude: float, longitude: float, utc_offset_h: float, low_c: float, high_c: float) -> Place:
    return Place(latitude=latitude, longitude=longitude, utc_offset_h=utc_offset_h, altitude_m=200,
                 record_low_c=low_c, record_high_c=high_c)


PLACES = (
    Climate(_place(48, 9, 1, -15, 38), (7, 17, 33), (10, 4, 13), (3, -2, 8)),
    Climate(_place(44, 3, 1, -12, 40), (7, 19, 35), (10, 8, 17), (4, 1, 11)),
    Climate(_place(-30.5, 151, 10, -6, 44), (1, 21, 36), (3, 17, 27), (7, -1, 12)),
    Climate(_place(57, 14, 1, -25, 34), (7, 12, 28), (9, 6, 13), (4, -3, 6)),
    Climate(_place(37, -5, 0, -5, 44), (7, 21, 36), (11, 9, 17), (1, 3, 13)),
    Climate(_place(-41, 173, 12, -6, 34), (1, 13, 27), (4, 8, 15), (8, 1, 10)),
)


class LoadRange(NamedTuple):
    """A load, in ranges; ``surge`` is a multiple of its watts, ``circuit`` empty for the 12 V panel."""

    name: str
    circuit: str
    watt_w: Range
    surge: float
    duty_pct: Range
    from_h: int
    to_h: int
    scenarios: str


class Life(NamedTuple):
    """What people do in it."""

    name: str
    mains: bool  # cannot do without
    autonomy_days: tuple[float, ...]
    voltages: tuple[tuple[Voltage, ...], ...]
    loads: tuple[LoadRange, ...]


_BASE = (
    LoadRange("fridge", "", (35, 50), 2.2, (28, 38), 0, 24, "all"),
    LoadRange("lights", "", (15, 25), 0, (70, 90), 18, 23, "all"),
    LoadRange("water_pump", "", (45, 60), 2.5, (6, 10), 7, 21, "all"),
    LoadRange("base_load", "", (3, 6), 0, (100, 100), 0, 24, "all"),
    LoadRange("phones", "", (20, 30), 0, (40, 60), 18, 22, "all"),
    LoadRange("cool_box", "", (30, 45), 1.8, (50, 70), 10, 17, "hot_clear_day"),
)
_WEEKEND = (LoadRange("coffee_machine", "galley", (350, 600), 0, (20, 30), 7, 8, "all"),)
_TOURING = (
    LoadRange("kettle", "galley", (750, 900), 0, (20, 30), 7, 8, "all"),
    LoadRange("television", "", (30, 50), 0, (80, 100), 19, 22, "grey_pair night hook_up_evening"),
    LoadRange("roof_fan", "", (12, 25), 1.5, (50, 70), 11, 20, "hot_clear_day"),
    LoadRange("air_heater", "", (20, 30), 4, (50, 65), 18, 8, "grey_pair night travel_day"),
    LoadRange("laptop", "", (50, 80), 0, (40, 60), 9, 15, "hot_clear_day grey_pair travel_day"),
)
_REMOTE = (
    LoadRange("satellite_link", "", (28, 40), 1.2, (100, 100), 7, 21, "hot_clear_day grey_pair travel_day"),
    LoadRange("monitors", "galley", (60, 120), 0, (70, 90), 8, 17, "hot_clear_day grey_pair"),
    LoadRange("printer", "galley", (150, 300), 1.5, (3, 6), 9, 16, "hot_clear_day"),
)
_ELECTRIC = (
    LoadRange("hob_at_noon", "galley", (1000, 1300), 0, (28, 38), 12, 14, "hot_clear_day"),
    LoadRange("hob", "galley", (1000, 1300), 0, (28, 38), 18, 20, "grey_pair travel_day"),
    LoadRange("microwave", "galley", (1000, 1300), 1.2, (12, 18), 8, 9, "hot_clear_day grey_pair"),
    LoadRange("bicycle_charger", "galley", (120, 240), 0, (70, 90), 9, 12, "hot_clear_day grey_pair"),
    LoadRange("water_heater", "hook_up", (600, 900), 0, (50, 80), 20, 22, "hook_up_evening"),
)
_COOLED = (
    LoadRange("air_conditioner", "climate", (550, 850), 2.6, (55, 78), 9, 17, "hot_clear_day"),
    LoadRange("dehumidifier", "climate", (200, 300), 2, (40, 60), 12, 16, "grey_pair"),
)
_LIVES = (
    Life("weekend", False, (0, 1, 1.5), ((12,),), (*_BASE, *_WEEKEND)),
    Life("touring", False, (0, 1, 1.5), ((12,),), (*_BASE, *_TOURING)),
    Life("remote work", True, (0, 0.75, 1), ((12,), (12,), (12, 24)), (*_BASE, *_TOURING, *_REMOTE)),
    Life("all-electric", True, (0, 0.5), ((12,), (12, 24), (24, 48)), (*_BASE, *_TOURING, *_ELECTRIC)),
    Life("air conditioning", True, (0, 0.5), ((12,), (12, 24), (24, 48)), (*_BASE, *_TOURING, *_COOLED)),
)
LIVES = {life.name: life for life in _LIVES}
