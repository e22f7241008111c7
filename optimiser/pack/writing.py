"""The pack's folder: all of it or nothing."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from optimiser.pipeline import Unusable


def write_pack(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write the files below a new folder, or an empty one.

    Raises
    ------
    Unusable
        If it cannot be written; nothing is left behind then.
    """
    target = folder.resolve()
    draft = target.with_name(f".{target.name}.{os.getpid()}.tmp")
    try:
        draft.mkdir()
        for name, content in files.items():
            path = draft / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        if target.exists():
            target.rmdir()  # refuses if something came to lie in it meanwhile
        os.rename(draft, target)
    except OSError as error:
        raise Unusable(f"{folder}: cannot be written ({error.strerror})") from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)
