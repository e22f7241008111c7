"""Each structural idea switched off in turn, beside the solver as it is, in one run. None may change what is best.

An idea is a function or a figure of the program, and what stands there without it. One that is no longer there fails.
"""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, replace
from importlib import import_module
from itertools import product
from statistics import median
from typing import Any
from unittest.mock import patch

from ortools.sat.python import cp_model

from optimiser.model import kinds, roof
from optimiser.model.context import Figure, FitOut
from optimiser.model.packing import Item, Sheet
from optimiser.solve import ByKinds, Found, Halt, Infeasible, Point, Question, Room, Stop, Unanswered, Want, front
from optimiser.solve.standing import Models
from tests.bench.apart import Died, apart
from tests.bench.solving import solved
from tests.bench.subjects import Subject

AS_IT_IS = "as it is"
KIND_BY_KIND = "kind by kind"


@dataclass(frozen=True)
class Idea:
    """Where it is, and what stands there without it."""

    owner: str  # a module, or a class in one
    attribute: str
    without: Any

    def off(self) -> AbstractContextManager[Any]:
        """The program without it, while this lasts.

        Raises
        ------
        AttributeError
            If there is no such function or figure.
        """
        module, _, kind = self.owner.partition(":")
        owner = import_module(f"optimiser.{module}")
        return patch.object(getattr(owner, kind) if kind else owner, self.attribute, self.without)


def _each_alone(sheet: Sheet, one: Item, other: Item, gap: int) -> tuple[int, ...]:
    """Of the other type as many as fit alone, whatever there is of the one."""
    return (roof.most_of(sheet, other, gap),) * roof.most_of(sheet, one, gap)


def _weighted(self: FitOut, name: str, wants: Iterable[Figure], gives: Iterable[Figure], place: str = "") -> None:
    """One inequality of weighted sums, where something is wanted."""
    self.require(name, sum(k * flag for k, flag in wants) <= sum(k * flag for k, flag in gives), place)


def _places_at_once(loose: cp_model.CpModel, whole: cp_model.CpModel, *rest: Any) -> Models:
    """All bodies keep apart from the first."""
    return Models(whole.clone(), whole, *rest)


IDEAS: dict[str, Idea] = {
    "two types of panel packed together": Idea("model.roof", "staircase", _each_alone),
    "packings answer for smaller panels": Idea("model.packing_known:Known", "says", lambda _, counts: None),
    "area of a zone": Idea("model.roof", "_area", lambda ctx, zone: None),
    "exact moments of few panels": Idea("model.roof", "EXACT_SPREAD", 0),
    "covered level by level": Idea("model.context:FitOut", "cover", _weighted),
    "two searches": Idea("solve.search", "WHOLE", 'linearization_level: 2 subsolvers: "max_lp"'),
    "the whole relaxation": Idea("solve.search", "WHOLE", ""),
    "places after all else": Idea("solve.fitout", "Models", _places_at_once),
    "kinds in groups": Idea("model.kinds", "groups", kinds.marks),
}


@dataclass(frozen=True)
class Without:
    """A solve without an idea. ``work`` is the solver's own measure of it, the roof's packing included.

    ``same``: as good as with all ideas, where both are proven; a front: as many points.
    """

    idea: str
    group: str
    subject: str
    want: str
    state: str
    best: int | None = None
    seconds: float | None = None
    cpu_s: float | None = None
    work: float | None = None
    same: str = ""
    why: str = ""


def rows(ideas: Sequence[str], chosen: Sequence[Subject], wants: Sequence[Want], stop: Stop) -> Iterator[Without]:
    """Each subject as the program is, and then without each idea; a process of its own for each."""
    for subject, want in product(chosen, wants):
        yield from _turns([AS_IT_IS, *(i for i in ideas if i in IDEAS)], subject, want, _best, stop)
    if KIND_BY_KIND in ideas:
        for subject in chosen:
            yield from _turns([AS_IT_IS, KIND_BY_KIND], subject, "front", _front, stop)


Answer = tuple[str, int | None, float | None, float]  # state, best, seconds, work
Put = Callable[[str, Subject, Any, Stop], Answer]


def _turns(ideas: Sequence[str], subject: Subject, want: str, ask: Put, stop: Stop) -> Iterator[Without]:
    whole: Without | None = None
    for idea in ideas:
        run = apart(ask, idea, subject, want, stop, seconds=stop.seconds)
        if isinstance(run, Died):
            row = Without(idea, subject.group, subject.name, want, "crash", why=run.why)
        else:
            state, best, seconds, work = run.value
            row = Without(idea, subject.group, subject.name, want, state, best, seconds, run.cpu_s, work)
        settled = whole is not None and {row.state, whole.state} <= {"proven", "impossible"}
        whole = whole or row
        same = "yes" if (row.state, row.best) == (whole.state, whole.best) else "no"
        yield replace(row, same=same if settled else "")


def _best(idea: str, subject: Subject, want: Want, stop: Stop) -> Answer:
    """The best build without an idea."""
    with IDEAS[idea].off() if idea in IDEAS else nullcontext(), _working() as work:
        row = solved(subject, want, 1, stop, *subject.read())
    return row.state, row.cost_cents if want == "cheapest" else row.mass_g, row.seconds, sum(work)


def _front(idea: str, subject: Subject, want: str, stop: Stop) -> Answer:
    """How many points the front of cost and mass has, kind by kind or by the plain loop, in one time limit."""
    question, started = Question(*subject.read()), time.monotonic()

    def ask(room: Room) -> Point[Found] | Infeasible | Unanswered:
        left = replace(stop, seconds=max(1.0, stop.seconds - (time.monotonic() - started)))
        return question.point(("cost", "mass"), room, stop=left, watch=lambda _: None, halt=Halt())

    with _working() as work:
        found = front(ask if idea == KIND_BY_KIND else ByKinds(ask))
    state = "proven" if found.state == "whole" else "best found"
    return state, len(found.points), time.monotonic() - started, sum(work)


@contextmanager
def _working() -> Iterator[list[float]]:
    """The work of each solve while this lasts, as the solver measures it: the same on every machine with one worker."""
    done: list[float] = []
    solve = cp_model.CpSolver.solve

    def noted(solver: cp_model.CpSolver, *args: Any) -> cp_model.CpSolverStatus:
        status = solve(solver, *args)
        done.append(solver.response_proto.deterministic_time)
        return status

    with patch.object(cp_model.CpSolver, "solve", noted):
        yield done


def log_lines(found: Sequence[Without], *, day: str, seconds: float) -> Iterator[str]:
    """An entry of the log for each idea: CPU seconds without it for each with it, and what is no longer settled."""
    whole = {(row.subject, row.want): row for row in found if row.idea == AS_IT_IS}
    for idea in dict.fromkeys(row.idea for row in found if row.idea != AS_IT_IS):
        ours = [(row, whole[row.subject, row.want]) for row in found if row.idea == idea]
        times = [row.cpu_s / before.cpu_s for row, before in ours if row.cpu_s and before.cpu_s]
        lost = sum(row.state == "best found" != before.state for row, before in ours)
        ratio = (
            f"{median(times):.2f} times the CPU s (median, {min(times):.2f} to {max(times):.2f})" if times else "none"
        )
        yield f"- {day}, without {idea}: {ratio} over {len(ours)} solves; {lost} no longer proven in {seconds:g} s"
