"""The front door for programs and notebooks: what the commands do, as functions with typed results.

>>> import optimiser
>>> case = optimiser.read("tiny-trailer")
>>> best = optimiser.builds(case)  # doctest: +SKIP
>>> best.status, best.build.bank.module  # doctest: +SKIP
('proven', 'module-12-200')

Every result shows itself as a sheet in a notebook, with the cautions that go with it. Mains, lithium batteries and work
on a roof can kill; local codes and a licensed electrician decide.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any, TypeVar

from rich.console import RenderableType

from optimiser import pipeline
from optimiser.auditing import Finding, breaches
from optimiser.builds import Build
from optimiser.checking import Overview, lines, overview
from optimiser.measures import Measure
from optimiser.packing import Wanted, make, pack_files, write_pack
from optimiser.pipeline import Answer, Choice, Comparison, Explanation, Inputs
from optimiser.printing import answer_sheet, audit_sheet, comparison_sheet, explanation_sheet
from optimiser.printing.output import as_html
from optimiser.solve import Progress, Stop, Want

T = TypeVar("T")
Path_ = str | os.PathLike[str]

SECONDS = 300.0


def _nothing(_: object) -> None:
    """Hears what is told, and says nothing."""


def _never() -> bool:
    return False


class _Shown:
    """A result that a notebook shows as the sheet the command prints."""

    def sheet(self) -> Sequence[RenderableType]:
        """What the command prints, in pieces."""
        raise NotImplementedError

    def _repr_html_(self) -> str:
        return as_html(*self.sheet())


@dataclass(frozen=True)
class Checked(_Shown, Overview):
    """A case in figures, and what looks odd in it (``oddities``)."""

    def sheet(self) -> Sequence[RenderableType]:
        return lines(self)


@dataclass(frozen=True)
class Built(_Shown, Answer):
    """The best build that was found, audited. ``status`` says whether it is proven to be the best."""

    inputs: Inputs

    def sheet(self) -> Sequence[RenderableType]:
        return answer_sheet(self.inputs, self)

    def save(self, path: Path_) -> bool:
        """Write the build file, all of it or nothing; whether there was a valid build to write.

        Raises
        ------
        Unusable
            If it cannot be written.
        """
        return pipeline.save(Path(path), self)


@dataclass(frozen=True)
class Compared(_Shown, Comparison):
    """The builds worth showing (``choices``), and what changes from each to the next (``steps``)."""

    inputs: Inputs | None = None

    def sheet(self) -> Sequence[RenderableType]:
        assert self.inputs is not None
        return comparison_sheet(self.inputs, self)


@dataclass(frozen=True)
class Explained(_Shown, Explanation):
    """Why there is no build (``why``), or what decides the best ones (``deciding``)."""

    inputs: Inputs | None = None

    def sheet(self) -> Sequence[RenderableType]:
        assert self.inputs is not None
        return explanation_sheet(self.inputs, self)


@dataclass(frozen=True)
class Audited(_Shown):
    """Every requirement checked against one build; ``breaches`` are those that do not hold."""

    inputs: Inputs
    build: Build
    findings: tuple[Finding, ...]

    @property
    def breaches(self) -> tuple[Finding, ...]:
        return breaches(self.findings)

    def sheet(self) -> Sequence[RenderableType]:
        return audit_sheet(self.inputs, self.build, self.findings)


def read(case: Path_, catalogue: Sequence[Path_] = ()) -> Inputs:
    """Read a case and the catalogue it is fitted out from.

    Parameters
    ----------
    case : A folder, or the name of a shipped case.
    catalogue : Folders laid over each other; ``"shipped"`` names the one that comes with the program, which is taken
        alone if none is given.

    Raises
    ------
    Unusable
        If there is no such case.
    CaseProblems
        With every problem of every file.
    """
    return pipeline.read(os.fspath(case), [os.fspath(folder) for folder in catalogue])


def check(case: Inputs) -> Checked:
    """What a case amounts to, and what looks odd in it."""
    return _as(Checked, overview(case.case, case.catalogue))


def build(
    case: Inputs,
    want: Want = "cheapest",
    *,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    progress: Callable[[Progress], None] = _nothing,
    stop: Callable[[], bool] = _never,
) -> Built:
    """Find the best build and prove it.

    Parameters
    ----------
    want : ``"cheapest"`` or ``"lightest"``; the other breaks ties.
    seconds : Time limit [s]. At it an undecided case is "don't know", never impossible.
    seed, workers : Of the solver; the same ones give the same cost and mass.
    progress : Called, from another thread, whenever the best or the bound move (cents or g).
    stop : Asked a few times a second; once it says yes the search ends with the best so far.
    """
    answer = pipeline.design(case, want, Stop(seconds, seed, workers), progress, ended=stop)
    return _as(Built, answer, inputs=case)


def compare(
    case: Inputs,
    measures: tuple[Measure, Measure] = ("cost", "mass"),
    *,
    points: int | None = None,
    fresh: bool = False,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    found: Callable[[Choice], None] = _nothing,
    progress: Callable[[Progress], None] = _nothing,
    stop: Callable[[], bool] = _never,
) -> Compared:
    """Find all builds that none beats in both measures.

    Parameters
    ----------
    measures : Two of ``optimiser.measures.MEASURES``.
    points : So many, evenly apart in the second measure; all if left out.
    fresh : Leave aside builds that an earlier run kept.
    seconds : Time limit of each question to the solver [s].
    found : Called with each build as it is found.
    progress, stop : As of `build`.
    """
    limits = Stop(seconds, seed, workers)
    walked = pipeline.compare(case, measures, points, limits, progress, found, fresh=fresh, ended=stop)
    return _as(Compared, walked, inputs=case)


def explain(
    case: Inputs,
    want: Sequence[Want] = ("cheapest", "lightest"),
    *,
    by_percent: float = 1.0,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
    told: Callable[[str], None] = _nothing,
    progress: Callable[[Progress], None] = _nothing,
    stop: Callable[[], bool] = _never,
) -> Explained:
    """Say why there is no build, or what decides the best ones.

    Parameters
    ----------
    want : Which best builds.
    by_percent : How much better a build must be to count [% of the best].
    seconds : Time limit of all of it [s].
    told : Called with a few words on what is asked next.
    progress, stop : As of `build`.
    """
    limits = Stop(seconds, seed, workers)
    found = pipeline.explain(case, tuple(want), by_percent, limits, progress, told, ended=stop)
    return _as(Explained, found, inputs=case)


def audit(case: Inputs, build: Build | Path_) -> Audited:
    """Check every requirement against a build or a build file, whoever made it, without the solver.

    Raises
    ------
    Unusable
        If it cannot be read, or names parts or places that do not exist.
    """
    given, path = _given(build)
    return Audited(case, given, pipeline.audit_file(case, path, given))


def pack(
    case: Inputs,
    build: Build | Path_,
    folder: Path_,
    *,
    options: bool = False,
    points: int | None = None,
    explained: bool = False,
    seconds: float = SECONDS,
    seed: int = 1,
    workers: int = 2,
) -> list[str]:
    """Write the job pack of a build into a new or an empty folder, all of it or nothing; the names of its files.

    Parameters
    ----------
    options : Look for other builds to put beside it; ``points`` of them, all if left out.
    explained : Find out what decides each of them.

    Raises
    ------
    Unusable
        If the build does not hold every requirement, or the folder cannot be written.
    """
    given, path = _given(build)
    pipeline.check_folder(Path(folder))
    if broken := breaches(pipeline.audit_file(case, path, given)):
        raise pipeline.Unusable(*(f"{path}: breach: {found.requirement}: {found.sentence}" for found in broken))
    wanted, limits = Wanted(options, points, explained), Stop(seconds, seed, workers)
    made, front = make(case, given, wanted, limits, _nothing, _nothing, _nothing, _nothing)
    files = pack_files(made, front)
    write_pack(Path(folder), files)
    return sorted(files)


def _given(build: Build | Path_) -> tuple[Build, Path]:
    if isinstance(build, Build):
        return build, Path("build")
    return pipeline.read_build(Path(build)), Path(build)


def _as(kind: type[T], found: Any, **more: Any) -> T:
    """The same result as a kind that shows itself."""
    return kind(**{field.name: getattr(found, field.name) for field in fields(found)}, **more)
