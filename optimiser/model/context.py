"""What the families share: the solver model, names of what holds, money, mass and moments.

A model is built for a set of active requirement names. `define` is for what is always true of a build;
`require` posts a named requirement if it is active, and does nothing if not. A family may also enforce an
active requirement by leaving candidates out, after asking `wants`.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import reduce
from itertools import product

from ortools.sat.python import cp_model

from optimiser.basis import paths
from optimiser.basis.money import CostAndMass
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.model import clock
from optimiser.model.decisions import Bool, Decisions, Expr, Literal, Value, total
from optimiser.moves import Ladder, Rung
from optimiser.requirements import REGISTER, named
from optimiser.tables import Tables

Active = Callable[[str], bool]
Figure = tuple[int, Expr]  # a figure, and the flag of the choice that has it


def everything(name: str) -> bool:
    """Every requirement is active."""
    return True


@dataclass(frozen=True)
class Learned:
    """A fact about a zone found by laying it out: these panels do not fit, or their moment has bounds.

    ``axis`` empty: no placing of at least these counts exists. Otherwise the moment of exactly these
    counts about the vehicle's origin along that axis [g mm] lies between ``low`` and ``high``.
    """

    zone: str
    counts: tuple[tuple[str, int], ...]  # panel, how many
    axis: str = ""
    low: int = 0
    high: int = 0


@dataclass(frozen=True)
class Mass:
    """A mass [g per unit of the variable] at a place [mm]."""

    grams: int
    var: Expr
    x_mm: int
    y_mm: int


@dataclass(frozen=True)
class Limited:
    """What a requirement limits, in its unit: ``plus``, and an expression by ``per_unit``."""

    expr: Expr
    per_unit: float
    plus: float = 0.0


@dataclass(frozen=True)
class Supply:
    """Of a scenario, or of the days without sun: what sun, chargers and bank give, and what is missing.

    ``bank``, ``short`` : pairs, the first by the second [mWh]. The bank gives so much down to its floor; each of the
    others is missing from it, where it is above 0.
    """

    sun_mwh: Expr
    chargers_mwh: Expr
    bank: tuple[Expr, int]
    short: tuple[tuple[Expr, int], ...]


@dataclass
class FitOut:
    """The model under construction."""

    case: Case
    catalogue: Catalogue
    tables: Tables
    active: Active = everything
    m: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    cost: list[Expr] = field(default_factory=list)  # cents
    masses: list[Mass] = field(default_factory=list)
    posted: set[str] = field(default_factory=set)
    d: Decisions = field(default_factory=Decisions)
    learned: tuple[Learned, ...] = ()
    ladders: tuple[Ladder, ...] = ()  # values that may be eased
    chosen: dict[Ladder, dict[Rung, Bool]] = field(default_factory=dict)  # of those that some limit turns on
    row_grams: dict[tuple[str, str], Bool] = field(
        default_factory=dict
    )  # row, main fuse, module fuses or links, bay -> weight
    limited: dict[str, Limited] = field(default_factory=dict)  # requirement with its place -> what it limits
    supplies: dict[str, Supply] = field(default_factory=dict)  # scenario, "" for the days without sun

    # --- requirements ------------------------------------------------------------------------------

    def is_active(self, name: str, place: str = "") -> bool:
        """Whether a requirement is active; asking counts as posting it. What a build is, it always is."""
        if REGISTER[name].is_definition:
            return True
        full = named(name, place)
        self.posted.add(full)
        return self.active(full)

    def require(
        self,
        name: str,
        constraint: cp_model.BoundedLinearExpression | bool,
        place: str = "",
        when: Iterable[Literal] = (),
    ) -> None:
        """Post a requirement if it is active, where all of ``when`` hold."""
        if self.is_active(name, place):
            self.define(constraint, when)

    def define(self, constraint: cp_model.BoundedLinearExpression | bool, when: Iterable[Literal] = ()) -> None:
        """What is always true of a build, where all of ``when`` hold."""
        clock.look()
        posted = self.m.add(constraint)
        literals = list(when)
        if literals:
            posted.only_enforce_if(literals)

    def note(self, name: str, expr: Expr, per_unit: float, place: str = "", plus: float = 0.0) -> None:
        """What a requirement limits, for whoever asks how much of it there can be; it posts nothing."""
        self.limited[named(name, place)] = Limited(expr, per_unit, plus)

    def cover(self, name: str, wants: Iterable[Figure], gives: Iterable[Figure], place: str = "") -> None:
        """A requirement between two choices: what the one wants is no more than what the other gives.

        Of each side at most one flag is set. For every figure given: whatever wants more needs something that
        gives more. This says the same as one inequality of weighted sums, and its relaxation mixes nothing.
        """
        if not self.is_active(name, place):
            return
        wanted, given = list(wants), list(gives)
        for level in sorted({0, *(figure for figure, _ in given)}):
            above = [flag for figure, flag in wanted if figure > level]
            if above:
                self.m.add(sum(above) <= sum(flag for figure, flag in given if figure > level))

    # --- limits that may be eased ------------------------------------------------------------------

    def limit(self, address: str, asked: float, of: Callable[[float], int]) -> Expr:
        """What is made of a value of the case: a number, or where it may be eased, that of the value chosen."""
        ladder = next((ladder for ladder in self.ladders if ladder.address == address), None)
        if ladder is None:
            return of(asked)
        return total(of(rung.value if rung.count else asked) * flag for rung, flag in self._chosen(ladder).items())

    def rungs(self, *values: str) -> Iterator[tuple[Case, list[Bool]]]:
        """The case as it is with the values of these addresses eased in every way, and what is then chosen.

        Without any that may be eased: the case itself, and nothing to choose.
        """
        ours = [ladder for ladder in self.ladders if ladder.address in values]
        for rungs in product(*(self._chosen(ladder).items() for ladder in ours)):
            steps = zip(ours, rungs, strict=True)
            case = reduce(lambda made, step: step[0].put(made, step[1][0]), steps, self.case)
            yield case, [flag for _, flag in rungs]

    def _chosen(self, ladder: Ladder) -> dict[Rung, Bool]:
        if ladder not in self.chosen:
            flags = {rung: self.flag(f"{ladder.address}:{rung.count}") for rung in ladder.rungs}
            self.m.add_exactly_one(flags.values())
            self.chosen[ladder] = flags
        return self.chosen[ladder]

    @property
    def easing(self) -> Expr:
        """What all that is eased weighs."""
        return total(rung.weight * flag for flags in self.chosen.values() for rung, flag in flags.items())

    @property
    def values_eased(self) -> Expr:
        """How many values are eased."""
        return total(flag for flags in self.chosen.values() for rung, flag in flags.items() if rung.count)

    def eased(self, value: Value) -> tuple[tuple[Ladder, Rung], ...]:
        """What a solution eases."""
        return tuple(
            (ladder, rung)
            for ladder, flags in self.chosen.items()
            for rung, flag in flags.items()
            if rung.count and value(flag)
        )

    def case_of(self, value: Value) -> Case:
        """The case as a solution eases it."""
        return reduce(lambda made, step: step[0].put(made, step[1]), self.eased(value), self.case)

    # --- variables ---------------------------------------------------------------------------------

    def flag(self, name: str) -> Bool:
        """A yes-or-no variable."""
        clock.look()
        return self.m.new_bool_var(name)

    def number(self, low: int, high: int, name: str) -> Bool:
        """A whole number."""
        return self.m.new_int_var(low, high, name)

    def is_sum(self, terms: Iterable[Bool], name: str) -> Bool:
        """A flag equal to the sum of flags of which at most one is set."""
        chosen = list(terms)
        if len(chosen) == 1:
            return chosen[0]
        total = self.flag(name)
        self.m.add(sum(chosen) == total)
        return total

    # --- money and mass ----------------------------------------------------------------------------

    def count(self, worth: CostAndMass, var: Expr, *, x_mm: int, y_mm: int) -> None:
        """Add what something costs and weighs, at its place."""
        self.cost.append(worth.cents * var)
        if worth.grams:
            self.masses.append(Mass(worth.grams, var, x_mm, y_mm))

    @property
    def wiring_at(self) -> tuple[int, int]:
        """Where cables, entries and feed fuses are taken to weigh: the middle of the bays [mm]."""
        return paths.wiring_at_mm(self.case)
