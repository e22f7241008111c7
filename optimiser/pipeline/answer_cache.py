"""Answers to the questions of an explanation kept between runs: what took long to prove is not asked again.

A line of the file is a question, as a hash of all it rests on, and its answer: only proven ones are kept. The file is
found by a hash of inputs, releases and the program's own code, so that no other program's proof is taken over. A build
is audited again before it counts. That nothing exists cannot be looked at again so cheaply, and anyone can write to
that folder: so an explanation says how many answers are of an earlier run, and they can be left aside.
"""

import json
from collections.abc import Callable, Iterable
from dataclasses import asdict
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
from optimiser.solve import Impossible, Outcome, Solved

Below = tuple[Measure, int]


@checked(frozen=True)
class Line:
    """An answer: the best build, with what it comes to; without one it is proven that there is none."""

    question: str
    figures: dict[Measure, int]
    build: Build | None


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
    ) -> Outcome:
        """The answer of an earlier run if there is one, else that of ``solve``, kept if it is proven."""
        given_up = [name for name in self.requirements if not active(name)]
        question = sha256(repr((what, below, given_up, case, catalogue)).encode()).hexdigest()
        if (line := self._known.get(question)) and (found := _outcome(line, case, catalogue, given_up)):
            self.used += 1
            return found
        outcome = solve()
        if isinstance(outcome, Impossible):
            self._keep(Line(question, {}, None))
        elif isinstance(outcome, Solved):
            self._keep(Line(question, outcome.figures, outcome.build))
        return outcome

    def _keep(self, line: Line) -> None:
        """At the end of the file. One that cannot be written is done without."""
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
        return Impossible(0.0)
    worth = cost_and_mass(case, catalogue, line.build)
    forgone = {name.partition("[")[0] for name in given_up}
    wrong = [f for f in breaches(audit(case, catalogue, line.build)) if f.name not in forgone]
    if wrong or (worth.cents, worth.grams) != (line.figures.get("cost"), line.figures.get("mass")):
        return None
    return Solved(line.build, worth.cents, worth.grams, 0.0, figures=line.figures)
