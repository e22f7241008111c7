"""The way out: text to stdout, notes to stderr, on terminals and off them."""

import os
import re
import sys
from collections.abc import Iterable
from io import StringIO
from typing import TextIO

from rich.console import Console, RenderableType
from rich.table import Table

from optimiser.printing.columns import within
from optimiser.texts import plain

WIDTH = 100  # where there is no terminal to ask


def show(*parts: RenderableType) -> None:
    """Print parts below each other on stdout."""
    write(rendered(parts, width()))


def width() -> int:
    """Of the terminal, in characters; where there is none to ask, what reads well."""
    return Console(file=sys.stdout).width if sys.stdout.isatty() else WIDTH


def rendered(parts: Iterable[RenderableType], width: int) -> str:
    """Parts below each other as text, without styles where stdout is no terminal."""
    console = _console(sys.stdout, width)
    with console.capture() as printed:
        _print(console, parts, width)
    lines = "\n".join(line.rstrip() for line in printed.get().split("\n"))
    return re.sub("\n{3,}", "\n\n", lines)


def as_html(*parts: RenderableType) -> str:
    """The same parts for a notebook."""
    console = _console(StringIO(), WIDTH, record=True)
    _print(console, parts, WIDTH)
    return console.export_html(inline_styles=True, code_format="<pre>{code}</pre>")


def _print(console: Console, parts: Iterable[RenderableType], width: int) -> None:
    for part in parts:
        if isinstance(part, Table):
            console.print()
            console.print(*within(part, width), sep="\n")
        else:
            console.print(plain(part) if isinstance(part, str) else part)


def _console(file: TextIO, width: int, *, record: bool = False) -> Console:
    # No markup: a requirement's place stands in brackets, as rich's tags do.
    return Console(file=file, width=width, record=record, markup=False, highlight=False, emoji=False)


def write(text: str) -> None:
    """Print text on stdout as it is.

    A reader that has seen enough (``| head``) must not change the exit code, which says what was found.
    """
    encoding = sys.stdout.encoding or "utf-8"
    try:
        sys.stdout.write(text.encode(encoding, "replace").decode(encoding))
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def note(*lines: str) -> None:
    """Print lines on stderr; names of folders in them may hold what a terminal would obey."""
    for line in lines:
        print(plain(line), file=sys.stderr)
