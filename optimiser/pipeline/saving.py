"""Writing what was found: all of it or nothing, and nothing that the audit refuses."""

from __future__ import annotations

from pathlib import Path

from optimiser.build import to_json
from optimiser.files import write_text
from optimiser.pipeline.answers import Answer
from optimiser.pipeline.inputs import Unusable


def check_target(path: Path) -> None:
    """Complain before a long solve rather than after it.

    Raises
    ------
    Unusable
        If a build cannot be written there.
    """
    if not path.parent.is_dir():
        raise Unusable(f"{path}: no folder {path.parent}; expected the folder to exist")
    if path.is_dir():
        raise Unusable(f"{path}: is a folder; expected the name of a file")


def save(path: Path, answer: Answer) -> bool:
    """Write the build file, all of it or nothing; whether there was a valid build to write.

    Raises
    ------
    Unusable
        If it cannot be written.
    """
    if answer.build is None or answer.status == "breach":
        return False
    try:
        write_text(path, to_json(answer.build))
    except OSError as error:
        raise Unusable(f"{path}: cannot be written ({error.strerror})") from None
    return True
