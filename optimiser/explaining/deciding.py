"""What decides the best build of a case: requirements without which a better one would exist, and what each is worth.

Each is given up by itself, with all others held: such a question is quick, since all that is held prunes. A linear
programme bounds at once what each can save. Those that save nothing are proven a group at a time. In the end all of
these are given up together: if nothing is better even then, the deciders are why nothing is; if something is, it shows
what decides only together.
"""

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import inf

from optimiser.auditing import Finding, audit, breaches
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining.asker import AnswersClash, Fails, Holds
from optimiser.explaining.conflict import within
from optimiser.explaining.easing import base_of, is_definition
from optimiser.explaining.giving_up import GivingUp, groups_of, rough_groups
from optimiser.explaining.prices import Price, Pricing
from optimiser.explaining.subject import Asking, Budget, Refused, Solver, by_name, side_by_side
from optimiser.explaining.worth import Shown, Worths, settle
from optimiser.measures import Measure
from optimiser.requirements import REGISTER, SetBy
from optimiser.solve import WANTS, Solved, Want

_AT_ONCE_S = 10.0  # for the bounds of the linear programme, at most: on an idle machine they take one or two
_WORK, _AGAIN = 3.0, 2.0  # for each group at first, as of `Stop`: so much, or so many times what the case took [s]
_TOGETHER, _TOGETHER_S = 0.5, 5.0  # of what all before it took, and at least: for what decides only together
_MUCH_ROOM = 0.5  # of a limit
_FOR_EACH, _FOR_PRICES = 0.6, 0.7  # shares of the time: of all, then of what is left


@dataclass(frozen=True)
class Decider:
    """A requirement without which a better build exists; without a place, at all its places together.

    ``places`` are those where giving it up is enough. ``better_by``: how much better at least, in whole numbers of the
    wanted measure, as a build was found that is; ``at_most``: the solver's bound on it. Of a definition, of which only
    a value can be moved, neither is known. ``finding``: what the best build makes of it.
    """

    name: str
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
class Limit:
    """A requirement that does not decide, or of which that is not known: without it at most so much is saved.

    ``finding``: what the best build makes of it, where it has the least room.
    """

    name: str
    at_most: int
    finding: Finding | None


@dataclass(frozen=True)
class Deciding:
    """What decides the cheapest or the lightest build.

    ``deciders`` decide each by itself; ``doubtful`` may. ``together``: sets that decide only if all of a set is given
    up. ``others`` save less than ``margin``, each by itself. ``looked_through``: proven that all that is in none of
    these, given up together, saves less as well, so that there are no more such sets. ``no_room``: negotiable
    limits that the best build meets with nothing to spare, whether they decide or not; ``room``: what else has some.
    """

    want: Want
    best: Solved
    findings: tuple[Finding, ...]
    margin: int
    deciders: tuple[Decider, ...]
    together: tuple[tuple[str, ...], ...]
    looked_through: bool
    doubtful: tuple[Limit, ...]
    others: tuple[Limit, ...]
    prices: tuple[Price, ...]
    room: tuple[Finding, ...]
    no_room: tuple[Finding, ...]

    @property
    def minimal(self) -> bool:
        """Whether each requirement is proven to decide by itself or not to."""
        return not self.doubtful

    @property
    def smallest(self) -> bool:
        """Whether it is proven that no other set explains the best build with fewer names."""
        return self.minimal and self.looked_through and not self.together


@dataclass(frozen=True)
class Begun:
    """The best build is known, and what it has no room in; and what each limit by itself can save ``at_most``."""

    want: Want
    no_room: tuple[Finding, ...]
    at_most: dict[str, int]


@dataclass(frozen=True)
class Known:
    """Of these it is settled what giving them up saves: each between ``at_least`` and ``at_most``."""

    want: Want
    names: tuple[str, ...]
    at_least: int
    at_most: int


@dataclass(frozen=True)
class Priced:
    """What a step changes is known, or it stayed undecided."""

    want: Want
    price: Price


News = Begun | Known | Priced


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
    heard: Callable[[News], None] = lambda _: None,
) -> Deciding:
    """Explain the proven best build of a case.

    Parameters
    ----------
    names : negotiable requirements.
    margin : how much better a build must be to count, in cents or g.
    heard : called with what is known, as soon as it is.
    """
    started, measure = time.monotonic(), WANTS[want][0]
    figure = best.cost_cents if want == "cheapest" else best.mass_g
    findings = audit(case, catalogue, best.build)
    if breaches(findings):
        raise Refused(breaches(findings))
    asking = Asking(case, catalogue, by_name(names), solver, budget, (measure, figure - margin + 1))
    without = GivingUp(asking, want, figure, margin, solver)
    worths = Worths(asking.names, margin, at_most=dict.fromkeys(asking.names, figure))
    worths.heard = lambda settled: _tell(settled, want, worths, heard)
    no_room = tuple(_met_exactly(asking, findings))
    roomy = frozenset(name for name in asking.names if _has_much_room(name, asking, findings))
    _settle(without, worths, best, no_room, roomy, budget.share(_FOR_EACH), heard)
    pricing = Pricing(
        asking, want, best, solver, budget.share(_FOR_PRICES), without.places, lambda price: heard(Priced(want, price))
    )
    prices = pricing.of(filter(worths.decides, asking.names), sorted(worths.left(asking.names)))
    _shown_by(prices, worths, asking, measure, figure)
    took_s = time.monotonic() - started
    together, looked_through = _together(without, worths, budget.at_most(max(_TOGETHER_S, _TOGETHER * took_s)))
    limits = [Limit(name, worths.at_most[name], _tightest(name, asking, findings)) for name in asking.names]
    limits = [limit for limit in limits if not worths.decides(limit.name)]
    deciders = tuple(_deciders(without, worths, findings))
    told = {decider.name for decider in deciders}.union(*together)
    return Deciding(
        want=want,
        best=best,
        findings=findings,
        margin=margin,
        deciders=deciders,
        together=together,
        looked_through=looked_through,
        doubtful=tuple(limit for limit in limits if limit.at_most >= margin),
        others=tuple(limit for limit in limits if limit.at_most < margin),
        prices=prices,
        room=tuple(_with_room(f for f in findings if not asking.names_of(f) & told)),
        no_room=no_room,
    )


