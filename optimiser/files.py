"""Writing files so that nobody ever sees half of one."""

import os
from pathlib import Path


def write_text(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 with its line ends as they are, all of it or nothing."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Write ``content``, all of it or nothing.

    The temporary file stands in the same folder, because a rename across file systems is a copy.
    """
    draft = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        with draft.open("xb") as file:
            file.write(content)
        os.replace(draft, path)
    finally:
        draft.unlink(missing_ok=True)
