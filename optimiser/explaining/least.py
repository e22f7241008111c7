"""The least that makes an impossible case possible: values of the brief or survey, moved by as few steps as can be."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.subject import CLAIMS, Budget, Refused, Solver, side_by_side
from optimiser.moves import Attempt, Lever, Moved, MoveProblem, attempts, levers, moved, steps
from optimiser.solve import Impossible, Solved

CHANGES = 5
MOST_STEPS = 64  # of one lever: beyond, it is another vehicle
MOST_ASKED = 8  # where no build at hand shows how many are enough


@dataclass(frozen=True)
class Change:
    """A change that makes the case possible, and an audited build for it.

    ``least``: proven that one step less of any lever is not enough.
    """

    levers: tuple[Lever, ...]
    counts: tuple[int, ...]  # steps of each
    moves: tuple[Moved, ...]
    case: Case
    build: Build
    findings: tuple[Finding, ...]
    least: bool


def least_changes(
    case: Case,
    catalogue: Catalogue,
    corrections: Iterable[tuple[tuple[str, ...], Build]],
    solver: Solver,
    budget: Budget,
    solved: Iterable[Change] = (),
) -> Iterator[Change]:
    """Up to `CHANGES` distinct least changes: by the first lever of each correction, then by others.

    Parameters
    ----------
    corrections : requirements to ease, and a build that holds all the others.
    solved : least changes that are known already.
    """
    known = {tuple(lever.address for lever in change.levers): change for change in solved}
    ways = [(_levers_of(case, catalogue, names), build) for names, build in corrections]
    given: set[tuple[str, ...]] = set()
    for rank in range(max((len(ours) for ours, _ in ways), default=0)):
        for ours, build in ways:
            chosen = ours[rank] if rank < len(ours) else ()
            addresses = tuple(lever.address for lever in chosen)
            if not chosen or addresses in given or len(given) == CHANGES or not budget.go_on():
                continue
            change = known.get(addresses) or _Search(case, catalogue, chosen, solver, budget).least(build)
            if change is not None:
                given.add(addresses)
                yield change


@dataclass(frozen=True)
class Tried:
    """Ways to move what feeds limits, each by itself: what came of it."""

    changes: tuple[Change, ...] = ()  # with a build
    no_use: tuple[Attempt, ...] = ()  # proven: no build so either
    undecided: tuple[Attempt, ...] = ()

    @property
    def addresses(self) -> tuple[str, ...]:
        """The values that are proven to be of no use as tried."""
        return addresses_of(self.no_use)


def addresses_of(tried: Iterable[Attempt]) -> tuple[str, ...]:
    """The values that some attempts move."""
    return tuple(dict.fromkeys(lever.address for attempt in tried for lever in attempt))


def tried_values(
    case: Case, catalogue: Catalogue, solver: Solver, budget: Budget, *, besides: Iterable[Change] = ()
) -> Tried:
    """Whether any value that feeds makers' and rules' limits makes the case possible by itself, each tried in turn.

    Parameters
    ----------
    besides : changes known already, whose values are not tried again.
    """
    known = {tuple(move.address for move in change.moves) for change in besides}
    of_same: dict[tuple[str, ...], list[Attempt]] = {}
    for attempt in attempts(case, catalogue):
        of_same.setdefault(tuple(sorted(lever.address for lever in attempt)), []).append(attempt)

    def tried(several: list[Attempt]) -> Tried:
        """Of the same values, the nearest to what they are first, until one is enough."""
        no_use, undecided = list[Attempt](), list[Attempt]()
        for attempt in several:
            came = _tried(case, catalogue, attempt, solver, budget)
            if isinstance(came, Change):
                return Tried((came,), tuple(no_use), tuple(undecided))
            (no_use if isinstance(came, Impossible) else undecided).append(attempt)
        return Tried((), tuple(no_use), tuple(undecided))

    each = side_by_side(tried, (several for values, several in of_same.items() if values not in known))
    return Tried(
        tuple(change for found in each for change in found.changes),
        tuple(attempt for found in each for attempt in found.no_use),
        tuple(attempt for found in each for attempt in found.undecided),
    )


def _tried(
    case: Case, catalogue: Catalogue, attempt: Attempt, solver: Solver, budget: Budget
) -> Change | Impossible | None:
    """A change, the proof that it is none, or neither."""
    to = with_moved(case, catalogue, [(lever, 1) for lever in attempt])
    if to is None:
        return Impossible(0.0)  # reading would refuse such a vehicle
    if not budget.go_on():
        return None
    outcome = solver.any_build(to[0], to[1], lambda _: True, None, alone=False)
    if not isinstance(outcome, Solved):
        return outcome if isinstance(outcome, Impossible) else None
    return changed_to(to[2], attempt, outcome.build)


def changed_to(
    moves: tuple[Moved, ...], levers: Attempt, build: Build, *, count: int = 1, least: bool = False
) -> Change:
    """A change by so many steps of each lever, with the build that was found for it.

    Raises
    ------
    Refused
        If the audit refuses that build.
    """
    case, catalogue = moves[-1].case, moves[-1].catalogue
    findings = tuple(f for f in audit(case, catalogue, build) if f.name not in CLAIMS)
    if breaches(findings):
        raise Refused(findings)
    return Change(levers, (count,) * len(levers), moves, case, build, findings, least)


def with_moved(
    case: Case, catalogue: Catalogue, levers: Iterable[tuple[Lever, int]]
) -> tuple[Case, Catalogue, tuple[Moved, ...]] | None:
    """The case with levers moved by so many steps, or None if no vehicle may have these together."""
    made = list[Moved]()
    try:
        for lever, count in levers:
            if count:
                made.append(moved(case, catalogue, steps(lever, count)))
                case, catalogue = made[-1].case, made[-1].catalogue
    except MoveProblem:
        return None
    return case, catalogue, tuple(made)


def _levers_of(case: Case, catalogue: Catalogue, names: tuple[str, ...]) -> list[tuple[Lever, ...]]:
    """Ways to ease all of these: the first lever of each, the second ones ..."""
    each = [[lever for lever in levers(case, catalogue, name) if lever.act] for name in names]
    if not all(each):
        return []  # a yes or no of the brief: there is no value to move
    most = max(map(len, each))
    return [tuple(dict.fromkeys(ours[min(k, len(ours) - 1)] for ours in each)) for k in range(most)]


@dataclass(frozen=True)
class _Enough:
    """Steps of each lever, and a build that holds with them."""

    counts: tuple[int, ...]
    moves: tuple[Moved, ...]
    case: Case
    build: Build
    findings: tuple[Finding, ...]


@dataclass
class _Search:
    """For the least steps of some levers."""

    case: Case
    catalogue: Catalogue
    levers: tuple[Lever, ...]
    solver: Solver
    budget: Budget
    decided: bool = True

    def least(self, witness: Build) -> Change | None:
        """The change, or None if no number of steps is known to be enough."""
        enough = self._first(lambda counts: self._audited(witness, counts), MOST_STEPS)
        enough = enough or self._first(self._asked, MOST_ASKED)
        if enough is None:
            return None
        for k in range(len(self.levers)):  # ease one as little as can be, then the next beside it
            enough = self._narrowed(enough, k)
        levers, counts = zip(*((x, n) for x, n in zip(self.levers, enough.counts, strict=True) if n), strict=True)
        return Change(levers, counts, enough.moves, enough.case, enough.build, enough.findings, self.decided)

    def _first(self, enough: Callable[[tuple[int, ...]], _Enough | None], most: int) -> _Enough | None:
        """The first of 1, 2, 4 ... steps of every lever that is enough."""
        count = 1
        while count <= most:
            counts = tuple(1 if lever.step is None else count for lever in self.levers)
            found = enough(counts)
            if found or self._moved(counts) is None or not self.budget.go_on():
                return found
            if all(lever.step is None for lever in self.levers):
                return None
            count *= 2
        return None

    def _narrowed(self, enough: _Enough, k: int) -> _Enough:
        """As few steps of one lever as are enough beside the others. The case as it is has been found impossible."""
        low, high = 0 if len(self.levers) == 1 else -1, enough.counts[k]
        while high - low > 1:
            middle = (low + high) // 2
            counts = (*enough.counts[:k], middle, *enough.counts[k + 1 :])
            found = self._audited(enough.build, counts) or self._asked(counts)
            if found:
                enough, high = found, middle
            else:
                low = middle
        return enough

    def _asked(self, counts: tuple[int, ...]) -> _Enough | None:
        """Whether so many steps are enough, by the solver; None if not, or if that stays open."""
        to = self._moved(counts)
        if to is None:
            return None
        if not self.budget.go_on():
            self.decided = False
            return None
        outcome = self.solver.any_build(to[0], to[1], lambda _: True, None)
        if isinstance(outcome, Solved):
            return self._audited(outcome.build, counts, found=True)
        self.decided = self.decided and isinstance(outcome, Impossible)
        return None

    def _audited(self, build: Build, counts: tuple[int, ...], *, found: bool = False) -> _Enough | None:
        """Whether a build holds with so many steps; one that the solver ``found`` must."""
        to = self._moved(counts)
        if to is None:
            return None
        findings = tuple(f for f in audit(to[0], to[1], build) if f.name not in CLAIMS)
        if breaches(findings):
            if found:
                raise Refused(findings)
            return None
        return _Enough(counts, to[2], to[0], build, findings)

    def _moved(self, counts: tuple[int, ...]) -> tuple[Case, Catalogue, tuple[Moved, ...]] | None:
        """The case with every lever moved, or None if a value has no such room."""
        return with_moved(self.case, self.catalogue, zip(self.levers, counts, strict=True))
