"""Seeded random vehicles that a fitter would recognise. The same seed makes the same vehicle everywhere.

Sizes, masses and loads are drawn from ranges of the trade (common practice, no source). What is drawn is
kept as it comes: some vehicles have room to spare, some are honestly too tight for what is asked of them.
"""

from dataclasses import dataclass
from itertools import pairwise
from random import Random
from typing import Any, Literal

from optimiser import case as c
from optimiser.catalogue import Catalogue
from optimiser.parts import Voltage
from tests.vehicle_ranges import BOXES, FURNITURE, LIVES, PLACES, SHELLS, Box, Climate, Life, Range, Shell

SEEDS = range(1, 31)
PAIRS = [(shell, life) for shell in SHELLS for life in shell.lives]

Row = dict[str, Any]


def vehicle(seed: int, catalogue: Catalogue) -> c.Case:
    """The vehicle of that seed, as if read from its folder ``vehicle-<seed>``.

    Bodies and the lives led in them go round with the seed, so that thirty seeds meet each pair twice.
    """
    shell, life = PAIRS[seed % len(PAIRS)]
    return _Drawn(Random(seed), catalogue, shell, LIVES[life]).case(f"vehicle-{seed}")


@dataclass(frozen=True)
class _Extras:
    """What this vehicle has besides panels, bank and loads."""

    alternator: bool
    alternator_charger: c.Choice
    inlet: bool
    portable: bool
    pass_through: bool


