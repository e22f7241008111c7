"""The best build of a tiny world, found by going through all of them with the audit as the only judge.

Depth first, cheap values first; what cannot be better than the best so far is cut off. Each failure says
which decisions it comes from, so that the search goes back to one of them at once and never tries the
same combination again. Naming too many of them only costs time; `sampled` looks for the harm of naming
too few.
"""

import random
from collections import defaultdict
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from optimiser import builds as b
from optimiser.auditing import Finding, audit, breaches
from optimiser.basis.money import CostAndMass
from optimiser.fitted import cost_and_mass
from tests.placing import TooMuch
from tests.twin_tables import ENDS, VALUES_BY, Values
from tests.twins import Twin, together

Nogood = frozenset[tuple[str, Any]]
Weigh = Callable[[CostAndMass], int]

WHERE = frozenset(
    [
        "bay.board",
        "bay.clearance",
        "run.fuse_distance",
        "run.length",
        "mass.axle",
        "mass.hitch_low",
        "mass.hitch_high",
        "mass.balance",
    ]
)
_BIG = 10**9  # more than any build costs [cents] or weighs [g]


class Best(NamedTuple):
    """The best there is."""

    worth: CostAndMass
    build: b.Build


def cheapest(of: CostAndMass) -> int:
    """Cost first, mass to break ties."""
    return of.cents * _BIG + of.grams


def lightest(of: CostAndMass) -> int:
    """Mass first, cost to break ties."""
    return of.grams * _BIG + of.cents


def asks_where(finding: Finding) -> bool:
    """Whether a finding can depend on where on its board or its zone something lies."""
    return finding.name.startswith("roof.") or finding.name in WHERE


class Search:
    """What was learned of a world is kept from one search to the next."""

    def __init__(self, twin: Twin) -> None:
        self.twin = twin
        self.nogoods: dict[tuple[str, Any], list[Nogood]] = defaultdict(list)
        self.audits = 0

    def best(self, weigh: Weigh) -> Best | None:
        """The best of all builds that hold; None if there is none."""
        names = self.twin.names
        floors = {name: weigh(self.twin.floors[name]) for name in names}
        rest = [sum(floors[name] for name in names[depth:]) for depth in range(len(names) + 1)]
        found: Best | None = None
        at: Values = {}

        def go(depth: int, spent: CostAndMass) -> set[str]:
            """Decisions that, as they are, leave nothing better than the best so far."""
            nonlocal found
            least = weigh(spent) + rest[depth]
            if found and least >= weigh(found.worth):
                return self._dear(at, weigh, floors, least - weigh(found.worth))
            if depth == len(names):
                conflict = self._judge(at)
                if conflict is None:
                    found = Best(spent, self._sure(at, spent))
                    return self._dear(at, weigh, floors, 0)
                return conflict
            name = names[depth]
            choices = [(self.twin.cost_and_mass(name, v, at), v) for v in self.twin.values(name, at)]
            conflicts = set(VALUES_BY.get(name, ()))
            for added, value in sorted(choices, key=lambda choice: weigh(choice[0])):
                at[name] = value
                conflict = self._known(name, at) or go(depth + 1, together([spent, added]))
                del at[name]
                if name not in conflict:
                    return conflict  # no other value of this one helps
                conflicts |= conflict
            return conflicts - {name}

        go(0, CostAndMass(0, 0))
        return found

    def _dear(self, at: Values, weigh: Weigh, floors: dict[str, int], spare: int) -> set[str]:
        """The first decisions that cost or weigh too much by themselves, whatever the later ones are.

        A cable's length comes from where its ends stand, so those are named with it.
        """
        found: set[str] = set()
        for name, value in reversed(at.items()):
            above = weigh(self.twin.cost_and_mass(name, value, at)) - floors[name]
            if above <= spare:
                spare -= above  # enough without it
                continue
            found.add(name)
            kind, _, run = name.partition(":")
            found |= {f"{slot}@" for slot in ENDS[run] if f"{slot}@" in at} if kind == "cable" else set()
            found |= {"fuse:main"} if run == "main" else {"busbar@"} if run == "solar_array_1" else set()
        return found

    def _judge(self, at: Values) -> set[str] | None:
        """What is wrong with a build, as decisions one of which must change; None if nothing is."""
        conflicts = [self.twin.depends_on(f, at) for f in self._breaches(self.twin.heap(at)) if not asks_where(f)]
        if not conflicts:
            built = self.twin.build(at)
            if isinstance(built, set):
                conflicts = [built]
            else:
                conflicts = [self.twin.depends_on(f, at) for f in self._breaches(built)]
        for conflict in conflicts:
            nogood = frozenset((name, at[name]) for name in conflict)
            for item in nogood:
                self.nogoods[item].append(nogood)
        return min(conflicts, key=len, default=None)

    def _breaches(self, build: b.Build) -> tuple[Finding, ...]:
        self.audits += 1
        return breaches(audit(self.twin.case, self.twin.catalogue, build))

    def _known(self, name: str, at: Values) -> set[str] | None:
        """A combination found wrong before that these decisions contain."""
        for nogood in self.nogoods.get((name, at[name]), ()):
            if all(at.get(other, self) == value for other, value in nogood):
                return {other for other, _ in nogood}
        return None

    def _sure(self, at: Values, spent: CostAndMass) -> b.Build:
        """The build, after a check that it costs and weighs what was calculated on the way."""
        built = self.twin.build(at)
        assert isinstance(built, b.Build)
        assert cost_and_mass(self.twin.case, self.twin.catalogue, built) == spent
        return built

    def sampled(self, tries: int, seed: int) -> Iterator[CostAndMass]:
        """What builds cost and weigh that were put together at random and hold."""
        draw = random.Random(seed)
        for _ in range(tries):
            at: Values = {}
            for name in self.twin.names:
                at[name] = draw.choice(self.twin.values(name, at))
            try:
                built = self.twin.build(at)
            except TooMuch:  # no sample then; what is looked for as the best raises it
                continue
            if isinstance(built, b.Build) and not self._breaches(built):
                yield cost_and_mass(self.twin.case, self.twin.catalogue, built)
