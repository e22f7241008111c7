"""Reading: case and catalogue folders to objects. Every problem is gathered, and all are raised at once."""

import warnings
from pathlib import Path

from optimiser.case import Case
from optimiser.catalogue import Catalogue
from optimiser.older import OlderFile
from optimiser.reading.brief import catalogues_named
from optimiser.reading.case_folder import case_hash, gather_case, input_hash
from optimiser.reading.catalogue_folder import gather_catalogue
from optimiser.reading.preferences import unmeant as unmeant
from optimiser.reading.problems import CaseProblems, Gathered, Problem
from optimiser.reading.shipped import shipped_cases, shipped_catalogue
from optimiser.reading.sketch import Remark, Sketch, read_sketch
from optimiser.reading.starter import SIZES, STARTER_LOADS, USUAL_LOADS, VOLTAGES, Starter, write_starter


def read_catalogue(*folders: Path) -> Catalogue:
    """The catalogue: the first folder whole, later ones adding rows or overriding them by name.

    Raises
    ------
    CaseProblems
        With every problem of every file.

    Warns
    -----
    OlderFile
        With each note of what an earlier version wrote otherwise, as all that reads here does.
    """
    problems = Gathered()
    catalogue = gather_catalogue(folders, problems)
    _settle(problems)
    return catalogue


def read_case(folder: Path, catalogue: Catalogue) -> Case:
    """The case in ``folder``.

    Raises
    ------
    CaseProblems
        With every problem of every file.
    """
    problems = Gathered()
    case = gather_case(folder, catalogue, problems)
    _settle(problems)
    assert case is not None  # only a noted problem makes it None
    return case


def read_inputs(folder: Path, *catalogue_folders: Path) -> tuple[Case, Catalogue]:
    """Case and catalogue, with the problems of both raised together.

    Raises
    ------
    CaseProblems
        With every problem of every file.
    """
    problems = Gathered()
    catalogue = gather_catalogue(catalogue_folders, problems)
    case = gather_case(folder, None if len(problems) else catalogue, problems)
    _settle(problems)
    assert case is not None  # only a noted problem makes it None
    return case, catalogue


def _settle(problems: Gathered) -> None:
    """Raise the problems; where there are none, warn of what was read otherwise than it is written."""
    problems.raise_any()
    for note in problems.notes:
        warnings.warn(note, OlderFile, stacklevel=3)
