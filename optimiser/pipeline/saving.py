"""Writing what was found: all of it or nothing, and nothing that the audit refuses."""

from pathlib import Path

from optimiser.builds import Build, to_json
from optimiser.files import write_text
from optimiser.pipeline.answers import Answer
from optimiser.pipeline.comparing import Comparison
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
    _write(path, answer.build)
    return True


def check_folder(path: Path) -> None:
    """Complain before a long solve rather than after it.

    Raises
    ------
    Unusable
        If builds cannot be written in that folder: it must be empty, or not be there yet.
    """
    if not path.parent.is_dir():
        raise Unusable(f"{path}: no folder {path.parent}; expected the folder to exist")
    if path.exists() and (not path.is_dir() or any(path.iterdir())):
        raise Unusable(f"{path}: there already; expected an empty folder or the name of a new one")


def save_choices(folder: Path, found: Comparison) -> tuple[Path, ...]:
    """Write the build of each point, numbered as the sheet does.

    Raises
    ------
    Unusable
        If they cannot be written.
    """
    if found.state == "breach" or not found.choices:
        return ()
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise Unusable(f"{folder}: cannot be made ({error.strerror})") from None
    digits = len(str(len(found.choices)))
    paths = tuple(folder / f"point-{k:0{digits}}.json" for k in range(1, len(found.choices) + 1))
    for path, choice in zip(paths, found.choices, strict=True):
        _write(path, choice.build)
    return paths


def _write(path: Path, build: Build) -> None:
    try:
        write_text(path, to_json(build))
    except OSError as error:
        raise Unusable(f"{path}: cannot be written ({error.strerror})") from None
