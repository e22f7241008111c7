"""A case before anything is chosen."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from optimiser import moves, packing, pipeline
from optimiser.checking import overview
from optimiser.library.results import Addresses, Checked, New, of_case
from optimiser.pipeline import Inputs, Unusable
from optimiser.reading import USUAL_LOADS, Starter, write_starter

Path_ = str | os.PathLike[str]


def new(
    folder: Path_,
    *,
    kind: Literal["van", "trailer"] = "van",
    length_mm: int | None = None,
    width_mm: int | None = None,
    voltage: int = 12,
    loads: Sequence[str] = USUAL_LOADS,
    like: str | None = None,
) -> New:
    """Write a starter case of a size, or a copy of the case ``like``, as a new folder.

    Parameters
    ----------
    length_mm, width_mm : Of the body [mm]; the usual ones of the kind if left out.
    voltage : Of the bank [V]: 12, 24 or 48.
    loads : What must run, of ``STARTER_LOADS``.

    Raises
    ------
    Unusable
        If there is no such vehicle or load, or it cannot be written there.
    """
    of = Starter(kind, length_mm, width_mm, voltage, tuple(loads))
    if faults := [*of.faults()]:
        raise Unusable(*faults)
    try:
        write_starter(Path(folder), of, like=pipeline.case_folder(like) if like else None)
    except OSError as error:
        raise Unusable(str(error) if error.errno is None else f"{folder}: {error.strerror}") from None
    return New(Path(folder))


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


def draw(case: Path_, folder: Path_, catalogue: Sequence[Path_] = ()) -> Path:
    """Draw the survey of a case, faults and all, into a new or an empty folder; the page with all of it.

    Raises
    ------
    Unusable
        If there is no such case, or the folder cannot be written.
    """
    pipeline.check_folder(Path(folder))
    packing.write_pack(Path(folder), pipeline.survey_files(os.fspath(case), [os.fspath(one) for one in catalogue]))
    return Path(folder) / "survey.html"


def check(case: Inputs) -> Checked:
    """A summary of a case, and warnings."""
    return of_case(Checked, case, overview(case.case, case.catalogue))


def addresses(case: Inputs) -> Addresses:
    """Every value of a case by its address."""
    return Addresses(inputs=case, values=dict(moves.addresses(case.case)))
