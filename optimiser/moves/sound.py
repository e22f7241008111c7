"""Whether a moved case and catalogue would still be read without a problem."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from optimiser.case import TABLES, Case
from optimiser.catalogue import Catalogue
from optimiser.moves.address import ROWS, row_name
from optimiser.parts import Fuse, Holder
from optimiser.reading.brief import BriefText
from optimiser.reading.checks import check
from optimiser.reading.problems import CaseProblems, Gathered, Problem
from optimiser.reading.sense import faults
from optimiser.reading.sheets import Row, Sheet
from optimiser.reading.survey import Survey

Inputs = tuple[Case, Catalogue]


def broken(case: Case, catalogue: Catalogue, *, before: Inputs) -> list[str]:
    """What is wrong now and was not before: address, what is wrong, what was expected."""
    old_case, old_catalogue = before
    faults = [*_of_case(case, catalogue)]
    if faults:
        known = set(_of_case(old_case, old_catalogue))
        faults = [fault for fault in faults if fault not in known]
    if catalogue is not old_catalogue:
        faults += _of_catalogue(catalogue)
    return faults


def _of_case(case: Case, catalogue: Catalogue) -> Iterator[str]:
    """The checks that reading makes across a folder, made of objects."""
    problems = Gathered()
    rows = {key: getattr(case, key) for key in TABLES}
    sheets = {
        key: Sheet(
            f"{key}.csv",
            tuple(TABLES[key].model_fields),
            tuple(Row(n, {name: str(cell) for name, cell in row}, row) for n, row in enumerate(rows[key], start=1)),
        )
        for key in TABLES
    }
    check(Survey(BriefText(case.brief, {}), sheets, catalogue, problems))
    singular = {f"{several}.csv": one for one, several in ROWS.items()}
    for problem in _noted(problems):
        where = problem.column
        if problem.file in singular:
            table = singular[problem.file]
            row = rows[ROWS[table]][problem.row - 1]
            where = f"{table}.{row_name(row)}.{problem.column}"
        yield f"{where}: {problem.message}"


def _noted(problems: Gathered) -> tuple[Problem, ...]:
    try:
        problems.raise_any()
    except CaseProblems as noted:
        return noted.problems
    return ()


def _of_catalogue(catalogue: Catalogue) -> Iterator[str]:
    """What one column of a part says against another, and a fuse against its holder."""
    holders = catalogue.of("holders")
    for part in chain.from_iterable(parts.values() for parts in catalogue.tables.values()):
        for column, message in faults(part):
            yield f"part.{part.name}.{column}: {message}"
        if isinstance(part, Fuse):
            holder = holders.get(part.holder)
            if isinstance(holder, Holder) and part.rating_a > holder.rating_max_a:
                most = f"at most the {holder.rating_max_a:g} of its holder"
                yield f"part.{part.name}.rating_a: {part.rating_a:g} is too much; expected {most}"
