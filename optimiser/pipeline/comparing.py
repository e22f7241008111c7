"""The builds worth showing a customer: a front of two measures, each point audited and told from its neighbour.

Builds are kept as they are found, so that a later run with the same inputs goes on from there; it takes their word for
nothing, audits each and proves again what it says of them.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build, BuildProblem
from optimiser.differences import Totals, one_line, totals
from optimiser.fitted import measured
from optimiser.measures import MEASURES, Measure
from optimiser.pipeline.answers import EXIT_CODES, stamped
from optimiser.pipeline.front_cache import Kept, shelf
from optimiser.pipeline.inputs import Inputs
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.reading import input_hash
from optimiser.solve import (
    ByKinds,
    Earlier,
    Front,
    Halt,
    Infeasible,
    Measures,
    Point,
    Question,
    Room,
    Stop,
    Unanswered,
    Watch,
    front,
    spread,
)

State = Literal["whole front", "points of the front", "part of the front", "impossible", "don't know", "breach"]
_NOISE = 1e-3  # of whole figures calculated in floats


@dataclass(frozen=True)
class Choice:
    """A build of the front. ``figures`` are whole numbers of each measure's scale. ``kept``: of an earlier run."""

    build: Build
    figures: dict[Measure, int]
    findings: tuple[Finding, ...]
    proven: bool
    kept: bool = False


@dataclass(frozen=True)
class Step:
    """What changes from one choice to the next."""

    line: str
    totals: Totals


@dataclass(frozen=True)
class Comparison:
    """Choices from the best in the first measure on; ``steps`` lead from each to the next. ``why`` it stopped."""

    measures: Measures
    choices: tuple[Choice, ...]
    steps: tuple[Step, ...]
    state: State
    why: str = ""

    @property
    def code(self) -> int:
        """For the shell."""
        return EXIT_CODES[self.state]


def compare(
    inputs: Inputs,
    measures: Measures,
    points: int | None,
    stop: Stop,
    watch: Watch,
    tell: Callable[[Choice], None],
    *,
    fresh: bool = False,
    ended: Ended = never,
) -> Comparison:
    """The front of two measures. Ctrl-C ends it with the points found so far, and so does ``ended``.

    Parameters
    ----------
    measures : the first is the one the loop starts at the best of.
    points : so many, evenly apart in the second measure; None: all there are.
    stop : time limit of each question to the solver [s], seed and workers.
    tell : called with each choice as it is proven, or the best found; those of an earlier run among them.
    fresh : leave aside what an earlier run found.
    """
    place = shelf(input_hash(inputs.folder, inputs.catalogue), measures)
    earlier = Earlier(() if fresh else tuple(p for kept in place.load() if (p := _known(inputs, measures, kept))))
    question, found = Question(inputs.case, inputs.catalogue), list[Point[Choice]]()

    def take(point: Point[Choice]) -> None:
        found.append(point)
        proven = tuple(p for p in found if p.proven)
        place.keep(Kept(p.found.figures, p.found.build) for p in (*proven, *earlier.left(proven)))
        if _holds(point):
            tell(_settled(point, measures, stop))

    def ask(room: Room, halt: Halt) -> Point[Choice] | Infeasible | Unanswered:
        point = question.point(measures, room, stop=stop, watch=watch, halt=halt)
        if not isinstance(point, Point):
            return point
        assert point.found.build is not None  # what is found is a build
        choice = _choice(inputs, stamped(inputs, point.found.build), point.found.figures, point.proven)
        audited = Point(point.first, point.second, choice, point.proven, kind=point.kind)
        # What the audit refuses ends the loop: nothing that rests on it would be worth anything.
        return audited if _holds(audited) else replace(audited, proven=False)

    def work(halt: Halt) -> Front[Choice]:
        rest = earlier.rest(lambda room: ask(room, halt))
        if points is None:
            return front(earlier.best(ByKinds(rest)), tell=take)
        return spread(earlier.best(rest), points, tell=take)

    walked = interruptible(work, ended)
    if walked.state == "part":  # what was not come to is still there to be shown
        shown = sorted((*walked.points, *earlier.left(walked.points)), key=lambda point: point.first)
        walked = replace(walked, points=tuple(shown))
    return _comparison(inputs, measures, walked, stop)


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
    return point if true and _holds(point) else None


def _so(name: Measure, figure: int, actual: float) -> bool:
    """Whether a figure of the solver may be what the audit measures: cost and mass are exact, others rounded down."""
    scale = MEASURES[name]
    within = figure <= actual * scale.per_unit + _NOISE
    return within if scale.more_is_better else abs(figure - actual * scale.per_unit) <= _NOISE


def _holds(point: Point[Choice]) -> bool:
    return not breaches(point.found.findings)


def _settled(point: Point[Choice], measures: Measures, stop: Stop) -> Choice:
    """The choice of a point; one of an earlier run with what this run says of it."""
    choice = point.found
    if not choice.kept:
        return choice
    status, bound = ("proven", choice.figures[measures[0]]) if point.proven else ("best found", None)
    want = f"front of {measures[0]} and {measures[1]}"
    claim = replace(choice.build.claim, want=want, status=status, bound=bound, seed=stop.seed, workers=stop.workers)
    return replace(choice, proven=point.proven, build=replace(choice.build, claim=claim))


def _comparison(inputs: Inputs, measures: Measures, walked: Front[Choice], stop: Stop) -> Comparison:
    states: dict[str, State] = {"whole": "whole front", "some": "points of the front", "part": "part of the front"}
    refused = [point.found for point in walked.points if breaches(point.found.findings)]
    if refused:
        return Comparison(measures, tuple(refused), (), "breach")
    if not walked.points:
        return Comparison(measures, (), (), "impossible" if walked.state == "whole" else "don't know", walked.why)
    choices = tuple(_settled(point, measures, stop) for point in walked.points)
    steps = tuple(step(inputs, one.build, other.build) for one, other in pairwise(choices))
    return Comparison(measures, choices, steps, states[walked.state], walked.why)


def step(inputs: Inputs, before: Build, after: Build) -> Step:
    """What changes from one build of a case to another."""
    change = totals(inputs.case, inputs.catalogue, before, after)
    return Step(one_line(inputs.catalogue, before, after, change), change)