def _settle(
    without: GivingUp,
    worths: Worths,
    best: Solved,
    no_room: tuple[Finding, ...],
    roomy: frozenset[str],
    budget: Budget,
    heard: Callable[[News], None],
) -> None:
    """What giving up each saves: first a bound for each at once, then a group at a time."""
    until = Budget(time.monotonic() + _AT_ONCE_S)

    def roughly(group: list[str]) -> None:
        worths.learn(frozenset(group), without.roughly(frozenset(group), until.left_s()))

    def ask(group: frozenset[str], work: float) -> Shown:
        return without(group, budget.left_s(), work)

    rough = rough_groups(worths.names)
    side_by_side(roughly, rough)
    heard(Begun(without.want, no_room, {name: worths.at_most[name] for group in rough for name in group}))
    settle(
        groups_of(worths.names, roomy),
        ask,
        worths,
        work=max(_WORK, _AGAIN * best.seconds),
        go_on=budget.go_on,
        side_by_side=side_by_side,
    )


def _tell(settled: tuple[str, ...], want: Want, worths: Worths, heard: Callable[[News], None]) -> None:
    """What is settled, those that save the same in one line."""
    alike: dict[tuple[int, int], list[str]] = {}
    for name in settled:
        alike.setdefault((worths.at_least.get(name, 0), worths.at_most[name]), []).append(name)
    for (least, most), names in alike.items():
        heard(Known(want, tuple(names), least, most))


def _together(without: GivingUp, worths: Worths, budget: Budget) -> tuple[tuple[tuple[str, ...], ...], bool]:
    """Sets of requirements that decide only together, sharing none; and whether it was looked into to the end.

    It was if nothing is better with all others given up. What stayed doubtful counts with the deciders.
    """
    asking, found = without.asking, list[tuple[str, ...]]()
    asking.budget = budget  # the last that is asked
    names = frozenset(asking.names)
    asker = asking.asker()
    asker.cores += [names - group for group in without.in_vain]
    kept = frozenset(name for name in names if worths.decides(name) or not worths.settled(name))
    try:
        while budget.go_on() and isinstance(answer := asker(kept), Holds):
            [gone] = asker.run(within(sorted(names - answer.holds - kept), asking.names))
            if not gone or not all(isinstance(asker.recall(names - gone | {name}), Fails) for name in gone):
                return tuple(found), False  # a part of it may be enough: that was not known in time
            found.append(tuple(name for name in asking.names if name in gone))
            kept |= gone
    except AnswersClash:  # the model rounds to the safe side, and refuses a build that the audit just lets pass
        return tuple(found), False
    return tuple(found), isinstance(asker.recall(kept), Fails)


def _shown_by(prices: Iterable[Price], worths: Worths, asking: Asking, measure: Measure, figure: int) -> None:
    """A step that saves what counts shows that its requirement decides, though giving it up stayed open."""
    for name in {price.name for price in prices if price.wanted and price.wanted < 0}:
        unit = next(unit for unit, ours in asking.units.items() if name in ours)
        known = asking.best_without(unit, measure, sure=True)
        if known is not None and not worths.settled(unit):
            worths.at_least[unit] = max(figure - known, worths.at_least.get(unit, 0))


def _deciders(without: GivingUp, worths: Worths, findings: tuple[Finding, ...]) -> Iterator[Decider]:
    for name in filter(worths.decides, worths.names):
        places, moved = without.places.get(name, ()), is_definition(name)
        yield Decider(
            name=name,
            places=places,
            better_by=None if moved else worths.at_least[name],
            at_most=None if moved else worths.at_most[name],
            finding=_tightest(name, without.asking, findings, places),
        )


def _tightest(name: str, asking: Asking, findings: tuple[Finding, ...], places: tuple[str, ...] = ()) -> Finding | None:
    """What the best build makes of a requirement, at the places asked about, where it has the least room."""
    ours = [f for f in findings if f.requirement in (places or asking.units[name])]
    ours = ours or [f for f in findings if f.name == base_of(name)]
    ours = ours or [f for f in findings if name in asking.names_of(f)]
    return min(ours, key=lambda f: f.margin, default=None)


def _has_much_room(name: str, asking: Asking, findings: Iterable[Finding]) -> bool:
    """Whether the best build is far from a limit wherever it holds: a rule of thumb for what is asked together."""
    ours = [f for f in findings if f.requirement in asking.units[name]]
    return all(f.margin >= _MUCH_ROOM * abs(f.limit) and f.margin > 0 for f in ours)


def _met_exactly(asking: Asking, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Negotiable limits with nothing to spare."""
    for finding in findings:
        known = REGISTER[finding.name]
        if not finding.margin and known.step is not None and not known.yes_no and asking.names_of(finding):
            yield finding


def _with_room(findings: Iterable[Finding]) -> Iterator[Finding]:
    """What has room, the least room first; each requirement at its tightest place."""
    roomy: dict[str, Finding] = {}
    candidates = [f for f in findings if REGISTER[f.name].step is not None and f.limit and 0 < f.margin < inf]
    for finding in sorted(candidates, key=lambda f: f.margin / abs(f.limit)):
        roomy.setdefault(finding.name, finding)
    yield from roomy.values()
