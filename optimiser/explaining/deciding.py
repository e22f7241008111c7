"""What decides the best build of a case: nothing better exists because of these requirements, and what each is worth.

"Nothing is cheaper" is itself a conflict: of the requirements with a cost below the optimum.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import ceil, inf
from typing import Literal

from optimiser.auditing import Finding, audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.easing import FAR, base_of, is_definition, room
from optimiser.explaining.impossible import Found, conflict_in
from optimiser.explaining.subject import CLAIMS, Asking, Budget, Refused, Solver, by_name, side_by_side
from optimiser.measures import Measure
from optimiser.moves import Lever, Moved, MoveProblem, levers, moved, steps
from optimiser.requirements import REGISTER, SetBy
from optimiser.solve import WANTS, Impossible, Solved, Want

_FOR_CONFLICT, _FOR_GAINS = 0.6, 0.4  # shares of the time: of all, then of what is left
_AT_ONCE = 2  # questions


@dataclass(frozen=True)
class Decider:
    """A requirement without which a better build would exist; without a place, at all its places together.

    ``alone``: proven that giving up no more than it allows a better one. Otherwise it decides only together with
    others. ``places`` are those proven to decide together, without any other place of it. ``better_by``: how much
    better at least, in whole numbers of the wanted measure, as a build was found that is; ``at_most``: the solver's
    bound on it. ``finding``: what the best build makes of it.
    """

    name: str
    alone: bool
    places: tuple[str, ...]
    better_by: int | None
    at_most: int | None
    finding: Finding | None

    @property
    def exact(self) -> bool:
        """Whether it is known, and proven, how much better."""
        return self.better_by is not None and self.better_by == self.at_most

    @property
    def set_by(self) -> SetBy:
        """Whose it is."""
        return REGISTER[base_of(self.name)].set_by


@dataclass(frozen=True)
class Price:
    """What the best build would be with one value moved by its step, everything else as it is.

    ``count``: steps of the lever; below 0 they tighten. ``outcome``: ``proven``, with what the wanted measure changes
    by, in cents or g, and the other one if it was solved for; ``impossible``: proven that there is no build then;
    ``undecided``.
    """

    name: str
    lever: Lever
    move: Moved
    count: int
    outcome: Literal["proven", "impossible", "undecided"]
    wanted: int | None = None
    other: int | None = None

    @property
    def easing(self) -> bool:
        """Whether it is moved the way that eases."""
        return self.count > 0


@dataclass(frozen=True)
class Deciding:
    """What decides the cheapest or the lightest build.

    ``deciders`` and ``doubtful`` are a conflict with a figure better than the best by ``margin``. ``minimal`` and
    ``smallest`` as in `Conflict`. ``together``: sets that decide only if all of them are given up.
    """

    want: Want
    best: Solved
    findings: tuple[Finding, ...]
    margin: int
    deciders: tuple[Decider, ...]
    together: tuple[tuple[str, ...], ...]
    minimal: bool
    smallest: bool
    doubtful: tuple[str, ...]
    prices: tuple[Price, ...]
    room: tuple[Finding, ...]


def what_decides(
    case: Case,
    catalogue: Catalogue,
    names: tuple[str, ...],
    want: Want,
    best: Solved,
    solver: Solver,
    budget: Budget,
    *,
    margin: int = 1,
) -> Deciding:
    """Explain the proven best build of a case.

    Parameters
    ----------
    names : negotiable requirements.
    margin : how much better a build must be to count, in cents or g.
    """
    measure = WANTS[want][0]
    figure = best.cost_cents if want == "cheapest" else best.mass_g
    findings = audit(case, catalogue, best.build)
    if breaches(findings):
        raise Refused(breaches(findings))
    tight_first = tuple(sorted(names, key=lambda name: _room(name, findings)))
    below = (measure, figure - margin + 1)
    ours = budget.share(_FOR_CONFLICT)
    asking = Asking(case, catalogue, by_name(tight_first), solver, ours, below)
    found = conflict_in(asking, ours)
    gains = _gains(found, want, solver, budget.share(_FOR_GAINS))
    prices = _prices(found, want, best, solver, budget)
    deciders = tuple(_deciders(found, measure, figure, margin, findings, gains))
    doubtful = tuple(name for name in found.conflict.undecided if name not in {decider.name for decider in deciders})
    together = tuple(gone for gone in found.corrections() if len(gone) > 1)
    told = {decider.name for decider in deciders}.union(doubtful, *together)
    return Deciding(
        want=want,
        best=best,
        findings=findings,
        margin=margin,
        deciders=deciders,
        together=together,
        minimal=not doubtful,
        smallest=found.conflict.smallest,
        doubtful=doubtful,
        prices=prices,
        room=tuple(_with_room(f for f in findings if not found.asking.names_of(f) & told)),
    )


def _room(name: str, findings: tuple[Finding, ...]) -> float:
    """How far the best build is from a limit, as a share of it: what is tight is likelier to decide."""
    shares = [abs(f.margin / f.limit) if f.limit else float(f.margin > 0) for f in findings if f.requirement == name]
    return min(shares, default=0.5)


@dataclass(frozen=True)
class _Gain:
    """The best figure found without a requirement, if any was, and what no build without it is better than."""

    found: int | None
    bound: int


def _gains(found: Found, want: Want, solver: Solver, budget: Budget) -> dict[str, _Gain]:
    """Requirement that decides alone -> what giving it up is worth, by a solve for the best without it.

    What a build is is not given up, so there is nothing to solve.
    """
    asking, measure = found.asking, WANTS[want][0]
    names = [name for name in found.conflict.names if found.alone(name) and not is_definition(name)]
    seconds = budget.left_s() * _AT_ONCE / max(_AT_ONCE, len(names))

    def gain(name: str) -> _Gain | None:
        if not budget.go_on():
            return None
        known = asking.best_without(name, measure, sure=True, places=found.places(name))
        outcome = solver.best(
            asking.case,
            asking.catalogue,
            want,
            asking.below if known is None else (measure, known),
            active=_all_but(found.places(name) or asking.units[name]),
            seconds=seconds,
        )
        if isinstance(outcome, Impossible):  # without a build known, the model refuses what the audit just lets pass
            return None if known is None else _Gain(known, known)
        if outcome.build is None:
            return _Gain(known, outcome.bound if known is None else min(known, outcome.bound))
        asking.learn(outcome.build)
        figure = outcome.figures[measure]
        return _Gain(figure, figure if isinstance(outcome, Solved) else outcome.bound)

    known = zip(names, side_by_side(gain, names), strict=True)
    return {name: gain for name, gain in known if gain is not None}


def _all_but(names: Iterable[str]) -> Callable[[str], bool]:
    dropped = frozenset(names)
    return lambda name: name not in dropped


def _deciders(
    found: Found, measure: Measure, figure: int, margin: int, findings: tuple[Finding, ...], gains: Mapping[str, _Gain]
) -> Iterator[Decider]:
    """What the conflict names; of what is in doubt, that without which a better build is known by now."""
    for name in found.conflict.names:
        doubtful, places, gain = name in found.conflict.undecided, found.places(name), gains.get(name)
        known = [found.asking.best_without(name, measure, sure=doubtful, places=places), gain.found if gain else None]
        saved = [figure - best for best in known if best is not None and figure - best >= margin]
        if doubtful and not saved:
            continue
        alone = doubtful or found.alone(name)
        ours = [f for f in findings if f.requirement in (places or found.asking.units[name])]
        ours = ours or [f for f in findings if f.name == base_of(name)]
        ours = ours or [f for f in findings if name in found.asking.names_of(f)]
        yield Decider(
            name=name,
            alone=alone,
            places=places,
            better_by=max(saved, default=margin) if alone and not is_definition(name) else None,
            at_most=figure - gain.bound if gain else None,
            finding=min(ours, key=lambda f: f.margin, default=None),
        )


@dataclass(frozen=True)
class _Step:
    """One step of a value, and the requirement it is the limit of."""

    name: str
    lever: Lever
    move: Moved
    count: int


def _prices(found: Found, want: Want, best: Solved, solver: Solver, budget: Budget) -> tuple[Price, ...]:
    """Both ways, for the value that is the limit of each requirement that decides alone; each value once.

    A step is less than to give a requirement up, and a quicker question. So where that stayed open, a step that eases
    may still show that the requirement decides; nothing is said of one that does not.
    """

    def price(step: _Step) -> Price:
        return _price(step, found.asking, want, best, solver, budget)

    seen: set[str] = set()
    sure = [name for name in found.conflict.names if found.alone(name)]
    priced = side_by_side(price, _steps(found, [name for name in sure if not is_definition(name)], (1, -1), best, seen))
    doubtful = side_by_side(price, _steps(found, found.conflict.undecided, (1,), best, seen))
    roomier = side_by_side(
        price, (step for name in sure if is_definition(name) for step in _roomier(found, name, seen))
    )
    return (*priced, *(price for price in (*doubtful, *roomier) if price.wanted))


def _roomier(found: Found, name: str, seen: set[str]) -> Iterator[_Step]:
    """What a better build lacks that only a definition keeps from it: each value there, moved by what is missing."""
    case, catalogue = found.asking.case, found.asking.catalogue
    for build, finding in found.asking.lacking(name):
        place = next((fitted.board for fitted in build.fitted if fitted.slot == finding.place), "")
        there = (f"board.{place}.", f"bay.{place.partition('.')[0]}.")
        for lever in room(case, catalogue, finding.requirement):
            if not lever.address.startswith(there) or lever.address in seen or lever.step is None:
                continue
            count = ceil(-finding.margin / lever.step) if finding.unit == lever.unit else FAR[0]
            try:
                yield _Step(name, lever, moved(case, catalogue, steps(lever, count)), count)
            except MoveProblem:
                continue  # the survey has no such room
            seen.add(lever.address)


def _steps(
    found: Found, names: Iterable[str], counts: tuple[int, ...], best: Solved, seen: set[str]
) -> Iterator[_Step]:
    case, catalogue = found.asking.case, found.asking.catalogue
    for name in names:
        of = (*found.places(name), *found.asking.units[name])[0]
        lever = _lever(case, catalogue, of, best)
        if lever is None or lever.address in seen:
            continue
        seen.add(lever.address)
        for count in counts if lever.step is not None else (1,):
            try:
                yield _Step(of, lever, moved(case, catalogue, steps(lever, count)), count)
            except MoveProblem:
                continue  # the value has no such room


def _lever(case: Case, catalogue: Catalogue, requirement: str, best: Solved) -> Lever | None:
    """The value to move: the one that is this requirement's limit in the best build, else the first there is."""

    def limit(case: Case, catalogue: Catalogue) -> float | None:
        found = audit(case, catalogue, best.build)
        return next((f.limit for f in found if f.requirement == requirement), None)

    usable = [lever for lever in levers(case, catalogue, requirement) if lever.act]
    if len(usable) > 1 and (now := limit(case, catalogue)) is not None:
        for lever in usable:
            try:
                move = moved(case, catalogue, steps(lever, 1))
            except MoveProblem:
                continue
            if limit(move.case, move.catalogue) != now:
                return lever
    return usable[0] if usable else None


