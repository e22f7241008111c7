"""The pack's folder: all of it or nothing."""

from __future__ import annotations

import os
import shutil
from collections.abc import Mapping
from pathlib import Path

from optimiser.pipeline import Unusable


def write_pack(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write the files below a new folder, or into an empty one, which stays the folder it is.

    Raises
    ------
    Unusable
        If it cannot be written; nothing is left behind then.
    """
    target = folder.resolve()
    new = not target.exists()
    # Beside a new folder, so that it comes to be in one step; inside an old one, which may be another file system.
    draft = (target.parent if new else target) / f".{target.name}.{os.getpid()}.tmp"
    moved: list[Path] = []
    try:
        draft.mkdir()
        for name, content in files.items():
            path = draft / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        if new:
            os.rename(draft, target)
        else:
            _move_up(draft, target, moved)
    except OSError as error:
        for path in moved:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        raise Unusable(f"{folder}: cannot be written ({error.strerror})") from None
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def _move_up(draft: Path, target: Path, moved: list[Path]) -> None:
    """Move everything out of the draft, told as it is done; nothing that came to lie there meanwhile is replaced."""
    if others := [path for path in target.iterdir() if path != draft]:
        raise FileExistsError(0, f"{others[0].name} came to lie in it meanwhile")
    for path in sorted(draft.iterdir()):
        os.rename(path, target / path.name)
        moved.append(target / path.name)
