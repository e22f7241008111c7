"""How much better the best build of a case would be without some of its requirements: one question to the solver.

Of a group it is asked whether anything better exists, of one by itself the best of all. Long before such an answer a
linear programme bounds what giving up a group can save, and so each of its members.
"""

from collections import Counter
from collections.abc import Container, Iterable
from dataclasses import dataclass, field

from optimiser.auditing import Finding, audit, breaches
from optimiser.explaining.easing import base_of, eased, is_definition
from optimiser.explaining.subject import Asking, Refused, Solver
from optimiser.explaining.worth import Shown
from optimiser.measures import Measure
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS, Impossible, Solved, Want

_LARGE = ("inverter.present", "energy.")  # what a vehicle is much smaller without


@dataclass
class GivingUp:
    """Asks for the best build without a group of units, of those that are better than what counts.

    ``in_vain``: groups that are proven to save less. ``places``: of a unit with several, those at which the best build
    known without it misses it.
    """

    asking: Asking
    want: Want
    figure: int  # of the best build
    margin: int
    solver: Solver
    in_vain: list[frozenset[str]] = field(default_factory=list)
    places: dict[str, tuple[str, ...]] = field(default_factory=dict)
    _saved: dict[str, int] = field(default_factory=dict)
    _open: Counter[frozenset[str]] = field(default_factory=Counter)  # how often a question stayed open

    @property
    def measure(self) -> Measure:
        """What is to be made small."""
        return WANTS[self.want][0]

    def __call__(self, names: frozenset[str], seconds: float, work: float) -> Shown:
        """Ask, within a time and with so much work, as of `Stop`."""
        asking = self.asking
        gone = frozenset(place for name in names for place in asking.units[name])
        case, catalogue = eased(asking.case, asking.catalogue, names)
        known = max((self._saved.get(name, 0) for name in names if len(names) == 1), default=0)
        outcome = self.solver.best(
            case,
            catalogue,
            self.want,
            (self.measure, self.figure - known) if known else asking.below,
            active=lambda name: name not in gone,
            seconds=seconds,
            first=len(names) > 1,
            again=self._open[names],
            work=work,
        )
        if isinstance(outcome, Impossible):
            if known:  # nothing is better than the build known without it
                return Shown(known, known, names)
            if not any(map(is_definition, names)):  # with a board made longer it is another case
                self.in_vain.append(names)
            return Shown(self.margin - 1)
        bound = outcome.figures[self.measure] if isinstance(outcome, Solved) else outcome.bound
        at_most = self.figure - max(0, bound)  # nothing costs or weighs less than nothing
        if outcome.build is None:
            self._open[names] += 1
            return Shown(at_most)
        findings = asking.learn(outcome.build)
        asked = findings if case is asking.case else audit(case, catalogue, outcome.build)
        if wrong := [f for f in breaches(asked) if not asking.names_of(f) & names]:
            raise Refused(tuple(wrong))
        saved = self.figure - outcome.figures[self.measure]
        without = names if len(names) == 1 else asking.near(findings) & names
        self._remember(without, saved, findings)
        return Shown(at_most, saved, without)

    def roughly(self, names: frozenset[str], seconds: float) -> Shown:
        """A bound on what giving up a group saves, from a linear programme; the whole figure if there is no time."""
        gone = frozenset(place for name in names for place in self.asking.units[name])
        least = self.solver.at_least(
            self.asking.case,
            self.asking.catalogue,
            self.want,
            active=lambda name: name not in gone,
            seconds=seconds,
        )
        return Shown(self.figure - min(least, self.figure))

    def _remember(self, without: frozenset[str], saved: int, findings: Iterable[Finding]) -> None:
        """Where the build misses the one unit that it does without: giving it up there saves as much."""
        if len(without) != 1 or saved <= self._saved.get(name := next(iter(without)), 0):
            return
        tight = {f.requirement for f in findings if self.asking.tight(f)}
        at = tuple(place for place in self.asking.units[name] if place in tight)
        self._saved[name] = saved
        self.places[name] = at if len(at) < len(self.asking.units[name]) else ()


def groups_of(names: Iterable[str], roomy: Container[str] = ()) -> list[list[str]]:
    """What is asked about together at first: what the best build has much room in, as one proof may do for all of it;
    what a build is, for which values are moved; else a family. Wishes by themselves: nearly every case turns on them.
    """
    alike: dict[str, list[str]] = {}
    for name in names:
        base = base_of(name)
        if REGISTER[base].asked_for:
            key = name
        elif is_definition(name):
            key = "what a build is"
        else:
            key = "roomy" if name in roomy else base.partition(".")[0]
        alike.setdefault(key, []).append(name)
    return list(alike.values())


def rough_groups(names: Iterable[str]) -> list[list[str]]:
    """What is bounded together at once: three groups, as there is time for no more.

    A vehicle that runs nothing from an inverter, or has not to last through its hours, is a much smaller one. So what
    is said of these would say little of the others.
    """
    alike: dict[str, list[str]] = {}
    for name in names:
        if not is_definition(name):
            large = next((some for some in _LARGE if name.startswith(some)), "")
            alike.setdefault(large, []).append(name)
    return list(alike.values())