def _price(step: _Step, asking: Asking, want: Want, best: Solved, solver: Solver, budget: Budget) -> Price:
    """What the step changes. Where the best build still stands, only a better one can change anything."""

    def price(outcome: Literal["proven", "impossible", "undecided"], *changes: int) -> Price:
        return Price(step.name, step.lever, step.move, step.count, outcome, *changes)

    stands = not _breaches(step.move, best)
    if stands and step.count < 0:  # tighter, and still there: nothing can have become better
        return price("proven", 0)
    if not budget.go_on():
        return price("undecided")
    below = (WANTS[want][0], best.figures[WANTS[want][0]]) if stands else None
    outcome = solver.best(step.move.case, step.move.catalogue, want, below)
    if isinstance(outcome, Impossible):
        return price("proven", 0) if stands else price("impossible")
    if not isinstance(outcome, Solved):
        return price("undecided")
    if broken := _breaches(step.move, outcome):
        raise Refused(broken)
    asking.learn(outcome.build)
    cents, grams = outcome.cost_cents - best.cost_cents, outcome.mass_g - best.mass_g
    wanted, other = (cents, grams) if want == "cheapest" else (grams, cents)
    return price("proven", wanted, other)


def _breaches(move: Moved, solved: Solved) -> tuple[Finding, ...]:
    found = breaches(audit(move.case, move.catalogue, solved.build))
    return tuple(finding for finding in found if finding.name not in CLAIMS)


def _with_room(findings: Iterable[Finding]) -> Iterator[Finding]:
    """What has room, the least room first; each requirement at its tightest place."""
    roomy: dict[str, Finding] = {}
    candidates = [f for f in findings if REGISTER[f.name].step is not None and f.limit and 0 < f.margin < inf]
    for finding in sorted(candidates, key=lambda f: f.margin / abs(f.limit)):
        roomy.setdefault(finding.name, finding)
    yield from roomy.values()
