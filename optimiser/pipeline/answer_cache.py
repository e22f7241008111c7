"""Answers to the questions of an explanation kept between runs: what took long to prove is not asked again.

A line of the file is a question, as a hash of all it rests on, and its answer; of one left open, what was found and the
bound: it is asked again, and begins from there. The file is
found by a hash of inputs, releases and the program's own code, so that no other program's proof is taken over. A build
is audited again before it counts. That nothing exists cannot be looked at again so cheaply, and anyone can write to
that folder: so an explanation says how many answers are of an earlier run, and they can be left aside.
"""

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict, replace
from hashlib import sha256
from threading import Lock

from pydantic import TypeAdapter, ValidationError
from pydantic.dataclasses import dataclass as checked

from optimiser.auditing import audit, breaches
from optimiser.builds import Build
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.fitted import cost_and_mass
from optimiser.measures import Measure
from optimiser.pipeline.front_cache import kept_at
from optimiser.solve import Impossible, Outcome, Solved, Undecided

_EARLIER = "an earlier run came no further"
Below = tuple[Measure, int]


@checked(frozen=True)
class Line:
    """An answer: the best build, with what it comes to; without one it is proven that there is none.

    With a ``bound`` nothing is proven but that no build is below it; then the build is the best found, if any was.
    """

    question: str
    figures: dict[Measure, int]
    build: Build | None
    bound: int | None = None


_ADAPTER = TypeAdapter(Line)


class Answers:
    """Proven answers of earlier runs about one case, and of this one. ``used``: how many of them were taken over."""

    def __init__(self, inputs: str, requirements: Iterable[str]) -> None:
        self.path = kept_at("answers", inputs)
        self.requirements = tuple(requirements)
        self.used = 0
        self._lock = Lock()
        self._known = {line.question: line for line in self._lines()}

    def _lines(self) -> Iterable[Line]:
        """What can be read: a line that was cut short is left aside."""
        try:
            lines = self.path.read_bytes().splitlines()
        except OSError:
            return
        for line in lines:
            try:
                yield _ADAPTER.validate_json(line)
            except ValidationError:
                continue

    def ask(
        self,
        case: Case,
        catalogue: Catalogue,
        active: Callable[[str], bool],
        below: Below | None,
        what: str,
        solve: Callable[[], Outcome],
        *,
        any_will_do: bool = False,
    ) -> Outcome:
        """The answer of an earlier run if there is one, else that of ``solve``.

        One that is not proven is an answer only if any build will do; else only its bound serves.
        """
        given_up = [name for name in self.requirements if not active(name)]
        question = sha256(repr((what, below, given_up, case, catalogue)).encode()).hexdigest()
        line = self._known.get(question)
        found = _outcome(line, case, catalogue, given_up) if line else None
        if found and (not isinstance(found, Undecided) or (any_will_do and found.build)):
            self.used += 1
            return found
        outcome = solve()
        if isinstance(outcome, Undecided) and isinstance(found, Undecided):
            outcome = replace(outcome, bound=max(outcome.bound, found.bound))
        self._keep(question, outcome)
        return outcome

    def _keep(self, question: str, outcome: Outcome) -> None:
        """At the end of the file. One that cannot be written is done without."""
        if isinstance(outcome, Impossible):
            line = Line(question, {}, None)
        else:
            bound = outcome.bound if isinstance(outcome, Undecided) else None
            if outcome.build is None and (bound or 0) <= 0:
                return
            line = Line(question, outcome.figures, outcome.build, bound)
        text = json.dumps(asdict(line)) + "\n"
        with self._lock:
            try:
                self.path.parent.mkdir(parents=True, exist_ok=True)
                with self.path.open("a", encoding="utf-8") as file:
                    file.write(text)
            except OSError:
                return


def _outcome(line: Line, case: Case, catalogue: Catalogue, given_up: Iterable[str]) -> Outcome | None:
    """The answer as the solver gives it; None where its build is not what it says.

    Model and audit may name a place differently, so that what is given up somewhere may be missed anywhere.
    """
    if line.build is None:
        return Impossible(0.0) if line.bound is None else Undecided(None, None, None, line.bound, 0.0, _EARLIER)
    worth = cost_and_mass(case, catalogue, line.build)
    forgone = {name.partition("[")[0] for name in given_up}
    wrong = [f for f in breaches(audit(case, catalogue, line.build)) if f.name not in forgone]
    if wrong or (worth.cents, worth.grams) != (line.figures.get("cost"), line.figures.get("mass")):
        return None
    if line.bound is not None:
        return Undecided(line.build, worth.cents, worth.grams, line.bound, 0.0, _EARLIER, line.figures)
    return Solved(line.build, worth.cents, worth.grams, 0.0, figures=line.figures)
