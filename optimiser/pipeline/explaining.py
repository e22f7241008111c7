"""Why a case has no build, or what decides its best ones."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace
from math import inf
from typing import Literal

from optimiser.auditing import Finding
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.explaining import (
    Below,
    Budget,
    Deciding,
    Glance,
    News,
    Refused,
    Solver,
    Why,
    everything,
    nearest_or_missed,
    negotiable,
    side_by_side,
    what_decides,
    why_impossible,
)
from optimiser.measures import Measure
from optimiser.moves import Ladder
from optimiser.pipeline.answer_cache import Answers
from optimiser.pipeline.answers import EXIT_CODES, Answer
from optimiser.pipeline.inputs import Inputs
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.reading import input_hash
from optimiser.solve import (
    WANTS,
    Bounds,
    Confirmed,
    End,
    Halt,
    Impossible,
    Outcome,
    OutOfTime,
    Question,
    Solved,
    Stop,
    Undecided,
    Want,
    Watch,
    at_least,
    bounds,
    optimise,
    requirements_of,
)

_QUESTION_S = 30.0  # of one question, at most: a proof of a case that takes long to solve takes as long
_MOMENT_S = 5.0, 15.0  # to look at an impossible case: as long again as its proof took, but between these

Verdict = Literal["impossible", "possible", "don't know", "breach"]


@dataclass(frozen=True)
class Explanation:
    """What was found out. ``why`` of an impossible case, and what else says that it is (``confirmed``); what decides
    each wanted best build of a possible one.

    ``undecided``: wants whose best build was not proven in time, and why. ``refused``: a fault of the program.
    """

    verdict: Verdict
    why: Why | None = None
    deciding: tuple[Deciding, ...] = ()
    undecided: tuple[tuple[Want, str], ...] = ()
    refused: tuple[Finding, ...] = ()
    seconds: float = 0.0
    confirmed: Confirmed | None = None
    earlier: int = 0  # answers that were taken over from an earlier run

    @property
    def code(self) -> int:
        """For the shell."""
        return EXIT_CODES[self.verdict]


def explain(
    inputs: Inputs,
    wants: tuple[Want, ...],
    by_percent: float,
    stop: Stop,
    watch: Watch,
    tell: Callable[[str], None],
    *,
    heard: Callable[[News], None] = lambda _: None,
    fresh: bool = True,
    ended: Ended = never,
) -> Explanation:
    """Explain a case, possible or not. Ctrl-C ends it with what is known so far, and so does ``ended``.

    Parameters
    ----------
    wants : which best builds, if there are any.
    by_percent : how much better a build must be to count, of the best; 0: by the least amount there is.
    stop : time limit of all of it [s], seed and workers.
    tell : called with a few words on what is asked next.
    heard : called, of a possible case, with what is known of each limit, as soon as it is.
    fresh : leave aside, and keep, no proofs of another run.
    """
    started = time.monotonic()

    def work(halt: Halt) -> Explanation:
        budget = Budget(started + stop.seconds, lambda: halt.asked)
        try:
            end = End(budget.until, lambda: halt.asked)
            requirements = requirements_of(inputs.case, inputs.catalogue, end)
            names = negotiable(inputs.case, inputs.catalogue, requirements)
            kept = None if fresh else Answers(input_hash(inputs.folder, inputs.catalogue), requirements)
            solver = _Solver(stop, budget, halt, watch, tell, kept)
            found = _explained(inputs, wants, by_percent, solver, budget, names, heard)
            return replace(found, earlier=kept.used if kept else 0)
        except OutOfTime:
            why = "stopped" if halt.asked else "the time limit came"
            return Explanation("don't know", undecided=tuple((w, f"{why} while the model was made") for w in wants))
        except Refused as fault:
            return Explanation("breach", refused=fault.findings)

    found = interruptible(work, ended)
    return replace(found, seconds=time.monotonic() - started)


def glance(inputs: Inputs, answer: Answer, stop: Stop, *, ended: Ended = never) -> Glance | None:
    """What an impossible case has to give up, as far as a moment within the time limit shows it; None of any other."""
    if answer.status != "impossible":
        return None
    took_s = answer.outcome.seconds
    least_s, most_s = _MOMENT_S
    until = time.monotonic() + min(max(least_s, took_s), most_s, stop.seconds - took_s)

    def work(halt: Halt) -> Glance:
        budget, end = Budget(until, lambda: halt.asked), End(until, lambda: halt.asked)
        solver = _Solver(stop, budget, halt, lambda _: None, lambda _: None)
        try:
            names = negotiable(inputs.case, inputs.catalogue, requirements_of(inputs.case, inputs.catalogue, end))
            return nearest_or_missed(inputs.case, inputs.catalogue, names, solver, budget)
        except OutOfTime:
            return Glance()
        except Refused as fault:
            return Glance(refused=fault.findings)

    return interruptible(work, ended)


def _explained(
    inputs: Inputs,
    wants: tuple[Want, ...],
    by_percent: float,
    solver: _Solver,
    budget: Budget,
    names: tuple[str, ...],
    heard: Callable[[News], None],
) -> Explanation:
    outcomes: dict[Want, Outcome] = {}
    for want in wants:
        outcomes[want] = first = solver.first(inputs.case, inputs.catalogue, want)
        if isinstance(first, Impossible):
            why = why_impossible(inputs.case, inputs.catalogue, names, solver, budget)
            return Explanation("impossible", why, confirmed=first.confirmed)
    bests = [(want, best) for want, best in outcomes.items() if isinstance(best, Solved)]
    undecided = tuple((want, open_.why) for want, open_ in outcomes.items() if isinstance(open_, Undecided))

    def decides(of: tuple[Want, Solved]) -> Deciding:
        want, best = of
        margin = max(1, round(best.figures[WANTS[want][0]] * by_percent / 100))
        return what_decides(
            inputs.case, inputs.catalogue, names, want, best, solver, budget, margin=margin, heard=heard
        )

    # Side by side, since each has to wait for some answers before it can ask on.
    deciding = tuple(side_by_side(decides, bests))
    return Explanation("don't know" if undecided else "possible", None, deciding, undecided)


@dataclass
class _Solver:
    """The solver as explanations see it: every question within a time limit.

    No more questions run at once than there are workers; one asked alone has a second search if there is room.
    """

    stop: Stop
    budget: Budget
    halt: Halt
    watch: Watch
    tell: Callable[[str], None]
    kept: Answers | None = None
    questions: int = 0
    room: threading.Semaphore = field(init=False)

    def __post_init__(self) -> None:
        self.room = threading.Semaphore(self.stop.workers)

    def first(self, case: Case, catalogue: Catalogue, want: Want) -> Outcome:
        """The best build of the case itself; proven by an earlier run, it is there at once."""
        self.tell(want)

        def solved() -> Outcome:
            stop = replace(self.stop, seconds=self._left_s())
            return optimise(case, catalogue, want, stop=stop, watch=self.watch, halt=self.halt)

        found = self.kept.ask(case, catalogue, everything, None, want, solved) if self.kept else solved()
        # That there is none is looked for anew, so that a second look can say so too.
        return solved() if isinstance(found, Impossible) and found.confirmed is None else found

    def any_build(
        self,
        case: Case,
        catalogue: Catalogue,
        active: Callable[[str], bool],
        below: Below | None,
        *,
        alone: bool = True,
        seconds: float | None = None,
    ) -> Outcome:
        """Whether there is a build."""
        with self.room:
            both = alone and self.room.acquire(blocking=False)
            try:
                self._count()
                most_s = min(_QUESTION_S, self._left_s(), _QUESTION_S if seconds is None else max(1.0, seconds))
                stop = replace(self.stop, seconds=most_s, workers=2 if both else 1)
                return Question(case, catalogue, active=active, below=below).any_build(stop=stop, halt=self.halt)
            finally:
                if both:
                    self.room.release()

    def best(
        self,
        case: Case,
        catalogue: Catalogue,
        want: Want,
        below: Below | None,
        *,
        active: Callable[[str], bool] = everything,
        seconds: float | None = None,
        first: bool = False,
        again: int = 0,
        work: float = inf,
    ) -> Outcome:
        """The best build of a case with a value moved, or with requirements given up."""
        question = Question(case, catalogue, active=active, below=below)
        stop = replace(self.stop, seed=self.stop.seed + again, workers=1, lone=True, first=first, work=work)

        def solved() -> Outcome:
            return self._best(question, WANTS[want], self._left_s() if seconds is None else seconds, stop)

        if self.kept is None:
            return solved()
        return self.kept.ask(case, catalogue, active, below, want, solved, any_will_do=first)

    def at_least(
        self, case: Case, catalogue: Catalogue, want: Want, *, active: Callable[[str], bool], seconds: float
    ) -> int:
        """What no build can be below, from a linear programme."""
        with self.room:
            return at_least(case, catalogue, want, active=active, seconds=seconds, halt=self.halt)

    def bounds(self, case: Case, catalogue: Catalogue, given_up: Collection[str], *, seconds: float) -> Bounds:
        """What builds can have at best that may miss some requirements."""
        with self.room:
            return bounds(case, catalogue, given_up, seconds=seconds, halt=self.halt)

    def utmost(
        self, case: Case, catalogue: Catalogue, measure: Measure, *, active: Callable[[str], bool], seconds: float
    ) -> Outcome:
        """The best build in any measure; of those, the cheapest."""
        question = Question(case, catalogue, active=active)
        return self._best(question, (measure, "mass" if measure == "cost" else "cost"), seconds, self.stop)

    def nearest(
        self,
        case: Case,
        catalogue: Catalogue,
        ladders: Sequence[Ladder],
        *,
        seconds: float | None,
        active: Callable[[str], bool] = everything,
        lighter_than: int | None = None,
    ) -> Outcome:
        """The build for which values are eased by least."""
        question = Question(case, catalogue, active=active, ladders=tuple(ladders), lighter_than=lighter_than)
        with self.room:
            self._count()
            stop = replace(self.stop, seconds=max(1.0, min(self._left_s(), seconds or _QUESTION_S)))
            return (
                question.any_build(stop=stop, halt=self.halt)
                if seconds is None
                else question.nearest(stop=stop, halt=self.halt)
            )

    def _best(self, question: Question, measures: tuple[Measure, Measure], seconds: float, stop: Stop) -> Outcome:
        with self.room:
            self._count()
            stop = replace(stop, seconds=max(1.0, min(self._left_s(), seconds)))
            return question.best(measures, stop=stop, halt=self.halt)

    def _count(self) -> None:
        self.questions += 1
        self.tell(f"question {self.questions}")

    def _left_s(self) -> float:
        return max(1.0, self.budget.until - time.monotonic())


def solver_for(stop: Stop, budget: Budget, halt: Halt, watch: Watch, tell: Callable[[str], None]) -> Solver:
    """The solver for questions on a case, each within the budget; parameters as of `explain`."""
    return _Solver(stop, budget, halt, watch, tell)
