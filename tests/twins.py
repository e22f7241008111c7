"""A tiny world as a handful of decisions, and the build they make. Nothing of the model is used.

For every slot there is a part and a board (``busbar``, ``busbar@``), for every run a cable and a fuse
(``cable:main``, ``fuse:main``). `twin_search` goes through them with the audit as the only judge.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise, product
from typing import Any

from optimiser import builds as b
from optimiser.auditing import Finding
from optimiser.basis import bodies, links, money, paths
from optimiser.basis.money import CostAndMass
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from tests.placing import Field, Rect, Thing, place
from tests.twin_roof import lie, panels_at
from tests.twin_tables import (
    ABSENT,
    ENDS,
    ENDS_TO_MAKE,
    FUSED,
    LINES,
    MEASURED,
    OF_INVERTER,
    PARTS_OF_RUN,
    ROWS,
    SAGGING,
    SLOTS,
    TABLES,
    VALUES_BY,
    Corners,
    Values,
    chains,
)


@dataclass
class Twin:
    """At most one array on one regulator, 12 V, no chargers but the sun."""

    case: Case
    catalogue: Catalogue
    worths: dict[tuple[Any, ...], CostAndMass] = field(default_factory=dict)
    between: dict[tuple[str, str], tuple[tuple[str, ...], int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        brief = self.case.brief
        assert brief.system_voltages == (12,) and not (brief.inlet or brief.alternator or brief.portable)
        assert len(self.case.zones) == 1 and not brief.pass_throughs
        assert self.case.limits.regulators_at_most == 1
        self.boards = [board.place for board in self.case.boards]
        self.names = list(self._names())
        self.floors = {name: self._floor(name) for name in self.names}

    # --- decisions -----------------------------------------------------------------------------------

    def _names(self) -> Iterator[str]:
        unused = () if any(load.supply == "mains" for load in self.case.loads) else OF_INVERTER
        slots = [slot for slot in SLOTS if slot not in unused]
        runs = [run for run in ENDS if run not in unused]
        yield from ("bank", "array", *(slot for slot in TABLES if slot in slots), "shunts", "gland")
        yield from (f"fuse:{run}" for run in FUSED if run in runs)
        yield from (f"{slot}@" for slot in slots)
        yield from (f"cable:{run}" for run in runs)
        yield "vents"

    def values(self, name: str, at: Values) -> list[Any]:
        """What a decision can be once those before it are taken."""
        kind, _, run = name.partition(":")
        if "array" in VALUES_BY.get(name, ()) and at.get("array", 0) is ABSENT:
            return [ABSENT]
        if name == "bank":
            modules = self.catalogue.of("modules").values()
            return [(m.name, parallel) for m in modules for parallel in range(1, m.parallel_max + 1)]
        if name == "array":
            most = int(self.case.rules["string_fuse_from"]) - 1
            return [ABSENT, *product(self.catalogue.of("panels"), range(1, 4), range(1, most + 1))]
        if name == "bank@":
            parallel = at["bank"][1]
            rows = [r for r in range(1, parallel + 1) if parallel % r == 0]
            return list(product(self.boards, (False, True), rows))
        if name.endswith("@"):
            turns = (False, True) if name[:-1] in (*ROWS, "main_fuse") else (False,)  # the others are square
            return list(product(self.boards, turns))
        if name in TABLES:
            return list(self.catalogue.of(TABLES[name]))
        if kind == "fuse":
            return list(self.catalogue.of("fuses"))
        if kind == "cable":
            known = {"inverter_out": "mains", "display": "data", "switch": "data"}
            wanted = "solar" if run.startswith("solar_") else known.get(run, "dc")
            return [c.name for c in self.catalogue.of("cables").values() if c.kind == wanted]
        if name == "shunts":
            return list(product(range(3), repeat=len(self.catalogue.of("shunts"))))
        if name == "gland":
            return list(product(self.catalogue.of("entries"), (1, 2)))
        assert name == "vents"
        return list(product(range(3), repeat=len(self._vent_places())))

    def _vent_places(self) -> list[tuple[str, str]]:
        bays = [bay.name for bay in self.case.bays if bay.cut_out_max_cm2]
        return list(product(bays, self.catalogue.of("vents")))

    # --- money and mass ------------------------------------------------------------------------------

    def cost_and_mass(self, name: str, value: Any, at: Values) -> CostAndMass:
        """What a decision adds to cost and mass."""
        kind, _, run = name.partition(":")
        if value is ABSENT or name.endswith("@"):
            return CostAndMass(0, 0)
        key: tuple[Any, ...] = (name, value)
        if kind == "cable":
            key = (run, value, self._path(run, at)[1], ENDS_TO_MAKE[run] + self._more_ends(run, at))
        if key not in self.worths:
            self.worths[key] = self._cable(*key) if kind == "cable" else self._parts(name, value)
        if name == "cable:main":
            return together([self.worths[key], self._links(value, at)])
        return self.worths[key]

    def _links(self, name: str, at: Values) -> CostAndMass:
        """Of the bank, from string to string: as the main run's cable is."""
        (module, parallel), (_, _, rows) = at["bank"], at["bank@"]
        size = {"series": 1, "parallel": parallel, "rows": rows, "columns": parallel // rows}
        found = links.of_bank(self.case, self.part(module), orientation="flat", **size)
        return links.worth(found, self.part(name), self.case.brief.labour_per_h)

    def _more_ends(self, run: str, at: Values) -> int:
        """Fuses and places are decided before cables."""
        return (
            2
            * {
                "main": lambda: not self._rides("main_fuse", at),
                "solar_array_1": lambda: not self._aside(at),
                "regulator_1": lambda: self._aside(at),
            }.get(run, lambda: False)()
        )

    def _aside(self, at: Values) -> bool:
        """Whether the array ends where no shunt is: it is measured behind its regulator then."""
        return self._node("regulator_1", at) != self._node("busbar", at)

    def _lines(self, run: str, at: Values) -> tuple[tuple[str, ...], ...]:
        """What its cores go by."""
        if run == "solar_array_1":
            return () if self._aside(at) else (("shunt_row", "regulator_1"),)
        if run == "regulator_1" and self._aside(at):
            return *LINES[run], ("regulator_1", "shunt_row", "busbar")
        return LINES[run]

    def _parts(self, name: str, value: Any) -> CostAndMass:
        if name.startswith("fuse:"):
            return together([self._part(value), self._part(self.part(value).holder)])
        if name == "array":
            return self._part(value[0]).times(value[1] * value[2])
        if name in ("bank", "gland"):
            return self._part(value[0]).times(value[1])
        if name == "shunts":
            return together(self._part(s).times(n) for s, n in zip(self.catalogue.of("shunts"), value, strict=True))
        if name == "vents":
            counts = zip(self._vent_places(), value, strict=True)
            return together(self._part(vent).times(n) for (_, vent), n in counts)
        return self._part(value)

    def part(self, name: str) -> Any:
        """A part of the catalogue."""
        return self.catalogue.find(name)

    def _part(self, name: str) -> CostAndMass:
        return money.part_worth(self.part(name), self.case.brief.labour_per_h)

    def _cable(self, run: str, name: str, steps: int, ends_to_make: int) -> CostAndMass:
        part, rate = self.part(name), self.case.brief.labour_per_h
        ends = money.cable_end_worth(part, rate).times(ends_to_make)
        return together([money.core_worth_a_step(part, rate).times(steps * money.cores(part)), ends])

    def _floor(self, name: str) -> CostAndMass:
        """The least a decision can add, whatever the others are."""
        if name.endswith("@") or name in ("array", "shunts", "vents") or "array" in VALUES_BY.get(name, ()):
            return CostAndMass(0, 0)
        values = self.values(name, {})
        if name.startswith("cable:"):
            shortest = min(bay.cable_allowance_mm for bay in self.case.bays) // money.STEP_MM
            run = name.removeprefix("cable:")
            each = [self._cable(run, value, shortest, ENDS_TO_MAKE[run]) for value in values]
        else:
            each = [self.cost_and_mass(name, value, {}) for value in values]
        return CostAndMass(min(w.cents for w in each), min(w.grams for w in each))

    # --- builds --------------------------------------------------------------------------------------

    def build(self, at: Values) -> b.Build | set[str]:
        """The build of all decisions, or those that cannot be had together for lack of room."""
        corners = self._stand(at)
        if isinstance(corners, set):
            return corners
        panels = lie(self.case, self.catalogue, at["array"])
        return {"array"} if panels is None else self._assembled(at, corners, panels)

    def heap(self, at: Values) -> b.Build:
        """The same with everything in one spot: good enough for whatever does not ask where."""
        array = at["array"]
        panels = panels_at(self.case, array, [((0, 0), False)] * (array[1] * array[2])) if array else ()
        return self._assembled(at, {}, panels)

    def _assembled(self, at: Values, corners: Corners, panels: tuple[b.PlacedPanel, ...]) -> b.Build:
        (module, parallel), (_, _, rows), array = at["bank"], at["bank@"], at["array"]
        fitted = []
        for slot in SLOTS:
            if at.get(f"{slot}@"):
                board, rotated, *_ = at[f"{slot}@"]
                part = self.part(at["fuse:main"]).holder if slot == "main_fuse" else at.get(slot, "")
                fitted.append(
                    b.Fitted(slot, "" if slot == "bank" else part, board, *corners.get(slot, (0, 0)), rotated=rotated)
                )
        runs = []
        for run in ENDS:
            if at.get(f"cable:{run}"):
                start, end = (self._node(slot, at) for slot in ENDS[run])
                ways = self._path(run, at)[0]
                runs.append(b.Run(run, start, end, ways, at[f"cable:{run}"], at.get(f"fuse:{run}") or ""))
        plane = self.case.zones[0].roof_plane
        shunts = zip(self.catalogue.of("shunts"), at["shunts"], strict=True)
        vents = zip(self._vent_places(), at["vents"], strict=True)
        return b.Build(
            case=self.case.name,
            system_v=12,
            bank=b.Bank(module, 1, parallel, rows, parallel // rows),
            panels=panels,
            arrays=(b.PanelArray("array_1", array[0], plane, array[1], array[2], "regulator_1"),) if array else (),
            fitted=tuple(fitted),
            runs=tuple(runs),
            vents=tuple(b.FittedVent(bay, vent, n) for (bay, vent), n in vents if n),
            measuring=tuple(b.Measuring(name, n) for name, n in shunts if n),
            entries=(b.FittedEntry(plane, *at["gland"]),) if at["gland"] else (),
        )

    def _path(self, run: str, at: Values) -> tuple[tuple[str, ...], int]:
        """Ways and steps of a run: in these worlds there is just one path."""
        start, end = (self._node(slot, at) for slot in ENDS[run])
        if (start, end) not in self.between:
            found = paths.shortest(self.case, paths.network(self.case), start, end)
            assert len(found) == 1, "these worlds have one path between any two nodes"
            length = paths.run_length_mm(self.case, start, end, found[0].ways_mm)
            self.between[start, end] = tuple(way.name for way in found[0].ways), money.cut_steps(length)
        return self.between[start, end]

    def _node(self, slot: str, at: Values) -> str:
        if slot == "@roof":
            return self.case.zones[0].entry
        if slot == "@loads":
            return self.case.brief.dc_panel_point
        return str(at[f"{slot}@"][0]).partition(".")[0]

    # --- room ----------------------------------------------------------------------------------------

    def _stand(self, at: Values) -> Corners | set[str]:
        """A place for every body on its board."""
        found: Corners = {}
        for board in self.case.boards:
            on = [s for s in SLOTS if at.get(f"{s}@") and at[f"{s}@"][0] == board.place]
            here = {slot: foot for slot in on if (foot := self._foot(slot, at))}
            there = [k for k in self.case.existing if k.board == board.place]
            fixed = [Rect(k.x_mm, k.y_mm, k.length_mm, k.width_mm) for k in there]
            near = tuple(self._near(list(here), at))
            tied = {k + 1 for line, _ in near for k in line}
            things = tuple(
                Thing(f.length_mm, f.width_mm, f.clear_x_mm, f.clear_y_mm, number=k if k in tied else 0)
                for k, f in enumerate(here.values(), start=1)
            )
            spots = place(Field(board.length_mm, board.width_mm, tuple(fixed)), things, near)
            if spots is None:
                return {decision for slot in here for decision in self.sized_by(slot)}
            found |= dict(zip(here, spots, strict=True))
        return found

    def _near(self, here: list[str], at: Values) -> Iterator[tuple[tuple[int, ...], int]]:
        """What runs go by on one board, by their numbers, and what is left for it of what the runs are cut to."""
        for run in LINES:
            if not at.get(f"cable:{run}"):
                continue
            for line in self._lines(run, at):
                stand = [slot for slot in line if at.get(f"{slot}@") and not self._rides(slot, at)]
                legs = [pair for pair in pairwise(stand) if self._node(pair[0], at) == self._node(pair[1], at)]
                apart = [self._node(one, at) for one, other in legs if at[f"{one}@"][0] != at[f"{other}@"][0]]
                ways, steps = self._path(run, at)
                ways_mm = sum(way.length_mm for way in self.case.ways if way.name in ways)
                left_mm = steps * money.STEP_MM - ways_mm
                left_mm -= sum(self.case.bay_of[bay].cable_allowance_mm for bay in apart)
                for chain in chains([pair for pair in legs if all(slot in here for slot in pair)]):
                    yield tuple(here.index(slot) for slot in chain), left_mm

    def _rides(self, slot: str, at: Values) -> bool:
        return slot == "main_fuse" and self.part(self.part(at["fuse:main"]).holder).on_terminal

    def _foot(self, slot: str, at: Values) -> bodies.Footprint | None:
        board, rotated, *rows = at[f"{slot}@"]
        if slot == "bank":
            (module, parallel), row = at["bank"], rows[0]
            size = {"rows": row, "columns": parallel // row}
            return bodies.block(self.part(module), orientation="flat", rotated=rotated, **size)
        if slot in ROWS:
            members = [self.part(name) for name in self._members(slot, at)]
            along = bodies.row(members)  # with no members it takes no room; the audit says whether it may have none
            return (along.quarter_turn() if rotated else along) if members else None
        body = self.part(self.part(at["fuse:main"]).holder if slot == "main_fuse" else at[slot])
        if getattr(body, "on_terminal", False):
            return None
        return bodies.footprint(body, orientation="flat", rotated=rotated, board=self.case.board_of[board])

    def _members(self, row: str, at: Values) -> list[str]:
        if row == "fuse_row":
            return [self.part(fuse).holder for run in FUSED[1:] if (fuse := at.get(f"fuse:{run}"))]
        return [name for name, n in zip(self.catalogue.of("shunts"), at["shunts"], strict=True) for _ in range(n)]

    def sized_by(self, slot: str) -> set[str]:
        """Decisions that say what a body takes of a board, and of which."""
        parts = {
            "main_fuse": {"fuse:main"},
            "fuse_row": {f"fuse:{run}" for run in FUSED[1:]},
            "shunt_row": {"shunts"},
        }
        return ({f"{slot}@"} | parts.get(slot, {slot})) & set(self.names)

    # --- what a breach can depend on -----------------------------------------------------------------

    def depends_on(self, finding: Finding, at: Values) -> set[str]:
        """Decisions one of which must change to mend a breach; all of them where that is not plain."""
        family, _, what = finding.name.partition(".")
        found = {
            "roof": lambda: {"array"},
            "string": lambda: {"array", "regulator_1"},
            "battery": lambda: {"bank", "bank@"} if what in ("cold", "place") else {"bank", "inverter", "regulator_1"},
            "inverter": lambda: {"inverter", "bank", "isolator", *SAGGING},
            "bay": lambda: self._of_bay(finding, at),
            "run": lambda: self._of_run(finding, at),
            "way": lambda: self._of_way(finding, at),
            "protect": lambda: {what, "busbar", "isolator", "inverter", "regulator_1", "array", "fuse:main"},
            "measure": lambda: {
                *(f"cable:{run}" for run in MEASURED if finding.place.endswith("mm2")),
                *("shunts", "display", "switch", "inverter", "array", "regulator_1", "regulator_1@", "busbar@"),
                *("shunt_row@", *(f"fuse:{run}" for run in FUSED)),
            },
            "entry": lambda: {"gland", "array", "cable:solar_array_1"},
            "energy": lambda: {"bank", "array", "regulator_1", "inverter", "shunts", "display"},
        }.get(family, lambda: set(self.names))()
        return found & set(self.names)

    def _of_bay(self, finding: Finding, at: Values) -> set[str]:
        what = finding.name.partition(".")[2]
        if what in ("heat", "vents", "mass"):  # what stands elsewhere could only make it worse
            here = [s for s in SLOTS if at.get(f"{s}@") and at[f"{s}@"][0].partition(".")[0] == finding.place]
            return {"vents"}.union(*(self.sized_by(slot) for slot in here))
        on_top = {"fuse:main"} if finding.place == "bank" else set()
        return self.sized_by(finding.place) | on_top if finding.place in SLOTS else set(self.names)

    def _of_run(self, finding: Finding, at: Values) -> set[str]:
        run, what = finding.place, finding.name.partition(".")[2]
        if what == "fuse_distance":
            return {"bank", "bank@", "main_fuse@", "fuse:main"}
        if what == "tail_distance":
            return {*self.sized_by("fuse_row"), *self.sized_by("busbar")}
        if what == "complete":
            beside = {"isolator", *ROWS}
            return {f"{run}@", "busbar@"} if run in beside else {"bank@", "main_fuse@", "fuse:main"}
        own = {f"cable:{run}", f"fuse:{run}"} | PARTS_OF_RUN[run] | {f"{slot}@" for slot in ENDS[run]}
        if what == "fuse_breaking":
            own |= {"bank", "bank@", "busbar@", "cable:main"}
        if what == "drop":
            own |= {"bank", "bank@", "busbar@", "cable:main", "inverter"}
        ways = self._path(run, at)[0]  # more company on them would only make it worse
        company = [other for other in ENDS if at.get(f"cable:{other}") and set(self._path(other, at)[0]) & set(ways)]
        return own | {"array"} | {f"{slot}@" for other in company for slot in ENDS[other]}

    def _of_way(self, finding: Finding, at: Values) -> set[str]:
        here = [run for run in ENDS if at.get(f"cable:{run}") and finding.place in self._path(run, at)[0]]
        ends = {f"{slot}@" for run in here for slot in ENDS[run]}
        if finding.name == "way.apart":
            return ends | {"array"}
        # Two cables may fill less than three: one more could mend it.
        return {f"cable:{run}" for run in here} | {f"{slot}@" for slot in SLOTS} | {"array"}


def together(each: Iterable[CostAndMass]) -> CostAndMass:
    """All of them."""
    cents = grams = 0
    for one in each:
        cents, grams = cents + one.cents, grams + one.grams
    return CostAndMass(cents, grams)
