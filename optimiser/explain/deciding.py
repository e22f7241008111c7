"""What decides the best build of a case: nothing better exists because of these requirements, and what each is worth.

"Nothing is cheaper" is itself a conflict: of the requirements with a cost below the optimum.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf

from optimiser.audit import Finding, audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explain.conflict import Asker, Conflict, Holds
from optimiser.explain.impossible import corrections_of, narrowed
from optimiser.explain.subject import CLAIMS, Asking, Budget, Refused, Solver
from optimiser.measures import Measure
from optimiser.moves import Lever, Moved, MoveProblem, levers, moved, steps
from optimiser.requirements import REGISTER
from optimiser.solve import WANTS, Impossible, Solved, Want

_FOR_CONFLICT = 0.5  # share of the time


@dataclass(frozen=True)
class Decider:
    """A requirement without which a better build would exist.

    ``alone``: proven that giving up no more than it allows a better one, by ``better_by`` at least, in whole numbers
    of the wanted measure. Otherwise it decides only together with others. ``finding``: what the best build makes of it.
    """

    name: str
    alone: bool
    better_by: int | None
    finding: Finding | None


@dataclass(frozen=True)
class Price:
    """What the best build would be with one value moved by its step, everything else as it is.

    ``outcome``: ``proven`` with what cost and mass change by; ``impossible``: proven that there is no build then;
    ``undecided``.
    """

    name: str
    lever: Lever
    move: Moved
    easing: bool
    outcome: str
    cents: int | None = None
    grams: int | None = None


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
    questions: int


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
    asking = Asking(case, catalogue, tight_first, solver, budget.share(_FOR_CONFLICT), below)
    asker = Asker(asking)
    asker.cores.append(frozenset(names))  # what the proof of the best build says
    conflict = narrowed(tight_first, asker, budget.share(_FOR_CONFLICT))
    deciders = tuple(_deciders(conflict, asker, asking, measure, figure, findings))
    together = tuple(gone for gone in corrections_of(asker, tight_first) if len(gone) > 1)
    named = {decider.name for decider in deciders} | {name for gone in together for name in gone}
    return Deciding(
        want=want,
        best=best,
        findings=findings,
        margin=margin,
        deciders=deciders,
        together=together,
        minimal=conflict.minimal,
        smallest=conflict.smallest,
        doubtful=conflict.undecided,
        prices=tuple(_prices(case, catalogue, deciders, want, best, solver, budget)),
        room=tuple(_with_room(findings, named | set(conflict.undecided))),
        questions=asker.questions,
    )


def _room(name: str, findings: tuple[Finding, ...]) -> float:
    """How far the best build is from a limit, as a share of it: what is tight is likelier to decide."""
    shares = [abs(f.margin / f.limit) if f.limit else float(f.margin > 0) for f in findings if f.requirement == name]
    return min(shares, default=0.5)


def _deciders(
    conflict: Conflict, asker: Asker, asking: Asking, measure: Measure, figure: int, findings: tuple[Finding, ...]
) -> Iterator[Decider]:
    everything = frozenset(asking.names)
    for name in conflict.names:
        if name in conflict.undecided:
            continue
        alone = isinstance(asker.recall(everything - {name}), Holds)
        saved = asking.best_without(name, measure)
        ours = [f for f in findings if name in asking.names_of(f)]
        yield Decider(
            name=name,
            alone=alone,
            better_by=figure - saved if alone and saved is not None else None,
            finding=min(ours, key=lambda f: f.margin, default=None),
        )


def _prices(
    case: Case,
    catalogue: Catalogue,
    deciders: tuple[Decider, ...],
    want: Want,
    best: Solved,
    solver: Solver,
    budget: Budget,
) -> Iterator[Price]:
    """Both ways, for the value that is the limit of each requirement that decides alone; each value once."""
    seen: set[str] = set()
    for decider in (decider for decider in deciders if decider.alone):
        lever = next((lever for lever in levers(case, catalogue, decider.name) if lever.act), None)
        if lever is None or lever.address in seen:
            continue
        seen.add(lever.address)
        for count in (1, -1) if lever.step is not None else (1,):
            try:
                move = moved(case, catalogue, steps(lever, count))
            except MoveProblem:
                continue  # the value has no such room
            yield _price(decider.name, lever, move, count > 0, want, best, solver, budget)


def _price(
    name: str, lever: Lever, move: Moved, easing: bool, want: Want, best: Solved, solver: Solver, budget: Budget
) -> Price:
    if not easing and not _breaches(move, best):  # tighter, and still there: nothing can have become better
        return Price(name, lever, move, easing, "proven", 0, 0)
    if not budget.go_on():
        return Price(name, lever, move, easing, "undecided")
    outcome = solver.best(move.case, move.catalogue, want)
    if isinstance(outcome, Impossible):
        return Price(name, lever, move, easing, "impossible")
    if not isinstance(outcome, Solved):
        return Price(name, lever, move, easing, "undecided")
    if broken := _breaches(move, outcome):
        raise Refused(broken)
    cents, grams = outcome.cost_cents - best.cost_cents, outcome.mass_g - best.mass_g
    return Price(name, lever, move, easing, "proven", cents, grams)


def _breaches(move: Moved, solved: Solved) -> tuple[Finding, ...]:
    found = breaches(audit(move.case, move.catalogue, solved.build))
    return tuple(finding for finding in found if finding.name not in CLAIMS)


def _with_room(findings: tuple[Finding, ...], named: set[str]) -> Iterator[Finding]:
    """What decides nothing and has room, the least room first; each requirement at its tightest place."""
    roomy: dict[str, Finding] = {}
    candidates = [
        f
        for f in findings
        if REGISTER[f.name].step is not None and f.requirement not in named and f.limit and 0 < f.margin < inf
    ]
    for finding in sorted(candidates, key=lambda f: f.margin / abs(f.limit)):
        roomy.setdefault(finding.name, finding)
    yield from roomy.values()
