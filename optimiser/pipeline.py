"""Read, solve, audit, write: what the commands are made of. Prints nothing.

No build leaves here unaudited, and what the audit refuses is never written.
"""

from __future__ import annotations

import platform
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from optimiser import __version__
from optimiser.audit import Finding, audit, breaches
from optimiser.build import Build, BuildProblem, from_json, to_json
from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.files import write_text
from optimiser.reading import input_hash, read_inputs, shipped_cases, shipped_catalogue
from optimiser.solve import Halt, Impossible, Outcome, Solved, Stop, Undecided, Want, Watch, optimise

Status = Literal["proven", "best found", "don't know", "impossible", "breach"]

EXIT_CODES: dict[Status, int] = {"proven": 0, "breach": 1, "impossible": 3, "best found": 4, "don't know": 4}

_LISTEN_EVERY_S = 0.2

SHIPPED = "shipped"  # names the catalogue that comes with the program


class Unusable(Exception):
    """Something a command was given cannot be used; one line a problem."""

    def __init__(self, *lines: str) -> None:
        self.lines = lines
        super().__init__("\n".join(lines))


@dataclass(frozen=True)
class Inputs:
    """What a run is made from."""

    folder: Path
    case: Case
    catalogue: Catalogue


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


# --- reading -----------------------------------------------------------------------------------------


def read(case: str, catalogues: Sequence[str]) -> Inputs:
    """Case and catalogue by folder or shipped name.

    Raises
    ------
    Unusable
        If there is no such case.
    CaseProblems
        With every problem of every file.
    """
    folder = case_folder(case)
    folders = [shipped_catalogue() if name == SHIPPED else Path(name) for name in catalogues or (SHIPPED,)]
    return Inputs(folder, *read_inputs(folder, *folders))


def case_folder(name: str) -> Path:
    """The folder of that path, or the shipped case of that name.

    Raises
    ------
    Unusable
        If there is neither.
    """
    folder, shipped = Path(name), {path.name: path for path in sorted(shipped_cases().iterdir()) if path.is_dir()}
    if folder.is_dir():
        return folder
    if name in shipped:
        return shipped[name]
    raise Unusable(f"{name}: no such folder; expected a case folder or a shipped case: {', '.join(shipped)}")


def read_build(path: Path) -> Build:
    """A build file.

    Raises
    ------
    Unusable
        If it cannot be read or is not a build.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise Unusable(f"{path}: cannot be read ({error.strerror}); expected a build file") from None
    except UnicodeDecodeError:
        raise Unusable(f"{path}: not UTF-8; expected a build file") from None
    try:
        return from_json(text, where=str(path))
    except BuildProblem as problem:
        raise Unusable(*str(problem).splitlines()) from None


# --- solving and auditing ------------------------------------------------------------------------------


def design(inputs: Inputs, want: Want, stop: Stop, watch: Watch) -> Answer:
    """Solve, and audit what comes out. Ctrl-C ends the solve with the best found so far."""
    outcome = _solved(inputs, want, stop, watch)
    if isinstance(outcome, Impossible) or outcome.build is None:
        return Answer(want, outcome, None, ())
    build = _stamped(inputs, outcome.build)
    return Answer(want, outcome, build, audit(inputs.case, inputs.catalogue, build))


def _solved(inputs: Inputs, want: Want, stop: Stop, watch: Watch) -> Outcome:
    """The outcome, from a thread of its own: Python hears a Ctrl-C only in a main thread that is not in the solver."""
    halt, interrupted = Halt(), False
    with ThreadPoolExecutor(max_workers=1) as pool:
        work = pool.submit(optimise, inputs.case, inputs.catalogue, want, stop=stop, watch=watch, halt=halt)
        while not work.done():
            try:
                wait([work], timeout=_LISTEN_EVERY_S)
            except KeyboardInterrupt:
                interrupted = True
            if interrupted:
                halt.ask()
        return work.result()


def _stamped(inputs: Inputs, build: Build) -> Build:
    """The build with what is needed to make it again."""
    versions = build.claim.versions | {"optimiser": __version__, "python": platform.python_version()}
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


def doubts(inputs: Inputs, build: Build) -> tuple[str, ...]:
    """What makes a build look as if it belonged to other inputs; no breach, but worth knowing."""
    found = []
    if build.case != inputs.case.name:
        found.append(f"the build is for case {build.case!r}; it is held against {inputs.case.name!r} here")
    if build.claim.inputs and build.claim.inputs != input_hash(inputs.folder, inputs.catalogue):
        found.append("case or catalogue have changed since the build was made")
    return tuple(found)


# --- writing -------------------------------------------------------------------------------------------


def check_target(path: Path) -> None:
    """Complain before a long solve rather than after it.

    Raises
    ------
    Unusable
        If a build cannot be written there.
    """
    if not path.parent.is_dir():
        raise Unusable(f"{path}: no folder {path.parent}; expected the folder to exist")
    if path.is_dir():
        raise Unusable(f"{path}: is a folder; expected the name of a file")


def save(path: Path, answer: Answer) -> bool:
    """Write the build file, all of it or nothing; whether there was a valid build to write.

    Raises
    ------
    Unusable
        If it cannot be written.
    """
    if answer.build is None or answer.status == "breach":
        return False
    try:
        write_text(path, to_json(answer.build))
    except OSError as error:
        raise Unusable(f"{path}: cannot be written ({error.strerror})") from None
    return True
