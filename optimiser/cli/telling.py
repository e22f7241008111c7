"""Problems of what was given, told line by line, and faults of the program: each with the exit code for it."""

from __future__ import annotations

import sys
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NoReturn

import click

from optimiser import INTERRUPTED, pipeline, printing
from optimiser.cli.crashing import crashed
from optimiser.reading import CaseProblems, OlderFile

USAGE = 2
OUT_OF_BAND = 1  # a reading


_settled = threading.Event()


def settled() -> None:
    """What was to be written is there: from now on a Ctrl-C ends nothing, since its code says that nothing is."""
    _settled.set()


def heard(*_: object) -> None:
    """A Ctrl-C of the command line.

    Raises
    ------
    KeyboardInterrupt
        Unless all is settled.
    """
    if not _settled.is_set():
        raise KeyboardInterrupt


@contextmanager
def told() -> Iterator[None]:
    """Problems of what was given: a line each on stderr, and the exit code for them. Any other failure is our own."""
    try:
        with _notes():
            yield
    except CaseProblems as problems:
        _refuse(*map(str, problems.problems))
    except pipeline.Unusable as problem:
        _refuse(*problem.lines)
    except OSError as error:  # of a path: a folder nobody may enter, a name too long
        _refuse(f"{error.filename or 'file'}: {error.strerror or error}; expected a path that can be used")
    except KeyboardInterrupt:
        printing.note("stopped")
        sys.exit(INTERRUPTED)
    except click.ClickException:
        raise
    except Exception as error:
        crashed(error)


@contextmanager
def _notes() -> Iterator[None]:
    """What is noted of files of an earlier version: a line each on stderr, once however often they are read."""
    noted: set[str] = set()

    def show(message: Warning | str, category: type[Warning], *where: Any, **also: Any) -> None:
        if not issubclass(category, OlderFile):
            shown(message, category, *where, **also)
        elif str(message) not in noted:
            noted.add(str(message))
            printing.note(str(message))

    with warnings.catch_warnings():
        shown, warnings.showwarning = warnings.showwarning, show
        warnings.simplefilter("always", OlderFile)
        yield


def _refuse(*problems: str) -> NoReturn:
    printing.note(*problems)
    sys.exit(USAGE)
