"""Decision containers: what the model may choose, in the words of the trade. They hold; they post nothing."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from ortools.sat.python import cp_model

from optimiser.basis import bodies
from optimiser.basis.bodies import Footprint
from optimiser.basis.money import CostAndMass
from optimiser.basis.paths import Path
from optimiser.case import Board, Existing
from optimiser.measures import Measure
from optimiser.parts import Body, Breaker, Cable, DcPanel, Fuse, Orientation, Panel, StringFuse, Voltage
from optimiser.tables import Surroundings

Expr = cp_model.LinearExpr | int
Bool = cp_model.IntVar
Literal = cp_model.LiteralT  # a flag, or its negation
Value = Callable[[Expr], int]  # of an expression, in a solution


def total(terms: Iterable[Expr]) -> Expr:
    """A sum that is 0 when empty."""
    return sum(terms)


@dataclass(frozen=True)
class Option:
    """A part that may fill a slot; a bank option is ``count`` modules in a block."""

    key: str
    body: Any  # a Body of the class its slot takes, whose own figures the families ask for
    worth: CostAndMass
    count: int = 1
    rows: int = 1
    columns: int = 1

    def size(self, orientation: Orientation, rotated: bool, board: Board) -> Footprint:
        """What it takes of a board."""
        if self.key.startswith("bank:"):
            return bodies.block(
                self.body, orientation=orientation, rotated=rotated, rows=self.rows, columns=self.columns
            )
        return bodies.footprint(self.body, orientation=orientation, rotated=rotated, board=board)


@dataclass(frozen=True)
class Stand:
    """A candidate: an option standing on a board in one way."""

    option: Option
    board: Board
    orientation: Orientation
    rotated: bool
    size: Footprint
    var: Bool
    rides: bool = False  # a fuse holder on the bank's own terminal: takes no board


@dataclass
class Slot:
    """A role and its candidates; ``present`` is their sum."""

    name: str
    stands: list[Stand]
    present: Expr
    existing: Existing | None = None
    pick: dict[str, Bool] = field(default_factory=dict)  # option key -> chosen
    at: dict[str, Bool] = field(default_factory=dict)  # bay -> stands there
    on: dict[str, Bool] = field(default_factory=dict)  # bay.board -> takes space there

    @cached_property
    def options(self) -> dict[str, Option]:
        """Option key -> option, of those with a candidate left."""
        return {s.option.key: s.option for s in self.stands}

    def picked(self, weigh: Callable[[Option], int]) -> Expr:
        """Sum of a figure over the chosen option."""
        return total(weigh(option) * self.pick[key] for key, option in self.options.items())


@dataclass
class Row:
    """Holders or shunts side by side: always there, as long as what is chosen makes it."""

    name: str
    on: dict[str, Bool]  # bay.board -> stands there
    rotated: Bool
    at: dict[str, Bool]
    along: Expr = 0
    lengths: dict[int, list[Bool]] = field(default_factory=dict)  # across the row -> whether such a body is in it
    members: list[tuple[Body, Bool]] = field(default_factory=list)  # a body, and whether it is in it
    grams: Expr = 0
    cross: Bool | None = None
    clear_along: Bool | None = None
    clear_cross: Bool | None = None
    present: Expr = 1


class Shape(NamedTuple):
    """A body on a board, whatever it is: its corner, its size, and the clearance it wants [mm].

    A row may be given more room than it needs: it surely reaches no further than ``reach``.
    """

    name: str
    x: Expr
    y: Expr
    dx: Expr
    dy: Expr
    cx: Expr
    cy: Expr
    on: Mapping[str, Expr]  # bay.board -> takes space there
    reach_x: Expr
    reach_y: Expr


@dataclass(frozen=True)
class ArrayOption:
    """Strings an array may have; ``roof_plane`` is empty for the portable panel."""

    roof_plane: str
    panel: Panel
    series: int
    parallel: int
    fuse: StringFuse | None = None  # of each string

    @property
    def panels(self) -> int:
        """Panels on the roof or on the ground."""
        return self.series * self.parallel


@dataclass
class Strings:
    """The array on one regulator, or on the alternator charger's solar input."""

    name: str  # of the array
    regulator: str
    options: dict[ArrayOption, Bool]
    used: Bool
    by_voltage: dict[tuple[str, int], Bool] = field(default_factory=dict)  # regulator, system voltage -> chosen
    measured: tuple[Bool, Bool] | None = None  # where it ends, or behind its regulator, as no shunt is where it ends

    @property
    def run(self) -> str:
        """The run from the roof, or from the portable panel's socket."""
        return f"solar_{self.name}"


@dataclass(frozen=True)
class Route:
    """A candidate path of a run."""

    path: Path
    ways_mm: int  # its ways, and from hole to hole of bays that it goes through
    core_steps: Mapping[str, int]  # pole -> of 100 mm, at least: with allowances, or from holes to the nearest boards
    fault_steps: int  # of its ways and allowances
    around: frozenset[Surroundings]  # what it lies in
    var: Bool

    @property
    def steps(self) -> int:
        """Of all cores."""
        return sum(self.core_steps.values())


