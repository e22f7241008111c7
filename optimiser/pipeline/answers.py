"""One solve: the outcome with its audited build. No build leaves here unaudited."""

import platform
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from optimiser.auditing import Finding, audit, breaches
from optimiser.builds import Build, BuildProblem
from optimiser.pipeline.inputs import Inputs, Unusable
from optimiser.pipeline.interrupt import Ended, interruptible, never
from optimiser.reading import input_hash
from optimiser.solve import Impossible, Outcome, Solved, Stop, Undecided, Want, Watch, optimise
from optimiser.version import VERSION

Status = Literal["proven", "best found", "don't know", "impossible", "breach"]

EXIT_CODES = {
    **dict.fromkeys(("proven", "front to a tolerance", "whole front", "points of the front", "possible"), 0),
    "breach": 1,
    "impossible": 3,
    **dict.fromkeys(("best found", "part of the front", "don't know"), 4),
}
"""What may be said of a build, a front or a case -> what the shell is told."""


@dataclass(frozen=True)
class Answer:
    """What a solve came to. A ``build`` that the audit refused is a fault of the program, and stays in here."""

    want: Want
    outcome: Outcome
    build: Build | None
    findings: tuple[Finding, ...]

    @property
    def status(self) -> Status:
        """What may be said of it."""
        if breaches(self.findings):
            return "breach"
        if isinstance(self.outcome, Impossible):
            return "impossible"
        if self.build is None:
            return "don't know"
        return "proven" if isinstance(self.outcome, Solved) else "best found"

    @property
    def code(self) -> int:
        """For the shell."""
        return EXIT_CODES[self.status]

    @property
    def best(self) -> int | None:
        """The wanted objective of the build, in cents or g."""
        if isinstance(self.outcome, Impossible):
            return None
        return self.outcome.cost_cents if self.want == "cheapest" else self.outcome.mass_g

    @property
    def bound(self) -> int | None:
        """What no valid build can be below, in cents or g."""
        return self.outcome.bound if isinstance(self.outcome, Undecided) else self.best

    @property
    def gap(self) -> float | None:
        """Share of the best that is not proven."""
        if isinstance(self.outcome, Undecided):
            return self.outcome.gap(self.want)
        return None if self.best is None else 0.0


def design(inputs: Inputs, want: Want, stop: Stop, watch: Watch, *, ended: Ended = never) -> Answer:
    """Solve, and audit what comes out. Ctrl-C ends the solve with the best found so far, and so does ``ended``."""
    outcome = interruptible(
        lambda halt: optimise(inputs.case, inputs.catalogue, want, stop=stop, watch=watch, halt=halt), ended
    )
    if isinstance(outcome, Impossible) or outcome.build is None:
        return Answer(want, outcome, None, ())
    build = stamped(inputs, outcome.build)
    return Answer(want, outcome, build, audit(inputs.case, inputs.catalogue, build))


def stamped(inputs: Inputs, build: Build) -> Build:
    """The build with what is needed to make it again."""
    versions = build.claim.versions | {"optimiser": VERSION, "python": platform.python_version()}
    claim = replace(build.claim, inputs=input_hash(inputs.folder, inputs.catalogue), versions=versions)
    return replace(build, claim=claim)


def audit_file(inputs: Inputs, path: Path, build: Build) -> tuple[Finding, ...]:
    """The findings on a build file.

    Raises
    ------
    Unusable
        If it names parts or places that do not exist.
    """
    try:
        return audit(inputs.case, inputs.catalogue, build)
    except BuildProblem as problem:
        raise Unusable(*(f"{path}: {line}" for line in str(problem).splitlines())) from None
