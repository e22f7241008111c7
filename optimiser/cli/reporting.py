"""Results shown, problems of what was given told line by line, faults of the program: each with its exit code."""

import sys
import threading
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NoReturn

import click

from optimiser import FAULT, INTERRUPTED, library, printing
from optimiser.cli.crashing import crashed

BREACH, USAGE = 1, 2

_WORST = (0, 3, 4, USAGE, BREACH, FAULT, INTERRUPTED)  # of several codes, the later one
_settled, _stopped = threading.Event(), threading.Event()


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
    _stopped.set()
    if not _settled.is_set():
        raise KeyboardInterrupt


def show(result: library.Result, as_json: bool) -> NoReturn:
    """Print it, and end with its code."""
    printing.write(result.json() if as_json else result.text(printing.width()))
    printing.note(*result.remarks)
    sys.exit(result.code)


def show_each(names: Sequence[str], as_json: bool, work: Callable[[str], library.Result]) -> NoReturn:
    """Do it for each, one after the other, below a headline where there are several, and end with the worst code.

    With ``as_json`` several are one object by their names, null for what cannot be used. A Ctrl-C ends it after the one
    at work.
    """
    if len(names) == 1:
        with reporting():
            show(work(names[0]), as_json)
    codes, objects = list[int](), dict[str, Any]()
    _stopped.clear()
    for name in dict.fromkeys(names):
        _settled.clear()
        _head(f"== {name}", as_json)
        objects[name] = None
        with _codes(codes), reporting():
            result = work(name)
            objects[name] = result.object()
            printing.write("" if as_json else result.text(printing.width()))
            printing.note(*result.remarks)
            sys.exit(result.code)
        if _stopped.is_set():
            break
    if as_json:
        printing.write(printing.as_text(objects))
    sys.exit(max(codes, key=_WORST.index))


def _head(line: str, as_json: bool) -> None:
    """Which of several it is, on stderr too unless both go to one terminal."""
    if as_json or not sys.stdout.isatty():
        printing.note(line)
    if not as_json:
        printing.write(f"{line}\n")


@contextmanager
def _codes(found: list[int]) -> Iterator[None]:
    """The exit code of what would end the program."""
    try:
        yield
    except SystemExit as ended:
        assert isinstance(ended.code, int)
        found.append(ended.code)


@contextmanager
def reporting() -> Iterator[None]:
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
