"""Writing files so that nobody ever sees half of one."""

import os
from pathlib import Path


def write_text(path: Path, text: str) -> None:
    """Write ``text`` as UTF-8 with plain line ends, all of it or nothing.

    The temporary file stands in the same folder, because a rename across file systems is a copy.
    """
    draft = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        with draft.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.replace(draft, path)
    finally:
        draft.unlink(missing_ok=True)
