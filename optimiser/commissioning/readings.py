"""A file of readings, filled sheet or log, checked against the design."""

import re
from collections.abc import Iterable
from pathlib import Path

from optimiser.auditing.finding import Finding
from optimiser.commissioning.causes import causes
from optimiser.commissioning.filling import read_filled
from optimiser.commissioning.judged import Report, hold_sheet
from optimiser.commissioning.log import hold_log, read_log
from optimiser.commissioning.sheet import test_sheet
from optimiser.fitted.fit import Fit
from optimiser.reading.problems import Gathered
from optimiser.reading.text import read_text

_COMMENT = re.compile(r'\s*"?#')


def commissioned(fit: Fit, findings: Iterable[Finding], path: Path) -> Report:
    """A filled test sheet or a monitor's log, checked against the design of a build. Nothing is solved.

    Parameters
    ----------
    fit, findings : The build, and what the audit finds of it.
    path : CSV with a column ``id`` (a sheet that `to_csv` made) or a column ``time`` (a log).

    Raises
    ------
    CaseProblems
        With every fault of the file, by row and column.
    """
    if _is_sheet(path):
        checks = test_sheet(fit, findings)
        held = hold_sheet(fit, checks, read_filled(path, checks))
        return Report("test sheet", held, causes(fit, held))
    held = hold_log(fit, read_log(path, fit))
    return Report("log", held, causes(fit, held))


def _is_sheet(path: Path) -> bool:
    """Told by the headers.

    Raises
    ------
    CaseProblems
        If it is neither.
    """
    problems, file = Gathered(), str(path)
    text = read_text(path, file, problems)
    problems.raise_any()
    lines = enumerate((text or "").split("\n"), start=1)
    line, header = next(((n, row) for n, row in lines if row.strip(" ,;\t") and not _COMMENT.match(row)), (0, ""))
    names = {cell.strip().strip('"').strip() for cell in re.split("[,;]", header)}
    if not names & {"id", "time"}:
        expected = "expected a filled test sheet (column id) or a log (column time)"
        problems.add(
            file, line, "", f"no column id or time; {expected}" if line else f"nothing in the file; {expected}"
        )
        problems.raise_any()
    return "id" in names