class _Drawn:
    """One vehicle while it is drawn. The order of the draws is part of what a seed means."""

    def __init__(self, rng: Random, catalogue: Catalogue, shell: Shell, life: Life) -> None:
        self.rng, self.catalogue, self.shell, self.life = rng, catalogue, shell, life
        self.climate: Climate = rng.choice(PLACES)
        self.mains = self.life.mains or self.chance(0.4)
        self.length = self.span(self.shell.length_mm, 50)
        self.voltages: tuple[Voltage, ...] = rng.choice(life.voltages)
        self.side = rng.choice((-1, 1))  # where most of the furniture is
        alternator = self.chance(0.7 if self.shell.towed else 0.9)
        choices: tuple[c.Choice, ...] = ("may", "may", "may", "must", "no") if alternator else ("may",)
        charger = rng.choice(choices)
        self.extras = _Extras(
            alternator=alternator,
            alternator_charger=charger,
            inlet=self.chance(0.5),
            # Alone and hot, it only starts the low solar input of a 12 V alternator charger.
            portable=alternator and charger != "no" and 12 in self.voltages and self.chance(0.3),
            pass_through=self.chance(0.2),
        )

    # --- drawing -----------------------------------------------------------------------------------

    def span(self, ends: Range, step: int = 10) -> int:
        """A whole number between two ends."""
        return self.rng.randrange(ends[0], ends[1] + 1, step)

    def share(self, low: float, high: float) -> float:
        """A share, to two digits."""
        return round(self.rng.uniform(low, high), 2)

    def chance(self, share: float) -> bool:
        """Whether something is so in that share of vehicles."""
        return self.rng.random() < share

    def case(self, name: str) -> c.Case:
        """All of it."""
        scenarios = self._scenarios()
        loads = self._loads([s.name for s in scenarios])
        zones = self._zones()
        obstacles = self._obstacles(zones)
        boxes = self._boxes()
        bays = tuple(self._bay(box, near=place < 2) for place, box in enumerate(boxes))
        boards = tuple(board for box, bay in zip(boxes, bays, strict=True) for board in self._boards(box, bay))
        keep = self._keep(boards)
        brief = self._brief(loads)
        ways = self._ways(brief, zones, bays)
        rules = self.catalogue.rule_sets[brief.rule_set]
        return c.Case(name, brief, rules, loads, scenarios, zones, obstacles, bays, boards, ways, keep)

    # --- what must run -----------------------------------------------------------------------------

    def _scenarios(self) -> tuple[c.Scenario, ...]:
        rng, weather = self.rng, self.climate
        portable = (10, 16) if self.extras.portable else (None, None)
        returns = self.chance(0.45)
        found = [
            self._span_of_days(
                "hot_clear_day", weather.hot, start_h=7, hours=24, clearness=self.share(0.88, 1),
                start_pct=rng.choice((60, 70, 80)) if returns else 95, returns=returns,
                portable_from_h=portable[0], portable_to_h=portable[1],
            ),
            self._span_of_days(
                "grey_pair", weather.grey, start_h=7, hours=48, clearness=self.share(0.3, 0.45),
                start_pct=rng.choice((95, 100)), returns=False,
            ),
        ]  # fmt: skip
        if self.chance(0.6):
            hours = self.span((11, 14), 1)
            found.append(self._span_of_days("night", weather.night, start_h=18, hours=hours, clearness=0, start_pct=65))
        if self.extras.alternator and self.extras.alternator_charger != "no" and self.chance(0.4):
            drive = {"drive_from_h": 9, "drive_to_h": self.span((11, 13), 1)}
            day: Row = {"start_h": 8, "hours": 24, "clearness": 0.5, "start_pct": 50, "returns": self.chance(0.5)}
            found.append(self._span_of_days("travel_day", weather.grey, **day, **drive))
        elif self.extras.inlet and self.chance(0.6):
            evening: Row = {"start_h": 18, "hours": 14, "clearness": 0, "start_pct": 40, "returns": True}
            found.append(
                self._span_of_days("hook_up_evening", weather.grey, **evening, hook_up_from_h=18, hook_up_to_h=8)
            )
        return tuple(found)

    def _span_of_days(self, name: str, weather: tuple[int, float, float], **other: Any) -> c.Scenario:
        month, low, high = weather
        warmer = self.span((-1, 1), 1)
        usual: Row = {"day": self.span((3, 26), 1), "returns": False}
        temps: Row = {"temp_min_c": low + warmer, "temp_max_c": high + warmer}
        return c.Scenario(name=name, month=month, **(usual | temps | other))

    def _loads(self, scenarios: list[str]) -> tuple[c.Load, ...]:
        found = []
        for item in self.life.loads:
            where = [name for name in item.scenarios.split() if name in ("all", *scenarios)]
            hook_up = item.circuit == "hook_up"
            if not where or (item.circuit and not (self.extras.inlet if hook_up else self.mains)):
                continue
            watt = self.span(item.watt_w, 5)
            duty, to_h = self.span(item.duty_pct, 1), item.to_h
            if item.name == "air_conditioner" and not self.shell.towed:
                watt, to_h = round(watt * 0.75), to_h - 2  # a van has less to cool
            found.append(
                c.Load(
                    name=item.name, supply="mains" if item.circuit else "dc", circuit=item.circuit, watt_w=watt,
                    surge_w=round(watt * item.surge), duty_pct=duty, from_h=item.from_h, to_h=to_h,
                    scenarios=tuple(where),
                )
            )  # fmt: skip
        return tuple(found)

    # --- roof --------------------------------------------------------------------------------------

    def _zones(self) -> tuple[c.Zone, ...]:
        length, width = self.span(self.shell.roof_length_mm), self.span(self.shell.roof_width_mm)
        number = self.span(self.shell.zones, 1)
        apart = [self.span((20, 150)) for _ in range(number - 1)]
        weights = [self.rng.uniform(0.7, 1.4) for _ in range(number)]
        usable, x = length - sum(apart), (self.length - length) // 2
        own_plane = number > 1 and self.chance(0.35)  # the front zone slopes, and has its own entry
        zones = []
        for k in range(number):
            front = k == number - 1
            sloped = front and own_plane
            zone_length = round(usable * weights[k] / sum(weights))
            zones.append(
                c.Zone(
                    name=f"roof_{k + 1}", roof_plane="front" if sloped else "flat", x_mm=x, y_mm=-width // 2,
                    length_mm=zone_length, width_mm=width,
                    tilt_deg=self.span((2, 8), 1) if sloped else 0, azimuth_deg=180 if sloped else 0,
                    set_back_mm=self.rng.choice((40, 50, 60)), front_set_back_mm=self.span((150, 250)) if front else 20,
                    walkway_mm=250 if self.chance(0.12) else 0, walkway_side=self.rng.choice(("left", "right")),
                    mass_max_kg=round(zone_length * width / 1e6 * self.rng.uniform(12, 20)) + 5,
                    crown_mm=self.span(self.shell.crown_mm, 5), rigid=self.chance(0.9),
                    entry="front_gland" if sloped else "roof_gland",
                )
            )  # fmt: skip
            x += zone_length + (0 if front else apart[k])
        return tuple(zones)

    def _obstacles(self, zones: tuple[c.Zone, ...]) -> tuple[c.Obstacle, ...]:
        """Up to five, fewer on a small roof, no two alike; one that finds no free place is not there."""
        found: list[c.Obstacle] = []
        area_m2 = sum(zone.length_mm * zone.width_mm for zone in zones) / 1e6
        for thing in self.rng.sample(FURNITURE, self.span((0, min(5, round(area_m2 / 1.5))), 1)):
            zone = self.rng.choice(zones)
            for _ in range(20):
                x_most, y_most = zone.length_mm - thing.length_mm - 60, zone.width_mm - thing.width_mm - 60
                if x_most < 60 or y_most < 60:
                    break
                placed = c.Obstacle(
                    name=thing.name, zone=zone.name, x_mm=zone.x_mm + self.span((60, x_most)),
                    y_mm=zone.y_mm + self.span((60, y_most)), length_mm=thing.length_mm, width_mm=thing.width_mm,
                    height_mm=self.span(thing.height_mm), clear_mm=self.rng.choice((40, 50, 60)),
                    lid_side=self.rng.choice(("front", "rear", "left", "right")) if thing.lid_mm else "none",
                    lid_reach_mm=thing.lid_mm,
                )  # fmt: skip
                if not any(_overlap(placed, other, 60) for other in found if other.zone == zone.name):
                    found.append(placed)
                    break
        return tuple(found)

    # --- bays --------------------------------------------------------------------------------------

    def _boxes(self) -> list[Box]:
        """Somewhere for the electronics, somewhere for the bank, and what else there is."""
        number = max(self.span(self.shell.bays, 1), 3 if self.life.mains else 2)
        # Who cannot do without mains power has room for a bank to match, and two places for electronics.
        banks = self.shell.banks[:2] if self.life.mains else self.shell.banks
        first = [self.rng.choice(self.shell.cupboards), self.rng.choice(banks)]
        cupboards = [name for name in (*self.shell.cupboards, "overhead") if name not in first]
        if self.life.mains:
            first.append(cupboards.pop(0))
        rest = cupboards + [name for name in self.shell.banks if name not in first]
        self.rng.shuffle(rest)
        return [BOXES[name] for name in [*first, *rest][:number]]

    def _bay(self, box: Box, *, near: bool) -> c.Bay:
        crowded = self.share(0.85, 1)
        length, width, height = (
            max(ends[0], round(self.span(ends) * crowded)) for ends in (box.length_mm, box.width_mm, box.height_mm)
        )
        air = self.rng.choice(box.air)
        side = 0 if width > 1200 else self.side if near or self.chance(0.6) else -self.side
        opening = sorted(round(size * self.share(0.82, 0.95)) for size in (length, width, height))[1:]
        return c.Bay(
            name=box.name, length_mm=length, width_mm=width, height_mm=height,
            x_mm=round(self.length * self.rng.uniform(*box.along)), y_mm=side * (self.shell.width_mm - width) // 2,
            opening_length_mm=opening[1], opening_width_mm=opening[0], air=air, habitable=box.habitable,
            battery=box.battery, electronics=box.electronics and air != "sealed",
            mass_max_kg=self.span(box.mass_kg, 5), rise_k=self.rng.choice((4, 5, 6)),
            cold_rise_k=self.rng.choice((1, 2, 3) if air == "outside" else (5, 6, 8)), u_w_m2k=3,
            stack_mm=max(150, round(height * 0.7)), vent_cm2=self.span((60, 250)),
            cut_out_max_cm2=self.span((400, 1600), 50), cable_allowance_mm=self.span((250, 400), 50),
        )  # fmt: skip

    def _boards(self, box: Box, bay: c.Bay) -> list[c.Board]:
        """Side wall, back wall and floor share the room: each takes what those before it have left."""
        long, deep = max(bay.length_mm, bay.width_mm) - 20, min(bay.length_mm, bay.width_mm) - 20
        high = bay.height_mm - 20
        seen: Row = {"reach": True, "sight": True}
        found = []
        if "side" in box.boards and long >= 900:
            depth = self.span((130, 200))
            wall: Row = {"kind": "wall", "length_mm": deep, "width_mm": round(high * 0.95), "depth_mm": depth}
            found.append(c.Board(bay=bay.name, name="side", outside_wall=self.chance(0.4), **wall, **seen))
            long -= depth
        if "back" in box.boards:
            depth = min(self.span((250, 320)), deep)
            wall = {"kind": "wall", "length_mm": long, "width_mm": high, "depth_mm": depth}
            # The only outside wall a pass-through could count on.
            found.append(c.Board(bay=bay.name, name="back", outside_wall=True, **wall, **seen))
            deep -= depth
        if "floor" in box.boards:
            along_x = bay.length_mm >= bay.width_mm
            size: Row = {"length_mm": long if along_x else deep, "width_mm": deep if along_x else long}
            found.append(
                c.Board(bay=bay.name, name="floor", kind="floor", depth_mm=high, reach=True, sight=False, **size)
            )
        return found

    def _keep(self, boards: tuple[c.Board, ...]) -> tuple[c.Existing, ...]:
        """Now and then an old battery or a pump stays, in a corner of a floor."""
        floors = [b for b in boards if b.kind == "floor" and b.length_mm >= 700 and b.width_mm >= 300]
        if not floors or self.chance(0.7):
            return ()
        floor = self.rng.choice(floors)
        kind: Literal["fixture", "lead_acid"] = "lead_acid" if self.chance(0.4) else "fixture"
        size: Row = {"length_mm": 180, "width_mm": 150, "depth_mm": 140}
        if kind == "lead_acid":
            size = {"length_mm": 280, "width_mm": 180, "depth_mm": 200, "heat_w": 2, "cells": 6, "capacity_ah": 70}
        at: Row = {"x_mm": 0, "y_mm": floor.width_mm - size["width_mm"]}
        name = {"fixture": "water_pump", "lead_acid": "old_battery"}[kind]
        return (c.Existing(name=name, kind=kind, board=floor.place, **at, **size),)

    # --- ways --------------------------------------------------------------------------------------

    def _ways(self, brief: c.Brief, zones: tuple[c.Zone, ...], bays: tuple[c.Bay, ...]) -> tuple[c.Way, ...]:
        row = sorted(bays, key=lambda bay: bay.x_mm)
        ways = [way for one, other in pairwise(row) for way in self._between(one, other)]
        if len(row) > 3 and self.chance(0.4):
            ways += self._between(row[0], row[2])[:1]
        main, front = bays[0].name, row[-1].name
        ways.append(self._way("panel_stub", main, brief.dc_panel_point, (400, 900), (40, 50), "low"))
        electronics = [bay.name for bay in bays if bay.electronics]
        for entry in dict.fromkeys(zone.entry for zone in zones):
            bay = main if self.chance(0.7) else self.rng.choice(electronics)
            ways.append(self._way(f"{entry}_drop", entry, bay, (1000, 2600), (25, 32, 40), "low", temp_c=55))
        if brief.alternator:
            for bay in dict.fromkeys((front, main) if self.chance(0.7) else (front,)):
                length = (1500, 3000) if bay == front else (3000, 5000)
                ways.append(self._way(f"feed_{bay}", brief.alternator.point, bay, length, (50, 60), "low", temp_c=50))
        if brief.inlet:
            ways.append(self._way("inlet_leg", brief.inlet.point, main, (500, 1500), (32, 40), "mains"))
        if brief.portable:
            ways.append(self._way("socket_leg", brief.portable.point, main, (600, 1500), (25, 32), "low", temp_c=45))
        for outside in brief.pass_throughs:
            ways.append(self._way(f"{outside.name}_leg", outside.point, main, (600, 1500), (25, 32), "low"))
        return tuple(ways)

    def _between(self, one: c.Bay, other: c.Bay) -> list[c.Way]:
        """One to three ways side by side; the first is the wide one."""
        apart = abs(one.x_mm - other.x_mm) + abs(one.y_mm - other.y_mm)
        length = (apart + 150, apart + 450)
        name = f"{one.name}_{other.name}"
        divided = self.chance(0.7)
        ways = [self._way(name, one.name, other.name, length, (50, 60, 63, 70, 80), "any", divided=divided)]
        for number in range(2, self.span((1, 3), 1) + 1):
            if self.chance(0.35):
                ways.append(self._way(f"{name}_{number}", one.name, other.name, length, (25, 32), "mains"))
            else:
                ways.append(self._way(f"{name}_{number}", one.name, other.name, length, (32, 40, 50, 60), "low"))
        return ways

    def _way(
        self, name: str, start: str, end: str, length_mm: Range, bores_mm: tuple[int, ...], carries: str, **other: Any
    ) -> c.Way:
        usual: Row = {"carries": carries, "temp_c": 40, "bore_mm": self.rng.choice(bores_mm)}
        return c.Way(name=name, start=start, end=end, length_mm=self.span(length_mm), **(usual | other))

    # --- brief -------------------------------------------------------------------------------------

    def _brief(self, loads: tuple[c.Load, ...]) -> c.Brief:
        extras, rng = self.extras, self.rng
        portables = [p.name for p in self.catalogue.of("panels").values() if p.kind == "portable"]
        sources = dict.fromkeys(load.circuit for load in loads if load.circuit)
        amps = rng.choice((120, 150, 180))
        aerial = c.PassThrough(name="aerial", carries="data", ip_class=rng.choice((44, 65, 67)), point="router")
        return c.Brief(
            title=f"{self.shell.name}, {self.life.name}",
            labour_per_h=rng.choice((60, 70, 80)),
            system_voltages=self.voltages,
            alternator_charger=extras.alternator_charger,
            mains_charger=rng.choice(("may", "may", "must")) if extras.inlet else "may",
            dc_panel_point="dc_panel",
            place=self.climate.place,
            vehicle=self._trailer() if self.shell.towed else self._van(),
            limits=c.Limits(
                autonomy_days=rng.choice(self.life.autonomy_days), autonomy_scenario="grey_pair",
                budget=rng.choice((4000, 6000, 9000)) if self.chance(0.1) else None,
                recharge_h=rng.choice((12, 16)) if extras.inlet and self.chance(0.3) else None,
                bay_air_max_c=rng.choice((45, 46, 47, 48)), soc_floor_pct=rng.choice((10, 15, 20)),
                regulators_at_most=2 if extras.portable else rng.choice((1, 2, 2)), crown_gap_mm=rng.choice((30, 40)),
            ),
            alternator=c.Alternator(rating_a=amps, point="engine") if extras.alternator else None,
            inlet=c.Inlet(rating_a=rng.choice((10, 16)), point="inlet") if extras.inlet else None,
            portable=c.Portable(panel=rng.choice(portables), point="side_socket") if extras.portable else None,
            circuits=tuple(c.Circuit(name=name, source=_source(name)) for name in sources),
            pass_throughs=(aerial,) if extras.pass_through else (),
        )  # fmt: skip

    def _trailer(self) -> c.Trailer:
        base, payload = self.span(self.shell.base_kg), self.span(self.shell.payload_kg, 5)
        hitch = round(base * self.rng.uniform(0.06, 0.1))
        coupling, axle = self.length + self.span((1050, 1250)), round(self.length * self.rng.uniform(0.42, 0.48))
        return c.Trailer(
            kind="trailer", coupling_x_mm=coupling, axle_x_mm=axle, track_mm=self.shell.width_mm - 150,
            payload_kg=payload, base_axle_kg=base - hitch, base_hitch_kg=hitch,
            axle_max_kg=base - hitch + round(payload * self.rng.uniform(0.8, 1.3)),
            hitch_min_kg=round(hitch * self.rng.uniform(0.7, 0.95)),
            hitch_max_kg=hitch + round(payload * self.rng.uniform(0.12, 0.4)), balance_max_kg=round(payload * 0.5),
        )  # fmt: skip

    def _van(self) -> c.Van:
        base, payload = self.span(self.shell.base_kg), self.span(self.shell.payload_kg, 5)
        front = round(base * self.rng.uniform(0.47, 0.53))
        return c.Van(
            kind="van", front_axle_x_mm=self.length - 950, rear_axle_x_mm=self.span((950, 1150)),
            track_mm=self.shell.width_mm - 250, payload_kg=payload, base_front_kg=front, base_rear_kg=base - front,
            front_max_kg=front + round(payload * self.rng.uniform(0.6, 1)),
            rear_max_kg=base - front + round(payload * self.rng.uniform(0.7, 1.1)),
            balance_max_kg=round(payload * 0.5),
        )  # fmt: skip


def _source(circuit: str) -> Literal["inverter", "hook_up"]:
    return "hook_up" if circuit == "hook_up" else "inverter"


def _overlap(one: c.Obstacle, other: c.Obstacle, gap: int) -> bool:
    return (
        one.x_mm < other.x_mm + other.length_mm + gap
        and other.x_mm < one.x_mm + one.length_mm + gap
        and one.y_mm < other.y_mm + other.width_mm + gap
        and other.y_mm < one.y_mm + one.width_mm + gap
    )
