"""Results shown, problems of what was given told line by line, faults of the program: each with its exit code."""

from __future__ import annotations

import sys
import threading
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NoReturn

import click

from optimiser import INTERRUPTED, library, printing
from optimiser.cli.crashing import crashed

BREACH, USAGE = 1, 2

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


def show(result: library.Result, as_json: bool) -> NoReturn:
    """Print it, and end with its code."""
    printing.write(result.json() if as_json else result.text(printing.width()))
    printing.note(*result.remarks)
    sys.exit(result.code)


@contextmanager
def told() -> Iterator[None]:
    """Problems of what was given: a line each on stderr, and the exit code for them. Any other failure is our own."""
    try:
        with _notes():
            yield
    except library.CaseProblems as problems:
        _refuse(*map(str, problems.problems))
    except library.Breached as problem:
        _refuse(*problem.lines, code=BREACH)
    except library.Misfit as problem:
        _refuse(*(f"{', '.join(map(_option, names))}: {what}" for names, what in problem.wrong))
    except library.Unusable as problem:
        _refuse(*problem.lines)
    except OSError as error:  # of a path: a folder nobody may enter, a name too long
        _refuse(f"{error.filename or 'file'}: {error.strerror or error}; expected a path that can be used")
    except KeyboardInterrupt:
        _refuse("stopped", code=INTERRUPTED)
    except click.ClickException:
        raise
    except Exception as error:
        crashed(error)


@contextmanager
def _notes() -> Iterator[None]:
    """What is noted of files of an earlier version: a line each on stderr, once however often they are read."""
    noted: set[str] = set()

    def tell(message: Warning | str, category: type[Warning], *where: Any, **also: Any) -> None:
        if not issubclass(category, library.OlderFile):
            shown(message, category, *where, **also)
        elif str(message) not in noted:
            noted.add(str(message))
            printing.note(str(message))

    with warnings.catch_warnings():
        shown, warnings.showwarning = warnings.showwarning, tell
        warnings.simplefilter("always", library.OlderFile)
        yield


def _option(argument: str) -> str:
    """What an argument of the library is called on the command line."""
    return f"--{argument.replace('_', '-')}"


def _refuse(*problems: str, code: int = USAGE) -> NoReturn:
    printing.note(*problems)
    sys.exit(code)
