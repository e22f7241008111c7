"""Which texts can be written anywhere: in XML, in a sheet, in a line, on a terminal."""

from collections.abc import Iterator
from typing import Any
from unicodedata import category

Step = str | int

_UNWRITABLE = ("Cc", "Cs", "Cn", "Zl", "Zp")  # controls, halves of pairs, no characters, ends of lines
_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")  # of direction

_MARK = "\N{REPLACEMENT CHARACTER}"

EXPECTED = "expected text of one line, without control characters"


def one_line(text: str) -> bool:
    """Whether a text is of one line and holds nothing that only a machine would write."""
    if text.isascii() and text.isprintable():  # nearly all, and without a look at each letter
        return True
    return not any(category(letter) in _UNWRITABLE or letter in _TURNING for letter in text)


def plain(text: str, *, keep: str = "\n\t") -> str:
    """The text with all that only a machine would write, or a terminal obey, shown as a mark; ``keep`` stays."""
    return "".join(letter if letter in keep or one_line(letter) else _MARK for letter in text)


def odd_texts(data: Any, path: tuple[Step, ...] = ()) -> Iterator[tuple[Step, ...]]:
    """Where in parsed data a text, or a name, is none of one line."""
    if isinstance(data, str) and not one_line(data):
        yield path
    elif isinstance(data, dict | list):
        for step, item in data.items() if isinstance(data, dict) else enumerate(data):
            if isinstance(step, str) and not one_line(step):
                yield path
            yield from odd_texts(item, (*path, step))
