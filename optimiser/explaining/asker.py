"""Asks whether names can hold together, and remembers all that the answers say.

Questions are what costs, so each answer is used for all it says: names that hold together do so in every part of the
set, names that fail do so with anything added. And questions that do not wait for each other are asked side by side.
"""

from collections.abc import Callable, Generator, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from optimiser.explaining.hitting import Name


@dataclass(frozen=True)
class Holds:
    """There is a witness; ``holds`` are the names it is known to hold, at least those asked for."""

    holds: frozenset[Name]


@dataclass(frozen=True)
class Fails:
    """Proven impossible; ``core`` is a part of what was asked that fails already (all of it, if nothing is known)."""

    core: frozenset[Name]


@dataclass(frozen=True)
class Open:
    """Not decided."""

    why: str


Answer = Holds | Fails | Open
Ask = Callable[[frozenset[Name]], Answer]
AskMany = Callable[[Sequence[frozenset[Name]]], Sequence[Answer]]
_T = TypeVar("_T")
Line = Generator[frozenset[Name], Answer, _T]  # yields a question, is sent its answer


class AnswersClash(AssertionError):
    """Two answers cannot both be true: a fault in the program or in the solver, never in the input."""


class Asker:
    """Asks, and remembers: no question is put whose answer is known, or follows from earlier ones."""

    def __init__(self, ask: Ask, ask_many: AskMany | None = None) -> None:
        self._ask = ask
        self._ask_many = ask_many or (lambda questions: [ask(names) for names in questions])
        self.open: dict[frozenset[Name], Open] = {}
        self.witnesses: list[frozenset[Name]] = []  # none inside another
        self.cores: list[frozenset[Name]] = []  # none inside another
        self.questions = 0  # really put

    def recall(self, names: frozenset[Name]) -> Answer | None:
        """What earlier answers say, None if nothing: the widest witness, or the shortest core."""
        if cores := [core for core in self.cores if core <= names]:
            return Fails(min(cores, key=len))
        if witnesses := [witness for witness in self.witnesses if names <= witness]:
            return Holds(max(witnesses, key=len))
        return self.open.get(names)

    def __call__(self, names: frozenset[Name]) -> Answer:
        if (known := self.recall(names)) is not None:
            return known
        return self._learn(names, self._ask(names))

    def together(self, questions: Iterable[frozenset[Name]]) -> None:
        """Ask several questions side by side: for those that do not wait for each other."""
        unknown = [names for names in dict.fromkeys(questions) if self.recall(names) is None]
        if len(unknown) == 1:
            self(unknown[0])
        else:
            for names, answer in zip(unknown, self._ask_many(unknown), strict=True):
                self._learn(names, answer)

    def run(self, *lines: Line[_T]) -> list[_T]:
        """Follow several lines of questions to their ends, one question of each at a time, side by side.

        What one learns in a round serves all in the next.
        """
        results: dict[Line[_T], _T] = {}
        waiting: dict[Line[_T], frozenset[Name]] = {}

        def go_on(line: Line[_T], answer: Answer | None) -> None:
            """As far as what is known leads."""
            while True:
                try:
                    waiting[line] = line.send(answer)  # type: ignore[arg-type]  # None starts it
                except StopIteration as end:
                    waiting.pop(line, None)
                    results[line] = end.value
                    return
                if (answer := self.recall(waiting[line])) is None:
                    return

        for line in lines:
            go_on(line, None)
        while waiting:
            self.together(waiting.values())
            for line, names in list(waiting.items()):
                go_on(line, self.recall(names))
        return [results[line] for line in lines]

    def _learn(self, names: frozenset[Name], answer: Answer) -> Answer:
        self.questions += 1
        match answer:
            case Holds(holds):
                if not names <= holds or any(core <= holds for core in self.cores):
                    raise AnswersClash(f"a witness for {sorted(names)} cannot hold {sorted(holds)}")
                self.witnesses = [some for some in self.witnesses if not some <= holds] + [holds]
            case Fails(core):
                if not core <= names or any(core <= witness for witness in self.witnesses):
                    raise AnswersClash(f"{sorted(core)} cannot be why {sorted(names)} fail")
                self.cores = [some for some in self.cores if not core <= some] + [core]
            case Open():
                self.open[names] = answer
        return answer
