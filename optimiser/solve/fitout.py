"""Finds the best build of a case, and proves it. Prints nothing.

A second measure breaks ties in the same solve, so the answer is unique in both. A solution is laid out on the
roof before it counts; what cannot be laid out teaches the model a fact, and it is solved again, so that the
last solution is optimal among builds that can be laid out.
"""

import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from importlib.metadata import version

from optimiser.builds import Build, Claim
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.measures import MEASURES, Measure
from optimiser.model import figures, kinds, layout, likeness
from optimiser.model.assemble import assemble, keep_apart, loosely, read
from optimiser.model.clock import End, OutOfTime, ending
from optimiser.model.context import Active, FitOut, Learned, everything
from optimiser.model.decisions import Expr, Value
from optimiser.moves import Ladder
from optimiser.requirements import REGISTER
from optimiser.solve import standing
from optimiser.solve.front import Kind, Point, Room, Unanswered, within
from optimiser.solve.outcome import Confirmed, Halt, Impossible, Outcome, Solved, Stop, Undecided, Want, Watch
from optimiser.solve.search import Aim, Best, Infeasible, Open, aim, search
from optimiser.solve.second_look import Contradicted, look_again
from optimiser.solve.standing import Models
from optimiser.tables import Tables

Measures = tuple[Measure, Measure]
WANTS: dict[Want, Measures] = {"cheapest": ("cost", "mass"), "lightest": ("mass", "cost")}
Found = Solved | Undecided
# What was found as time ended is still laid out, as long as the whole stays within a tenth and two seconds of it.
_WITH_LAYOUT, _LAYOUT_S = 1.05, 1.0
# A halt wants the best build by then. Where its roof cannot be laid out, another one has this long, within the limit.
_ANOTHER_S = 20.0
# Any build is mostly found in a second, or proven not to be.
_AT_ONCE_S = 10.0
_NOTHING = Aim(0, 0, 1, 0)  # to be made small: any solution is as good as any other
# A second look at an impossible case takes at most a quarter of the first's time, or ten seconds: half a second is
# enough for most, but not on a machine that does much else.
_SECOND_LOOK, _SECOND_LOOK_S = 0.25, 10.0


def optimise(
    case: Case,
    catalogue: Catalogue,
    want: Want,
    *,
    stop: Stop | None = None,
    watch: Watch = lambda _: None,
    active: Active = everything,
    halt: Halt | None = None,
) -> Outcome:
    """The cheapest or the lightest build.

    Parameters
    ----------
    case, catalogue : what is to be fitted, and what with.
    want : the objective; the other breaks ties.
    stop : time limit [s], seed and workers.
    watch : called with the progress whenever best or bound move.
    active : which requirements hold; all by default.
    halt : ends the solve early when asked from another thread.
    """
    stop = stop or Stop()
    outcome = Question(case, catalogue, active=active).best(WANTS[want], stop=stop, watch=watch, halt=halt)
    if not isinstance(outcome, Impossible):
        return outcome
    seconds = min(max(_SECOND_LOOK * outcome.seconds, _SECOND_LOOK_S), stop.seconds - outcome.seconds)
    try:
        return replace(outcome, confirmed=confirmed(case, catalogue, active=active, seconds=seconds, halt=halt))
    except Contradicted as why:
        return Undecided(None, None, None, 0, outcome.seconds, str(why))


def confirmed(
    case: Case,
    catalogue: Catalogue,
    *,
    active: Active = everything,
    seconds: float = _SECOND_LOOK_S,
    halt: Halt | None = None,
) -> Confirmed:
    """What confirms that an impossible case is so, within a time [s]: its model is made anew.

    Raises
    ------
    Contradicted
        If a second search finds a solution.
    """
    try:
        with ending(End(time.monotonic() + seconds)):
            model = assemble(case, catalogue, active=active).m
    except OutOfTime:
        return "not confirmed"
    return look_again(model, seconds=seconds, halt=halt)


def requirements_of(case: Case, catalogue: Catalogue, end: End | None = None) -> tuple[str, ...]:
    """Every requirement that the model of a case holds builds to, with its place, in the register's order.

    Raises
    ------
    OutOfTime
        If the end comes while the model is made.
    """
    order = {name: place for place, name in enumerate(REGISTER)}
    with ending(end or End()):
        posted = assemble(case, catalogue).posted
    return tuple(sorted(posted, key=lambda name: (order[name.partition("[")[0]], name)))


