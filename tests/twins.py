"""The same optimum found twice: every build of a tiny world looked at in turn, with the audit as the only judge.

Nothing of the model is used. A build is a handful of decisions; they are gone through depth first, the
dearest-looking last, and what cannot be better than the best so far is cut off. Where the audit finds a
breach, the decisions that breach can depend on are noted (`depends_on`), so that the same combination is not
tried again. Depending on too much only costs time; `sampled` looks for the harm of depending on too little.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import product
from typing import Any

from optimiser import build as b
from optimiser.audit import Finding, audit, breaches, worth
from optimiser.basis import bodies, money, paths
from optimiser.basis.money import Worth
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.parts import Body
from tests.placing import Thing, Field, Rect, place

Values = dict[str, Any]  # decision -> value
Nogood = frozenset[tuple[str, Any]]

ABSENT = None
ROWS = ("fuse_row", "measuring_row")
ONE_PART = ("main_fuse", "isolator", "busbar", "display", "regulator_1", "inverter", "switch", "mains_box")
ENDS = {  # run -> the slots it goes between; points and entries carry the case's name
    "main": ("bank", "busbar"),
    "inverter": ("busbar", "inverter"),
    "inverter_out": ("inverter", "mains_box"),
    "regulator_1": ("regulator_1", "busbar"),
    "solar_array_1": ("@roof", "regulator_1"),
    "dc_loads": ("busbar", "@loads"),
    "display": ("busbar", "display"),
    "switch": ("inverter", "switch"),
}
VALUES_BY = {  # what the values of a decision depend on
    "main_fuse": ("fuse:main",),
    **dict.fromkeys(("regulator_1", "gland", "fuse:regulator_1"), ("array",)),
    **dict.fromkeys(("cable:regulator_1", "cable:solar_array_1"), ("array",)),
}
FUSED = ("main", "inverter", "regulator_1", "dc_loads")
IN_ROW = ("inverter", "regulator_1", "dc_loads")


@dataclass(frozen=True)
class Best:
    """The least (cost, mass) or (mass, cost), and how many builds were audited for it."""

    cost_cents: int
    mass_g: int
    build: b.Build


@dataclass
class Twin:
    """A world whose builds are gone through: one array at most on one regulator, 12 V, no chargers but the sun."""

    case: Case
    catalogue: Catalogue
    nogoods: dict[tuple[str, Any], list[Nogood]] = field(default_factory=lambda: defaultdict(list))
    worths: dict[tuple[str, Any], Worth] = field(default_factory=dict)
    between: dict[tuple[str, str], tuple[str, str, tuple[str, ...], int]] = field(default_factory=dict)
    audits: int = 0

    def __post_init__(self) -> None:
        brief = self.case.brief
        assert brief.system_voltages == (12,) and not (brief.inlet or brief.alternator or brief.portable)
        assert len(self.case.zones) == 1 and not brief.pass_throughs
        assert self.case.limits.regulators_at_most == 1
        self.boards = [board.place for board in self.case.boards]
        self.with_inverter = any(load.supply == "mains" for load in self.case.loads)
        self.names = list(self._names())
        self.floors = {name: self._floor(name) for name in self.names}

    # --- decisions -----------------------------------------------------------------------------------

    def _names(self) -> Iterator[str]:
        yield from ("bank", "array", "regulator_1")
        if self.with_inverter:
            yield from ("inverter", "switch", "mains_box")
        yield from ("busbar", "isolator", "display", "fuse_row", "measuring_row")
        yield from (f"fuse:{run}" for run in FUSED if self.with_inverter or run != "inverter")
        yield "main_fuse"
        for run in ENDS:
            if self.with_inverter or run not in ("inverter", "inverter_out", "switch"):
                yield f"cable:{run}"
        yield from ("shunts", "gland", "vents")

    def values(self, name: str, so_far: Values) -> list[Any]:
        """What a decision can be once those before it are taken."""
        kind, _, run = name.partition(":")
        sunless = so_far.get("array", 0) is ABSENT
        if name in ("regulator_1", "gland") or run in ("regulator_1", "solar_array_1"):
            if sunless:
                return [ABSENT]
        if name == "bank":
            return list(self._banks())
        if name == "array":
            return [ABSENT, *self._arrays()]
        if name == "main_fuse":
            holder = self.part(self.part(so_far["fuse:main"]).holder)
            return [(holder.name, board) for board in self.boards]
        if name in ROWS:
            return [(board, turned) for board in self.boards for turned in (False, True)]
        if name in ONE_PART:
            return [(part, board) for part in self.catalogue.of(_table(name)) for board in self.boards]
        if kind == "fuse":
            return list(self.catalogue.of("fuses"))
        if kind == "cable":
            wanted = {"inverter_out": "mains", "display": "data", "switch": "data"}.get(run, "dc")
            return [c.name for c in self.catalogue.of("cables").values() if c.kind == wanted]
        if name == "shunts":
            return list(product(range(3), repeat=len(self.catalogue.of("shunts"))))
        if name == "gland":
            return [(entry, n) for entry in self.catalogue.of("entries") for n in (1, 2)]
        assert name == "vents"
        places = [bay.name for bay in self.case.bays if bay.cut_out_max_cm2]
        return list(product(range(3), repeat=len(places) * len(self.catalogue.of("vents"))))

    def _banks(self) -> Iterator[Any]:
        for module in self.catalogue.of("modules").values():
            for parallel in range(1, module.parallel_max + 1):
                for rows in (r for r in range(1, parallel + 1) if parallel % r == 0):
                    for board, turned in product(self.boards, (False, True)):
                        yield module.name, parallel, rows, board, turned

    def _arrays(self) -> Iterator[Any]:
        most = int(self.case.rules["string_fuse_from"]) - 1
        for panel in self.catalogue.of("panels"):
            for series, parallel in product(range(1, 4), range(1, most + 1)):
                yield panel, series, parallel

    # --- money and mass ------------------------------------------------------------------------------

    def part(self, name: str) -> Any:
        """A part of the catalogue."""
        return self.catalogue.find(name)

    def worth(self, name: str, value: Any, so_far: Values) -> Worth:
        """What a decision adds to cost and mass."""
        kind, _, run = name.partition(":")
        if kind == "cable" and value is not ABSENT:
            return self._cable(value, self._path(run, so_far)[3])
        if (name, value) not in self.worths:
            self.worths[name, value] = self._worth(name, value)
        return self.worths[name, value]

    def _worth(self, name: str, value: Any) -> Worth:
        kind, _, run = name.partition(":")
        if value is ABSENT or name in ROWS:
            return Worth(0, 0)
        if kind == "fuse":
            fuse = self.part(value)
            in_row = [self._part(fuse.holder)] if run != "main" else []  # the main one's holder is a slot
            return _sum([self._part(value), *in_row])
        if name == "bank":
            return self._part(value[0]).times(value[1])
        if name == "array":
            return self._part(value[0]).times(value[1] * value[2])
        if name == "gland":
            return self._part(value[0]).times(value[1])
        if name in ("shunts", "vents"):
            parts = list(self.catalogue.of("shunts" if name == "shunts" else "vents"))
            return _sum(self._part(parts[k % len(parts)]).times(n) for k, n in enumerate(value))
        return self._part(value[0])

    def _part(self, name: str) -> Worth:
        return money.part_worth(self.part(name), self.case.brief.labour_per_h)

    def _cable(self, cable: str, steps: int) -> Worth:
        if (cable, steps) not in self.worths:
            part, rate = self.part(cable), self.case.brief.labour_per_h
            both = [money.cable_worth_a_step(part, rate).times(steps), money.cable_ends_worth(part, rate)]
            self.worths[cable, steps] = _sum(both)
        return self.worths[cable, steps]

    def _floor(self, name: str) -> Worth:
        """The least a decision can add, whatever the others are."""
        optional = name in ("array", "regulator_1", "gland", "shunts", "vents") or name.endswith(
            ("regulator_1", "solar_array_1")
        )
        if optional or name in ROWS:
            return Worth(0, 0)
        kind, _, run = name.partition(":")
        if kind == "cable":
            shortest = min(bay.lead_mm for bay in self.case.bays) // money.STEP_MM
            each = [self._cable(value, shortest) for value in self.values(name, {})]
        elif name == "main_fuse":
            each = [self._part(holder) for holder in self.catalogue.of("holders")]
        else:
            each = [self.worth(name, value, {}) for value in self.values(name, {})]
        return Worth(min(w.cents for w in each), min(w.grams for w in each))

    def _path(self, run: str, so_far: Values) -> tuple[str, str, tuple[str, ...], int]:
        """Start, end, ways and steps of a run: in these worlds there is just one path."""
        start, end = (self._node(slot, so_far) for slot in ENDS[run])
        if (start, end) not in self.between:
            found = paths.shortest(self.case, paths.network(self.case), start, end)
            assert len(found) == 1, "these worlds have one path between any two nodes"
            length = paths.run_length_mm(self.case, start, end, found[0].ways_mm)
            ways = tuple(way.name for way in found[0].ways)
            self.between[start, end] = (start, end, ways, money.cut_steps(length))
        return self.between[start, end]

    def _node(self, slot: str, so_far: Values) -> str:
        if slot == "@roof":
            return self.case.zones[0].entry
        if slot == "@loads":
            return self.case.brief.dc_panel_point
        return self._board(slot, so_far).partition(".")[0]

    def _board(self, slot: str, so_far: Values) -> str:
        value = so_far[slot]
        board = {"bank": 3, **dict.fromkeys(ROWS, 0)}.get(slot, 1)
        return str(value[board])

    # --- builds --------------------------------------------------------------------------------------

    def build(self, at: Values) -> b.Build | set[str]:
        """The build of all decisions, or those that cannot be had together for lack of room."""
        laid = self._stand(at)
        if isinstance(laid, set):
            return laid
        panels = self._lie(at)
        if panels is None:
            return {"array"}
        module, parallel, rows, board, turned = at["bank"]
        fitted = [b.Fitted("bank", "", board, *laid["bank"], turned=turned)]
        for slot in (s for s in ONE_PART if at.get(s)):
            fitted.append(b.Fitted(slot, at[slot][0], at[slot][1], *laid.get(slot, (0, 0))))
        for row in ROWS:
            fitted.append(b.Fitted(row, "", at[row][0], *laid.get(row, (0, 0)), turned=at[row][1]))
        runs = []
        for name in (n.partition(":")[2] for n in self.names if n.startswith("cable:")):
            if at[f"cable:{name}"] is not ABSENT:
                start, end, ways, _ = self._path(name, at)
                runs.append(b.Run(name, start, end, ways, at[f"cable:{name}"], at.get(f"fuse:{name}") or ""))
        array, light = at["array"], self.case.zones[0].light
        shunts = zip(self.catalogue.of("shunts"), at["shunts"], strict=True)
        vents = zip(self._vent_places(), at["vents"], strict=True)
        return b.Build(
            case=self.case.name,
            system_v=12,
            bank=b.Bank(module, 1, parallel, rows, parallel // rows),
            panels=panels,
            arrays=(b.PanelArray("array_1", array[0], light, array[1], array[2], "regulator_1"),) if array else (),
            fitted=tuple(fitted),
            runs=tuple(runs),
            vents=tuple(b.FittedVent(bay, vent, n) for (bay, vent), n in vents if n),
            measuring=tuple(b.Measuring(name, n) for name, n in shunts if n),
            entries=(b.FittedEntry(light, *at["gland"]),) if at["gland"] else (),
        )

    def _vent_places(self) -> list[tuple[str, str]]:
        bays = [bay.name for bay in self.case.bays if bay.cut_out_max_cm2]
        return list(product(bays, self.catalogue.of("vents")))

    def _stand(self, at: Values) -> dict[str, tuple[int, int]] | set[str]:
        """A place for every body on its board."""
        found: dict[str, tuple[int, int]] = {}
        for board in self.case.boards:
            here = {s: f for s in ("bank", *ONE_PART, *ROWS) if (f := self._foot(s, at)) and self._board(s, at) == board.place}
            fixed = [Rect(k.x_mm, k.y_mm, k.length_mm, k.width_mm) for k in self.case.keep if k.board == board.place]
            size = Field(board.length_mm, board.width_mm, tuple(fixed))
            ours = tuple(Thing(f.length_mm, f.width_mm, f.clear_x_mm, f.clear_y_mm) for f in here.values())
            spots = place(size, ours)
            if spots is None:
                return {d for slot in here for d in self._sized_by(slot)}
            found |= dict(zip(here, spots, strict=True))
        return found

    def _foot(self, slot: str, at: Values) -> bodies.Footprint | None:
        if at.get(slot) is ABSENT:
            return None
        board = self.case.board_of[self._board(slot, at)]
        if slot == "bank":
            module, parallel, rows, _, turned = at["bank"]
            return bodies.block(self.part(module), stance="flat", turned=turned, rows=rows, columns=parallel // rows)
        if slot in ROWS:
            names = self._members(slot, at)
            if not names:
                return None  # takes no room; the audit says whether it may be empty
            row = bodies.row([self.part(name) for name in names])
            return row.quarter_turn() if at[slot][1] else row
        body: Body = self.part(at[slot][0])
        if getattr(body, "on_terminal", False):
            return None
        return bodies.footprint(body, stance="flat", turned=False, board=board)

    def _members(self, row: str, at: Values) -> list[str]:
        if row == "fuse_row":
            return [self.part(fuse).holder for run in IN_ROW if (fuse := at.get(f"fuse:{run}"))]
        return [name for name, n in zip(self.catalogue.of("shunts"), at["shunts"], strict=True) for _ in range(n)]

    def _sized_by(self, slot: str) -> list[str]:
        if slot == "fuse_row":
            return [slot, *(n for n in self.names if n.startswith("fuse:") and n != "fuse:main")]
        return [slot, "shunts"] if slot == "measuring_row" else [slot]

    def _lie(self, at: Values) -> tuple[b.PlacedPanel, ...] | None:
        """A place for every panel; the audit says whether it is a good one."""
        if at["array"] is ABSENT:
            return ()
        name, series, parallel = at["array"]
        zone, panel = self.case.zones[0], self.part(name)
        edge = {"rear": zone.set_back_mm, "left": zone.set_back_mm, "right": zone.set_back_mm, "front": zone.front_set_back_mm}
        if zone.walkway_mm:
            edge[zone.walkway_side] = max(edge[zone.walkway_side], zone.walkway_mm)
        corner = (zone.x_mm + edge["rear"], zone.y_mm + edge["right"])
        kept_clear = [
            Rect(o.x_mm - o.clear_mm, o.y_mm - o.clear_mm, o.length_mm + 2 * o.clear_mm, o.width_mm + 2 * o.clear_mm)
            for o in self.case.obstacles
        ]
        sheet = Field(
            zone.length_mm - edge["rear"] - edge["front"],
            zone.width_mm - edge["left"] - edge["right"],
            tuple(Rect(r.x - corner[0], r.y - corner[1], r.length, r.width) for r in kept_clear),
        )
        gap, count = self.case.limits.panel_gap_mm, series * parallel
        for turned in range(count + 1):  # so many of them turned a quarter
            ways = [k < turned for k in range(count)]
            sizes = [(panel.width_mm, panel.length_mm) if t else (panel.length_mm, panel.width_mm) for t in ways]
            spots = place(sheet, tuple(Thing(*size, gap, gap, walls=False) for size in sizes))
            if spots is not None:
                return tuple(
                    b.PlacedPanel(zone.name, name, x + corner[0], y + corner[1], t, f"array_1.{k // series + 1}")
                    for k, ((x, y), t) in enumerate(zip(spots, ways, strict=True))
                )
        return None

    # --- what a breach can depend on -----------------------------------------------------------------

    def depends_on(self, finding: Finding) -> set[str]:
        """Decisions that can mend a breach; all of them where that is not plain."""
        names, place_ = set(self.names), finding.place
        family, _, what = finding.name.partition(".")
        source = {"bank", "array", "regulator_1", "inverter"} & names
        slots = {"bank", *ONE_PART, *ROWS} & names
        fuses = {name for name in names if name.startswith("fuse:")}
        if family == "roof":
            return {"array"}
        if family == "string":
            return {"array", "regulator_1"}
        if family == "battery":
            return source
        if finding.name in ("bay.heat", "bay.vents"):
            return slots | {"vents"}
        if finding.name == "bay.mass":
            return slots | fuses | {"shunts"}
        if finding.name in ("inverter.power", "inverter.surge"):
            return {"inverter"}
        if finding.name == "inverter.sag":
            return {"bank", "inverter", "isolator", "busbar", "cable:main", "cable:inverter"}
        if family == "bay" and place_ in slots:
            return {*self._sized_by(place_), "fuse:main"} if place_ == "bank" else set(self._sized_by(place_))
        if finding.name == "run.complete" and place_ in ("isolator", *ROWS):
            return {place_, "busbar"}
        if finding.name == "run.complete" and place_ == "main_fuse":
            return {"bank", "main_fuse", "fuse:main"}
        if finding.name == "run.fuse_distance":
            return {"bank", "main_fuse"}
        if family == "run" and what != "complete":
            return self._wires_of(place_, what, slots) | source
        if family == "protect":
            return source | {"isolator", "busbar", "mains_box"} & names
        if family == "measure":
            return source | {"shunts", "display", "switch"} & names
        if family == "entry":
            return {"gland", "array", "cable:solar_array_1"}
        if family == "energy":
            return source | {"shunts", "display"}
        return names

    def _wires_of(self, run: str, what: str, slots: set[str]) -> set[str]:
        """A run's own decisions, and what stands at its ends."""
        own = {f"cable:{run}", f"fuse:{run}"} & set(self.names)
        own |= {"isolator", "main_fuse", "fuse:main"} if run == "main" else set()
        own |= {"bank", "busbar", "cable:main"} if what == "fuse_breaking" else set()
        if any(way.length_mm > self.case.rules["bundle_from_mm"] for way in self.case.ways):
            return own | slots  # who else takes its ways
        return own | {slot for slot in ENDS[run] if slot in slots}

    # --- going through them --------------------------------------------------------------------------

    def best(self, want: str) -> Best | None:
        """The best of all valid builds, ties broken by the other figure; None if there is none."""
        order: Callable[[Worth], tuple[int, int]] = (
            (lambda w: (w.cents, w.grams)) if want == "cheapest" else (lambda w: (w.grams, w.cents))
        )
        rest = [Worth(0, 0)]
        for name in reversed(self.names):
            rest.append(_sum([rest[-1], self.floors[name]]))
        rest.reverse()
        found: Best | None = None
        at: Values = {}

        def go(depth: int, spent: Worth) -> set[str]:
            """Decisions that, as they are, leave nothing better than the best so far."""
            nonlocal found
            if found and order(_sum([spent, rest[depth]])) >= order(Worth(found.cost_cents, found.mass_g)):
                return self._dear(at)
            if depth == len(self.names):
                conflict = self.judge(at)
                if conflict is None:
                    found = Best(*spent, build=self._sure(at, spent))
                    return self._dear(at)
                return conflict
            name = self.names[depth]
            choices = [(self.worth(name, v, at), v) for v in self.values(name, at)]
            together = set(VALUES_BY.get(name, ()))
            for added, value in sorted(choices, key=lambda c: order(c[0])):
                at[name] = value
                conflict = self._known(name, at) or go(depth + 1, _sum([spent, added]))
                del at[name]
                if name not in conflict:
                    return conflict  # no other value of this one helps
                together |= conflict
            return together - {name}

        go(0, Worth(0, 0))
        return found

    def _dear(self, at: Values) -> set[str]:
        """Decisions that cost or weigh more than the least they could, with those their length comes from."""
        found: set[str] = set()
        for name, value in at.items():
            if self.worth(name, value, at) != self.floors[name]:
                kind, _, run = name.partition(":")
                found |= {name, *(slot for slot in ENDS[run] if not slot.startswith("@"))} if kind == "cable" else {name}
        return found

    def judge(self, at: Values) -> set[str] | None:
        """What is wrong with a build, as decisions to change; None if nothing is."""
        built = self.build(at)
        if isinstance(built, set):
            self._note(built, at)
            return built
        self.audits += 1
        conflicts = [self.depends_on(f) for f in breaches(audit(self.case, self.catalogue, built))]
        for conflict in conflicts:
            self._note(conflict, at)
        return min(conflicts, key=len, default=None)

    def _sure(self, at: Values, spent: Worth) -> b.Build:
        """The build, after a check that it costs and weighs what was reckoned on the way."""
        built = self.build(at)
        assert isinstance(built, b.Build)
        assert worth(self.case, self.catalogue, built) == spent
        return built

    def _note(self, conflict: set[str], at: Values) -> None:
        nogood = frozenset((name, at[name]) for name in conflict if name in at)
        for item in nogood:
            self.nogoods[item].append(nogood)

    def _known(self, name: str, at: Values) -> set[str] | None:
        """A combination found wrong before that these decisions contain."""
        for nogood in self.nogoods.get((name, at[name]), ()):
            if all(at.get(other, self) == value for other, value in nogood):
                return {other for other, _ in nogood}
        return None

    def sampled(self, tries: int, seed: int) -> Iterator[Worth]:
        """What builds cost and weigh that were put together at random and hold."""
        draw = random.Random(seed)
        for _ in range(tries):
            at: Values = {}
            for name in self.names:
                at[name] = draw.choice(self.values(name, at))
            built = self.build(at)
            if isinstance(built, b.Build) and not breaches(audit(self.case, self.catalogue, built)):
                yield worth(self.case, self.catalogue, built)


def _table(slot: str) -> Any:
    """Catalogue file of a slot's parts."""
    return {"main_fuse": "holders", "busbar": "busbars", "switch": "switches", "mains_box": "mains_boxes"}.get(
        slot, slot.removesuffix("_1") + "s"
    )


def _sum(each: Any) -> Worth:
    cents = grams = 0
    for w in each:
        cents, grams = cents + w.cents, grams + w.grams
    return Worth(cents, grams)
