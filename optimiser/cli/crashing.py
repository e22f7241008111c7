"""A failure of the program itself: told as what it is, apart from whatever may be wrong with a case."""

import os
import sys
import tempfile
import traceback
from pathlib import Path
from typing import NoReturn

from optimiser import FAULT, printing

SHOW = "OPTIMISER_TRACEBACK"  # set to anything: the traceback goes to stderr, and no file is written


def crashed(error: BaseException) -> NoReturn:
    """One line for the user, the traceback for whoever mends it, and the exit code of a fault."""
    trace = "".join(traceback.format_exception(error))
    where = "" if os.environ.get(SHOW) else _kept(trace)
    if not where:
        printing.note(trace.rstrip())
        where = "the traceback above"
    what = " ".join(f"{type(error).__name__}: {error}".split())[:200]
    printing.note(
        f"FAULT OF THE PROGRAM, not of your case or catalogue ({what}). "
        f"Please report it with the case, the catalogue, the command and {where}"
    )
    sys.exit(FAULT)


def _kept(trace: str) -> str:
    """The file the traceback was written to; empty if that failed too."""
    try:
        descriptor, name = tempfile.mkstemp(prefix="optimiser-fault-", suffix=".txt")
        os.close(descriptor)
        Path(name).write_text(trace, encoding="utf-8", errors="backslashreplace")
    except OSError:
        return ""
    return name
