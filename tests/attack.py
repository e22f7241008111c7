"""Looks for builds that the audit accepts and the model does not: one such build makes proofs untrue.

From a build that holds, something is changed at random and what breaks is mended, with the audit as the only judge,
until all holds again; from there it goes on. A search is as long as its count of changes, never as its seconds.
"""

from collections.abc import Callable, Iterator
from functools import partial
from random import Random

from optimiser import builds as b
from optimiser.auditing import Finding, audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from tests.attack_moves import Bench, Change
from tests.attack_roof import laid_anew, other_strings

MENDS = 40  # changes tried on what a change broke, before it is given up

FOR = {  # requirement or its family -> the changes that may mend it, at its place or elsewhere
    "roof": ("roof", "strings"),
    "string": ("part:{}", "strings"),
    "battery": ("bank", "part:inverter", "move:bank", "fuse:main"),
    "inverter": ("part:inverter", "bank", "cable:main", "cable:inverter"),
    "charge": ("part:alternator_charger", "part:mains_charger", "part:step_down", "bank"),
    "bay": ("move:{}", "part:{}", "vents"),
    "run": ("cable:{}", "fuse:{}", "cable:main", "fuse:main", "move:{}", "route:{}"),
    "run.complete": ("move:{}", "bank"),
    "run.fuse_distance": ("move:main_fuse", "fuse:main", "bank"),
    "run.tail_distance": ("move:fuse_row", "move:busbar"),
    "way": ("cable:*", "route:*"),
    "protect": ("part:isolator", "part:busbar", "part:mains_box", "fuse:main"),
    "measure": ("shunts", "part:display"),
    "entry": ("entries",),
    "energy": ("bank", "strings"),
    "mass": ("roof", "bank", "move:*"),
    "money": ("part:*", "cable:*"),
}


class Attack:
    """A random search among builds that hold. ``active``: whether a requirement counts; all by default."""

    def __init__(
        self, case: Case, catalogue: Catalogue, seed: int, active: Callable[[str], bool] = lambda _: True
    ) -> None:
        self.bench, self.active = Bench(case, catalogue, Random(seed)), active

    def found(self, build: b.Build, changes: int) -> Iterator[b.Build]:
        """Builds that hold, each made from the one before by one or two changes and what they bring along."""
        seen = {b.digest(build)}
        for _ in range(changes):
            new = self.mended(self._changed(build))
            if new and b.digest(new) not in seen:
                seen.add(b.digest(new))
                yield new
                build = new

    def mended(self, build: b.Build | None) -> b.Build | None:
        """With what is wrong changed, too, as long as that leaves no more wrong than before; None if some stays."""
        wrong = self.breaches(build) if build else ()
        for _ in range(MENDS):
            if build is None or not wrong:
                return build
            new = self._one_of(build, self._remedies(build, self.bench.rng.choice(wrong)))
            after = self.breaches(new) if new else wrong
            if new and len(after) <= len(wrong):
                build, wrong = new, after
        return None

    def breaches(self, build: b.Build) -> tuple[Finding, ...]:
        """What the audit finds wrong."""
        found = breaches(audit(self.bench.case, self.bench.catalogue, build))
        return tuple(finding for finding in found if self.active(finding.requirement))

    def _changes(self, build: b.Build) -> dict[str, Change]:
        on_roof = {"strings": partial(other_strings, self.bench, build), "roof": partial(laid_anew, self.bench, build)}
        return {**self.bench.changes(build), **on_roof}

    def _changed(self, build: b.Build | None) -> b.Build | None:
        for _ in range(self.bench.rng.choice((1, 1, 2))):
            build = self._one_of(build, list(self._changes(build))) if build else None
        return build

    def _one_of(self, build: b.Build, names: list[str]) -> b.Build | None:
        """Kinds of change are drawn first, since there are more runs than roofs."""
        if not names:
            return None
        kind = self.bench.rng.choice(sorted({name.partition(":")[0] for name in names}))
        name = self.bench.rng.choice([name for name in names if name.partition(":")[0] == kind])
        new = self._changes(build)[name]()
        return self.bench.completed(new) if new else None

    def _remedies(self, build: b.Build, finding: Finding) -> list[str]:
        patterns = FOR.get(finding.name) or FOR[finding.name.partition(".")[0]]
        wanted = [pattern.format(finding.place) for pattern in patterns]
        return [
            name
            for name in self._changes(build)
            if any(name == w or (w.endswith("*") and name.startswith(w[:-1])) for w in wanted)
        ]
