"""The way out: text to stdout, notes to stderr, on terminals and off them."""

from __future__ import annotations

import os
import re
import sys
from io import StringIO

from rich.console import Console, RenderableType
from rich.table import Table

from optimiser.texts import plain

WIDTH = 100  # where there is no terminal to ask


def show(*parts: RenderableType) -> None:
    """Print parts below each other on stdout."""
    width = None if sys.stdout.isatty() else WIDTH
    # No markup: a requirement's place stands in brackets, as rich's tags do.
    console = Console(file=sys.stdout, width=width, markup=False, highlight=False, emoji=False, soft_wrap=False)
    with console.capture() as printed:
        for part in parts:
            if isinstance(part, Table):
                console.print()
            console.print(plain(part) if isinstance(part, str) else part)
    lines = "\n".join(line.rstrip() for line in printed.get().split("\n"))
    write(re.sub("\n{3,}", "\n\n", lines))


def as_html(*parts: RenderableType) -> str:
    """The same parts for a notebook."""
    console = Console(file=StringIO(), width=WIDTH, record=True, markup=False, highlight=False, emoji=False)
    for part in parts:
        console.print(plain(part) if isinstance(part, str) else part)
    return console.export_html(inline_styles=True, code_format="<pre>{code}</pre>")


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
