"""The builds worth showing a customer: a front of two measures, each point audited and told from its neighbour.

Builds are kept as they are found, so that a later run with the same inputs goes on from there; it takes their word for
nothing, audits each and proves again what it says of them.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build, BuildProblem
from optimiser.differences import Totals, one_line, renumbered, totals
from optimiser.fitted import measured
from optimiser.measures import MEASURES, Measure
from optimiser.pipeline.answers import EXIT_CODES, stamped
from optimiser.pipeline.front_cache import Kept, shelf
from optimiser.pipeline.inputs import Inputs
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.reading import input_hash
from optimiser.solve import (
    ByKinds,
    Confirmed,
    Contradicted,
    Earlier,
    Front,
    Halt,
    Infeasible,
    Measures,
    Point,
    Question,
    Room,
    Stop,
    Tolerance,
    Unanswered,
    Watch,
    apart,
    confirmed,
    front,
    spread,
)

State = Literal[
    "front to a tolerance",
    "whole front",
    "points of the front",
    "part of the front",
    "impossible",
    "don't know",
    "breach",
]
Percents = tuple[float, float]
_STATES: dict[str, State] = {
    "apart": "front to a tolerance",
    "whole": "whole front",
    "some": "points of the front",
    "part": "part of the front",
}
_NOISE = 1e-3  # of whole figures calculated in floats
_LIKENED_S = 20.0  # a question within one kind takes a second or two


@dataclass(frozen=True)
class Extent:
    """How much of a front: so many ``points``, else what is ``apart`` by more than so many percent of each measure.

    Neither: all of it.
    """

    points: int | None = None
    apart: Percents | None = None

    @classmethod
    def of(cls, measures: Measures, points: int | None, apart: Percents | None, whole: bool) -> "Extent":
        """What was asked for; left open, all that differs in a way that can be seen.

        Raises
        ------
        ValueError
            If more than one of the three is asked for, or a percentage is none.
        """
        if sum((points is not None, apart is not None, whole)) > 1:
            raise ValueError("so many points, apart by so much, all of them: expected one of the three")
        if apart is not None and not all(0 <= percent < 100 for percent in apart):
            raise ValueError(f"apart by {apart[0]} and {apart[1]} %; expected 0 or more, and less than 100")
        return cls(points, None if points or whole else apart or percents(measures))


def percents(measures: Measures) -> Percents:
    """What a customer would not choose by, percent of each measure."""
    first, second = measures
    return MEASURES[first].apart_percent, MEASURES[second].apart_percent


@dataclass(frozen=True)
class Choice:
    """A build of the front. ``figures`` are whole numbers of each measure's scale. ``kept``: of an earlier run.

    ``best_in``: the measures in which it is proven that no other build is better.
    """

    build: Build
    figures: dict[Measure, int]
    findings: tuple[Finding, ...]
    proven: bool
    kept: bool = False
    best_in: tuple[Measure, ...] = ()


@dataclass(frozen=True)
class Step:
    """What changes from one choice to the next."""

    line: str
    totals: Totals


@dataclass(frozen=True)
class Comparison:
    """Choices from the best in the first measure on; ``steps`` lead from each to the next. ``why`` it stopped.

    ``apart``: the percent of each measure that the choices are to a tolerance of, if they are. ``confirmed``: of an
    impossible case, what else says so.
    """

    measures: Measures
    choices: tuple[Choice, ...]
    steps: tuple[Step, ...]
    state: State
    why: str = ""
    apart: Percents | None = None
    confirmed: Confirmed | None = None

    @property
    def code(self) -> int:
        """For the shell."""
        return EXIT_CODES[self.state]


def compare(
    inputs: Inputs,
    measures: Measures,
    extent: Extent,
    stop: Stop,
    watch: Watch,
    tell: Callable[[Choice], None],
    *,
    fresh: bool = False,
    like: Build | None = None,
    ended: Ended = never,
) -> Comparison:
    """The front of two measures. Ctrl-C ends it with the points found so far, and so does ``ended``.

    Parameters
    ----------
    measures : the first is the one the loop starts at the best of.
    extent : how much of the front.
    stop : time limit of each question to the solver [s], seed and workers.
    tell : called with each choice as it is proven, or the best found; those of an earlier run among them.
    fresh : leave aside what an earlier run found.
    like : what choices are made to differ from as little as they can; None: each from the one before.
    """
    place = shelf(input_hash(inputs.folder, inputs.catalogue), measures)
    earlier = Earlier(() if fresh else tuple(p for kept in place.load() if (p := _known(inputs, measures, kept))))
    question, found = Question(inputs.case, inputs.catalogue), list[Point[Choice]]()

    def keep(point: Point[Choice]) -> None:
        found.append(point)
        proven = tuple(p for p in found if p.proven)
        place.keep(Kept(p.found.figures, p.found.build) for p in (*proven, *earlier.left(proven)))

    def show(point: Point[Choice]) -> None:
        if _holds(point.found):
            tell(_settled(point, measures, stop))

    def take(point: Point[Choice]) -> None:
        keep(point)
        show(point)

    def ask(room: Room, halt: Halt) -> Point[Choice] | Infeasible | Unanswered:
        point = question.point(measures, room, stop=stop, watch=watch, halt=halt)
        if not isinstance(point, Point):
            return point
        assert point.found.build is not None  # what is found is a build
        choice = _choice(inputs, stamped(inputs, point.found.build), point.found.figures, point.proven)
        audited = Point(point.first, point.second, choice, point.proven, kind=point.kind)
        # What the audit refuses ends the loop: nothing that rests on it would be worth anything.
        return audited if _holds(choice) else replace(audited, proven=False)

    def walk(halt: Halt) -> Front[Choice]:
        if extent.apart:
            tolerance = Tolerance(*(Fraction(str(percent)) / 100 for percent in extent.apart))
            return apart(lambda room: ask(room, halt), tolerance, earlier=earlier.found, learn=keep, tell=show)
        rest = earlier.rest(lambda room: ask(room, halt))
        if extent.points:
            return spread(earlier.best(rest), extent.points, tell=take)
        return front(earlier.best(ByKinds(rest)), tell=take)

    def work(halt: Halt) -> tuple[Front[Choice], tuple[Choice, ...]]:
        walked = walk(halt)
        if walked.state == "part" and not extent.apart:  # what was not come to is still there to be shown
            shown = sorted((*walked.points, *earlier.left(walked.points)), key=lambda point: point.first)
            walked = replace(walked, points=tuple(shown))
        choices = tuple(_settled(point, measures, stop) for point in walked.points)
        normal = extent.apart or extent.points
        return walked, tuple(_likened(inputs, question, choices, like, stop, halt)) if normal else choices

    walked, choices = interruptible(work, ended)
    found_all = replace(_comparison(inputs, measures, walked, choices), apart=extent.apart)
    return _confirmed(inputs, found_all) if found_all.state == "impossible" else found_all


def _confirmed(inputs: Inputs, found: Comparison) -> Comparison:
    """With what else says that the case is impossible."""
    try:
        return replace(found, confirmed=confirmed(inputs.case, inputs.catalogue))
    except Contradicted as why:
        return replace(found, state="part of the front", why=str(why))


def _likened(
    inputs: Inputs, question: Question, choices: tuple[Choice, ...], like: Build | None, stop: Stop, halt: Halt
) -> Iterator[Choice]:
    """Each as good as it was, without what is otherwise for no reason."""
    limit = replace(stop, seconds=min(stop.seconds, _LIKENED_S))
    before = like
    for choice in choices:
        if before and _holds(choice) and not halt.asked:
            to = renumbered(choice.build, before)
            build = question.likened(choice.build, choice.figures, to, stop=limit, halt=halt)
            choice = replace(choice, build=build, findings=audit(inputs.case, inputs.catalogue, build))
        before = like or choice.build
        yield choice


def _choice(inputs: Inputs, build: Build, figures: dict[Measure, int], proven: bool) -> Choice:
    return Choice(build, figures, audit(inputs.case, inputs.catalogue, build), proven)


def _known(inputs: Inputs, measures: Measures, kept: Kept) -> Point[Choice] | None:
    """A build of an earlier run; None if it does not hold, or is not what is said of it: the file may be spoilt."""
    if not kept.figures.keys() >= {"cost", "mass", *measures}:
        return None
    try:
        choice = replace(_choice(inputs, kept.build, kept.figures, False), kept=True)
        actual = measured(inputs.case, inputs.catalogue, kept.build)
    except BuildProblem:
        return None
    first, second = (MEASURES[name].loss(kept.figures[name]) for name in measures)
    point = Point(first, second, choice, proven=False)
    true = all(_so(name, figure, actual[name]) for name, figure in kept.figures.items())
    return point if true and _holds(choice) else None


def _so(name: Measure, figure: int, actual: float) -> bool:
    """Whether a figure of the solver may be what the audit measures: cost and mass are exact, others rounded down."""
    scale = MEASURES[name]
    within = figure <= actual * scale.per_unit + _NOISE
    return within if scale.more_is_better else abs(figure - actual * scale.per_unit) <= _NOISE


def _holds(choice: Choice) -> bool:
    return not breaches(choice.findings)


def _settled(point: Point[Choice], measures: Measures, stop: Stop) -> Choice:
    """The choice of a point with what this run says of it, also where an earlier one found it."""
    first, second = measures
    best = {first: point.proven and point.under is None, second: point.proven and point.least}
    choice = replace(point.found, proven=point.proven, best_in=tuple(name for name in measures if best[name]))
    if not choice.kept:
        return choice
    status, bound = ("proven", choice.figures[first]) if point.proven else ("best found", None)
    want = f"front of {first} and {second}"
    claim = replace(choice.build.claim, want=want, status=status, bound=bound, seed=stop.seed, workers=stop.workers)
    return replace(choice, build=replace(choice.build, claim=claim))


def _comparison(inputs: Inputs, measures: Measures, walked: Front[Choice], choices: tuple[Choice, ...]) -> Comparison:
    refused = tuple(choice for choice in choices if not _holds(choice))
    if refused:
        return Comparison(measures, refused, (), "breach")
    if not choices:
        return Comparison(measures, (), (), "don't know" if walked.state == "part" else "impossible", walked.why)
    steps = tuple(step(inputs, one.build, other.build) for one, other in pairwise(choices))
    return Comparison(measures, choices, steps, _STATES[walked.state], walked.why)


def step(inputs: Inputs, before: Build, after: Build) -> Step:
    """What changes from one build of a case to another."""
    change = totals(inputs.case, inputs.catalogue, before, after)
    return Step(one_line(inputs.catalogue, before, after, change), change)