@dataclass
class RunChoice:
    """One run: whether it is there, its path, cable and fuse.

    ``cores`` : pole -> steps that its core is cut to, "" for a cable of several. ``links_mm`` : of the main run, cable
    -> core of it in links of the bank, as what that loses of all its current.
    """

    name: str
    on: Expr
    routes: list[Route]
    cores: dict[str, Bool]
    cables: dict[str, tuple[Cable, Bool, Bool]]  # name -> cable, chosen, steps of it, of all cores
    fuses: dict[str, tuple[Fuse, Bool]]
    least: dict[str, Bool] = field(
        default_factory=dict
    )  # cable -> steps of each core of it without what bodies add, where asked for

    links_mm: dict[str, Bool] = field(default_factory=dict)

    def of_loop(self, weigh: Callable[[Cable], int]) -> Expr:
        """Sum of a figure a step over the steps of all conductors that carry its current, out and back."""
        return total((1 if c.paired else 2) * weigh(c) * steps for c, _, steps in self.cables.values())

    def of_links(self, weigh: Callable[[Cable], int]) -> Expr:
        """Sum of a figure a mm over the links of the chosen cable."""
        return total(weigh(self.cables[name][0]) * mm for name, mm in self.links_mm.items())

    def of_least(self, weigh: Callable[[Cable], int]) -> Expr:
        """The same over the steps that it has at least, out and back, wherever bodies stand."""
        return total(2 * weigh(cable) * self.least[name] for name, (cable, _, _) in self.cables.items())

    def of_cable(self, weigh: Callable[[Cable], int]) -> Expr:
        """A figure of the chosen cable."""
        return total(weigh(cable) * chosen for cable, chosen, _ in self.cables.values())

    def of_fuse(self, weigh: Callable[[Fuse], int]) -> Expr:
        """A figure of the chosen fuse."""
        return total(weigh(fuse) * chosen for fuse, chosen in self.fuses.values())


@dataclass(frozen=True)
class Use:
    """One of the choices that set a run's current; of a run's uses at most one holds."""

    flag: Expr
    amps_ma: int
    loop_nohm: int  # out and back, at which its drop is just allowed


@dataclass
class Carried:
    """All a run has to carry: its uses, and further currents and loops that come with several choices."""

    uses: list[Use]
    also_ma: list[tuple[Expr, tuple[Bool, ...]]] = field(default_factory=list)  # mA, where all these hold
    also_nohm: list[tuple[Expr, tuple[Bool, ...]]] = field(default_factory=list)

    @property
    def demands(self) -> list[tuple[Expr, tuple[Bool, ...]]]:
        """Every current to be carried [mA], where its flags hold."""
        return [(total(u.amps_ma * u.flag for u in self.uses), ()), *self.also_ma]

    @property
    def loops(self) -> list[tuple[Expr, tuple[Bool, ...]]]:
        """Every loop resistance allowed [nano-ohm], where its flags hold."""
        return [(total(u.loop_nohm * u.flag for u in self.uses), ()), *self.also_nohm]


@dataclass
class Decisions:
    """Everything a build chooses."""

    voltage: dict[Voltage, Bool] = field(default_factory=dict)
    panels: dict[tuple[str, str], Bool] = field(default_factory=dict)  # zone, panel -> how many
    at_least: dict[tuple[str, str], list[Bool]] = field(default_factory=dict)  # the same: one or more, two or more ...
    roof_moment: dict[tuple[str, str], tuple[Expr, Expr]] = field(default_factory=dict)  # zone, axis -> g mm, ends
    strings: dict[str, Strings] = field(default_factory=dict)  # by regulator slot
    slots: dict[str, Slot] = field(default_factory=dict)
    rows: dict[str, Row] = field(default_factory=dict)
    runs: dict[str, RunChoice] = field(default_factory=dict)
    module_fuses: dict[tuple[str, int], tuple[Fuse, Bool]] = field(default_factory=dict)  # fuse, strings of the bank
    module_fuse_grams: Expr = 0  # with their holders
    link_grams: Expr = 0  # of the links of the bank
    vents: dict[tuple[str, str], Bool] = field(default_factory=dict)  # bay, vent -> how many
    dc_panels: dict[str, tuple[DcPanel, Bool]] = field(default_factory=dict)  # of the 12 V loads
    breakers: dict[str, dict[str, tuple[Breaker, Bool]]] = field(
        default_factory=dict
    )  # place in the mains box -> those
    breaker_grams: Expr = 0  # of all of them
    shunts: dict[str, Bool] = field(default_factory=dict)  # how many of each
    entries: dict[tuple[str, str, str], Bool] = field(default_factory=dict)  # purpose, entry, board -> how many
    place: dict[str, tuple[Bool, Bool]] = field(default_factory=dict)  # slot or row -> x, y on its board
    shapes: list[Shape] = field(default_factory=list)  # of slots and rows
    carried: dict[str, Carried] = field(default_factory=dict)  # run -> currents, made when first asked for
    idle_mw: Expr = 0  # what everything fitted draws for itself
    figures: dict[Measure, Expr] = field(default_factory=dict)  # made when first asked for
