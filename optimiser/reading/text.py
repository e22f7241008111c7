"""File contents as text, whatever program saved them."""

from collections.abc import Iterable
from errno import EINVAL
from pathlib import Path

from optimiser.reading.problems import Gathered
from optimiser.reading.wording import nearest
from optimiser.texts import EXPECTED, one_line


def plain_bytes(path: Path) -> bytes:
    """Contents without byte order mark and with plain line ends.

    Raises
    ------
    OSError
        If it cannot be read, or is a pipe or a device, which may never end.
    """
    if path.exists() and not (path.is_file() or path.is_dir()):
        raise OSError(EINVAL, "no ordinary file", str(path))
    return path.read_bytes().removeprefix(b"\xef\xbb\xbf").replace(b"\r\n", b"\n").replace(b"\r", b"\n")


def read_text(path: Path, file: str, problems: Gathered) -> str | None:
    """Contents as text; None, with the problem noted, where there is none to be had."""
    try:
        raw = plain_bytes(path)
    except FileNotFoundError:
        problems.add(file, 0, "", f"missing file; expected {path.name} in {path.parent}")
        return None
    except OSError as error:
        problems.add(file, 0, "", f"cannot be read ({error.strerror}); expected a readable file")
        return None
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        problems.add(file, line, "", f"not UTF-8 (byte 0x{raw[error.start]:02x}); expected the file saved as UTF-8")
        return None
    lines = [number for number, line in enumerate(text.split("\n"), start=1) if not one_line(line.replace("\t", ""))]
    for number in lines:
        problems.add(file, number, "", f"control characters in the line; {EXPECTED}")
    return None if lines else text


def note_strangers(folder: Path, keys: Iterable[str], what: str, problems: Gathered, prefix: str = "") -> None:
    """A misspelt name, ``vents.CSV`` or ``vents.csv.txt`` would otherwise be a table that is silently not read."""
    known = {f"{key}.csv" for key in keys}
    for path in sorted(folder.iterdir()):
        if ".csv" in path.name.lower() and path.name not in known and not path.name.startswith("."):
            close = nearest(path.name, known) or f"one of {', '.join(sorted(known))}"
            problems.add(f"{prefix}{path.name}", 0, "", f"not {what}; expected {close}")