@dataclass
class Question:
    """A case to be solved once or many times; what one solve learns of the roof serves the next.

    ``active`` : which requirements hold. ``below`` : a measure and a figure that builds are better than, if given.
    ``ladders`` : values of the case that may be eased, for `nearest`. ``lighter_than``: what that weighs less than.
    """

    case: Case
    catalogue: Catalogue
    active: Active = everything
    below: tuple[Measure, int] | None = None
    learned: list[Learned] = field(default_factory=list)
    ladders: tuple[Ladder, ...] = ()
    lighter_than: int | None = None

    def nearest(self, *, stop: Stop | None = None, watch: Watch = lambda _: None, halt: Halt | None = None) -> Outcome:
        """A build for which values of the case are eased by least, as the ladders weigh it; then the fewest."""

        def posed(ctx: FitOut) -> Aim:
            return aim(ctx.easing, ctx.values_eased)

        return self._settle(posed, "nearest", "cost", (), stop or Stop(), watch, halt or Halt())

    def best(
        self,
        measures: Measures,
        room: Room | None = None,
        *,
        stop: Stop | None = None,
        watch: Watch = lambda _: None,
        halt: Halt | None = None,
    ) -> Outcome:
        """The build best in the first measure, ties broken by the second; parameters as in `optimise`."""
        room = room or Room()
        first, second = reversed(measures) if room.turned else measures

        def posed(ctx: FitOut) -> Aim:
            within(ctx.m, _loss(ctx, measures[0]), _loss(ctx, measures[1]), room, kinds.marks(ctx))
            for measure in measures:
                ctx.define(_loss(ctx, measure) < figures.WIDTH[measure])
            return aim(_loss(ctx, first), _loss(ctx, second), width=figures.WIDTH[second])

        named = {pair: want for want, pair in WANTS.items()}
        ends = room in (Room(), Room(turned=True))
        want = named.get((first, second), f"most of {first}") if ends else f"front of {measures[0]} and {measures[1]}"
        return self._settle(posed, want, first, measures, stop or Stop(), watch, halt or Halt())

    def any_build(self, *, stop: Stop | None = None, halt: Halt | None = None) -> Outcome:
        """Whether there is a build at all; `Solved` says that there is, not that it is best in anything."""
        return self._settle(lambda _: None, "any", "cost", (), stop or Stop(), lambda _: None, halt or Halt())

    def point(
        self, measures: Measures, room: Room, *, stop: Stop, watch: Watch, halt: Halt
    ) -> Point[Found] | Infeasible | Unanswered:
        """The question of the loop over a front."""
        found = self.best(measures, room, stop=stop, watch=watch, halt=halt)
        if isinstance(found, Impossible):
            return Infeasible()
        if found.build is None:
            return Unanswered(found.why)
        first, second = (MEASURES[measure].loss(found.figures[measure]) for measure in measures)
        proven = isinstance(found, Solved)
        return Point(first, second, found, proven, kind=found.kind if isinstance(found, Solved) else None)

    def likened(
        self, build: Build, worth: Mapping[Measure, int], to: Build, *, stop: Stop, halt: Halt | None = None
    ) -> Build:
        """Of all builds of the kind of one, and as good in each measure, the one that leaves most of another as it is.

        The build itself where none was found in time. What it claims of cost and mass holds for the other too.
        """

        def posed(ctx: FitOut) -> Aim:
            likeness.hold_kind(ctx, build)
            for measure, figure in worth.items():
                ctx.define(_loss(ctx, measure) <= MEASURES[measure].loss(figure))
            return aim(likeness.unlike(ctx, to), 0)

        found = self._settle(posed, "alike", "cost", (), stop, lambda _: None, halt or Halt())
        like = None if isinstance(found, Impossible) else found.build
        return replace(like, claim=build.claim) if like else build

    def _settle(
        self,
        pose: Callable[[FitOut], Aim | None],
        want: str,
        first: Measure,
        measures: Iterable[Measure],
        stop: Stop,
        watch: Watch,
        halt: Halt,
    ) -> Outcome:
        started = time.monotonic()
        tables = Tables(self.case, self.catalogue)
        rounds, bound = 0, -figures.WIDTH[first]
        before: _Before | None = None  # what was proven before the last was learned

        def nothing(why: str) -> Undecided:
            return Undecided(None, None, None, bound, time.monotonic() - started, why)

        while True:
            rounds += 1
            try:
                with ending(_end(started, stop, halt)):
                    ctx, goal = self._posed(tables, pose)
                    if goal and before:
                        goal = replace(goal, low=before.least // goal.width)
                        ctx.define(goal.both >= before.least)
                    loose = loosely(ctx)
                    keep_apart(ctx)
            except OutOfTime:
                return nothing(f"{'stopped' if halt.asked else 'the time limit came'} while the model was made")
            models = Models(loose, ctx.m, goal or _NOTHING, tuple(kinds.settled(ctx)), kinds.groups(ctx))
            result = _solved(models, before, stop, watch, halt, started) if goal else _any(models, stop, halt, started)
            seconds = time.monotonic() - started
            if isinstance(result, Infeasible):
                return Impossible(seconds)
            bound = max(bound, result.bound)
            if isinstance(result, Open):
                return nothing(
                    "stopped before any build was found" if halt.asked else "the time limit came before any build"
                )
            try:
                with ending(End(started + _WITH_LAYOUT * stop.seconds + _LAYOUT_S)):
                    placed = layout.lay_out(ctx, result.value)
            except OutOfTime:
                return nothing("the end came while the roof was laid out")
            if isinstance(placed, list):
                self.learned += placed
                if goal and result.proven:
                    before = _Before(result.value(goal.both), tuple(result.value(mark) for mark in kinds.groups(ctx)))
                if goal and halt.asked:
                    until = min(stop.seconds, time.monotonic() - started + _ANOTHER_S)
                    halt, stop = Halt(), replace(stop, seconds=until, first=True)
                if time.monotonic() - started < stop.seconds and not halt.asked:
                    continue
                return nothing("the end came while the roof was laid out")
            if isinstance(placed, layout.Unsettled):
                return nothing(placed.why)
            break
        found = {name: result.value(figures.figure(ctx, name)) for name in dict.fromkeys(("cost", "mass", *measures))}
        bound_shown = found[first] if result.proven else MEASURES[first].figure(bound)
        of_claim = goal is not None and not self.ladders
        claim = Claim(
            want=want,
            status="found" if goal is None else "proven" if result.proven else "best found",
            cost_cents=found["cost"],
            mass_g=found["mass"],
            bound=bound_shown if of_claim else None,
            versions={name: version(name) for name in ("ortools", "networkx", "pvlib")},
            seed=stop.seed,
            workers=stop.workers,
        )
        build = replace(read(ctx, result.value, placed), claim=claim)
        eased = ctx.eased(result.value)
        if result.proven:
            return Solved(build, found["cost"], found["mass"], seconds, rounds, found, _kind(ctx, result.value), eased)
        why = "the time limit or an interrupt came before the proof"
        return Undecided(build, found["cost"], found["mass"], bound, seconds, why, found, eased)

    def _posed(self, tables: Tables, pose: Callable[[FitOut], Aim | None]) -> tuple[FitOut, Aim | None]:
        """The model with what is asked of it."""
        ctx = assemble(
            self.case,
            self.catalogue,
            tables=tables,
            active=self.active,
            learned=self.learned,
            ladders=self.ladders,
            apart=False,
        )
        if self.lighter_than is not None:
            ctx.define(ctx.easing < self.lighter_than)
        if self.below:
            ctx.define(_loss(ctx, self.below[0]) < MEASURES[self.below[0]].loss(self.below[1]))
        return ctx, pose(ctx)


@dataclass(frozen=True)
class _Before:
    """What the round before has proven: nothing is below ``least``, both measures in one. Its solution's group."""

    least: int
    group: Kind


def _solved(
    models: Models, before: _Before | None, stop: Stop, watch: Watch, halt: Halt, started: float
) -> Best | Infeasible | Open:
    """The best; if another of the group that could not be laid out before is as good, that one, which none can beat."""
    if before:
        near = standing.in_group(models, before.group, stop=stop, halt=halt, started=started)
        if isinstance(near, Best) and near.value(models.goal.both) == before.least:
            return replace(near, proven=True)
    return standing.solve(models, stop=stop, watch=watch, halt=halt, started=started)


def _any(models: Models, stop: Stop, halt: Halt, started: float) -> Best | Infeasible | Open:
    """Any solution: of the whole model at once, and where that does not end soon, from group to group."""
    soon = min(stop.seconds, time.monotonic() - started + _AT_ONCE_S)
    found = search(models.whole, None, stop=replace(stop, seconds=soon), halt=halt, started=started)
    if not isinstance(found, Open) or soon == stop.seconds or halt.asked:
        return found
    return standing.solve(models, stop=stop, halt=halt, started=started)


def _end(started: float, stop: Stop, halt: Halt) -> End:
    return End(started + stop.seconds, lambda: halt.asked)


def _kind(ctx: FitOut, value: Value) -> Kind:
    return tuple(value(mark) for mark in kinds.marks(ctx))


def _loss(ctx: FitOut, measure: Measure) -> Expr:
    """A measure as something to be made small."""
    figure = figures.figure(ctx, measure)
    return -figure if MEASURES[measure].more_is_better else figure
